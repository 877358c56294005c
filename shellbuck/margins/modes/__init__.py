"""Failure modes: one module each, found by their place; a new one is a new module here.

A mode says what it is and to which walls it belongs, and works out its rows for one design or for many.
"""

from __future__ import annotations

import importlib
import pkgutil

from .mode import FailureMode

__all__ = ["MODES", "FailureMode"]


def _found() -> tuple[FailureMode, ...]:
    modules = (importlib.import_module(f"{__name__}.{one.name}") for one in pkgutil.iter_modules(__path__))
    modes = (mode for module in modules for mode in getattr(module, "MODES", ()))
    return tuple(sorted(modes, key=lambda mode: mode.place))


MODES = _found()
"""Every failure mode, in the order in which a reader looks for them."""
