"""A milled grid of stringers and rings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from ...core.errors import Problem
from .. import shop
from ..rules import Rules, smaller
from ..sections.section import Dimension, Torsion
from ..shop import Bound, Pattern, Setting, Values, Variable
from .mass import RECTANGLE_CORNER
from .wall import (
    STRAIGHT_NOT_COVERED,
    Corner,
    Count,
    Ribs,
    Side,
    Spacing,
    Wall,
    along,
    around,
    corner_rule,
    exactly_one,
    flange_problems,
    rib_section,
)


@dataclass(frozen=True)
class Orthogrid(Wall):
    """Stringers and rings of one depth milled with the skin from one plate: blades, or tees with a flange.

    Parameters
    ----------
    side : {"inside", "outside"}
        Of the skin.
    rib_depth : float
        Of all ribs, from the skin surface over all [m].
    stringer_thickness, ring_thickness : float
        Widths of the ribs [m].
    stringer_count, stringer_spacing : int, float
        Exactly one: number around, or centre-to-centre spacing [m].
    ring_count, ring_spacing : int, float
        Exactly one: number between the supports (they divide the length into count + 1 equal bays), or spacing [m].
    flange_width, flange_thickness : float or None
        Of a flange at the edge of every rib [m]; blades without a width, and a thickness of None is that of the rib.
    stringer_torsion_constant, ring_torsion_constant : float or None
        Of one rib [m^4]; None takes that of open rectangles.
    corner_radius : float or None
        Of the fillets that the cutter leaves in the corners of the pockets [m]; they count in the mass alone.
    """

    held_rings: ClassVar[bool] = True
    milled: ClassVar[bool] = True
    not_covered: ClassVar[tuple[str, ...]] = STRAIGHT_NOT_COVERED

    side: Side
    rib_depth: Dimension
    stringer_thickness: Dimension
    ring_thickness: Dimension
    stringer_count: Count | None = None
    stringer_spacing: Spacing | None = None
    ring_count: Count | None = None
    ring_spacing: Spacing | None = None
    flange_width: Dimension | None = None
    flange_thickness: Dimension | None = None
    stringer_torsion_constant: Torsion | None = None
    ring_torsion_constant: Torsion | None = None
    corner_radius: Corner | None = None
    kind: Literal["orthogrid"] = "orthogrid"

    def cross_problems(self) -> Iterator[Problem]:
        yield from exactly_one(self, "stringer_count", "stringer_spacing")
        yield from exactly_one(self, "ring_count", "ring_spacing")
        yield from flange_problems(self)

    def ribs(self, R: Any, L: Any) -> tuple[Ribs, ...]:
        return (
            self._ribs("stringer", 0.0, around(self.stringer_spacing, self.stringer_count, R)),
            self._ribs("ring", 90.0, along(self.ring_spacing, self.ring_count, L)),
        )

    def _ribs(self, name: str, angle: float, spacing: Any) -> Ribs:
        section = rib_section(self, getattr(self, f"{name}_thickness"), getattr(self, f"{name}_torsion_constant"))
        keys = {"depth": "wall.rib_depth", "flange_width": "wall.flange_width"}
        count = getattr(self, f"{name}_count")
        return Ribs(f"{name}s", angle, spacing, section, self.side, f"wall.{name}_", keys, count=count)

    def pocket_widths(self, R: Any, L: Any) -> tuple[Any, Any]:
        """Widths of a pocket around and along [m]."""
        stringers, rings = self.ribs(R, L)
        return stringers.spacing - self.stringer_thickness, rings.spacing - self.ring_thickness

    def limits(self, R: Any, L: Any) -> Rules:
        yield from corner_rule(self.corner_radius, smaller(*self.pocket_widths(R, L)) / 2)
        yield from super().limits(R, L)

    def corners(self, R: Any, L: Any) -> Any:
        """Four a pocket, whose area is taken between rib middles."""
        if self.corner_radius is None:
            return 0.0
        return 4 * RECTANGLE_CORNER * self.corner_radius**2 * self.rib_depth / self.skin_field(R, L).area

    @classmethod
    def patterns(cls) -> tuple[Pattern, ...]:
        return _pattern("inside"), _pattern("outside")


def _pattern(side: Side) -> Pattern:
    def variables(s: Setting) -> tuple[Variable, ...]:
        depth, thickness = shop.rib(s.limits, True)
        return (
            shop.skin(s.limits, True),
            depth,
            thickness.of("stringer"),
            thickness.of("ring"),
            Variable("stringers", *shop.around(s), True),
            Variable("rings", *shop.along(s), True),
        )

    def wall(s: Setting, v: Values, whole: bool) -> Orthogrid:
        if whole:
            size = {"stringer_count": shop.number(v["stringers"]), "ring_count": shop.number(v["rings"])}
            size["corner_radius"] = s.limits.cutter_radius
        else:
            size = {
                "stringer_spacing": s.around(v) / v["stringers"],
                "ring_spacing": s.barrel.length / (v["rings"] + 1),
            }
        own = {key: v[key] for key in ("stringer_thickness", "ring_thickness")}
        return shop.made(Orthogrid, side=side, rib_depth=v["depth"], **own, **size)

    def bounds(s: Setting, v: Values) -> list[Bound]:
        made, R, L = wall(s, v, True), s.radius(v), s.barrel.length
        widths = zip(made.pocket_widths(R, L), ("around", "along"), strict=True)
        return [
            *(bound for r in made.ribs(R, L) for bound in r.section.bounds(s, r.name.removesuffix("s"))),
            *(shop.pocket(s, width, across) for width, across in widths),
            shop.plate(s, v["skin"], v["depth"]),
        ]

    name = f"orthogrid {side}"
    return Pattern(f"orthogrid-{side}", name, "milled", variables, wall, bounds, group="a milled grid", compared=True)
