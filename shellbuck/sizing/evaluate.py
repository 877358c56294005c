"""From rows of values to constraints, by the same chain that `run` uses."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..core.errors import Refusal
from ..handbook import orthotropic, plain, plates
from ..margins import Batch
from ..margins import evaluate as margins_of
from ..margins.engines import Engines
from ..margins.keys import GENERAL, SKIN_FIELD
from ..margins.modes.ribs import REFUSED_FROM
from ..margins.state import State
from ..model import Barrel, Case, LoadCase, Material, OwnKnockdown, Policy
from ..model.arrays import arrayed, read
from ..model.demand import Demand
from ..model.shop import Pattern, Setting
from ..model.walls import SmearedWall, build_wall
from .space import Space
from .task import BARRED, FREE, Evaluated, Task

THRESHOLDS = ((orthotropic.UNSTIFFENED_TO, orthotropic.STIFFENED_FROM),) * 2
"""Of the wall and of the panel between rings: equivalent over skin thickness at which the knockdown rule changes."""

RANGES = ("range of R/t", "unbuckled skin")
"""Limits beyond which a row is refused or withheld: the R/t or R/t_e up to which there is a factor, and, where a
negative margin is allowed, the ultimate load of the skin between ribs."""

ROUNDING = 1e-12
"""A rule of the shop is kept to this much (logarithm): what stands on its slenderness must not fail by rounding."""

PERFECT = OwnKnockdown(1.0, 1.0, "perfect shell, for comparison: knockdown 1", panel_axial=1.0, panel_bending=1.0)


NOT_BENT: Mapping[str, float] = {}
"""Edge bending leaves every load case its general capacity."""


def with_factor_one(policy: Policy) -> Policy:
    """The policy with knockdown 1 on general instability and on the panel."""
    return replace(policy, own_knockdown=PERFECT)


def without_credit(pattern: Pattern) -> Pattern:
    """The pattern with every minimum pressure at zero."""
    return replace(pattern, credits_pressure=False, pressurised=False)


def load_cases_for(demand: Demand, pattern: Pattern) -> tuple[LoadCase, ...]:
    """The load cases with the pressure that the pattern may count on."""
    standby = demand.limits.standby_pressure or 0.0
    closed = demand.barrel.ends == "closed"

    def changed(load: LoadCase) -> LoadCase:
        thrust = load.contained_thrust_pressure if load.axial_force_includes_thrust else None
        says = load.axial_force_includes_thrust
        if says is None and closed:
            says = False  # without pressure there was no thrust to speak of
        if not pattern.credits_pressure:
            return replace(
                load,
                pressure_minimum=0.0 - load.external_pressure,  # what destabilises stays
                pressure_maximum=load.p_max,
                axial_force_includes_thrust=says,
                thrust_pressure=thrust,
            )
        if pattern.pressurised and load.p_min < standby and not load.external_pressure:
            if thrust is not None and thrust < standby:
                load, says, thrust = _without_thrust(load, demand), False, None
            return replace(
                load,
                pressure_minimum=standby,
                pressure_maximum=max(standby, load.p_max),
                axial_force_includes_thrust=says,
                thrust_pressure=thrust,
            )
        return load

    return tuple(changed(load) for load in demand.load_cases)


def _without_thrust(load: LoadCase, demand: Demand) -> LoadCase:
    """The load case with its axial force given without thrust: at the standby pressure the wall never has the pressure
    that the force was worked out at.

    Raises
    ------
    Refusal
        "thrust-pressure-outside", where the radius that the thrust acts on is only known with the skin.
    """
    if demand.barrel.radius_is != "skin middle":
        what = f"the axial force of load case {load.name} contains the thrust of a pressure below the standby pressure"
        got = f"{load.contained_thrust_pressure / 1e3:g} kPa"
        allowed = f"at least {demand.limits.standby_pressure / 1e3:g} kPa"
        way_out = "give axial_force without the pressure thrust"
        raise Refusal.of("thrust-pressure-outside", what, "limits.standby_pressure", got, allowed, way_out)
    force = load.axial_force + math.pi * demand.barrel.radius**2 * load.contained_thrust_pressure
    return replace(load, axial_force=force, axial_force_includes_thrust=False, thrust_pressure=None)


def case_of(
    demand: Demand, pattern: Pattern, material: Material, values: dict[str, float], *, whole: bool = True
) -> Case:
    """The case of one design.

    Raises
    ------
    Refusal
        When the design is no wall (ribs overlap, too thick, ...).
    """
    limits, bare = demand.limits, demand.barrel
    barrel = Barrel(
        bare.radius,
        bare.length,
        bare.ends,
        values["skin"],
        values["skin"] - limits.skin_tolerance,
        bare.radius_is,
        edges=bare.edges,
        edges_far=bare.edges_far,
        load_height=bare.load_height,
    )
    wall = pattern.wall(Setting(bare, limits, sections=demand.sections), values, whole)
    return Case(barrel, wall, load_cases_for(demand, pattern), material, demand.policy, demand.identity)


def setting_of(demand: Demand, material: Material) -> Setting:
    """The demand with the slenderness of ribs that it and its metal allow at every temperature: rings slenderer than
    twice the flat-bar limit are refused."""
    points = [material.at(load.temperature) for load in demand.load_cases]
    flat_bar = min(plates.flat_bar_slenderness(p.compressive_modulus, p.compressive_yield) for p in points)
    most = REFUSED_FROM * float(flat_bar)
    asked = demand.limits.slenderness_most
    most = most if asked is None else min(asked, most)
    return Setting(demand.barrel, demand.limits, most, demand.sections)


def make_task(demand: Demand, pattern: Pattern, material: Material, bent: Mapping[str, float] = NOT_BENT) -> Task:
    """The sizing of one pattern in one metal as a task for the optimiser.

    Parameters
    ----------
    demand : Demand
    pattern : Pattern
    material : Material
    bent : mapping of str to float
        Load case to the share of its general capacity that is left by edge bending, which arrays do not work out.

    Raises
    ------
    Refusal
        When the limits leave no design, or no design at all can be assessed.
    """
    setting = setting_of(demand, material)
    space = Space(pattern.variables(setting))
    judge = Judge(demand, pattern, material, space, bent)
    return Task(
        space,
        mass=lambda designs: material.density * pattern.thickness(setting, columns(space, designs)),
        constrain=judge,
        labels=judge.labels,
        thresholds=THRESHOLDS,
        rules=judge.rules,
    )


def columns(space: Space, designs: np.ndarray) -> dict[str, np.ndarray]:
    """Variable -> its values (N,)."""
    return dict(zip(space.names, np.atleast_2d(designs).T, strict=True))


class Judge:
    """Constraints of designs: the margins of `assess`, many at once, and the rules of the shop."""

    def __init__(
        self, demand: Demand, pattern: Pattern, material: Material, space: Space, bent: Mapping[str, float] = NOT_BENT
    ):
        self.demand, self.pattern, self.space = demand, pattern, space
        self.setting = setting_of(demand, material)
        self.template = self._template(material)
        _refuse_idle(self.template)
        self.required = math.log1p(demand.limits.margin_required)
        first = self._margins(space.low[None])
        self.rows = [(load, mode) for load in first.load_cases for mode in first.modes]
        keys = first.keys * len(first.load_cases)
        self.left = np.log(
            [bent.get(load, 1.0) if key == GENERAL else 1.0 for (load, _), key in zip(self.rows, keys, strict=True)]
        )
        rules = [name for name, _ in pattern.bounds(self.setting, columns(space, space.low))]
        self.labels = (
            *(f"{mode}, {load}" for load, mode in self.rows),
            *(f"{what}, {load}" for what in RANGES for load in first.load_cases),
            *rules,
        )
        self.rules = len(rules)

    def _template(self, material: Material) -> Case:
        """Any case of the pattern that the model accepts; what varies is put in its place."""
        problem: Refusal | None = None
        deep = np.array([name.endswith("depth") for name in self.space.names])
        # a section may need more depth than its foot, flange or bulb takes
        for least, share in itertools.product((0.0, 0.7), (0.0, 0.1, 0.2, 0.4)):
            shares = np.where(deep, max(least, share), share)
            gauges = self.space.low ** (1 - shares) * self.space.high**shares
            design = np.where(self.space.gauges, gauges, np.sqrt(self.space.low * self.space.high))
            try:
                values = self.space.values(design)
                return case_of(self.demand, self.pattern, material, values, whole=False)
            except Refusal as refusal:
                problem = problem or refusal
        raise problem

    def _fields(self, designs: np.ndarray) -> dict[str, np.ndarray]:
        values = columns(self.space, designs)
        skin = values["skin"]
        return {
            "barrel.skin_thickness": skin,
            "barrel.skin_thickness_minimum": skin - self.demand.limits.skin_tolerance,
            **self.pattern.fields(self.setting, values),
        }

    def _margins(self, designs: np.ndarray) -> Batch:
        return margins_of(self.template, self._fields(designs))

    def __call__(self, designs: np.ndarray) -> Evaluated:
        found = self._margins(designs)
        N = designs.shape[0]
        margins = found.margins.reshape(N, -1)
        constraints = np.full(margins.shape, FREE)
        known = ~np.isnan(margins)
        constraints[known] = np.log(np.maximum(1 + margins[known], 1e-9)) - self.required
        constraints += np.where(known, self.left, 0.0)
        failed = found.unknown & ~known.any(axis=1)
        constraints[failed] = BARRED
        # the ends of the ranges in which rows have a margin are limits like a margin, so the search sees them come
        ranges = [_room(found.thinness / plain.MOST_RADIUS_TO_THICKNESS), self._skin(found)]
        rules = [
            np.broadcast_to(value + ROUNDING, N)
            for _, value in self.pattern.bounds(self.setting, columns(self.space, designs))
        ]
        every = np.column_stack([constraints, *ranges, *rules])
        refused = found.refused & ((found.reasons != "radius-to-thickness") | failed)
        # whatever is unknown is infeasible, also where no constraint says why
        refused |= found.unknown & (every.min(axis=1) >= 0)
        return Evaluated(every, refused, self._levels(designs))

    def _skin(self, found: Batch) -> np.ndarray:
        """Constraints (N, load cases) of the skin between ribs against buckling, FREE where its own row asks as much.

        A margin that may be negative may not be spent on the skin: the general load would be withheld, not lower.
        """
        room = np.full(found.margins.shape[:2], FREE)
        own = np.array([key == SKIN_FIELD for key in found.keys])
        if self.required < 0 and own.any():
            margin = np.fmin.reduce(found.margins[:, :, own], axis=2)
            known = ~np.isnan(margin)
            room[known] = np.log(np.maximum(1 + margin[known], 1e-9))
        return room

    def _levels(self, designs: np.ndarray) -> np.ndarray:
        """What THRESHOLDS are about (N, 2); 0 where no rule asks for it."""
        levels = np.zeros((designs.shape[0], len(THRESHOLDS)))
        if self.pattern.made == "sheet" or self.demand.policy.own_knockdown is not None:
            return levels
        case = arrayed(self.template, read(self.template, self._fields(designs))[0])
        with np.errstate(all="ignore"):  # designs that the model refuses may give anything
            wall = build_wall(case, self.template.reference_temperature)
            walls = [wall]
            if {"rings", "stringers"} <= {rib.name for rib in wall.ribs}:
                walls.append(wall.without("rings"))
            for k, part in enumerate(walls):
                levels[:, k] = _equivalent(part) / case.stability_thickness
        return np.where(np.isfinite(levels), levels, 0.0)


def _refuse_idle(case: Case) -> None:
    """A load case that loads nothing would leave every answer unchecked.

    Raises
    ------
    Refusal
    """
    for load in case.load_cases:
        if State(case, load, Engines(case)).idle:
            what = "the load case has no load, so no wall can be sized for it"
            way_out = "give a force, a moment or a pressure, or drop the load case"
            raise Refusal.of("load-case-idle", what, f"load_cases.{load.name[:60]}", way_out=way_out)


def _room(use: np.ndarray) -> np.ndarray:
    """Constraints of shares of a range: 0 at its end, FREE where there is no share."""
    used = use > 0
    room = np.full(use.shape, FREE)
    room[used] = -np.log(use[used])
    return room


def _equivalent(wall: SmearedWall) -> np.ndarray:
    A, B, D = wall.A, wall.B, wall.D
    return orthotropic.equivalent_thickness(
        A[..., 0, 0], A[..., 1, 1], B[..., 0, 0], B[..., 1, 1], D[..., 0, 0], D[..., 1, 1]
    )
