"""From the optimum to a drawing: dimensions rounded to a step without a negative margin of the sized case."""

from __future__ import annotations

import itertools

import numpy as np

from .task import Task

_MOST_TRIES = 400


def rounded(task: Task, design: np.ndarray, step: float) -> np.ndarray | None:
    """A design with every gauge on a multiple of `step` [m] without a negative margin; None where none is found.

    Gauges are rounded up, then one step down where mass is saved and no margin becomes negative; where rounding breaks
    a rule of the shop the wall grows a little first.
    """
    gauges = task.space.gauges
    index = np.flatnonzero(gauges)
    grown = 1.0
    for _ in range(_MOST_TRIES // (2**index.size) + 8):
        up = np.ceil(design * grown / step - 1e-6) * step
        tries = []
        for down in itertools.product((0.0, 1.0), repeat=index.size):
            tried = np.where(gauges, up, design)
            tried[index] -= np.array(down) * step
            tries.append(_inside(task, tried, step))
        rows = np.array(tries)
        good = task.evaluate(rows).worst >= 0
        if good.any():
            rows = rows[good]
            return rows[int(np.argmin(task.mass(rows)))]
        grown *= 1 + step / float(design[index].max())
    return None


def _inside(task: Task, design: np.ndarray, step: float) -> np.ndarray:
    """Clamped to the ranges, on the step where a multiple lies inside."""
    low, high = np.ceil(task.space.low / step - 1e-6) * step, np.floor(task.space.high / step + 1e-6) * step
    held = np.where(low <= high, np.clip(design, low, high), np.clip(design, task.space.low, task.space.high))
    # a decimal text gives the same bits back as the file that will be read
    return np.where(task.space.gauges, np.round(held, 9), design)
