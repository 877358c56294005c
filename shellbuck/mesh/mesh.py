"""The mesh as arrays: quadrilaterals of one order on Gauss-Lobatto points, in curvilinear coordinates.

Coordinates are (x, theta, r): axial [m], hoop angle [rad], radius [m], or plain Cartesian ones in tests of plates. An
element is bilinear between its corners in these coordinates, so that skins, webs and rings lie on their exact surfaces.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

Coordinates = Literal["cylindrical", "cartesian"]


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
        (e, 2, 2, 3) coordinates of the corners, theta continuous inside an element. In a skin the first direction is hoop
        and the second axial, so that their cross product points outward.
    part : numpy.ndarray
        (e,) index into `parts`.
    parts : tuple of str
        Names of the parts: "skin", "stringer", "ring", "rib".
    coordinates : {"cylindrical", "cartesian"}
    """

    order: int
    points: np.ndarray
    elements: np.ndarray
    corners: np.ndarray
    part: np.ndarray
    parts: tuple[str, ...]
    coordinates: Coordinates = "cylindrical"

    @property
    def unknowns(self) -> int:
        """Six a node."""
        return 6 * len(self.points)

    def of_part(self, *names: str) -> np.ndarray:
        """(k,) numbers of the elements of the named parts."""
        return np.nonzero(np.isin(self.part, [self.parts.index(name) for name in names if name in self.parts]))[0]

    def nodes_of(self, *names: str) -> np.ndarray:
        """(k,) rising numbers of the nodes of the named parts."""
        return np.unique(self.elements[self.of_part(*names)])

    def nodes_at(self, x: float) -> np.ndarray:
        """(k,) numbers of the nodes at the axial position x [m], on every part."""
        span = np.ptp(self.points[:, 0])
        return np.nonzero(np.abs(self.points[:, 0] - x) <= 1e-9 * span)[0]
