"""Flat pieces for checks of elements: a rectangle and a triangle."""

from __future__ import annotations

import math

import numpy as np

from shellbuck.core.errors import Refusal
from shellbuck.engines.mesh import Mesh
from shellbuck.engines.mesh.elevate import from_quads
from shellbuck.engines.mesh.points import cells


def rectangle(x: np.ndarray, y: np.ndarray, order: int = 4) -> Mesh:
    """A flat rectangle in the plane z = 0, in Cartesian coordinates; first direction x, second y, normal z.

    Parameters
    ----------
    x, y : numpy.ndarray
        (m + 1,) and (n + 1,) rising lines between elements [m].
    order : int
        Polynomial order, 1 to 8.

    Raises
    ------
    Refusal
        When the lines do not rise.

    Examples
    --------
    >>> mesh = rectangle(np.linspace(0, 2, 3), np.array([0.0, 0.2, 1.0]), 3)
    >>> len(mesh.elements), len(mesh.points), mesh.areas()
    (4, 49, {'skin': 2.0})
    """
    lines = [np.asarray(values, dtype=float) for values in (x, y)]
    for key, values in zip("xy", lines, strict=True):
        if values.ndim != 1 or len(values) < 2 or not (np.isfinite(values).all() and (np.diff(values) > 0).all()):
            raise Refusal.of("mesh-shape", "two or more rising numbers are needed", key)
    m, n = len(lines[0]), len(lines[1])
    places = np.stack([*np.meshgrid(*lines, indexing="ij"), np.zeros((m, n))], axis=-1)
    at = np.arange(m * n).reshape(m, n)
    return from_quads(places.reshape(-1, 3), cells(at[..., None]).reshape(-1, 2, 2), order)


def triangle(side: float, divisions: int = 1, order: int = 4) -> Mesh:
    """A flat equilateral triangle as three quadrilaterals about its centroid, each of n by n elements.

    Parameters
    ----------
    side : float
        Side a [m]; the base lies on the x axis from 0 to a.
    divisions : int
        Elements n per half side.
    order : int
        Polynomial order, 1 to 8.

    Raises
    ------
    Refusal
        For a side or a division that is not positive.

    Examples
    --------
    >>> mesh = triangle(1.0, 2, 4)
    >>> len(mesh.elements), len(mesh.points), round(mesh.areas()["skin"], 6)
    (12, 217, 0.433013)
    """
    if not (math.isfinite(side) and side > 0):
        raise Refusal.of("value-range", "a side is positive", "side", f"{side:g} m")
    if isinstance(divisions, bool) or not isinstance(divisions, int) or not 1 <= divisions <= 1000:
        raise Refusal.of("value-range", "no such division", "divisions", repr(divisions)[:60], "1 to 1000")
    n = divisions
    s = np.arange(n + 1)
    ends = np.array([n - s, s])
    corner = 6 * np.array([[0, 0], [2, 0], [1, 1]])  # in units of a/12 and h/6
    following, before, middle = np.roll(corner, -1, axis=0), np.roll(corner, 1, axis=0), corner.sum(axis=0) // 3
    codes = []
    for k in range(3):
        square = np.array([[corner[k], (before[k] + corner[k]) // 2], [(corner[k] + following[k]) // 2, middle]])
        grid = np.einsum("abc,ai,bj->ijc", square, ends, ends)
        codes.append(grid[..., 0] + grid[..., 1] * (12 * n * n + 1))
    found, numbers = np.unique(cells(np.stack(codes)[..., None]), return_inverse=True)
    u, v = found % (12 * n * n + 1), found // (12 * n * n + 1)
    height = side * math.sqrt(3) / 2
    points = np.column_stack([u * side / (12 * n * n), v * height / (6 * n * n), np.zeros(len(found))])
    return from_quads(points, numbers.reshape(-1, 2, 2), order)
