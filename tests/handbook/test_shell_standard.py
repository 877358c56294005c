"""EN 1993-1-6, axial compression of steel cylinders, against worked values.

Source: EN 1993-1-6:2007, Annex D and 8.5, from memory (high); second generation second-hand. The values were worked
apart from the product for E 210 GPa, f_y 235 MPa, L/R 2, R 1 m; they have five figures, hence 1e-4.
"""

from __future__ import annotations

import math

import pytest

from shellbuck.handbook import shell_standard as en

E, F_Y = 210e9, 235e6
Q = {"A": 40.0, "B": 25.0, "C": 16.0}


def slenderness(ratio: float) -> tuple[float, float]:
    critical = en.shell_critical_stress(E, 1.0, ratio)
    return critical, en.relative_slenderness(F_Y, critical)


@pytest.mark.parametrize(
    ("ratio", "quality", "alpha", "resistance"),
    [
        (100, "A", 0.49228, 199.33),
        (100, "B", 0.41046, 195.10),
        (100, "C", 0.31460, 187.77),
        (500, "A", 0.33942, 86.25),
        (500, "B", 0.23605, 59.98),
        (500, "C", 0.15148, 38.49),
        (1000, "A", 0.26253, 33.35),
        (1000, "B", 0.16852, 21.41),
        (1000, "C", 0.10173, 12.92),
    ],
)
def test_first_generation_without_pressure(ratio, quality, alpha, resistance):
    found = en.imperfection_factor(en.quality_amplitude(ratio, Q[quality]))
    assert found == pytest.approx(alpha, rel=1e-4)
    _, lamda = slenderness(ratio)
    limit = en.plastic_slenderness(found, en.PLASTIC_RANGE_2007)
    chi = (
        en.elastic_reduction(found, lamda)
        if lamda >= limit
        else en.plastic_reduction(en.SLENDERNESS_LIMIT, lamda, limit, en.PLASTIC_RANGE_2007, en.EXPONENT_2007)
    )
    # two decimals of MPa are given
    assert en.characteristic_line_load(chi, F_Y / 1e6, 1.0) == pytest.approx(resistance, abs=0.006)


@pytest.mark.parametrize(
    ("ratio", "p", "elastic", "plastic"),
    [
        (500, 0.05e6, 0.34105, 0.56822),
        (500, 0.10e6, 0.42067, 0.54870),
        (500, 0.20e6, 0.53343, 0.47065),
        (1000, 0.01e6, 0.24936, 0.77743),
        (1000, 0.05e6, 0.45955, 0.74358),
        (1000, 0.10e6, 0.59968, 0.63781),
        (1000, 0.20e6, 0.73638, 0.21472),
    ],
)
def test_internal_pressure(ratio, p, elastic, plastic):
    critical, lamda = slenderness(ratio)
    relative = en.relative_pressure(p, 1.0, 1.0 / ratio, critical)
    alpha = en.imperfection_factor(en.quality_amplitude(ratio, Q["B"]))
    assert en.pressurised_elastic_factor(alpha, relative) == pytest.approx(elastic, rel=1e-4)
    found = en.pressurised_plastic_factor(lamda, relative, en.pressure_thinness(ratio))
    assert found == pytest.approx(plastic, rel=1e-4)


def test_the_plastic_factor_is_void_where_the_hoop_stress_reaches_yield():
    # p R/t = f_y makes the first bracket 0: p_g/lamda^2 = p R/(t f_y)
    critical, lamda = slenderness(500)
    relative = en.relative_pressure(F_Y / 500, 1.0, 1 / 500, critical)
    assert en.pressurised_plastic_factor(lamda, relative, 1.25) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("ratio", "first", "second"),
    [
        (250, (0.4128, 0.3120, 0.2155), (0.3959, 0.3242, 0.2610)),
        (500, (0.3394, 0.2361, 0.1515), (0.3426, 0.2745, 0.2168)),
    ],
)
def test_factors_of_both_generations(ratio, first, second):
    for quality, one, two in zip("ABC", first, second, strict=True):
        w = en.quality_amplitude(ratio, Q[quality])
        assert en.imperfection_factor(w) == pytest.approx(one, abs=6e-5)
        assert en.imperfection_factor_second(w) == pytest.approx(two, abs=6e-5)


def test_second_generation_by_hand():
    # R/t 500, class B: w = sqrt(500)/25 = .894427
    w = en.quality_amplitude(500.0, 25.0)
    assert en.plastic_range_second(w) == pytest.approx(1 - 0.75 / (1 + 0.9838699), rel=1e-6)
    assert en.squash_exponent_second(w) == pytest.approx(1.2605573, rel=1e-6)
    assert en.elastic_exponent_second(w) == pytest.approx(1 / (0.45 + 0.6439876), rel=1e-6)
    # at both ends the exponent is its own end's, half way their mean
    ends = dict(lamda_0=0.2, lamda_p=1.2, eta_0=1.2, eta_p=0.8)
    assert en.interaction_exponent(0.2, **ends) == pytest.approx(1.2)
    assert en.interaction_exponent(1.2, **ends) == pytest.approx(0.8)
    assert en.interaction_exponent(0.7, **ends) == pytest.approx(1.0)


def test_reduction_is_continuous_at_both_ends():
    alpha, beta = 0.3, 0.6
    limit = en.plastic_slenderness(alpha, beta)
    assert en.plastic_reduction(0.2, 0.2, limit, beta, 1.0) == 1.0
    assert en.plastic_reduction(0.2, limit, limit, beta, 1.0) == pytest.approx(1 - beta)
    assert en.elastic_reduction(alpha, limit) == pytest.approx(1 - beta)


def test_length_factors():
    # continuous at omega 1.7 to the rounding of its coefficients: 1.36 - 1.83/1.7 + 2.07/1.7^2 = .99979
    assert en.short_length_factor(1.7) == pytest.approx(1.0, abs=3e-4)
    assert en.long_length_factor(50.0, 100.0, 1.0) == 1.0
    assert en.long_length_factor(150.0, 100.0, 1.0) == pytest.approx(0.6)
    assert en.relative_length(2.0, 1.0, 1 / 400) == pytest.approx(2 * math.sqrt(400))
