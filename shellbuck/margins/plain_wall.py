"""General instability of a plain wall, and of the bare bay between rings: the standard's own equations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.records import Beside, Check, Knockdown, Load, ModeBasis, Worked
from ..handbook import plain, work
from .basis import mode_basis
from .elastic import cut_at_yield, elastic_check
from .knockdown import own_knockdown, plain_knockdown, too_thin
from .prebuckled import SOURCE, edge_bending
from .rows import PairCapacity, mixed_net, pair_row, refused_row, uncompressed_row, waves_check
from .state import Part, State
from .worked_modes import increment_lines

LONG_RATIO = 5.0
"""L/R beyond which the lower of the standard's load and the factor times the Sanders load counts."""

FADED_FROM = 3.0
"""L/R from which that lower load fades in, linearly."""

SHORT_RATIO = 0.5
_LENGTH_SOURCE = "NASA SP-8007 Rev 2, 2.5.1"


@dataclass(frozen=True)
class _Side:
    """Capacity of one of the two loads: total and net [N/m], the worked lines, the equation, and the load with a mode
    that it is made of in place of the standard's equation."""

    total: float
    net: float
    worked: tuple[Worked, ...]
    equation: str
    made_of: Load | None = None
    letter: float | None = None
    """What the standard's equation alone gives, where the Sanders load lowers it [N/m]."""


def classical_load(state: State, length: float, label: str) -> tuple[Load, tuple[Worked, ...]]:
    """The standard's classical load of a plain cylinder of this length [N/m]."""
    E, nu, t, R = state.wall.skin.E, state.wall.skin.nu, state.t, state.R
    Z = work(plain.batdorf_parameter, L=length, R=R, t=t, nu=nu)
    if Z.value >= plain.SHORT_LIMIT:
        line = work(plain.classical_line_load, E=E, nu=nu, t=t, R=R)
        worked, place = (Z, line), "Eqs 1-5, moderately long"
    else:
        k = work(plain.buckling_coefficient_short, gamma=1.0, Z=Z.value)
        line = work(plain.line_load_of_coefficient, k_x=k.value, E=E, nu=nu, t=t, L=length)
        worked, place = (Z, k, line), "Eqs 1-6, short"
    load = Load(
        name=f"{label}, classical equation",
        line_load=line.value,
        theory="Donnell",
        edges="both ends simply supported (SS3: w = v = 0 held, N_x and M_x free)",
        prestress="membrane, uniform N_x",
        load_position="skin middle",
        pressure_treatment="no pressure",
        definition="net axial line load of the wall at bifurcation, compression positive; closed ends may carry "
        "p R/2 more",
        source=f"NASA SP-8007 Rev 2, {place}",
    )
    return load, worked


def _side(state: State, length: float, gamma: float, bending: bool, d_gamma: float) -> _Side:
    E, nu, t, R = state.wall.skin.E, state.wall.skin.nu, state.t, state.R
    Z = float(plain.batdorf_parameter(length, R, t, nu))
    if gamma * Z < plain.SHORT_LIMIT:
        k = work(plain.buckling_coefficient_short, gamma=gamma, Z=Z)
        line = work(plain.line_load_of_coefficient, k_x=k.value, E=E, nu=nu, t=t, L=length)
        return _Side(line.value + state.relief, line.value, (k, line), "Eqs 1 and 6 (short) + p R/2")
    eq48 = plain.pressurised_bending_line_load if bending else plain.pressurised_axial_line_load
    terms = dict(E=E, nu=nu, t=t, R=R, gamma=gamma, d_gamma=d_gamma)
    total = work(eq48, **terms, p=state.relief_pressure)
    net = float(eq48(**terms, p=0.0))
    return _Side(total.value, net, (total,), "Eq 50" if bending else "Eq 48")


def general(state: State) -> Part:
    """General instability of a plain barrel."""
    mode, R, t = "general instability", state.R, state.t
    classical, steps = classical_load(state, state.L, mode)
    N_theta = state.load.p_min * R
    theories = state.classical(state.wall, state.L, mode)
    pressed = state.classical(state.wall, state.L, mode, N_theta) if N_theta else ()
    part = Part(loads=(classical, *theories, *pressed), elastic=((mode, classical.line_load),))
    if not state.compressed:
        return part + Part(rows=(uncompressed_row(state, mode),))
    own = state.case.policy.own_knockdown
    d_gamma, extra = 0.0, ()
    if own is not None:
        knockdown = own_knockdown(mode, own.axial, own.bending)
    elif R / t > plain.MOST_RADIUS_TO_THICKNESS:
        check = too_thin(mode, R, t)
        return part + Part(rows=(refused_row(state, mode, check.text),), checks=(check,))
    else:
        knockdown = plain_knockdown(mode, R, t)
        if state.load.p_min:
            p_bar = work(plain.pressure_parameter, p=state.load.p_min, E=state.wall.skin.E, R=R, t=t)
            d_gamma, extra = plain.increment(p_bar.value), (p_bar, *increment_lines(p_bar.value))
    axial, bending, checks = _sides(state, state.L, mode, knockdown, theories[1], d_gamma, bending_relief=True)
    bent = edge_bending(state, (axial.net, bending.net))
    capacity = bent.limited(state, PairCapacity(axial.total, bending.total, axial.net, bending.net))
    checks += bent.check(state)
    row = pair_row(
        state,
        mode,
        capacity,
        bent.factors(knockdown),
        equation=bent.equation(
            state,
            f"axial {axial.equation}; bending {bending.equation}"
            + (" (collapse; wrinkles earlier)" if state.relief_pressure and state.N_b else "")
            + (f"; increment {d_gamma:.4f} (Fig 4-5, reduced by its scatter)" if d_gamma else ""),
        ),
        source=SOURCE if bent.governs(state) else "NASA SP-8007 Rev 2",
        worked=(*steps, *knockdown.worked, *extra, *axial.worked, *bending.worked),
        beside=(
            *bent.beside(state, knockdown),
            *_modes((*theories, *pressed)),
            *_letters(axial, bending),
            *_wrinkle(state, axial),
        ),
        basis=mode_basis(state, bent.load, state.L, pressure=bent.pressure)
        if bent.governs(state)
        else _basis(
            state,
            state.L,
            classical,
            (axial, bending),
            pressed[0] if d_gamma else theories[0],
            pressure=state.load.p_min if d_gamma else 0.0,
        ),
    )
    row = bent.judged(row)
    elastic, beyond = elastic_check(state, state.wall, mode, mixed_net(state, capacity))
    if elastic.status == "refused":
        row = refused_row(state, mode, elastic.text, worked=(*row.worked, *beyond), beside=row.beside, basis=row.basis)
    waves = waves_check(state, mode, min(pressed or theories, key=lambda load: load.line_load))
    more = (bent.load,) if bent.new else ()
    return part + Part((row,), (waves, *checks, elastic), more, (knockdown,), edge_bending=bent.status)


def _modes(loads: tuple[Load, ...]) -> tuple[Beside, ...]:
    return tuple(Beside(ld.name, ld.line_load, f"(m, n) = ({ld.m}, {ld.n})") for ld in loads)


def _letters(*sides: _Side) -> tuple[Beside, ...]:
    """What the standard's equations alone would give, where the length lowers it."""
    return tuple(
        Beside(f"{what} capacity by the standard's equation alone", side.letter, "not verified for this length")
        for what, side in zip(("axial", "bending"), sides, strict=True)
        if side.letter is not None
    )


def _wrinkle(state: State, axial: _Side) -> tuple[Beside, ...]:
    """Where the bending relief of the standard is used: the load at which the peak fibre first wrinkles."""
    if not state.relief_pressure or not state.N_b:
        return ()
    note = "Eq 50 is the collapse moment with 0.8 p R; the wall wrinkles earlier, at this line load of the peak fibre"
    return (Beside("peak fibre reaches the axial capacity", axial.total, note),)


def bare_bay(state: State, length: float) -> Part:
    """The bare skin between two rings: plain equations with the bay's own length, relief p R/2, no increment."""
    mode, R, t = "panel between rings", state.R, state.t
    classical, steps = classical_load(state, length, mode)
    skin = state.engines.panel(state.temperature)
    theories = state.classical(skin, length, mode)
    part = Part(loads=(classical, *theories), elastic=((mode, classical.line_load),))
    if not state.compressed:
        return part + Part(rows=(uncompressed_row(state, mode),))
    own = state.case.policy.own_knockdown
    if own is not None and own.panel_axial is not None:
        knockdown = own_knockdown(mode, own.panel_axial, own.panel_bending)
    elif R / t > plain.MOST_RADIUS_TO_THICKNESS:
        check = too_thin(mode, R, t)
        return part + Part(rows=(refused_row(state, mode, check.text),), checks=(check,))
    else:
        knockdown = plain_knockdown(mode, R, t)
    axial, bending, checks = _sides(state, length, mode, knockdown, theories[1], 0.0, bending_relief=False)
    cut = cut_at_yield(state, state.wall, mode, (axial.net, bending.net))
    capacity = PairCapacity.relieved(state, *cut.nets)
    row = pair_row(
        state,
        mode,
        capacity,
        knockdown,
        equation="plain-wall equations over the bay + p R/2, no increment",
        source="NASA SP-8007 Rev 2, Eqs 1-15",
        note=cut.note,
        worked=(*steps, *knockdown.worked, *axial.worked, *bending.worked, *cut.worked),
        beside=(*_modes(theories), *_letters(axial, bending)),
        basis=_basis(state, length, classical, (axial, bending), theories[0], pressure=0.0, limited=cut.limited),
    )
    return part + Part((row,), (*checks, *cut.checks), knockdowns=(knockdown,))


def _sides(
    state: State, length: float, mode: str, knockdown: Knockdown, sanders: Load, d_gamma: float, *, bending_relief: bool
) -> tuple[_Side, _Side, tuple[Check, ...]]:
    """Axial and bending capacity over a length, with what must be said about that length.

    `bending_relief` gives bending the standard's 0.8 p R; without it the relief is p R/2, as for axial load.
    """
    axial = _side(state, length, knockdown.axial, False, d_gamma)
    bending = _side(state, length, knockdown.bending, bending_relief, d_gamma)
    ratio = length / state.R
    if ratio < SHORT_RATIO:
        text = f"{mode}: L/R = {ratio:.3g}: NO TEST behind the factor covers L/R below {SHORT_RATIO:g}"
        return axial, bending, (Check("length-to-radius", "warned", text, state.load.name, _LENGTH_SOURCE),)
    if ratio <= FADED_FROM:
        return axial, bending, ()
    rule = "the lower of the standard's load and the factor times the Sanders load"
    text = (
        f"{mode}: L/R = {ratio:.2f} is beyond the {LONG_RATIO:g} the factor was verified for: {rule} counts"
        if ratio > LONG_RATIO
        else f"{mode}: L/R = {ratio:.2f}: {rule} fades in from L/R {FADED_FROM:g} to {LONG_RATIO:g} (own rule)"
    )
    status = "warned" if ratio > LONG_RATIO else "passed"
    checks = (Check("length-to-radius", status, text, state.load.name, _LENGTH_SOURCE),)
    return *(
        _long(state, s, g, sanders, ratio) for s, g in ((axial, knockdown.axial), (bending, knockdown.bending))
    ), checks


def faded(letter, lower, ratio):
    """Capacity over a length of this ratio to the radius, numbers or arrays [N/m]: the standard's up to 3, the lower
    one beyond 5, linear between."""
    within = np.clip(ratio, FADED_FROM, LONG_RATIO)
    return np.where(
        np.less_equal(ratio, FADED_FROM), letter, plain.faded_line_load(letter, np.minimum(letter, lower), within)
    )


def _long(state: State, side: _Side, gamma: float, sanders: Load, ratio: float) -> _Side:
    """The capacity with the Sanders load in it as far as the length asks for it; that part has no increment."""
    lower = gamma * sanders.line_load
    net, total = (
        float(faded(letter, own, ratio)) for letter, own in ((side.net, lower), (side.total, lower + state.relief))
    )
    if net >= side.net and total >= side.total:
        return side
    limit = min(side.total, lower + state.relief)
    worked = work(plain.faded_line_load, N_std=side.total, N_low=limit, L_over_R=min(ratio, LONG_RATIO))
    named = f"factor times the Sanders load at (m, n) = ({sanders.m}, {sanders.n}) + p R/2, no increment"
    equation = named if ratio >= LONG_RATIO else f"{side.equation}, faded towards the {named}"
    return _Side(
        total, net, (*side.worked, worked), equation, sanders if ratio >= LONG_RATIO else None, letter=side.total
    )


def _basis(
    state: State,
    length: float,
    letter: Load,
    sides: tuple[_Side, _Side],
    beside: Load,
    *,
    pressure: float,
    limited: str = "",
) -> ModeBasis:
    """What the larger of the two uses of capacity rests on: the standard's letter, which has no mode, or a load that
    replaces it."""
    axial, bending = sides
    leading = axial if max(state.N_a, 0.0) / axial.total >= state.N_b / bending.total else bending
    if leading.made_of is not None:
        return mode_basis(state, leading.made_of, length, limited=limited)
    return mode_basis(state, letter, length, pressure=pressure, beside=beside, limited=limited)
