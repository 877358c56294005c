"""Ranges of one input without a negative margin: windows between grid points, edges found by further runs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Any

import numpy as np
from scipy.optimize import brentq

from ..core.errors import ShellbuckError
from ..io.language.keys import changed
from ..io.language.study_plan import ARRAYS
from ..io.store.folder import StudyFolder
from ..margins import assess
from .evaluate import asked_of
from .run import Study

_FINE = 1e-3
"""An edge is found to this share of the grid's step."""


@dataclass(frozen=True)
class Edge:
    """An end of a window: the input's value, whether it is only the end of the range, what stops beyond it (a failure
    mode, or why there is no margin), and the mass per area there [kg/m^2]."""

    value: float
    open: bool
    stops: str
    mass_per_area: float


@dataclass(frozen=True)
class Window:
    """A range of one input over which no margin is negative, all other inputs fixed at `at` (in the plan's order, the
    swept one left out)."""

    at: tuple[Any, ...]
    low: Edge
    high: Edge


@dataclass(frozen=True)
class _Point:
    holds: bool
    margin: float | None
    stops: str


def windows(study: Study, folder: StudyFolder, sweep: int) -> tuple[Window, ...]:
    """Windows of a finished grid along one of its inputs.

    Parameters
    ----------
    study : Study
        Of method "grid".
    folder : StudyFolder
    sweep : int
        Which input of the plan is swept.

    Returns
    -------
    tuple of Window
        In the order of the other inputs, then of the swept one; a line of the grid without a feasible point has none.
        What opens and closes between two points of the grid is not seen.
    """
    shape = study.design.shape
    headers = ["status", "governing_mode", "reason", "smallest_margin [-]"]
    status, mode, reason, margin = (column.reshape(shape) for column in folder.columns(headers))
    vary = study.plan.vary
    values = np.array(vary[sweep].values, dtype=float)
    rising = np.argsort(values)
    found: list[Window] = []
    for at in product(*(range(n) for i, n in enumerate(shape) if i != sweep)):
        fixed = tuple(v.values[k] for v, k in zip((v for i, v in enumerate(vary) if i != sweep), at, strict=True))
        line = tuple(np.insert(np.array(at, dtype=object), sweep, slice(None)))
        points = [_point(status[line][k], margin[line][k], mode[line][k], reason[line][k]) for k in rising]

        @cache
        def trial(value: float, fixed: tuple = fixed) -> tuple[_Point, float]:
            return _assessed(study, sweep, value, fixed)

        found += [Window(fixed, low, high) for low, high in _stretches(values[rising], points, trial)]
    return tuple(found)


def _point(status: str, margin: float, mode: str, reason: str) -> _Point:
    # where a row is unknown the point has no margin, and what holds is found by trying
    known = status in ("holds", "does not hold") and not np.isnan(margin)
    return _Point(status == "holds", float(margin) if known else None, mode or reason or status)


def _assessed(study: Study, sweep: int, value: float, fixed: Sequence[Any]) -> tuple[_Point, float]:
    values = list(fixed)
    values.insert(sweep, value)
    changes: dict[tuple, Any] = {}
    for variation, x in zip(study.plan.vary, values, strict=True):
        changes.update(variation.changes(x))
    try:
        bending = study.plan.engine != ARRAYS  # as on the grid
        result = assess(
            asked_of(changed(study.plan.case, changes), study.columns, bending), edge_bending=bending, full=None
        )
    except ShellbuckError as error:
        return _Point(False, None, error.problems[0].what), float("nan")
    word, rows = result.verdict.word, result.margins
    known = word in ("holds", "does not hold")
    stops = rows[0].mode if known and rows else result.verdict.text  # what fails, whatever is unknown beside it
    return _Point(word == "holds", result.verdict.smallest_margin if known else None, stops), result.wall.mass_per_area


def _stretches(values: np.ndarray, points: list[_Point], trial: Callable[[float], tuple[_Point, float]]):
    """Pairs of edges of the ranges without a negative margin."""
    start: Edge | None = None
    for k, point in enumerate(points):
        if point.holds and start is None:
            start = (
                Edge(float(values[0]), True, "", trial(float(values[0]))[1])
                if k == 0
                else _edge(values[k - 1], points[k - 1], values[k], point, trial)
            )
        ends = start is not None and (k + 1 == len(points) or not points[k + 1].holds)
        if point.holds and ends:
            if k + 1 == len(points):
                end = Edge(float(values[k]), True, "", trial(float(values[k]))[1])
            else:
                end = _edge(values[k + 1], points[k + 1], values[k], point, trial)
            yield start, end
            start = None


def _edge(
    outside: float, beyond: _Point, inside: float, within: _Point, trial: Callable[[float], tuple[_Point, float]]
) -> Edge:
    """The last value without a negative margin from inside to outside, and the row that limits it."""
    bad, good, stops = float(outside), float(inside), beyond.stops
    close = _FINE * abs(bad - good)
    if beyond.margin is not None and within.margin is not None:
        # a smooth margin: its root first, then one step on each side says what holds
        def margin(value: float) -> float:
            if value == bad:
                return beyond.margin
            if value == good:
                return within.margin
            point = trial(value)[0]
            return -1.0 if point.margin is None else point.margin

        root = float(brentq(margin, bad, good, xtol=close / 2))
        for value in (root + np.sign(good - bad) * close / 2, root - np.sign(good - bad) * close / 2):
            if min(bad, good) < value < max(bad, good):
                point = trial(float(value))[0]
                good, bad, stops = (value, bad, stops) if point.holds else (good, value, point.stops)
    while abs(bad - good) > close * (1 + 1e-9):
        middle = 0.5 * (bad + good)
        if middle in (bad, good):
            break
        point = trial(middle)[0]
        good, bad, stops = (middle, bad, stops) if point.holds else (good, middle, point.stops)
    return Edge(float(good), False, stops, trial(float(good))[1])
