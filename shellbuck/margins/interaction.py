"""Load components together: the sum of their ratios, with pressure relief (total) and without (net)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, reduce
from operator import add

import numpy as np

from ..core.records import ComponentUse, Worked
from ..handbook import interaction, work
from .components import ALONG, BENDING, COMPONENTS
from .engines import Number
from .state import LEAST_CAPACITY, State
from .yielding import first_yield

_QUANTITIES = {"along": "line load", "shear": "shear flow", "pressure": "pressure"}


@dataclass(frozen=True, eq=False)
class Capacity:
    """Capacities of the load components alone, in the unit of their demands: with pressure relief, and net of it."""

    total: dict[str, Number]
    net: dict[str, Number]

    @classmethod
    def relieved(cls, state: State, net: Mapping[str, Number]) -> Capacity:
        """Net line loads with p R/2 on top; none below `LEAST_CAPACITY`, so that a ratio exists."""
        return cls({key: np.maximum(N + state.relief, LEAST_CAPACITY) for key, N in net.items()}, dict(net))

    def limited(self, state: State, line_load: Number | None) -> Capacity:
        """None above a net line load, which closed ends exceed by p R/2."""
        if line_load is None:
            return self
        return Capacity(
            {key: np.minimum(N, line_load + state.relief) for key, N in self.total.items()},
            {key: np.minimum(N, line_load) for key, N in self.net.items()},
        )

    def left(self, state: State, nets: Mapping[str, Number]) -> Capacity:
        """What is left with these net loads; nothing where pressure alone is beyond yield."""
        limit = first_yield(state, state.wall)
        gone = np.False_ if limit is None else ~np.isfinite(limit.load)
        total = {key: np.maximum(N - self.net[key] + nets[key], LEAST_CAPACITY) for key, N in self.total.items()}
        return Capacity(
            {key: np.where(gone, LEAST_CAPACITY, N)[()] for key, N in total.items()},
            {key: np.where(gone, LEAST_CAPACITY - state.relief, N)[()] for key, N in nets.items()},
        )

    def beside(self, capacities: Mapping[str, Number]) -> Capacity:
        """With capacities that pressure does not relieve."""
        return Capacity({**self.total, **capacities}, {**self.net, **capacities})


@dataclass(frozen=True, eq=False)
class Interaction:
    """The load case's mix of components against capacities.

    An axial tension relieves bending unfactored and is held fixed; it relieves nothing else.
    """

    state: State
    capacity: Capacity

    @cached_property
    def ratios(self) -> dict[str, Number]:
        """Share of its capacity that the limit value of each component takes."""
        held, total = {BENDING: self.state.tension}, self.capacity.total
        return {
            key: np.maximum(demand, 0.0) / (total[key] + held.get(key, 0.0))
            for key, demand in self.state.demands.items()
        }

    @cached_property
    def margin(self) -> Number:
        """Multiplier at which the sum of the ratios is 1, over the factor of safety, less 1; for a loaded wall."""
        return interaction.interaction_margin(reduce(add, self.ratios.values()), self.state.factor)

    # --- of a single design, where something is loaded

    def fields(self, knockdown: Mapping[str, float], worked: tuple[Worked, ...], *, net: bool = True) -> dict:
        """Fields of the row: capacity of the mix, net margin where it is wanted, what each component takes, the worked
        lines."""
        s, f_s = self.state, self.state.factor
        tension, relief = float(s.tension), float(s.tension + s.relief)
        steps, share = self._lines(self.capacity.total)
        whole = work(interaction.interaction_margin, r=share, f_s=f_s)
        lines = [*worked, *s.worked_loads, *steps, whole]
        key = next(key for key, demand in s.demands.items() if demand > 0)
        if key not in ALONG:
            demand = float(s.demands[key])
            quantity = _QUANTITIES[COMPONENTS[key].acts]
            mixed = (
                work(interaction.mixed_pressure, p_L=demand, r=share)
                if quantity == "pressure"
                else work(interaction.mixed_capacity, N_L=demand, r=share)
            )
            parts = dict(quantity=quantity, demand=demand, capacity=mixed.value)
            return parts | dict(components=self._uses(knockdown), worked=(*lines, mixed))
        compression = float(s.compression)
        note, margin = "net tension" if net else "", None
        if net and f_s * compression - relief > 0:
            steps, net_share = self._lines({key: self.capacity.net[key] for key in ALONG})
            mixed = work(interaction.mixed_capacity, N_L=compression, r=net_share)
            terms = dict(N_net=mixed.value - tension, f_s=f_s, N=compression, relief=relief)
            # pressure relieves the line loads alone: the ratios of other components stay whole
            others = float(sum(self.ratios[key] for key in s.further))
            line = (
                work(interaction.net_mixed_margin, **terms, r=others)
                if others and terms["N_net"] > 0
                else work(interaction.net_margin, **terms)
            )
            note, margin = "", line.value
            lines += (*(steps if s.relief else ()), mixed, line)
        return dict(
            capacity=compression / share - tension,
            net_margin=margin,
            net_note=note,
            components=self._uses(knockdown),
            worked=tuple(lines),
        )

    def _lines(self, capacities: Mapping[str, Number]) -> tuple[list[Worked], float]:
        """The ratio of every component of these capacities that loads the row, and their sum."""
        s, lines, share = self.state, [], 0.0
        for key, demand in s.demands.items():
            if demand > 0 and key in capacities:
                allowed = float(capacities[key])
                if key == BENDING and s.tension:
                    lines.append(work(interaction.tension_relieved_capacity, b=allowed, T=s.tension))
                    allowed = lines[-1].value
                lines.append(
                    work(interaction.pressure_ratio, p=demand, c=allowed)
                    if COMPONENTS[key].acts == "pressure"
                    else work(interaction.load_ratio, N=demand, c=allowed)
                )
                share += lines[-1].value
        return lines, share

    def _uses(self, knockdown: Mapping[str, float]) -> tuple[ComponentUse, ...]:
        s, total = self.state, self.capacity.total
        return tuple(
            ComponentUse(
                key, float(knockdown[key]), float(demand), float(total[key]), float(s.factor * self.ratios[key])
            )
            for key, demand in s.demands.items()
        )


def along(capacity: Number) -> dict[str, Number]:
    """One capacity for every line load along the axis."""
    return dict.fromkeys(ALONG, capacity)
