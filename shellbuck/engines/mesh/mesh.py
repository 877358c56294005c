"""The mesh as arrays: quadrilaterals of one order on Gauss-Lobatto points, in curvilinear coordinates.

Coordinates are (x, theta, r): axial [m], hoop angle [rad], radius [m], or plain Cartesian ones in tests of plates. An
element is bilinear between its corners in these coordinates, so that skins, webs and rings lie on their exact surfaces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields

import numpy as np

from .points import Coordinates, areas


def _nothing() -> np.ndarray:
    return np.empty(0, dtype=np.int64)


def family_of(part: str) -> str:
    """The family of a part, its first word: "rib inclined" and "rib hoop" are ribs.

    Examples
    --------
    >>> family_of("rib hoop in plane"), family_of("skin")
    ('rib', 'skin')
    """
    return part.split()[0]


@dataclass(frozen=True, eq=False)
class Mesh:
    """Quadrilaterals of one order.

    Parameters
    ----------
    order : int
        Polynomial order p, 1 or more.
    points : numpy.ndarray
        (nodes, 3) coordinates of the nodes.
    elements : numpy.ndarray
        (e, (p + 1)^2) node numbers; local node (i, j) stands at i (p + 1) + j, i along the first direction.
    corners : numpy.ndarray
        (e, 2, 2, 3) coordinates of the corners, theta continuous inside an element. In a skin the first direction is
        hoop and the second axial (in a triangular pocket they point anywhere), so that their cross product points
        outward; in a web the first runs along the rib and the second away from the skin.
    part : numpy.ndarray
        (e,) index into `parts`.
    parts : tuple of str
        Names of the parts: "skin", "stringer", "ring"; families of a triangular grid are "rib hoop", "rib axial" and
        "rib inclined". A rib that lies in a plane of symmetry is named apart ("ring in plane", "rib hoop in plane"):
        half of its thickness belongs to the mesh.
    coordinates : {"cylindrical", "cartesian"}
    left, right : numpy.ndarray
        (k,) node numbers of the two side edges of a sector, matched: right[i] stands where left[i] comes to stand after
        a turn by `angle`. Empty when the mesh closes around. A rib along the left edge has no twin at the right, so
        `left` holds the nodes at its root and at crossings only.
    angle : float
        Hoop angle of the sector [rad]; 2 pi for the whole circumference.
    """

    order: int
    points: np.ndarray
    elements: np.ndarray
    corners: np.ndarray
    part: np.ndarray
    parts: tuple[str, ...]
    coordinates: Coordinates = "cylindrical"
    left: np.ndarray = field(default_factory=_nothing)
    right: np.ndarray = field(default_factory=_nothing)
    angle: float = 2 * math.pi

    @property
    def unknowns(self) -> int:
        """Six a node."""
        return 6 * len(self.points)

    def of_part(self, *names: str) -> np.ndarray:
        """(k,) numbers of the elements of the named parts; "rib" takes every family of ribs."""
        wanted = [i for i, part in enumerate(self.parts) if any(part == n or part.startswith(n + " ") for n in names)]
        return np.nonzero(np.isin(self.part, wanted))[0]

    def nodes_of(self, *names: str) -> np.ndarray:
        """(k,) rising numbers of the nodes of the named parts."""
        return np.unique(self.elements[self.of_part(*names)])

    def nodes_at(self, x: float) -> np.ndarray:
        """(k,) numbers of the nodes at the axial position x [m], on every part."""
        span = np.ptp(self.points[:, 0])
        return np.nonzero(np.abs(self.points[:, 0] - x) <= 1e-9 * span)[0]

    def areas(self) -> dict[str, float]:
        """Area of every part [m^2], of the middle surfaces."""
        each = areas(self.corners, self.coordinates)
        return {name: float(each[self.part == i].sum()) for i, name in enumerate(self.parts)}

    def positions(self) -> np.ndarray:
        """(nodes, 3) Cartesian positions [m]; the axis of a barrel is the third direction."""
        if self.coordinates == "cartesian":
            return self.points.copy()
        x, theta, r = self.points.T
        return np.column_stack([r * np.cos(theta), r * np.sin(theta), x])

    def same_as(self, other: Mesh) -> bool:
        """True when every entry agrees to the last bit."""
        pairs = ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))
        return all(np.array_equal(a, b) if isinstance(a, np.ndarray) else a == b for a, b in pairs)
