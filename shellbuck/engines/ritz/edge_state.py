"""The axisymmetric state of a barrel under one axial load and one pressure, along the whole axis with its ends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from ..eigen import lowest_banded
from ..problem import BucklingProblem
from .barrel import RitzBarrel, long_barrel_load
from .prebuckling import Bent, Prebuckling

__all__ = ["Bent", "EdgeStates"]


@dataclass(frozen=True, eq=False)
class EdgeStates:
    """States of one barrel with its edges, springs, rings and load height; pressure and growing load of the problem do
    not count."""

    problem: BucklingProblem

    @cached_property
    def barrel(self) -> RitzBarrel:
        """The barrel in the engine's resolution."""
        return RitzBarrel.of(self.problem)

    @cached_property
    def most(self) -> float:
        """Axial compression at which the barrel loses its axisymmetric state: lowest n = 0 load of the path's problem
        [N/m]; the deflection is known below it only."""
        K, G, _, _ = Prebuckling(self.barrel).lower_bands
        return float(lowest_banded(K, G, long_barrel_load(self.barrel))[0])

    def at(self, compression: float, pressure: float) -> Bent | None:
        """Deflection along the axis at an axial compression [N/m], negative in tension, and an internal pressure [Pa];
        None from `most` on."""
        if compression >= self.most:
            return None
        return Prebuckling(self.barrel, pressure, self.problem.load_height).bent(compression)
