"""Where the elastic range ends: refuse a general load beyond it, cut a local one off there."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..core.records import Check, Worked
from ..handbook import interaction, strength, work
from ..model.walls import SmearedWall
from .membrane import rib_yields, skin_yield
from .state import LEAST_CAPACITY, State

CUT_NOTE = "cut off at compressive yield"
LIMIT = "compressive yield"
"""What sets the capacity of a row whose elastic load lies above it."""


@dataclass(frozen=True)
class YieldLimit:
    """First yield of a wall: axial line load, compression positive, net of the relief at minimum pressure [N/m], where
    it yields, and the formula with its numbers, the thrust of that pressure included (none where pressure alone is
    beyond yield)."""

    load: float
    where: str
    worked: tuple[Worked, ...]


def yield_limit(state: State, wall: SmearedWall, *, thrust: bool = True) -> YieldLimit | None:
    """First yield under axial compression with the hoop tension and, with `thrust`, the thrust of either pressure, von
    Mises in the skin; None without a metal. See `State.yield_line_load`."""
    if wall.skin is None:
        return None
    found = []
    for name, p in state.pressures.items():
        N_theta, more = p * state.R, state.more_thrust(p) if thrust else 0.0
        skin = skin_yield(wall, N_theta, state.point.compressive_yield)
        found.append((float(skin.load) + more, f"skin, {name}", p, strength.skin_yield_line_load, skin.terms))
        for rib, terms, load in rib_yields(wall, N_theta, state.yields(wall)):
            found.append((float(load) + more, f"{rib.name}, {name}", p, strength.rib_yield_line_load, terms))
    load, where, p, formula, terms = min(found, key=lambda one: one[0])
    if not math.isfinite(load):
        return YieldLimit(load, where, ())
    steps = (work(formula, **terms),)
    if thrust and p and state.case.barrel.closed:
        steps += (work(interaction.relieved_line_load, N_net=steps[0].value, p=p, R=state.R),)
    return YieldLimit(load, where, steps)


def elastic_check(state: State, wall: SmearedWall, mode: str, net: float) -> tuple[Check, tuple[Worked, ...]]:
    """Whether a general net capacity (elastic load with its factor) [N/m] lies in the elastic range; status "refused"
    and the worked limit where it does not."""
    limit = yield_limit(state, wall)
    if limit is None:
        return Check(
            "elastic-limit",
            "warned",
            f"{mode}: no metal is known for this wall; the elastic range is not checked",
            "material",
        ), ()
    if net <= limit.load:
        return Check(
            "elastic-limit",
            "passed",
            f"{mode}: the wall's elastic buckling load with its factor is {net / limit.load:.2f} of its compressive "
            f"yield load ({limit.where})",
            "material",
        ), ()
    times = (
        f"{net / limit.load:.2f} times its compressive yield load"
        if limit.load > 0
        else ("beyond yield, which the pressure reaches by itself")
    )
    return Check(
        "elastic-limit",
        "refused",
        f"{mode}: the wall's elastic buckling load with its factor is {times} ({limit.where}): it yields before it "
        "buckles, an elastic load says nothing there and plasticity is not built; make it buckle elastically (thinner "
        "skin, thinner or fewer ribs), or judge it by a plasticity method outside this program",
        "material",
        "NASA SP-8007 Rev 2, Eqs 8, 11-12 (not built)",
    ), limit.worked


@dataclass(frozen=True)
class Cut:
    """Net loads [N/m], none above first yield; what is said where one was cut off."""

    nets: tuple[float, ...]
    note: str = ""
    limited: str = ""
    checks: tuple[Check, ...] = ()
    worked: tuple[Worked, ...] = ()


def cut_at_yield(state: State, wall: SmearedWall, mode: str, nets: tuple[float, ...]) -> Cut:
    """Net loads of a part of the barrel [N/m], none above first yield of the wall."""
    limit = yield_limit(state, wall)
    if limit is None or max(nets) <= limit.load:
        return Cut(nets)
    # where pressure alone is beyond yield, nothing is left of the capacity with relief
    cut = tuple(max(min(n, limit.load), LEAST_CAPACITY - state.relief) for n in nets)
    return Cut(cut, f"{CUT_NOTE} ({limit.where})", LIMIT, (cut_check(mode),), limit.worked)


def cut_check(mode: str) -> Check:
    """The warning that a local elastic load was cut off."""
    return Check(
        "local-cut-off",
        "warned",
        f"{mode}: the elastic load lies above compressive yield and is cut off there",
        "material",
        "own rule",
    )
