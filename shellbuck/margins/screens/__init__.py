"""Second opinions and screens: one module each, found by their place. They stand beside the margins of a single design
and are never counted: not in a verdict, a sizing, a study."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Sequence

from ...core.records import Check, Comparison, MarginRow
from ..state import State
from .screen import Screen

__all__ = ["SCREENS", "Screen", "compared"]


def _found() -> tuple[Screen, ...]:
    modules = (importlib.import_module(f"{__name__}.{one.name}") for one in pkgutil.iter_modules(__path__))
    return tuple(sorted((s for module in modules for s in getattr(module, "SCREENS", ())), key=lambda s: s.place))


SCREENS = _found()
"""Every screen, in the order in which a reader looks for them."""


def compared(state: State, rows: Sequence[MarginRow]) -> tuple[tuple[Comparison, ...], tuple[Check, ...]]:
    """What the screens say of one load case of a single design, with its checks."""
    found = [one for screen in SCREENS if screen.applies(state.case) for one in screen.compare(state, rows)]
    return tuple(one.record for one in found), tuple(check for one in found for check in one.checks)
