"""From a feasible design to the lightest one near it, counts fixed.

In the logarithms of the dimensions every constraint is nearly linear and the mass is convex, so a model of linear cuts
with the true mass is very good. A buckling load is the lower envelope of many modes: cuts taken at several points show
the kinks between them. Where a rule jumps at a threshold, a step never crosses it: the threshold is a constraint of its
own. A design that ends on one is set across it and continues from there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .linear import Cut, levels_at, lightest_in_model, nearest
from .scaling import Asking, gather, least_scale
from .task import FREE, Task

_INWARD = 3e-4
"""Cuts are taken this far inside (logarithm), where no row is withheld."""

_STEP = 1e-5
"""Step of a difference (logarithm): loads are good to 1e-12, so a slope is good to 1e-6."""

_WORTH = 2e-8
"""Least relative mass that a step must promise."""

_LEAST_RADIUS = 1e-5

_RESTS = 1e-4
"""A level this near a threshold (logarithm) rests on it."""

_INSIDE = 1e-6
"""How far inside its border a level is pulled back (logarithm)."""

_ACROSS = 2e-3
"""How far beyond a threshold a design is set (logarithm of the level)."""


@dataclass(frozen=True)
class Polished:
    """A design, its mass, the side (S,) of each level's thresholds on which it lies, the cuts around it, and what was
    free (V,)."""

    design: np.ndarray
    mass: float
    side: np.ndarray
    cuts: tuple[Cut, ...]
    free: np.ndarray


def take_cut(task: Task, design: np.ndarray, free: np.ndarray) -> Asking:
    """Constraints and slopes at a design, in the free variables; None where it is refused.

    Every difference stays on the design's own side of each threshold, and where the same rows are loaded.
    """
    low, high = np.log(task.space.low), np.log(task.space.high)
    inside = np.clip(np.log(design) + np.where(task.space.gauges & free, _INWARD, 0.0), low, high)
    indices = np.flatnonzero(free)
    ways = np.eye(design.size)[indices] * _STEP
    # both ways at once: of two differences one lies on the design's own side of a threshold
    forth, back = np.minimum(inside + ways, high), np.maximum(inside - ways, low)
    found = yield np.exp(np.vstack([inside, forth, back]))
    V = indices.size
    side = task.side(found.levels)
    idle = found.constraints >= FREE
    points = np.vstack([inside, forth, back])
    moved = (points != inside).any(axis=1)
    same = ~found.refused & moved & (side == side[0]).all(axis=1) & (idle == idle[0]).all(axis=1)
    if found.refused[0] or not (same[1 : V + 1] | same[V + 1 :]).all():
        return None
    ahead = np.where(same[1 : V + 1], np.arange(1, V + 1), 0)
    behind = np.where(same[V + 1 :], np.arange(V + 1, 2 * V + 1), 0)
    steps = (points[ahead, indices] - points[behind, indices])[:, None]

    def slopes(values: np.ndarray) -> np.ndarray:
        full = np.zeros((values.shape[1], design.size))
        full[:, indices] = ((values[ahead] - values[behind]) / steps).T
        return full

    logs = np.log(np.maximum(found.levels, 1e-12))
    return Cut(inside, found.constraints[0], slopes(found.constraints), found.levels[0], slopes(logs))


def polish(
    task: Task,
    design: np.ndarray,
    *,
    fixed: np.ndarray | None = None,
    radius: float = 0.2,
    rounds: int = 50,
    crossings: int = 4,
) -> Asking:
    """The lightest design near a feasible one, as Polished.

    Parameters
    ----------
    task : Task
    design : numpy.ndarray
        (V,) that holds.
    fixed : numpy.ndarray or None
        (V,) mask of variables held; None frees all.
    radius : float
        First step, in logarithms of the dimensions.
    rounds : int
        Most steps on one side of the thresholds.
    crossings : int
        How often a design that rests on a threshold is set across it, while that makes it lighter.
    """
    free = ~fixed if fixed is not None else np.ones(design.size, dtype=bool)
    free = free & (np.log(task.space.high / task.space.low) > 4 * _STEP)
    best = yield from _descent(task, design, free, radius, rounds)
    for _ in range(crossings):
        beyond = np.array(_beyond(task, best))
        if len(beyond):
            beyond = beyond[~(yield beyond).refused]
        if not len(beyond):
            break
        scaled, _, holds = yield from least_scale(task.space, beyond, coarse=9, near=0.25, rounds=3)
        others = yield from gather([_descent(task, s, free, 0.1, rounds) for s in scaled[holds]])
        lightest = min(others, key=lambda p: p.mass, default=best)
        if lightest.mass >= best.mass * (1 - _WORTH):
            break
        best = lightest
    return best


def _beyond(task: Task, polished: Polished) -> list[np.ndarray]:
    """Designs just across each threshold that a polished one rests on."""
    found = []
    y = np.log(polished.design)
    for s, slope, at in levels_at(polished.cuts[-1], y) if polished.cuts else ():
        for border in task.borders(s)[1:-1] if slope.any() else ():
            if abs(border - at) < _RESTS:
                way = border - at + (_ACROSS if at < border else -_ACROSS)
                found.append(np.exp(_moved(task, y, slope, way)))
    return found


def _moved(task: Task, y: np.ndarray, slope: np.ndarray, way: float) -> np.ndarray:
    """Logarithms y moved the shortest way that changes a level of this slope so much, inside their ranges."""
    return np.clip(y + way / (slope @ slope) * slope, np.log(task.space.low), np.log(task.space.high))


def _pulled_back(task: Task, y: np.ndarray, levels: np.ndarray, side: np.ndarray, cut: Cut) -> np.ndarray:
    """Logarithms y of a design whose levels left their side, moved back along the levels' slopes to just inside."""
    for s, wrong in enumerate(task.side(levels) != side):
        slope = cut.level_slopes[s]
        if wrong and levels[s] > 0 and slope.any():
            low, high = task.borders(s)[side[s] : side[s] + 2]
            at = np.log(levels[s])
            y = _moved(task, y, slope, np.clip(at, low + _INSIDE, high - _INSIDE) - at)
    return y


def _descent(task: Task, design: np.ndarray, free: np.ndarray, radius: float, rounds: int) -> Asking:
    """The lightest design near a feasible one and on its side of the thresholds, as Polished."""
    y = np.log(design)
    mass = float(task.mass(design[None])[0])
    side = task.side((yield design[None]).levels[0])
    cut = yield from take_cut(task, design, free)
    cuts = [] if cut is None else [cut]
    for _ in range(rounds):
        if radius < _LEAST_RADIUS or not cuts:
            break
        near = [c for c in cuts if np.abs(c.at - y).max() <= 3 * radius + 2 * _INWARD]
        aim = lightest_in_model(task, y, near or cuts[-1:], free, radius)
        promised = 0.0 if aim is None else 1 - float(task.mass(np.exp(aim)[None])[0]) / mass
        if promised < _WORTH:
            radius /= 8
            continue
        landed = None
        for _ in range(2):
            scaled, _, holds = yield from least_scale(
                task.space,
                np.exp(aim)[None],
                coarse=9,
                near=max(1e-5, 0.5 * radius),
                rounds=3,
                tolerance=max(1e-9, 1e-2 * promised),
            )
            if not holds[0] or task.mass(scaled)[0] > mass * (1 - 0.1 * promised):
                break
            levels = (yield scaled).levels[0]
            if (task.side(levels) == side).all():
                landed = scaled[0]
                break
            # the model of a level is a line: a long step may end across a threshold all the same
            aim = _pulled_back(task, np.log(scaled[0]), levels, side, nearest(cuts, y))
        cut = yield from take_cut(task, np.exp(aim) if landed is None else landed, free)
        if cut is not None:
            cuts.append(cut)
        if landed is None:
            radius *= 0.35
        else:
            new = float(task.mass(landed[None])[0])
            radius = min(1.6 * radius, 0.4) if new < mass * (1 - 0.7 * promised) else radius
            y, mass = np.log(landed), new
    near = tuple(c for c in cuts if np.abs(c.at - y).max() <= 2e-3)
    last = yield from take_cut(task, np.exp(y), free)
    return Polished(np.where(free, np.exp(y), design), mass, side, near if last is None else (*near, last), free)
