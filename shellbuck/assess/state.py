"""One load case made ready: line loads, relief, walls, and the classical loads of its wall."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from .. import closed_form
from ..handbook import interaction, work
from ..handbook.strength import von_mises_stress
from ..model import Case, LoadCase, MaterialPoint, StiffenedWall
from ..model.material import ROOM_TEMPERATURE
from ..records import Check, Knockdown, Load, MarginRow, Worked
from ..walls import RibFamily, SmearedWall, build_wall
from ..walls.build import tensile
from ..walls.stiffness import plane_stress_stiffness

LEAST_LOAD = 1e-3
"""Forces [N] and moments [N m] below this are no load: a margin against them would be a number without meaning."""


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
            self.rows + other.rows, self.checks + other.checks, self.loads + other.loads,
            self.knockdowns + other.knockdowns, self.elastic + other.elastic,
            self.pressure_gain if other.pressure_gain is None else other.pressure_gain,
            self.edge_bending or other.edge_bending,
        )  # fmt: skip


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
        return self.kept(("strength", temperature), lambda: build_wall(
            self.case, temperature, thickness=self.case.barrel.skin_thickness_minimum, modulus=tensile
        ))  # fmt: skip

    def panel(self, temperature: float | None) -> SmearedWall:
        """Stability wall without its rings."""
        return self.kept(("panel", temperature), lambda: self.wall(temperature).without("rings"))

    def lowest(self, wall: SmearedWall, length: float, theory: str, N_theta: float = 0.0) -> Load:
        """Lowest closed-form load, n = 1 left out."""
        R = self.case.barrel.middle_radius
        return self.kept(("lowest", id(wall), length, theory, N_theta), lambda: closed_form.lowest(
            wall, R, length, N_theta=N_theta, theory=theory
        ))  # fmt: skip

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

    @cached_property
    def worked_axial(self) -> Worked:
        return work(interaction.axial_line_load, P=self.P, R=self.R)

    @cached_property
    def worked_bending(self) -> Worked:
        return work(interaction.bending_line_load, M=self.M, R=self.R)

    @property
    def N_a(self) -> float:
        return self.worked_axial.value

    @property
    def N_b(self) -> float:
        return self.worked_bending.value

    @property
    def relief_pressure(self) -> float:
        """Minimum pressure whose thrust relieves the wall [Pa]; 0 for open ends."""
        return self.load.p_min if self.case.barrel.closed else 0.0

    @property
    def relief(self) -> float:
        return self.relief_pressure * self.R / 2

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

    def yield_line_load(self, wall: SmearedWall) -> float | None:
        """Axial line load at which skin or a rib reaches its compressive yield [N/m]; None without a metal.

        Membrane strains A^-1 N under axial load alone; von Mises in the skin, direct stress in ribs.
        """
        if wall.skin is None:
            return None
        skin_stress, rib_stress = membrane_stresses(wall, np.array([-1.0, 0.0, 0.0]))
        use = [float(von_mises_stress(*skin_stress)) / self.point.compressive_yield]
        use += [
            abs(s) / self.rib_point(rib).compressive_yield for rib, s in zip(wall.ribs, rib_stress, strict=True)
        ]
        return 1 / max(use)


def membrane_stresses(wall: SmearedWall, N: np.ndarray) -> tuple[np.ndarray, list[np.ndarray]]:
    """Skin stresses (..., 3) and rib stresses (...) [Pa] of line loads N (x, theta, x-theta) (..., 3) [N/m], curvature
    left out."""
    strain = np.linalg.solve(wall.A, N[..., None])
    plane = plane_stress_stiffness(wall.skin.E, wall.skin.nu)
    return (plane @ strain)[..., 0], [rib.E * (strain[..., 0] @ rib.direction) for rib in wall.ribs]
