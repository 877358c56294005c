"""One load case made ready: line loads, relief, walls, and the classical loads of its wall."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from ..core.records import Check, Knockdown, Load, MarginRow, Worked
from ..engines import closed_form
from ..handbook import interaction, orthotropic, work
from ..model import Case, LoadCase, MaterialPoint, StiffenedWall
from ..model.material import ROOM_TEMPERATURE
from ..model.walls import RibFamily, SmearedWall, build_wall
from ..model.walls.build import tensile
from .membrane import Yield, yield_line_load

LEAST_LOAD = 1e-3
"""Forces [N] and moments [N m] below this are no load: a margin against them would be a number without meaning."""


LEAST_CAPACITY = 1e-6
"""[N/m]; what stands for a capacity of nothing, where pressure alone is beyond yield: the margin is then -1."""

SLENDER_BARREL = 10.0
"""L/R beyond which the axial force amplifies the bending moment (own threshold, part of the conventions)."""

MOST_AMPLIFIED = 1e6
"""What stands for the amplification where the factored force reaches the column load: no moment is carried there."""


@dataclass(frozen=True)
class Part:
    """What one step of the chain adds to a load case."""

    rows: tuple[MarginRow, ...] = ()
    checks: tuple[Check, ...] = ()
    loads: tuple[Load, ...] = ()
    knockdowns: tuple[Knockdown, ...] = ()
    elastic: tuple[tuple[str, float], ...] = ()
    """(mode, elastic line load before any factor) for the comparison of modes."""
    pressure_gain: float | None = None
    edge_bending: str = ""
    """Status of the nonlinear prebuckled load, empty where there was no general load to hold it against."""

    def __add__(self, other: Part) -> Part:
        return Part(
            self.rows + other.rows,
            self.checks + other.checks,
            self.loads + other.loads,
            self.knockdowns + other.knockdowns,
            self.elastic + other.elastic,
            self.pressure_gain if other.pressure_gain is None else other.pressure_gain,
            self.edge_bending or other.edge_bending,
        )


@dataclass(eq=False)
class Engines:
    """Walls and classical loads of a case, each worked out once."""

    case: Case
    edge_bending: bool = True
    """Whether the nonlinear prebuckled loads of eccentric walls are worked out."""
    _store: dict = field(default_factory=dict)

    def wall(self, temperature: float | None) -> SmearedWall:
        """Stability wall at a temperature."""
        return self.kept(("wall", temperature), lambda: build_wall(self.case, temperature))

    def strength_wall(self, temperature: float | None) -> SmearedWall:
        """Wall at minimum skin thickness and tension modulus."""
        return self.kept(
            ("strength", temperature),
            lambda: build_wall(
                self.case, temperature, thickness=self.case.barrel.skin_thickness_minimum, modulus=tensile
            ),
        )

    def panel(self, temperature: float | None) -> SmearedWall:
        """Stability wall without its rings."""
        return self.kept(("panel", temperature), lambda: self.wall(temperature).without("rings"))

    def lowest(self, wall: SmearedWall, length: float, theory: str, N_theta: float = 0.0) -> Load:
        """Lowest closed-form load, n = 1 left out."""
        R = self.case.barrel.middle_radius
        return self.kept(
            ("lowest", id(wall), length, theory, N_theta),
            lambda: closed_form.lowest(wall, R, length, N_theta=N_theta, theory=theory),
        )

    def kept(self, key: tuple, make: Callable[[], Any]) -> Any:
        """What was worked out under a key, or is now."""
        if key not in self._store:
            self._store[key] = make()
        return self._store[key]


@dataclass(frozen=True, eq=False)
class State:
    """A load case with its line loads and walls.

    `N_a`, `N_b` [N/m] limit line loads of axial force and bending (N_a below 0 is a tension), `relief` [N/m].
    """

    case: Case
    load: LoadCase
    engines: Engines

    @property
    def R(self) -> float:
        return self.case.barrel.middle_radius

    @property
    def L(self) -> float:
        return self.case.barrel.length

    @property
    def t(self) -> float | None:
        """Skin thickness of stability [m]."""
        return self.case.stability_thickness

    @property
    def temperature(self) -> float:
        return ROOM_TEMPERATURE if self.load.temperature is None else self.load.temperature

    @property
    def factor(self) -> float:
        """Factor of safety on buckling."""
        return self.load.factors.ultimate_factor

    @cached_property
    def P(self) -> float:
        """Axial force without pressure thrust [N]."""
        P = self.case.external_axial_force(self.load)
        return P if abs(P) >= LEAST_LOAD else 0.0

    @property
    def M(self) -> float:
        """Bending moment, positive [N m]."""
        M = abs(self.load.bending_moment)
        return M if M >= LEAST_LOAD else 0.0

    @property
    def p_max(self) -> float:
        """Maximum pressure [Pa]."""
        return self.load.p_max

    @cached_property
    def N_a(self) -> float:
        return interaction.axial_line_load(self.P, self.R)

    @cached_property
    def N_b(self) -> float:
        return self.bending_line_load(self.factor)

    def bending_line_load(self, factor: float) -> float:
        """Limit peak line load of bending, amplified on a long barrel by its factored axial force [N/m]."""
        return interaction.bending_line_load(self.M * self.amplification(factor), self.R)

    @cached_property
    def euler(self) -> float:
        """Column load of the pinned barrel [N]."""
        A = self.wall.A
        EI = orthotropic.tube_bending_stiffness(self.R, A[..., 0, 0], A[..., 1, 1], A[..., 0, 1])
        return orthotropic.column_load(EI, self.L)

    def amplification(self, factor: float) -> float:
        """What the moment of a barrel beyond L/R 10 grows by under its axial force times `factor`; 1 for others."""
        share = np.maximum(factor * self.P, 0.0) / self.euler
        within = np.where(share < 1, share, 0.0)
        grown = np.minimum(interaction.moment_amplification(within, 1.0), MOST_AMPLIFIED)
        found = np.where(self.L / self.R > SLENDER_BARREL, np.where(share < 1, grown, MOST_AMPLIFIED), 1.0)
        return found if found.shape else float(found)

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
    def relief_pressure(self) -> float:
        """Minimum pressure whose thrust relieves the wall [Pa]; 0 for open ends."""
        return self.load.p_min if self.case.barrel.closed else 0.0

    @property
    def relief(self) -> float:
        return self.relief_pressure * self.R / 2

    @property
    def idle(self) -> bool:
        """True where nothing is loaded."""
        return (self.P == 0) & (self.M == 0) & (self.p_max == 0) & (self.load.p_min == 0)

    @property
    def compressed(self) -> bool:
        """True when some fibre may be compressed once the factor is on."""
        return self.N_b > 0 or self.N_a > 0

    @cached_property
    def wall(self) -> SmearedWall:
        return self.engines.wall(self.temperature)

    @cached_property
    def point(self) -> MaterialPoint | None:
        """Properties of the skin at temperature."""
        return None if self.case.material is None else self.case.material.at(self.load.temperature)

    def rib_point(self, rib: RibFamily) -> MaterialPoint:
        """Properties of a rib family's metal at temperature."""
        own = getattr(self.case.wall, rib.name).material if isinstance(self.case.wall, StiffenedWall) else None
        return (own or self.case.material).at(self.load.temperature)

    def classical(self, wall: SmearedWall, length: float, label: str, N_theta: float = 0.0) -> tuple[Load, Load]:
        """Donnell and Sanders loads of a wall, named by `label`."""
        tail = "at minimum pressure" if N_theta else "without pressure"
        return tuple(
            replace(self.engines.lowest(wall, length, theory, N_theta), name=f"{label}, {theory}, {tail}")
            for theory in ("Donnell", "Sanders")
        )

    def yields(self, wall: SmearedWall) -> tuple[Yield, ...]:
        """Yield strengths of the rib families of a wall."""
        points = (self.rib_point(rib) for rib in wall.ribs)
        return tuple(Yield(point.compressive_yield, point.tension_yield) for point in points)

    @cached_property
    def pressures(self) -> dict[str, float]:
        """Pressures at which elastic limits and ribs are tried [Pa], by name."""
        low, high = self.load.p_min, self.p_max
        if low == high:
            return {"pressure" if low else "no pressure": low}
        return {"minimum pressure": low, "maximum pressure": high}

    def more_thrust(self, p: float) -> float:
        """What the thrust of closed ends at a pressure exceeds the relief at minimum pressure by [N/m]."""
        return (p - self.load.p_min) * self.R / 2 if self.case.barrel.closed else 0.0

    def yield_line_load(self, wall: SmearedWall, *, thrust: bool = True) -> float | None:
        """Axial line load at which skin or a rib first yields, at the worse of both pressures [N/m]; None without a
        metal.

        It is net of the relief p R/2 at minimum pressure, like every net capacity; the true stress has the hoop tension
        and, with `thrust`, the thrust of closed ends at its own pressure in it. See `membrane.yield_line_load`.
        """
        if wall.skin is None:
            return None
        skin, ribs = self.point.compressive_yield, self.yields(wall)
        loads = [
            yield_line_load(wall, p * self.R, skin, ribs) + (self.more_thrust(p) if thrust else 0.0)
            for p in self.pressures.values()
        ]
        least = np.minimum.reduce(np.broadcast_arrays(*loads))
        return least if least.shape else float(least)
