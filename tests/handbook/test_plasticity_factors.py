"""Plasticity factors: NASA SP-8007 Rev 2 (2020), Eqs 11-12, 30-32, 40; Gerard & Becker (memory); own arithmetic."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellbuck.handbook import plasticity

E, F = 70e9, 300e6

THREE = (
    plasticity.moderately_long_factor,
    plasticity.supported_plate_factor,
    plasticity.moderately_long_pressure_factor,
    plasticity.long_pressure_factor,
)


def moduli(sigma: float, n: float) -> tuple[float, float]:
    return plasticity.secant_modulus(sigma, E, F, n), plasticity.tangent_modulus(sigma, E, F, n)


def test_yield_strain_has_the_offset():
    # definition of the .2 % yield strength
    assert plasticity.ramberg_osgood_strain(F, E, F, 7.0) == pytest.approx(F / E + 0.002, rel=1e-14)


@given(st.floats(1e6, 600e6), st.floats(2.0, 60.0))
def test_moduli_are_those_of_the_curve(sigma, n):
    E_s, E_t = moduli(sigma, n)
    strain = plasticity.ramberg_osgood_strain(sigma, E, F, n)
    assert E_s == pytest.approx(sigma / strain, rel=1e-12)
    # the slope by hand: 1/E_t = 1/E + .002 n/F (s/F)^(n-1)
    assert E_t == pytest.approx(1 / (1 / E + 0.002 * n / F * (sigma / F) ** (n - 1)), rel=1e-12)
    assert E_t <= E_s <= E


@pytest.mark.parametrize("factor", THREE)
def test_elastic_limit_is_one(factor):
    assert factor(E, E, E) == pytest.approx(1.0, rel=1e-15)


@given(st.floats(1e6, 600e6), st.floats(2.0, 60.0))
def test_order_of_the_factors(sigma, n):
    # tangent modulus is least, secant modulus is most; the plate and Eq 11 lie between (own, from E_t <= E_s)
    E_s, E_t = moduli(sigma, n)
    least, most = plasticity.tangent_modulus_factor(E_t, E), plasticity.secant_modulus_factor(E_s, E)
    for factor in (plasticity.moderately_long_factor, plasticity.supported_plate_factor):
        assert least * (1 - 1e-12) <= factor(E_s, E_t, E) <= most * (1 + 1e-12)


def test_short_cylinders_are_linear_between_both_equations():
    # SP-8007 Rev 2, Eqs 11-12 (read): linear in Z between them; from 0 to the class limit 2.85 (own reading)
    E_s, E_t = moduli(300e6, 10.0)
    eq11, eq12 = plasticity.moderately_long_factor(E_s, E_t, E), plasticity.tangent_modulus_factor(E_t, E)
    for share in (0.0, 0.25, 1.0):
        found = plasticity.short_cylinder_factor(E_s, E_t, E, 2.85 * share)
        assert found == pytest.approx(eq12 + share * (eq11 - eq12), rel=1e-14)


def test_external_pressure_and_torsion():
    # SP-8007 Rev 2, Eqs 30-32, 40 (read), worked by hand at E_s = E/2, E_t = E/8: E_t/E_s = 1/4, 1/4 + 3/16 = 7/16
    assert plasticity.supported_plate_factor(E / 2, E / 8, E) == pytest.approx(
        0.25 + 0.25 * math.sqrt(7) / 4, rel=1e-14
    )
    assert plasticity.moderately_long_pressure_factor(E / 2, E / 8, E) == pytest.approx(
        0.5 * math.sqrt(0.5 * 7 / 16), rel=1e-14
    )
    assert plasticity.long_pressure_factor(E / 2, E / 8, E) == pytest.approx(7 / 32, rel=1e-14)
    assert plasticity.secant_modulus_factor(E / 2, E) == 0.5
