"""From the model's drawing dimensions to a shape that can be meshed."""

from __future__ import annotations

import math

from ...core.errors import Refusal
from ...model import Barrel
from ...model.walls import Ribs, Wall
from .shapes import Blades, Shape, StraightRibs, TriangularRibs


def shape_of(barrel: Barrel, wall: Wall, thickness: float) -> Shape:
    """The shape of a barrel of the model.

    Parameters
    ----------
    barrel : Barrel
    wall : Wall
    thickness : float
        Of the skin [m], e.g. the one that decides stability.

    A spacing is changed by up to 1 % to the nearest whole number around or in the length.

    Raises
    ------
    Refusal
        When the ribs are no blades, or no whole number is so near.
    """
    R, L = barrel.middle_radius, barrel.length
    if not wall.has_dimensions:
        raise Refusal.of(
            "mesh-shape", "a wall known by its stiffness alone has no ribs to mesh", "wall", way_out="give the ribs"
        )
    field, every = wall.skin_field(R, L), wall.ribs(R, L)
    if field is not None and field.shape == "triangle":
        pitch = field.b * 2 / math.sqrt(3) if field.family == "hoop" else field.b
        blades = _blades(every[0], _whole(2 * math.pi * R / pitch, "wall", "around"))
        return TriangularRibs(field.family, R, L, thickness, blades.count, blades.depth, blades.thickness, blades.side)
    by_angle: dict[float, Blades | None] = {0.0: None, 90.0: None}
    for ribs in every:
        if ribs.angle not in by_angle:
            raise Refusal.of("mesh-shape", "no mesh for ribs in these directions", "wall", ribs.name)
        pitches, what, less = (2 * math.pi * R, "around", 0) if ribs.angle == 0.0 else (L, "in the length", 1)
        number = ribs.count or _whole(pitches / ribs.spacing, ribs.key("spacing"), what) - less
        by_angle[ribs.angle] = _blades(ribs, number) if number else None
    return StraightRibs(R, L, thickness, by_angle[0.0], by_angle[90.0])


def _blades(ribs: Ribs, count: int) -> Blades:
    depth, thickness = ribs.section.blade
    if depth is None:
        what = "only blades can be meshed"
        raise Refusal.of("mesh-shape", what, ribs.key("section"), ribs.section.name, "blade")
    return Blades(count, depth, thickness, ribs.side)


def _whole(number: float, where: str, what: str) -> int:
    near = max(1, round(number))
    if abs(number - near) > 0.01 * near:
        raise Refusal.of(
            "mesh-shape",
            f"the spacing does not fit {what} in a whole number",
            where,
            f"{number:.4g} spacings",
            f"within 1 % of {near}",
            "give the count",
        )
    return near
