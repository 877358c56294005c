"""Worked lines repeat the numbers they explain: the load of a mode, a capacity, an increment, a stress.

The engine solves a mode in two of its membrane strains; the lines in (U, V, W). Expected coefficients are the second
derivatives of the strain energy over one cell, integrated here by sums on a grid, with strains by central differences
of the displacement field.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from builders import GRID, ORTHOGRID, PLAIN, STIFFENED, STRINGERS, STRONG, case, load, pressed, row

import shellbuck as sb
from shellbuck.core import records
from shellbuck.margins.worked_modes import mode_lines
from shellbuck.model.walls import build_wall

R, L = 1.5, 2.0
NAMES = ("A_11", "A_12", "A_13", "A_22", "A_23", "A_33")


def named(lines, key):
    return [line for line in lines if line.formula == key]


@pytest.mark.parametrize("wall", [GRID, STIFFENED, ORTHOGRID, sb.StiffenedWall(STRINGERS)])
@pytest.mark.parametrize("p", [0.0, 60e3])
def test_the_determinant_gives_the_load_of_both_theories_back(wall, p):
    """1e-9: the printed determinant loses up to five of sixteen digits, as large terms are subtracted."""
    result = sb.run(case(wall, pressed(p), computed_pressure_gain=sb.Reason("test") if p else None))
    loads = {ld.name: ld for ld in result.load_cases[0].loads}
    tail = "at minimum pressure" if p else "without pressure"
    found = named(row(result, "general instability").worked, "determinant-line-load")
    expected = [loads[f"general instability, {theory}, {tail}"].line_load for theory in ("Donnell", "Sanders")]
    assert [line.value for line in found] == pytest.approx(expected, rel=1e-9)


def energy_coefficients(wall, m, n, theory, N, N_theta):
    """Second derivatives of the energy per (U, V, W) over its mean of sin^2 cos^2, by differences and sums."""
    a, b, h = m * math.pi / L, n / R, 1e-4
    x, y = np.meshgrid(
        np.linspace(0, 2 * math.pi / a, 48, endpoint=False),
        np.linspace(0, 2 * math.pi / b, 48, endpoint=False),
        indexing="ij",
    )

    def shape(i, dx=0.0, dy=0.0):
        s, c = (np.sin(a * (x + dx)), np.cos(a * (x + dx)))
        t, e = (np.sin(b * (y + dy)), np.cos(b * (y + dy)))
        return (-c * e, s * t, s * e)[i]  # u is counted against x

    def d(i, along):
        dx, dy = (h, 0) if along == "x" else (0, h)
        return (shape(i, dx, dy) - shape(i, -dx, -dy)) / (2 * h)

    def dd(i, along):
        if along == "xy":
            return (shape(i, h, h) - shape(i, h, -h) - shape(i, -h, h) + shape(i, -h, -h)) / (4 * h * h)
        dx, dy = (h, 0) if along == "x" else (0, h)
        return (shape(i, dx, dy) - 2 * shape(i) + shape(i, -dx, -dy)) / (h * h)

    zero, one = np.zeros_like(x), theory == "Sanders"
    u, v, w = 0, 1, 2
    strains = [  # of each unknown alone
        [d(u, "x"), zero, d(u, "y"), zero, zero, -d(u, "y") / (2 * R) * one],
        [zero, d(v, "y"), d(v, "x"), zero, d(v, "y") / R * one, 3 * d(v, "x") / (2 * R) * one],
        [zero, shape(w) / R, zero, -dd(w, "x"), -dd(w, "y"), -2 * dd(w, "xy")],
    ]
    rotation = [-d(u, "y") / 2 * one, d(v, "x") / 2 * one, zero]
    hoop = [zero, shape(v) / R * one, -d(w, "y")]
    axial = [zero, zero, d(w, "x")]
    C = wall.uncoupled
    K = np.zeros((3, 3))
    for i in range(3):
        for j in range(3):
            density = sum(C[k, q] * strains[i][k] * strains[j][q] for k in range(6) for q in range(6) if C[k, q])
            density = density + (N_theta - N) * rotation[i] * rotation[j] + N_theta * hoop[i] * hoop[j]
            K[i, j] = density.mean() / 0.25
    return K, np.mean(np.square(axial[2])) / 0.25


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("N_theta", [0.0, 9e4])
def test_coefficients_are_those_of_the_energy(theory, N_theta):
    """Differences of 1e-4 m at waves of .4 m or more: (a h)^2/6 = 4e-8 in strains, rounding 1e-16/h^2 in curvatures."""
    wall = build_wall(case(STIFFENED), None)
    m, n = 3, 5
    pretend = records.Load("x", 4e5, theory, "", "", "", "", "", "", m=m, n=n)
    lines = mode_lines(wall, R, L, pretend, N_theta)
    found = dict(named(lines, "determinant-line-load")[0].inputs)
    K, rise = energy_coefficients(wall, m, n, theory, 4e5, N_theta)
    own = dict(zip(NAMES, (K[0, 0], K[0, 1], K[0, 2], K[1, 1], K[1, 2], K[2, 2]), strict=True))
    assert rise == pytest.approx(found["a"] ** 2, rel=1e-6)
    for name in NAMES:
        assert found[name] == pytest.approx(own[name], rel=2e-6), name


def test_capacity_of_a_stiffened_wall_is_printed():
    """gamma N + p R/2 for axial load and bending, the numbers that the interaction then takes."""
    p = 60e3
    got = row(sb.run(case(GRID, pressed(p), material=STRONG)), "general instability")
    axial, bending = named(got.worked, "factored-line-load")
    N, relief = got.basis.line_load, p * R / 2
    assert axial.value == pytest.approx(got.knockdown("axial") * N + relief, rel=1e-14)
    assert bending.value == pytest.approx(got.knockdown("bending") * N + relief, rel=1e-14)
    ratios = named(got.worked, "load-ratio")
    assert [dict(line.inputs)["c"] for line in ratios[:2]] == pytest.approx([axial.value, bending.value], rel=1e-14)
    (margin,) = named(got.worked, "interaction-margin")
    assert dict(margin.inputs)["r"] == pytest.approx(sum(line.value for line in ratios[:2]), rel=1e-14)


def test_increment_between_its_points():
    """p_bar = p/E (R/t)^2 = .3 lies between the points .2 and .31 of the curve, read .134 and .164, reduced by 5 %."""
    E, t = 72e9, 2.5e-3
    p = 0.3 * E * (t / R) ** 2
    got = row(sb.run(case(PLAIN, pressed(p))), "general instability")
    (line,) = named(got.worked, "increment-between")
    inputs = dict(line.inputs)
    assert (inputs["p_0"], inputs["p_1"]) == (0.2, 0.31)
    assert line.value == pytest.approx(0.95 * (0.134 + 0.030 * 0.1 / 0.11), rel=1e-12)
    (axial,) = named(got.worked, "pressurised-axial-line-load")
    assert dict(axial.inputs)["d_gamma"] == pytest.approx(line.value, rel=1e-12)


@pytest.mark.parametrize("wall", [PLAIN, STIFFENED, GRID])
@pytest.mark.parametrize("closed", [True, False])
def test_stresses_follow_from_the_line_loads(wall, closed):
    """Every strength row: factored N_x, N_theta = p R, A^-1, the stress that the row compares."""
    barrel = sb.Barrel(1.5, 2.0, "closed" if closed else "open", 2.6e-3, skin_thickness_minimum=2.5e-3)
    one = pressed(40e3, 90e3) if closed else load(pressure_minimum=40e3, pressure_maximum=90e3)
    result = sb.run(case(wall, one, barrel=barrel))
    rows = [r for r in result.margins if r.kind == "strength" and r.margin is not None]
    assert rows
    for got in rows:
        (axial,), (e_x,), (e_t,) = (
            named(got.worked, k) for k in ("factored-axial-line-load", "axial-strain", "hoop-strain")
        )
        terms = dict(e_x.inputs)
        assert terms["N_x"] == pytest.approx(axial.value, rel=1e-12)
        A = np.array([[terms["E_x"], terms["E_xy"]], [terms["E_xy"], terms["E_y"]]])
        assert A @ [e_x.value, e_t.value] == pytest.approx([terms["N_x"], terms["N_theta"]], rel=1e-9, abs=1e-6)
        assert (dict(axial.inputs)["p"] == 0) == (not closed or terms["N_theta"] == 0)
        direct = named(got.worked, "rib-direct-stress")
        if direct:
            assert abs(direct[0].value) == pytest.approx(got.demand, rel=1e-9)
        else:
            s_x, s_y = (named(got.worked, f"skin-{k}-stress")[0].value for k in ("axial", "hoop"))
            assert math.sqrt(s_x**2 - s_x * s_y + s_y**2) == pytest.approx(got.demand, rel=1e-9)


@pytest.mark.parametrize("wall", [PLAIN, GRID, STIFFENED, ORTHOGRID])
def test_stiffness_lines_end_in_the_walls_own_numbers(wall):
    """Every entry of A, B, D that is printed; a hand sum for the stringers of the stiffened wall."""
    found = sb.run(case(wall)).wall
    printed = {line.symbol: line.value for line in found.worked}
    for block in "ABD":
        matrix = getattr(found, block)
        scale = max(abs(v) for r in matrix for v in r) or 1.0
        for entry, (i, j) in {"11": (0, 0), "22": (1, 1), "12": (0, 1), "33": (2, 2)}.items():
            assert printed[f"{block}_{entry}"] == pytest.approx(matrix[i][j], rel=1e-12, abs=1e-12 * scale)
    if wall is STIFFENED:
        E, t, nu, d, b, s = 72e9, 2.5e-3, 0.33, 0.02, 0.0025, 0.08
        k, z = E * b * d / s, (t + d) / 2
        assert printed["A_11"] == pytest.approx(E * t / (1 - nu**2) + k, rel=1e-9)
        assert printed["B_11"] == pytest.approx(k * z, rel=1e-9)
        assert printed["D_11"] == pytest.approx(E * t**3 / (12 * (1 - nu**2)) + k * (d**2 / 12 + z**2), rel=1e-9)
