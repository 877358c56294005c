"""The points of a study: order, spread, repeatability."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from study_plans import AXIAL, SKIN, plan

from shellbuck.io.language.study_plan import Spread
from shellbuck.study.design import Design, quantile, saltelli_points

EVEN = {"key": "barrel.radius", "from": 1.0, "to": 3.0}
NORMAL = {"key": "barrel.length", "mean": 2.0, "deviation": 0.1}


def points(*vary, **more):
    design = Design(plan(*vary, **more))
    return np.array([design.values(k) for k in range(len(design))])


def test_a_grid_runs_its_last_input_fastest():
    found = points(SKIN, AXIAL)
    assert found.shape == (15, 2)
    assert list(found[:3, 1]) == [0.0, 4e5, 8e5]
    assert len({tuple(p) for p in found}) == 15


def test_a_list_is_taken_line_by_line():
    found = points(
        {"key": "barrel.radius", "values": [1.0, 2.0]}, {"key": "barrel.length", "values": [3.0, 4.0]}, method="list"
    )
    assert found.tolist() == [[1.0, 3.0], [2.0, 4.0]]


@pytest.mark.parametrize("method", ["random", "latin hypercube", "sobol", "sensitivity"])
def test_samples_repeat_with_their_seed_only(method):
    more = {"method": method, "count": 16}
    first = points(EVEN, NORMAL, **more)
    assert np.array_equal(first, points(EVEN, NORMAL, **more))
    assert not np.array_equal(first, points(EVEN, NORMAL, **more, seed=2))
    assert (first[:, 0] >= 1).all()
    assert (first[:, 0] < 3).all()


@pytest.mark.parametrize("method", ["latin hypercube", "sobol"])
def test_spread_samples_fill_every_layer_once(method):
    """A property of both: with N points each of the N layers of every input holds one."""
    found = points(EVEN, {"key": "barrel.length", "from": 1.0, "to": 2.0}, method=method, count=16)
    for column, low, span in ((found[:, 0], 1.0, 2.0), (found[:, 1], 1.0, 1.0)):
        assert sorted(np.floor((column - low) / span * 16)) == list(range(16))


def test_the_pages_of_sensitivity():
    """Saltelli 2010, section 4: page i is A with its i-th column out of B."""
    rng = np.random.default_rng(5)
    A, B = rng.random((4, 3)), rng.random((4, 3))
    found = saltelli_points(A, B).reshape(5, 4, 3)
    assert np.array_equal(found[0], A)
    assert np.array_equal(found[1], B)
    for i in range(3):
        other = [j for j in range(3) if j != i]
        assert np.array_equal(found[2 + i][:, i], B[:, i])
        assert np.array_equal(found[2 + i][:, other], A[:, other])


def test_quantiles_against_closed_forms():
    """scipy.stats.norm and lognorm; the log-normal by its own mean and deviation."""
    free = Spread(-math.inf, math.inf, 5.0, 2.0)
    for u in (0.001, 0.3, 0.5, 0.999):
        assert quantile(free, u) == pytest.approx(stats.norm.ppf(u, 5, 2), rel=1e-9)
    s = math.sqrt(math.log(1 + 0.4**2))
    log = Spread(0.0, math.inf, 5.0, 2.0, log=True)
    law = stats.lognorm(s, scale=5 / math.sqrt(1 + 0.4**2))
    assert law.mean() == pytest.approx(5)
    assert law.std() == pytest.approx(2)
    for u in (0.001, 0.5, 0.999):
        assert quantile(log, u) == pytest.approx(law.ppf(u), rel=1e-9)
    assert quantile(Spread(1.0, 100.0, log=True), 0.5) == pytest.approx(10.0)
    cut = Spread(4.0, 5.5, 5.0, 2.0)
    assert quantile(cut, 0.0) == pytest.approx(4.0)
    assert quantile(cut, 1 - 1e-12) == pytest.approx(5.5)
    assert math.isfinite(quantile(free, 0.0))
    for low, high in ((9.0, 12.0), (-3.0, 1.0), (4.0, 100.0)):
        for u in (0.01, 0.5, 0.9):
            right = stats.truncnorm.ppf(u, (low - 5) / 2, (high - 5) / 2, 5, 2)
            assert quantile(Spread(low, high, 5.0, 2.0), u) == pytest.approx(right, rel=1e-9)


def test_a_drawn_choice_is_even():
    found = points({"key": "barrel.ends", "values": ["closed", "open"]}, EVEN, method="latin hypercube", count=64)
    assert (found[:, 0] == "open").sum() == 32
