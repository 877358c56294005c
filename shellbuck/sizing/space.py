"""Design variables: what may be chosen, between which ends, and what scales when the wall is made heavier."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..model.shop import Variable

_STRIDES = (-5, -2, -1, 1, 2, 5)
"""Of counts tried next, in steps: judged together they cost little more than one, and a long way takes fewer rounds."""


@dataclass(frozen=True)
class Space:
    """All variables together; a design is a row of values in their order, counts as real numbers."""

    variables: tuple[Variable, ...]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(v.name for v in self.variables)

    @property
    def low(self) -> np.ndarray:
        return np.array([v.low for v in self.variables])

    @property
    def high(self) -> np.ndarray:
        return np.array([v.high for v in self.variables])

    @property
    def gauges(self) -> np.ndarray:
        """(V,) mask of what scales."""
        return np.array([v.gauge for v in self.variables])

    @property
    def wholes(self) -> np.ndarray:
        """(V,) mask of counts."""
        return np.array([v.whole for v in self.variables])

    def values(self, design: np.ndarray) -> dict[str, float]:
        """Name -> value."""
        return dict(zip(self.names, map(float, design), strict=True))

    def scaled(self, designs: np.ndarray, s: np.ndarray) -> np.ndarray:
        """Designs (N, V) with every gauge times exp(s) (N,), each held inside its range."""
        grown = designs * np.exp(np.where(self.gauges, s[:, None], 0.0))
        return np.clip(grown, self.low, self.high)

    def rounded(self, design: np.ndarray) -> Iterator[np.ndarray]:
        """The design with its counts on the whole numbers around it, every combination."""
        choices = [v.wholes_near(x) if v.whole else (x,) for v, x in zip(self.variables, design, strict=True)]
        for combination in itertools.product(*choices):
            yield np.array(combination)

    def neighbours(self, design: np.ndarray) -> Iterator[np.ndarray]:
        """The design with one count lower or higher by one step and by some more."""
        for i, v in enumerate(self.variables):
            if not v.whole:
                continue
            for step in _STRIDES:
                if v.low <= design[i] + step * v.step <= v.high:
                    moved = design.copy()
                    moved[i] += step * v.step
                    yield moved
