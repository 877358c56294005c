"""Equilateral triangles, simply supported or clamped, by a Rayleigh-Ritz series computed here from scratch.

Standings: "exact" and "own" = derived for this project; "second-hand" = the handbook (NASA CR-124075 Rev A, 1973) as
read in texts that cite it. The series, products of Legendre polynomials times a bubble, shares nothing with shellbuck.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from numpy.polynomial import legendre
from scipy.linalg import eigh

from shellbuck.handbook import grid, plates


@cache
def triangle_forms(degree: int, power: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Bending (D = 1) and geometric matrices for loads along x and y; side 1 lies along x; bubble to a power.

    On a polygon with w = 0 on its edges the Gaussian curvature integrates to zero (simply supported or clamped), so
    the energy is (Laplacian w)^2 and Poisson's ratio drops out.
    """
    height = math.sqrt(3) / 2
    points, weights = legendre.leggauss(degree + 3 * power + 2)
    s, u = np.meshgrid((points + 1) / 2, (points + 1) / 2, indexing="ij")
    y = height * s
    x = (1 - s) * (u - 0.5)  # collapsed square: side 1 at y = 0, apex at y = height
    area = np.outer(weights, weights) / 4 * height * (1 - s)
    # bubble y (h - y - sqrt3 x)(h - y + sqrt3 x) = y ((h - y)^2 - 3 x^2), as a polynomial in x and y
    bubble = np.zeros((3, 4))
    bubble[0, 1:] = height**2, -2 * height, 1.0
    bubble[2, 1] = -3.0
    values = {}
    full = np.ones((1, 1))
    for _ in range(power):
        full = _product(full, bubble)
    for dx, dy in [(0, 0), (1, 0), (0, 1), (2, 0), (0, 2)]:
        derivative = np.polynomial.polynomial.polyder(np.polynomial.polynomial.polyder(full, dx, axis=0), dy, axis=1)
        values[dx, dy] = np.polynomial.polynomial.polyval2d(x, y, derivative)
    X, Y = 2 * x, 2 * y / height - 1
    ladder = np.eye(degree + 1)

    def family(at: np.ndarray, scale: float, order: int) -> np.ndarray:
        return np.array([legendre.legval(at, legendre.legder(c, order)) * scale**order for c in ladder])

    P = [family(X, 2.0, k) for k in range(3)]
    Q = [family(Y, 2 / height, k) for k in range(3)]
    pairs = [(i, j) for i in range(degree + 1) for j in range(degree + 1 - i)]
    g, gx, gy, gxx, gyy = (values[k] for k in [(0, 0), (1, 0), (0, 1), (2, 0), (0, 2)])
    w_x = np.array([(gx * P[0][i] + g * P[1][i]) * Q[0][j] for i, j in pairs])
    w_y = np.array([(gy * Q[0][j] + g * Q[1][j]) * P[0][i] for i, j in pairs])
    laplacian = np.array(
        [
            (gxx * P[0][i] + 2 * gx * P[1][i] + g * P[2][i]) * Q[0][j]
            + (gyy * Q[0][j] + 2 * gy * Q[1][j] + g * Q[2][j]) * P[0][i]
            for i, j in pairs
        ]
    )
    return tuple(np.einsum("aij,bij,ij->ab", f, f, area, optimize=True) for f in (laplacian, w_x, w_y))


def _product(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    out = np.zeros((first.shape[0] + second.shape[0] - 1, first.shape[1] + second.shape[1] - 1))
    for (i, j), value in np.ndenumerate(first):
        out[i : i + second.shape[0], j : j + second.shape[1]] += value * second
    return out


def triangle_coefficient(share_x: float, share_y: float, clamped: bool, degree: int) -> float:
    """Lowest N a^2/D under line loads share_x N along x (parallel to a side) and share_y N along y."""
    bending, along, across = triangle_forms(degree, 2 if clamped else 1)
    # largest 1/N against the positive definite bending matrix
    return 1 / eigh(share_x * along + share_y * across, bending, eigvals_only=True)[-1]


def test_triangle_biaxial_is_exact():
    # exact (own, and the membrane analogy): N = 4 pi^2 D/h^2 = 16 pi^2 D/(3 a^2); 1e-11: the Ritz series
    # of degree 12 stands at rounding
    exact = 16 * math.pi**2 / 3
    assert triangle_coefficient(1, 1, False, 12) == pytest.approx(exact, rel=1e-11)
    E, nu, t, a = 3.0, 0.25, 0.01, 2.0
    D = E * t**3 / (12 * (1 - nu**2))
    formula = plates.triangle_biaxial_line_load(E, nu, t, a * math.sqrt(3) / 2)
    assert formula == pytest.approx(exact * D / a**2, rel=1e-14)


@pytest.mark.parametrize(("shares", "k"), [((1, 0), 97.5590), ((0, 1), 96.2180)])
def test_isolated_triangle_uniaxial(shares, k):
    # own, converged: simply supported; half of the last digit. Two degrees agree to 1e-8, so the series has converged
    coarse, fine = (triangle_coefficient(*shares, False, degree) for degree in (12, 14))
    assert fine == pytest.approx(coarse, rel=1e-8)
    assert fine == pytest.approx(k, abs=5e-5)


@pytest.mark.parametrize(("shares", "k"), [((1, 1), 146.4129), ((1, 0), 253.693), ((0, 1), 250.413)])
def test_clamped_triangle(shares, k):
    # own, converged; half of the last digit. The corner terms are far below it at degree 14
    digits = 5e-5 if shares == (1, 1) else 5e-4
    assert triangle_coefficient(*shares, True, 14) == pytest.approx(k, abs=digits)


@pytest.mark.parametrize(("family", "shares"), [("hoop", (0, 1)), ("axial", (1, 0))])
def test_pocket_coefficients(family, shares):
    # own: N = k D/a^2 written as c E t (t/h)^2 gives c = k (3/4)/12/(1 - nu^2). A hoop family has a side across the
    # axis, so the load is perpendicular to it. 5e-5: the constants carry four decimals
    k = triangle_coefficient(*shares, False, 14)
    assert grid.ISOLATED_TRIANGLE[family] == pytest.approx(k / 16, abs=5e-5)
    printed = {("hoop", 1 / 3): 6.77, ("axial", 1 / 3): 6.86, ("hoop", 0.3): 6.61, ("axial", 0.3): 6.70}
    for nu in (1 / 3, 0.3):
        c = grid.isolated_pocket_coefficient(grid.ISOLATED_TRIANGLE[family], nu)
        assert c == pytest.approx(printed[family, nu], abs=5e-3)
    # the handbook's 10.2 lies between the simply supported and the clamped triangle
    clamped = triangle_coefficient(*shares, True, 14) / 16 / (1 - 1 / 9)
    assert k / 16 / (1 - 1 / 9) < grid.HANDBOOK_POCKET < clamped
