"""One load case made ready: line loads, relief, walls and pressures, of one design or of many."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from ..core.records import ComponentLoad, Worked
from ..handbook import interaction, orthotropic, torsion, work
from ..model import Case, LoadCase
from ..model.material import ROOM_TEMPERATURE
from ..model.walls import RibFamily, SmearedWall
from .components import AXIAL, BENDING, COMPONENTS, EXTERNAL, SHEAR, TORQUE
from .engines import Engines, Mask, Number
from .membrane import Yield

LEAST_LOAD = 1e-3
"""Forces [N] and moments [N m] below this are no load: a margin against them would be a number without meaning."""

LEAST_CAPACITY = 1e-6
"""[N/m]; stands for a capacity of nothing, where pressure alone is beyond yield: the margin is then -1."""

SLENDER_BARREL = 10.0
"""L/R beyond which the axial force amplifies the bending moment (own threshold, part of the conventions)."""

MOST_AMPLIFIED = 1e6
"""Stands for the amplification where the factored force reaches the column load: no moment is carried there."""


def number(x: Any) -> Number:
    """A number as numpy has it: a division by zero then gives infinity, for one design as for many."""
    found = np.asarray(x, dtype=float)
    return found if found.ndim else found[()]


@dataclass(frozen=True, eq=False)
class State:
    """A load case with its line loads and walls. Every number is a float, or (N,) for the designs of `engines`.

    `N_a`, `N_b` [N/m] limit line loads of axial force and bending (N_a below 0 is a tension), `relief` [N/m].
    """

    case: Case
    load: LoadCase
    engines: Engines
    kept: dict = field(default_factory=dict, repr=False)
    """What was worked out of its walls, by the wall's identity."""

    @property
    def R(self) -> Number:
        return self.case.barrel.middle_radius

    @property
    def L(self) -> Number:
        return self.case.barrel.length

    @property
    def t(self) -> Number | None:
        """Skin thickness of stability [m]."""
        return self.case.stability_thickness

    @property
    def temperature(self) -> Number:
        return ROOM_TEMPERATURE if self.load.temperature is None else self.load.temperature

    @property
    def factor(self) -> Number:
        """Factor of safety on buckling."""
        return self.load.factors.on_buckling

    @cached_property
    def P(self) -> Number:
        """Axial force without pressure thrust [N]."""
        P = number(self.case.external_axial_force(self.load))
        return np.where(np.abs(P) >= LEAST_LOAD, P, 0.0)[()]

    @cached_property
    def M(self) -> Number:
        """Bending moment, positive [N m]."""
        M = np.abs(number(self.load.bending_moment))
        return np.where(M >= LEAST_LOAD, M, 0.0)[()]

    @property
    def p_min(self) -> Number:
        """Minimum pressure [Pa]."""
        return self.load.p_min

    @cached_property
    def p_max(self) -> Number:
        """Maximum pressure [Pa]."""
        high = self.load.pressure_maximum
        return np.maximum(0.0 if high is None else high, self.p_min)

    @cached_property
    def N_a(self) -> Number:
        return interaction.axial_line_load(self.P, self.R)

    @cached_property
    def N_b(self) -> Number:
        return self.bending_line_load(self.factor)

    @cached_property
    def tension(self) -> Number:
        """Axial tension [N/m], 0 where the axial force compresses."""
        return np.maximum(-self.N_a, 0.0)

    @cached_property
    def compression(self) -> Number:
        """Limit line load at the peak fibre without the axial tension [N/m]."""
        return np.where(self.N_a < 0, self.N_b, self.N_a + self.N_b)[()]

    @cached_property
    def further(self) -> dict[str, Number]:
        """Limit values of what else the load case has: shear flows of torque and shear force [N/m], external pressure
        [Pa]."""
        T, V = (np.abs(number(x)) for x in (self.load.torque, self.load.shear_force))
        flows = {
            TORQUE: torsion.torque_flow(np.where(T >= LEAST_LOAD, T, 0.0)[()], self.R),
            SHEAR: torsion.shear_force_flow(np.where(V >= LEAST_LOAD, V, 0.0)[()], self.R),
        }
        every = flows | {EXTERNAL: number(self.load.external_pressure)}
        return {key: x for key, x in every.items() if np.any(x)}

    @property
    def demands(self) -> dict[str, Number]:
        """Limit values of all load components that scale, line loads at the peak fibre first."""
        return {AXIAL: self.N_a, BENDING: self.N_b, **self.further}

    @property
    def flow(self) -> Number:
        """Greatest shear flow of torque and shear force together [N/m]; where the bending is greatest there is less
        (own rule)."""
        return self.further.get(TORQUE, 0.0) + self.further.get(SHEAR, 0.0)

    @property
    def external(self) -> Number:
        """External pressure [Pa]."""
        return self.further.get(EXTERNAL, 0.0)

    @property
    def external_line_loads(self) -> tuple[Number, Number]:
        """Axial line load of closed ends and hoop line load of the limit external pressure, compression positive
        [N/m]."""
        hoop = self.external * self.R
        return (hoop / 2 if self.case.barrel.closed else 0.0), hoop

    @property
    def components(self) -> tuple[ComponentLoad, ...]:
        """The load components of a single design."""
        applied = {
            AXIAL: self.P,
            BENDING: self.load.bending_moment,
            TORQUE: self.load.torque,
            SHEAR: self.load.shear_force,
            EXTERNAL: self.external,
        }
        lines = self.demands | ({EXTERNAL: self.external_line_loads[1]} if EXTERNAL in self.further else {})
        return tuple(
            ComponentLoad(key, float(applied[key]), COMPONENTS[key].unit, float(N), COMPONENTS[key].acts)
            for key, N in lines.items()
        )

    def bending_line_load(self, factor: Number) -> Number:
        """Limit peak line load of bending, amplified on a long barrel by its factored axial force [N/m]."""
        return interaction.bending_line_load(self.M * self.amplification(factor), self.R)

    @cached_property
    def euler(self) -> Number:
        """Column load of the pinned barrel [N]."""
        return self.euler_of(self.wall)

    def euler_of(self, wall: SmearedWall) -> Number:
        """Column load of the pinned barrel with a wall [N]."""
        A = wall.A
        EI = orthotropic.tube_bending_stiffness(self.R, A[..., 0, 0], A[..., 1, 1], A[..., 0, 1])
        return orthotropic.column_load(EI, self.L)

    def amplification(self, factor: Number) -> Number:
        """What the moment of a barrel beyond L/R 10 grows by under its axial force times `factor`; 1 for others."""
        share = np.maximum(factor * self.P, 0.0) / self.euler
        within = np.where(share < 1, share, 0.0)
        grown = np.minimum(interaction.moment_amplification(within, 1.0), MOST_AMPLIFIED)
        return np.where(self.L / self.R > SLENDER_BARREL, np.where(share < 1, grown, MOST_AMPLIFIED), 1.0)[()]

    @cached_property
    def worked_loads(self) -> tuple[Worked, ...]:
        """Line loads of axial force and bending, and the amplification of the moment where there is one."""
        axial = work(interaction.axial_line_load, P=self.P, R=self.R)
        grown = self.amplification(self.factor)
        bending = work(interaction.bending_line_load, M=self.M * grown, R=self.R)
        if grown == 1.0 or not self.M or grown >= MOST_AMPLIFIED:
            return (axial, bending, *self._further_lines)
        secant = work(interaction.moment_amplification, P=self.factor * self.P, P_E=self.euler)
        return (axial, secant, bending, *self._further_lines)

    @property
    def _further_lines(self) -> tuple[Worked, ...]:
        lines = {
            TORQUE: lambda: work(torsion.torque_flow, T=abs(self.load.torque), R=self.R),
            SHEAR: lambda: work(torsion.shear_force_flow, V=abs(self.load.shear_force), R=self.R),
        }
        return tuple(lines[key]() for key in self.further if key in lines)

    @property
    def relief_pressure(self) -> Number:
        """Minimum pressure whose thrust relieves the wall [Pa]; 0 for open ends."""
        return self.p_min if self.case.barrel.closed else 0.0

    @property
    def relief(self) -> Number:
        return self.relief_pressure * self.R / 2

    @property
    def idle(self) -> Mask:
        """True where nothing is loaded."""
        nothing = (self.P == 0) & (self.M == 0) & (self.p_max == 0) & (self.p_min == 0)
        return nothing & ~self.mixed

    @cached_property
    def compressed(self) -> Mask:
        """True where some fibre may be compressed once the factor is on."""
        return (self.N_b > 0) | (self.N_a > 0)

    @property
    def mixed(self) -> Mask:
        """True where a shear flow or external pressure acts."""
        return np.asarray(sum((x > 0 for x in self.further.values()), start=np.False_), dtype=bool)[()]

    @cached_property
    def stressed(self) -> Mask:
        """True where something may buckle the wall: a compressed fibre, a shear flow or external pressure."""
        return self.compressed | self.mixed

    @cached_property
    def wall(self) -> SmearedWall:
        return self.engines.wall(self.temperature)

    @cached_property
    def point(self) -> Any:
        """Properties of the skin at temperature; None without a metal."""
        return None if self.case.material is None else self.case.material.at(self.load.temperature)

    def rib_point(self, rib: RibFamily) -> Any:
        """Properties of a rib family's metal at temperature."""
        return (rib.material or self.case.material).at(self.load.temperature)

    def yields(self, wall: SmearedWall) -> tuple[Yield, ...]:
        """Yield strengths of the rib families of a wall."""
        points = (self.rib_point(rib) for rib in wall.ribs)
        return tuple(Yield(point.compressive_yield, point.tension_yield) for point in points)

    @cached_property
    def pressures(self) -> dict[str, Number]:
        """Pressures at which elastic limits and ribs are tried [Pa], by name."""
        low, high = self.p_min, self.p_max
        if self.engines.single and low == high:
            return {"pressure" if low else "no pressure": low}
        return {"minimum pressure": low, "maximum pressure": high}

    def more_thrust(self, p: Number) -> Number:
        """What the thrust of closed ends at a pressure exceeds the relief at minimum pressure by [N/m]."""
        return (p - self.p_min) * self.R / 2 if self.case.barrel.closed else 0.0
