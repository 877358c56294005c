"""Axial load and bending together: the sum of their ratios, with pressure relief (total) and without (net)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..core.records import ComponentUse, Worked
from ..handbook import interaction, work
from .components import AXIAL, BENDING
from .engines import Number
from .state import LEAST_CAPACITY, State
from .yielding import first_yield


@dataclass(frozen=True, eq=False)
class Capacity:
    """Capacities of the load components alone [N/m]: with pressure relief, and net of it."""

    total: dict[str, Number]
    net: dict[str, Number]

    @classmethod
    def relieved(cls, state: State, net: dict[str, Number]) -> Capacity:
        """Net capacities with p R/2 on top; none below `LEAST_CAPACITY`, so that a ratio exists."""
        return cls({key: np.maximum(N + state.relief, LEAST_CAPACITY) for key, N in net.items()}, net)

    def limited(self, state: State, line_load: Number | None) -> Capacity:
        """None above a net line load, which closed ends exceed by p R/2."""
        if line_load is None:
            return self
        return Capacity(
            {key: np.minimum(N, line_load + state.relief) for key, N in self.total.items()},
            {key: np.minimum(N, line_load) for key, N in self.net.items()},
        )

    def left(self, state: State, nets: dict[str, Number]) -> Capacity:
        """What is left with these net loads; nothing where pressure alone is beyond yield."""
        limit = first_yield(state, state.wall)
        gone = np.False_ if limit is None else ~np.isfinite(limit.load)
        total = {key: np.maximum(N - self.net[key] + nets[key], LEAST_CAPACITY) for key, N in self.total.items()}
        return Capacity(
            {key: np.where(gone, LEAST_CAPACITY, N)[()] for key, N in total.items()},
            {key: np.where(gone, LEAST_CAPACITY - state.relief, N)[()] for key, N in nets.items()},
        )


@dataclass(frozen=True, eq=False)
class Interaction:
    """The load case's mix of components against capacities."""

    state: State
    capacity: Capacity

    @cached_property
    def margin(self) -> Number:
        """Multiplier at which the sum of the ratios is 1, over the factor of safety, less 1; for a compressed wall.

        An axial tension relieves bending unfactored and is held fixed.
        """
        s, total = self.state, self.capacity.total
        relieved = interaction.tension_relieved_margin(total[BENDING], s.tension, s.factor, s.N_b)
        mixed = interaction.interaction_margin(s.N_a, s.N_b, total[AXIAL], total[BENDING], s.factor)
        return np.where(s.N_a < 0, relieved, mixed)

    # --- of a single, compressed design

    def fields(self, knockdown: dict[str, float], worked: tuple[Worked, ...]) -> dict:
        """Fields of the row: capacity of the mix, net margin, what each component takes, the worked lines."""
        s, total, net = self.state, self.capacity.total, self.capacity.net
        N_a, N_b, f_s = float(s.N_a), float(s.N_b), s.factor
        tension = float(s.tension)
        if tension:
            steps = (work(interaction.tension_relieved_margin, b=total[BENDING], T=tension, f_s=f_s, N_b=N_b),)
            shown, own = total[BENDING], net[BENDING]
        else:
            mix = dict(N_a=N_a, N_b=N_b)
            whole = work(interaction.interaction_margin, **mix, a=total[AXIAL], b=total[BENDING], f_s=f_s)
            pair = work(interaction.pair_capacity, **mix, a=net[AXIAL], b=net[BENDING])
            shown = interaction.pair_capacity(N_a, N_b, total[AXIAL], total[BENDING])
            own, steps = pair.value, (whole, pair)
        compression, relief = float(s.compression), tension + float(s.relief)
        note, margin = "net tension", None
        if f_s * compression - relief > 0:
            line = work(interaction.net_margin, N_net=own, f_s=f_s, N=compression, relief=relief)
            note, margin, steps = "", line.value, (*steps, line)
        return dict(
            capacity=float(shown),
            net_margin=margin,
            net_note=note,
            components=self._uses(knockdown),
            worked=(*worked, *s.worked_loads, *steps),
        )

    def _uses(self, knockdown: dict[str, float]) -> tuple[ComponentUse, ...]:
        s, total = self.state, self.capacity.total
        held = {AXIAL: 0.0, BENDING: float(s.tension)}
        return tuple(
            ComponentUse(
                key,
                float(knockdown[key]),
                float(N),
                float(total[key]),
                float(s.factor * max(N, 0.0) / (total[key] + held[key])),
            )
            for key, N in ((AXIAL, s.N_a), (BENDING, s.N_b))
        )


def local_margin(state: State, elastic: Number) -> Number:
    """Margin of a skin field of this line load [N/m]: factor 1, relief of closed ends only."""
    relief = state.tension + state.relief
    return interaction.local_margin(elastic, relief, state.factor, state.compression)


def local_uses(state: State, capacity: float) -> tuple[ComponentUse, ...]:
    """What each component takes of a skin field's capacity, relief included [N/m], of a single design."""
    return tuple(
        ComponentUse(key, 1.0, float(N), capacity, float(state.factor * max(N, 0.0) / capacity))
        for key, N in ((AXIAL, state.N_a), (BENDING, state.N_b))
    )
