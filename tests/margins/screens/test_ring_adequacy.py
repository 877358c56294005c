"""Ring adequacy beside the margins: loads compared, and Shanley's stiffness."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import PLAIN, RINGS, STIFFENED, STRINGERS, STRONG, case, codes, load, row

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.handbook import rings


def screens(wall=STIFFENED, *loads, **policy):
    result = sb.run(case(wall, *loads, material=STRONG, **policy))
    return {one.key: one for one in result.load_cases[0].comparisons}, result


def test_shanley_by_the_worked_value():
    # D 96, L 20, N 1000 (in, lb): M = 1000 pi 48^2, E I = M 96^2/(16000 20) = 2.0846e5 (formula from memory, high)
    moment = rings.peak_moment(1000.0, 48.0)
    assert rings.ring_stiffness_needed(moment, 96.0, 20.0) == pytest.approx(2.0846e5, rel=5e-5)


def test_ring_with_skin_is_two_bars_about_their_common_axis():
    # two equal bars of E A = 2 at z = 3: each 1.5 from the middle, 2 (2 1.5^2) = 9, with their own 1 and 1
    assert rings.ring_with_skin_stiffness(1.0, 2.0, 2.0, 1.0, 3.0) == pytest.approx(11.0)
    # a strip of no area leaves the ring alone
    assert rings.ring_with_skin_stiffness(5.0, 2.0, 0.0, 0.0, 3.0) == 5.0


def test_stiffness_at_the_factored_line_load():
    # R 1.5, bay .4: N = 1.4 (400e3/(2 pi 1.5) + 100e3/(pi 2.25)), need N pi 2.25 9/6400; E I = 72e9 5e-8
    found, result = screens()
    N = 1.4 * (400e3 / (3 * math.pi) + 100e3 / (2.25 * math.pi))
    one = found["ring-stiffness"]
    assert one.demand == pytest.approx(N * math.pi * 2.25 * 9 / 6400, rel=1e-12)
    assert one.capacity == pytest.approx(3600.0)
    assert one.excess == pytest.approx(3600 / one.demand - 1)
    assert "no skin" in one.equation
    assert one.outcome == "above"
    assert "ring-stiffness" in codes(result, "passed")


def test_weak_rings_are_warned_and_no_margin_moves():
    heavy = load(axial_force=4e6, bending_moment=3e6)
    weak = replace(STIFFENED, rings=replace(RINGS, inertia=5e-9))
    found, result = screens(weak, heavy)
    assert found["ring-stiffness"].outcome == "below"
    assert "ring-stiffness" in codes(result)
    assert all(r.key != "ring-stiffness" for r in result.margins)


def test_skin_that_acts_with_the_ring():
    # z 30 mm inside, E A_r = 72e9 200e-6 = 14.4e6, strip 50 mm of 2.5 mm: E A_s = 9e6, E I_s = 72e9 .05 .0025^3/12
    found, _ = screens(ring_skin_width=0.05)
    own, steiner = 3600.0, 14.4e6 * 9e6 / 23.4e6 * 0.03**2
    assert found["ring-stiffness"].capacity == pytest.approx(own + steiner + 72e9 * 0.05 * 0.0025**3 / 12, rel=1e-12)
    assert "with 50 mm of skin" in found["ring-stiffness"].equation


def test_general_against_panel_before_any_factor():
    found, result = screens()
    general, panel = row(result, "general instability").basis, row(result, "panel between rings").basis
    one = found["ring-loads"]
    assert one.capacity == general.line_load
    assert one.demand == panel.line_load
    assert one.outcome == ("above" if general.line_load >= panel.line_load else "below")


def test_soft_rings_lie_below_the_panel():
    soft = replace(STIFFENED, rings=replace(RINGS, area=10e-6, inertia=1e-11, eccentricity=2e-3, torsion_constant=0.0))
    found, result = screens(soft)
    assert found["ring-loads"].outcome == "below"
    assert "ring-adequacy" in codes(result)


def test_a_single_ring_of_two_equal_bays_is_not_compared():
    found, result = screens(replace(STIFFENED, rings=replace(RINGS, count=1)))
    assert found["ring-loads"].outcome == "outside its scope"
    assert "two equal bays" in found["ring-loads"].note
    assert "ring-adequacy" not in codes(result) | codes(result, "passed")
    assert found["ring-stiffness"].demand > 0


def test_withheld_loads_are_not_compared():
    wide = sb.StiffenedWall(replace(STRINGERS, spacing=0.5), RINGS)
    found, result = screens(wide, load(axial_force=3e6))
    assert row(result, "general instability").status == "withheld"
    assert found["ring-loads"].outcome == "outside its scope"


def test_nothing_compressed():
    found, _ = screens(STIFFENED, load(axial_force=-400e3, bending_moment=0.0))
    assert found["ring-stiffness"].outcome == "not compressed"


@pytest.mark.parametrize(("wall", "words"), [(PLAIN, "no rings"), (STIFFENED, "at most a bay wide")])
def test_skin_width_without_rings_or_beyond_a_bay_is_refused(wall, words):
    with pytest.raises(Refusal, match=words):
        case(wall, ring_skin_width=0.41)


def test_torque_is_not_compared():
    found, _ = screens(STIFFENED, load(axial_force=0.0, bending_moment=0.0, torque=500e3))
    assert found["ring-loads"].outcome == "outside its scope"
    assert "torque takes the largest share" in found["ring-loads"].note
    found, _ = screens(STIFFENED, load(torque=5e3))
    assert found["ring-stiffness"].note == "torque not counted"
