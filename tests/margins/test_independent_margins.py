"""General instability under pressure, worked out a second time from the conventions in plain numpy.

OWN: the amplitudes (U, V, W) of the simply supported field go straight into the strains, the 3x3 of every mode is
built from the energy and its determinant is solved for the axial load; no package code but the case and the margin row
under test. The package eliminates U and V in another basis, so the two share no algebra.

Tolerance 1e-9: the plain (U, V, W) matrix loses up to five of sixteen digits where n is much larger than m pi R/L
(membrane terms cancel); the modes that govern here lose two or three.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from builders import BARREL, FACTORS, GRID, ORTHOGRID, STIFFENED, STRONG, barrel, case, pressed, row

import shellbuck as sb

TOLERANCE = 1e-9
E, NU, T = STRONG.points[0].compression_modulus, STRONG.poissons_ratio, BARREL.skin_thickness_minimum
R, L = BARREL.radius, BARREL.length
MOST_M, MOST_N = 16, 40
F_S = FACTORS.ultimate_factor


def plate(E: float, nu: float, t: float) -> np.ndarray:
    """The 6x6 of a sheet about its middle."""
    Q = E / (1 - nu**2) * np.array([[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu) / 2]])
    C = np.zeros((6, 6))
    C[:3, :3], C[3:, 3:] = Q * t, Q * t**3 / 12
    return C


def rib(degrees: float, spacing: float, area: float, inertia: float, torsion: float, z: float) -> np.ndarray:
    """The 6x6 of one rib family: energy of direct strain along the rib, of its bending about z, of its twist."""
    c, q = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    along = np.array([c * c, q * q, c * q])
    twist = np.array([-c * q, c * q, (c * c - q * q) / 2])
    stretch = np.concatenate([along, z * along])
    bend = np.concatenate([np.zeros(3), along])
    turn = np.concatenate([np.zeros(3), twist])
    G = E / (2 * (1 + NU))
    return (
        E * area * np.outer(stretch, stretch) + E * inertia * np.outer(bend, bend) + G * torsion * np.outer(turn, turn)
    ) / spacing


def blade(degrees: float, spacing: float, depth: float, thickness: float, outward: float) -> np.ndarray:
    """A rectangular rib on the skin surface."""
    long, short = max(depth, thickness), min(depth, thickness)
    x = short / long
    torsion = long * short**3 * (1 / 3 - 0.21 * x * (1 - x**4 / 12))
    return rib(degrees, spacing, depth * thickness, thickness * depth**3 / 12, torsion, outward * (depth + T) / 2)


def hoop_grid() -> np.ndarray:
    return plate(E, NU, T) + sum(blade(angle, 0.09, 0.013, 0.0025, -1.0) for angle in (90, 30, -30))


def axial_grid() -> np.ndarray:
    return plate(E, NU, T) + sum(blade(angle, 0.09, 0.013, 0.0025, 1.0) for angle in (0, 60, -60))


def stringers_and_rings() -> np.ndarray:
    rings = rib(90, L / 5, 200e-6, 5e-8, 4e-10, -0.03)
    return plate(E, NU, T) + blade(0, 0.08, 0.02, 0.0025, 1.0) + rings


def orthogrid() -> np.ndarray:
    return plate(E, NU, T) + blade(0, 0.08, 0.012, 0.0025, -1.0) + blade(90, 0.1, 0.012, 0.0025, -1.0)


def as_given(C: np.ndarray) -> sb.GivenStiffness:
    """A stiffness handed over as numbers."""
    A, B, D = (tuple(tuple(float(x) for x in r) for r in block) for block in (C[:3, :3], C[:3, 3:], C[3:, 3:]))
    return sb.GivenStiffness(A, B, D, 9.0)


AXIAL_GRID = sb.TriangularGrid("axial", "outside", 0.013, 0.0025, triangle_height=0.09)
CASES = {
    "hoop grid inside": (GRID, hoop_grid),
    "axial grid outside": (AXIAL_GRID, axial_grid),
    "stringers outside, rings inside": (STIFFENED, stringers_and_rings),
    "orthogrid inside": (ORTHOGRID, orthogrid),
    "given stiffness": (as_given(orthogrid()), orthogrid),
}


def mode_load(C: np.ndarray, m: int, n: int, N_theta: float, sanders: bool) -> float:
    """Axial line load of one mode: the least positive root of det(K + N_theta G_theta - N G_x) = 0."""
    a, b = m * math.pi / L, n / R
    on = 1.0 if sanders else 0.0
    # rows: strains and curvatures of u = U cos ax cos by, v = V sin ax sin by, w = W sin ax cos by
    strain = np.array(
        [
            [-a, 0, 0],
            [0, b, 1 / R],
            [-b, a, 0],
            [0, 0, a * a],
            [0, on * b / R, b * b],
            [on * b / (2 * R), on * 3 * a / (2 * R), 2 * a * b],
        ]
    )
    tilt = np.array([0, 0, a])
    roll = np.array([0, on / R, b])
    spin = on * np.array([b / 2, a / 2, 0])
    K = strain.T @ C @ strain + N_theta * (np.outer(roll, roll) + np.outer(spin, spin))
    G = np.outer(tilt, tilt) + np.outer(spin, spin)
    if n == 0:  # v stands alone: pure torsion of the barrel
        K, G = K[np.ix_([0, 2], [0, 2])], np.diag([0.0, a * a])
    size = 1 / np.sqrt(np.diag(K))  # rows of like size, the determinant's roots unchanged
    K, G = K * np.outer(size, size), G * np.outer(size, size)
    # det(K - N G) is a polynomial in N of the rank of G: 1 or 2
    if not sanders or n == 0:
        minor = float(np.linalg.det(K[:-1, :-1]))
        return float(np.linalg.det(K)) / (minor * G[-1, -1])
    half = np.linalg.cholesky(K)
    whitened = np.linalg.solve(half, np.linalg.solve(half, G).T)
    return 1 / float(np.linalg.eigvalsh((whitened + whitened.T) / 2)[-1])


@cache
def lowest(name: str, p: float, sanders: bool) -> float:
    """Least over every m and every n but 1; the rim of the range must lie above it."""
    C, ns = CASES[name][1](), [n for n in range(MOST_N + 1) if n != 1]
    table = np.array([[mode_load(C, m, n, p * R, sanders) for n in ns] for m in range(1, MOST_M + 1)])
    least = float(table.min())
    assert min(table[-1].min(), table[:, -1].min()) > 1.5 * least
    return least


def lower_of_both(name: str, p: float) -> float:
    return min(lowest(name, p, False), lowest(name, p, True))


def factors(C: np.ndarray) -> tuple[float, float]:
    """0.65 / 0.75 from t_e = 3 t on, below it no more than the orthotropic form."""
    reduced = [C[3 + i, 3 + i] - C[i, 3 + i] ** 2 / C[i, i] for i in (0, 1)]
    t_e = math.sqrt(12) * (reduced[0] * reduced[1] / (C[0, 0] * C[1, 1])) ** 0.25
    if t_e >= 3 * T:
        return 0.65, 0.75
    fall = 1 - math.exp(-math.sqrt(R * math.sqrt(12) / t_e) / 29.8)
    sheet = 1 - 0.901 * fall, 1 - 0.731 * fall
    return sheet if t_e <= 1.5 * T else (min(0.65, sheet[0]), min(0.75, sheet[1]))


def margins(N: float, gamma: tuple[float, float], P: float, M: float, relief: float) -> tuple[float, float | None]:
    """Total and net margin of a force without thrust and a moment, pressure held fixed."""
    N_a, N_b = P / (2 * math.pi * R), M / (math.pi * R**2)
    axial, bending = gamma[0] * N, gamma[1] * N
    multiplier = 1 / (N_a / (axial + relief) + N_b / (bending + relief))
    pair = (N_a + N_b) / (N_a / axial + N_b / bending)
    rest = F_S * (N_a + N_b) - relief
    return multiplier / F_S - 1, pair / rest - 1 if rest > 0 else None


def approx(value: float | None) -> object:
    return None if value is None else pytest.approx(value, rel=TOLERANCE, abs=TOLERANCE)


@pytest.mark.parametrize("name", CASES)
def test_both_theories_at_both_pressures(name):
    result = sb.run(case(CASES[name][0], pressed(30e3), material=STRONG))
    got = {load.name: load.line_load for load in result.load_cases[0].loads}
    for theory, sanders in (("Donnell", False), ("Sanders", True)):
        for tail, p in (("without pressure", 0.0), ("at minimum pressure", 30e3)):
            expected = lowest(name, p, sanders)
            assert got[f"general instability, {theory}, {tail}"] == pytest.approx(expected, rel=TOLERANCE)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("ends", ["closed", "open"])
def test_official_margin_credits_the_axial_relief_alone(name, ends):
    wall, C = CASES[name]
    load = pressed(30e3, 45e3) if ends == "closed" else pressed(30e3, 45e3, axial_force_includes_thrust=None)
    got = row(sb.run(case(wall, load, barrel=barrel(ends=ends), material=STRONG)), "general instability")
    relief = 30e3 * R / 2 if ends == "closed" else 0.0
    total, net = margins(lower_of_both(name, 0.0), factors(C()), 400e3, 100e3, relief)
    assert got.margin == approx(total)
    assert got.net_margin == approx(net)


@pytest.mark.parametrize("name", CASES)
def test_thrust_inside_the_force_is_taken_out_at_its_own_pressure(name):
    wall, C = CASES[name]
    load = pressed(30e3, 45e3, axial_force_includes_thrust=True, thrust_pressure=45e3)
    got = row(sb.run(case(wall, load, material=STRONG)), "general instability")
    force = 400e3 + 45e3 * math.pi * R**2
    total, net = margins(lower_of_both(name, 0.0), factors(C()), force, 100e3, 30e3 * R / 2)
    assert got.margin == approx(total)
    assert got.net_margin == approx(net)


@pytest.mark.parametrize("name", CASES)
def test_computed_gain_is_official_on_request(name):
    wall, C = CASES[name]
    result = sb.run(case(wall, pressed(30e3), material=STRONG, computed_pressure_gain=sb.Reason("test")))
    got = row(result, "general instability")
    total, net = margins(lower_of_both(name, 30e3), factors(C()), 400e3, 100e3, 30e3 * R / 2)
    assert got.margin == approx(total)
    assert got.net_margin == approx(net)
    gain = lower_of_both(name, 30e3) / lower_of_both(name, 0.0)
    assert result.load_cases[0].pressure_gain == pytest.approx(gain, rel=TOLERANCE)
