"""One cell of an endless stiffened wall: skin, blade ribs along its sides, and the two vectors by which it repeats."""

from __future__ import annotations

import math
from abc import abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np

from ...core.errors import Problem
from ...model.checked import Checked, Quantity
from ...model.walls import Side

_Length = Annotated[float, Quantity("length", 1e-6, 1e4)]
_Modulus = Annotated[float, Quantity("stress", 1e-3, 1e15)]
_Ratio = Annotated[float, Quantity("number", -0.5, 0.5)]

Root = Literal["mid", "offset"]
"""Where the plate of a rib starts: at the middle of the skin, whose nodes it shares (half a skin thickness overlaps),
or at the skin's surface, on a rigid arm from the middle."""

Line = tuple[tuple[float, float], tuple[float, float]]
"""Two ends in units of the vectors of a cell."""


@dataclass(frozen=True)
class CellRib(Checked):
    """A blade.

    Parameters
    ----------
    depth : float
        From the skin surface to the free edge [m].
    thickness : float
        Width b of the blade [m].
    side : {"inside", "outside"}
    youngs_modulus : float or None
        Of its own metal [Pa]; None is the skin's.
    poissons_ratio : float or None
        Of its own metal; None is the skin's.
    """

    depth: _Length
    thickness: _Length
    side: Side = "inside"
    youngs_modulus: _Modulus | None = None
    poissons_ratio: _Ratio | None = None


@dataclass(frozen=True)
class Cell(Checked):
    """What every kind of cell has.

    Parameters
    ----------
    thickness : float
        Of the skin [m].
    youngs_modulus : float
        Of the skin, and of ribs without a metal of their own [Pa].
    poissons_ratio : float
    """

    thickness: _Length
    youngs_modulus: _Modulus
    poissons_ratio: _Ratio

    @property
    @abstractmethod
    def vectors(self) -> np.ndarray:
        """(2, 2) the vectors x and theta by which the cell repeats, as rows: axial and hoop component [m]. The phases
        (phi_x, phi_theta) belong to them in this order."""

    @property
    @abstractmethod
    def triangles(self) -> bool:
        """Whether the skin of a cell is two triangles, cut along the shorter diagonal, or one rectangle."""

    @abstractmethod
    def lines(self) -> dict[str, tuple[Line, CellRib]]:
        """Every rib of a cell once, by the name of its part."""

    @property
    @abstractmethod
    def widths(self) -> tuple[float, float]:
        """Of the skin field in the two directions of the cell [m]: what its elements are sized by."""

    @property
    def area(self) -> float:
        """Of the skin of a cell [m^2]."""
        return abs(float(np.linalg.det(self.vectors)))

    def reach(self, rib: CellRib) -> float:
        """Height of a rib's free edge above the middle of the skin, outward positive [m]."""
        return (self.thickness / 2 + rib.depth) * (1.0 if rib.side == "outside" else -1.0)

    def cross_problems(self) -> Iterator[Problem]:
        least = min(self.widths)
        for name, (_, rib) in self.lines().items():
            if rib.thickness >= least / 2:
                yield Problem(
                    "mesh-shape",
                    "a rib as wide as half the skin field is no plate",
                    f"{name}.thickness",
                    f"{rib.thickness:.4g} m",
                    f"below {least / 2:.4g} m",
                )


@dataclass(frozen=True)
class StringerCell(Cell):
    """Skin from one stringer to the next; the stringer runs along the side theta = 0.

    Parameters
    ----------
    pitch : float
        From stringer to stringer [m].
    length : float
        Of the cell along the axis [m]. It sets what a phase means: phi_x belongs to half-waves of pi length/phi_x.
    stringer : CellRib
    """

    pitch: _Length
    length: _Length
    stringer: CellRib

    triangles = False

    @property
    def vectors(self) -> np.ndarray:
        return np.diag([self.length, self.pitch])

    def lines(self) -> dict[str, tuple[Line, CellRib]]:
        return {"rib stringer": (((0, 0), (1, 0)), self.stringer)}

    @property
    def widths(self) -> tuple[float, float]:
        return self.pitch, self.pitch


@dataclass(frozen=True)
class OrthogridCell(Cell):
    """A rectangular pocket with a stringer and a ring along two of its sides.

    Parameters
    ----------
    pitch : float
        From stringer to stringer [m].
    length : float
        From ring to ring [m].
    stringer, ring : CellRib
    """

    pitch: _Length
    length: _Length
    stringer: CellRib
    ring: CellRib

    triangles = False

    @property
    def vectors(self) -> np.ndarray:
        return np.diag([self.length, self.pitch])

    def lines(self) -> dict[str, tuple[Line, CellRib]]:
        return {"rib stringer": (((0, 0), (1, 0)), self.stringer), "rib ring": (((0, 0), (0, 1)), self.ring)}

    @property
    def widths(self) -> tuple[float, float]:
        return self.length, self.pitch


@dataclass(frozen=True)
class TriangleCell(Cell):
    """Two equilateral triangles of a grid, with a rib of each family.

    Parameters
    ----------
    family : {"hoop", "axial"}
        "hoop": ribs at 90 and +-30 degrees to the axis; x is the side (h, a/2), theta the side (0, a).
        "axial": ribs at 0 and +-60 degrees; x is the side (a, 0), theta the side (a/2, h).
        Both pairs of sides meet at 60 degrees; h = a sqrt(3)/2.
    side : float
        Side a of a triangle [m].
    rib : CellRib
    """

    family: Literal["hoop", "axial"]
    side: _Length
    rib: CellRib

    triangles = True

    @property
    def height(self) -> float:
        """Of a triangle [m]."""
        return self.side * math.sqrt(3) / 2

    @property
    def vectors(self) -> np.ndarray:
        a, h = self.side, self.height
        return np.array([[h, a / 2], [0.0, a]] if self.family == "hoop" else [[a, 0.0], [a / 2, h]])

    def lines(self) -> dict[str, tuple[Line, CellRib]]:
        first, second = ("rib inclined", "rib hoop") if self.family == "hoop" else ("rib axial", "rib inclined")
        return {
            f"{first} x": (((0, 0), (1, 0)), self.rib),
            f"{second} theta": (((0, 0), (0, 1)), self.rib),
            "rib inclined across": (((1, 0), (0, 1)), self.rib),
        }

    @property
    def widths(self) -> tuple[float, float]:
        return self.side, self.side
