"""Temperature differences that the wall cannot follow freely."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from ..core.errors import Problem
from .checked import Checked, Quantity, Text

MOST_DIFFERENCE = 500.0


@dataclass(frozen=True)
class Thermal(Checked):
    """Restrained temperature differences of a load case, at its own temperature, which selects the properties.

    Parameters
    ----------
    source : str
        Of the coefficients of expansion.
    expansion : float
        Coefficient of thermal expansion of the skin's metal at this temperature [1/K].
    gradient : float
        Temperature of the outer face of the skin over that of the inner one [K].
    ring_difference : float
        Temperature of the rings over that of the skin [K].
    ring_expansion : float or None
        Coefficient of the rings' metal [1/K]; that of the skin where they are of the same metal.
    """

    source: Annotated[str, Text(required=True)]
    expansion: Annotated[float, Quantity("expansion", 0.0, 1e-4)]
    gradient: Annotated[float, Quantity("temperature difference", -MOST_DIFFERENCE, MOST_DIFFERENCE)] = 0.0
    ring_difference: Annotated[float, Quantity("temperature difference", -MOST_DIFFERENCE, MOST_DIFFERENCE)] = 0.0
    ring_expansion: Annotated[float, Quantity("expansion", 0.0, 1e-4)] | None = None

    @property
    def of_rings(self) -> float:
        """Coefficient of the rings [1/K]."""
        return self.expansion if self.ring_expansion is None else self.ring_expansion


def thermal_problem(
    thermal: Thermal | None, where: str, *, has_dimensions: bool, rings: bool, own: bool
) -> list[Problem]:
    """What is refused of it on a wall; `own` says that the rings are not of the skin's metal."""
    if thermal is None:
        return []
    if not has_dimensions:
        what = "thermal stress needs a wall with dimensions and a metal"
        return [Problem("thermal-wall", what, where, way_out="leave it out and check it elsewhere")]
    if thermal.ring_difference and not rings:
        return [Problem("thermal-wall", "this wall has no rings", f"{where}.ring_difference", way_out="leave it out")]
    if thermal.ring_difference and own and thermal.ring_expansion is None:
        what = "the rings are of a metal of their own, whose expansion is not given"
        return [Problem("value-missing", what, f"{where}.ring_expansion", way_out="give ring_expansion")]
    return []
