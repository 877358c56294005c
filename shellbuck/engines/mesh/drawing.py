"""From the model's drawing dimensions to a shape that can be meshed."""

from __future__ import annotations

import math

from ...core.errors import Problem, Refusal
from ...model import Barrel, Orthogrid, PlainWall, StiffenedWall, Stiffeners, TriangularGrid
from ...model.wall import Wall
from .shapes import Blades, Shape, StraightRibs, TriangularRibs


def shape_of(barrel: Barrel, wall: Wall, thickness: float) -> Shape:
    """The shape of a barrel of the model.

    Parameters
    ----------
    barrel : Barrel
    wall : PlainWall, StiffenedWall, Orthogrid or TriangularGrid
    thickness : float
        Of the skin [m], e.g. the one that decides stability.

    A spacing is changed by up to 1 % to the nearest whole number around or in the length.

    Raises
    ------
    Refusal
        When the ribs are no blades, or no whole number is so near.
    """
    R, L = barrel.middle_radius, barrel.length
    if isinstance(wall, PlainWall):
        return StraightRibs(R, L, thickness)
    if isinstance(wall, TriangularGrid):
        h = wall.height(R)
        count = _whole(2 * math.pi * R / (h * 2 / math.sqrt(3) if wall.family == "hoop" else h), "wall", "around")
        return TriangularRibs(wall.family, R, L, thickness, count, wall.rib_depth, wall.rib_thickness, wall.side)
    if not isinstance(wall, StiffenedWall | Orthogrid):
        raise Refusal(
            Problem(
                "mesh-shape", "a wall known by its stiffness alone has no ribs to mesh", "wall", way_out="give the ribs"
            )
        )
    stringers, rings = wall.stringers, wall.rings
    around = along = None
    if stringers is not None:
        pitch = stringers.spacing
        number = stringers.count or _whole(2 * math.pi * R / pitch, "wall.stringers.spacing", "around")
        around = _blades(stringers, number, "wall.stringers")
    if rings is not None:
        number = rings.count or _whole(L / rings.spacing, "wall.rings.spacing", "in the length") - 1
        along = _blades(rings, number, "wall.rings") if number else None
    return StraightRibs(R, L, thickness, around, along)


def _blades(family: Stiffeners, count: int, where: str) -> Blades:
    if family.section != "blade":
        raise Refusal(Problem("mesh-shape", "only blades can be meshed", f"{where}.section", family.section, "blade"))
    return Blades(count, family.depth, family.thickness, family.side)


def _whole(number: float, where: str, what: str) -> int:
    near = max(1, round(number))
    if abs(number - near) > 0.01 * near:
        raise Refusal(
            Problem(
                "mesh-shape",
                f"the spacing does not fit {what} in a whole number",
                where,
                f"{number:.4g} spacings",
                f"within 1 % of {near}",
                "give the count",
            )
        )
    return near
