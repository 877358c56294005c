"""First yield of a wall as an axial line load: where the elastic range of a stability row ends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..core.records import Worked
from ..handbook import interaction, strength, work
from ..model.walls import SmearedWall
from .engines import Number
from .membrane import rib_yields, skin_yield
from .state import State

CUT_NOTE = "limited to compressive yield"
LIMIT = "compressive yield"
"""What sets the capacity of a row whose elastic load lies above it."""


@dataclass(frozen=True, eq=False)
class _Part:
    """First yield of skin or a rib at one pressure, thrust not counted [N/m]."""

    where: str
    pressure: Number
    formula: Callable
    terms: dict[str, Number]
    load: Number


@dataclass(frozen=True, eq=False)
class FirstYield:
    """The least of the parts' first yields, with or without the thrust of closed ends at their own pressure.

    `load` [N/m]: compression positive, net of the relief at minimum pressure, like every net capacity.
    """

    state: State
    parts: tuple[_Part, ...]
    thrust: bool

    def _of(self, part: _Part) -> Number:
        return part.load + (self.state.more_thrust(part.pressure) if self.thrust else 0.0)

    @property
    def load(self) -> Number:
        loads = [self._of(part) for part in self.parts]
        return np.minimum.reduce(np.broadcast_arrays(*loads))[()]

    # --- of a single design

    @property
    def _least(self) -> _Part:
        return min(self.parts, key=lambda part: float(self._of(part)))

    @property
    def where(self) -> str:
        """Which part of the wall yields first, and at which pressure."""
        return self._least.where

    @property
    def worked(self) -> tuple[Worked, ...]:
        """The formula with its numbers, the thrust included; nothing where pressure alone is beyond yield."""
        least, s = self._least, self.state
        if not np.isfinite(self.load):
            return ()
        line = work(least.formula, **least.terms)
        if not self.thrust or not least.pressure or not s.case.barrel.closed:
            return (line,)
        return line, work(interaction.relieved_line_load, N_net=line.value, p=least.pressure, R=s.R)


def first_yield(state: State, wall: SmearedWall, *, thrust: bool = True) -> FirstYield | None:
    """First yield under axial compression with the hoop tension and, with `thrust`, the thrust of either pressure, von
    Mises in the skin; None without a metal."""
    if wall.skin is None:
        return None
    key = ("yield", id(wall))
    if key not in state.kept:
        state.kept[key] = _parts(state, wall)
    return FirstYield(state, state.kept[key], thrust)


def _parts(state: State, wall: SmearedWall) -> tuple[_Part, ...]:
    found = []
    for name, p in state.pressures.items():
        N_theta = p * state.R
        skin = skin_yield(wall, N_theta, state.point.compressive_yield)
        found.append(_Part(f"skin, {name}", p, strength.skin_yield_line_load, skin.terms, skin.load))
        for rib, terms, load in rib_yields(wall, N_theta, state.yields(wall)):
            found.append(_Part(f"{rib.name}, {name}", p, strength.rib_yield_line_load, terms, load))
    return tuple(found)
