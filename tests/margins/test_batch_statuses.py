"""Statuses of the rows of arrays of designs: what is unknown never counts as held, whatever stands beside it."""

from __future__ import annotations

import builders
import numpy as np

import shellbuck as sb
from shellbuck.margins import assess, evaluate
from shellbuck.margins.findings import Row
from shellbuck.margins.statuses import STATUSES

THIN = sb.StiffenedWall(sb.Stiffeners("outside", "blade", 0.03, 0.003, count=40))
"""Wide strips between deep blades: the skin buckles long before the wall."""


def words(codes) -> list[str]:
    return [STATUSES[k] for k in codes]


def test_a_row_says_why_it_has_no_margin():
    """Withheld before not loaded before refused, and what is no number is refused, not held."""
    loaded = np.array([True, True, False, True, True, True])
    refused = np.array([False, True, True, False, False, True])
    withheld = np.array([False, False, False, True, False, True])
    margins = np.array([0.2, 0.2, 0.2, 0.2, np.nan, -0.1])
    row = Row("mode", margins, loaded, {"a-code": refused}, withheld)
    filed, statuses = row.filed(6)
    assert words(statuses) == ["holds", "refused", "not compressed", "withheld", "refused", "withheld"]
    assert np.isnan(filed).tolist() == [False, True, True, True, True, True]
    stress, statuses = Row("stress", -0.5, np.array([True, False] * 3), idle="holds").filed(6)
    assert words(statuses) == ["fails", "holds"] * 3
    assert np.isnan(stress).tolist() == [False, True] * 3
    assert statuses.dtype == np.int8


def test_a_margin_of_zero_holds_and_the_next_number_below_fails():
    _, statuses = Row("mode", np.array([0.0, np.nextafter(0.0, -1.0)])).filed(2)
    assert words(statuses) == ["holds", "fails"]


def test_a_withheld_row_leaves_the_smallest_margin_unknown():
    """The first barrel holds; in the second the skin buckles, so that the general load is withheld: it fails for
    certain, but by how much is not known."""
    case = builders.case(THIN, builders.load(axial_force=1e5, bending_moment=0.0))
    found = evaluate(case, {"load_cases.0.axial_force": np.array([1e5, 4e6, 0.0])})
    general = [found.status(i, "case", "general instability") for i in range(3)]
    assert general == ["holds", "withheld", "not compressed"]
    assert found.unknown.tolist() == [False, True, False]
    assert found.fails.tolist() == [False, True, False]
    assert found.holds.tolist() == [True, False, False]  # nothing is loaded in the last
    assert found.idle.tolist() == [False, False, True]
    assert np.isnan(found.smallest).tolist() == [False, True, True]  # the last has no margin at all
    assert found.smallest_known[1] < 0
    assert found.governing_row(1) is None
    assert found.known_row(1) == ("case", "skin strip")


def test_a_design_that_the_model_refuses_has_refused_rows_only():
    case = builders.case(THIN)
    found = evaluate(case, {"wall.stringers.depth": np.array([0.03, 5.0])})
    assert not found.refused[0]
    assert set(words(found.statuses[1].flat)) == {"refused"}
    assert not found.holds[1]
    assert found.unknown[1]


def test_the_verdict_of_a_case_with_a_withheld_row_has_no_smallest_margin():
    verdict = assess(builders.case(THIN, builders.load(axial_force=4e6))).verdict
    assert verdict.word == "does not hold"
    assert verdict.smallest_margin is None
    assert verdict.governing_mode is None
    assert "smallest of the other margins" in verdict.text
