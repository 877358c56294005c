"""Patterns: what the optimiser is told about a design is what `assess` and `weigh` say about its case."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from sizing_builders import BARE, DEMAND, METAL, demand, load, pressed

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.margins import assess
from shellbuck.model.sized_section import SizedSection
from shellbuck.model.walls import weigh
from shellbuck.sizing import PATTERNS
from shellbuck.sizing.evaluate import case_of, make_task
from shellbuck.sizing.rounding import rounded
from shellbuck.sizing.task import FREE

TWO_CASES = demand(load(), pressed(80e3, 120e3, name="pressed"))


def designs(name: str, count: int = 4, asked: sb.Demand = TWO_CASES) -> tuple:
    """Task and some designs of a pattern, medium thick, counts whole; sections deeper than anything in them."""
    task = make_task(asked, PATTERNS[name], METAL)
    space, rng = task.space, np.random.default_rng(5)
    share = rng.uniform(0.1, 0.5, (count, len(space.variables)))
    rows = np.exp(np.log(space.low) + share * np.log(space.high / space.low))
    for i in (i for i, n in enumerate(space.names) if n.endswith("_depth") and len(space.names) > 7):
        rows[:, i] = np.maximum(rows[:, i], 30e-3)
    pairs = [list(zip(space.variables, row, strict=True)) for row in rows]
    return task, np.array([[v.nearest(x) if v.whole else x for v, x in row] for row in pairs])


@pytest.mark.parametrize("name", PATTERNS)
def test_mass_is_that_of_the_case(name):
    """Plain arithmetic of the same geometry: to rounding."""
    task, rows = designs(name)
    for row, mass in zip(rows, task.mass(rows), strict=True):
        case = case_of(TWO_CASES, PATTERNS[name], METAL, task.space.values(row))
        assert weigh(case).per_area == pytest.approx(mass, rel=1e-12)


@pytest.mark.parametrize("name", PATTERNS)
def test_constraints_are_the_margins_of_the_run(name):
    """log(1 + MS) of every row that has a margin; spacings in place of counts cost 1e-9."""
    task, rows = designs(name, 2)
    found = task.evaluate(rows)
    for i, row in enumerate(rows):
        result = assess(case_of(TWO_CASES, PATTERNS[name], METAL, task.space.values(row)), edge_bending=False)
        shown = {f"{r.mode}, {r.load_case}": r for r in result.margins}
        assert set(shown) <= set(task.labels)
        rows_of = dict(zip(task.labels, found.constraints[i], strict=True))
        for label, row in shown.items():
            margin = row.margin
            assert rows_of[label] == (FREE if margin is None else pytest.approx(math.log1p(margin), rel=1e-7, abs=1e-9))
        beyond = any(value < 0 for label, value in rows_of.items() if "range" in label)
        assert (found.refused[i] or beyond) == (result.verdict.exit_status == 2)


SECTIONS = (
    (SizedSection("hat", "riveted"), SizedSection("zee", "riveted")),
    (SizedSection("zee", "welded", own_thicknesses=True), SizedSection("i", "riveted", own_thicknesses=True)),
    (SizedSection("tee", "integral", "web", own_thicknesses=True), SizedSection("angle", "riveted", "flange")),
    (SizedSection("bulb", "integral"), SizedSection("tee", "riveted", "flange")),
)


@pytest.mark.parametrize("sections", SECTIONS, ids=lambda pair: "-".join(one.section for one in pair))
def test_every_section_is_what_its_case_says(sections):
    """Mass to rounding; log(1 + MS) of every row; nothing that the run refuses or leaves open is feasible."""
    stringers, rings = sections
    asked = replace(TWO_CASES, stringers=stringers, rings=rings)
    task, rows = designs("stringers-rings-outside", 3, asked)
    rows = np.vstack([rows, rows[0]])
    rows[-1, task.space.names.index("stringer_depth")] = 4e-3  # no section that the model takes
    found = task.evaluate(rows)
    assert found.worst[-1] < 0
    for i, row in enumerate(rows[:-1]):
        case = case_of(asked, PATTERNS["stringers-rings-outside"], METAL, task.space.values(row))
        assert (case.wall.stringers.section, case.wall.rings.section) == (stringers.section, rings.section)
        assert weigh(case).per_area == pytest.approx(task.mass(row[None])[0], rel=1e-12)
        result = assess(case, edge_bending=False)
        rows_of = dict(zip(task.labels, found.constraints[i], strict=True))
        for r in result.margins:
            if r.margin is not None:
                assert rows_of[f"{r.mode}, {r.load_case}"] == pytest.approx(math.log1p(r.margin), rel=1e-7, abs=1e-9)
        if result.verdict.exit_status != 0:
            assert found.worst[i] < 0


def test_a_rule_of_the_model_is_felt_before_it_is_broken():
    """Designs that only a rule of the model refuses have a rule of the shop against them, which a search can mend."""
    asked = replace(TWO_CASES, stringers=SizedSection("hat", "riveted"))
    task = make_task(asked, PATTERNS["stringers-outside"], METAL)
    at = dict(zip(task.space.names, range(7), strict=True))
    base = np.array([2e-3, 30e-3, 2e-3, 20e-3, 30e-3, 12e-3, 80.0])
    broken = {"stringer_depth": 3.9e-3, "stringer_foot_width": 1.9e-3, "stringers": 200.0}
    for name, value in broken.items():
        row = base.copy()
        row[at[name]] = value
        assert task.evaluate(row).constraints[0, -task.rules :].min() < 0
    assert task.evaluate(base).constraints[0, -task.rules :].min() > 0


def test_rules_of_a_hat_by_hand():
    """Spacing 2 pi 1.5/100 = 94.25 mm, three quarters of it 70.69 mm; riveted feet stand out by 12 mm of 2 mm sheet."""
    limits = {"slenderness_most": 8.0}
    asked = replace(demand(limits=limits), stringers=SizedSection("hat", "riveted"))
    task = make_task(asked, PATTERNS["stringers-outside"], METAL)
    found = task.evaluate(np.array([[2e-3, 30e-3, 2e-3, 20e-3, 30e-3, 12e-3, 100.0]])).constraints[0, -task.rules :]
    spacing = 2 * math.pi * 1500 / 100
    assert list(zip(task.labels[-task.rules :], found, strict=True)) == [
        ("stringer foot slenderness", pytest.approx(math.log(8 / 6))),
        ("stringer crown width over thickness", pytest.approx(math.log(20 / 4))),
        ("stringer base width over thickness", pytest.approx(math.log(30 / 4))),
        ("stringer foot width over thickness", pytest.approx(math.log(12 / 4))),
        ("stringer depth over thickness", pytest.approx(math.log(30 / 8))),
        ("stringer crown no wider than its base", pytest.approx(math.log(30 / 20))),
        ("room between stringers", pytest.approx(math.log(0.75 * spacing / 54))),
        ("room between stringers", pytest.approx(math.log(0.75 * spacing / 20))),
    ]


@pytest.mark.parametrize("name", ["triangular-grid-inside", "orthogrid-outside", "stringers-rings-outside"])
def test_equivalent_thickness_is_that_of_the_run(name):
    """The level whose threshold changes the factor; the formula is the run's, so to rounding."""
    task, rows = designs(name, 2)
    for row, level in zip(rows, task.evaluate(rows).levels, strict=True):
        result = assess(case_of(TWO_CASES, PATTERNS[name], METAL, task.space.values(row)), edge_bending=False)
        assert level[0] == pytest.approx(result.wall.equivalent_thickness / result.wall.stability_thickness, rel=1e-9)


def test_rules_of_the_shop_by_hand():
    """Triangle of height 90 mm: the inscribed circle is 60 mm wide between rib middles, less one rib thickness."""
    asked = demand(limits={"cutter_radius": 0.012, "slenderness_most": 8.0, "plate_thickness_most": 0.02})
    task = make_task(asked, PATTERNS["triangular-grid-inside"], METAL)
    count = 2 * math.pi * 1.5 / (0.09 * 2 / math.sqrt(3))
    rules = task.evaluate(np.array([[2e-3, 16e-3, 4e-3, count]])).constraints[0, -task.rules :]
    assert dict(zip(task.labels[-task.rules :], rules, strict=True)) == {
        "rib slenderness": pytest.approx(math.log(8 / 4)),
        "pocket width for the cutter, circle inside": pytest.approx(math.log(0.056 / 0.048)),
        "plate thickness": pytest.approx(math.log(20 / 18)),
    }


def test_plain_takes_no_credit_and_pressurised_keeps_its_standby_pressure():
    asked = replace(TWO_CASES, limits=sb.Limits(standby_pressure=30e3))
    bare = case_of(asked, PATTERNS["plain"], METAL, {"skin": 4e-3})
    kept = case_of(asked, PATTERNS["plain-pressurised"], METAL, {"skin": 4e-3})
    assert [(ld.p_min, ld.p_max) for ld in bare.load_cases] == [(0, 0), (0, 120e3)]
    assert [(ld.p_min, ld.p_max) for ld in kept.load_cases] == [(30e3, 30e3), (80e3, 120e3)]


def test_thrust_inside_the_axial_force_stays_what_it_was():
    """The force without thrust is a fact of the load case, whatever pressure a pattern may count on."""
    inside = pressed(80e3, 120e3, axial_force_includes_thrust=True, thrust_pressure=100e3)
    asked = demand(inside)
    cases = [case_of(asked, PATTERNS[n], METAL, {"skin": 4e-3}) for n in ("plain", "plain-pressurised")]
    forces = {c.external_axial_force(c.load_cases[0]) for c in cases}
    assert len(forces) == 1
    assert forces.pop() == pytest.approx(400e3 + math.pi * 1.5**2 * 100e3)


def test_a_standby_pressure_above_that_of_the_thrust_leaves_the_force_what_it_was():
    """400 kN with the thrust of 50 kPa on R = 1.5 m is 400 + pi 1.5^2 50 = 753.4 kN without it."""
    inside = pressed(50e3, 50e3, axial_force_includes_thrust=True)
    limits = sb.Limits(standby_pressure=80e3)
    found = case_of(replace(demand(inside), limits=limits), PATTERNS["plain-pressurised"], METAL, {"skin": 4e-3})
    assert found.load_cases[0].p_min == 80e3
    assert found.external_axial_force(found.load_cases[0]) == pytest.approx(400e3 + math.pi * 1.5**2 * 50e3)
    asked = replace(demand(inside), barrel=replace(BARE, radius_is="inner"))
    with pytest.raises(Refusal, match="give axial_force without the pressure thrust"):
        case_of(replace(asked, limits=limits), PATTERNS["plain-pressurised"], METAL, {"skin": 4e-3})


@pytest.mark.parametrize("reference", ["inner", "outer"])
def test_radius_of_a_face_moves_with_the_skin(reference):
    asked = replace(TWO_CASES, barrel=replace(BARE, radius_is=reference))
    task, rows = designs("orthogrid-inside", 2, asked)
    for row, mass in zip(rows, task.mass(rows), strict=True):
        case = case_of(asked, PATTERNS["orthogrid-inside"], METAL, task.space.values(row))
        assert weigh(case).per_area == pytest.approx(mass, rel=1e-12)


def test_drawn_dimensions_hold_and_lie_on_the_step():
    """From the optimum by hand: the wall just holds, the drawing must too, within a few steps of it."""
    task = make_task(DEMAND, PATTERNS["plain"], METAL)
    rows = np.linspace(3e-3, 6e-3, 3001)[:, None]
    least = rows[int(np.argmax(task.evaluate(rows).worst >= 0))]
    found = rounded(task, least, 1e-5)
    assert found[0] * 1e5 == pytest.approx(round(found[0] * 1e5), abs=1e-6)
    assert least[0] - 1e-6 - 1e-5 < found[0] <= least[0] + 1e-5
    assert task.evaluate(found[None]).worst[0] >= 0
