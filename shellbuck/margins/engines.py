"""Walls and classical loads of a case, each worked out once: of one design, or of many."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

import numpy as np

from ..core.records import Load
from ..engines import closed_form
from ..engines.closed_form import Terms, lowest_loads, provable
from ..model import Case, LoadCase
from ..model.walls import SmearedWall, build_wall
from ..model.walls.build import tensile

Number = float | np.ndarray
"""A number of one design, or (N,) of many."""
Mask = bool | np.ndarray


class Classical(NamedTuple):
    """Lowest closed-form loads [N/m], n = 1 left out: the lower of both theories, Sanders' own, and of a single design
    the records of Donnell's and Sanders' load."""

    lower: Number
    sanders: Number
    pair: tuple[Load, ...] = ()


Alone = tuple[Number, Callable[[str], Load] | None]
"""Load of a component alone, and of a single design its record under a name."""


@dataclass(eq=False)
class Engines:
    """Walls and classical loads.

    `size` is the number of designs whose fields the case holds as arrays; None for a single design, the only one that
    has records and words. `edge_bending` False leaves out the nonlinear prebuckled loads of eccentric walls.
    `failures` are (code, mask) of searches of many designs that could not be proved. Where the N "designs" are load
    cases of one design, `loads` are these and `alone` its own engines, which work out once what they share.
    """

    case: Case
    edge_bending: bool = True
    size: int | None = None
    alone: Engines | None = None
    loads: tuple[LoadCase, ...] = ()
    failures: list[tuple[str, np.ndarray]] = field(default_factory=list)
    _store: dict = field(default_factory=dict)

    @property
    def single(self) -> bool:
        """True for one design."""
        return self.size is None

    def wall(self, temperature: Any) -> SmearedWall:
        """Stability wall at a temperature."""
        if self.alone is not None and not np.ndim(temperature):
            return self.alone.wall(temperature)
        return self.kept(("wall", temperature), lambda: build_wall(self.case, temperature))

    def strength_wall(self, temperature: Any) -> SmearedWall:
        """Wall at minimum skin thickness and tension modulus."""

        def make() -> SmearedWall:
            t = self.case.barrel.skin_thickness_minimum
            return build_wall(self.case, temperature, thickness=t, modulus=tensile)

        if self.alone is not None and not np.ndim(temperature):
            return self.alone.strength_wall(temperature)
        return self.kept(("strength", temperature), make)

    def panel(self, temperature: Any) -> SmearedWall:
        """Stability wall without its rings."""
        if self.alone is not None and not np.ndim(temperature):
            return self.alone.panel(temperature)
        return self.kept(("panel", temperature), lambda: self.wall(temperature).without("rings"))

    def lowest(
        self,
        wall: SmearedWall,
        length: Number,
        label: str,
        N_theta: Number = 0.0,
        *,
        exists: Mask = True,
        wanted: Mask = True,
    ) -> Classical:
        """Lowest closed-form loads.

        Parameters
        ----------
        wall : SmearedWall
        length : float or numpy.ndarray
            Of barrel or bay [m].
        label : str
            Names the records of a single design.
        N_theta : float or numpy.ndarray
            Fixed hoop tension [N/m].
        exists : bool or numpy.ndarray
            Where a run works the loads out; nan elsewhere.
        wanted : bool or numpy.ndarray
            Where a margin rests on them. Of many designs the others need only the proof that they can be found: a run
            stops at a search that fails, whether or not its load decides a margin.
        """
        if self.single:
            if not exists:
                return Classical(np.nan, np.nan)
            pair = self._pair(wall, length, label, N_theta)
            return Classical(*(np.float64(x) for x in (min(ld.line_load for ld in pair), pair[1].line_load)), pair)
        return self._many(wall, length, N_theta, exists, wanted)

    def external_pressure(self, wall: SmearedWall, length: Number, *, hydrostatic: bool) -> Alone:
        """Lowest external pressure of the determinant [Pa], modes of few waves reduced."""
        if self.alone is not None and wall.A.ndim == 2:
            return self.alone.external_pressure(wall, length, hydrostatic=hydrostatic)[0], None
        lowest, named = self._alone(
            ("external", id(wall)),
            length,
            lambda R: closed_form.external_pressure(wall, R, length, hydrostatic=hydrostatic, reduced=True),
            lambda terms, R, L: closed_form.external_pressures(terms, R, L, hydrostatic=hydrostatic).pressure,
            wall,
        )
        return (lowest / self.case.barrel.middle_radius if self.single else lowest), named

    def torsion(self, wall: SmearedWall, length: Number) -> Alone:
        """Lowest shear flow in torsion [N/m], modes of few waves reduced."""
        if self.alone is not None and wall.A.ndim == 2:
            return self.alone.torsion(wall, length)[0], None
        return self._alone(
            ("torsion", id(wall)),
            length,
            lambda R: closed_form.torsion(wall, R, length, reduced=True),
            closed_form.torsions,
            wall,
        )

    def _alone(
        self,
        key: tuple,
        length: Number,
        one: Callable[[float], Load],
        many: Callable[[Terms, np.ndarray, np.ndarray], np.ndarray],
        wall: SmearedWall,
    ) -> Alone:
        if self.single:
            load = self.kept((*key, length), lambda: one(self.case.barrel.middle_radius))
            return np.float64(load.line_load), lambda name: replace(load, name=name)
        terms, R = self.kept(("terms", id(wall)), lambda: self._terms(wall))
        return self.kept(key, lambda: many(terms, R, self._flat(length))), None

    def _pair(self, wall: SmearedWall, length: float, label: str, N_theta: float) -> tuple[Load, ...]:
        tail = "at minimum pressure" if N_theta else "without pressure"
        R = self.case.barrel.middle_radius

        def found(theory: str) -> Load:
            if self.case.wall.coupled and not wall.orthotropic:
                return _ritz(wall, R, length, N_theta, theory)
            return closed_form.lowest(wall, R, length, N_theta=N_theta, theory=theory)

        def make(theory: str) -> Load:
            return self.kept(("lowest", id(wall), length, theory, N_theta), lambda: found(theory))

        return tuple(replace(make(theory), name=f"{label}, {theory}, {tail}") for theory in ("Donnell", "Sanders"))

    def _many(self, wall: SmearedWall, length: Number, N_theta: Number, exists: Mask, wanted: Mask) -> Classical:
        if self.alone is not None and wall.A.ndim == 2 and not np.any(N_theta):  # the same for every load case
            one = self.alone.lowest(wall, length, "", exists=bool(np.any(exists)))
            shared = (np.where(np.broadcast_to(exists, (self.size,)), load, np.nan) for load in one[:2])
            return Classical(*shared)
        terms, R = self.kept(("terms", id(wall)), lambda: self._terms(wall))
        length, N_theta = self._flat(length), self._flat(N_theta)
        exists = np.broadcast_to(exists, (self.size,))
        wanted = np.broadcast_to(wanted, (self.size,)) & exists
        blank = (np.zeros(self.size, dtype=bool), np.full((2, self.size), np.nan))
        # one wall is searched over one length; loads under pressure belong to one load case only
        done, loads = blank if np.any(N_theta) else self.kept(("lowest", id(wall)), lambda: blank)
        searched = wanted & ~done
        left = exists & ~wanted & ~done
        if left.any():
            searched |= left & ~provable(terms, R, length, N_theta)
        at = np.nonzero(searched)[0]
        if at.size:
            found = lowest_loads(Terms(*(x[at] for x in terms)), R[at], length[at], N_theta[at])
            done[at], loads[0, at], loads[1, at] = True, found.lower, found.sanders.line_load
            for code in set(found.reasons) - {""}:
                mask = np.zeros(self.size, dtype=bool)
                mask[at] = found.reasons == code
                self.failures.append((code, mask))
        return Classical(*np.where(wanted, loads, np.nan))

    def _terms(self, wall: SmearedWall) -> tuple[Terms, np.ndarray]:
        """Terms of a wall, and the middle radius (N,) [m]."""
        shape = (self.size, 3, 3)
        terms = Terms.of(*(np.broadcast_to(M, shape) for M in (wall.A, wall.B, wall.D)))
        return terms, self._flat(self.case.barrel.middle_radius)

    def _flat(self, number: Any) -> np.ndarray:
        """A number of every design (N,)."""
        return np.ascontiguousarray(np.broadcast_to(np.asarray(number, float), (self.size,)))

    def kept(self, key: tuple, make: Callable[[], Any]) -> Any:
        """What was worked out under a key, or is now; arrays in a key are known by identity."""
        key = tuple(id(k) if isinstance(k, np.ndarray) else k for k in key)
        if key not in self._store:
            self._store[key] = make()
        return self._store[key]


def _ritz(wall: SmearedWall, R: float, length: float, N_theta: float, theory: str) -> Load:
    """The same load of a wall whose shear is coupled with stretching or bending, which the closed form cannot give:
    simply supported, membrane prestress, n = 1 left out."""
    from ..engines.problem import BucklingProblem, Effort  # the engine loads only where it is needed
    from ..engines.registry import engine

    problem = BucklingProblem(wall, R, length, pressure=N_theta / R, theory=theory, tilt=False, effort=Effort(modes=1))
    return engine("Ritz").ready(problem)().load
