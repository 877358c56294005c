"""Which mode is meant where runs differ; the script of the page has the same rule in `identity.js`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Name(NamedTuple):
    """What a mode is known by: its id on the page, its load case, its title."""

    id: str
    case: str
    title: str


def meant(modes: Sequence[Name], one: Name) -> int | None:
    """Place of the mode of this case and title; of several that of the same id, else the first. None without one.

    Examples
    --------
    >>> modes = [Name("mode 1", "pad", "n = 4"), Name("mode 2", "pad", "n = 4"), Name("mode 3", "pad", "n = 5")]
    >>> meant(modes, Name("mode 2", "pad", "n = 4")), meant(modes, Name("mode 3", "pad", "n = 4"))
    (1, 0)
    """
    found = [i for i, mode in enumerate(modes) if (mode.case, mode.title) == (one.case, one.title)]
    return next((i for i in found if modes[i].id == one.id), found[0] if found else None)


def pairs(first: Sequence[Name], second: Sequence[Name]) -> list[tuple[int | None, int | None]]:
    """Places in both runs of every mode, in the order of the second, then those of the first alone: two modes are one
    where each is the one that the other means."""
    found: list[tuple[int | None, int | None]] = []
    for j, mode in enumerate(second):
        i = meant(first, mode)
        found.append((i if i is not None and meant(second, first[i]) == j else None, j))
    there = {i for i, _ in found}
    return found + [(i, None) for i in range(len(first)) if i not in there]
