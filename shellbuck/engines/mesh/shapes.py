"""What is to be meshed: a barrel with its ribs as blades, how much of it, and how finely."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from ...core.errors import Problem
from ...model.checked import Checked, Quantity, Whole
from ...model.walls import Side
from .points import HIGHEST_ORDER

_Length = Annotated[float, Quantity("length", 1e-6, 1e4)]
_LARGEST_MISFIT = 0.05
"""By how much the rows of a triangular grid may be stretched to fit the length (own limit)."""
END_LAYER = 2.5
"""Length of the layer at an end, in units of sqrt(R t)."""


@dataclass(frozen=True)
class Blades(Checked):
    """A family of blade ribs.

    Parameters
    ----------
    count : int
        Stringers: number around. Rings: number between the ends, at equal distances.
    depth : float
        From the skin surface to the free edge [m].
    thickness : float
        Width b of the blade [m].
    side : {"inside", "outside"}
    """

    count: Annotated[int, Whole(1, 20000)]
    depth: _Length
    thickness: _Length
    side: Side = "inside"

    def reach(self, skin: float) -> float:
        """Depth of the modelled plate [m]: from the middle of the skin of thickness `skin` [m] to the free edge."""
        return skin / 2 + self.depth


@dataclass(frozen=True)
class StraightRibs(Checked):
    """A barrel, bare or with stringers, rings or both.

    Parameters
    ----------
    radius, length, thickness : float
        Middle radius, length and thickness of the skin [m].
    stringers, rings : Blades or None
    bays : int or None
        Equal bays around; None takes the number of stringers, or 1 without them. With stringers it must be theirs.
    """

    radius: _Length
    length: _Length
    thickness: _Length
    stringers: Blades | None = None
    rings: Blades | None = None
    bays: Annotated[int, Whole(1, 100000)] | None = None

    def cross_problems(self) -> Iterator[Problem]:
        if self.stringers is not None and self.bays not in (None, self.stringers.count):
            yield Problem(
                "mesh-shape", "a bay runs from stringer to stringer", "bays", str(self.bays), str(self.stringers.count)
            )
        for key in ("stringers", "rings"):
            blades = getattr(self, key)
            if blades is not None:
                yield from _depth_problem(blades.reach(self.thickness), blades.side, self.radius, f"{key}.depth")

    @property
    def around(self) -> int:
        """Equal bays on the circumference."""
        return self.stringers.count if self.stringers is not None else self.bays or 1

    @property
    def mirrored(self) -> bool:
        """Whether a plane through the axis mirrors the barrel along stringers or bay middles on both sides."""
        return self.around % 2 == 0

    @property
    def ribbed_around(self) -> bool:
        """Whether ribs break the symmetry of a turn about the axis."""
        return self.stringers is not None

    @property
    def bay(self) -> float:
        """Width of a bay [m]."""
        return 2 * math.pi * self.radius / self.around

    @property
    def panel(self) -> float:
        """Length between rings, or of the barrel without them [m]."""
        return self.length / (self.rings.count + 1 if self.rings is not None else 1)


@dataclass(frozen=True)
class TriangularRibs(Checked):
    """A barrel with blade ribs on the sides of triangles.

    Parameters
    ----------
    family : {"hoop", "axial"}
        Ribs at 90 and +-30 degrees to the axis, or at 0 and +-60.
    radius, length, thickness : float
        Middle radius, length and thickness of the skin [m].
    count : int
        hoop: triangle sides a around. axial: columns of height h around, an even number.
    depth, rib_thickness : float
        Of a rib: depth from the skin surface, width [m].
    side : {"inside", "outside"}
    rows : int or None
        hoop: rows of height h in the length. axial: half sides a/2 in the length. None takes the nearest that fits;
        the triangles are stretched along the axis by what is left.
    """

    family: Literal["hoop", "axial"]
    radius: _Length
    length: _Length
    thickness: _Length
    count: Annotated[int, Whole(3, 20000)]
    depth: _Length
    rib_thickness: _Length
    side: Side = "inside"
    rows: Annotated[int, Whole(1, 100000)] | None = None
    ribbed_around: ClassVar[bool] = True

    def cross_problems(self) -> Iterator[Problem]:
        if self.family == "axial" and self.count % 2:
            yield Problem(
                "mesh-shape", "columns of triangles close around in pairs", "count", str(self.count), "an even number"
            )
        row, number, misfit = self._row, self.row_count, self.stretch - 1
        if self.rows is None and abs(misfit) > _LARGEST_MISFIT:
            fits = ", ".join(f"{n * row:.4g} m" for n in range(max(1, number - 1), number + 2))
            yield Problem(
                "mesh-shape",
                "no whole number of rows of the grid fits the length",
                "length",
                f"{self.length:.4g} m",
                f"within {_LARGEST_MISFIT:.0%} of {fits}, ...",
                "change length or count, or give rows to stretch them",
            )
        elif not 0.5 <= self.stretch <= 2:
            yield Problem(
                "mesh-shape",
                "these rows are no longer near to equilateral triangles",
                "rows",
                str(self.rows),
                f"about {max(1, round(self.length / row))}",
            )
        yield from _depth_problem(self.blades.reach(self.thickness), self.side, self.radius, "depth")

    mirrored: ClassVar[bool] = False
    """No plane through the axis cuts the grid along the edges of its elements."""

    @property
    def blades(self) -> Blades:
        """The ribs as blades."""
        return Blades(self.count, self.depth, self.rib_thickness, self.side)

    @property
    def around(self) -> int:
        """Equal bays on the circumference: triangle sides, or pairs of columns."""
        return self.count if self.family == "hoop" else self.count // 2

    @property
    def _row(self) -> float:
        pitch = 2 * math.pi * self.radius / self.count
        return pitch * math.sqrt(3) / 2 if self.family == "hoop" else pitch / math.sqrt(3)

    @property
    def row_count(self) -> int:
        """Rows (hoop) or half sides (axial) in the length."""
        return self.rows if self.rows is not None else max(1, round(self.length / self._row))

    @property
    def row(self) -> float:
        """Length of a row (hoop) or of a half side (axial) as meshed [m]."""
        return self.length / self.row_count

    @property
    def stretch(self) -> float:
        """Length of a meshed row over that of equilateral triangles."""
        return self.row / self._row

    @property
    def longest_side(self) -> float:
        """Longest side of a triangle as meshed [m]."""
        pitch = 2 * math.pi * self.radius / self.count
        if self.family == "hoop":
            return max(pitch, math.hypot(pitch / 2, self.row))
        return max(2 * self.row, math.hypot(pitch, self.row))


Shape = StraightRibs | TriangularRibs


@dataclass(frozen=True)
class Extent(Checked):
    """How much of the barrel is meshed.

    Parameters
    ----------
    sector : int or None
        Bays around; None is the whole circumference, closed.
    half : bool
        From x = 0 to the plane of symmetry at half the length only.
    cut : {"on", "between"}
        Where the sides of a sector lie: on a stringer, whose web stands at the left edge alone, or half-way between
        two (even numbers of elements per bay; both sides are then planes of symmetry). A hoop grid is always cut along
        the zigzag of its inclined ribs, an axial grid on an axial rib.
    """

    sector: Annotated[int, Whole(1, 100000)] | None = None
    half: bool = False
    cut: Literal["on", "between"] = "on"


WHOLE = Extent()


@dataclass(frozen=True)
class Divisions(Checked):
    """How finely.

    Parameters
    ----------
    around : int
        Elements per bay around. Triangular grid: elements per half side of a pocket, everywhere.
    along : int
        Elements over the length, apart from the end layers; every stretch between rings takes at least its share,
        rounded up. Without meaning for a triangular grid.
    depth : int
        Elements over the depth of a web, apart from the thin layers.
    ends : int
        Elements over each end layer, 0 for none. Triangular grid: 1 cuts the rows at the ends in half.
    end_length : float or None
        Length of an end layer [m]; None is 2.5 sqrt(R t).
    layers : bool
        One more element of .75 b at root and free edge of webs that are 3 b deep or more.
    order : int
    """

    around: Annotated[int, Whole(1, 10000)] = 1
    along: Annotated[int, Whole(1, 100000)] = 1
    depth: Annotated[int, Whole(1, 100)] = 1
    ends: Annotated[int, Whole(0, 1000)] = 0
    end_length: _Length | None = None
    layers: bool = True
    order: Annotated[int, Whole(1, HIGHEST_ORDER)] = 4

    def layer(self, shape: Shape) -> float:
        """Length of an end layer on this shape [m]."""
        if self.end_length is not None:
            return self.end_length
        return END_LAYER * math.sqrt(shape.radius * shape.thickness)


def _depth_problem(reach: float, side: Side, radius: float, where: str) -> Iterator[Problem]:
    if side == "inside" and reach >= radius:
        yield Problem("mesh-shape", "the ribs reach the axis", where, f"{reach:.4g} m", f"below {radius:.4g} m")
