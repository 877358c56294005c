"""Wall dimensions, as they stand on a drawing. The wall's stiffness is worked out in shellbuck.model.walls."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal

from ..core.errors import Problem
from .checked import Checked, Matrix, Quantity, Whole
from .material import Material

Side = Literal["inside", "outside"]
_Dimension = Annotated[float, Quantity("length", 1e-5, 10.0)]
_Spacing = Annotated[float, Quantity("length", 1e-4, 100.0)]
_Count = Annotated[int, Whole(1, 20000)]
_Corner = Annotated[float, Quantity("length", 0.0, 0.1)]
_Torsion = Annotated[float, Quantity("second moment of area", 0.0, 1.0)]


def _exactly_one(wall: Checked, *keys: str) -> Iterator[Problem]:
    given = [k for k in keys if getattr(wall, k) is not None]
    if len(given) != 1:
        yield Problem(
            "give-exactly-one",
            "exactly one of these is needed",
            " / ".join(keys),
            ", ".join(given) if given else "none",
            "one of " + ", ".join(keys),
        )


@dataclass(frozen=True)
class SkinField:
    """The field of skin between ribs, a number or (N,) each.

    Parameters
    ----------
    shape : {"triangle", "strip", "rectangle"}
        Between grid ribs, between stringers alone, or between stringers and rings.
    b : float
        Height of the triangle, or width from stringer to stringer [m].
    length : float or None
        Of a rectangle, from ring to ring [m].
    family : str
        Of a triangle: "hoop" or "axial".
    """

    shape: Literal["triangle", "strip", "rectangle"]
    b: Any
    length: Any = None
    family: str = ""


class WallKind(Checked):
    """What every wall says about itself; radii, lengths and the answers are numbers or (N,)."""

    plain: ClassVar[bool] = False
    """A bare sheet."""
    has_dimensions: ClassVar[bool] = True
    """Skin and ribs are known by their dimensions, not by the stiffness alone."""
    held_rings: ClassVar[bool] = False
    """Rings whose blades are held by ribs that cross them."""

    def skin_field(self, R: Any, L: Any) -> SkinField | None:
        """The field of skin that buckles between ribs; None where no ribs divide the skin along the axis."""
        return None

    def ring_bay(self, L: Any) -> Any:
        """Length between rings [m]; None without rings."""
        return None


@dataclass(frozen=True)
class PlainWall(WallKind):
    """Bare sheet."""

    plain: ClassVar[bool] = True
    kind: Literal["plain"] = "plain"


@dataclass(frozen=True)
class TriangularGrid(WallKind):
    """Milled equilateral grid of blade ribs in three directions, of the skin's own metal.

    Parameters
    ----------
    family : {"hoop", "axial"}
        One rib family runs along the hoop (ribs at 90 and +-30 degrees to the axis) or along the axis
        (0 and +-60 degrees).
    side : {"inside", "outside"}
    rib_depth, rib_thickness : float
        Depth from the skin surface and width of a rib [m].
    triangle_side, triangle_height, count_around : float, float, int
        Exactly one. Side a and height h = a sqrt(3)/2 run between rib middles [m]. `count_around` is the number
        of triangle sides (hoop family) or of columns of height h (axial family) on the circumference.
    torsion_constant : float or None
        Of one rib [m^4]; None takes the open rectangle's.
    corner_radius : float or None
        Of the fillets that the cutter leaves in the corners of the pockets [m]; they count in the mass alone.
    """

    family: Literal["hoop", "axial"]
    side: Side
    rib_depth: _Dimension
    rib_thickness: _Dimension
    triangle_side: _Spacing | None = None
    triangle_height: _Spacing | None = None
    count_around: _Count | None = None
    torsion_constant: _Torsion | None = None
    corner_radius: _Corner | None = None
    kind: Literal["triangular grid"] = "triangular grid"

    def cross_problems(self) -> Iterator[Problem]:
        yield from _exactly_one(self, "triangle_side", "triangle_height", "count_around")

    def skin_field(self, R: Any, L: Any) -> SkinField:
        return SkinField("triangle", self.height(R), family=self.family)

    def height(self, radius: float) -> float:
        """Triangle height h [m] on a skin of this middle radius [m]."""
        if self.triangle_height is not None:
            return self.triangle_height
        if self.triangle_side is not None:
            return self.triangle_side * math.sqrt(3) / 2
        pitch = 2 * math.pi * radius / self.count_around
        return pitch * math.sqrt(3) / 2 if self.family == "hoop" else pitch

    def pocket_radius(self, radius: float) -> float:
        """Radius of the circle inside a pocket [m]: its middle is h/3 away from the middles of the ribs."""
        return self.height(radius) / 3 - self.rib_thickness / 2


@dataclass(frozen=True)
class Stiffeners(Checked):
    """One family of stringers or rings.

    Parameters
    ----------
    side : {"inside", "outside"}
    section : {"blade", "given"}
        A blade has `depth` (from the skin surface) and `thickness` [m]. A given section has `area` [m^2],
        `inertia` about its own centroid [m^4], `torsion_constant` [m^4] and `eccentricity`, the distance from
        skin middle to centroid [m, positive; `side` gives the sign].
    count, spacing : int, float
        Exactly one. Stringers: number around, or centre-to-centre spacing [m]. Rings: number between the
        supports (they divide the length into count + 1 equal bays), or spacing [m].
    material : Material or None
        None means the skin's.
    """

    side: Side
    section: Literal["blade", "given"]
    depth: _Dimension | None = None
    thickness: _Dimension | None = None
    area: Annotated[float, Quantity("area", 1e-10, 1.0)] | None = None
    inertia: Annotated[float, Quantity("second moment of area", 0.0, 1.0)] | None = None
    eccentricity: Annotated[float, Quantity("length", 0.0, 10.0)] | None = None
    torsion_constant: _Torsion | None = None
    count: _Count | None = None
    spacing: _Spacing | None = None
    material: Material | None = None

    def cross_problems(self) -> Iterator[Problem]:
        yield from _exactly_one(self, "count", "spacing")
        blade, given = ("depth", "thickness"), ("area", "inertia", "eccentricity", "torsion_constant")
        needed, foreign = (blade, given[:3]) if self.section == "blade" else (given, blade)
        for key in needed:
            if getattr(self, key) is None:
                yield Problem("value-missing", f"a {self.section} section needs it", key, way_out=f"give {key}")
        for key in foreign:
            if getattr(self, key) is not None:
                yield Problem(
                    "value-foreign", f"does not belong to a {self.section} section", key, way_out=f"drop {key}"
                )

    def pitch(self, R: Any) -> Any:
        """Centre-to-centre spacing of stringers [m] at this middle radius [m]."""
        return self.spacing if self.spacing is not None else 2 * math.pi * R / self.count

    def bay(self, L: Any) -> Any:
        """Spacing of rings [m]: `count` rings between the supports make count + 1 bays."""
        return self.spacing if self.spacing is not None else L / (self.count + 1)


@dataclass(frozen=True)
class StiffenedWall(WallKind):
    """Skin with stringers, rings or both."""

    stringers: Stiffeners | None = None
    rings: Stiffeners | None = None
    kind: Literal["stiffened"] = "stiffened"

    def cross_problems(self) -> Iterator[Problem]:
        if self.stringers is None and self.rings is None:
            yield Problem(
                "stiffeners-missing",
                "a stiffened wall needs stringers or rings",
                "",
                way_out='add [wall.stringers] or [wall.rings], or set kind = "plain"',
            )

    def skin_field(self, R: Any, L: Any) -> SkinField | None:
        if self.stringers is None:
            return None
        return _between(self.stringers.pitch(R), self.ring_bay(L))

    def ring_bay(self, L: Any) -> Any:
        return None if self.rings is None else self.rings.bay(L)


@dataclass(frozen=True)
class Orthogrid(WallKind):
    """Blade stringers and rings of one depth milled with the skin from one plate.

    Spacings and counts mean what they mean for `Stiffeners`, `corner_radius` what it means for `TriangularGrid`.
    """

    side: Side
    rib_depth: _Dimension
    stringer_thickness: _Dimension
    ring_thickness: _Dimension
    stringer_count: _Count | None = None
    stringer_spacing: _Spacing | None = None
    ring_count: _Count | None = None
    ring_spacing: _Spacing | None = None
    stringer_torsion_constant: _Torsion | None = None
    ring_torsion_constant: _Torsion | None = None
    corner_radius: _Corner | None = None
    held_rings: ClassVar[bool] = True
    kind: Literal["orthogrid"] = "orthogrid"

    def cross_problems(self) -> Iterator[Problem]:
        yield from _exactly_one(self, "stringer_count", "stringer_spacing")
        yield from _exactly_one(self, "ring_count", "ring_spacing")

    def skin_field(self, R: Any, L: Any) -> SkinField:
        return _between(self.stringer_pitch(R), self.ring_bay(L))

    def stringer_pitch(self, R: Any) -> Any:
        """Centre-to-centre spacing of the axial ribs [m]."""
        return 2 * math.pi * R / self.stringer_count if self.stringer_spacing is None else self.stringer_spacing

    def ring_bay(self, L: Any) -> Any:
        return L / (self.ring_count + 1) if self.ring_spacing is None else self.ring_spacing

    @property
    def stringers(self) -> Stiffeners:
        """The axial ribs as a family of stiffeners."""
        return Stiffeners(
            self.side,
            "blade",
            self.rib_depth,
            self.stringer_thickness,
            count=self.stringer_count,
            spacing=self.stringer_spacing,
            torsion_constant=self.stringer_torsion_constant,
        )

    @property
    def rings(self) -> Stiffeners:
        """The hoop ribs as a family of stiffeners."""
        return Stiffeners(
            self.side,
            "blade",
            self.rib_depth,
            self.ring_thickness,
            count=self.ring_count,
            spacing=self.ring_spacing,
            torsion_constant=self.ring_torsion_constant,
        )


def _between(b: Any, length: Any) -> SkinField:
    return SkinField("strip" if length is None else "rectangle", b, length)


@dataclass(frozen=True)
class GivenStiffness(WallKind):
    """A wall known only by its smeared 6x6 stiffness about the skin middle and its mass.

    ``N = A e + B k``, ``M = B e + D k``; order x, theta, x-theta; engineering shear and twist; outward positive.
    `A` [N/m], `B` [N], `D` [N m]: three rows of three.
    """

    A: Annotated[tuple[tuple[float, ...], ...], Matrix("membrane stiffness")]
    B: Annotated[tuple[tuple[float, ...], ...], Matrix("coupling stiffness")]
    D: Annotated[tuple[tuple[float, ...], ...], Matrix("bending stiffness")]
    mass_per_area: Annotated[float, Quantity("area density", 1e-3, 1e5)]
    has_dimensions: ClassVar[bool] = False
    kind: Literal["given stiffness"] = "given stiffness"

    def cross_problems(self) -> Iterator[Problem]:
        for key in "ABD":
            rows = getattr(self, key)
            try:
                good = len(rows) == 3 and all(len(r) == 3 and all(math.isfinite(x) for x in r) for r in rows)
            except TypeError:
                good = False
            if not good:
                yield Problem("stiffness-shape", "three rows of three finite numbers are needed", key)
                return
            scale = max(abs(x) for r in rows for x in r)
            if any(abs(rows[i][j] - rows[j][i]) > 1e-9 * scale for i in range(3) for j in range(i)):
                yield Problem("stiffness-symmetry", "the block is not symmetric", key)


Wall = PlainWall | TriangularGrid | StiffenedWall | Orthogrid | GivenStiffness
WALLS: dict[str, type] = {
    "plain": PlainWall,
    "triangular grid": TriangularGrid,
    "stiffened": StiffenedWall,
    "orthogrid": Orthogrid,
    "given stiffness": GivenStiffness,
}
