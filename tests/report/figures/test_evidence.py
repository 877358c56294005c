"""The physical tests behind the plain-wall factor (Weingarten, Morgan & Seide 1965, second-hand)."""

from __future__ import annotations

import statistics

import pytest
from builders import GRID, PLAIN, case

from shellbuck.report.figures.evidence import axial_tests, evidence_figure


def test_statistics_of_the_tests():
    """161 tests, mean 0.518, standard deviation 0.120, 157 above the curve, none above 0.926: to their digits."""
    tests = axial_tests()
    assert len(tests.ratio) == 161
    assert statistics.mean(tests.ratio) == pytest.approx(0.518, abs=5e-4)
    assert statistics.stdev(tests.ratio) == pytest.approx(0.120, abs=5e-4)
    assert (min(tests.R_over_t), max(tests.R_over_t)) == (100, 816)
    assert tests.above_curve() == 157
    assert max(tests.ratio) < 0.926


def test_figure_only_for_plain_walls():
    assert evidence_figure(case(GRID)) is None
    assert "this wall, R/t = 600" in evidence_figure(case(PLAIN)).text
