"""Failure modes of many designs, each a function that files its row; counterparts of the modules of `assess/`."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ...handbook import grid, interaction, plain, plates, strength
from ...model import Orthogrid, PlainWall, StiffenedWall, TriangularGrid
from ...model.case import ring_spacing
from ...model.walls import RibFamily
from ..column import MODE as COLUMN
from ..crippling import most_compressed, rib_states
from ..local import web_mode
from ..membrane import AXIAL, LEAST_STRESS, membrane_stresses, rib_strain
from ..plain_wall import FADED_FROM, faded
from ..ring_blades import REFUSED_FROM, may_be_refused, ring_blade, slenderness
from ..strength import ROUNDING, factored_states
from ..verdict import unchecked_modes
from .margins import ArrayState, Capacity, Rows, add_general, add_panel, local_margin, stiffened_factors

GENERAL = "general instability"


def load_case_rows(state: ArrayState) -> tuple[Rows, np.ndarray]:
    """Every row of one load case, and its classical load (N,) [N/m] (nan where `assess` gives none)."""
    pockets, rows = Rows(state.size), Rows(state.size)
    _pockets(state, pockets)
    holds = np.ones(state.size, dtype=bool)
    for margin in pockets.margins.values():  # a buckled skin withholds what rests on the unbuckled stiffness
        holds &= ~(margin < 0)
    classical = _general(state, rows, holds)
    _column(state, rows)
    _panel(state, rows, holds)
    rows.take(pockets)
    _ribs(state, rows)
    _ring_blades(state, rows)
    _strength(state, rows)
    for mode in unchecked_modes(state.case):
        rows.add(mode, np.nan, False, idle="not covered")
    return rows, classical


# --- general instability


def _general(state: ArrayState, rows: Rows, holds: np.ndarray) -> np.ndarray:
    if isinstance(state.case.wall, PlainWall):
        return _plain_general(state, rows)
    p = state.load.p_min
    empty = state.engines.lowest(state.wall, state.L, 0.0, holds)
    asked = state.case.policy.computed_pressure_gain is not None
    official = empty
    if np.any(p):
        pressed = state.engines.lowest(state.wall, state.L, p * state.R, holds & (p > 0), wanted=asked)
        official = np.where(p > 0, pressed, empty) if asked else empty
    own = state.case.policy.own_knockdown
    if own is None:
        axial, bending, thinness = stiffened_factors(state.wall, state.R, state.t)
    else:
        axial, bending, thinness = own.axial, own.bending, 0.0
    add_general(rows, GENERAL, state, Capacity.relieved(state, axial * official, bending * official), holds, thinness)
    return empty


def _plain_general(state: ArrayState, rows: Rows) -> np.ndarray:
    R, t, p = state.R, state.t, state.load.p_min
    sanders = _checked_sanders(state, state.wall, state.L)
    if np.any(p):
        state.engines.lowest(state.wall, state.L, p * R, np.asarray(p) > 0, wanted=False)
    own, d_gamma = state.case.policy.own_knockdown, 0.0
    if own is not None:
        axial, bending, thinness = own.axial, own.bending, 0.0
    else:
        axial, bending, thinness = _plain_factors(R, t)
        d_gamma = np.where(p > 0, plain.increment(plain.pressure_parameter(p, state.wall.skin.E, R, t)), 0.0)
    sides = [
        _side(state, state.L, g, eq, d_gamma, sanders)
        for g, eq in ((axial, plain.pressurised_axial_line_load), (bending, plain.pressurised_bending_line_load))
    ]
    add_general(rows, GENERAL, state, Capacity(sides[0][0], sides[1][0], sides[0][1], sides[1][1]), True, thinness)
    return _classical(state, state.L)


def _plain_factors(R, t) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    ratio = R / t
    return plain.axial_knockdown(ratio), plain.bending_knockdown(ratio), ratio


def _checked_sanders(state: ArrayState, wall, length) -> np.ndarray:
    """Sanders load of a plain wall where the length asks for it; elsewhere only the proof that it could be found."""
    every = np.ones(state.size, dtype=bool)
    return state.engines.lowest(wall, length, 0.0, every, wanted=length / state.R > FADED_FROM, theory="Sanders")


def _classical(state: ArrayState, length) -> np.ndarray:
    """The standard's classical load of a plain cylinder (N,) [N/m]."""
    E, nu, t, R = state.wall.skin.E, state.wall.skin.nu, state.t, state.R
    Z = plain.batdorf_parameter(length, R, t, nu)
    short = plain.line_load_of_coefficient(plain.buckling_coefficient_short(1.0, Z), E, nu, t, length)
    return np.where(Z >= plain.SHORT_LIMIT, plain.classical_line_load(E, nu, t, R), short)


def _side(state: ArrayState, length, gamma, equation, d_gamma, sanders) -> tuple[np.ndarray, np.ndarray]:
    """Total and net capacity of one of the two loads (N,) [N/m]."""
    E, nu, t, R = state.wall.skin.E, state.wall.skin.nu, state.t, state.R
    Z = plain.batdorf_parameter(length, R, t, nu)
    short = plain.line_load_of_coefficient(plain.buckling_coefficient_short(gamma, Z), E, nu, t, length)
    terms = dict(E=E, nu=nu, t=t, R=R, gamma=gamma, d_gamma=d_gamma)
    brief = gamma * Z < plain.SHORT_LIMIT
    net = np.where(brief, short, equation(**terms, p=0.0))
    total = np.where(brief, short + state.relief, equation(**terms, p=state.relief_pressure))
    lower, ratio = gamma * sanders, length / R
    return faded(total, lower + state.relief, ratio), faded(net, lower, ratio)


# --- column, panel


def _column(state: ArrayState, rows: Rows) -> None:
    squash = np.maximum(2 * math.pi * state.R * state.yield_line_load(state.wall, thrust=False), 0.0)
    critical = np.minimum(state.euler, squash)
    rows.add(COLUMN, interaction.force_margin(critical, state.factor, state.P), state.P > 0)


def _panel(state: ArrayState, rows: Rows, holds: np.ndarray) -> None:
    rings = getattr(state.case.wall, "rings", None)
    if rings is None:
        return
    bay, own = ring_spacing(rings, state.L), state.case.policy.own_knockdown
    bare = state.case.wall.stringers is None
    panel = state.engines.panel(state.temperature)
    given = own is not None and own.panel_axial is not None
    if given:
        axial, bending, thinness = own.panel_axial, own.panel_bending, 0.0
    elif bare:
        axial, bending, thinness = _plain_factors(state.R, state.t)
    else:
        axial, bending, thinness = stiffened_factors(panel, state.R, state.t)
    if bare:
        sanders = _checked_sanders(state, panel, bay)
        nets = [_side(state, bay, g, plain.pressurised_axial_line_load, 0.0, sanders)[1] for g in (axial, bending)]
        add_panel(rows, state, state.wall, nets, True, thinness)
        return
    lowest = state.engines.lowest(panel, bay, 0.0, holds)
    add_panel(rows, state, panel, (axial * lowest, bending * lowest), holds, thinness)


# --- local modes


def _pockets(state: ArrayState, rows: Rows) -> None:
    wall = state.case.wall
    E, nu, t = state.wall.skin.E, state.wall.skin.nu, state.t
    if isinstance(wall, TriangularGrid):
        h, alpha = _grid_terms(state)
        isolated = grid.isolated_pocket_coefficient(grid.ISOLATED_TRIANGLE[wall.family], nu)
        c = grid.HANDBOOK_POCKET if state.case.policy.handbook_pocket else isolated
        elastic = grid.pocket_line_load(c, E, t, alpha, h)
        rows.add("skin pocket", local_margin(state, elastic), state.compressed)
    elif isinstance(wall, StiffenedWall | Orthogrid) and wall.stringers is not None:
        stringer = next(r for r in state.wall.ribs if r.name == "stringers")
        A_b = stringer.area / stringer.spacing * stringer.E / E
        sigma = plates.plate_stress(plates.LONG_SIMPLY_SUPPORTED, E, nu, t, stringer.spacing)
        mode = "skin strip" if wall.rings is None else "skin pocket"
        elastic = plates.strip_line_load(sigma, t, A_b)
        rows.add(mode, local_margin(state, elastic), state.compressed)


def _grid_terms(state: ArrayState) -> tuple[np.ndarray, np.ndarray]:
    wall = state.case.wall
    h = wall.height(state.R)
    return h, grid.rib_ratio(wall.rib_thickness, wall.rib_depth, state.t, h)


def _ribs(state: ArrayState, rows: Rows) -> None:
    wall, skin, t = state.case.wall, state.wall.skin, state.t
    if isinstance(wall, TriangularGrid):
        _, alpha = _grid_terms(state)
        c = grid.HANDBOOK_CRIPPLING[wall.family]
        handbook = grid.rib_crippling_line_load(c, skin.E, t, alpha, wall.rib_thickness, wall.rib_depth)
        rib, _ = most_compressed(state.wall)
        stress = strength.rib_stress(rib.E, rib_strain(state.wall, rib, AXIAL), 0.0, -handbook, 0.0)
        _crippling(state, rows, "rib crippling", state.wall.ribs, stress)
        return
    for rib in state.wall.ribs:
        if rib.depth is not None:
            k = plates.one_edge_free_coefficient(rib.nu)
            sigma = plates.plate_stress(k, rib.E, rib.nu, rib.thickness, rib.depth)
            _crippling(state, rows, web_mode(rib), (rib,), sigma)


def _crippling(state: ArrayState, rows: Rows, mode: str, ribs: Sequence[RibFamily], stress: np.ndarray) -> None:
    """The worst state of ribs with this crippling stress (N,) [Pa], none above yield."""
    limit = np.minimum(stress, state.rib_point(ribs[0]).compressive_yield)
    least, loaded = np.full(state.size, np.inf), np.zeros(state.size, dtype=bool)
    for one in rib_states(state, ribs, limit):
        least = np.where(one.loaded, np.minimum(least, one.margin), least)
        loaded |= one.loaded
    rows.add(mode, least, loaded)


def _ring_blades(state: ArrayState, rows: Rows) -> None:
    ring = ring_blade(state)
    if ring is not None and may_be_refused(state):
        ratio, limit = slenderness(state, ring)
        rows.refuse("ring-slenderness", ratio > REFUSED_FROM * limit)


# --- strength


def _strength(state: ArrayState, rows: Rows) -> None:
    wall, factors = state.engines.strength_wall(state.temperature), state.load.factors
    found = []
    for factor in (factors.yield_factor, factors.ultimate_factor):
        plane, direct = membrane_stresses(wall, factored_states(state, factor)[1])
        skin = strength.von_mises_stress(*np.moveaxis(plane, -1, 0))
        found.append((skin, direct, LEAST_STRESS + ROUNDING * skin.max(axis=0)))
    point = state.point
    F_y = np.minimum(point.tension_yield, point.compressive_yield)  # a biaxial state has no one sign
    _pair(rows, "skin", [(skin, least) for skin, _, least in found], F_y, F_y, point.ultimate)
    for k, rib in enumerate(wall.ribs):
        if rib.name.startswith("ribs at -"):
            continue
        own = state.rib_point(rib)
        name, limits = rib.name.replace("at +", "at +-"), (own.tension_yield, own.compressive_yield, own.ultimate)
        _pair(rows, name, [(direct[k], least) for _, direct, least in found], *limits)


def _pair(rows: Rows, name: str, found: Sequence[tuple], F_ty, F_cy, F_tu) -> None:
    """Yield and ultimate of one part, each in its worst factored state."""
    for what, (stresses, least) in zip(("yield", "ultimate"), found, strict=True):
        size = np.abs(stresses)
        F = np.where(stresses < 0, F_cy, F_ty) if what == "yield" else F_tu + 0 * size
        worst = np.argmax(size / F, axis=0)[None]
        sigma, limit = (np.take_along_axis(x, worst, axis=0)[0] for x in (size, F))
        rows.add(f"{name}, {what}", strength.stress_margin(limit, sigma), sigma >= least, idle="holds")
