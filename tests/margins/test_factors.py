"""A factor of its own on buckling, proof and burst factors, and a knock-down of allowables."""

from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, FACTORS, METAL, PLAIN, STIFFENED, case, load, pressed, row

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.margins import assess, evaluate
from shellbuck.model import AllowableKnockdown

CUT = AllowableKnockdown(0.9, 0.8, "welds everywhere", "invented")


def test_buckling_takes_its_own_factor_and_strength_does_not():
    plain, own = (
        assess(case(STIFFENED, load(factors=factors)), edge_bending=False)
        for factors in (FACTORS, replace(FACTORS, buckling_factor=1.75))
    )
    for mode in ("general instability", "skin pocket", "column (n = 1)", "panel between rings"):
        # without pressure a margin is capacity over factor times load: (1 + MS) scales with 1.4/1.75
        assert 1 + row(own, mode).margin == pytest.approx((1 + row(plain, mode).margin) * 1.4 / 1.75, rel=1e-9)
        assert row(own, mode).factor == 1.75
    for mode in ("skin, yield", "skin, ultimate", "stringers, ultimate"):
        assert row(own, mode).margin == row(plain, mode).margin
    assert (own.load_cases[0].buckling_factor, plain.load_cases[0].buckling_factor) == (1.75, 1.4)


def test_a_factor_on_buckling_below_ultimate_is_warned():
    result = assess(case(PLAIN, load(factors=replace(FACTORS, buckling_factor=1.25))))
    found = next(check for check in result.validity if check.code == "buckling-factor-low")
    assert found.text == "the factor on buckling, 1.25, is below that on ultimate, 1.4"
    same = assess(case(PLAIN, load(factors=replace(FACTORS, buckling_factor=1.4))))
    assert not any(check.code == "buckling-factor-low" for check in same.validity)


@pytest.mark.parametrize("ends", ["closed", "open"])
def test_proof_and_burst_pressure_of_a_bare_barrel_by_hand(ends):
    p, R, t = 3e5, 1.5, 2.5e-3
    factors = replace(FACTORS, proof_factor=1.25, burst_factor=2.0)
    thrust = {} if ends == "closed" else {"axial_force_includes_thrust": None}
    given = case(PLAIN, pressed(1e5, p, factors=factors, **thrust), barrel=replace(BARREL, ends=ends))
    result = assess(given)
    # hoop p R/t, axial p R/(2 t) of closed ends: von Mises is .75 sqrt of the hoop stress, else all of it
    share = np.sqrt(0.75) if ends == "closed" else 1.0
    proof, burst = (row(result, f"skin, {which} pressure") for which in ("proof", "burst"))
    assert proof.demand == pytest.approx(share * 1.25 * p * R / t, rel=1e-12)
    assert proof.margin == pytest.approx(380e6 / (share * 1.25 * p * R / t) - 1, rel=1e-12)
    assert burst.margin == pytest.approx(450e6 / (share * 2.0 * p * R / t) - 1, rel=1e-12)
    assert (proof.factor, burst.factor, proof.status) == (1.25, 2.0, "holds")
    assert "no other load" in proof.equation
    assert proof.worked


def test_ribs_have_rows_too_and_a_failing_one_decides():
    factors = replace(FACTORS, burst_factor=5.0)
    result = assess(case(STIFFENED, pressed(0.0, 6e5, factors=factors)), edge_bending=False)
    assert {r.mode for r in result.margins if r.key == "pressure-strength"} == {
        "skin, burst pressure",
        "stringers, burst pressure",
        "rings, burst pressure",
    }
    assert row(result, "skin, burst pressure").margin < 0
    assert result.verdict.exit_status == 1
    assert any("proof and burst pressure of weld lands" in item for item in result.not_covered)


def test_a_load_case_without_the_factor_is_idle_and_without_pressure_there_is_no_stress():
    factors = replace(FACTORS, proof_factor=1.25)
    result = assess(
        case(PLAIN, pressed(0.0, 3e5), pressed(0.0, 3e5, factors=factors, name="b"), load(factors=factors, name="c"))
    )
    rows = [row(result, "skin, proof pressure", i) for i in range(3)]
    assert [(r.status, r.margin is None) for r in rows] == [("holds", True), ("holds", False), ("holds", True)]
    assert rows[0].note == "this set of factors has no proof_factor"
    assert not any(r.key == "pressure-strength" for r in assess(case(PLAIN, pressed(0.0, 3e5))).margins)


def test_the_knockdown_scales_the_allowables():
    plain, cut = (
        assess(case(STIFFENED, pressed(0.0, 3e5), **more), edge_bending=False)
        for more in ({}, {"allowable_knockdown": CUT})
    )
    for mode, share in (
        ("skin, yield", 0.9),
        ("skin, ultimate", 0.8),
        ("stringers, yield", 0.9),
        ("rings, ultimate", 0.8),
    ):
        assert row(cut, mode).capacity == pytest.approx(share * row(plain, mode).capacity, rel=1e-12)
        assert row(cut, mode).demand == row(plain, mode).demand
    # the column is cut off at yield without pressure: 2 pi R times the area per width, EA/E, times .9 F_cy
    bare = [assess(case(PLAIN, load(), **more)) for more in ({}, {"allowable_knockdown": CUT})]
    capacities = [row(result, "column (n = 1)").capacity for result in bare]
    assert capacities[1] == pytest.approx(0.9 * capacities[0], rel=1e-9)
    assert cut.departures == (("allowables times 0.9 (yield), 0.8 (ultimate)", "welds everywhere (source: invented)"),)


def test_arrays_are_knocked_down_alike():
    given = case(
        PLAIN,
        pressed(1e5, 3e5, factors=replace(FACTORS, proof_factor=1.3, buckling_factor=1.6)),
        allowable_knockdown=CUT,
    )
    batch = evaluate(given, {"material.points.0.tension_yield": np.array([300e6, 400e6])})
    one = assess(given)
    for mode, margin, code in zip(batch.modes, batch.margins[1, 0], batch.statuses[1, 0], strict=True):
        assert margin == pytest.approx(row(one, mode).margin, rel=1e-11)
        assert code == 0
    assert batch.margins[0, 0, batch.modes.index("skin, yield")] < batch.margins[1, 0, batch.modes.index("skin, yield")]


def test_what_would_change_nothing_is_refused():
    rigid = sb.GivenStiffness(
        A=((1e8, 3e7, 0.0), (3e7, 1e8, 0.0), (0.0, 0.0, 3e7)),
        B=((0.0, 0.0, 0.0),) * 3,
        D=((1e3, 3e2, 0.0), (3e2, 1e3, 0.0), (0.0, 0.0, 3e2)),
        mass_per_area=10.0,
    )
    with pytest.raises(Refusal, match="no strength of a metal"):
        case(rigid, allowable_knockdown=CUT)
    with pytest.raises(Refusal, match=r"load_cases.0.factors.proof_factor"):
        case(rigid, load(factors=replace(FACTORS, proof_factor=1.2)))
    with pytest.raises(Refusal, match="outside the range"):
        AllowableKnockdown(1.1, 1.0, "more", "invented")


def test_as_tension_follows_the_tension_yield():
    metal = replace(METAL, points=(replace(METAL.points[0], compression_yield="as tension"),))
    plain, cut = (
        assess(case(PLAIN, pressed(0.0, 3e5), material=metal, **more)) for more in ({}, {"allowable_knockdown": CUT})
    )
    assert row(cut, "skin, yield").capacity == pytest.approx(0.9 * row(plain, "skin, yield").capacity, rel=1e-12)


def test_less_strength_makes_no_ring_stouter():
    """The flat-bar limit .4 sqrt(E/F_cy) grows as the yield falls: a knock-down must not let a slender ring pass."""
    rings = sb.Stiffeners("inside", "blade", depth=60e-3, thickness=2.4e-3, count=4)
    wall = sb.StiffenedWall(sb.Stiffeners("outside", "blade", depth=16e-3, thickness=2.2e-3, count=96), rings)
    half = AllowableKnockdown(0.3, 0.3, "test", "invented")
    texts = []
    for more in ({}, {"allowable_knockdown": half}):
        result = assess(case(wall, load(), **more), edge_bending=False)
        texts.append(next(check for check in result.validity if check.code == "ring-slenderness"))
    assert texts[0] == texts[1]
