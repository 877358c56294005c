"""External pressure and torsion of NASA SP-8007 Rev 2 (published), against numbers worked out outside."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.handbook import external, plasticity, torsion


@pytest.mark.parametrize(("Z", "k"), [(10, 5.184), (100, 11.8835), (500, 24.664), (1000, 34.255), (3000, 58.899)])
def test_lateral_coefficient_of_the_perfect_cylinder(Z, k):
    """Donnell, simply supported, R/t 1000 (own, whole n): the smooth minimum lies at most 1.1 % below whole n."""
    b = external.lowest_aspect(Z, False)
    smooth = external.lateral_coefficient(b, 1.0, Z)
    assert smooth <= k * (1 + 1e-4)
    assert smooth == pytest.approx(k, rel=0.011)


@pytest.mark.parametrize("hydrostatic", [False, True])
@pytest.mark.parametrize("gamma_Z", [0.0, 0.3, 5.0, 60.0, 1e4])
def test_the_aspect_is_that_of_the_least_coefficient(gamma_Z, hydrostatic):
    form = external.hydrostatic_coefficient if hydrostatic else external.lateral_coefficient
    b = float(external.lowest_aspect(gamma_Z, hydrostatic))
    least = form(b, 1.0, gamma_Z) if b else 2.0
    grid = np.geomspace(max(b, 0.05) / 3, max(b, 0.05) * 3, 20_001)
    assert form(grid, 1.0, gamma_Z).min() >= least * (1 - 1e-12)


def test_coefficient_of_moderate_length_is_the_limit():
    """For large gamma Z the least of Eq 19 tends to 4/3 (36/pi^4)^(1/4) sqrt(gamma Z) = 1.0396 sqrt(gamma Z)."""
    gamma_Z = 1e9
    full = external.lateral_coefficient(external.lowest_aspect(gamma_Z, False), 1.0, gamma_Z)
    assert full / math.sqrt(gamma_Z) == pytest.approx(4 / 3 * (36 / math.pi**4) ** 0.25, rel=1e-4)  # rest ~ Z^-1/2
    assert external.moderate_coefficient(1.0, gamma_Z) / full == pytest.approx(1.04 / 1.0396, rel=1e-3)


def test_moderately_long_pressure_in_the_standards_form():
    """p = .855/(1 - nu^2)^.75 E sqrt(gamma)/((R/t)^2.5 L/R): 1.04 pi^2/12 = .8554."""
    E, nu, t, R, L, gamma = 70e9, 0.3, 2e-3, 1.0, 1.5, 0.5625
    Z = L**2 * math.sqrt(1 - nu**2) / (R * t)
    found = external.coefficient_pressure(external.moderate_coefficient(gamma, Z), E, nu, t, R, L)
    expected = 0.855 / (1 - nu**2) ** 0.75 * E * math.sqrt(gamma) / ((R / t) ** 2.5 * (L / R))
    assert found == pytest.approx(expected, rel=1e-3)  # the printed .855


def test_long_tube():
    """R 6.75 in, t .375, E 29e6, nu .29: 1357 psi (Roark, worked example)."""
    assert external.long_pressure(29e6, 0.29, 0.375, 6.75, 1.0) == pytest.approx(1357, abs=0.5)


def test_torsion_in_the_standards_form():
    """tau = .747 gamma^.75 E/((R/t)^1.25 (L/R)^.5), printed for nu = .316; .6991/(1 - nu^2)^(5/8) in general."""
    E, nu, t, R, L = 70e9, 0.316, 2e-3, 1.0, 1.5
    Z = L**2 * math.sqrt(1 - nu**2) / (R * t)
    tau = torsion.coefficient_flow(torsion.torsion_coefficient(torsion.MODERATE_FACTOR, Z), E, nu, t, L) / t
    shape = E / ((R / t) ** 1.25 * (L / R) ** 0.5)
    assert tau == pytest.approx(0.747 * 0.67 * shape, rel=1e-3)
    assert tau == pytest.approx(0.6991 / (1 - nu**2) ** 0.625 * 0.67 * shape, rel=1e-4)


def test_factors_of_the_standard():
    assert external.MODERATE_FACTOR == 0.5625
    assert pytest.approx(0.67, rel=1e-14) == torsion.MODERATE_FACTOR**0.75
    assert (external.LONG_FACTOR, torsion.LONG_FACTOR, external.STIFFENED_FACTOR) == (0.90, 0.80, 0.75)


def test_isotropic_wall_in_the_orthotropic_equation():
    """Eq 69 with D_y = D and (E_x E_y - E_xy^2)/E_y = E t: 21.75/(2 pi) 12^(-5/8) = .7323 in place of .6991 (5 %)."""
    E, nu, t, R, L = 70e9, 0.3, 2e-3, 1.0, 1.5
    D, stiff = E * t**3 / (12 * (1 - nu**2)), E * t / (1 - nu**2)
    terms = dict(S_x=torsion.free_stretching(stiff, stiff, nu * stiff), R=R, L=L)
    flow = torsion.stiffened_torsion_flow(1.0, D, **terms)
    shape = E / ((R / t) ** 1.25 * (L / R) ** 0.5) / (1 - nu**2) ** 0.625
    assert flow / t == pytest.approx(21.75 / (2 * math.pi) * 12 ** (-5 / 8) * shape, rel=1e-12)
    # the parameter of Eq 70 is Batdorf's of an isotropic wall
    assert torsion.stiffened_torsion_range(D, D, **terms) == pytest.approx(L**2 * math.sqrt(1 - nu**2) / (R * t))


def test_plasticity_of_external_pressure_between_its_classes():
    E_s, E_t, E = 50.0, 20.0, 70.0
    thirty = E_s / E * (0.5 + 0.5 * math.sqrt(0.25 + 0.75 * E_t / E_s))
    thirty_one = E_s / E * math.sqrt(math.sqrt(E_t / E_s) * (0.25 + 0.75 * E_t / E_s))
    assert plasticity.external_pressure_factor(E_s, E_t, E, 1, 0, 0) == pytest.approx(thirty, rel=1e-14)
    middle = plasticity.external_pressure_factor(E_s, E_t, E, 0.5, 0.5, 0)
    assert middle == pytest.approx((thirty + thirty_one) / 2, rel=1e-14)
    long = E_s / E * (0.25 + 0.75 * E_t / E_s)
    assert plasticity.external_pressure_factor(E_s, E_t, E, 0, 0, 1) == pytest.approx(long, rel=1e-14)
