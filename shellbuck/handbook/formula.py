"""The register of formulas and the one way to evaluate one with its trail."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from ..core.records import Worked
from ..core.sources import source as look_up

_F = TypeVar("_F", bound=Callable[..., Any])


@dataclass(frozen=True)
class Formula:
    """A filed formula: `symbol` and `unit` of its value, `source` key, `place` in the source, `valid` range."""

    key: str
    symbol: str
    unit: str
    source: str
    place: str
    valid: str
    function: Callable[..., Any]

    @property
    def title(self) -> str:
        """First line of the docstring."""
        return (self.function.__doc__ or self.key).splitlines()[0].rstrip(".")

    @property
    def citation(self) -> str:
        """Short source with the place in it."""
        return ", ".join(filter(None, (look_up(self.source).short, self.place)))


FORMULAS: dict[str, Formula] = {}


def formula(symbol: str, unit: str, source: str, place: str = "", valid: str = "") -> Callable[[_F], _F]:
    """File a function as a formula under its own name with hyphens."""

    def file(function: _F) -> _F:
        key = function.__name__.replace("_", "-")
        look_up(source)
        FORMULAS[key] = Formula(key, symbol, unit, source, place, valid, function)
        return function

    return file


def work(function: Callable[..., Any], **inputs: float) -> Worked:
    """Evaluate a filed formula and keep what went in.

    Examples
    --------
    >>> from shellbuck.handbook.plain import axial_knockdown
    >>> work(axial_knockdown, R_over_t=500.0).value
    0.32173...
    """
    numbers = {k: float(v) for k, v in inputs.items()}
    key = function.__name__.replace("_", "-")
    return Worked(FORMULAS[key].key, tuple(numbers.items()), float(function(**numbers)))
