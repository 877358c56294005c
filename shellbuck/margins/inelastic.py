"""Capacities above the elastic range: what plasticity and first yield leave of elastic net loads, by load component."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from ..core.records import Check, Worked
from ..handbook import plain, plasticity, work
from ..model.walls import SmearedWall
from .engines import Number
from .plasticity import (
    COLUMN,
    SUPPORTED_PLATE,
    Element,
    Field,
    Plastic,
    Rule,
    case_elements,
    cylinder,
    plastic_line_load,
)
from .state import LEAST_CAPACITY, State
from .yielding import CUT_NOTE, LIMIT, FirstYield, first_yield

PLASTIC = "plastic buckling"
"""What sets the capacity of a row whose elastic load the stress-strain curve reduces."""

ELASTIC_ABOVE = 0.995
"""Plasticity factor from which a load counts as elastic in words."""


def elements(state: State, wall: SmearedWall, *, thrust: bool = True) -> tuple[Element, ...]:
    """Skin and ribs of a wall at both pressures, with or without the thrust of closed ends; none without a metal."""
    key = ("elements", id(wall), thrust)
    if key not in state.kept:
        fields = [
            Field(name, p * state.R, state.more_thrust(p) if thrust else 0.0) for name, p in state.pressures.items()
        ]
        state.kept[key] = case_elements(state.case, state.load.temperature, wall, fields)
    return state.kept[key]


@dataclass(frozen=True, eq=False)
class Inelastic:
    """Net loads [N/m] by load component with what plasticity leaves of them, and first yield where that limits too."""

    found: Mapping[str, Plastic]
    nets: dict[str, Number]
    limit: FirstYield | None = None
    cut: np.ndarray = np.False_
    """Where first yield of the wall limits one of them."""

    # --- of a single design

    @property
    def _least(self) -> Plastic:
        return min(self.found.values(), key=lambda one: float(one.eta))

    @property
    def eta(self) -> float:
        """The least plasticity factor."""
        return float(self._least.eta)

    @property
    def limited(self) -> str:
        """What sets the capacity in place of the elastic load; empty where that does."""
        if self.cut or any(one.limited for one in self.found.values()):
            return LIMIT
        return PLASTIC if said(self._least) else ""

    @property
    def _where(self) -> str:
        """Which part of the wall decides, and at which pressure."""
        return self.limit.where if self.cut else self._least.governing.where

    @property
    def note(self) -> str:
        return note_of(self.limited, self.eta, self._where) if self.limited else ""

    @property
    def worked(self) -> tuple[Worked, ...]:
        """Stress, moduli and factor of every component, and the yield load where that limits."""
        lines: dict[Worked, None] = {}
        for one in self.found.values():
            lines |= dict.fromkeys(reduction_lines(one, plasticity.plastic_line_load, N_e=one.elastic))
        return (*lines, *(self.limit.worked if self.cut else ()))

    def checks(self, state: State, title: str) -> tuple[Check, ...]:
        """What there is to say about the elastic range."""
        found = self._least
        if found.governing is None:
            text = f"{title}: no metal is known for this wall; the elastic range is not checked"
            return (Check("elastic-limit", "warned", text, "material"),)
        if self.limited == LIMIT:
            text = f"{title}: the elastic load is limited to compressive yield ({self._where})"
            return (Check("yield-cut-off", "warned", text, state.load.name, "own rule"),)
        shape = found.governing.curve
        text = (
            f"{title}: plasticity factor {self.eta:.3f} at {found.stress / 1e6:.4g} MPa "
            f"({found.stress / float(shape.F_cy):.2f} of compressive yield, {found.governing.where}, "
            f"n = {float(shape.n):g}{', assumed' if shape.assumed else ''})"
        )
        # a reduction that is worked out is no warning; an exponent that is assumed is warned by itself
        return (Check("plasticity", "passed", text, state.load.name, _SOURCE),)


def said(one: Plastic) -> bool:
    """Whether a reduction of a single design is worth a word; its lines are shown in any case."""
    return one.eta < ELASTIC_ABOVE


def note_of(limited: str, eta: float, where: str) -> str:
    """The note of a row whose capacity is limited by `LIMIT` or `PLASTIC`."""
    place = f" ({where})" if where else ""
    return f"{CUT_NOTE}{place}" if limited == LIMIT else f"plastic reduction, eta = {eta:.3f}{place}"


def reduction_lines(one: Plastic, formula: Callable, **elastic: Number) -> tuple[Worked, ...]:
    """Stress, moduli, factor and reduced capacity of a single design; the yield load where that limits; nothing where
    the load is elastic."""
    if one.governing is None or one.eta == 1.0:
        return ()
    return one.worked() if one.limited else (*one.worked(), work(formula, eta=one.eta, **elastic))


_SOURCE = (
    "NASA SP-8007 Rev 2, Eqs 8, 11, 12; Gerard (plates); the most stressed element of a stiffened wall is an own rule"
)


def cylinder_rules(
    wall: SmearedWall, R: Number, length: Number, t: Number | None, factors: Mapping[str, Number]
) -> dict[str, Rule]:
    """The factor of the standard over a length, by load component: Eq 11, and towards Eq 12 where it is short.

    `t` is the skin thickness of a plain wall, the equivalent thickness of a stiffened one [m].
    """
    if wall.skin is None:
        return dict.fromkeys(factors, cylinder(np.inf))
    Z = plain.batdorf_parameter(length, R, t, wall.skin.nu)
    return {key: cylinder(np.where(np.isfinite(gamma), gamma * Z, np.inf)) for key, gamma in factors.items()}


def reduced(state: State, wall: SmearedWall, nets: Mapping[str, Number], rules: Mapping[str, Rule]) -> Inelastic:
    """Net loads of a wall [N/m] after plasticity; none below `LEAST_CAPACITY`, so that a ratio exists."""
    parts = elements(state, wall)
    found = {key: plastic_line_load(N, parts, rules[key]) for key, N in nets.items()}
    return Inelastic(found, {key: np.maximum(one.load, LEAST_CAPACITY) for key, one in found.items()})


def reduced_and_cut(
    state: State, wall: SmearedWall, nets: Mapping[str, Number], rules: Mapping[str, Rule]
) -> Inelastic:
    """The same of a part of the barrel: none above first yield of the wall."""
    left, limit = reduced(state, wall, nets, rules), first_yield(state, wall)
    if limit is None:
        return left
    most = limit.load
    over = np.maximum.reduce(np.broadcast_arrays(*left.nets.values())) > most
    # where pressure alone is beyond yield, nothing is left of the capacity with relief
    least = LEAST_CAPACITY - state.relief
    cut = {key: np.where(over, np.maximum(np.minimum(N, most), least), N)[()] for key, N in left.nets.items()}
    return Inelastic(left.found, cut, limit, over)


def reduced_field(state: State, elastic: Number) -> Inelastic:
    """A field of the skin: long plates on simple supports."""
    return reduced_and_cut(state, state.wall, {"field": elastic}, {"field": SUPPORTED_PLATE})


def reduced_column(state: State, elastic: Number, wall: SmearedWall) -> Plastic:
    """The barrel with a wall as a column: tangent modulus; the stress of pressure without its thrust."""
    return plastic_line_load(elastic, elements(state, wall, thrust=False), COLUMN)
