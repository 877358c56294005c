"""The points of a study: every combination, a list, or samples, each numbered from 0 and the same every time."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from scipy import special
from scipy.stats import qmc

from ..io.language.study_plan import SAMPLED, Spread, StudyPlan, Variation


@dataclass(frozen=True, eq=False)
class Design:
    """Points of a plan; a point is computed on demand, so a large grid needs no memory."""

    plan: StudyPlan

    @cached_property
    def _unit(self) -> np.ndarray | None:
        """Samples in the unit cube, (points, inputs); None where values are listed."""
        plan = self.plan
        if plan.method not in SAMPLED:
            return None
        inputs, rng = len(plan.vary), np.random.default_rng(plan.seed)
        if plan.method == "random":
            return rng.random((plan.count, inputs))
        if plan.method == "latin hypercube":
            return _sampled(qmc.LatinHypercube, inputs, rng, plan.count)
        if plan.method == "sobol":
            return _sampled(qmc.Sobol, inputs, rng, plan.count)
        both = _sampled(qmc.Sobol, 2 * inputs, rng, plan.count)
        return saltelli_points(both[:, :inputs], both[:, inputs:])

    def __len__(self) -> int:
        if self._unit is not None:
            return len(self._unit)
        sizes = [len(v.values) for v in self.plan.vary]
        return math.prod(sizes) if self.plan.method == "grid" else sizes[0]

    @property
    def shape(self) -> tuple[int, ...]:
        """Values of every input of a grid, the last input running fastest; one number for other methods."""
        if self.plan.method == "grid":
            return tuple(len(v.values) for v in self.plan.vary)
        return (len(self),)

    def values(self, number: int) -> tuple[Any, ...]:
        """Values of the varied inputs at a point, in SI."""
        vary = self.plan.vary
        if self._unit is not None:
            return tuple(value_at(v, float(u)) for v, u in zip(vary, self._unit[number], strict=True))
        if self.plan.method == "grid":
            at = np.unravel_index(number, self.shape)
            return tuple(v.values[int(i)] for v, i in zip(vary, at, strict=True))
        return tuple(v.values[number] for v in vary)

    def changes(self, number: int) -> Mapping[tuple, Any]:
        """Path -> value of everything that a point changes in the base case."""
        found: dict[tuple, Any] = {}
        for variation, value in zip(self.plan.vary, self.values(number), strict=True):
            found.update(variation.changes(value))
        return found


def _sampled(kind: type, inputs: int, rng: np.random.Generator, count: int) -> np.ndarray:
    try:
        sampler = kind(inputs, rng=rng)
    except TypeError:  # scipy before 1.15 calls it seed
        sampler = kind(inputs, seed=rng)
    return sampler.random(count)


def saltelli_points(A: np.ndarray, B: np.ndarray) -> np.ndarray:
    """Points for sensitivity shares: A, B, then A with its i-th column out of B, for every i.

    Parameters
    ----------
    A, B : array, (N, d)
        Independent samples.

    Returns
    -------
    array, (N (d + 2), d)

    Notes
    -----
    Saltelli et al., Computer Physics Communications 181 (2010) 259, section 4.
    """
    mixed = []
    for i in range(A.shape[1]):
        page = A.copy()
        page[:, i] = B[:, i]
        mixed.append(page)
    return np.concatenate([A, B, *mixed])


def value_at(variation: Variation, u: float) -> Any:
    """Value of an input at the probability u in [0, 1)."""
    if variation.spread is None:
        return variation.values[min(int(u * len(variation.values)), len(variation.values) - 1)]
    value = quantile(variation.spread, u)
    whole = not variation.factor and variation.places[0].kind == "whole"
    return round(value) if whole else value


def quantile(spread: Spread, u: float) -> float:
    """Inverse of a spread's distribution function at u in [0, 1).

    A log-normal spread has the given mean m and standard deviation s of the value itself: its logarithm has
    variance ln(1 + s^2/m^2) and mean ln m less half of that.
    """
    low, high = spread.low, spread.high
    if not spread.normal:
        if spread.log:
            return float(low ** (1 - u) * high**u)
        return float(low + u * (high - low))
    mean, deviation = spread.mean, spread.deviation
    if spread.log:
        variance = math.log1p((deviation / mean) ** 2)
        mean, deviation = math.log(mean) - variance / 2, math.sqrt(variance)
        low, high = (math.log(x) if x > 0 else -math.inf for x in (low, high))
    a, b = (low - mean) / deviation, (high - mean) / deviation
    value = mean + deviation * _cut_normal(u, a, b)
    return math.exp(value) if spread.log else value


def _cut_normal(u: float, a: float, b: float) -> float:
    """Quantile of the standard normal cut off at a and b; in the tail where probabilities are small numbers."""
    if a > 0:
        return -_cut_normal(1 - u, -b, -a)
    low, high = special.ndtr(a), special.ndtr(b)
    # u = 0 is the cut-off itself, which an uncut spread does not have
    p = low + max(u, 2.0**-60) * (high - low)
    return min(max(float(special.ndtri(p)), a), b)
