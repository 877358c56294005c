"""Strength with restrained thermal stress on top of the loads, worked by hand; what is refused (own)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, METAL, PLAIN, RINGS, STIFFENED, WALLS, case, codes, load, pressed, row

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.handbook import thermal
from shellbuck.io.language.case_file import case_from_text
from shellbuck.io.language.case_text import case_text
from shellbuck.margins.batch import evaluate
from shellbuck.model.thermal import Thermal

E, NU, R, T = 70e9, 0.33, 1.5, 2.5e-3
GRADIENT = Thermal("test", 22e-6, gradient=40.0)
COLD_RINGS = Thermal("test", 22e-6, ring_difference=-60.0)


def mises(x, y):
    return math.sqrt(x * x - x * y + y * y)


def test_gradient_on_the_worse_face_with_its_factor_or_without():
    # plain wall, .1 MPa, open: axial -1.1 (N_a +- N_b)/t, hoop 1.1 p R/t; gradient E a dT/(2 (1 - nu)) on either face
    barrel = replace(BARREL, ends="open")
    pressure = replace(pressed(0.1e6), axial_force_includes_thrust=None, thermal=GRADIENT)
    found = row(sb.run(case(PLAIN, pressure, barrel=barrel)), "skin with thermal stress, yield")
    N_a, N_b = 400e3 / (2 * math.pi * R), 100e3 / (math.pi * R**2)
    face = E * 22e-6 * 40 / (2 * (1 - NU))
    worst = max(
        mises(-1.1 * (N_a + sign * N_b) / T + k * face, p * R / T + k * face)
        for p in (0.11e6, 0.1e6)
        for sign in (1, -1)
        for k in (1.1, 1.0, -1.0, -1.1)
    )
    assert found.demand == pytest.approx(worst, rel=1e-12)
    assert found.margin == pytest.approx(380e6 / worst - 1)
    assert found.note == "expansion: test"


def test_cold_rings_compress_the_skin_and_stretch_themselves():
    # rings 200 mm^2 every .4 m; nothing else loads but 1 N, so that only temperature is there
    light = load(axial_force=1.0, bending_moment=0.0, thermal=COLD_RINGS)
    result = sb.run(case(WALLS["rings"], light))
    D = E * T**3 / (12 * (1 - NU**2))
    beta = thermal.decay_number(E * T, D, R)
    k_r, k_s = E * 200e-6 / R**2, thermal.skin_radial_stiffness(D, beta, 0.4)
    e_w = -22e-6 * 60 * k_r / (k_r + k_s)
    bend = E / (1 - NU**2) * T / 2 * thermal.ring_curvature(e_w, R, beta, 0.4)
    worst = max(mises(z * bend, E * e_w + z * NU * bend) for z in (1, -1))
    skin, ring = row(result, "skin with thermal stress, yield"), row(result, "rings with thermal stress, yield")
    # 1 N of axial force is 1e-6 of it
    assert skin.demand == pytest.approx(1.1 * worst, rel=1e-5)
    assert ring.demand == pytest.approx(1.1 * E * (e_w + 22e-6 * 60), rel=1e-5)
    assert ring.capacity == 400e6
    assert "thermal-compression" in codes(result)
    assert "buckling of the skin beside cold rings not checked" in result.verdict.text


def test_gradient_and_rings_on_the_same_face():
    """A colder ring pulls the skin in, which compresses the outer face along; a hotter outer face is compressed too."""
    both = replace(COLD_RINGS, gradient=30.0)
    result = sb.run(case(WALLS["rings"], load(axial_force=1.0, bending_moment=0.0, thermal=both)))
    D = E * T**3 / (12 * (1 - NU**2))
    beta = thermal.decay_number(E * T, D, R)
    e_w = thermal.ring_strain(22e-6, -60.0, E * 200e-6 / R**2, thermal.skin_radial_stiffness(D, beta, 0.4))
    bend = E / (1 - NU**2) * T / 2 * thermal.ring_curvature(e_w, R, beta, 0.4)
    hot = -E * 22e-6 * 30 / (2 * (1 - NU))
    assert bend < 0
    worst = max(
        mises(k * z * bend + g * z * hot, k * (E * e_w + z * NU * bend) + g * z * hot)
        for k in (0.0, 1.0, 1.1)
        for g in (1.0, 1.1)
        for z in (1, -1)
    )
    found = row(result, "skin with thermal stress, yield")
    assert found.demand == pytest.approx(worst, rel=1e-5)
    assert "outer face" in found.equation
    away = mises(1.1 * hot, 1.1 * hot)
    assert worst > 1.2 * away


def test_a_ring_that_pressure_stretches_is_relieved_by_its_heat_without_factor():
    hot = replace(COLD_RINGS, ring_difference=10.0)
    alone = load(axial_force=1.0, bending_moment=0.0)
    pressure = dict(pressure_minimum=0.3e6, pressure_maximum=0.3e6, axial_force_includes_thrust=False)
    warm, cold = (sb.run(case(WALLS["rings"], replace(alone, thermal=h, **pressure))) for h in (hot, COLD_RINGS))
    plain = row(warm, "rings, yield").demand
    D = E * T**3 / (12 * (1 - NU**2))
    beta = thermal.decay_number(E * T, D, R)
    e_w = thermal.ring_strain(22e-6, 10.0, E * 200e-6 / R**2, thermal.skin_radial_stiffness(D, beta, 0.4))
    relief = E * (22e-6 * 10 - e_w)
    assert row(warm, "rings with thermal stress, yield").demand == pytest.approx(plain - relief, rel=1e-9)
    assert row(cold, "rings with thermal stress, yield").demand > plain


def test_hot_rings_are_compressed_and_nothing_is_said_of_buckling():
    hot = replace(COLD_RINGS, ring_difference=60.0)
    result = sb.run(case(WALLS["rings"], load(axial_force=1.0, bending_moment=0.0, thermal=hot)))
    assert row(result, "rings with thermal stress, yield").capacity == 380e6
    assert "thermal-compression" not in codes(result)


def test_a_free_end_raises_the_gradient_around():
    barrel = replace(BARREL, edges="C4", edges_far="FREE", ends="open")
    light = load(axial_force=1.0, bending_moment=0.0, thermal=GRADIENT)
    found = row(sb.run(case(PLAIN, light, barrel=barrel)), "skin with thermal stress, ultimate")
    face = 1.4 * E * 22e-6 * 40 / (2 * (1 - NU))
    assert found.demand == pytest.approx(mises(face, face * thermal.free_edge_share(NU)), rel=1e-5)


def test_load_cases_without_differences_hold_idle():
    result = sb.run(case(PLAIN, load(thermal=GRADIENT), load(name="other")))
    idle = row(result, "skin with thermal stress, yield", 1)
    assert (idle.status, idle.margin) == ("holds", None)
    assert not any(r.mode.startswith("skin with") for r in sb.run(case(PLAIN)).margins)


def test_many_designs_as_one():
    both = replace(COLD_RINGS, gradient=-30.0)
    made = case(STIFFENED, pressed(0.1e6, 0.2e6, thermal=both), pressed(0.05e6, name="other"))
    minimum = np.array([2.2e-3, 2.5e-3, 2.6e-3])
    many = evaluate(made, {"barrel.skin_thickness_minimum": minimum})
    for i, t in enumerate(minimum):
        one = sb.run(replace(made, barrel=replace(made.barrel, skin_thickness_minimum=float(t))), edge_bending=False)
        for j, title in enumerate(many.modes):
            mine = row(one, title).margin
            if mine is not None:
                assert many.margins[i, 0, j] == pytest.approx(mine, rel=1e-9), title


def test_many_differences_as_one():
    made = case(STIFFENED, load(thermal=COLD_RINGS))
    many = evaluate(made, {"load_cases.0.thermal.ring_difference": np.array([-60.0, 20.0])})
    j = many.modes.index("rings with thermal stress, yield")
    for i, difference in enumerate((-60.0, 20.0)):
        one = case(STIFFENED, load(thermal=replace(COLD_RINGS, ring_difference=difference)))
        one = sb.run(one, edge_bending=False)
        assert many.margins[i, 0, j] == pytest.approx(row(one, many.modes[j]).margin, rel=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: case(PLAIN, load(thermal=COLD_RINGS)), "this wall has no rings"),
        (
            lambda: case(
                sb.StiffenedWall(None, replace(RINGS, material=replace(METAL, name="other"))), load(thermal=COLD_RINGS)
            ),
            "expansion is not given",
        ),
    ],
)
def test_refused(make, words):
    with pytest.raises(Refusal, match=words):
        make()


def test_given_stiffness_is_refused():
    blocks = {k: tuple(map(tuple, np.eye(3) * v)) for k, v in (("A", 1e8), ("B", 0.0), ("D", 1e3))}
    with pytest.raises(Refusal, match="needs a wall with dimensions"):
        case(sb.GivenStiffness(**blocks, mass_per_area=8.0), load(thermal=GRADIENT))


def test_a_case_file_holds_it():
    made = case(WALLS["rings"], load(thermal=replace(COLD_RINGS, gradient=12.5)), load(name="other"))
    assert case_from_text(case_text(made)).case.load_cases == made.load_cases


@pytest.mark.parametrize("unit", ["degC", "degF"])
def test_a_difference_is_no_temperature(unit):
    text = case_text(case(PLAIN, load(thermal=GRADIENT))).replace('"40 K"', f'"40 {unit}"')
    with pytest.raises(Refusal, match="a difference has no zero of a scale"):
        case_from_text(text)


def test_no_difference_is_the_membrane_stress():
    result = sb.run(case(WALLS["rings"], pressed(0.1e6, 0.2e6, thermal=Thermal("test", 22e-6))))
    for part in ("skin", "rings"):
        for what in ("yield", "ultimate"):
            mine, plain = row(result, f"{part} with thermal stress, {what}"), row(result, f"{part}, {what}")
            assert mine.margin == pytest.approx(plain.margin, rel=1e-12)


def test_many_designs_refuse_rings_that_are_not_there():
    made = case(PLAIN, load(thermal=GRADIENT))
    with pytest.raises(Refusal, match="this wall has no rings"):
        evaluate(made, {"load_cases.0.thermal.ring_difference": np.array([0.0, 20.0])})
