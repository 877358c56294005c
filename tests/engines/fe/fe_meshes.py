"""Small structured meshes that the tests of the elements build on."""

from __future__ import annotations

import numpy as np

from shellbuck.engines.mesh import Mesh
from shellbuck.engines.mesh.points import lobatto


def joined(
    order: int, corners: np.ndarray, part: np.ndarray, parts: tuple[str, ...], coordinates: str, closed: bool = False
) -> Mesh:
    """Elements (e, 2, 2, 3) whose nodes are joined where their coordinates agree, theta modulo 2 pi when closed."""
    s = (1 + lobatto(order)) / 2
    f = np.stack([1 - s, s], -1)
    c = np.einsum("ia,jb,eabk->eijk", f, f, corners).reshape(-1, 3)
    size = np.abs(c).max(axis=0)
    key = c.copy()
    if closed:
        key[:, 1] = np.mod(key[:, 1] + 1e-9, 2 * np.pi)
    key = np.rint(key / np.where(size > 0, size, 1.0) * 1e8).astype(np.int64)
    _, first, number = np.unique(key, axis=0, return_index=True, return_inverse=True)
    return Mesh(order, c[first], number.reshape(len(corners), -1), corners, part, parts, coordinates)


def grid(a: np.ndarray, b: np.ndarray, place) -> np.ndarray:
    """Corners (e, 2, 2, 3) of a grid of lines a, b; `place` maps (first, second) arrays to coordinates (..., 3)."""
    first, second = np.meshgrid(a, b, indexing="ij")
    p = place(first, second)
    quads = np.stack([np.stack([p[:-1, :-1], p[:-1, 1:]], 2), np.stack([p[1:, :-1], p[1:, 1:]], 2)], 2)
    return quads.reshape(-1, 2, 2, 3)


def single(order: int, corners: np.ndarray, coordinates: str = "cartesian", part: str = "skin", **more) -> Mesh:
    """A mesh of one part."""
    return joined(order, corners, np.zeros(len(corners), dtype=int), (part,), coordinates, **more)


def plate(order: int, a: np.ndarray, b: np.ndarray) -> Mesh:
    """A flat sheet in the plane z = 0, lines a along x and b along y."""
    return single(order, grid(a, b, lambda x, y: np.stack([x, y, 0 * x], -1)))


def skin(radius: float, theta: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Corners of a cylinder's skin, hoop first."""
    return grid(theta, x, lambda t, s: np.stack([s, t, np.full_like(s, radius)], -1))


def stringer(theta: float, r: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Corners of a radial web along the axis."""
    return grid(r, x, lambda s, y: np.stack([y, np.full_like(s, theta), s], -1))


def ring(x: float, r: np.ndarray, theta: np.ndarray) -> np.ndarray:
    """Corners of a ring's web."""
    return grid(r, theta, lambda s, t: np.stack([np.full_like(s, x), t, s], -1))


def built(order: int, closed: bool = False, **parts: np.ndarray) -> Mesh:
    """A cylindrical mesh of named parts given by their corners."""
    corners = np.concatenate(list(parts.values()))
    number = np.repeat(np.arange(len(parts)), [len(c) for c in parts.values()])
    return joined(order, corners, number, tuple(parts), "cylindrical", closed)


def edge(mesh: Mesh, axis: int, value: float) -> np.ndarray:
    """Nodes with a coordinate equal to a value."""
    return np.nonzero(np.abs(mesh.points[:, axis] - value) < 1e-9 * max(1.0, np.ptp(mesh.points[:, axis])))[0]
