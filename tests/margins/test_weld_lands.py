"""Weld lands: mass, strength across the weld, the published loss of buckling load.

Stresses by equilibrium, worked by hand below; the moments of step and angle against a beam under tension solved by
finite differences (own).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, METAL, PLAIN, STIFFENED, case, codes, load, pressed, row

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.handbook import welds
from shellbuck.margins.batch import evaluate
from shellbuck.model.policy import WeldLandLoss
from shellbuck.model.walls import weigh
from shellbuck.model.welds import WeldLands

LANDS = WeldLands(8, 0.1, 5e-3, 4.8e-3, tension_yield=180e6, ultimate=250e6, allowable_source="test")
LOSS = WeldLandLoss("tests of a like barrel")


def welded(lands=LANDS, wall=PLAIN, *loads, **policy):
    return case(wall, *loads, barrel=replace(BARREL, weld_lands=lands), **policy)


def test_mass_of_what_is_thicker_than_the_skin():
    # 8 lands 100 mm wide, 5 - 2.6 = 2.4 mm thicker, over 2 pi 1.5 m: .203718 mm of skin, 2800 kg/m^3
    more = weigh(welded()).per_area - weigh(case(PLAIN)).per_area
    assert more == pytest.approx(2800 * 8 * 0.1 * 2.4e-3 / (3 * math.pi), rel=1e-12)
    assert weigh(welded()).mean_thickness == pytest.approx(2.6e-3 + 0.8 * 2.4e-3 / (3 * math.pi))


def by_hand(factor, p, N, lands, sign, face):
    """Von Mises stress of the land on the generator with the net axial line load N, tension positive."""
    E, nu, R, t, t_w = 70e9, 0.33, 1.5, 2.5e-3, lands.thickness_minimum
    e_x = (N / t - nu * p * R / t) / E
    hoop = p * R / t_w
    D = E * t_w**3 / (12 * (1 - nu**2))
    bend = 6 * (p * R * lands.offset / 2 + lands.peaking / 2 * math.sqrt(p * R * D)) / t_w**2
    x, y = E * e_x + nu * hoop + face * nu * bend, hoop + face * bend
    return math.sqrt(x * x - x * y + y * y)


@pytest.mark.parametrize(("offset", "peaking"), [(0.0, 0.0), (0.5e-3, 0.0), (0.0, 0.02), (0.4e-3, 0.01)])
@pytest.mark.parametrize(("what", "factor", "allowable"), [("yield", 1.1, 180e6), ("ultimate", 1.4, 250e6)])
def test_worst_face_of_the_worst_state(offset, peaking, what, factor, allowable):
    lands = replace(LANDS, offset=offset, peaking=peaking)
    result = sb.run(welded(lands, PLAIN, pressed(0.1e6, 0.2e6)))
    N_a, N_b = 400e3 / (3 * math.pi), 100e3 / (2.25 * math.pi)
    stresses = [
        by_hand(factor, p, p * 1.5 / 2 - factor * (N_a + sign * N_b), lands, sign, face)
        for p in (factor * 0.2e6, 0.1e6)
        for sign in (1, -1)
        for face in (1, -1)
    ]
    found = row(result, f"weld land, {what}")
    assert found.demand == pytest.approx(max(stresses), rel=1e-12)
    assert found.margin == pytest.approx(allowable / max(stresses) - 1, rel=1e-9)
    assert "allowable: test" in found.note
    assert ("weld-bending-missing" in codes(result)) == (offset == peaking == 0)


def beam_moment(N, D, offset, psi, length=0.6, cells=6000):
    """Largest moment of a long strip under tension N with a step or an angle at its middle: D w'''' = N (w + w0)''.

    With M = -D w'' and pinned far ends M = N (w + w0), so D w'' = -N w - ... is solved as -D w'' ... by differences:
    D w'' - N w = N w0, w = 0 at the ends, where w0 is the shape of the unloaded strip measured from its chord.
    """
    x = np.linspace(-length, length, 2 * cells + 1)
    w0 = np.where(x < 0, -offset / 2 * (1 + x / length), offset / 2 * (1 - x / length))
    w0[cells] = 0.0
    w0 = w0 + psi / 2 * (length - np.abs(x))
    h, inner = x[1] - x[0], slice(1, -1)
    bands = np.zeros((3, x.size - 2))
    bands[0, 1:] = bands[2, :-1] = D / h**2
    bands[1] = -2 * D / h**2 - N
    from scipy.linalg import solve_banded

    w = solve_banded((1, 1), bands, N * w0[inner])
    # beside the step, where w0 is one-sided
    return np.max(np.abs(N * (w + w0[inner])))


def test_moment_of_a_step_is_half_of_force_times_step():
    N, D = 3e5, 800.0
    assert beam_moment(N, D, 1e-3, 0.0) == pytest.approx(welds.offset_moment(N, 1e-3), rel=5e-3)


def test_moment_of_an_angle_is_that_of_a_strip_that_tension_straightens():
    N, D = 3e5, 800.0
    assert beam_moment(N, D, 0.0, 0.02) == pytest.approx(welds.peaking_moment(N, D, 0.02), rel=5e-3)


def test_without_allowables_the_weld_is_refused():
    bare = WeldLands(8, 0.1, 5e-3, 4.8e-3)
    result = sb.run(welded(bare, PLAIN, pressed(0.1e6)))
    assert row(result, "weld land, ultimate").status == "refused"
    assert result.verdict.exit_status == 2
    assert "no welded allowable is given with its source" in result.verdict.text


def test_loss_of_buckling_load_is_warned_and_shown_and_not_counted():
    result, without = sb.run(welded(LANDS, STIFFENED)), sb.run(case(STIFFENED))
    beside = {one.title: one for one in result.load_cases[0].comparisons if one.key == "weld-lands"}
    for mode in ("general instability", "panel between rings"):
        official = row(without, mode)
        assert row(result, mode).margin == official.margin
        one = beside[f"{mode}, less 25 % for weld lands"]
        assert one.excess == pytest.approx(0.75 * (1 + official.margin) - 1)
        assert one.capacity == pytest.approx(0.75 * official.capacity)
        assert one.excess == pytest.approx(one.capacity / one.demand - 1)
    assert "weld-land-loss" in codes(result)


def test_headline_where_the_loss_would_not_hold():
    result = sb.run(case(PLAIN))
    share = 1.1 * (1 + row(result, "general instability").margin)
    result = sb.run(welded(LANDS, PLAIN, load(axial_force=400e3 * share / 1.21, bending_moment=100e3 * share / 1.21)))
    assert row(result, "general instability").margin > 0
    assert "a loss of 25 % by weld lands would not hold" in result.verdict.text


def test_loss_counts_by_request():
    result = sb.run(welded(LANDS, STIFFENED, weld_land_loss=WeldLandLoss("tests", 0.3)))
    for mode in ("general instability", "panel between rings"):
        full, less = row(result, mode), row(result, f"{mode}, less weld lands")
        assert less.margin == pytest.approx(0.7 * (1 + full.margin) - 1)
        assert less.capacity == pytest.approx(0.7 * full.capacity)
        assert sum(use.ratio for use in less.components) == pytest.approx(1 / (1 + less.margin))
        assert less.basis == full.basis
    assert ("30 % of the buckling load lost to weld lands", "tests") in result.departures
    assert not [one for one in result.load_cases[0].comparisons if one.key == "weld-lands"]


def test_many_designs_as_one():
    lands = replace(LANDS, offset=0.3e-3, peaking=0.01)
    made = welded(lands, STIFFENED, pressed(0.1e6, 0.2e6), weld_land_loss=LOSS)
    minimum = np.array([2.2e-3, 2.5e-3, 2.6e-3])
    many = evaluate(made, {"barrel.skin_thickness_minimum": minimum})
    for i, t in enumerate(minimum):
        one = sb.run(replace(made, barrel=replace(made.barrel, skin_thickness_minimum=float(t))), edge_bending=False)
        for j, title in enumerate(many.modes):
            assert many.margins[i, 0, j] == pytest.approx(row(one, title).margin, rel=1e-9), title


def test_many_designs_refuse_a_land_thinner_than_the_skin():
    many = evaluate(welded(), {"barrel.skin_thickness": np.array([4e-3, 6e-3])})
    assert list(many.reasons) == ["", "weld-land-thickness"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"thickness_minimum": 5.2e-3}, "least thickness of the land is larger"),
        ({"thickness": 2.4e-3, "thickness_minimum": 2.4e-3}, "thinner than the skin"),
        ({"width": 0.4}, "too much of the circumference"),
        ({"allowable_source": ""}, "with their source"),
        ({"ultimate": None}, "with their source"),
        ({"ultimate": 150e6}, "below its yield strength"),
    ],
)
def test_refused(change, words):
    with pytest.raises(Refusal, match=words):
        welded(replace(LANDS, **change))


def test_loss_without_lands_is_refused():
    with pytest.raises(Refusal, match="the barrel has none"):
        case(PLAIN, weld_land_loss=LOSS)


def test_metal_of_the_land_is_the_skins():
    assert METAL.points[0].youngs_modulus == 70e9


def test_an_angle_under_external_pressure_is_refused():
    angled = replace(LANDS, peaking=0.01)
    result = sb.run(
        welded(angled, PLAIN, load(pressure_minimum=-2e3, pressure_maximum=0.0, axial_force_includes_thrust=False))
    )
    assert row(result, "weld land, yield").status == "refused"
    assert "hoop compression at a joint with an angle" in row(result, "weld land, yield").note
    flat = sb.run(
        welded(LANDS, PLAIN, load(pressure_minimum=-2e3, pressure_maximum=0.0, axial_force_includes_thrust=False))
    )
    assert row(flat, "weld land, yield").status == "holds"


def test_shear_flow_passes_through_the_land():
    # q = T/(2 pi R^2) = 500e3/(2 pi 2.25); without other loads von Mises is sqrt(3) q/t_w
    result = sb.run(welded(LANDS, PLAIN, load(axial_force=0.0, bending_moment=0.0, torque=500e3)))
    q = 1.1 * 500e3 / (2 * math.pi * 2.25)
    assert row(result, "weld land, yield").demand == pytest.approx(math.sqrt(3) * q / 4.8e-3)
    (one,) = [c for c in result.load_cases[0].comparisons if c.key == "weld-lands"]
    assert one.quantity == "shear flow"
