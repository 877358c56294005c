"""Exact surfaces: an element is bilinear between its corners in curvilinear coordinates.

A chart turns coordinates into places, with first and second derivatives, so that the normal and its derivatives are
exact on cylinders, rings, radial webs and webs along an inclined line. The tangents are those of the polynomial through
the nodes: a rigid motion then strains no element, however curved. With the exact tangents it would, by the error of
interpolation, which is large at order 1; from order 3 on the loads are the same to six digits.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..mesh import Mesh
from .shapes import Table

Position = Callable[[np.ndarray], tuple[np.ndarray, np.ndarray, np.ndarray]]

_FLAT = 1e-4
"""Sine of the angle between axis and surface below which the hoop direction starts the surface frame."""


@dataclass(frozen=True, eq=False)
class Chart:
    """How coordinates become places.

    Parameters
    ----------
    position : callable
        (..., 3) coordinates to places (..., 3) [m], Jacobian (..., 3, 3) and Hessian (..., 3, 3, 3), place first.
    directions : callable
        (..., 3) coordinates to the nodal directions (..., 3, 3): rows axial, hoop, radial, orthonormal.
    handedness : int
        1 where axial, hoop, radial is a right-handed triad, -1 where it is a left-handed one.
    shifts : tuple of int
        Coordinates along which an element can be shifted and stays the same in its nodal directions.
    """

    position: Position
    directions: Callable[[np.ndarray], np.ndarray]
    handedness: int = 1
    shifts: tuple[int, ...] = ()


def _cylinder(c: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    x, cos, sin, r = c[..., 0], np.cos(c[..., 1]), np.sin(c[..., 1]), c[..., 2]
    J = np.zeros((*c.shape, 3))
    J[..., 0, 0] = 1.0
    J[..., 1, 1], J[..., 2, 1] = -r * sin, r * cos
    J[..., 1, 2], J[..., 2, 2] = cos, sin
    H = np.zeros((*c.shape, 3, 3))
    H[..., 1, 1, 1], H[..., 2, 1, 1] = -r * cos, -r * sin
    H[..., 1, 1, 2] = H[..., 1, 2, 1] = -sin
    H[..., 2, 1, 2] = H[..., 2, 2, 1] = cos
    return np.stack([x, r * cos, r * sin], -1), J, H


def _around(c: np.ndarray) -> np.ndarray:
    cos, sin = np.cos(c[..., 1]), np.sin(c[..., 1])
    T = np.zeros((*c.shape, 3))
    T[..., 0, 0] = 1.0
    T[..., 1, 1], T[..., 1, 2] = -sin, cos
    T[..., 2, 1], T[..., 2, 2] = cos, sin
    return T


def _identity(c: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    return c, global_axes(c), np.zeros((*c.shape, 3, 3))


def global_axes(c: np.ndarray) -> np.ndarray:
    """(..., 3, 3) the global axes as nodal directions, for Cartesian coordinates and special charts."""
    return np.broadcast_to(np.eye(3), (*c.shape, 3))


CYLINDRICAL = Chart(_cylinder, _around, handedness=-1, shifts=(0, 1))
"""Coordinates (x, theta, r); hoop cross axial points outward, as the meshes of skins have it."""

CARTESIAN = Chart(_identity, global_axes, shifts=(0, 1, 2))
"""Coordinates are places; axial, hoop, radial are the global axes."""


def chart_of(mesh: Mesh) -> Chart:
    """The chart that a mesh's coordinates ask for."""
    return CYLINDRICAL if mesh.coordinates == "cylindrical" else CARTESIAN


def bilinear(corners: np.ndarray, at: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Coordinates (e, q, 3), first derivatives (e, q, 2, 3) and mixed derivative (e, 1, 3) at places `at` (q, 2)."""
    f = np.stack([(1 - at) / 2, (1 + at) / 2], -1)  # place, direction, end
    d = np.array([-0.5, 0.5])
    c = np.einsum("qa,qb,eabk->eqk", f[:, 0], f[:, 1], corners)
    slope = np.stack(
        [np.einsum("a,qb,eabk->eqk", d, f[:, 1], corners), np.einsum("qa,b,eabk->eqk", f[:, 0], d, corners)], 2
    )
    return c, slope, np.einsum("a,b,eabk->ek", d, d, corners)[:, None]


@dataclass(frozen=True, eq=False)
class Surface:
    """Elements at some places of each.

    Parameters
    ----------
    normal : numpy.ndarray
        (e, q, 3) exact unit normal, first cross second direction.
    turning : numpy.ndarray
        (e, q, 2, 3) its derivatives in the two directions of the element.
    tangent : numpy.ndarray
        (e, q, 2, 3) derivatives of the place [m].
    frame : numpy.ndarray
        (e, q, 2, 3) orthonormal e1, e2 in the surface: e1 along the axis where it can be, else along the hoop.
    to_frame : numpy.ndarray
        (e, q, 2, 2) derivative along e_a = to_frame[a, b] times derivative in direction b [1/m].
    area : numpy.ndarray
        (e, q) weight of integration [m^2].
    directions : numpy.ndarray
        (e, q, 3, 3) axial, hoop and radial direction of the place.
    """

    normal: np.ndarray
    turning: np.ndarray
    tangent: np.ndarray
    frame: np.ndarray
    to_frame: np.ndarray
    area: np.ndarray
    directions: np.ndarray


def surface(chart: Chart, corners: np.ndarray, places: np.ndarray, table: Table) -> Surface:
    """The geometry of elements (e, 2, 2, 3) with nodes at `places` (e, n, 3) [m], at the places of a table."""
    c, slope, mixed = bilinear(corners, table.at)
    _, J, H = chart.position(c)
    t = np.einsum("eqij,eqaj->eqai", J, slope)
    t_mixed = np.einsum("eqij,eqj->eqi", J, np.broadcast_to(mixed, c.shape))
    tt = np.einsum("eqijk,eqaj,eqbk->eqabi", H, slope, slope)
    tt[:, :, 0, 1] += t_mixed
    tt[:, :, 1, 0] += t_mixed
    n = np.cross(t[:, :, 0], t[:, :, 1])
    size = np.linalg.norm(n, axis=-1, keepdims=True)
    n = n / size
    turning = (np.cross(tt[:, :, 0], t[:, :, 1, None]) + np.cross(t[:, :, 0, None], tt[:, :, 1])) / size[..., None]
    turning -= np.einsum("eqai,eqi,eqj->eqaj", turning, n, n)

    tangent = np.einsum("qan,eni->eqai", table.shape[:, 1:], places)
    m = np.cross(tangent[:, :, 0], tangent[:, :, 1])
    size = np.linalg.norm(m, axis=-1)
    m = m / size[..., None]
    directions = chart.directions(c)
    e1 = _in_surface(directions[:, :, 0], m)
    along = np.linalg.norm(e1, axis=-1, keepdims=True)
    e1 = np.where(along > _FLAT, e1, _in_surface(directions[:, :, 1], m))
    e1 = e1 / np.linalg.norm(e1, axis=-1, keepdims=True)
    frame = np.stack([e1, chart.handedness * np.cross(m, e1)], 2)
    to_frame = np.linalg.inv(np.einsum("eqbi,eqai->eqba", tangent, frame))
    return Surface(n, turning, tangent, frame, to_frame, size * table.weight, directions)


def _in_surface(direction: np.ndarray, normal: np.ndarray) -> np.ndarray:
    return direction - np.sum(direction * normal, -1, keepdims=True) * normal
