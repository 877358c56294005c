"""Plain and orthotropic cylinders against NASA SP-8007 Rev 2 (2020).

Standings: "published" = printed in the standard or the report named; "second-hand" = read in a text that cites it;
"memory" = recalled; "own" = derived for this project. Printed values carry a tolerance of half their last digit.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellbuck.handbook import interaction, orthotropic, plain, strength

# --- classical load and the coefficient k_x ---


def test_classical_coefficient():
    # Lorenz 1908, Timoshenko, Southwell (memory, exact): sigma R/(E t) = 0.605228 at nu = 0.3
    assert plain.classical_line_load(1.0, 0.3, 1.0, 1.0) == pytest.approx(0.605228, abs=5e-7)
    # NACA TN 1343 (1947), Eq 1 (published): 0.608 at nu^2 = 0.1; it was cut, not rounded (0.60858)
    assert 0.608 <= plain.classical_line_load(1.0, math.sqrt(0.1), 1.0, 1.0) < 0.609


def test_short_cylinder_coefficients():
    # NACA TN 1343 (published form), values of an own closed form: 1.1232 at Z = 1, 2 at Z = 2.849 (1.9999)
    assert plain.buckling_coefficient_short(1.0, 1.0) == pytest.approx(1.1232, abs=5e-5)
    assert plain.buckling_coefficient_short(1.0, 2.849) == pytest.approx(1.9999, abs=5e-5)
    # flat limit: the simply supported wide column (textbook)
    assert plain.buckling_coefficient_short(1.0, 0.0) == 1.0
    # the knockdown factor enters with Z, as in the standard's limit gamma Z = 2.85 (SP-8007 Rev 2, published)
    for form in (plain.buckling_coefficient_short, plain.buckling_coefficient_long):
        assert form(0.4, 2.5) == pytest.approx(form(1.0, 1.0), rel=1e-14)


def test_short_and_long_forms_touch_at_the_class_limit():
    # own: both equal 2 with one slope at gamma Z = pi^2/sqrt(12) = 2.8491; the standard prints 2.85
    meet = math.pi**2 / math.sqrt(12)
    assert round(meet, 2) == plain.SHORT_LIMIT
    for form in (plain.buckling_coefficient_short, plain.buckling_coefficient_long):
        assert form(1.0, meet) == pytest.approx(2.0, rel=1e-14)
        step = 1e-4
        # central differences of a quadratic and of a line are exact up to rounding over the step
        slope = (form(1.0, meet + step) - form(1.0, meet - step)) / (2 * step)
        assert slope == pytest.approx(4 * math.sqrt(3) / math.pi**2, rel=1e-10)


@given(st.floats(0.2, 1.0), st.floats(0.0, 0.45), st.floats(50.0, 1500.0), st.floats(0.5, 5.0), st.floats(0.1, 10.0))
def test_long_coefficient_is_the_classical_load(gamma, nu, R_over_t, L_over_R, R):
    # NASA SP-8007 Rev 2, Eqs 1-5 (published): k_x, Z and the line load say the same thing twice
    t, L = R / R_over_t, R * L_over_R
    k = plain.buckling_coefficient_long(gamma, plain.batdorf_parameter(L, R, t, nu))
    N = plain.line_load_of_coefficient(k, 70e9, nu, t, L)
    # 1e-12: a dozen roundings
    assert pytest.approx(gamma * plain.classical_line_load(70e9, nu, t, R), rel=1e-12) == N


def test_batdorf_parameter():
    # check by hand (own): L = 200, R = 100, t = 0.1, nu = 0.6 has sqrt(1 - nu^2) = 0.8
    assert plain.batdorf_parameter(200.0, 100.0, 0.1, 0.6) == pytest.approx(3200.0, rel=1e-14)


# --- knockdown factors ---

AXIAL = {50: 0.67815, 100: 0.58127, 200: 0.47127, 300: 0.4042, 400: 0.3571, 500: 0.32173, 1000: 0.22385, 1500: 0.17907}
BENDING = {100: 0.66028, 500: 0.44971, 1000: 0.37029, 1500: 0.33396}


@pytest.mark.parametrize(("R_over_t", "gamma"), AXIAL.items())
def test_axial_knockdown(R_over_t, gamma):
    # NASA SP-8007 Rev 2, Eqs 9-10 (published formula, own values to the digits shown)
    digits = 5e-5 if R_over_t in (300, 400) else 5e-6
    assert plain.axial_knockdown(R_over_t) == pytest.approx(gamma, abs=digits)


@pytest.mark.parametrize(("R_over_t", "gamma"), BENDING.items())
def test_bending_knockdown(R_over_t, gamma):
    # NASA SP-8007 Rev 2, Eqs 14-15 (published formula, own values to the digits shown)
    assert plain.bending_knockdown(R_over_t) == pytest.approx(gamma, abs=5e-6)


def test_knockdowns_start_at_one_and_bending_is_milder():
    # limits of Eqs 9 and 14 (published): 1 for a thick wall, 0.099 and 0.269 for a vanishing one
    assert plain.axial_knockdown(0.0) == plain.bending_knockdown(0.0) == 1.0
    assert plain.axial_knockdown(1e9) == pytest.approx(0.099, rel=1e-12)
    assert plain.bending_knockdown(1e9) == pytest.approx(0.269, rel=1e-12)
    ratios = np.linspace(1, 1500, 200)
    assert np.all(np.diff(plain.axial_knockdown(ratios)) < 0)
    assert np.all(plain.bending_knockdown(ratios) > plain.axial_knockdown(ratios))
    assert plain.MOST_RADIUS_TO_THICKNESS == 1500.0


@pytest.mark.parametrize(("R_over_t_e", "gamma"), [(50, 0.678), (150, 0.518)])
def test_orthotropic_axial_knockdown(R_over_t_e, gamma):
    # NASA SP-8007 Rev 2, Eqs 60-61 (published formula, own values to three digits)
    assert orthotropic.orthotropic_axial_knockdown(R_over_t_e, 1.0) == pytest.approx(gamma, abs=5e-4)


@pytest.mark.parametrize("R_over_t", [50.0, 400.0, 1500.0])
def test_orthotropic_factors_of_a_plain_sheet_are_the_plain_factors(R_over_t):
    # The standard's 29.8 is 16 times 12^(1/4) = 29.78, rounded (own): phi differs by 7e-4, so gamma by at most
    # 0.901 max(phi exp(-phi)) 7e-4 = 2.3e-4
    t, E, nu = 1.0, 7.0, 0.3
    stretch, bend = E * t / (1 - nu**2), E * t**3 / (12 * (1 - nu**2))
    t_e = orthotropic.equivalent_thickness(stretch, stretch, 0.0, 0.0, bend, bend)
    assert t_e == pytest.approx(t, rel=1e-14)
    for ortho, bare in (
        (orthotropic.orthotropic_axial_knockdown, plain.axial_knockdown),
        (orthotropic.orthotropic_bending_knockdown, plain.bending_knockdown),
    ):
        assert ortho(R_over_t * t, t_e) == pytest.approx(bare(R_over_t), abs=2.5e-4)


def test_equivalent_thickness_ignores_where_the_reference_surface_lies():
    # own: moving the reference by z adds z E to C and 2 z C + z^2 E to D; the neutral-axis form must not notice
    E_x, E_y, C_x, C_y, D_x, D_y = 2.0, 1.5, 0.3, -0.2, 1.0, 0.7
    here = orthotropic.equivalent_thickness(E_x, E_y, C_x, C_y, D_x, D_y)
    z = 0.8
    moved = orthotropic.equivalent_thickness(
        E_x, E_y, C_x + z * E_x, C_y + z * E_y, D_x + 2 * z * C_x + z * z * E_x, D_y + 2 * z * C_y + z * z * E_y
    )
    assert moved == pytest.approx(here, rel=1e-13)  # rounding only


def test_constant_factors_of_stiffened_walls():
    # NASA SP-8007 Rev 2, 4.1.2.1 and 4.1.2.2 (published; the 1968 edition said 0.75 in compression)
    assert (orthotropic.AXIAL_KNOCKDOWN, orthotropic.BENDING_KNOCKDOWN) == (0.65, 0.75)


# --- internal pressure ---

# Fig 4-5, two digitisations (second-hand): +-10 % below p_bar 0.1 and +-5 % from there on; the lower plateau
DIGITISED = [
    (0.02, 0.028),
    (0.026, 0.035),
    (0.04, 0.048),
    (0.06, 0.065),
    (0.1, 0.092),
    (0.15, 0.117),
    (0.2, 0.134),
    (0.31, 0.164),
    (0.4, 0.178),
    (0.5, 0.191),
    (0.77, 0.216),
    (1.0, 0.226),
    (1.5, 0.243),
    (2.0, 0.250),
]


@pytest.mark.parametrize(("p_bar", "read"), DIGITISED)
def test_increment_is_the_digitised_point_less_its_scatter(p_bar, read):
    # 1e-14: one product
    assert plain.increment(p_bar) == pytest.approx(read * (0.9 if p_bar < 0.1 else 0.95), rel=1e-14)


def test_increment_between_and_beyond_the_points():
    # own rule: 0 at 0, linear between the reduced points, constant above 2
    assert plain.increment(0.0) == 0.0
    for (x0, y0), (x1, y1) in itertools.pairwise(DIGITISED):
        low, high = (y * (0.9 if x < 0.1 else 0.95) for x, y in ((x0, y0), (x1, y1)))
        assert plain.increment((x0 + x1) / 2) == pytest.approx((low + high) / 2, rel=1e-13)
    assert plain.increment(0.01) == pytest.approx(0.9 * 0.014, rel=1e-13)
    assert plain.increment(3.5) == plain.increment(2.0) == plain.increment(1e6) == pytest.approx(0.2375, rel=1e-14)


@given(st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_increment_rises(first, second):
    low, high = sorted((first, second))
    assert 0.0 <= plain.increment(low) <= plain.increment(high) <= 0.2375 + 1e-15


def test_pressure_parameter():
    # abscissa of Fig 4-5 (published): p/E (R/t)^2
    assert plain.pressure_parameter(0.7e5, 70e9, 2.0, 0.004) == pytest.approx(0.25, rel=1e-14)


@given(st.floats(0.1, 0.7), st.floats(0.0, 0.25), st.floats(0.0, 1e6))
def test_pressurised_totals(gamma, d_gamma, p):
    # NASA SP-8007 Rev 2, Eqs 48 and 50 (published), written for the force and the moment
    E, nu, t, R = 70e9, 0.33, 0.002, 1.2
    bracket = gamma / math.sqrt(3 * (1 - nu**2)) + d_gamma
    P = 2 * math.pi * E * t**2 * bracket + p * math.pi * R**2
    M = math.pi * R * E * t**2 * bracket + 0.8 * p * math.pi * R**3
    # 1e-13: a few roundings
    axial = plain.pressurised_axial_line_load(E, nu, t, R, gamma, d_gamma, p)
    bending = plain.pressurised_bending_line_load(E, nu, t, R, gamma, d_gamma, p)
    assert axial * 2 * math.pi * R == pytest.approx(P, rel=1e-13)
    assert bending * math.pi * R**2 == pytest.approx(M, rel=1e-13)
    assert interaction.axial_line_load(P, R) == pytest.approx(axial, rel=1e-13)
    assert interaction.bending_line_load(M, R) == pytest.approx(bending, rel=1e-13)


def test_no_pressure_leaves_the_knocked_down_classical_load():
    N = plain.pressurised_axial_line_load(70e9, 0.33, 0.002, 1.2, 0.3, 0.0, 0.0)
    assert pytest.approx(0.3 * plain.classical_line_load(70e9, 0.33, 0.002, 1.2), rel=1e-14) == N


def test_ovalisation_moment():
    # NASA SP-8007 Rev 2, Eq 16 (published): 0.987 E R t^2/sqrt(1 - nu^2); with nu = 0.6 the root is 0.8. The peak
    # fibre stress of that moment is 0.987/pi = 0.314 of E t/R, about half the classical stress (Brazier, memory)
    assert plain.ovalisation_moment(2.0, 0.6, 3.0, 5.0) == pytest.approx(0.987 * 90 / 0.8, rel=1e-14)
    half = plain.ovalisation_moment(1.0, 0.3, 1.0, 1.0) / math.pi / plain.classical_line_load(1.0, 0.3, 1.0, 1.0)
    assert half == pytest.approx(0.5, abs=0.06)


# --- margins ---


@given(st.floats(0.1, 10), st.floats(0.1, 10), st.floats(1, 50), st.floats(1, 50), st.floats(1, 2))
def test_margin_is_the_multiplier_that_reaches_the_interaction_line(N_a, N_b, a, b, f_s):
    # NASA SP-8007 Rev 2, Eq 41 (published): Ra + Rb = 1 under proportional growth
    ratios = interaction.load_ratio(N_a, a) + interaction.load_ratio(N_b, b)
    multiplier = f_s * (1 + interaction.interaction_margin(ratios, f_s))
    assert multiplier * N_a / a + multiplier * N_b / b == pytest.approx(1.0, rel=1e-12)
    # the pair capacity is the same point, given as a sum of line loads; it lies between the two capacities
    total = interaction.mixed_capacity(N_a + N_b, ratios)
    assert multiplier * (N_a + N_b) == pytest.approx(total, rel=1e-12)
    assert min(a, b) * (1 - 1e-12) <= total <= max(a, b) * (1 + 1e-12)


def test_local_and_tension_margins_keep_relief_unfactored():
    # NASA SP-8007 Rev 2, 3.0 (published): stabilising loads carry no factor
    relieved = interaction.load_ratio(20.0, interaction.tension_relieved_capacity(30.0, 5.0))
    assert interaction.interaction_margin(relieved, 1.4) == pytest.approx(35 / 28 - 1, rel=1e-14)
    assert interaction.net_margin(30.0, 1.4, 20.0, 5.0) == pytest.approx(30 / 23 - 1, rel=1e-14)
    assert interaction.force_margin(30.0, 1.5, 10.0) == pytest.approx(1.0, rel=1e-14)


@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(-1, 1))
def test_von_mises_by_principal_stresses(x, y, tau):
    # distortion energy (textbook, memory), by the principal stresses and the zero third one
    first, second = np.linalg.eigvalsh([[x, tau], [tau, y]])
    expected = math.sqrt(((first - second) ** 2 + first**2 + second**2) / 2)
    # 1e-7: where both vanish the square root turns a rounding of 1e-16 into 1e-8
    assert strength.von_mises_stress(x, y, tau) == pytest.approx(expected, rel=1e-12, abs=1e-7)
    assert strength.stress_margin(3.0, 2.4) == pytest.approx(0.25, rel=1e-14)


def test_membrane_strains_by_hand():
    """A = [[3, 1], [1, 2]] under (5, 4): det 5, strains (2*5 - 1*4)/5 and (3*4 - 1*5)/5."""
    assert strength.axial_strain(3.0, 2.0, 1.0, 5.0, 4.0) == pytest.approx(1.2, rel=1e-15)
    assert strength.hoop_strain(3.0, 2.0, 1.0, 5.0, 4.0) == pytest.approx(1.4, rel=1e-15)
