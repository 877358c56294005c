"""Roots of N = eta(stress at N) N_e against arithmetic of 40 digits, and the axisymmetric mode against J2 theory.

Tables: own program of the reference notes (J2, elastic limit checked); E 70 GPa, yield 300 MPa, n 10, nu .3.
"""

from __future__ import annotations

import math

import mpmath
import numpy as np
import pytest

from shellbuck.engines.closed_form.plastic import Curve, Rule, axisymmetric_bifurcation, plastic_load
from shellbuck.handbook import plain, plasticity

METAL = Curve(70e9, 300e6, 10.0)
LONG = Rule(plasticity.moderately_long_factor)
RULES = {
    "Eq 11": (LONG, lambda a, b: mpmath.sqrt(a * b)),
    "Eq 12": (Rule(plasticity.tangent_modulus_factor), lambda _, b: b),
    "plate": (Rule(plasticity.supported_plate_factor), lambda a, b: a / 2 * (1 + mpmath.sqrt(1 + 3 * b / a) / 2)),
    "flange": (Rule(plasticity.secant_modulus_factor), lambda a, _: a),
}
TABLE = {  # R/t: flow theory, deformation theory, Eq 11, all MPa (own, see above)
    20: (369.592, 342.760, 340.712),
    30: (342.401, 324.391, 322.888),
    40: (323.844, 310.788, 309.697),
    50: (309.691, 299.767, 298.996),
    60: (298.154, 290.355, 289.835),
    80: (279.624, 274.470, 274.302),
    100: (264.462, 260.848, 260.897),
    150: (232.005, 230.360, 230.604),
}


def exact(elastic, stress, curve, factor):
    """The root by halving, 40 digits."""
    E, F, n = (mpmath.mpf(float(x)) for x in curve[:3])
    with mpmath.workdps(40):
        low, high = mpmath.mpf(0), mpmath.mpf(elastic)
        for _ in range(120):
            N = (low + high) / 2
            q = mpmath.mpf("0.002") * E / F * (stress(N) / F) ** (n - 1)
            low, high = (N, high) if factor(1 / (1 + q), 1 / (1 + n * q)) * elastic > N else (low, N)
        return float(low)


@pytest.mark.parametrize("R_over_t", TABLE)
def test_axisymmetric_mode_and_equation_11(R_over_t):
    flow, deformation, eq11 = TABLE[R_over_t]
    for theory, value in (("flow", flow), ("deformation", deformation)):
        # half of the last digit printed
        assert axisymmetric_bifurcation(R_over_t, 0.3, METAL, theory) == pytest.approx(value * 1e6, abs=500.01)
    elastic = 70e9 / (R_over_t * math.sqrt(3 * 0.91))
    assert plastic_load(elastic, 1.0, METAL, LONG) == pytest.approx(eq11 * 1e6, abs=500.01)


@pytest.mark.parametrize("theory", ["flow", "deformation"])
@pytest.mark.parametrize("nu", [0.0, 0.3, 0.5])
def test_axisymmetric_factor_is_that_of_incremental_moduli(theory, nu):
    """Own derivation: D w'''' + N w'' + K w = 0 with D = L_11 t^3/12 and K = t/(C_22 R^2) gives N = 2 sqrt(D K).

    C is the compliance of stress increments at uniaxial stress; with d N_x = 0 the hoop direction has 1/C_22.
    """
    E, E_s, E_t = 70e9, 40e9, 12e9
    C_11, C_12 = 1 / E_t, -(1 / (2 * E_t) - (1 - 2 * nu) / (2 * E))
    # increments across the stress: flow theory stiffens them by the elastic modulus, deformation theory by the secant
    C_22 = (1 / E if theory == "flow" else 1 / E_s) * 3 / 4 + 1 / (4 * E_t)
    L_11 = np.linalg.inv(np.array([[C_11, C_12], [C_12, C_22]]))[0, 0]
    stress = 2 * math.sqrt(L_11 / 12 / C_22)  # times t/R
    elastic = E / math.sqrt(3 * (1 - nu**2))
    moduli = dict(E_t=E_t, E=E, nu=nu)
    eta = (
        plasticity.axisymmetric_flow_factor(**moduli)
        if theory == "flow"
        else plasticity.axisymmetric_deformation_factor(E_s=E_s, **moduli)
    )
    assert eta == pytest.approx(stress / elastic, rel=1e-13)  # rounding


def test_deformation_theory_lies_below_flow_theory_and_both_below_the_elastic_load():
    R_over_t = np.geomspace(10, 3000, 60)
    flow, deformation = (axisymmetric_bifurcation(R_over_t, 0.3, METAL, t) for t in ("flow", "deformation"))
    elastic = plain.classical_line_load(70e9, 0.3, 1.0, R_over_t)
    assert np.all(deformation <= flow * (1 + 1e-14))
    assert np.all(flow <= elastic)
    # thin walls are elastic: at R/t 3000 the stress is 14 MPa, (14/300)^9 of 1e-12
    assert deformation[-1] == pytest.approx(elastic[-1], rel=1e-10)


@pytest.mark.parametrize("name", RULES)
@pytest.mark.parametrize("n", [2.0, 5.0, 10.0, 30.0, 60.0])
def test_uniaxial_roots(name, n):
    rule, factor = RULES[name]
    curve = Curve(70e9, 300e6, n)
    elastic = 300e6 * np.array([1e-3, 0.3, 0.9, 1.0, 1.1, 3.0, 40.0, 1e9])
    found = plastic_load(elastic, 1.0, curve, rule)
    for value, start in zip(found, elastic, strict=True):
        # 1e-13: sixty times the rounding of a logarithm
        assert value == pytest.approx(exact(float(start), lambda N: N, curve, factor), rel=1e-13)
        assert plastic_load(float(start), 1.0, curve, rule) == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize("n", [2.0, 10.0, 60.0])
def test_roots_under_hoop_tension_and_of_ribs_that_pressure_stretches(n):
    curve = Curve(70e9, 300e6, n)
    t, H = 2e-3, 300e3  # plain wall of 2 mm, hoop stress 150 MPa
    cases = {
        "hoop tension": (
            lambda N: ((N**2 + N * H + H**2) / t**2, (2 * N + H) / t**2),
            lambda N: mpmath.sqrt(N**2 + N * H + H**2) / t,
        ),
        "stretched rib": (
            lambda N: (np.maximum(N - H, 0) ** 2 / t**2, 2 * np.maximum(N - H, 0) / t**2),
            lambda N: max(N - H, mpmath.mpf(0)) / t,
        ),
    }
    elastic = 600e3 * np.array([0.01, 0.5, 0.9, 1.2, 3.0, 30.0])
    for square, stress in cases.values():
        found = plastic_load(elastic, square, curve, LONG)
        for value, start in zip(found, elastic, strict=True):
            assert value == pytest.approx(exact(float(start), stress, curve, RULES["Eq 11"][1]), rel=1e-13)


def test_never_above_elastic_and_rising_with_it():
    elastic = np.geomspace(1e6, 1e12, 400)
    for n in (2.0, 5.0, 20.0, 60.0):
        found = plastic_load(elastic, 1.0, Curve(70e9, 300e6, n), LONG)
        assert np.all(found <= elastic)
        assert np.all(np.diff(found) > 0)


def test_what_is_no_load_stays_what_it_is():
    found = plastic_load(np.array([np.nan, -5.0, 0.0, np.inf, 100e6]), 1.0, METAL, LONG)
    assert np.isnan(found[0])
    assert list(found[1:4]) == [-5.0, 0.0, np.inf]
    assert found[4] < 100e6
    assert math.isnan(plastic_load(1e8, math.nan, METAL, LONG))
    assert np.isnan(plastic_load(np.array([1e8]), 1.0, Curve(70e9, math.nan, 10.0), LONG))[0]
    assert plastic_load(1e8, lambda N: (N * 0.0, N * 0.0), METAL, LONG) == 1e8  # nothing is stressed
