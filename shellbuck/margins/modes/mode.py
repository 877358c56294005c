"""What a failure mode is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from ...model import Case
from ..components import AXIAL, BENDING
from ..findings import Findings, Row
from ..state import State


@dataclass(frozen=True)
class FailureMode:
    """A failure mode of a barrel.

    Parameters
    ----------
    key : str
        Its name in data; stable.
    title : str
        Its name for a reader. A mode with several rows names each itself.
    place : int
        Where its rows stand.
    kind : str
        "stability", "local" or "strength".
    applies : callable
        Whether a case has it.
    rows : callable
        (state, findings of the modes before `order`) to rows.
    walls, capacity, knockdown, valid, source, shape : str
        Which walls, what the capacity is, which factor is on it, in which range, where it comes from, and the mode
        shape or local field that it means; for readers.
    formulas : tuple of str
        Handbook formulas that make its capacity, by key.
    components : tuple of str
        Load components that it counts.
    order : int
        Modes are worked out by order, then place: skin fields come first, because loads on the unbuckled stiffness are
        withheld where they buckle.
    """

    key: str
    title: str
    place: int
    kind: Literal["stability", "local", "strength"]
    applies: Callable[[Case], bool]
    rows: Callable[[State, Findings], Iterable[Row]]
    walls: str
    capacity: str
    knockdown: str
    source: str
    valid: str = ""
    shape: str = ""
    formulas: tuple[str, ...] = ()
    components: tuple[str, ...] = (AXIAL, BENDING)
    order: int = 1
