"""Finite strips, for the tests alone: an assembly of thin plates under uniform compression, one half-wave along it.

Fields of a strip: u linear across times cos, v linear and w cubic across times sin; plane stress and Kirchhoff bending;
work of the compression with the slopes of v and w. An upper bound for the plates that it is made of, and nothing of the
package in it.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

import numpy as np
from scipy.linalg import eigh

Point = tuple[float, float]


@lru_cache(maxsize=256)
def _strip(E: float, nu: float, t: float, b: float, k: float) -> tuple[np.ndarray, np.ndarray]:
    """Stiffness, and geometric stiffness of a stress of 1, in the strip's own axes: u, v, w, slope at both edges."""
    K, G, C = np.zeros((8, 8)), np.zeros((8, 8)), E / (1 - nu**2)
    bending, sideways = [2, 3, 6, 7], [1, 5]
    for y, weight in zip(*np.polynomial.legendre.leggauss(5), strict=True):
        s = (y + 1) / 2
        N, dN = np.array([1 - s, s]), np.array([-1, 1]) / b
        H = np.array([1 - 3 * s**2 + 2 * s**3, b * (s - 2 * s**2 + s**3), 3 * s**2 - 2 * s**3, b * (s**3 - s**2)])
        d1 = np.array([6 * s**2 - 6 * s, b * (1 - 4 * s + 3 * s**2), 6 * s - 6 * s**2, b * (3 * s**2 - 2 * s)]) / b
        d2 = np.array([12 * s - 6, b * (6 * s - 4), 6 - 12 * s, b * (6 * s - 2)]) / b**2
        strain, curve, slope = np.zeros((3, 8)), np.zeros((3, 8)), np.zeros((2, 8))
        strain[0, [0, 4]], strain[1, sideways] = -k * N, dN
        strain[2, [0, 4]], strain[2, sideways] = dN, k * N
        curve[0, bending], curve[1, bending], curve[2, bending] = k**2 * H, -d2, -2 * k * d1
        slope[0, sideways], slope[1, bending] = k * N, k * H
        plane = C * np.array([[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu) / 2]])
        K += weight * b / 2 * (t * strain.T @ plane @ strain + t**3 / 12 * curve.T @ plane @ curve)
        G += weight * b / 2 * t * slope.T @ slope
    return K, G


def lowest_stress(
    walls: list[tuple[Point, Point, float]],
    length: float,
    hinges: list[Point],
    *,
    mirrors: tuple[Point, ...] = (),
    E: float = 72e9,
    nu: float = 0.3,
    parts: int = 5,
) -> float:
    """Lowest buckling stress [Pa] of plates (start, end, thickness) [m] over one half-wave, their `hinges` held across
    and up, free to turn and to slide along; `mirrors` are held across and do not turn."""
    nodes, K, G = _assembled(walls, length, E, nu, parts)
    held = [4 * nodes[_near(p)] + q for p in hinges for q in (1, 2)]
    held += [4 * nodes[_near(p)] + q for p in mirrors for q in (1, 3)]
    free = np.setdiff1d(np.arange(len(K)), held)
    at = np.ix_(free, free)
    return 1 / float(eigh(G[at], K[at], eigvals_only=True, subset_by_index=[len(free) - 1] * 2)[0])


def _near(p: Point) -> Point:
    return round(float(p[0]), 9), round(float(p[1]), 9)


def _assembled(
    walls: list[tuple[Point, Point, float]], length: float, E: float, nu: float, parts: int
) -> tuple[dict[Point, int], np.ndarray, np.ndarray]:
    """Nodes, and stiffness and geometric stiffness in (along, across, up, slope) of every node."""
    nodes: dict[Point, int] = {}

    def node(p: Point) -> int:
        return nodes.setdefault(_near(p), len(nodes))

    strips = []
    for a, b, t in walls:
        line = np.linspace(np.array(a, float), np.array(b, float), parts + 1)
        strips += [(node(p), node(q), q - p, t) for p, q in pairwise(line)]
    K = np.zeros((4 * len(nodes), 4 * len(nodes)))
    G = np.zeros_like(K)
    for i, j, run, t in strips:
        width = float(np.hypot(*run))
        c, s = run / width
        turn = np.kron(np.eye(2), [[1, 0, 0, 0], [0, c, s, 0], [0, -s, c, 0], [0, 0, 0, 1]])
        stiff, geometric = _strip(E, nu, t, round(width, 12), math.pi / length)
        at = np.ix_(*[np.r_[4 * i : 4 * i + 4, 4 * j : 4 * j + 4]] * 2)
        K[at] += turn.T @ stiff @ turn
        G[at] += turn.T @ geometric @ turn
    return nodes, K, G


def twist_stiffness(
    skin: list[tuple[Point, Point, float]],
    hat: list[tuple[Point, Point, float]],
    links: list[tuple[Point, Point]],
    turned: list[Point],
    length: float,
    *,
    E: float = 72e9,
    nu: float = 0.3,
) -> float:
    """G J [N m^2] that a hat adds to a strip of skin on the level 0 which twists to and fro.

    The skin's `turned` nodes have the slope 1 and the height of their distance across; `links` tie points of the hat
    stiffly to the points of the skin below them. What the bare strip takes is left out.
    """
    nodes, K, _ = _assembled(skin + hat, length, E, nu, 4)
    k, n = math.pi / length, len(K)
    tie, gone = np.eye(n), []
    for above, below in links:
        i, j, e = 4 * nodes[_near(above)], 4 * nodes[_near(below)], above[1] - below[1]
        tie[i : i + 4] = 0.0
        tie[[i, i + 1, i + 2, i + 3], [j, j + 1, j + 2, j + 3]] = 1.0
        tie[i, j + 2], tie[i + 1, j + 3] = -e * k, -e
        gone += range(i, i + 4)
    forced = np.zeros(n)
    known = []
    for p in turned:
        i = 4 * nodes[_near(p)]
        forced[i + 2], forced[i + 3] = p[0], 1.0
        known += [i + 2, i + 3]
    free = np.setdiff1d(np.arange(n), [*known, *gone])
    K = tie.T @ K @ tie
    found = forced.copy()
    found[free] = np.linalg.solve(K[np.ix_(free, free)], -K[free] @ forced)
    width, t = max(p[0] for p in turned) - min(p[0] for p in turned), skin[0][2]
    D = E * t**3 / 12 / (1 - nu**2)
    bare = 2 * D * (1 - nu) * k**2 * width + D * k**4 * width**3 / 12
    return float(found @ K @ found - bare) / k**2
