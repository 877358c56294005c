"""Stiffened barrels in closed form against computed loads.

All values are "own" (two programs that share nothing with this one, units inch and psi) unless a line says
otherwise; each is met to half its last digit. Ribs have no torsion constant unless a line says so.
"""

from __future__ import annotations

import math

import pytest

from shellbuck.engines.closed_form import external_pressure, line_loads, lowest
from shellbuck.handbook import grid, orthotropic, sections
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

OUTSIDE, INSIDE = 1, -1


def blade(angle, spacing, E, t, d, b, side, J=0.0, nu=0.3) -> RibFamily:
    return RibFamily("rib", angle, spacing, E, E / (2 * (1 + nu)), b * d, b * d**3 / 12, J, side * (d + t) / 2, nu)


# --- stringers: R 9.55, t .0283, blades .3 x .096 at 1.0, L 38, E 10.5e6, nu .32 ---

R_S, L_S = 9.55, 38.0


def stringers(side: int, J: float = 0.0) -> SmearedWall:
    return SmearedWall.of(Skin(10.5e6, 0.32, 0.0283), (blade(0, 1.0, 10.5e6, 0.0283, 0.3, 0.096, side, J, nu=0.32),))


@pytest.mark.parametrize(
    ("side", "torsion", "p", "load", "mode", "digit"),
    [
        (OUTSIDE, False, 0, 1022.12, (1, 6), 5e-3),
        (INSIDE, False, 0, 599.71, (2, 7), 5e-3),
        (OUTSIDE, True, 0, 1133.04, (1, 6), 5e-3),
        (INSIDE, True, 0, 704.87, (1, 5), 5e-3),
        (OUTSIDE, False, 8, 2833.6, (3, 8), 5e-2),
        (INSIDE, False, 8, 1496.5, (4, 8), 5e-2),
    ],
)
def test_stringers(side, torsion, p, load, mode, digit):
    J = float(sections.rectangle_torsion(0.096, 0.3)) if torsion else 0.0
    found = lowest(stringers(side, J), R_S, L_S, N_theta=p * R_S)
    assert (found.m, found.n) == mode
    assert found.line_load == pytest.approx(load, abs=digit)


def test_bare_skin_of_the_stringer_wall():
    skin = Skin(10.5e6, 0.32, 0.0283)
    assert lowest(SmearedWall.of(skin), R_S, L_S).line_load == pytest.approx(536.61, abs=5e-3)


@pytest.mark.parametrize("side", [OUTSIDE, INSIDE])
def test_wide_column(side):
    # exact limit R to infinity, n = 0, the same for either side. The coupling of hoop and
    # bending falls as 1/R: 4e-7 at R = 1e9, measured, so 1e-9 holds at 1e12
    wall = stringers(side)
    formula = orthotropic.wide_column_line_load(wall.D[0, 0], wall.B[0, 0], wall.A[0, 0], L_S)
    assert formula == pytest.approx(44.758, abs=5e-4)
    assert float(line_loads(wall, 1e12, L_S, 1, 0)) == pytest.approx(formula, rel=1e-9)


@pytest.mark.parametrize("side", [OUTSIDE, INSIDE])
def test_long_barrel_is_a_column(side):
    # own: n = 1 under Sanders nears Euler's load of a tube whose hoop strain is free. The handbook's tube has its
    # stringers at the skin middle; at their own radius they add 2 pi R^2 B11 + pi R D11 (1.75 % outside, -1.71 %
    # inside). What is left is the wall's shear, 26.5 (R/L)^2, measured: 2.7e-5 at L = 1000 R
    wall, L = stringers(side), 1000 * R_S
    EI = orthotropic.tube_bending_stiffness(R_S, wall.A[0, 0], wall.A[1, 1], wall.A[0, 1])
    EI += 2 * math.pi * R_S**2 * wall.B[0, 0] + math.pi * R_S * wall.D[0, 0]
    N = float(line_loads(wall, R_S, L, 1, 1, theory="Sanders"))
    assert 2 * math.pi * R_S * N == pytest.approx(orthotropic.column_load(EI, L), rel=3e-5)


# --- orthogrid: R 48, L 78, t .1, blades .1 x .4 at 2.0 both ways, E 11e6, nu .33 ---


def orthogrid(side: int) -> SmearedWall:
    ribs = tuple(blade(a, 2.0, 11e6, 0.1, 0.4, 0.1, side, nu=0.33) for a in (0, 90))
    return SmearedWall.of(Skin(11e6, 0.33, 0.1), ribs)


@pytest.mark.parametrize(
    ("side", "p", "load", "mode"),
    [
        (INSIDE, 0, 3489.15, (6, 12)),
        (OUTSIDE, 0, 4896.29, (6, 12)),
        (INSIDE, 10, 3909.01, (7, 12)),
        (OUTSIDE, 10, 5194.94, (9, 10)),
    ],
)
def test_orthogrid(side, p, load, mode):
    found = lowest(orthogrid(side), 48.0, 78.0, N_theta=p * 48.0)
    assert (found.m, found.n) == mode
    assert found.line_load == pytest.approx(load, abs=5e-3)


@pytest.mark.parametrize("side", [INSIDE, OUTSIDE])
def test_orthogrid_equivalent_thickness(side):
    # NASA SP-8007 Rev 2, Eqs 60-61 and 137 (published forms) about the skin middle, where Eq 137 prints .289 for
    # 1/sqrt(12); about the neutral axes it is an own rule
    A, B, D = orthogrid(side).A, orthogrid(side).B, orthogrid(side).D
    radius_over_gyration = 48.0 / (D[0, 0] * D[1, 1] / (A[0, 0] * A[1, 1])) ** 0.25
    assert 0.289 * radius_over_gyration == pytest.approx(125.70, abs=5e-3)
    gamma = orthotropic.orthotropic_axial_knockdown(radius_over_gyration / math.sqrt(12), 1.0)
    assert gamma == pytest.approx(0.5465, abs=5e-5)
    t_e = orthotropic.equivalent_thickness(A[0, 0], A[1, 1], B[0, 0], B[1, 1], D[0, 0], D[1, 1])
    assert 48.0 / t_e == pytest.approx(133.66, abs=5e-3)
    assert t_e / 0.1 == pytest.approx(3.59, abs=5e-3)
    assert orthotropic.orthotropic_axial_knockdown(48.0, t_e) == pytest.approx(0.5367, abs=5e-5)


# --- rings: R 100, L 200, t .1, E 1e7, nu .3, A_r .05, I .0015, spacing 1, z +-.35 ---


def rings(side: int) -> SmearedWall:
    ring = RibFamily("rings", 90, 1.0, 1e7, 0.0, 0.05, 0.0015, 0.0, 0.35 * side, 0.3)
    return SmearedWall.of(Skin(1e7, 0.3, 0.1), (ring,))


@pytest.mark.parametrize(
    ("side", "load", "mode", "p"), [(OUTSIDE, 741.472, (41, 0), 2.9027), (INSIDE, 629.607, (35, 14), 3.5614)]
)
def test_rings(side, load, mode, p):
    # lateral pressure: the inside rings are the stronger ones, as SP-8007 Rev 2, 4.1.2.3 says for Z > 500 (published)
    wall = rings(side)
    found = lowest(wall, 100.0, 200.0)
    assert (found.m, found.n) == mode
    assert found.line_load == pytest.approx(load, abs=5e-4)
    pressure = external_pressure(wall, 100.0, 200.0)
    assert pressure.n == 6
    assert pressure.line_load / 100 == pytest.approx(p, abs=5e-5)


def limit(wall: SmearedWall, R: float) -> float:
    A, B, D = wall.A, wall.B, wall.D
    return float(orthotropic.axisymmetric_limit(R, A[0, 0], A[1, 1], A[0, 1], B[0, 0], B[0, 1], D[0, 0]))


def test_ring_axisymmetric_limit():
    # exact limit of a long barrel; no length can lie below it
    assert limit(rings(OUTSIDE), 100.0) == pytest.approx(741.249, abs=5e-4)
    assert float(line_loads(rings(OUTSIDE), 100.0, 200.0, 41, 0)) > limit(rings(OUTSIDE), 100.0)


# --- triangular grids of one metal ---


def triangles(t: float, d: float, h: float, nu: float, side: int, angles=(90, 30, -30)) -> SmearedWall:
    ribs = tuple(blade(a, h, 10.3e6, t, d, t, side, nu=nu) for a in angles)
    return SmearedWall.of(Skin(10.3e6, nu, t), ribs)


@pytest.mark.parametrize("angles", [(90, 30, -30), (0, 60, -60)])
@pytest.mark.parametrize(
    ("nu", "side", "load"),
    [(1 / 3, OUTSIDE, 3609.70), (1 / 3, INSIDE, 3609.70), (0.3, OUTSIDE, 3643.05), (0.3, INSIDE, 3566.06)],
)
def test_isogrid(angles, nu, side, load):
    # R 48, L 78, t = b = .06, d .5, h 3: at nu = 1/3 inside = outside
    found = lowest(triangles(0.06, 0.5, 3.0, nu, side, angles), 48.0, 78.0)
    assert found.line_load == pytest.approx(load, abs=5e-3)
    if nu == 1 / 3:
        assert (found.m, found.n) == (5, 10)


@pytest.mark.parametrize(("side", "load"), [(OUTSIDE, 5417.196), (INSIDE, 5299.783)])
def test_isogrid_axisymmetric_limit(side, load):
    # R 100, t = b = .1, d .9, h 5
    assert limit(triangles(0.1, 0.9, 5.0, 0.3, side), 100.0) == pytest.approx(load, abs=5e-4)


@pytest.mark.parametrize("side", [OUTSIDE, INSIDE])
def test_isogrid_minimum_over_real_waves(side):
    # exact limit (own): 0.612372 E t^2 beta/R = 5366.3049 at nu = 1/3, J = 0; the axisymmetric limit reaches it
    wall = triangles(0.1, 0.9, 5.0, 1 / 3, side)
    assert limit(wall, 100.0) == pytest.approx(5366.3049, abs=5e-5)
    beta = grid.grid_beta(0.18, 9.0)
    handbook = grid.grid_general_line_load(1 / math.sqrt(8 / 3), 10.3e6, 0.1, beta, 100.0)
    assert limit(wall, 100.0) == pytest.approx(handbook, rel=1e-12)


# --- eccentricity of stringers: E 1e7, R 100, t .1, blades at (d + t)/2 ---

ECCENTRICITY = [  # A_s/(b t), Z, outside over inside; the loads themselves at Z = 300
    (0.5, 50, 1.67),
    (0.5, 100, 1.84),
    (0.5, 300, 1.77),
    (0.5, 1000, 1.48),
    (0.5, 3000, 1.35),
    (0.5, 10000, 1.25),
    (1.0, 50, 1.79),
    (1.0, 100, 2.15),
    (1.0, 300, 2.27),
    (1.0, 1000, 1.84),
    (1.0, 3000, 1.59),
    (1.0, 10000, 1.44),
]
AT_300 = {0.5: (1172, 661), 1.0: (1624, 715)}


@pytest.mark.parametrize(("area", "Z", "ratio"), ECCENTRICITY)
def test_eccentricity(area, Z, ratio):
    R, t, nu, d = 100.0, 0.1, 0.3, 0.6
    L = math.sqrt(Z * R * t / math.sqrt(1 - nu**2))
    loads = []
    for side in (OUTSIDE, INSIDE):
        ribs = (RibFamily("s", 0, 1.0, 1e7, 0.0, area * t, area * t * d**2 / 12, 0.0, side * (d + t) / 2, nu),)
        loads.append(lowest(SmearedWall.of(Skin(1e7, nu, t), ribs), R, L).line_load)
    assert loads[0] / loads[1] == pytest.approx(ratio, abs=5e-3)
    if Z == 300:
        assert loads == pytest.approx(AT_300[area], abs=0.5)
