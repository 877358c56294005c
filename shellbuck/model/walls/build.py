"""The smeared wall of a case."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from ..material import Material, MaterialPoint
from .stiffness import SmearedWall

if TYPE_CHECKING:
    from ..case import Case

Modulus = Callable[[MaterialPoint], float]


def compressive(point: MaterialPoint) -> float:
    """The modulus that stability uses [Pa]."""
    return point.compressive_modulus


def tensile(point: MaterialPoint) -> float:
    """The modulus that strength uses [Pa]."""
    return point.youngs_modulus


def build_wall(
    case: Case, temperature: float | None = None, *, thickness: float | None = None, modulus: Modulus = compressive
) -> SmearedWall:
    """The smeared wall of a case at a temperature.

    Parameters
    ----------
    case : Case
    temperature : float or None
        [K]; None means room temperature.
    thickness : float or None
        Skin thickness [m]; None means the one that decides stability.
    modulus : callable
        Picks the modulus out of a MaterialPoint.

    Raises
    ------
    Refusal
        For a given stiffness that is not positive definite.
    """

    def metal(own: Material | None) -> tuple[Any, Any]:
        chosen = own or case.material
        return modulus(chosen.at(temperature)), chosen.poissons_ratio

    t = case.stability_thickness if thickness is None else thickness
    return case.wall.smeared(case.barrel.middle_radius, case.barrel.length, t, metal)
