"""What arrays of designs refuse: whole requests in words, single designs by mask and code."""

from __future__ import annotations

from dataclasses import replace

import builders
import numpy as np
import pytest
import random_designs as rd

import shellbuck as sb
from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.core.workers import LocalWorkers
from shellbuck.margins import assess, evaluate
from shellbuck.model.arrays import design


@pytest.mark.parametrize(
    "name",
    [
        "barrel.skin",
        "barrel",
        "barrel.ends",
        "wall.rib_depth",
        "wall.stringers.colour",
        "load_cases.7.axial_force",
        "material.points.0.temperature",
        "barrel.edge_springs.axial",
        "",
        "wall.stringers.count.x",
    ],
)
def test_a_name_that_is_no_number_of_the_case(name):
    case = builders.case(builders.STIFFENED)
    with pytest.raises(Refusal, match="not a number of this case that can be varied") as refusal:
        evaluate(case, {name: np.ones(3)})
    assert refusal.value.problems[0].code == "key-unknown"


def test_a_wall_of_given_stiffness():
    eye = ((1e8, 0.0, 0.0), (0.0, 1e8, 0.0), (0.0, 0.0, 1e8))
    wall = sb.GivenStiffness(eye, ((0.0,) * 3,) * 3, eye, 10.0)
    with pytest.raises(Refusal, match="a wall with dimensions"):
        evaluate(builders.case(wall), {"barrel.length": np.ones(2)})


def test_a_pattern_that_no_value_can_mend():
    with pytest.raises(Refusal, match="exactly one of these is needed"):
        evaluate(builders.case(builders.STIFFENED), {"wall.stringers.count": np.array([50, 60])})


@pytest.mark.parametrize(
    ("varied", "said"),
    [
        ({"barrel.length": np.ones(2), "barrel.radius": np.ones(3)}, r"equal length; got barrel.length: \(2,\), "),
        ({"barrel.length": np.ones((2, 2))}, r"one-dimensional.*got barrel.length: \(2, 2\)"),
        ({"barrel.length": 2.0}, r"one-dimensional.*got barrel.length: \(\)"),
        ({"barrel.length": []}, "the arrays are empty: there is no design"),
        ({"barrel.length": np.empty(0)}, "the arrays are empty: there is no design"),
        (
            {"barrel.length": ["2 m", "3 m"]},
            r"barrel.length: an array of numbers in SI is needed; got \['2 m', '3 m'\]",
        ),
        ({"barrel.length": [[1.0], [1.0, 2.0]]}, "an array of numbers in SI is needed"),
        ({"barrel.length": np.array([True])}, "an array of numbers in SI is needed"),
        ({"barrel.length": np.array([2 + 1j])}, "an array of numbers in SI is needed"),
    ],
)
def test_arrays_that_are_no_designs(varied, said):
    with pytest.raises(Refusal, match=said):
        evaluate(builders.case(builders.PLAIN), varied)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"workers": 0}, "workers: at least one is needed; got 0; allowed: 1 or more"),
        ({"workers": -2}, "workers: at least one is needed; got -2"),
        ({"workers": 1.5}, "workers: a whole number is needed; got 1.5"),
        ({"chunk": 0}, "chunk: at least one is needed; got 0"),
        ({"chunk": -8192}, "chunk: at least one is needed"),
        ({"chunk": True}, "chunk: a whole number is needed; got True"),
        ({"chunk": None}, "chunk: a whole number is needed; got None"),
    ],
)
def test_workers_and_chunk_below_one(more, said):
    with pytest.raises(Refusal, match=said):
        evaluate(builders.case(builders.PLAIN), {"barrel.length": np.ones(2)}, **more)


def test_worker_processes_below_one_are_refused_wherever_they_are_started():
    for count in (0, -1, "2"):
        with pytest.raises(Refusal, match="workers: "):
            LocalWorkers(count)
    load = builders.load()
    demand = sb.Demand(sb.BareBarrel(1.2, 1.5, "closed"), (load,), (builders.METAL,))
    with pytest.raises(Refusal, match="workers: at least one is needed; got 0"):
        sb.compare_patterns(demand, ["plain"], workers=0)
    for front in (lambda x: sb.compare_patterns(x, ["plain"]), lambda x: sb.size(x, "plain")):
        with pytest.raises(Refusal, match=r"a demand is needed; got 'my.toml'.*shellbuck.read_sizing\(path\)"):
            front("my.toml")


def test_something_that_is_no_case():
    with pytest.raises(Refusal, match=r"a case is needed; got 'my.toml'"):
        evaluate("my.toml", {"barrel.length": np.ones(2)})


CASES = {
    "value-range": ("barrel.length", [-1.0, 2.0, np.inf, 1e9]),
    "value-kind": ("wall.stringers.count", [50.5, 90.0, np.nan, 80.25]),
    "skin-thickness-order": ("barrel.skin_thickness_minimum", [2.7e-3, 2.5e-3, 3e-3, 2.61e-3]),
    "radius-to-thickness-low": ("barrel.skin_thickness", [0.1, 2.6e-3, 0.2, 0.09]),
    "ribs-too-deep": ("wall.stringers.depth", [0.4, 0.02, 0.5, 0.31]),
    "ribs-overlap": ("wall.stringers.thickness", [0.4, 0.0025, 0.5, 0.31]),
    "spacing-too-wide": ("wall.stringers.count", [5, 90, 1, 4]),
    "pressure-order": ("load_cases.1.pressure_maximum", [1e4, 8e4, 0.0, 4.9e4]),
    "temperature-outside-data": ("load_cases.1.temperature", [50.0, 200.0, 700.0, 411.0]),
    "strength-order": ("material.points.1.ultimate", [1e8, 450e6, 2e8, 399e6]),
    "modulus-implausible": ("material.points.0.youngs_modulus", [1e9, 79e9, 9e11, 4e9]),
}


@pytest.mark.parametrize("code", CASES)
def test_single_designs_are_refused_as_the_model_refuses_them(code):
    """The second design is sound, the others are not; the code is one that the model gives."""
    name, values = CASES[code]
    case = builders.case(
        sb.StiffenedWall(rd.blade("outside", count=90)),
        builders.load(),
        builders.pressed(5e4, 8e4, name="pressed"),
        material=rd.COLD,
    )
    varied = {name: np.array(values)}
    if code == "radius-to-thickness-low":
        varied["barrel.skin_thickness_minimum"] = np.array(values)
    found = evaluate(case, varied)
    assert found.refused.tolist() == [True, False, True, True]
    assert set(found.reasons[[0, 2, 3]]) <= {code, "value-kind", "value-range"}
    assert code in found.reasons
    assert np.isnan(found.margins[[0, 2, 3]]).all()
    assert np.isfinite(found.smallest[1])
    assert np.isnan(found.mass_per_area[0])
    for i in (0, 2, 3):
        with pytest.raises(Refusal) as refusal:
            design(case, varied, i)
        assert found.reasons[i] in {p.code for p in refusal.value.problems}


def test_grid_rules_and_thrust_rules():
    case = builders.case(builders.GRID)
    found = evaluate(case, {"wall.triangle_height": np.array([0.09, 3.0, 0.003])})
    assert found.reasons.tolist() == ["", "grid-too-coarse", "ribs-overlap"]
    unstated = builders.case(builders.GRID, builders.load(), builders.pressed(0.0, 0.0, name="pressed"))
    loads = (unstated.load_cases[0], replace(unstated.load_cases[1], axial_force_includes_thrust=None))
    found = evaluate(replace(unstated, load_cases=loads), {"load_cases.1.pressure_maximum": np.array([0.0, 1e5])})
    assert found.reasons.tolist() == ["", "thrust-unstated"]


def test_the_pressure_of_a_contained_thrust_must_be_known():
    load = builders.load(name="pressed", pressure_minimum=5e4, pressure_maximum=5e4, axial_force_includes_thrust=True)
    case = builders.case(builders.GRID, load)
    found = evaluate(case, {"load_cases.0.pressure_maximum": np.array([5e4, 6e4])})
    assert found.reasons.tolist() == ["", "thrust-pressure-missing"]


def test_the_pressure_of_a_contained_thrust_is_one_that_the_load_case_has():
    load = builders.load(
        pressure_minimum=5e4, pressure_maximum=8e4, axial_force_includes_thrust=True, thrust_pressure=5e4
    )
    case = builders.case(builders.GRID, load)
    found = evaluate(case, {"load_cases.0.thrust_pressure": np.array([5e4, -5e4, 6e4, 8e4, 8.1e4, 4.9e4])})
    bad = "thrust-pressure-outside"
    assert found.reasons.tolist() == ["", bad, "", "", bad, bad]
    moved = evaluate(case, {"load_cases.0.pressure_minimum": np.array([4e4, 5e4, 6e4])})  # away from under the thrust
    assert moved.reasons.tolist() == ["", "", bad]


def test_every_design_refused():
    found = evaluate(builders.case(builders.ORTHOGRID), {"wall.rib_depth": np.array([0.9, 1.5])})
    assert found.refused.all()
    assert found.margins.shape == (2, 1, len(found.modes))
    assert len(found.modes) == 12
    assert np.isnan(found.margins).all()
    assert found.governing.tolist() == [-1, -1]


def test_a_search_that_fails_refuses_the_whole_design():
    """1 km of foil: `lowest` would have to look at millions of modes, and `assess` gives no result."""
    wall = builders.barrel(radius=1.5, length=1000.0, skin_thickness=1.5e-5, skin_thickness_minimum=1.5e-5)
    case = builders.case(builders.PLAIN, barrel=wall)
    found = evaluate(case, {"barrel.length": np.array([1000.0, 2.0])})
    assert found.reasons.tolist() == ["search-too-large", "radius-to-thickness"]
    assert np.isnan(found.margins[0]).all()
    assert np.isfinite(found.smallest_known[1])
    assert np.isnan(found.smallest[1]), "a row is refused, so the smallest margin is not known"


def test_a_search_that_decides_no_margin_must_not_fail_either():
    """A plain wall of L/R 4 uses no searched load in its margins, but `assess` shows one and stops without it."""
    foil = builders.barrel(radius=20.0, length=80.0, skin_thickness=2e-5, skin_thickness_minimum=2e-5)
    case = builders.case(builders.PLAIN, barrel=foil, own_knockdown=sb.OwnKnockdown(0.5, 0.5, "test"))
    with pytest.raises(Incomplete, match="too many modes"):
        assess(case)
    found = evaluate(case, {"barrel.length": np.array([80.0, 2.0])})
    assert found.reasons.tolist() == ["search-too-large", ""]
