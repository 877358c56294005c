"""Yield and ultimate of skin and ribs from the membrane strains at the factored loads, on both generators."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...core.records import Worked
from ...handbook import strength, work
from ...model.walls import RibFamily
from ..engines import Number
from ..findings import Findings, Row, Story
from ..membrane import LEAST_STRESS, membrane_stresses
from ..post_buckled import post_buckled_skin, strength_wall, tension_growth
from ..state import State
from ..worked_modes import stress_lines
from .mode import FailureMode

_SOURCE = "membrane strains A^-1 N without curvature; von Mises 1913 (skin), direct stress (ribs)"

ROUNDING = 1e-9
"""Share of the skin's stress below which a rib's stress is rounding."""


def factored_states(state: State, factor: Number) -> tuple[tuple[str, ...], np.ndarray]:
    """States in which strength is judged, factored.

    The external loads carry the factor on both generators. Maximum pressure and external pressure carry it too; minimum
    pressure, which may relieve a stress, does not. A shear flow, where there is one, runs either way round. Von Mises
    stress and the size of a rib's stress are convex in the pressure, so that no pressure between these two is worse.

    Returns
    -------
    tuple of str
        What every state is.
    numpy.ndarray
        (states, 3) or (states, N, 3) line loads x, theta, x-theta [N/m], tension positive.
    """
    R, N_b, grown = state.R, state.bending_line_load(factor), tension_growth(state)
    pressures = [("maximum pressure with the factor", factor * state.p_max), ("minimum pressure", state.p_min)]
    if np.any(state.external):
        pressures[1] = (
            "external pressure with the factor",
            np.where(np.asarray(state.external) > 0, -factor * state.external, state.p_min),
        )
    flows = (("", 0.0),)
    if np.any(state.flow):
        flows = ((", shear one way", factor * state.flow), (", shear the other way", -factor * state.flow))
    names, states = [], []
    for generator, sign in (("compressed generator", 1.0), ("tensioned generator", -grown)):
        for name, p in pressures:
            thrust = p * R / 2 if state.case.barrel.closed else 0.0
            axial = thrust - factor * (state.N_a + sign * N_b)
            for way, flow in flows:
                names.append(f"{generator}, {name}{way}")
                states.append(np.stack(np.broadcast_arrays(axial, p * R, flow), axis=-1))
    return tuple(names), of_designs(state, np.stack(np.broadcast_arrays(*states)))


def of_designs(state: State, loads: np.ndarray) -> np.ndarray:
    """Line loads (states, 3) of every design (states, N, 3), although they may differ in their metal alone."""
    size = state.engines.size
    return loads if size is None or loads.ndim > 2 else np.repeat(loads[:, None], size, axis=1)


def rows(s: State, _: Findings) -> Iterator[Row]:
    """Skin, then every rib family, each in its worst factored state at yield and at ultimate."""
    factors, point = s.load.factors, s.point
    found = {}
    for what, factor in (("yield", factors.yield_factor), ("ultimate", factors.ultimate_factor)):
        names, loads = factored_states(s, factor)
        wall = strength_wall(s, loads)
        plane, direct = membrane_stresses(wall, loads)
        skin = strength.von_mises_stress(*np.moveaxis(plane, -1, 0))
        least = LEAST_STRESS + ROUNDING * skin.max(axis=0)
        found[what] = (factor, names, loads, plane, skin, direct, least)
    F_y = np.minimum(point.tension_yield, point.compressive_yield)  # a biaxial state has no one sign
    for what, (factor, names, loads, plane, skin, _direct, least) in found.items():
        allowable = np.broadcast_to(F_y if what == "yield" else point.ultimate, skin.shape)
        yield judged(s, f"skin, {what}", factor, skin, allowable, least, names, loads, plane=plane)
    for k, rib in enumerate(wall.ribs):
        if rib.name.startswith("ribs at -"):  # carries the same stress as its mirror image
            continue
        own, title = s.rib_point(rib), rib.name.replace("at +", "at +-")
        for what, (factor, names, loads, _plane, _skin, direct, least) in found.items():
            stress = direct[k]
            at_yield = np.where(stress < 0, own.compressive_yield, own.tension_yield)
            allowable = at_yield if what == "yield" else np.broadcast_to(own.ultimate, stress.shape)
            yield judged(s, f"{title}, {what}", factor, np.abs(stress), allowable, least, names, loads, rib=rib)


def judged(
    s: State,
    title: str,
    factor: Number,
    stress: np.ndarray,
    allowable: np.ndarray,
    least: Number,
    names: tuple[str, ...],
    loads: np.ndarray,
    *,
    plane: np.ndarray | None = None,
    rib: RibFamily | None = None,
    alone: bool = False,
) -> Row:
    """The factored state that uses most of the allowable [Pa]; `least` is the stress below which there is none. With
    `alone` pressure acts without the other loads."""
    at = np.argmax(stress / allowable, axis=0)[None]
    sigma, limit = (np.take_along_axis(x, at, axis=0)[0] for x in (stress, allowable))
    margin, loaded = strength.stress_margin(limit, sigma), sigma >= least

    def story() -> Story:
        i = int(at[0])
        lines = _from_loads(s, factor, names[i], loads[i], rib, alone)
        criterion = "direct stress"
        if plane is not None:
            x, y, xy = plane[i]
            lines += (work(strength.von_mises_stress, sigma_x=x, sigma_y=y, tau=xy),)
            criterion = "von Mises"
        soft = post_buckled_skin(s)
        if soft is not None and soft.width(-float(loads[i][0])) < 1:
            criterion += f" ({soft.chosen_words})"
        row = dict(
            quantity="stress",
            demand=float(sigma),
            capacity=float(limit),
            source=_SOURCE,
            equation=f"{criterion} at the factored loads, {names[i]}",
            worked=lines,
        )
        if not loaded:
            return Story(row | {"note": "no stress"})
        return Story(row | {"worked": (*lines, work(strength.stress_margin, F=limit, sigma=sigma))})

    return Row(title, margin, loaded, idle="holds", story=story, factor=factor)


def _from_loads(
    s: State, factor: float, name: str, N: np.ndarray, rib: RibFamily | None, alone: bool
) -> tuple[Worked, ...]:
    """From the factored line loads of a state to the stresses in it, of a single design."""
    compressed, soft = name.startswith("compressed"), post_buckled_skin(s)
    N_b = s.bending_line_load(factor) * (1.0 if compressed else -tension_growth(s))
    p = float(N[1]) / s.R if s.case.barrel.closed else 0.0
    other = dict(N_a=0.0, N_b=0.0) if alone else dict(N_a=s.N_a, N_b=N_b)
    axial = work(strength.factored_axial_line_load, p=p, R=s.R, f_s=factor, **other)
    wall = s.engines.strength_wall(s.temperature)
    if soft is None or alone:
        return axial, *stress_lines(wall, N, rib)
    lines = soft.shed_lines(wall, -float(N[0])) if compressed else (soft.growth_line(),)
    return *lines, axial, *stress_lines(strength_wall(s, N), N, rib)


MODES = (
    FailureMode(
        "strength",
        "strength of skin and ribs",
        60,
        "strength",
        lambda case: case.wall.has_dimensions,
        rows,
        walls="every wall with a metal",
        capacity="yield (the lower of tension and compression in the skin, by sign in a rib) and ultimate, over the "
        "stress at the factored loads",
        knockdown="none",
        valid="membrane strains; pressure at its maximum with the factor and at its minimum without",
        source="membrane strains A^-1 N; von Mises 1913",
        formulas=("von-mises-stress", "stress-margin"),
        shape="no buckling mode",
    ),
)
