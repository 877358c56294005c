"""The optimiser on problems whose answer is known by hand: no shell in sight."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from shellbuck.sizing.explanations import general_words, nothing_words
from shellbuck.sizing.linear import Cut
from shellbuck.sizing.polish import _pulled_back, polish
from shellbuck.sizing.prices import multipliers
from shellbuck.sizing.scaling import alone, least_scale
from shellbuck.sizing.search import Effort, Found, search
from shellbuck.sizing.space import Space, Variable
from shellbuck.sizing.task import Evaluated, Task

EFFORT = Effort(samples=32, scaled=9, starts=4, regions=1)


def task(variables, mass, constraints, levels=None, thresholds=()) -> Task:
    """A task of plain functions of the columns."""

    def constrain(X: np.ndarray) -> Evaluated:
        g = np.column_stack(constraints(*X.T))
        side = np.zeros((len(X), 0)) if levels is None else levels(*X.T)[:, None]
        return Evaluated(g, np.zeros(len(X), bool), side)

    labels = tuple(f"row {i}" for i in range(len(constraints(*np.ones((len(variables), 1))))))
    return Task(Space(variables), lambda X: mass(*X.T), constrain, labels, thresholds)


X, Y = Variable("x", 0.01, 100.0), Variable("y", 0.01, 100.0)


def test_box_of_given_volume():
    """min x + y with x y >= 4: x = y = 2; the multiplier of log(x y/4) on log mass is 1/2."""
    t = task((X, Y), lambda x, y: x + y, lambda x, y: (np.log(x * y / 4),))
    best = search(t, [1], EFFORT)[0].best
    assert best.mass == pytest.approx(4.0, rel=1e-7)
    assert best.design == pytest.approx([2.0, 2.0], rel=1e-3)  # mass is flat: its error is the square of this
    assert multipliers(t, best).constraints == pytest.approx([0.5], rel=1e-2)


def test_kink_between_two_modes():
    """A row that is the lower of two: min x + 3 y, min(x^2 y, x y^3) >= 1. On x^2 y = 1 alone the optimum x = 6^(1/3)
    breaks the other, so it stands on the kink x = y^2: x = y^2, y^5 = 1, mass 4."""
    t = task((X, Y), lambda x, y: x + 3 * y, lambda x, y: (np.log(np.minimum(x**2 * y, x * y**3)),))
    best = search(t, [1], EFFORT)[0].best
    assert best.mass == pytest.approx(4.0, rel=1e-6)
    assert best.design == pytest.approx([1.0, 1.0], rel=1e-5)


def test_optimum_on_a_threshold():
    """x y >= 4, but only 1 where y >= 4 x: on the threshold y = 4 x = 2, mass 2.5, against 4 on the other side."""
    t = task(
        (X, Y),
        lambda x, y: x + y,
        lambda x, y: (np.log(x * y / np.where(y >= 4 * x, 1.0, 4.0)),),
        levels=lambda x, y: y / x,
        thresholds=((4.0,),),
    )
    best = search(t, [1], EFFORT)[0].best
    assert best.mass == pytest.approx(2.5, rel=1e-5)
    assert best.design[1] / best.design[0] == pytest.approx(4.0, rel=1e-5)


@pytest.mark.parametrize("beyond", [4.0, 4.5])
def test_a_design_that_rests_on_a_threshold_goes_on_across_it(beyond):
    """x y >= 4 where y >= 4 x and x y >= c on the other side, from a start at y = 16 x: the lightest of the first side
    is (1, 4), mass 5; across the border it is x = y = sqrt(c), mass 2 sqrt(c)."""
    t = task(
        (X, Y),
        lambda x, y: x + y,
        lambda x, y: (np.log(x * y / np.where(y >= 4 * x, 4.0, beyond)),),
        levels=lambda x, y: y / x,
        thresholds=((4.0,),),
    )
    best = alone(t, polish(t, np.array([0.6, 9.6])))
    assert best.mass == pytest.approx(2 * beyond**0.5, rel=1e-7)


def test_a_threshold_is_not_crossed_for_a_heavier_design():
    """As above with x y >= 9 on the other side: 6 > 5, so the design stays on the border."""
    t = task(
        (X, Y),
        lambda x, y: x + y,
        lambda x, y: (np.log(x * y / np.where(y >= 4 * x, 4.0, 9.0)),),
        levels=lambda x, y: y / x,
        thresholds=((4.0,),),
    )
    best = alone(t, polish(t, np.array([0.6, 9.6])))
    assert best.mass == pytest.approx(5.0, rel=1e-6)
    assert best.design == pytest.approx([1.0, 4.0], rel=1e-5)


@pytest.mark.parametrize("side", [0, 1])
def test_a_level_that_left_its_side_is_pulled_back(side):
    """The level x + y bends in the logarithms: along its slope it comes to its border up to the square of the gap; a
    level on its side stays where it is."""
    t = task((X, Y), lambda x, y: x + y, lambda x, y: (np.log(x * y),), levels=lambda x, y: x + y, thresholds=((4.0,),))
    at = np.log(np.array([3.2, 0.8]))
    cut = Cut(at, np.zeros(1), np.zeros((1, 2)), np.array([4.0]), np.array([[0.8, 0.2]]))
    y, level = np.log(np.array([[3.28, 0.82], [3.12, 0.78]][side])), np.array([[4.1], [3.9]][side])
    back = _pulled_back(t, y, level, np.array([side]), cut)
    gap = abs(math.log(level[0] / 4))
    assert 0 < abs(math.log(np.exp(back).sum() / 4)) < gap**2
    assert (back - y)[0] / (back - y)[1] == pytest.approx(4.0)
    assert _pulled_back(t, y, level, np.array([1 - side]), cut) is y


def test_limits_hold_and_have_a_price():
    """min x + y, x y >= 4, x <= 1: mass 1 + 4 = 5; d mass/d log x = 1 - 4 = -3."""
    t = task((Variable("x", 0.01, 1.0), Y), lambda x, y: x + y, lambda x, y: (np.log(x * y / 4),))
    best = search(t, [1], EFFORT)[0].best
    assert best.design == pytest.approx([1.0, 4.0], rel=1e-7)
    assert multipliers(t, best).high[0] == pytest.approx(3 / 5, rel=1e-2)


def test_words_on_seeds_that_disagree():
    """A seed that finds nothing is no difference of masses."""
    t = task((X, Y), lambda x, y: x + y, lambda x, y: (np.log(x * y / 4),))
    good, worse, nothing = search(t, [1], EFFORT)[0], search(t, [2], EFFORT)[0], Found(3)
    worse.best = replace(worse.best, mass=1.05 * good.best.mass)
    missing = "found no feasible design"
    for others, words in (
        ((worse,), "masses differ by 5 %"),
        ((nothing,), f"1 of 2 {missing}"),
        ((good, nothing), f"1 of 3 {missing}"),
        ((nothing, nothing), f"2 of 3 {missing}"),
        ((worse, nothing), f"1 of 3 {missing}, masses differ by 5 %"),
    ):
        (said,) = general_words(t, (good, *others), good, agree=False, complete=True)
        assert said == f"the seeds do NOT agree: {words}; raise --samples"


def test_words_on_seeds_that_agree():
    t = task((X, Y), lambda x, y: x + y, lambda x, y: (np.log(x * y / 4),))
    good = search(t, [1], EFFORT)[0]
    assert general_words(t, (good, good), good, agree=True, complete=True) == ["2 seeds agree to 0 %"]


def test_words_when_no_seed_finds_anything():
    t = task((X, Y), lambda x, y: x + y, lambda x, y: (np.log(x * y / 4e9),))
    runs = search(t, [1, 2], EFFORT)
    assert all(r.complete and r.best is None for r in runs)
    words = nothing_words(t, runs, ("row -99 %",), runs[0])
    assert words[0].startswith("no design inside the limits is feasible; the nearest found (x ")
    assert words[0].endswith("fails: row -99 %")
    assert words[-1] == "none of 2 seeds found a feasible design"
    assert not any("agree" in w or "differ" in w for w in words)


def test_words_when_only_whole_counts_are_missing():
    """x n >= 7.3 with n between 2.4 and 2.6 as a real number, and no whole number there: a rule that whole counts
    break on both sides."""
    n = Variable("n", 2.0, 3.0, True)
    t = task((X, n), lambda x, n: x * n, lambda x, n: (np.log(x * n / 7.3), 0.1 - np.abs(n - 2.5)))
    runs = search(t, [1], EFFORT)
    assert runs[0].complete
    assert runs[0].best is None
    (said,) = nothing_words(t, runs, (), None)
    assert "none with whole counts near them was found" in said


@pytest.mark.parametrize("step", [1, 2])
def test_whole_counts_against_trying_them_all(step):
    """min x (1 + n/5) with x n >= 7.3 and x >= 1.07: every count by hand."""
    n = Variable("n", 2.0, 40.0, True, step)
    t = task((X, n), lambda x, n: x * (1 + n / 5), lambda x, n: (np.log(x * n / 7.3), np.log(x / 1.07)))
    best = search(t, [1], EFFORT)[0].best
    by_hand = min(max(7.3 / k, 1.07) * (1 + k / 5) for k in range(2, 41, step))
    assert best.mass == pytest.approx(by_hand, rel=1e-7)  # steps worth less than 2e-8 are not taken
    assert best.design[1] % step == 0


def test_first_scale_that_holds_is_taken_although_heavier_ones_fail():
    """Holds from scale 2 to 3 and again from 5: rules that end (a refusal above yield) must not mislead."""
    space = Space((X,))
    asking = least_scale(space, np.array([[0.01]]), coarse=200, rounds=30)
    t = task((X,), lambda x: x, lambda x: (np.where(((x >= 2) & (x <= 3)) | (x >= 5), 0.1, -0.1),))
    scaled, _, holds = alone(t, asking)
    assert holds[0]
    assert scaled[0, 0] == pytest.approx(2.0, rel=1e-9)


def test_nothing_holds_is_an_answer():
    t = task((X, Y), lambda x, y: x + y, lambda x, y: (np.log(x * y / 1e9),))
    found = search(t, [1], EFFORT)[0]
    assert found.best is None
    assert found.complete
    assert found.nearest_worst == pytest.approx(math.log(1e4 / 1e9), abs=0.5)  # near the far corner


def test_the_same_seed_gives_the_same_bits_and_others_the_same_optimum():
    make = lambda: task((X, Y), lambda x, y: x + 3 * y, lambda x, y: (np.log(x**2 * y), np.log(x * y**3)))  # noqa: E731
    one, two = (search(make(), [3, 4], EFFORT) for _ in range(2))
    for a, b in zip(one, two, strict=True):
        assert a.best.mass == b.best.mass
        assert np.array_equal(a.best.design, b.best.design)
        assert a.evaluations == b.evaluations
    assert one[0].best.mass == pytest.approx(one[1].best.mass, rel=1e-6)


@pytest.mark.parametrize("words", ["starts", "regions", "whole counts"])
def test_a_stop_leaves_the_best_so_far(words):
    """KeyboardInterrupt in the middle: what was found is handed over, marked as not complete."""
    n = Variable("n", 2.0, 40.0, True)
    t = task((X, n), lambda x, n: x * (1 + n / 5), lambda x, n: (np.log(x * n / 7.3), np.log(x / 1.07)))

    def stop(text: str) -> None:
        if words in text:
            raise KeyboardInterrupt

    found = search(t, [1], EFFORT, stop)[0]
    assert not found.complete
    x, count = found.best.design
    assert count == int(count)
    assert x >= max(7.3 / count, 1.07)
