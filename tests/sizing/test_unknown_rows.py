"""What is unknown is never satisfied: a sizing with slack, refused rows, and a winner that fails once it is run."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import METAL
from sizing_builders import BARE, DEMAND, QUICK, demand, load

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.margins import assess
from shellbuck.sizing import size, verified
from shellbuck.sizing.answer import _cautions
from shellbuck.sizing.evaluate import case_of, make_task
from shellbuck.sizing.patterns import pattern_named
from shellbuck.sizing.verify import shortfalls

SKIN, DEPTH, THICKNESS, COUNT = 1.5e-3, 0.03, 3e-3, 60
DESIGN = {"skin": SKIN, "stringer_depth": DEPTH, "stringer_thickness": THICKNESS, "stringers": float(COUNT)}


def strip_load() -> float:
    """Line load at which the strips of DESIGN buckle: sigma = 4 pi^2 E/(12 (1 - nu^2)) (t/b)^2 on skin and blades."""
    point = METAL.at(None)
    t = SKIN - DEMAND.limits.skin_tolerance  # stability takes the least thickness
    b = 2 * math.pi * BARE.radius / COUNT
    sigma = 4 * math.pi**2 * point.compressive_modulus / (12 * (1 - METAL.poissons_ratio**2)) * (t / b) ** 2
    return sigma * (t + DEPTH * THICKNESS / b)


def force(margin: float) -> float:
    """Axial force at which the strips have this margin."""
    return strip_load() * 2 * math.pi * BARE.radius / (1.4 * (1 + margin))


@pytest.mark.parametrize("required", [-0.5, -0.1, 0.0])
def test_slack_is_not_spent_on_the_skin_that_withholds_the_general_load(required):
    """At a strip margin of -0.05 the general row is withheld, so the design is infeasible whatever is required; at
    +0.05 the row is known, and the constraint of the skin is log(1.05)."""
    asked = demand(load(axial_force=force(-0.05), bending_moment=0.0), limits={"margin_required": required})
    task = make_task(asked, pattern_named("stringers-outside"), METAL)
    design = np.array([[DESIGN[name] for name in task.space.names]])
    found = task.evaluate(design)
    assert found.worst[0] < 0
    easier = replace(asked, load_cases=(load(axial_force=force(0.05), bending_moment=0.0),))
    task = make_task(easier, pattern_named("stringers-outside"), METAL)
    found = task.evaluate(design)
    if required < 0:
        skin = task.labels.index("unbuckled skin, case")
        assert found.constraints[0, skin] == pytest.approx(math.log(1.05), abs=1e-9)  # rounding only
    strip = task.labels.index("skin strip, case")
    assert found.constraints[0, strip] == pytest.approx(math.log(1.05 / (1 + required)), abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("pattern", ["stringers-outside", "orthogrid-inside", "triangular-grid-inside"])
def test_a_sizing_with_slack_knows_every_row(pattern):
    asked = demand(load(axial_force=1.5e6), limits={"margin_required": -0.1})
    found = size(asked, pattern, options=QUICK)
    assert found.status == "found"
    assert {row.status for row in found.margins} <= {"holds", "fails", "not compressed"}
    assert min(row.margin for row in found.margins if row.margin is not None) >= -0.1 - 1e-9  # rounding only
    assert found.verdict.word == "does not hold"
    assert "the sized case has NEGATIVE margins" in found.words[0]


def test_what_a_ready_case_falls_short_of():
    """A sound case has no shortfall; with 1.4 times its smallest margin's load it has one; a refused row is one."""
    case = case_of(DEMAND, pattern_named("plain"), METAL, {"skin": 4e-3})
    result = assess(case)
    assert result.verdict.word == "holds"
    assert shortfalls(result, 0.0) == ()
    assert shortfalls(result, result.verdict.smallest_margin + 0.01)
    refused = replace(result.load_cases[0].margins[0], status="refused", margin=None)
    spoilt = replace(result.load_cases[0], margins=(refused, *result.load_cases[0].margins[1:]))
    (said,) = shortfalls(replace(result, load_cases=(spoilt,)), -0.5)
    assert said == f"{refused.mode}, {refused.load_case}: refused"


def test_a_winner_that_fails_when_it_is_run_is_no_answer(monkeypatch):
    """The search and the full chain disagree: the chain counts."""

    def spoilt(case, **more):
        result = assess(case, **more)
        row = replace(result.load_cases[0].margins[0], status="withheld", margin=None)
        return replace(result, load_cases=(replace(result.load_cases[0], margins=(row,)),))

    monkeypatch.setattr(verified, "assess", spoilt)
    found = size(DEMAND, "plain", options=QUICK)
    assert found.status == "none feasible"
    assert found.mass_per_area is None
    assert "none passes the full run" in found.words[0]
    assert "withheld" in found.attempt[0]


def test_a_comparison_with_slack_says_so():
    said = _cautions(replace(DEMAND, limits=sb.Limits(margin_required=-0.1)), [])
    assert "Margins down to -0.10 are allowed" in said[0]
    assert "Margins down to" not in _cautions(DEMAND, [])[0]


def test_a_load_case_without_loads_is_refused():
    """Its verdict would be "incomplete" whatever the wall."""
    idle = load(name="idle", axial_force=0.0, bending_moment=0.0)
    with pytest.raises(Refusal, match=r"load_cases\.idle: the load case has no load, so no wall can be sized for it"):
        size(demand(load(), idle), "plain", options=QUICK)


def test_a_margin_below_zero_is_no_rounding():
    result = assess(case_of(DEMAND, pattern_named("plain"), METAL, {"skin": 4e-3}))
    rows = list(result.load_cases[0].margins)
    rows[0] = replace(rows[0], status="fails", margin=-1e-12)
    hair = replace(result, load_cases=(replace(result.load_cases[0], margins=tuple(rows)),))
    assert shortfalls(hair, 0.0)
    assert shortfalls(hair, -0.1) == ()
