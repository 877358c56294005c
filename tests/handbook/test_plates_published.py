"""Plates, strips and sections against textbook values and solutions computed here from scratch.

Standings: "textbook" = printed in standard texts, recalled (memory); "second-hand" = read in a text that cites the
source; "own" = derived for this project. The solver below shares nothing with shellbuck.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from shellbuck.handbook import plates, sections, strength

# --- long plates: Levy's solution by its characteristic exponents ---


def edge_rows(edge: str, side: float, k: float, alpha: float, beta: float, nu: float) -> list[np.ndarray]:
    """Two conditions on f = A cosh + B sinh + C cos + D sin at y = side, for w = f(y) sin(k x)."""
    ch, sh = math.cosh(alpha * side), math.sinh(alpha * side)
    co, si = math.cos(beta * side), math.sin(beta * side)
    f = [
        np.array([ch, sh, co, si]),
        np.array([alpha * sh, alpha * ch, -beta * si, beta * co]),
        np.array([alpha**2 * ch, alpha**2 * sh, -(beta**2) * co, -(beta**2) * si]),
        np.array([alpha**3 * sh, alpha**3 * ch, beta**3 * si, -(beta**3) * co]),
    ]
    if edge == "supported":
        return [f[0], f[2]]
    if edge == "clamped":
        return [f[0], f[1]]
    return [f[2] - nu * k**2 * f[0], f[3] - (2 - nu) * k**2 * f[1]]  # free: moment and Kirchhoff shear vanish


def levy_coefficient(first: str, second: str, half_wave: float, nu: float = 0.3) -> float:
    """Lowest k = N b^2/(pi^2 D) of an infinitely long plate of width 1 with half-waves of this length."""
    wave = math.pi / half_wave

    def determinant(coefficient: float) -> float:
        root = wave * math.pi * math.sqrt(coefficient)  # k sqrt(N/D)
        alpha, beta = math.sqrt(root + wave**2), math.sqrt(root - wave**2)
        rows = np.array(edge_rows(first, 0.0, wave, alpha, beta, nu) + edge_rows(second, 1.0, wave, alpha, beta, nu))
        return np.linalg.det(rows / np.abs(rows).max(axis=1, keepdims=True))

    # below (1/half_wave)^2 the exponents are real and no plate buckles
    start = 1 / half_wave**2 * (1 + 1e-9)
    steps = start + np.linspace(0, 12, 600) ** 1.5 + 1e-7
    values = [determinant(s) for s in steps]
    at = next(i for i in range(len(steps) - 1) if values[i] * values[i + 1] < 0)
    return brentq(determinant, steps[at], steps[at + 1], xtol=1e-13, rtol=1e-13)


def lowest_over_half_waves(first: str, second: str, low: float, high: float) -> tuple[float, float]:
    best = minimize_scalar(
        lambda a: levy_coefficient(first, second, a), bounds=(low, high), method="bounded", options={"xatol": 1e-7}
    )
    return best.x, best.fun


@pytest.mark.parametrize(
    ("edges", "half_wave", "k"),
    [
        (("supported", "supported"), 1.0, plates.LONG_SIMPLY_SUPPORTED),
        (("clamped", "clamped"), 0.6608, plates.LONG_CLAMPED),
        (("clamped", "free"), 1.638, plates.LONG_CLAMPED_FREE),
    ],
)
def test_long_plates(edges, half_wave, k):
    # textbook values (4.000, 6.97, 1.28) and own digits; half of the last printed digit
    at, lowest = lowest_over_half_waves(*edges, 0.7 * half_wave, 1.4 * half_wave)
    assert lowest == pytest.approx(k, abs=5e-5)
    # the minimum is flat: sqrt(1e-13) noise in k moves its place by far less than the printed digits
    assert at == pytest.approx(half_wave, abs=5e-4 if half_wave > 1 else 5e-5)


def test_one_edge_free_has_no_finite_half_wave():
    # textbook .4255 at nu = .3 plus (b/a)^2; own: the remainder falls with (b/a)^2
    assert plates.one_edge_free_coefficient(0.3) == pytest.approx(0.4255, abs=5e-5)
    for nu in (0.0, 0.3, 1 / 3):
        near, far = (levy_coefficient("supported", "free", a, nu) - 1 / a**2 for a in (20.0, 40.0))
        limit = far + (far - near) / 3  # the error of the limit is quadratic in 1/a
        # 1e-6: the next term is of order (1/20)^4 = 6e-6 times a factor below 0.1
        assert limit == pytest.approx(plates.one_edge_free_coefficient(nu), abs=1e-6)


@pytest.mark.parametrize("m", [1, 2, 3])
def test_rectangles(m):
    # textbook: k = 4 for a = m b, and m gives way to m + 1 at a/b = sqrt(m (m + 1)) (exact)
    assert plates.lowest_rectangle(m * 0.7, 0.7) == (m, pytest.approx(4.0, rel=1e-14))
    switch = math.sqrt(m * (m + 1))
    assert [plates.lowest_rectangle(switch + d, 1.0)[0] for d in (-1e-6, 1e-6)] == [m, m + 1]
    assert plates.lowest_rectangle(0.5, 1.0) == (1, 6.25)


@pytest.mark.parametrize("a", np.geomspace(0.05, 40, 37))
def test_rectangle_search_misses_no_half_wave(a):
    # own: brute force over m up to 100; 1e-14: the same two products
    m, k = plates.lowest_rectangle(a, 1.0)
    assert k == pytest.approx(min((i / a + a / i) ** 2 for i in range(1, 101)), rel=1e-14)
    assert levy_coefficient("supported", "supported", a / m) == pytest.approx(k, rel=1e-9)  # root finding


def test_plate_stress_of_a_square():
    # check by hand (own): k pi^2 D/(b^2 t) with D = E t^3/(12 (1 - nu^2)); nu = .6 gives .64
    assert plates.plate_stress(4.0, 1.92, 0.6, 0.1, 2.0) == pytest.approx(math.pi**2 * 0.0025, rel=1e-14)


# --- curved strips ---


@pytest.mark.parametrize(("Z_b", "k"), [(5.0, 4.7699), (10.0, 7.0798), (20.0, 14.0395)])
def test_curved_strip(Z_b, k):
    # own: Donnell's strip, half-wave 1/x, j half-waves across, minimised here by brute force
    x = np.geomspace(0.05, 100, 20001)[:, None]
    across = np.arange(1, 6)
    q = ((x**2 + across**2) / x) ** 2
    least = (q + 12 * Z_b**2 / math.pi**4 / q).min()
    form = plates.curved_strip_coefficient if Z_b < plates.CURVED_SWITCH else plates.wide_strip_coefficient
    assert form(Z_b) == pytest.approx(k, abs=5e-5)
    # the step of 0.04 % in x leaves at most its square in a minimum
    assert form(Z_b) == pytest.approx(least, rel=1e-6)


def test_the_two_strip_forms_touch():
    # own: tangent at Z_b = 4 pi^2/sqrt(12) = 11.396, printed 11.40; there k = 8, twice flat
    meet = 4 * math.pi**2 / math.sqrt(12)
    assert round(meet, 1) == plates.CURVED_SWITCH
    assert plates.curved_strip_coefficient(meet) == pytest.approx(8.0, rel=1e-14)
    assert plates.wide_strip_coefficient(meet) == pytest.approx(8.0, rel=1e-14)
    assert plates.curved_strip_coefficient(0.0) == plates.LONG_SIMPLY_SUPPORTED
    assert plates.wide_strip_coefficient(1.0) == pytest.approx(0.7020, abs=5e-5)
    assert plates.strip_curvature(2.0, 4.0, 0.1, 0.6) == pytest.approx(8.0, rel=1e-14)


def test_strip_and_web_share_one_strain():
    # own: skin of modulus 2, stringer of modulus 3, one strain 0.01, areas per width 0.1 and 0.05
    n_E = 3 / 2
    N = 0.01 * (2 * 0.1 + 3 * 0.05)
    assert plates.strip_line_load(0.01 * 2, 0.1, 0.05 * n_E) == pytest.approx(N, rel=1e-14)
    assert strength.rib_stress(3.0, 0.01 / N, 0.0, -N, 0.0) == pytest.approx(0.01 * 3, rel=1e-14)


# --- sections and columns ---


def test_johnson_euler():
    # textbook: 40 ksi, 10.3e6 psi, slenderness 40 -> 33 704 psi, switch at 71.29
    assert sections.johnson_stress(40e3, 10.3e6, 40.0) == pytest.approx(33704, abs=0.5)
    switch = sections.johnson_switch(40e3, 10.3e6)
    assert switch == pytest.approx(71.29, abs=5e-3)
    # exact: the parabola meets Euler's curve at half the crippling stress, with the same slope
    assert sections.johnson_stress(40e3, 10.3e6, switch) == pytest.approx(20e3, rel=1e-13)
    assert math.pi**2 * 10.3e6 / switch**2 == pytest.approx(20e3, rel=1e-13)
    step = 1e-3
    slope = (
        sections.johnson_stress(40e3, 10.3e6, switch + step) - sections.johnson_stress(40e3, 10.3e6, switch - step)
    ) / (2 * step)
    assert slope == pytest.approx(-2 * math.pi**2 * 10.3e6 / switch**3, rel=1e-8)  # difference quotient


def test_gerard_crippling():
    # second-hand: .56 [(g t^2/A) sqrt(E/F_cy)]^.85. By hand (own): an angle of two flats 20 t long has g = 2 and
    # A = 40 t^2; with E/F_cy = 160 the bracket is sqrt(160)/20 = sqrt(.4)
    stress = sections.gerard_crippling(2.0, 0.1, 0.4, 160.0 * 60.0, 60.0)
    assert stress == pytest.approx(60.0 * 0.56 * 0.4**0.425, rel=1e-13)


def test_shanley_ring():
    # memory (high): D 96 in, L 20 in, N 1000 lb/in -> 2.0846e5 lb in^2; half of the last digit
    EI = sections.shanley_ring_stiffness(1000.0 * math.pi * 48.0**2, 96.0, 20.0)
    assert pytest.approx(2.0846e5, abs=5.0) == EI


@pytest.mark.parametrize("slenderness", [1.0, 0.9, 0.8, 0.5, 0.25, 0.1, 0.01])
def test_rectangle_torsion_against_the_series(slenderness):
    # Saint-Venant's series (textbook, exact). The closed form claims 1 %; measured 0.47 % low at worst, near 0.9
    lo, hi = slenderness * 3.0, 3.0
    series = sum(math.tanh(n * math.pi * hi / (2 * lo)) / n**5 for n in range(1, 200, 2))
    exact = hi * lo**3 * (1 / 3 - 64 / math.pi**5 * lo / hi * series)
    assert sections.rectangle_torsion(lo, hi) == pytest.approx(exact, rel=6e-3)
