"""Active constraints, and the mass sensitivity of each: multipliers of the model at the optimum."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog

from .linear import BORDER, linear_rows, mass_slope
from .polish import Polished
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
    owners, slopes, room = linear_rows(task, y, best.cuts, 0.05)
    low = np.maximum(np.log(task.space.low) - y, -_SPAN)[index]
    high = np.minimum(np.log(task.space.high) - y, _SPAN)[index]
    solved = linprog(
        mass_slope(task, y)[index],
        A_ub=-slopes[:, index],
        b_ub=np.maximum(room, 0.0),
        bounds=np.column_stack([np.minimum(low, 0.0), np.maximum(high, 0.0)]),
        method="highs",
    )
    if solved.status != 0:
        return none
    found = np.zeros(K)
    own = owners != BORDER
    np.add.at(found, owners[own], -solved.ineqlin.marginals[own])
    at_low, at_high = np.zeros(V), np.zeros(V)
    # an end of the model's own span is no limit
    at_low[index] = np.where(low > -_SPAN, solved.lower.marginals, 0.0)
    at_high[index] = np.where(high < _SPAN, -solved.upper.marginals, 0.0)
    return Multipliers(found, at_low, at_high)
