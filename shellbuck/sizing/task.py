"""The task of the optimiser: designs in, mass and constraints out, without physics."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from .space import Space

FREE = 50.0
"""Constraint value of a row that nothing loads."""

BARRED = -1.0
"""Constraint value that stands for a design with no margin at all (refused)."""


@dataclass(frozen=True)
class Evaluated:
    """N designs.

    Parameters
    ----------
    constraints : numpy.ndarray
        (N, K), each 0 or more where it holds; for a margin log((1 + MS)/(1 + required)), which is close to linear in
        the logarithms of the dimensions.
    refused : numpy.ndarray
        (N,) bool: some row has no margin, and no constraint says how far that is from mending.
    levels : numpy.ndarray
        (N, S) quantities at whose thresholds a rule changes; none of them for most walls.
    """

    constraints: np.ndarray
    refused: np.ndarray
    levels: np.ndarray

    @property
    def worst(self) -> np.ndarray:
        """(N,) smallest constraint; refused designs are BARRED at best."""
        least = self.constraints.min(axis=1)
        return np.where(self.refused, np.minimum(least, BARRED), least)

    def part(self, first: int, last: int) -> Evaluated:
        """Designs `first` to before `last`."""
        return Evaluated(self.constraints[first:last], self.refused[first:last], self.levels[first:last])


@dataclass
class Task:
    """A minimisation of mass.

    Parameters
    ----------
    space : Space
    mass : callable
        Designs (N, V) -> mass per area (N,) [kg/m^2]; cheap and smooth, rising with every gauge.
    constrain : callable
        Designs (N, V) -> Evaluated.
    labels : tuple of str
        Names of the K constraints.
    thresholds : tuple of tuple of float
        For each level, where the rules that hang on it change.
    rules : int
        How many of the last constraints are rules of the shop.
    """

    space: Space
    mass: Callable[[np.ndarray], np.ndarray]
    constrain: Callable[[np.ndarray], Evaluated]
    labels: tuple[str, ...]
    thresholds: tuple[tuple[float, ...], ...] = ()
    rules: int = 0
    evaluations: int = field(default=0, init=False)

    def evaluate(self, designs: np.ndarray) -> Evaluated:
        """Constraints of designs (N, V)."""
        designs = np.atleast_2d(designs)
        self.evaluations += designs.shape[0]
        return self.constrain(designs)

    def side(self, levels: np.ndarray) -> np.ndarray:
        """Between which of its thresholds each level (..., S) lies: whole numbers of the same shape."""
        own = [np.searchsorted(np.array(own), levels[..., s], side="right") for s, own in enumerate(self.thresholds)]
        return np.stack(own, axis=-1) if own else np.zeros(levels.shape, dtype=int)

    def borders(self, s: int) -> np.ndarray:
        """Logarithms of the thresholds of level s, with an end far below and far above."""
        return np.log(np.array([1e-300, *self.thresholds[s], 1e300]))
