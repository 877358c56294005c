"""Yield and ultimate of skin and ribs from the membrane strains, on both generators, factor on all loads."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..handbook import strength, work
from ..records import MarginRow, Worked
from .rows import blank_row, verdict_of
from .state import Part, State, membrane_stresses

_SOURCE = "membrane strains A^-1 N without curvature; von Mises 1913 (skin), direct stress (ribs)"


_LEAST_STRESS = 1e-3
"""[Pa]; below this there is no stress to judge."""

_ROUNDING = 1e-9
"""Share of the skin's stress below which a rib's stress is rounding."""


@dataclass(frozen=True)
class _Stress:
    """Limit stress of one part of the wall in its worst state."""

    value: float
    compressive: bool
    where: str
    worked: tuple[Worked, ...] = ()


def strength_rows(state: State) -> Part:
    """Strength rows of a wall with a metal."""
    wall = state.engines.strength_wall(state.temperature)
    states = list(_line_loads(state))
    skin: list[_Stress] = []
    ribs: dict[str, list[_Stress]] = {}
    for where, N in states:
        plane, direct = membrane_stresses(wall, N)
        vm = work(strength.von_mises_stress, sigma_x=plane[0], sigma_y=plane[1], tau=plane[2])
        skin.append(_Stress(vm.value, True, where, (vm,)))
        for rib, stress in zip(wall.ribs, direct, strict=True):
            ribs.setdefault(rib.name.replace("at +", "at +-"), []).append(_Stress(abs(stress), stress < 0, where))
    point, least = state.point, _LEAST_STRESS + _ROUNDING * max(s.value for s in skin)
    skin_yield = min(point.tension_yield, point.compressive_yield)  # a biaxial state has no one sign
    rows = list(_pair(state, "skin", least, skin, skin_yield, skin_yield, point.ultimate))
    for rib in wall.ribs:
        if rib.name.startswith("ribs at -"):  # carries the same stress as its mirror image
            continue
        own = state.rib_point(rib)
        name = rib.name.replace("at +", "at +-")
        rows += _pair(state, name, least, ribs[name], own.tension_yield, own.compressive_yield, own.ultimate)
    return Part(tuple(rows))


def _line_loads(state: State):
    """(where, line loads (3,)): the compressed generator at both pressures, the tensioned one at the maximum."""
    load, R = state.load, state.R
    closed = state.case.barrel.closed
    pressures = {load.p_max: "maximum pressure"}
    pressures.setdefault(load.p_min, "minimum pressure")
    for p, name in pressures.items():
        thrust = p * R / 2 if closed else 0.0
        yield f"compressed generator, {name}", np.array([thrust - state.N_a - state.N_b, p * R, 0.0])
    thrust = load.p_max * R / 2 if closed else 0.0
    yield "tensioned generator, maximum pressure", np.array([thrust - state.N_a + state.N_b, load.p_max * R, 0.0])


def _pair(
    state: State, name: str, least: float, stresses: list[_Stress], F_ty: float, F_cy: float, F_tu: float
) -> tuple[MarginRow, MarginRow]:
    factors = state.load.factors

    criterion = "von Mises" if name == "skin" else "direct stress"

    def row(what: str, factor: float, allowable) -> MarginRow:
        worst = max(stresses, key=lambda s: s.value / allowable(s))
        base = blank_row(
            state, f"{name}, {what}", "strength", quantity="stress", factor=factor, demand=worst.value,
            capacity=allowable(worst), source=_SOURCE, equation=f"{criterion}, {worst.where}",
            worked=worst.worked,
        )  # fmt: skip
        if worst.value < least:
            return replace(base, status="holds", note="no stress")
        margin = work(strength.stress_margin, F=allowable(worst), f_s=factor, sigma=worst.value)
        return replace(
            base, status=verdict_of(margin.value), margin=margin.value, worked=(*worst.worked, margin)
        )  # fmt: skip

    return (
        row("yield", factors.yield_factor, lambda s: F_cy if s.compressive else F_ty),
        row("ultimate", factors.ultimate_factor, lambda _: F_tu),
    )
