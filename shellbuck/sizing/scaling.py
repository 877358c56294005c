"""The lightest point on a ray: all gauges of a shape grow together, and mass with them.

Mass rises with every gauge, so the least feasible scale of a shape is its lightest. The first feasible scale is
looked for from below over a grid, because rules may jump or end (a refusal above yield, a factor that changes).

Searches are generators: they yield the designs to be evaluated and are sent the results, so that many of them
share one call of the judge (`gather`).
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import Any

import numpy as np

from .space import Space
from .task import BARRED, Evaluated, Task

Asking = Generator[np.ndarray, Evaluated, Any]

_SPREAD = np.array([-0.2, -0.02, -0.002, 0.002, 0.02, 0.2])
"""Where a bracket is tried again, about the straight line's guess."""


def span(space: Space, designs: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(N,), (N,): log scales at which every gauge has met its lower, its upper end."""
    gauges = space.gauges
    low, high = np.log(space.low / designs)[:, gauges], np.log(space.high / designs)[:, gauges]
    return low.min(axis=1), high.max(axis=1)


def least_scale(
    space: Space,
    designs: np.ndarray,
    *,
    coarse: int = 13,
    rounds: int = 1,
    near: float | None = None,
    tolerance: float = 0.0,
) -> Asking:
    """Every design scaled to where its least margin is zero.

    Parameters
    ----------
    space : Space
    designs : numpy.ndarray
        (N, V) shapes inside the space.
    coarse : int
        Points of the grid of scales.
    rounds : int
        Most rounds of the root search after it, each of six points a design.
    near : float or None
        Look only this far from the given scale (in its logarithm); None means everywhere.
    tolerance : float
        Stop when the smallest constraint lies between 0 and this.

    Returns
    -------
    numpy.ndarray
        (N, V) scaled designs; where none holds, the one that comes nearest.
    numpy.ndarray
        (N,) their smallest constraint.
    numpy.ndarray
        (N,) bool: holds.
    """
    N = designs.shape[0]
    low, high = span(space, designs)
    if near is not None:
        low, high = np.clip(low, -near, 0.0), np.clip(high, 0.0, near)
    grid = low[:, None] + np.linspace(0.0, 1.0, coarse) * (high - low)[:, None]
    found = yield space.scaled(np.repeat(designs, coarse, axis=0), grid.ravel())
    worst = found.worst.reshape(N, coarse)
    holds = worst >= 0
    good = holds.any(axis=1)
    rows = np.arange(N)
    first = np.where(good, holds.argmax(axis=1), worst.argmax(axis=1))
    upper, at_upper = grid[rows, first], worst[rows, first]
    before = np.maximum(first - 1, 0)
    lower, at_lower = grid[rows, before], worst[rows, before]
    open_ = good & (first > 0)
    for _ in range(rounds):
        open_ &= (at_upper > tolerance) & (upper - lower > 1e-15)
        i = np.flatnonzero(open_)
        if not i.size:
            break
        guess = np.where(at_lower[i] <= BARRED, 0.5, at_lower[i] / (at_lower[i] - at_upper[i]))
        width = np.where(at_lower[i] <= BARRED, 1.8, 2 * np.minimum(guess, 1 - guess))
        shares = np.clip(guess[:, None] + _SPREAD * width[:, None], 0.005, 0.995)
        points = lower[i, None] + shares * (upper - lower)[i, None]
        found = yield space.scaled(np.repeat(designs[i], _SPREAD.size, axis=0), points.ravel())
        values = found.worst.reshape(i.size, _SPREAD.size)
        fits = values >= 0
        some = fits.any(axis=1)
        k = np.where(some, fits.argmax(axis=1), _SPREAD.size)  # everything before the first that holds does not hold
        each = np.arange(i.size)
        hit = np.minimum(k, _SPREAD.size - 1)
        miss = np.maximum(k - 1, 0)
        upper[i] = np.where(some, points[each, hit], upper[i])
        at_upper[i] = np.where(some, values[each, hit], at_upper[i])
        lower[i] = np.where(k > 0, points[each, miss], lower[i])
        at_lower[i] = np.where(k > 0, values[each, miss], at_lower[i])
    return space.scaled(designs, upper), at_upper, good


def alone(task: Task, asking: Asking) -> Any:
    """Run one search to its end."""
    try:
        designs = next(asking)
        while True:
            designs = asking.send(task.evaluate(designs))
    except StopIteration as end:
        return end.value


def gather(askings: Sequence[Asking]) -> Asking:
    """Searches side by side as one, their designs judged together; their results in order."""
    results: list[Any] = [None] * len(askings)
    waiting: dict[int, np.ndarray] = {}

    def advance(i: int, answer: Evaluated | None) -> None:
        try:
            waiting[i] = np.atleast_2d(askings[i].send(answer))
        except StopIteration as end:
            results[i] = end.value
            waiting.pop(i, None)

    for i in range(len(askings)):
        advance(i, None)
    while waiting:
        order = list(waiting)
        ends = np.cumsum([len(waiting[i]) for i in order])
        found = yield np.concatenate([waiting[i] for i in order])
        for i, first, last in zip(order, (0, *ends[:-1]), ends, strict=True):
            advance(i, found.part(first, last))
    return results
