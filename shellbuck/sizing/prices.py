"""What holds the mass up, and what one more of it costs: multipliers of the model at the optimum."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog

from .polish import Polished, mass_slope
from .task import Task

_SPAN = 3e-3
"""Half width of the linear model (logarithm)."""


@dataclass(frozen=True)
class Multipliers:
    """Relative mass per unit of each constraint (K,), of each lower and each upper end (V,), all 0 or more; the ends
    by the logarithm of the end."""

    constraints: np.ndarray
    low: np.ndarray
    high: np.ndarray


def multipliers(task: Task, best: Polished) -> Multipliers:
    """Multipliers of the linear model of cuts around an optimum."""
    K, V = len(task.labels), best.design.size
    none = Multipliers(np.zeros(K), np.zeros(V), np.zeros(V))
    if not best.cuts:
        return none
    y = np.log(best.design)
    index = np.flatnonzero(best.free)
    rows, ends, owner = [], [], []
    own = task.side(best.cuts[-1].levels)
    for cut in best.cuts:
        if (task.side(cut.levels) != own).any():
            continue
        there = cut.constraints + cut.slopes @ (y - cut.at)
        keep = np.flatnonzero(there < 0.05)
        rows.append(cut.slopes[np.ix_(keep, index)])
        ends.append(np.maximum(there[keep], 0.0))
        owner.append(keep)
    last = best.cuts[-1]
    borders = np.log(np.array([1e-300, *task.thresholds, 1e300]))
    for s, value in enumerate(last.levels):
        if value > 0:
            slope = last.level_slopes[s][index]
            at = np.log(value) + last.level_slopes[s] @ (y - last.at)
            rows.append(np.array([slope, -slope]))
            ends.append(np.maximum([at - borders[own[s]], borders[own[s] + 1] - at], 0.0))
            owner.append(np.array([-1, -1]))
    low = np.maximum(np.log(task.space.low) - y, -_SPAN)[index]
    high = np.minimum(np.log(task.space.high) - y, _SPAN)[index]
    solved = linprog(
        mass_slope(task, y)[index], A_ub=-np.vstack(rows), b_ub=np.concatenate(ends),
        bounds=np.column_stack([np.minimum(low, 0.0), np.maximum(high, 0.0)]), method="highs",
    )  # fmt: skip
    if solved.status != 0:
        return none
    found = np.zeros(K)
    for k, price in zip(np.concatenate(owner), -solved.ineqlin.marginals, strict=True):
        if k >= 0:
            found[k] += price
    at_low, at_high = np.zeros(V), np.zeros(V)
    # an end of the model's own span is no limit
    at_low[index] = np.where(low > -_SPAN, solved.lower.marginals, 0.0)
    at_high[index] = np.where(high < _SPAN, -solved.upper.marginals, 0.0)
    return Multipliers(found, at_low, at_high)
