"""Margins of arrays of designs against `assess`, one design at a time: numbers, refusals, what is withheld."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import builders
import numpy as np
import pytest
import random_designs as rd

import shellbuck as sb
from shellbuck.core.errors import EXIT_REFUSED, Incomplete, Refusal
from shellbuck.margins import Batch, assess, chunks, evaluate
from shellbuck.margins.statuses import STATUSES
from shellbuck.model.arrays import design

OWN = dict(own_knockdown=sb.OwnKnockdown(0.4, 0.5, "test"))
PANEL = dict(own_knockdown=sb.OwnKnockdown(0.4, 0.5, "test", 0.3, 0.35), stability_thickness="nominal")
ASKED = dict(computed_pressure_gain=sb.Reason("test"), handbook_pocket=sb.Reason("test"))
PRESSED = partial(builders.pressed, 3e4, name="pressed")
JOBS = [
    *((kind, seed, {}) for kind in rd.WALLS for seed in (1, 2)),
    ("plain", 3, OWN),
    ("stringers inside, rings", 3, OWN),
    ("rings", 4, PANEL),
    ("orthogrid", 4, PANEL),
    ("grid hoop inside", 5, ASKED),
    ("stringers inside, rings", 5, ASKED),
]
COUNT = 9


def check(case: sb.Case, varied: dict, found: Batch, i: int) -> set[str]:
    """Compare design i with `assess`; returns the row statuses that were met."""
    result = None
    try:
        result = assess(design(case, varied, i), edge_bending=False)  # arrays have none
    except (Refusal, Incomplete) as error:
        codes = {p.code for p in error.problems}
    if result is None:
        assert found.refused[i]
        assert found.reasons[i] in codes
        assert np.isnan(found.margins[i]).all()
        assert found.governing_row(i) is None
        assert {STATUSES[k] for k in found.statuses[i].flat} == {"refused"}
        assert not found.holds[i]
        return {"raised"}
    met = set()
    assert found.refused[i] == (result.verdict.exit_status == EXIT_REFUSED)
    assert bool(found.reasons[i]) == found.refused[i]
    assert found.mass_per_area[i] == pytest.approx(result.wall.mass_per_area, rel=1e-13)
    for j, load_case in enumerate(result.load_cases):
        assert tuple(row.mode for row in load_case.margins) == found.modes
        for row, margin in zip(load_case.margins, found.margins[i, j], strict=True):
            where = f"design {i}, {load_case.name}, {row.mode}: {row.status}"
            met.add(row.status)
            assert found.status(i, load_case.name, row.mode) == row.status, where
            if row.margin is None:
                assert np.isnan(margin), where
            else:  # the classical loads agree to some 1e-14 (their own tests); 1 + MS is the ratio that carries it
                assert margin == pytest.approx(row.margin, rel=1e-10, abs=1e-10), where
        loads = [
            ld for ld in load_case.loads if ld.mode == "general" and not ld.component and "at minimum" not in ld.name
        ]
        classical = next((ld for ld in loads if "classical equation" in ld.name), None)
        expected = min((ld.line_load for ld in loads), default=np.nan) if classical is None else classical.line_load
        assert found.classical[i, j] == pytest.approx(expected, rel=1e-10, nan_ok=True)
    verdict = result.verdict
    assert found.holds[i] == (verdict.word == "holds")
    assert found.fails[i] == any(row.status == "fails" for row in result.margins)
    if verdict.smallest_margin is None:
        assert np.isnan(found.smallest[i])
    else:
        assert found.smallest[i] == pytest.approx(verdict.smallest_margin, rel=1e-10, abs=1e-10)
        assert found.governing_row(i) == (verdict.governing_load_case, verdict.governing_mode)
    return met


@pytest.mark.parametrize(("kind", "seed", "policy"), JOBS, ids=lambda v: v if isinstance(v, str) else "")
def test_the_margins_of_assess(kind, seed, policy):
    rng = np.random.default_rng(1000 * seed + len(kind))
    case = rd.template(kind, rng, **policy)
    varied = rd.varied(case, rng, COUNT)
    if seed == 2:  # some numbers stay those of the template
        varied = {name: varied[name] for name in varied if rng.random() < 0.4 or name.endswith("factor")}
    found = evaluate(case, varied)
    assert found.load_cases == ("case", "pressed")
    assert found.margins.shape == (COUNT, 2, len(found.modes))
    for i in range(COUNT):
        check(case, varied, found, i)


@pytest.mark.slow
@pytest.mark.parametrize("kind", rd.WALLS)
def test_the_margins_of_assess_many(kind):
    """150 designs of every pattern; every status that a row can have must be met."""
    rng = np.random.default_rng(77)
    case = rd.template(kind, rng)
    varied = rd.varied(case, rng, 150)
    found = evaluate(case, varied)
    met = set().union(*(check(case, varied, found, i) for i in range(150)))
    assert met >= {"holds", "fails", "not compressed", "raised"}
    assert ("withheld" in met) == any(mode.startswith("skin ") and "," not in mode for mode in found.modes)


@pytest.mark.slow
def test_every_status_is_met_by_the_random_designs():
    """What the comparison above draws from holds all that it must see."""
    counts = {"raised": 0, "refused": 0, "withheld": 0, "sound": 0}
    for kind in rd.WALLS:
        rng = np.random.default_rng(1000 + len(kind))
        case = rd.template(kind, rng)
        found = evaluate(case, rd.varied(case, rng, 60))
        gone = np.isnan(found.margins).all(axis=(1, 2))
        counts["raised"] += int((found.refused & gone).sum())
        counts["refused"] += int((found.refused & ~gone).sum())
        counts["sound"] += int((~found.refused).sum())
        counts["withheld"] += int(np.isnan(found.classical[~gone]).any(axis=1).sum())
    assert min(counts.values()) > 20, counts


@pytest.mark.slow
def test_chunks_and_processes_give_the_same():
    rng = np.random.default_rng(5)
    case = rd.template("orthogrid", rng)
    varied = rd.varied(case, rng, 50)
    whole = evaluate(case, varied)
    parts = list(chunks(case, varied, 8))
    assert [p.refused.size for p in parts] == [8] * 6 + [2]
    # matrix products of other shapes round differently
    assert np.concatenate([p.margins for p in parts]) == pytest.approx(whole.margins, rel=1e-12, abs=1e-12, nan_ok=True)
    assert list(np.concatenate([p.reasons for p in parts])) == list(whole.reasons)
    shared = evaluate(case, varied, workers=2, chunk=16)
    assert shared.margins == pytest.approx(whole.margins, rel=1e-12, abs=1e-12, nan_ok=True)
    assert shared.modes == whole.modes


def test_edges_decide_no_margin():
    rng = np.random.default_rng(8)
    case = rd.template("stringers outside", rng)
    varied = rd.varied(case, rng, 5)
    clamped = replace(case, barrel=replace(case.barrel, edges="C4"))
    assert np.array_equal(evaluate(clamped, varied).margins, evaluate(case, varied).margins, equal_nan=True)


def test_margins_do_not_know_the_size_of_a_barrel():
    """Every length four times smaller, forces sixteen, moments sixty-four times: the same stresses and margins. Beyond
    three radii, 4.5 m of the large and 1.1 m of the small barrel, Sanders' load lowers them. Rounding of a scaled 6x6,
    1e-9 of 1 + MS."""
    ratios, found = np.array([2.5, 3.5, 4.9, 6.0]), []
    for size in (1.0, 0.25):
        t = 7e-3 * size
        barrel = builders.barrel(radius=1.5 * size, skin_thickness=t, skin_thickness_minimum=t)
        loads = [make(axial_force=4e5 * size**2, bending_moment=1e5 * size**3) for make in (builders.load, PRESSED)]
        case = builders.case(builders.PLAIN, *loads, barrel=barrel)
        found.append(evaluate(case, {"barrel.length": ratios * 1.5 * size}))
    large, small = found
    assert np.isfinite(large.margins[:, :, large.modes.index("general instability")]).all()
    assert 1 + small.margins == pytest.approx(1 + large.margins, rel=1e-9, nan_ok=True)
    general = large.margins[:, 0, large.modes.index("general instability")]
    assert general[0] > general[1] > general[2:].max()


def test_nothing_varied_is_one_design():
    case = rd.template("stringers outside", np.random.default_rng(6))
    found = evaluate(case, {})
    result = assess(case, edge_bending=False)
    assert found.smallest[0] == pytest.approx(result.verdict.smallest_margin, rel=1e-10)
    assert found.governing_row(0) == (result.verdict.governing_load_case, result.verdict.governing_mode)
