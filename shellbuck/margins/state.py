"""One load case made ready: line loads, relief, walls and pressures, of one design or of many."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from ..core.records import ComponentLoad, Worked
from ..handbook import interaction, orthotropic, work
from ..model import Case, LoadCase
from ..model.material import ROOM_TEMPERATURE
from ..model.walls import RibFamily, SmearedWall
from .components import AXIAL, BENDING, COMPONENTS
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
        return self.load.factors.ultimate_factor

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

    @property
    def components(self) -> tuple[ComponentLoad, ...]:
        """The load components of a single design."""
        loads = ((AXIAL, self.P, self.N_a), (BENDING, self.load.bending_moment, self.N_b))
        return tuple(ComponentLoad(key, float(applied), COMPONENTS[key].unit, float(N)) for key, applied, N in loads)

    def bending_line_load(self, factor: Number) -> Number:
        """Limit peak line load of bending, amplified on a long barrel by its factored axial force [N/m]."""
        return interaction.bending_line_load(self.M * self.amplification(factor), self.R)

    @cached_property
    def euler(self) -> Number:
        """Column load of the pinned barrel [N]."""
        A = self.wall.A
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
            return axial, bending
        secant = work(interaction.moment_amplification, P=self.factor * self.P, P_E=self.euler)
        return axial, secant, bending

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
        return (self.P == 0) & (self.M == 0) & (self.p_max == 0) & (self.p_min == 0)

    @cached_property
    def compressed(self) -> Mask:
        """True where some fibre may be compressed once the factor is on."""
        return (self.N_b > 0) | (self.N_a > 0)

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
