"""Every mode against the same equations written out plainly at 40 digits.

Source: own. The strains, the prestress work and the smeared stiffness are put down here once more, in the amplitudes
(U, V, W) themselves and in multiple precision, and the load is the root of the plain 3x3 determinant. The barrel
under test changes its unknowns to lose no digits; this file does not need to.
"""

from __future__ import annotations

import functools

import numpy as np
import pytest
from mpmath import mp, mpf

from shellbuck.engines.closed_form import line_loads
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

DIGITS = 40
TOLERANCE = 1e-12
"""Measured over these modes and lengths from 0.05 to 400: 1.2e-15 under Donnell, 5e-15 under Sanders."""


@pytest.fixture(autouse=True)
def many_digits():
    with mp.workdps(DIGITS):
        yield


def stiffness(wall: SmearedWall) -> list[list[mpf]]:
    """The wall's own 6x6, shear coupling struck out, exactly as its doubles say."""
    matrix = wall.matrix.copy()
    for i in (2, 5):
        for j in (0, 1, 3, 4):
            matrix[i, j] = matrix[j, i] = 0.0
    return [[mpf(float(x)) for x in row] for row in matrix]


def matrices(C, R, L, m, n, N_theta, theory) -> tuple[mp.matrix, mp.matrix]:
    """Stiffness in (U, V, W), hoop tension in it, and the work of an axial load of 1."""
    R, a, b = mpf(R), mpf(m) * mp.pi / mpf(L), mpf(n) / mpf(R)
    s = 1 if theory == "Sanders" else 0
    # amplitudes of each strain for u = U cos cos, v = V sin sin, w = W sin cos
    rows = [
        [-a, 0, 0],  # u,x
        [0, b, 1 / R],  # v,y + w/R
        [-b, a, 0],  # u,y + v,x
        [0, 0, a**2],  # -w,xx
        [0, s * b / R, b**2],  # -w,yy, and + v,y/R
        [s * b / (2 * R), s * 3 * a / (2 * R), 2 * a * b],  # -2 w,xy, and + 3/2 v,x/R - 1/2 u,y/R; all times cos sin
    ]
    stiff = [(i, j) for i in range(6) for j in range(6) if C[i][j]]
    K = [[sum(C[i][j] * rows[i][p] * rows[j][q] for i, j in stiff if rows[i][p]) for q in range(3)] for p in range(3)]
    slope = [0, 0, a]  # w,x
    if s:
        hoop = [0, 1 / R, b]  # (v - w,t)/R
        spin = [b / 2, a / 2, 0]  # (v,x - u,y)/2
        if n == 0:  # v is a torsion of its own there, and w neither turns nor spins
            hoop, spin = [0, 0, 0], [0, 0, 0]
        axial, around = [slope, spin], [hoop, spin]
    else:
        axial, around = [slope], [[0, 0, b]]
    K = mp.matrix([[K[p][q] + mpf(N_theta) * sum(r[p] * r[q] for r in around) for q in range(3)] for p in range(3)])
    return K, mp.matrix([[sum(r[p] * r[q] for r in axial) for q in range(3)] for p in range(3)])


def load(C, R, L, m, n, N_theta, theory) -> mpf:
    """Smallest positive N with det(K - N G) = 0."""
    K, G = matrices(C, R, L, m, n, N_theta, theory)
    if n == 0:  # without V: the determinant would carry the torsion's factor
        return (K[0, 0] * K[2, 2] - K[0, 2] * K[2, 0]) / K[0, 0] / G[2, 2]
    # G has rank 1 or 2, so the determinant is c0 + c1 N + c2 N^2
    of_K, of_G = cofactors(K), cofactors(G)
    c0 = mp.det(K)
    c1 = -sum(G[p, q] * of_K[p][q] for p in range(3) for q in range(3))
    c2 = sum(K[p, q] * of_G[p][q] for p in range(3) for q in range(3))
    return 2 * c0 / (-c1 + mp.sqrt(c1**2 - 4 * c2 * c0))


def cofactors(M):
    def minor(p, q):
        (i, j), (k, l) = [x for x in range(3) if x != p], [x for x in range(3) if x != q]  # noqa: E741
        return (-1) ** (p + q) * (M[i, k] * M[j, l] - M[i, l] * M[j, k])

    return [[minor(p, q) for q in range(3)] for p in range(3)]


@functools.cache
def wall(kind: str, R_over_t: float) -> SmearedWall:
    t, E, nu = 1 / R_over_t, 70e9, 0.33
    d, b, G = 9 * t, 2 * t, E / (2 * (1 + nu))

    def blades(angle, spacing, side):
        return RibFamily("ribs", angle, spacing, E, G, b * d, b * d**3 / 12, 0.3 * d * b**3, side * (d + t) / 2, nu)

    ribs = {
        "plain": (),
        "stringers outside": (blades(0, 40 * t, 1),),
        "rings inside": (blades(90, 60 * t, -1),),
        "orthogrid inside": (blades(0, 40 * t, -1), blades(90, 50 * t, -1)),
        "triangles inside": tuple(blades(a, 50 * t, -1) for a in (90, 30, -30)),
        "triangles outside": tuple(blades(a, 50 * t, 1) for a in (0, 60, -60)),
    }
    return SmearedWall.of(Skin(E, nu, t), ribs[kind])


KINDS = ["plain", "stringers outside", "rings inside", "orthogrid inside", "triangles inside", "triangles outside"]
MODES = [(1, 0), (7, 0), (60, 0), (1, 1), (1, 2), (1, 5), (2, 9), (1, 30), (1, 200), (5, 5), (13, 3), (40, 1), (90, 70)]


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("R_over_t", [50.0, 400.0, 3000.0])
def test_every_mode(kind, R_over_t, theory):
    # radius 1, lengths from m pi R/L = 0.08 (n = 200: n R far above m pi R/L) to 566 (n = 1: far below)
    E_t = 70e9 / R_over_t
    smeared = wall(kind, R_over_t)
    C = stiffness(smeared)
    m, n = (np.array(x) for x in zip(*MODES, strict=True))
    for L in (0.5, 3.0, 40.0):
        for tension in (0.0, 1e-3 * E_t):  # hoop tension up to a strain of 0.1 %
            found = line_loads(smeared, 1.0, L, m, n, N_theta=tension, theory=theory)
            exact = np.array([float(load(C, 1.0, L, i, j, tension, theory)) for i, j in MODES])
            np.testing.assert_allclose(found, exact, rtol=TOLERANCE)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_the_two_forms_meet_where_the_unknowns_change(theory):
    # own: at m pi R/L = n the barrel changes from one pair of unknowns to the other; the load must not jump. The
    # lengths differ by 2e-12, so does the load by a few of it
    smeared = wall("triangles inside", 400.0)
    n = 9
    edge = np.pi * 4 / n
    below, above = (float(line_loads(smeared, 1.0, edge * (1 + s * 1e-12), 4, n, theory=theory)) for s in (-1, 1))
    assert above == pytest.approx(below, rel=1e-10)


@pytest.mark.parametrize("n", [1, 2, 3, 12])
def test_no_root_lies_below(n):
    # own: K - N G is positive definite just below the load and not just above, by its leading minors, so the load is
    # the smallest root and not the other one of the quadratic
    smeared, R, L, m = wall("orthogrid inside", 400.0), 1.0, 3.0, 2
    C = stiffness(smeared)
    K, G = matrices(C, R, L, m, n, 0.0, "Sanders")
    N = float(line_loads(smeared, R, L, m, n, theory="Sanders"))
    definite = []
    for share in (1 - 1e-10, 1 + 1e-10):
        M = K - mpf(N) * share * G
        definite.append(all(mp.det(M[:k, :k]) > 0 for k in (1, 2, 3)))
    assert definite == [True, False]
