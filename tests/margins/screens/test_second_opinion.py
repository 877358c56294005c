"""The second opinion beside the margins: EN 1993-1-6 on plain steel walls."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import GRID, METAL, PLAIN, case, load, pressed

import shellbuck as sb
from shellbuck.model.policy import SecondOpinion

STEEL = sb.Material(
    "steel",
    "test",
    7850.0,
    0.3,
    (sb.MaterialPoint(294.0, 210e9, 235e6, 360e6, compression_yield=235e6),),
    family="steel",
    hardening_exponent=60.0,
    hardening_source="test",
)
"""E 210 GPa and f_y 235 MPa, as in the worked values of the handbook test."""

BARREL = sb.Barrel(radius=1.0, length=2.0, ends="open", skin_thickness=2e-3, skin_thickness_minimum=2e-3)
"""R/t 500, L/R 2."""

FIRST = SecondOpinion("EN 1993-1-6:2007", "B")


def opinion(*loads, second=FIRST, wall=PLAIN, barrel=BARREL, material=STEEL):
    result = sb.run(case(wall, *loads, barrel=barrel, material=material, second_opinion=second))
    (found,) = result.load_cases[0].comparisons
    return found, result


def test_resistance_against_the_factored_net_load():
    # sigma_Rk 59.98 MPa (class B, R/t 500; the formula gives 59.9814), t 2 mm: 119.963 kN/m. Demand 1.4 (N_a + N_b),
    # N_a = 100 kN/(2 pi) = 15.9155 kN/m, N_b = 50 kN m/pi = 15.9155 kN/m: 44.5634 kN/m
    found, result = opinion(load(axial_force=100e3, bending_moment=50e3))
    assert found.capacity == pytest.approx(119.963e3, rel=1e-5)
    assert found.demand == pytest.approx(44.5634e3, rel=1e-5)
    assert found.excess == pytest.approx(119.963 / 44.5634 - 1, rel=1e-5)
    assert found.outcome == "above"
    assert "simply supported" in found.equation
    assert "partial factors" in found.note
    assert all("1993" not in row.mode for row in result.margins)


def test_it_never_governs():
    heavy = load(axial_force=600e3, bending_moment=0.0)
    worst = replace(FIRST, quality="C")
    found, result = opinion(heavy, second=worst)
    assert found.outcome == "below"
    without = sb.run(case(PLAIN, heavy, barrel=BARREL, material=STEEL))
    assert result.verdict == without.verdict
    assert result.verdict.exit_status == 0


def test_pressure_helps_at_its_minimum_and_bulges_at_its_maximum():
    # closed ends, p R/2 = 50 kN/m of relief at .1 MPa; alpha_xpe .42067 at .1 MPa, alpha_xpp .47065 at .2 MPa
    closed = replace(BARREL, ends="closed")
    found, _ = opinion(pressed(0.1e6, 0.2e6, axial_force=600e3, bending_moment=50e3), barrel=closed)
    assert "alpha = 0.421 (helped by the minimum pressure)" in found.equation
    demand = 1.4 * (600e3 / (2 * 3.14159265) + 50e3 / 3.14159265) - 0.1e6 / 2
    assert found.demand == pytest.approx(demand, rel=1e-6)
    # alpha_xpp .47065 at .2 MPa, alpha_xpe .53343 there
    found, _ = opinion(pressed(0.2e6, axial_force=800e3), barrel=closed)
    assert "alpha = 0.471 (bulging at a held end" in found.equation


def test_second_generation_has_its_own_parameters():
    # R/t 500, class B: alpha .274526, lamda_p = sqrt(alpha/(1 - beta)) = sqrt(.274526/.37805) = .85216; lamda =
    # sqrt(235/254.1) = .96168 is beyond it: chi f_y t = alpha sigma_cr t = .274526 254.1 MPa 2 mm = 139.514 kN/m
    found, _ = opinion(load(), second=SecondOpinion("EN 1993-1-6 second generation", "B"))
    assert found.capacity == pytest.approx(139.514e3, rel=1e-5)
    assert "second-hand" in found.source


def test_elastic_plastic_range_of_the_second_generation():
    thick = replace(BARREL, skin_thickness=10e-3, skin_thickness_minimum=10e-3)
    found, _ = opinion(load(), second=SecondOpinion("EN 1993-1-6 second generation", "B"), barrel=thick)
    # R/t 100: w .4, alpha .83/(1 + 2.2 .4^.75) = .394559, beta 1 - .75/1.44 = .479167, eta_0 1.31, eta_p 1.355014,
    # lamda sqrt(235/1270.5) = .430077, lamda_p .870376: eta 1.325450, chi .882466
    w, lamda = 0.4, (235 / 1270.5) ** 0.5
    alpha, beta = 0.83 / (1 + 2.2 * w**0.75), 1 - 0.75 / (1 + 1.1 * w)
    limit = (alpha / (1 - beta)) ** 0.5
    eta = 1.31 + (1 / (0.45 + 0.72 * w) - 1.31) * (lamda - 0.2) / (limit - 0.2)
    chi = 1 - beta * ((lamda - 0.2) / (limit - 0.2)) ** eta
    assert found.capacity == pytest.approx(chi * 235e6 * 0.01, rel=1e-12)
    assert "elastic-plastic" in found.equation


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"material": METAL}, "a standard for steel shells; the metal's family is not said"),
        ({"material": replace(METAL, family="aluminium")}, "this metal is aluminium"),
        ({"wall": GRID, "material": replace(METAL, family="steel", points=STEEL.points)}, "plain walls only"),
        ({"barrel": replace(BARREL, length=0.012)}, "own limit"),
        ({"barrel": replace(BARREL, length=40.0)}, "column first"),
    ],
)
def test_outside_its_scope(change, words):
    if "length" in str(change) and change["barrel"].length > 30:
        change["barrel"] = replace(change["barrel"], skin_thickness=2e-2, skin_thickness_minimum=2e-2)
    found, result = opinion(load(), **change)
    assert found.outcome == "outside its scope"
    assert found.capacity is None
    assert words in found.note
    assert result.verdict.word


def test_pressure_beyond_yield_is_refused():
    found, _ = opinion(pressed(0.1e6, 0.6e6, axial_force=600e3))
    assert found.outcome == "outside its scope"
    assert "exceeds the yield strength" in found.note


def test_other_metals_for_scale_when_asked():
    metal = replace(METAL, family="aluminium")
    found, _ = opinion(load(), material=metal, second=replace(FIRST, other_metals=True))
    assert found.outcome == "for scale"
    assert found.capacity > 0
    assert found.note.startswith("outside its scope (aluminium): for scale only")


def test_nothing_compressed():
    found, _ = opinion(load(axial_force=-500e3, bending_moment=0.0))
    assert found.outcome == "not compressed"


def test_other_loads_are_outside_its_scope():
    found, _ = opinion(load(torque=50e3))
    assert found.outcome == "outside its scope"
    assert "torque acts too" in found.note


def test_bulging_counts_the_maximum_pressure():
    # alpha_xpp .47065 at .2 MPa is below alpha_xpe at .15 MPa, which lies between .42067 and .53343
    found, _ = opinion(pressed(0.15e6, 0.2e6, axial_force=800e3), barrel=replace(BARREL, ends="closed"))
    assert "alpha = 0.471 (bulging at a held end" in found.equation


def test_a_tension_relieves_unfactored():
    found, _ = opinion(load(axial_force=-50e3, bending_moment=100e3))
    assert found.demand == pytest.approx(1.4 * 100e3 / 3.14159265 - 50e3 / (2 * 3.14159265), rel=1e-6)


def test_the_lower_yield_counts():
    metal = replace(STEEL, points=(replace(STEEL.points[0], compression_yield=200e6),))
    thick = replace(BARREL, skin_thickness=40e-3, skin_thickness_minimum=40e-3)
    found, _ = opinion(load(), material=metal, barrel=thick)
    # R/t 25: critical stress .605 210e9/25 = 5082 MPa, lamda = sqrt(200/5082) = .19838 is below .2: at yield
    assert found.capacity == pytest.approx(200e6 * 0.04)
    assert "at yield" in found.equation


@pytest.mark.parametrize(
    ("length", "factor"),
    [
        (40 * 0.02**0.5, 1 + 0.2 * (1 - 80 / 50)),  # omega 40 beyond R/(2 t) = 25
        (74 * 0.02**0.5, 1 + 0.2 * (1 - 148 / 50)),
        (0.02**0.5, 1.36 - 1.83 + 2.07),
    ],
)
def test_length_factor_of_long_and_short_walls(length, factor):
    made = replace(BARREL, length=length, skin_thickness=0.02, skin_thickness_minimum=0.02)
    found, _ = opinion(load(), barrel=made)
    lamda = (235e6 / (0.605 * 210e9 * factor / 50)) ** 0.5
    alpha = 0.62 / (1 + 1.91 * (50**0.5 / 25) ** 1.44)
    chi = 1 - 0.6 * (lamda - 0.2) / ((alpha / 0.4) ** 0.5 - 0.2)
    assert found.capacity == pytest.approx(chi * 235e6 * 0.02, rel=1e-9)
