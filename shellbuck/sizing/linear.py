"""The linear model of a task near a design: cuts of its constraints taken at several points, and the borders of rules.

Everything is in logarithms of the dimensions, where loads and masses are nearly linear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .task import Task

BORDER = -1
"""Owner of a row that is no constraint but the border of a rule."""


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
        for s, (value, slope) in enumerate(zip(cut.levels, cut.level_slopes, strict=True)) if value > 0
    ]  # fmt: skip


def mass_slope(task: Task, y: np.ndarray) -> np.ndarray:
    """(V,) slope of the logarithm of mass at logarithms y, by central differences of the plain mass formula."""
    h = 1e-6
    eye = np.eye(y.size) * h
    logs = np.log(task.mass(np.exp(np.vstack([y + eye, y - eye]))))
    return (logs[: y.size] - logs[y.size :]) / (2 * h)
