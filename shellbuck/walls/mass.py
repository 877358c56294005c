"""Mass of a wall, at nominal skin thickness; rib crossings are counted once per rib (slightly heavy).

Rings given by their number between the ends weigh as many as they are; stiffness spreads them over one bay more. Ribs
given by a spacing weigh one in every spacing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..model.case import Case
from ..model.wall import GivenStiffness, Orthogrid, StiffenedWall, TriangularGrid
from .build import build_wall


@dataclass(frozen=True)
class WallMass:
    """Mass figures of a barrel wall.

    `per_area` [kg/m^2], `total` of the barrel [kg], `mean_thickness` t_bar [m] of the skin's metal (None for a
    given stiffness), `raw_to_finished`: plate mass over wall mass for a wall milled from one plate of thickness
    skin + ribs, before trim and weld lands (None where nothing is milled).
    """

    per_area: float
    total: float
    mean_thickness: float | None
    raw_to_finished: float | None


def weigh(case: Case) -> WallMass:
    """Mass of the case's wall."""
    barrel, wall = case.barrel, case.wall
    surface = 2 * math.pi * barrel.middle_radius * barrel.length
    if isinstance(wall, GivenStiffness):
        return WallMass(wall.mass_per_area, wall.mass_per_area * surface, None, None)
    t, density = barrel.skin_thickness, case.material.density
    smeared = build_wall(case, case.reference_temperature, thickness=t)
    per_area = density * t
    for rib in smeared.ribs:
        own = getattr(wall, rib.name, None).material if isinstance(wall, StiffenedWall) else None
        per_length = 1 / rib.spacing
        if rib.name == "rings" and isinstance(wall, StiffenedWall) and wall.rings.count is not None:
            per_length = wall.rings.count / barrel.length
        per_area += (own or case.material).density * rib.area * per_length
    milled = isinstance(wall, Orthogrid | TriangularGrid)
    raw = density * (t + wall.rib_depth) / per_area if milled else None
    return WallMass(per_area, per_area * surface, per_area / density, raw)
