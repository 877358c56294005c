"""Load components: what acts on a barrel, as data. A row divides its demand and capacity by them, and an interaction
adds up their ratios."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

AXIAL, BENDING = "axial", "bending"
TORQUE, SHEAR = "torque", "shear"
EXTERNAL = "external pressure"

Unit = Literal["N", "N m", "Pa"]


@dataclass(frozen=True)
class Component:
    """A load component: the unit in which it is applied, and what it is in the wall.

    `acts`: "along" for line loads at the peak fibre, "shear" for a shear flow [N/m], "pressure" [Pa]. `treatment`:
    "scaled" loads grow to the buckling load with the factor of safety on them; "fixed" ones stay, without a factor.
    The ratios of scaled components add up to 1 at buckling: SP-8007 Rev 2, Eqs 41-47 for pairs; for more of them an own
    rule, safe for every bifurcation load because the loads under which a perfect shell is stable form a convex region.
    """

    key: str
    unit: Unit
    acts: Literal["along", "shear", "pressure"]
    treatment: Literal["scaled", "fixed"] = "scaled"


COMPONENTS = {
    one.key: one
    for one in (
        Component(AXIAL, "N", "along"),
        Component(BENDING, "N m", "along"),
        Component(TORQUE, "N m", "shear"),
        Component(SHEAR, "N", "shear"),
        Component(EXTERNAL, "Pa", "pressure"),
        Component("internal pressure", "Pa", "pressure", "fixed"),
    )
}

ALONG = tuple(key for key, one in COMPONENTS.items() if one.acts == "along")
"""Components that every row has."""

FURTHER = tuple(key for key, one in COMPONENTS.items() if one.acts != "along" and one.treatment == "scaled")
"""Components that a row has where the load case has them."""
