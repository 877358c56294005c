"""A milled grid of triangles."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from ...core.errors import Problem, Refusal
from .. import shop
from ..rules import Rule, Rules, larger, smaller
from ..sections import Blade, Tee
from ..sections.section import Dimension, Torsion
from ..shop import Bound, Pattern, Setting, Values, Variable
from .mass import TRIANGLE_CORNER
from .wall import (
    Corner,
    Count,
    Fit,
    Ribs,
    Side,
    SkinField,
    Spacing,
    Wall,
    corner_rule,
    exactly_one,
    flange_problems,
    rib_section,
)

ROOT3 = math.sqrt(3)


@dataclass(frozen=True)
class TriangularGrid(Wall):
    """Milled equilateral grid of ribs in three directions, of the skin's own metal: blades, or tees with a flange.

    Parameters
    ----------
    family : {"hoop", "axial"}
        One rib family runs along the hoop (ribs at 90 and +-30 degrees to the axis) or along the axis
        (0 and +-60 degrees).
    side : {"inside", "outside"}
        Of the skin.
    rib_depth, rib_thickness : float
        Depth from the skin surface over all, and width of a rib [m].
    triangle_side, triangle_height, count_around : float, float, int
        Exactly one. Side a and height h = a sqrt(3)/2 run between rib middles [m]. `count_around` is the number
        of triangle sides (hoop family) or of columns of height h (axial family) on the circumference.
    flange_width, flange_thickness : float or None
        Of a flange at the edge of every rib [m]; blades without a width, and a thickness of None is that of the rib.
    torsion_constant : float or None
        Of one rib [m^4]; None takes that of open rectangles.
    corner_radius : float or None
        Of the fillets that the cutter leaves in the corners of the pockets [m]; they count in the mass alone.
    """

    milled: ClassVar[bool] = True
    not_covered: ClassVar[tuple[str, ...]] = ("pockets with the rotational hold of their ribs",)

    family: Literal["hoop", "axial"]
    side: Side
    rib_depth: Dimension
    rib_thickness: Dimension
    triangle_side: Spacing | None = None
    triangle_height: Spacing | None = None
    count_around: Count | None = None
    flange_width: Dimension | None = None
    flange_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None
    corner_radius: Corner | None = None
    kind: Literal["triangular grid"] = "triangular grid"

    def cross_problems(self) -> Iterator[Problem]:
        yield from exactly_one(self, "triangle_side", "triangle_height", "count_around")
        yield from flange_problems(self)

    def height(self, R: Any) -> Any:
        """Triangle height h [m] on a skin of this middle radius [m]."""
        if self.triangle_height is not None:
            return self.triangle_height
        if self.triangle_side is not None:
            return self.triangle_side * ROOT3 / 2
        pitch = 2 * math.pi * R / self.count_around
        return pitch * ROOT3 / 2 if self.family == "hoop" else pitch

    def pocket_radius(self, R: Any) -> Any:
        """Radius of the circle inside a pocket [m]: its middle is h/3 away from the middles of the ribs."""
        return self.height(R) / 3 - self.rib_thickness / 2

    @property
    def rib(self) -> Blade | Tee:
        """The section of every rib."""
        return rib_section(self, self.rib_thickness, self.torsion_constant)

    def ribs(self, R: Any, L: Any) -> tuple[Ribs, ...]:
        angles = (90.0, 30.0, -30.0) if self.family == "hoop" else (0.0, 60.0, -60.0)
        names = (f"ribs at {a:+g} deg" if a not in (0.0, 90.0) else f"ribs at {a:g} deg" for a in angles)
        renamed = {"depth": "wall.rib_depth", "thickness": "wall.rib_thickness"}
        h, rib = self.height(R), self.rib
        return tuple(Ribs(name, a, h, rib, self.side, "wall.", renamed) for name, a in zip(names, angles, strict=True))

    def skin_field(self, R: Any, L: Any) -> SkinField:
        return SkinField("triangle", self.height(R), family=self.family)

    def limits(self, R: Any, L: Any) -> Rules:
        h, most = self.height(R), smaller(L, math.pi * R / 3)
        b = self.rib_thickness if self.flange_width is None else larger(self.rib_thickness, self.flange_width)
        yield Rule(
            "ribs-overlap",
            b >= 2 * h / 3,
            lambda: (
                "the ribs overlap: no pocket is left",
                "wall.rib_thickness" if self.flange_width is None else "wall.flange_width",
                f"{b * 1e3:g} mm",
                f"below {2e3 * h / 3:.4g} mm for height {h * 1e3:.4g} mm",
            ),
        )
        yield Rule(
            "grid-too-coarse",
            h > most,
            lambda: (
                "a triangle must fit the barrel several times",
                "wall",
                f"height {h:.4g} m",
                f"at most {most:.4g} m",
            ),
        )
        first = self.ribs(R, L)[0]
        yield from first.section.limits(R, first.key)
        yield from corner_rule(self.corner_radius, self.pocket_radius(R))

    def fits(self, R: Any, L: Any) -> Iterator[Fit]:
        h = self.height(R)
        side = 2 * h / ROOT3
        pitch, row = (side, h) if self.family == "hoop" else (2 * h, side / 2)
        names = ("triangle sides", "rows of triangles") if self.family == "hoop" else ("column pairs", "half sides")
        yield Fit("grid", names[0], 2 * math.pi * R / pitch, "around")
        yield Fit("grid", names[1], L / row, "over the length")

    def corners(self, R: Any, L: Any) -> Any:
        """Three a triangle, whose area is h^2/sqrt(3)."""
        if self.corner_radius is None:
            return 0.0
        return 3 * TRIANGLE_CORNER * self.corner_radius**2 * self.rib_depth * ROOT3 / self.height(R) ** 2

    @classmethod
    def patterns(cls) -> tuple[Pattern, ...]:
        return tuple(_pattern(side, family) for family in ("hoop", "axial") for side in ("inside", "outside"))


def _pattern(side: Side, family: Literal["hoop", "axial"]) -> Pattern:
    share = ROOT3 / 2 if family == "hoop" else 1.0  # of the height over the distance of what is counted around

    def variables(s: Setting) -> tuple[Variable, ...]:
        # spacing between parallel ribs is the triangle height; an axial family repeats in pairs of columns
        count = shop.around(s, share) if family == "hoop" else shop.around(s, step=2)
        heights = 2 * math.pi * s.barrel.radius * share
        low = max(count[0], 7 if family == "hoop" else 14, math.ceil(heights / s.barrel.length))
        if low > count[1]:
            raise Refusal.of(
                "range-empty",
                "no triangle of an allowed spacing fits the barrel several times",
                "limits.spacing_least",
                f"{s.limits.spacing_least * 1e3:g} mm",
                "",
                "lower spacing_least",
            )
        return (
            shop.skin(s.limits, True),
            *shop.rib(s.limits, True),
            Variable("count", low, count[1], True, 1 if family == "hoop" else 2),
        )

    def wall(s: Setting, v: Values, whole: bool) -> TriangularGrid:
        size = (
            {"count_around": shop.number(v["count"]), "corner_radius": s.limits.cutter_radius}
            if whole
            else {"triangle_height": s.around(v) / v["count"] * share}
        )
        return shop.made(
            TriangularGrid, family=family, side=side, rib_depth=v["depth"], rib_thickness=v["thickness"], **size
        )

    def bounds(s: Setting, v: Values) -> list[Bound]:
        made = wall(s, v, True)
        return [
            *made.rib.bounds(s, "rib"),
            shop.pocket(s, 2 * made.pocket_radius(s.radius(v)), "circle inside"),
            shop.plate(s, v["skin"], v["depth"]),
        ]

    return Pattern(
        f"triangular-grid-{'' if family == 'hoop' else 'axial-'}{side}",
        f"triangular grid {side}" + ("" if family == "hoop" else ", one rib family along the axis"),
        "milled",
        variables,
        wall,
        bounds,
        group="a milled grid",
        compared=family == "hoop",
    )
