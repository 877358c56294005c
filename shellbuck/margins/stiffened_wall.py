"""General instability of stiffened walls and of walls of given stiffness, and the stiffened panel between rings."""

from __future__ import annotations

from ..core.records import Beside, Check, Knockdown, Load
from ..model.walls import SmearedWall
from .basis import mode_basis
from .elastic import cut_at_yield, elastic_check
from .knockdown import own_knockdown, stiffened_knockdown
from .prebuckled import SOURCE, edge_bending
from .rows import PairCapacity, blank_row, mixed_net, pair_row, refused_row, uncompressed_row, waves_check
from .state import Part, State
from .worked_modes import capacity_lines

GAIN_WARNED = 1.2


def general(state: State, withheld: str) -> Part:
    """General instability.

    Parameters
    ----------
    withheld : str
        Why loads on unbuckled stiffness must be withheld; empty when they need not be.
    """
    mode, R = "general instability", state.R
    if withheld:
        return _withheld(state, mode, state.wall, state.L, withheld)
    N_theta = state.load.p_min * R
    empty = state.classical(state.wall, state.L, mode)
    pressed = state.classical(state.wall, state.L, mode, N_theta) if N_theta else empty
    N_0, N_p = _lower(empty), _lower(pressed)
    gain = N_p.line_load / N_0.line_load
    loads = empty if pressed is empty else (*empty, *pressed)
    part = Part(loads=loads, elastic=((mode, N_0.line_load),), pressure_gain=gain)
    if not state.compressed:
        return part + Part((uncompressed_row(state, mode),))
    asked = state.case.policy.computed_pressure_gain is not None
    official = N_p if asked else N_0
    checks = [waves_check(state, mode, official)]
    if gain > GAIN_WARNED:
        credited = "it is credited because the case asks for it" if asked else "only the axial relief is credited"
        checks.append(
            Check(
                "pressure-gain",
                "warned",
                f"{mode}: minimum pressure stabilises the computed load by a factor {gain:.2f}; {credited}",
                state.load.name,
                "own rule (SP-8007 Rev 2, 4.1.1.5.4 limits its increment to plain walls)",
            )
        )
    knockdown, more = _knockdown(state, mode)
    checks += more
    if knockdown is None:
        return part + Part((refused_row(state, mode, more[-1].text),), tuple(checks))
    nets = (knockdown.axial * official.line_load, knockdown.bending * official.line_load)
    bent = edge_bending(state, nets)
    capacity = bent.limited(state, PairCapacity.relieved(state, *nets))
    checks += bent.check(state)
    elastic, beyond = elastic_check(state, state.wall, mode, mixed_net(state, capacity))
    beside = [Beside(ld.name, ld.line_load, f"(m, n) = ({ld.m}, {ld.n})") for ld in loads]
    if pressed is not empty:
        beside.append(
            Beside("computed stabilised load, lower theory", N_p.line_load, f"gain {gain:.3f} over no pressure")
        )
    row = pair_row(
        state,
        mode,
        capacity,
        bent.factors(knockdown),
        equation=bent.equation(
            state,
            f"factor times the lower of Donnell and Sanders ({official.theory}, m = {official.m}, "
            f"n = {official.n}{', at minimum pressure by request' if asked and N_theta else ''}) + p R/2",
        ),
        source=SOURCE if bent.governs(state) else official.source,
        worked=(
            *knockdown.worked,
            *capacity_lines(
                state,
                state.wall,
                state.L,
                pressed if asked else empty,
                official,
                (knockdown.axial, knockdown.bending),
                N_theta if asked else 0.0,
            ),
        ),
        beside=(*bent.beside(state, knockdown), *beside),
        basis=mode_basis(state, official, state.L, pressure=state.load.p_min if asked else 0.0)
        if not bent.governs(state)
        else mode_basis(state, bent.load, state.L, pressure=bent.pressure),
    )
    row = bent.judged(row)
    if elastic.status == "refused":
        row = refused_row(state, mode, elastic.text, worked=(*row.worked, *beyond), beside=row.beside, basis=row.basis)
    more = (bent.load,) if bent.new else ()
    return part + Part((row,), (*checks, elastic), more, (knockdown,), edge_bending=bent.status)


def _withheld(state: State, mode: str, wall: SmearedWall, length: float, why: str) -> Part:
    """A withheld row; where the case asks for them with the loads on unbuckled stiffness beside it, which are no
    allowable: the skin between ribs buckles first."""
    beside: tuple[Beside, ...] = ()
    if state.case.policy.withheld_loads is not None:
        beside = tuple(
            Beside(
                f"{load.name}, on unbuckled stiffness",
                load.line_load,
                f"(m, n) = ({load.m}, {load.n}); no allowable: the skin between ribs buckles first",
            )
            for load in state.classical(wall, length, mode)
        )
    return Part((blank_row(state, mode, "stability", status="withheld", note=why, beside=beside),))


def _lower(pair: tuple[Load, Load]) -> Load:
    return min(pair, key=lambda load: load.line_load)


def _knockdown(state: State, mode: str) -> tuple[Knockdown | None, tuple[Check, ...]]:
    own = state.case.policy.own_knockdown
    if own is not None:
        return own_knockdown(mode, own.axial, own.bending), ()
    if state.t is None:
        return None, (
            Check(
                "no-automatic-factor",
                "refused",
                f"{mode}: a given stiffness without a skin thickness has no automatic knockdown; give the skin "
                "thickness or an own factor with a reason",
                "barrel.skin_thickness",
                "own rule",
            ),
        )
    return stiffened_knockdown(mode, state.wall, state.R, state.t)


def panel(state: State, length: float, withheld: str) -> Part:
    """The stringer-stiffened panel between two rings: the wall without rings over the bay."""
    mode, wall = "panel between rings", state.engines.panel(state.temperature)
    if withheld:
        return _withheld(state, mode, wall, length, withheld)
    loads = state.classical(wall, length, mode)
    lowest = _lower(loads)
    part = Part(loads=loads, elastic=((mode, lowest.line_load),))
    if not state.compressed:
        return part + Part((uncompressed_row(state, mode),))
    own = state.case.policy.own_knockdown
    if own is not None and own.panel_axial is not None:
        knockdown, checks = own_knockdown(mode, own.panel_axial, own.panel_bending), ()
    else:
        knockdown, checks = stiffened_knockdown(mode, wall, state.R, state.t)
    if knockdown is None:
        return part + Part((refused_row(state, mode, checks[-1].text),), checks)
    nets = (knockdown.axial * lowest.line_load, knockdown.bending * lowest.line_load)
    cut = cut_at_yield(state, wall, mode, nets)
    row = pair_row(
        state,
        mode,
        PairCapacity.relieved(state, *cut.nets),
        knockdown,
        equation=f"factor times the lower of Donnell and Sanders over the bay ({lowest.theory}, m = {lowest.m}, "
        f"n = {lowest.n}) + p R/2",
        source=lowest.source,
        worked=(
            *knockdown.worked,
            *capacity_lines(state, wall, length, loads, lowest, (knockdown.axial, knockdown.bending)),
            *cut.worked,
        ),
        note=cut.note,
        basis=mode_basis(state, lowest, length, limited=cut.limited),
        beside=tuple(Beside(ld.name, ld.line_load, f"(m, n) = ({ld.m}, {ld.n})") for ld in loads),
    )
    waves = waves_check(state, mode, lowest)
    return part + Part((row,), (waves, *checks, *cut.checks), knockdowns=(knockdown,))
