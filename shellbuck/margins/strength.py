"""Yield and ultimate of skin and ribs from the membrane strains at the factored loads, on both generators."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..core.records import MarginRow, Worked
from ..handbook import strength, work
from ..model.walls import RibFamily
from .membrane import LEAST_STRESS, membrane_stresses
from .rows import blank_row, verdict_of
from .state import Part, State
from .worked_modes import stress_lines

_SOURCE = "membrane strains A^-1 N without curvature; von Mises 1913 (skin), direct stress (ribs)"

ROUNDING = 1e-9
"""Share of the skin's stress below which a rib's stress is rounding."""


def factored_states(state: State, factor: float) -> tuple[tuple[str, ...], np.ndarray]:
    """States in which strength is judged, factored: for one design or for many.

    The external loads carry the factor on both generators. Maximum pressure carries it too; minimum pressure, which may
    relieve a stress, does not. Von Mises stress and the size of a rib's stress are convex in the pressure, so that no
    pressure between these two is worse.

    Returns
    -------
    tuple of str
        What every state is.
    numpy.ndarray
        (4, 3) or (4, N, 3) line loads x, theta, x-theta [N/m], tension positive.
    """
    R, N_b = state.R, state.bending_line_load(factor)
    pressures = (("maximum pressure with the factor", factor * state.p_max), ("minimum pressure", state.load.p_min))
    names, states = [], []
    for generator, sign in (("compressed generator", 1.0), ("tensioned generator", -1.0)):
        for name, p in pressures:
            thrust = p * R / 2 if state.case.barrel.closed else 0.0
            axial = thrust - factor * (state.N_a + sign * N_b)
            names.append(f"{generator}, {name}")
            states.append(np.stack(np.broadcast_arrays(axial, p * R, 0.0), axis=-1))
    return tuple(names), np.stack(np.broadcast_arrays(*states))


@dataclass(frozen=True)
class _Stress:
    """Stress of one part of the wall in one factored state."""

    value: float
    compressive: bool
    where: str
    N: np.ndarray
    rib: RibFamily | None = None
    worked: tuple[Worked, ...] = ()


def strength_rows(state: State) -> Part:
    """Strength rows of a wall with a metal."""
    wall, factors = state.engines.strength_wall(state.temperature), state.load.factors
    parts: dict[str, list[tuple[str, float, list[_Stress], float]]] = {}
    for what, factor in (("yield", factors.yield_factor), ("ultimate", factors.ultimate_factor)):
        skin: list[_Stress] = []
        ribs: dict[str, list[_Stress]] = {}
        names, states = factored_states(state, factor)
        for where, N in zip(names, states, strict=True):
            plane, direct = membrane_stresses(wall, N)
            vm = work(strength.von_mises_stress, sigma_x=plane[0], sigma_y=plane[1], tau=plane[2])
            skin.append(_Stress(vm.value, True, where, N, worked=(vm,)))
            for rib, stress in zip(wall.ribs, direct, strict=True):
                found = _Stress(abs(stress), stress < 0, where, N, rib)
                ribs.setdefault(rib.name.replace("at +", "at +-"), []).append(found)
        least = LEAST_STRESS + ROUNDING * max(s.value for s in skin)
        for name, stresses in {"skin": skin, **ribs}.items():
            parts.setdefault(name, []).append((what, factor, stresses, least))
    point = state.point
    skin_yield = min(point.tension_yield, point.compressive_yield)  # a biaxial state has no one sign
    rows = list(_pair(state, "skin", parts["skin"], skin_yield, skin_yield, point.ultimate))
    for rib in wall.ribs:
        if rib.name.startswith("ribs at -"):  # carries the same stress as its mirror image
            continue
        own = state.rib_point(rib)
        name = rib.name.replace("at +", "at +-")
        rows += _pair(state, name, parts[name], own.tension_yield, own.compressive_yield, own.ultimate)
    return Part(tuple(rows))


def _from_loads(state: State, factor: float, stress: _Stress) -> tuple[Worked, ...]:
    """From the factored line loads of the state to the stresses in it."""
    N_b = state.bending_line_load(factor) * (1.0 if stress.where.startswith("compressed") else -1.0)
    p = float(stress.N[1]) / state.R if state.case.barrel.closed else 0.0
    axial = work(strength.factored_axial_line_load, p=p, R=state.R, f_s=factor, N_a=state.N_a, N_b=N_b)
    return axial, *stress_lines(state.engines.strength_wall(state.temperature), stress.N, stress.rib)


def _pair(
    state: State, name: str, parts: list[tuple[str, float, list[_Stress], float]], F_ty: float, F_cy: float, F_tu: float
) -> Iterator[MarginRow]:
    """Yield and ultimate of one part, each in its worst factored state."""
    criterion = "von Mises" if name == "skin" else "direct stress"
    allowables = {"yield": lambda s: F_cy if s.compressive else F_ty, "ultimate": lambda _: F_tu}
    for what, factor, stresses, least in parts:
        allowable = allowables[what]
        worst = max(stresses, key=lambda s: s.value / allowable(s))
        lines = (*_from_loads(state, factor, worst), *worst.worked)
        base = blank_row(
            state,
            f"{name}, {what}",
            "strength",
            quantity="stress",
            factor=factor,
            demand=worst.value,
            capacity=allowable(worst),
            source=_SOURCE,
            equation=f"{criterion} at the factored loads, {worst.where}",
            worked=lines,
        )
        if worst.value < least:
            yield replace(base, status="holds", note="no stress")
            continue
        margin = work(strength.stress_margin, F=allowable(worst), sigma=worst.value)
        yield replace(base, status=verdict_of(margin.value), margin=margin.value, worked=(*lines, margin))
