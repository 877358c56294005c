"""The triangular grid under the handbook's three modes alone against its simultaneous-mode optimum.

Values: own, minimum t_bar with c_0 = .612372 gamma, pocket 10.2, rib .616, hoop ribs; the free optimum under these
three constraints is the same. Asked within .5 %; the values have four digits, so 2e-4 is asked.
"""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.sizing.reference import LINES, handbook_grid, handbook_line
from shellbuck.sizing.search import Effort, search

EFFORT = Effort(samples=128, scaled=24, starts=6, regions=1)


@pytest.mark.parametrize(
    ("index", "factor", "t_bar", "alpha", "delta"),
    [
        pytest.param(1e-6, 1.0, 5.443e-4, 0.2684, 16.04, marks=pytest.mark.slow),
        (1e-5, 1.0, 2.1426e-3, 0.2602, 9.945),
        pytest.param(1e-4, 1.0, 8.369e-3, 0.2456, 6.08, marks=pytest.mark.slow),
        pytest.param(1e-6, 0.65, 6.476e-4, None, None, marks=pytest.mark.slow),
        (1e-5, 0.65, 2.5520e-3, 0.2621, 10.885),
        pytest.param(1e-4, 0.65, 9.986e-3, None, None, marks=pytest.mark.slow),
    ],
)
def test_against_simultaneous_modes(index, factor, t_bar, alpha, delta):
    E, R = 70e9, 2.0
    found = search(handbook_grid(index * E * R, E, R, factor), [1], EFFORT)[0].best
    t, d, b, h = found.design
    assert found.mass / R == pytest.approx(t_bar, rel=2e-4)
    if alpha is not None:  # the mass is flat about its optimum: 1e-8 of mass is 1e-3 of a ratio
        assert b * d / (t * h) == pytest.approx(alpha, rel=5e-3)
        assert d / t == pytest.approx(delta, rel=5e-3)
    # plate over finished wall, (1 + delta)/(1 + 3 alpha): 6.7 at 1e-5 and gamma .65
    if (index, factor) == (1e-5, 0.65):
        assert (1 + d / t) / (1 + 3 * b * d / (t * h)) == pytest.approx(6.7, abs=0.05)


@pytest.mark.slow
def test_all_three_modes_are_used_up():
    task = handbook_grid(1e-5, 1.0, 1.0)
    best = search(task, [1], EFFORT)[0].best
    assert task.evaluate(best.design).constraints[0] == pytest.approx(np.zeros(3), abs=1e-4)


@pytest.mark.slow
def test_close_to_the_published_ring_and_stringer_line():
    """The grid at knockdown 1 lies within 2.1 % of ring + Z (own finding; the line is second-hand)."""
    index = np.array([5e-6])
    assert handbook_line(index) == pytest.approx(LINES[3].solidity(index), rel=0.03)
