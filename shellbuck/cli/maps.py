"""The map command: one case, one question, a study's folder with its page."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from ..core.errors import Problem, Refusal
from ..io.language.case_file import case_from_text, read_text
from ..study.maps import map_of
from .study import Wanted, run_plan


def map_case(
    case: str,
    kind: str,
    wanted: Wanted,
    *,
    load_case: str | None,
    counts: tuple[int, int],
    x: tuple[str, str] | None,
    y: tuple[str, str] | None,
    pressures: tuple[str, ...],
) -> int:
    """Work out a map and return the exit status."""
    text, digest = read_text(Path(case))
    file = case_from_text(text, Path(case).name, digest)
    try:
        found = map_of(
            file, kind, load_case=load_case, across=counts[0], up=counts[1], x=x, y=y, pressures=pressures, text=text
        )
    except Refusal as refusal:
        raise Refusal([_as_option(p) for p in refusal.problems]) from None
    return run_plan(found.plan, wanted, found)


def _as_option(problem: Problem) -> Problem:
    """A problem of the plan at the option that it came from: a map varies x, y, and pressures as panels."""
    if (axis := re.fullmatch(r"vary\.([01])\.(from|to)", problem.where)) is not None:
        end = "first" if axis[2] == "from" else "second"
        way_out = "give two different ends" if "values = " in problem.way_out else problem.way_out
        return replace(problem, where=f"--{'xy'[int(axis[1])]}, {end} end", way_out=way_out)
    if problem.where.startswith("vary.2.values"):
        return replace(problem, where="--pressure")
    return problem
