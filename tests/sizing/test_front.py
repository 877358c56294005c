"""The front door: the sized case holds when it is run, refusals and stops lose nothing, words say what happened."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import METAL
from grid_challenge import random_problem
from sizing_builders import DEMAND, QUICK, demand, load, pressed

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.io import case_from_text
from shellbuck.margins import assess
from shellbuck.sizing import PATTERNS, Effort, SearchOptions, heavier, size
from shellbuck.sizing.evaluate import make_task
from shellbuck.sizing.front import metal_of

ASKED = demand(load(axial_force=1.5e6))
"""Heavy enough for a skin above its least gauge."""


@pytest.fixture(scope="module")
def grid():
    """A triangular grid, sized with little effort; two seeds."""
    return size(ASKED, "triangular-grid-inside", options=replace(QUICK, seeds=2, ritz=True))


@pytest.mark.slow
def test_ready_case_holds_when_it_is_run(grid):
    case = case_from_text(grid.case_text).case
    result = assess(case)
    assert result.verdict.exit_status == 0
    assert result.wall.mass_per_area == pytest.approx(grid.production.mass_per_area, rel=1e-12)
    assert grid.mass_per_area <= grid.production.mass_per_area * (1 + 1e-6) <= grid.mass_per_area * 1.02
    assert [(r.load_case, r.mode) for r in grid.margins] == [(r.load_case, r.mode) for r in result.margins]
    assert grid.margins[0].margin == pytest.approx(result.margins[0].margin, abs=1e-9)


def test_one_seed_agrees_with_nothing():
    assert size(ASKED, "plain", options=replace(QUICK, seeds=1)).seeds_agree is None


def test_optimum_uses_its_margins_up_and_every_seed_says_so(grid):
    assert grid.status == "found"
    assert grid.seeds_agree
    assert len({round(run.mass_per_area, 3) for run in grid.seeds}) == 1
    assert {a.words.split(",")[0] for a in grid.active if not a.rule} >= {"general instability", "skin pocket"}
    assert all(a.slack < 0.02 for a in grid.active if a.price > 0)  # a whole count leaves a little over


def test_counts_are_whole_and_their_relaxation_is_no_heavier(grid):
    count = next(d for d in grid.dimensions if d.whole)
    assert count.value == int(count.value)
    assert grid.relaxed_mass_per_area <= grid.mass_per_area * (1 + 1e-5)


def test_ritz_repeats_the_closed_form_on_the_ready_case(grid):
    """SS3 and membrane prestress: the same problem, solved twice (1e-8: the Ritz engine's own aim)."""
    by = {ld.engine: ld.over_closed_form for ld in grid.engines}
    assert by["Rayleigh-Ritz, SS3, membrane"] == pytest.approx(1.0, rel=1e-8)
    assert 0.5 < by["Rayleigh-Ritz, SS3, with bending near the edges"] < 1.0


@pytest.mark.slow
def test_price_of_a_line_load_on_a_stiffened_wall(grid):
    """The slope against a second sizing with 2 N/mm more, both with counts as real numbers; the mass bends: 5 %."""
    again = size(heavier(ASKED, 2000.0), "triangular-grid-inside", options=QUICK)
    dearer = again.relaxed_mass_per_area - grid.relaxed_mass_per_area
    assert dearer == pytest.approx(2 * grid.price_line_load, rel=0.05)


@pytest.mark.slow
def test_price_of_the_least_rib_against_a_second_sizing(grid):
    rib = next(d for d in grid.dimensions if d.name == "thickness")
    assert rib.at == "low"
    finer = replace(ASKED, limits=sb.Limits(rib_thickness_least=1.45e-3))
    again = size(finer, "triangular-grid-inside", options=QUICK)
    saved = grid.relaxed_mass_per_area - again.relaxed_mass_per_area
    assert saved == pytest.approx(0.5 * rib.price, rel=0.1)  # half of 0.1 mm; the mass bends


def test_required_margin_is_reached():
    found = size(demand(load(), limits={"margin_required": 0.25}), "plain", options=QUICK)
    assert found.verdict.smallest_margin == pytest.approx(0.25, abs=0.01)
    assert found.verdict.smallest_margin >= 0.25


def test_infeasible_demand_is_answered_in_words():
    found = size(demand(load(axial_force=400e6)), "plain", options=QUICK)
    assert found.status == "none feasible"
    assert found.mass_per_area is None
    assert "no design inside the limits is feasible" in found.words[0]
    assert "skin thickness" in found.words[0]
    assert found.attempt


def test_infeasible_grid_names_the_rows_it_fails():
    # more than such a grid just holds (1.5 MN) since the knockdown of stiffened walls rises linearly over t_e/t
    tight = {"rib_depth_most": 4.5e-3, "skin_most": 1.3e-3}
    found = size(demand(load(axial_force=1.8e6), limits=tight), "triangular-grid-inside", options=QUICK)
    assert found.status == "none feasible"
    assert any("general instability" in words for words in found.attempt)
    assert any("upper limit" in words for words in found.words)


def test_stop_gives_the_best_so_far():
    def stop(text: str) -> None:
        if "starts" in text:
            raise KeyboardInterrupt

    found = size(ASKED, "triangular-grid-inside", options=QUICK, progress=stop)
    assert found.status == "stopped"
    assert "best so far" in found.words[0]
    assert assess(case_from_text(found.case_text).case).verdict.exit_status == 0


def test_unknown_names_are_refused_with_the_nearest():
    with pytest.raises(Refusal, match=r"did you mean triangular-grid-inside\?"):
        size(DEMAND, "triangular-grid-insid", options=QUICK)
    with pytest.raises(Refusal, match="no metal of this sizing"):
        size(DEMAND, "plain", "unobtainium", options=QUICK)


def test_a_metal_is_found_by_the_start_of_its_name_when_only_one_has_it():
    metals = tuple(sb.material(name) for name in ("304 annealed", "304L annealed", "6061-T6"))
    asked = replace(DEMAND, materials=metals)
    assert metal_of(asked, "6061").name == "6061-T6"
    assert metal_of(asked, "304l").name == "304L annealed"
    assert metal_of(asked, "304 annealed").name == "304 annealed"
    with pytest.raises(Refusal, match="no metal of this sizing"):
        metal_of(asked, "304")


def test_no_whole_number_of_ribs_fits_is_refused():
    with pytest.raises(Refusal, match="no whole number gives an allowed spacing"):
        size(demand(load(), limits={"spacing_least": 0.9, "spacing_most": 0.91}), "stringers-inside", options=QUICK)


@pytest.mark.slow
def test_no_optimum_is_drawn_to_the_threshold_any_more():
    """Rings on a bare skin paid for t_e = 3 t while the factor jumped there (problem 7 of the series): the
    factor is linear now."""
    problem = random_problem(7)
    found = size(problem.demand, problem.pattern, options=replace(QUICK, effort=Effort()))
    assert "threshold: t_e of the wall is 3 t" not in found.threshold


def test_public_names():
    assert sb.size is size
    assert sb.Demand is type(DEMAND)
    assert isinstance(SearchOptions(), SearchOptions)
    assert make_task(demand(pressed(1e4)), PATTERNS["plain"], METAL).labels
