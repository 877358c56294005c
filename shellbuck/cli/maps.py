"""The map command: one case, one question, a study's folder with its page."""

from __future__ import annotations

from pathlib import Path

from ..files.casefile import case_from_text, read_text
from ..study.maps import map_of
from .study import Wanted, run_plan


def map_case(
    case: str, kind: str, wanted: Wanted, *, load_case: str | None, counts: tuple[int, int],
    x: tuple[str, str] | None, y: tuple[str, str] | None, pressures: tuple[str, ...],
) -> int:  # fmt: skip
    """Work out a map and return the exit status."""
    text, digest = read_text(Path(case))
    file = case_from_text(text, Path(case).name, digest)
    found = map_of(
        file, kind, load_case=load_case, across=counts[0], up=counts[1], x=x, y=y, pressures=pressures, text=text
    )
    return run_plan(found.plan, wanted, found)
