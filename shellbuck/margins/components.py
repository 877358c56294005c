"""Load components: what acts on a barrel, as data. A row divides its demand and capacity by them, and an interaction
adds up their ratios."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

AXIAL, BENDING = "axial", "bending"


@dataclass(frozen=True)
class Component:
    """A load component: the unit in which it is applied, and the exponent of its ratio in the linear interaction of
    axial load and bending (SP-8007 Rev 2, Eq 21).

    `treatment`: "scaled" loads grow to the buckling load with the factor of safety on them; "fixed" ones stay, without
    a factor; components "refused" have no row yet, and cases cannot give them.
    """

    key: str
    unit: Literal["N", "N m", "Pa"]
    treatment: Literal["scaled", "fixed", "refused"]
    exponent: float = 1.0


COMPONENTS = {
    one.key: one
    for one in (
        Component(AXIAL, "N", "scaled"),
        Component(BENDING, "N m", "scaled"),
        Component("internal pressure", "Pa", "fixed"),
        Component("external pressure", "Pa", "refused"),
        Component("torque", "N m", "refused"),
        Component("shear", "N", "refused"),
    )
}

SCALED = tuple(one for one in COMPONENTS.values() if one.treatment == "scaled")
"""Components that are line loads at the peak fibre today, in the order of every row."""
