"""General instability of a plain wall, and of the bare bay between rings: the standard's own equations."""

from __future__ import annotations

from dataclasses import dataclass

from ..handbook import plain, work
from ..records import Beside, Check, Knockdown, Load, Worked
from .elastic import cut_at_yield, elastic_check
from .knockdown import OWN, own_knockdown, plain_knockdown, too_thin
from .rows import PairCapacity, mixed_net, pair_row, refused_row
from .state import Part, State

LONG_RATIO = 5.0
SHORT_RATIO = 0.5


@dataclass(frozen=True)
class _Side:
    """Capacity of one of the two loads: total and net [N/m], the worked lines, and the equation."""

    total: float
    net: float
    worked: tuple[Worked, ...]
    equation: str


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
        name=f"{label}, classical equation", line_load=line.value, theory="Donnell",
        edges="both ends simply supported (SS3: w = v = 0 held, N_x and M_x free)",
        prestress="membrane, uniform N_x", load_position="skin middle", pressure_treatment="no pressure",
        definition="net axial line load of the wall at bifurcation, compression positive; closed ends may carry "
        "p R/2 more", source=f"NASA SP-8007 Rev 2, {place}",
    )  # fmt: skip
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
    mode, R, L, t = "general instability", state.R, state.L, state.t
    classical, classical_steps = classical_load(state, L, mode)
    N_theta = state.load.p_min * R
    theories = state.classical(state.wall, L, mode)
    pressed = state.classical(state.wall, L, mode, N_theta) if N_theta else ()
    part = Part(loads=(classical, *theories, *pressed), elastic=((mode, classical.line_load),))
    own = state.case.policy.own_knockdown
    if own is None and R / t > plain.MOST_RADIUS_TO_THICKNESS:
        check = too_thin(mode, R, t)
        return part + Part(rows=(refused_row(state, mode, check.text),), checks=(check,))
    checks = [_short_check(state, mode, L)] if L / R < SHORT_RATIO else []
    if own is not None:
        knockdown = own_knockdown(mode, own.axial, own.bending)
        sides = [
            _Side(g * classical.line_load + state.relief, g * classical.line_load, classical_steps,
                  "own factor times the classical load + p R/2") for g in (own.axial, own.bending)
        ]  # fmt: skip
        extra: tuple[Worked, ...] = ()
    else:
        knockdown = plain_knockdown(mode, R, t)
        p_bar = work(plain.pressure_parameter, p=state.load.p_min, E=state.wall.skin.E, R=R, t=t)
        d_gamma = plain.increment(p_bar.value)
        sides = [_side(state, L, knockdown.axial, False, d_gamma), _side(state, L, knockdown.bending, True, d_gamma)]
        extra = (*knockdown.worked, p_bar) if state.load.p_min else knockdown.worked
    if L / R > LONG_RATIO:
        sides = [_long(state, s, g, theories[1]) for s, g in
                 zip(sides, (knockdown.axial, knockdown.bending), strict=True)]  # fmt: skip
        checks.append(Check(
            "length-to-radius", "warned",
            f"{mode}: L/R = {L / R:.2f} is beyond the {LONG_RATIO:g} the factor was verified for: the lower of the "
            "standard's load and the factor times the Sanders load counts", "barrel.length",
            "NASA SP-8007 Rev 2, Eqs 9-10",
        ))  # fmt: skip
    axial, bending = sides
    capacity = PairCapacity(axial.total, bending.total, axial.net, bending.net)
    row = pair_row(
        state, mode, capacity, knockdown,
        equation=f"axial {axial.equation}; bending {bending.equation}", source="NASA SP-8007 Rev 2",
        worked=(*classical_steps, *extra, *axial.worked, *bending.worked),
        beside=tuple(Beside(ld.name, ld.line_load, f"(m, n) = ({ld.m}, {ld.n})") for ld in (*theories, *pressed)),
    )  # fmt: skip
    elastic = elastic_check(state, state.wall, mode, mixed_net(state, capacity))
    if elastic.status == "refused":
        row = refused_row(state, mode, elastic.text, worked=row.worked, beside=row.beside)
    return part + Part((row,), (*checks, elastic), knockdowns=(knockdown,))


def _long(state: State, side: _Side, gamma: float, sanders: Load) -> _Side:
    net = gamma * sanders.line_load
    if net >= side.net:
        return side
    equation = f"factor times the Sanders load at (m, n) = ({sanders.m}, {sanders.n}) + p R/2, no increment"
    return _Side(net + state.relief, net, (), equation)


def _short_check(state: State, mode: str, length: float) -> Check:
    return Check(
        "length-to-radius", "warned",
        f"{mode}: L/R = {length / state.R:.3g}: NO TEST behind the factor covers L/R below {SHORT_RATIO:g}",
        "barrel.length", "NASA SP-8007 Rev 2, 2.5.1",
    )  # fmt: skip


def bare_bay(state: State, length: float) -> Part:
    """The bare skin between two rings: plain equations with the bay's own length, relief p R/2, no increment."""
    mode, R, t = "panel between rings", state.R, state.t
    classical, steps = classical_load(state, length, mode)
    part = Part(loads=(classical,), elastic=((mode, classical.line_load),))
    own = state.case.policy.own_knockdown
    if own is not None and own.panel_axial is not None:
        knockdown = Knockdown(mode, own.panel_axial, own.panel_bending, OWN)
        nets = tuple(g * classical.line_load for g in (own.panel_axial, own.panel_bending))
        extra: tuple[Worked, ...] = ()
    else:
        if R / t > plain.MOST_RADIUS_TO_THICKNESS:
            check = too_thin(mode, R, t)
            return part + Part(rows=(refused_row(state, mode, check.text),), checks=(check,))
        knockdown = plain_knockdown(mode, R, t)
        sides = [_side(state, length, g, False, 0.0) for g in (knockdown.axial, knockdown.bending)]
        nets = tuple(s.net for s in sides)
        extra = (*knockdown.worked, *sides[0].worked, *sides[1].worked)
    checks = (_short_check(state, mode, length),) if length / R < SHORT_RATIO else ()
    nets, note, cut = cut_at_yield(state, state.wall, mode, nets)
    capacity = PairCapacity(nets[0] + state.relief, nets[1] + state.relief, nets[0], nets[1])
    row = pair_row(
        state, mode, capacity, knockdown, equation="plain-wall equations over the bay + p R/2, no increment",
        source="NASA SP-8007 Rev 2, Eqs 1-15", worked=(*steps, *extra), note=note,
    )  # fmt: skip
    return part + Part((row,), (*checks, *cut), knockdowns=(knockdown,))
