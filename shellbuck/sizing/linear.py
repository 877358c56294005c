"""The linear model of a task near a design: cuts of its constraints taken at several points, and the borders of rules.

Everything is in logarithms of the dimensions, where loads and masses are nearly linear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog, minimize

from .task import Task

BORDER = -1
"""Owner of a row that is no constraint but the border of a rule."""


_NEAR = 0.7
"""Constraints with more room than this are left out."""

_SLACK = 5e-13
"""Room that the model leaves at every constraint: rows that no scale of a design changes must hold after rounding."""


@dataclass(frozen=True)
class Cut:
    """Constraints (K,) and their slopes (K, V) at a point, in logarithms; levels (S,) and their slopes (S, V)."""

    at: np.ndarray
    constraints: np.ndarray
    slopes: np.ndarray
    levels: np.ndarray
    level_slopes: np.ndarray


def nearest(cuts: Sequence[Cut], y: np.ndarray) -> Cut:
    """The cut taken closest to y."""
    return min(cuts, key=lambda c: float(np.abs(c.at - y).max()))


def linear_rows(
    task: Task, y: np.ndarray, cuts: Sequence[Cut], near: float, reach: float = 0.0
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rows of the model: slopes @ step + room >= 0 for a step from y.

    Parameters
    ----------
    task : Task
    y : numpy.ndarray
        (V,) logarithms of a design.
    cuts : sequence of Cut
        At least one; those on another side of a threshold than the nearest one are left out.
    near, reach : float
        Constraints with more room at y than `near` and than a step of `reach` can use up are left out.

    Returns
    -------
    numpy.ndarray
        (M,) the constraint of each row, BORDER for the border of a rule.
    numpy.ndarray
        (M, V) slopes; those of held variables are zero.
    numpy.ndarray
        (M,) room at y.
    """
    base = nearest(cuts, y)
    own = task.side(base.levels)
    owners, slopes, room = [np.zeros(0, dtype=int)], [np.zeros((0, y.size))], [np.zeros(0)]
    for cut in cuts:
        if (task.side(cut.levels) != own).any():
            continue
        there = cut.constraints + cut.slopes @ (y - cut.at)
        keep = np.flatnonzero(there < near + reach * np.abs(cut.slopes).sum(axis=1))
        owners.append(keep)
        slopes.append(cut.slopes[keep])
        room.append(there[keep])
    for s, slope, at in levels_at(base, y):
        borders = task.borders(s)
        owners.append(np.array([BORDER, BORDER]))
        slopes.append(np.array([slope, -slope]))
        room.append(np.array([at - borders[own[s]], borders[own[s] + 1] - at]))
    return np.concatenate(owners), np.vstack(slopes), np.concatenate(room)


def levels_at(cut: Cut, y: np.ndarray) -> list[tuple[int, np.ndarray, float]]:
    """Number, slope (V,) and logarithm at y of every level that a rule asks for."""
    return [
        (s, slope, float(np.log(value) + slope @ (y - cut.at)))
        for s, (value, slope) in enumerate(zip(cut.levels, cut.level_slopes, strict=True))
        if value > 0
    ]


def mass_slope(task: Task, y: np.ndarray) -> np.ndarray:
    """(V,) slope of the logarithm of mass at logarithms y, by central differences of the plain mass formula."""
    h = 1e-6
    eye = np.eye(y.size) * h
    logs = np.log(task.mass(np.exp(np.vstack([y + eye, y - eye]))))
    return (logs[: y.size] - logs[y.size :]) / (2 * h)


def lightest_in_model(
    task: Task, y: np.ndarray, cuts: Sequence[Cut], free: np.ndarray, radius: float, inset: float = 1e-9
) -> np.ndarray | None:
    """Lightest point (V,) of the model within a radius of y and `inset` inside the borders of its rules, all in
    logarithms; None when the model has none."""
    index = np.flatnonzero(free)
    low = np.maximum(np.log(task.space.low) - y, -radius)[index]
    high = np.minimum(np.log(task.space.high) - y, radius)[index]
    owners, slopes, room = linear_rows(task, y, cuts, _NEAR, 3 * radius)
    rows, room = slopes[:, index], room - np.where(owners == BORDER, inset, _SLACK)

    def full(step: np.ndarray) -> np.ndarray:
        every = y.copy()
        every[index] += step
        return every

    first = linprog(
        mass_slope(task, y)[index],
        A_ub=-rows if len(rows) else None,
        b_ub=room if len(rows) else None,
        bounds=np.column_stack([low, high]),
        method="highs",
    )
    if first.status != 0:
        return None
    if index.size == 1:
        return full(np.clip(first.x, low, high))

    def objective(step: np.ndarray) -> tuple[float, np.ndarray]:
        where = full(step)
        return float(np.log(task.mass(np.exp(where)[None])[0])), mass_slope(task, where)[index]

    solved = minimize(
        objective,
        np.clip(0.5 * first.x, low, high),
        jac=True,
        method="SLSQP",
        bounds=np.column_stack([low, high]),
        options={"maxiter": 60, "ftol": 1e-14},
        constraints=(
            {"type": "ineq", "fun": lambda step: rows @ step + room, "jac": lambda _: rows} if len(rows) else ()
        ),
    )
    best = np.clip(solved.x, low, high)
    broken = float(-(rows @ best + room).min()) if len(rows) else 0.0
    choices = [first.x] if broken > 1e-8 or not np.isfinite(solved.fun) else [best, first.x]
    return full(min(choices, key=lambda step: objective(step)[0]))
