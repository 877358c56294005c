"""Modes that a wall leaves open because it has no dimensions: rows without an answer, so that it never counts as held,
unless the case names where they were checked."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...model import Case
from ..findings import Findings, Row, Story
from ..state import State
from .mode import FailureMode

_NOTE = "shellbuck cannot check it without dimensions; name where it was checked in [[checked_elsewhere]]"


def unchecked(case: Case) -> tuple[str, ...]:
    """Failure modes that the wall leaves open and that the case does not name as checked elsewhere."""
    named = {entry.mode for entry in case.checked_elsewhere}
    return tuple(mode for mode in case.wall.open_modes if mode not in named)


def rows(s: State, _: Findings) -> Iterator[Row]:
    """A row for each, not covered."""
    for title in unchecked(s.case):
        kind = "strength" if title == "strength" else "local"
        story = Story(dict(kind=kind, note=_NOTE, demand=None))
        yield Row(title, np.nan, False, idle="not covered", story=lambda story=story: story)


MODES = (
    FailureMode(
        "not-covered",
        "modes of walls without dimensions",
        70,
        "local",
        lambda case: bool(unchecked(case)),
        rows,
        walls="given stiffness, given sections",
        capacity="none",
        knockdown="none",
        source="none",
    ),
)
