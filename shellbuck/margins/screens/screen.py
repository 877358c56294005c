"""What a second opinion or a screen is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ...core.records import Check, Comparison, MarginRow
from ...model import Case
from ..state import State


class Compared(NamedTuple):
    """A comparison with the checks that go with it."""

    record: Comparison
    checks: tuple[Check, ...] = ()


@dataclass(frozen=True)
class Screen:
    """A second opinion or a screen.

    Parameters
    ----------
    key, title : str
        Its name in data, and for a reader.
    place : int
        Where it stands among the others.
    applies : callable
        Whether a case has it.
    compare : callable
        (state of a single design, its margin rows) to comparisons.
    walls, capacity, valid, source : str
        Which walls, what is compared with what, in which range, where it comes from; for readers.
    formulas : tuple of str
        Handbook formulas behind it, by key.
    """

    key: str
    title: str
    place: int
    applies: Callable[[Case], bool]
    compare: Callable[[State, Sequence[MarginRow]], Iterable[Compared]]
    walls: str
    capacity: str
    source: str
    valid: str = ""
    formulas: tuple[str, ...] = ()
