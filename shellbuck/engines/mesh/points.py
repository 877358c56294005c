"""Points and shapes on [-1, 1]: Gauss-Lobatto nodes, the bilinear map between corners, quadrature of a surface."""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np
from numpy.polynomial import legendre

Coordinates = Literal["cylindrical", "cartesian"]
HIGHEST_ORDER = 8


@cache
def lobatto(order: int) -> np.ndarray:
    """Gauss-Lobatto nodes.

    Parameters
    ----------
    order : int
        Polynomial order p, 1 to HIGHEST_ORDER.

    Returns
    -------
    numpy.ndarray
        (p + 1,) rising from -1 to 1, symmetric to the last bit; read-only.

    Examples
    --------
    >>> lobatto(3).round(6).tolist()
    [-1.0, -0.447214, 0.447214, 1.0]
    """
    if not 1 <= order <= HIGHEST_ORDER:
        raise ValueError(f"no element of order {order}; there are 1 to {HIGHEST_ORDER}")
    inner = legendre.legroots(legendre.legder(np.eye(order + 1)[order])) if order > 1 else np.empty(0)
    nodes = np.concatenate([[-1.0], np.sort(inner.real), [1.0]])
    nodes = (nodes - nodes[::-1]) / 2
    nodes.setflags(write=False)
    return nodes


def bilinear(corners: np.ndarray, s: np.ndarray) -> np.ndarray:
    """Positions inside quadrilaterals that are bilinear between their corners.

    Parameters
    ----------
    corners : numpy.ndarray
        (e, 2, 2, 3) coordinates, any kind.
    s : numpy.ndarray
        (q,) positions on [-1, 1], the same along both directions.

    Returns
    -------
    numpy.ndarray
        (e, q, q, 3); at -1 and 1 the corners themselves, to the last bit.
    """
    ends = np.array([(1 - s) / 2, (1 + s) / 2])  # (2, q)
    return np.einsum("eabc,ai,bj->eijc", corners, ends, ends, optimize=True)


def cells(grid: np.ndarray) -> np.ndarray:
    """(..., m, n, 2, 2, c) corners of the cells of a grid (..., m + 1, n + 1, c) of anything."""
    return np.stack(
        [
            np.stack([grid[..., :-1, :-1, :], grid[..., :-1, 1:, :]], axis=-2),
            np.stack([grid[..., 1:, :-1, :], grid[..., 1:, 1:, :]], axis=-2),
        ],
        axis=-3,
    )


def tangents(corners: np.ndarray, s: np.ndarray, coordinates: Coordinates) -> tuple[np.ndarray, np.ndarray]:
    """Tangents along both directions, per unit of the local coordinate.

    Parameters
    ----------
    corners : numpy.ndarray
        (e, 2, 2, 3).
    s : numpy.ndarray
        (q,) positions on [-1, 1].
    coordinates : {"cylindrical", "cartesian"}

    Returns
    -------
    tuple of numpy.ndarray
        Two of (e, q, q, 3) [m]: components axial, hoop, radial in cylindrical coordinates, else x, y, z.
    """
    ends, slopes = np.array([(1 - s) / 2, (1 + s) / 2]), np.array([-0.5, 0.5])
    first = np.einsum("eabc,a,bj->ejc", corners, slopes, ends, optimize=True)[:, None, :, :]
    second = np.einsum("eabc,ai,b->eic", corners, ends, slopes, optimize=True)[:, :, None, :]
    shape = (len(corners), len(s), len(s), 3)
    first, second = np.broadcast_to(first, shape).copy(), np.broadcast_to(second, shape).copy()
    if coordinates == "cylindrical":
        r = bilinear(corners, s)[..., 2]
        first[..., 1] *= r
        second[..., 1] *= r
    return first, second


def normals(corners: np.ndarray, s: np.ndarray, coordinates: Coordinates) -> np.ndarray:
    """(e, q, q, 3) first tangent times second: the normal, as long as the area per unit square [m^2].

    In cylindrical coordinates the components are axial, hoop, radial; hoop times axial points outward.
    """
    first, second = tangents(corners, s, coordinates)
    cross = np.cross(first, second)
    return -cross if coordinates == "cylindrical" else cross  # (axial, hoop, radial) is a left-handed order


def areas(corners: np.ndarray, coordinates: Coordinates, points: int = 8) -> np.ndarray:
    """(e,) areas [m^2] of quadrilaterals with these corners, by Gauss points along each direction."""
    s, weights = legendre.leggauss(points)
    size = np.linalg.norm(normals(corners, s, coordinates), axis=-1)
    return np.einsum("eij,i,j->e", size, weights, weights, optimize=True)
