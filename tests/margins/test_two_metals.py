"""Skin and stiffeners of different metals: each by its own modulus, yield, density and temperature data."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import BARREL, METAL, case, codes, load, row

import shellbuck as sb
from shellbuck.io import case_from_text
from shellbuck.io.language.case_text import case_text
from shellbuck.model.walls import build_wall, weigh

STEEL = sb.Material(
    "steel of the stringers",
    "test",
    7850.0,
    0.3,
    (
        sb.MaterialPoint(200.0, 195e9, 950e6, 1100e6, compression_modulus=210e9, compression_yield=850e6),
        sb.MaterialPoint(294.0, 190e9, 900e6, 1000e6, compression_modulus=200e9, compression_yield=800e6),
    ),
    hardening_exponent=60.0,
    hardening_source="test",
)
COLD = replace(METAL, points=(replace(METAL.points[0], temperature=200.0, compression_modulus=76e9), *METAL.points))
HATS = sb.Stiffeners(
    "outside",
    "hat",
    depth=0.03,
    thickness=0.8e-3,
    crown_width=0.02,
    base_width=0.03,
    foot_width=0.008,
    joint="riveted",
    count=94,
    material=STEEL,
)
FRAMES = sb.Stiffeners(
    "inside", "zee", depth=0.05, thickness=3e-3, flange_width=0.016, foot_width=0.016, joint="riveted", count=4
)
WALL = sb.StiffenedWall(HATS, FRAMES)


@pytest.mark.parametrize(("temperature", "E", "skin"), [(294.0, 200e9, 72e9), (200.0, 210e9, 76e9)])
def test_stiffness_by_the_moduli_of_each(temperature, E, skin):
    """D11 = E_skin t^3/12/(1 - nu^2) + E (I + A z^2)/s; the cell twists with the skin's shear modulus in the skin."""
    made = case(WALL, material=COLD)
    wall = build_wall(made, temperature)
    section, s, t = HATS.profile, 2 * math.pi * 1.5 / 94, 2.5e-3
    z = section.height(t)
    own = skin * t**3 / 12 / (1 - 0.33**2) + E * (section.inertia + section.area * z**2) / s
    assert wall.D[0, 0] == pytest.approx(own, rel=1e-12)
    assert wall.B[0, 0] == pytest.approx(E * section.area * z / s, rel=1e-12)
    ratio = (skin / 2.66) / (E / 2.6)
    assert wall.ribs[0].torsion == pytest.approx(section.torsion_on(t, ratio, 0.3, 0.4), rel=1e-12)
    assert wall.ribs[0].torsion < section.torsion_on(t, 1.0, 0.3, 0.4)


def test_rows_by_the_yield_and_modulus_of_each():
    """Steel hats: web k = 4, nu .3; below 800 MPa, above the skin's 380 MPa."""
    result = sb.run(case(WALL, material=METAL))
    web = 4 * math.pi**2 * 200e9 / (12 * 0.91) * (0.8 / math.hypot(5.0, 29.2)) ** 2
    assert 380e6 < web < 800e6
    assert row(result, "stringer crippling").capacity == pytest.approx(web, rel=1e-6)
    assert row(result, "stringers, yield").capacity == 800e6
    assert row(result, "rings, yield").capacity == 400e6
    assert row(result, "skin, yield").capacity == 380e6
    column = row(result, "stringer column between rings")
    gyration = next(line for line in column.worked if line.formula == "stringer-gyration")
    assert dict(gyration.inputs)["n"] == pytest.approx(72 / 200)


def test_mass_by_the_density_of_each():
    light = weigh(case(sb.StiffenedWall(replace(HATS, material=None), FRAMES)))
    heavy = weigh(case(WALL))
    hats = 94 * HATS.profile.area * BARREL.length
    assert heavy.total - light.total == pytest.approx((7850 - 2800) * hats, rel=1e-9)


def test_a_temperature_that_one_metal_lacks_is_refused_with_its_place():
    with pytest.raises(sb.Refusal, match=r"wall\.stringers\.material"):
        case(WALL, load(temperature=100.0), material=replace(COLD, clamp_below_range=True))


def test_different_expansion_is_said():
    cold = case(WALL, load(), load(name="cold", temperature=200.0), material=COLD)
    assert "thermal-mismatch" in codes(sb.run(cold))
    assert "thermal-mismatch" not in codes(sb.run(case(WALL, material=COLD)))
    alike = case(sb.StiffenedWall(replace(HATS, material=None), FRAMES), load(temperature=200.0), material=COLD)
    assert "thermal-mismatch" not in codes(sb.run(alike))


def test_a_case_file_carries_both():
    made = case(WALL, material=METAL)
    again = case_from_text(case_text(made)).case
    assert again.wall == made.wall
    assert again.wall.stringers.material.points[-1].compression_yield == 800e6
