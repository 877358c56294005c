"""General instability of a plain wall, and the bare bay between rings: the standard's own equations."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ...core.records import Beside, Check, Load, ModeBasis, Worked
from ...handbook import plain, work
from ..basis import mode_basis
from ..components import AXIAL, BENDING
from ..engines import Classical, Number
from ..findings import Findings, Row, Story
from ..further import further
from ..inelastic import cylinder_rules, reduced, reduced_and_cut
from ..interaction import Capacity, Interaction
from ..keys import GENERAL
from ..knockdown import own_factors, plain_factors
from ..plasticity import axisymmetric_besides, curve_of
from ..prebuckled import SOURCE, edge_bending
from ..state import State
from ..worked_modes import increment_lines
from .mode import FailureMode
from .wording import NO_COMPRESSION, loads_beside, waves_check

TITLE = "general instability"

LONG_RATIO = 5.0
"""L/R beyond which the lower of the standard's load and the factor times the Sanders load counts."""

FADED_FROM = 3.0
"""L/R from which that lower load fades in, linearly."""

SHORT_RATIO = 0.5
_LENGTH_SOURCE = "NASA SP-8007 Rev 2, 2.5.1"
_EQUATIONS = {AXIAL: plain.pressurised_axial_line_load, BENDING: plain.pressurised_bending_line_load}
_NAMES = {plain.pressurised_axial_line_load: "Eq 48", plain.pressurised_bending_line_load: "Eq 50"}


def standard_load(s: State, length: Number) -> Number:
    """The standard's classical load of a plain cylinder of this length [N/m]."""
    E, nu, t, R = s.wall.skin.E, s.wall.skin.nu, s.t, s.R
    Z = plain.batdorf_parameter(length, R, t, nu)
    short = plain.line_load_of_coefficient(plain.buckling_coefficient_short(1.0, Z), E, nu, t, length)
    return np.where(Z >= plain.SHORT_LIMIT, plain.classical_line_load(E, nu, t, R), short)[()]


def _standard_record(s: State, length: float, title: str) -> tuple[Load, tuple[Worked, ...]]:
    """The same of a single design, as a record with its lines."""
    E, nu, t, R = s.wall.skin.E, s.wall.skin.nu, s.t, s.R
    Z = work(plain.batdorf_parameter, L=length, R=R, t=t, nu=nu)
    if Z.value >= plain.SHORT_LIMIT:
        line = work(plain.classical_line_load, E=E, nu=nu, t=t, R=R)
        worked, place = (Z, line), "Eqs 1-5, moderately long"
    else:
        k = work(plain.buckling_coefficient_short, gamma=1.0, Z=Z.value)
        line = work(plain.line_load_of_coefficient, k_x=k.value, E=E, nu=nu, t=t, L=length)
        worked, place = (Z, k, line), "Eqs 1-6, short"
    load = Load(
        name=f"{title}, classical equation",
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


def faded(letter: Number, lower: Number, ratio: Number) -> Number:
    """Capacity over a length of this ratio to the radius [N/m]: the standard's up to 3, the lower one beyond 5, linear
    between."""
    within = np.clip(ratio, FADED_FROM, LONG_RATIO)
    between = plain.faded_line_load(letter, np.minimum(letter, lower), within)
    return np.where(np.less_equal(ratio, FADED_FROM), letter, between)[()]


@dataclass(frozen=True, eq=False)
class Side:
    """Capacity under one load component over a length: total and net [N/m], with what the standard's equation alone
    gives (`letter`, `letter_net`) and whether its short form applies."""

    state: State
    length: Number
    gamma: Number
    d_gamma: Number
    equation: object
    sanders: Classical
    brief: np.ndarray
    letter: Number
    letter_net: Number
    total: Number
    net: Number

    # --- of a single design

    @property
    def ratio(self) -> float:
        return self.length / self.state.R

    @property
    def lowered(self) -> bool:
        """Whether the Sanders load lowers what the standard's equation gives."""
        return bool(self.total < self.letter or self.net < self.letter_net)

    @property
    def made_of(self) -> Load | None:
        """The load with a mode that it rests on in place of the standard's equation."""
        return self.sanders.pair[1] if self.lowered and self.ratio >= LONG_RATIO else None

    @property
    def words(self) -> str:
        own = "Eqs 1 and 6 (short) + p R/2" if self.brief else _NAMES[self.equation]
        if not self.lowered:
            return own
        load = self.sanders.pair[1]
        named = f"factor times the Sanders load at (m, n) = ({load.m}, {load.n}) + p R/2, no increment"
        return named if self.ratio >= LONG_RATIO else f"{own}, faded towards the {named}"

    @property
    def worked(self) -> tuple[Worked, ...]:
        s = self.state
        E, nu, t = s.wall.skin.E, s.wall.skin.nu, s.t
        if self.brief:
            Z = float(plain.batdorf_parameter(self.length, s.R, t, nu))
            k = work(plain.buckling_coefficient_short, gamma=self.gamma, Z=Z)
            lines = k, work(plain.line_load_of_coefficient, k_x=k.value, E=E, nu=nu, t=t, L=self.length)
        else:
            terms = dict(E=E, nu=nu, t=t, R=s.R, gamma=self.gamma, d_gamma=self.d_gamma, p=s.relief_pressure)
            lines = (work(self.equation, **terms),)
        if not self.lowered:
            return lines
        limit = min(self.letter, self.gamma * self.sanders.sanders + s.relief)
        return *lines, work(plain.faded_line_load, N_std=self.letter, N_low=limit, L_over_R=min(self.ratio, LONG_RATIO))


def _letters(
    s: State, length: Number, gamma: Number, d_gamma: Number, equation: object
) -> tuple[np.ndarray, Number, Number]:
    """Whether the standard's short form applies, and its total and net capacity [N/m]."""
    E, nu, t, R = s.wall.skin.E, s.wall.skin.nu, s.t, s.R
    Z = plain.batdorf_parameter(length, R, t, nu)
    short = plain.line_load_of_coefficient(plain.buckling_coefficient_short(gamma, Z), E, nu, t, length)
    brief = gamma * Z < plain.SHORT_LIMIT
    terms = dict(E=E, nu=nu, t=t, R=R, gamma=gamma, d_gamma=d_gamma)
    total = np.where(brief, short + s.relief, equation(**terms, p=s.relief_pressure))[()]
    return brief, total, np.where(brief, short, equation(**terms, p=0.0))[()]


def _sides(
    s: State, length: Number, factors: dict[str, Number], sanders: Classical, d_gamma: Number, equations: dict
) -> dict[str, Side]:
    sides, ratio = {}, length / s.R
    for key, gamma in factors.items():
        brief, total, net = _letters(s, length, gamma, d_gamma, equations[key])
        lower = gamma * sanders.sanders
        sides[key] = Side(
            s,
            length,
            gamma,
            d_gamma,
            equations[key],
            sanders,
            brief,
            total,
            net,
            faded(total, lower + s.relief, ratio),
            faded(net, lower, ratio),
        )
    return sides


def _length_checks(s: State, length: float, title: str) -> tuple[Check, ...]:
    """What must be said about a length that the tests behind the factor do not cover."""
    ratio = length / s.R
    if ratio < SHORT_RATIO:
        text = f"{title}: L/R = {ratio:.3g}: NO TEST behind the factor covers L/R below {SHORT_RATIO:g}"
        return (Check("length-to-radius", "warned", text, s.load.name, _LENGTH_SOURCE),)
    if ratio <= FADED_FROM:
        return ()
    rule = "the lower of the standard's load and the factor times the Sanders load"
    text = (
        f"{title}: L/R = {ratio:.2f} is beyond the {LONG_RATIO:g} the factor was verified for: {rule} counts"
        if ratio > LONG_RATIO
        else f"{title}: L/R = {ratio:.2f}: {rule} fades in from L/R {FADED_FROM:g} to {LONG_RATIO:g} (own rule)"
    )
    status = "warned" if ratio > LONG_RATIO else "passed"
    return (Check("length-to-radius", status, text, s.load.name, _LENGTH_SOURCE),)


def _letters_beside(sides: dict[str, Side]) -> tuple[Beside, ...]:
    """What the standard's equations alone would give, where the length lowers it."""
    return tuple(
        Beside(f"{key} capacity by the standard's equation alone", float(side.letter), "not verified for this length")
        for key, side in sides.items()
        if side.lowered
    )


def _wrinkle(s: State, axial: Side) -> tuple[Beside, ...]:
    """Where the bending relief of the standard is used: the load at which the peak fibre first wrinkles."""
    if not s.relief_pressure or not s.N_b:
        return ()
    note = "Eq 50 is the collapse moment with 0.8 p R; the wall wrinkles earlier, at this line load of the peak fibre"
    return (Beside("peak fibre reaches the axial capacity", float(axial.total), note),)


def _axisymmetric(s: State, limited: str) -> tuple[Beside, ...]:
    """Plastic bifurcation of the perfect wall by both theories of plasticity, where plasticity counts."""
    if not limited:
        return ()
    curve = curve_of(s.case.material, s.load.temperature)
    return axisymmetric_besides(curve, s.wall.skin.nu, s.t, s.R)


def _basis(s: State, length: float, letter: Load, sides: dict[str, Side], beside: Load, **more) -> ModeBasis:
    """What the larger of the two uses of capacity rests on: the standard's letter, which has no mode, or a load that
    replaces it."""
    axial, bending = sides[AXIAL], sides[BENDING]
    leading = axial if max(s.N_a, 0.0) / axial.total >= s.N_b / bending.total else bending
    if leading.made_of is not None:
        return mode_basis(s, leading.made_of, length, limited=more.get("limited", ""))
    return mode_basis(s, letter, length, beside=beside, **more)


def _sanders(s: State, wall, length: Number, title: str) -> Classical:
    """Computed loads of a plain wall; of many designs only where the length asks for Sanders' load."""
    return s.engines.lowest(wall, length, title, exists=True, wanted=np.greater(length / s.R, FADED_FROM))


def rows(s: State, _: Findings) -> Iterator[Row]:
    """General instability of a plain barrel."""
    R, t, p = s.R, s.t, s.p_min
    theories = _sanders(s, s.wall, s.L, TITLE)
    pressed = theories
    if np.any(p):
        pressed = s.engines.lowest(s.wall, s.L, TITLE, p * R, exists=np.asarray(p) > 0, wanted=False)
    own, d_gamma = s.case.policy.own_knockdown, 0.0
    if own is not None:
        factors = own_factors(own.axial, own.bending)
    else:
        factors = plain_factors(R, t)
        p_bar = plain.pressure_parameter(p, s.wall.skin.E, R, t)
        d_gamma = np.where(np.asarray(p) > 0, plain.increment(p_bar), 0.0)[()]
    sides = _sides(s, s.L, factors.factors, theories, d_gamma, _EQUATIONS)
    nets = {key: side.net for key, side in sides.items()}
    counts = np.asarray(s.compressed) & ~factors.beyond
    bent = edge_bending(s, nets, bool(np.any(counts)))
    elastic = Capacity({key: side.total for key, side in sides.items()}, nets).limited(s, bent.line_load)
    left = reduced(s, s.wall, elastic.net, cylinder_rules(s.wall, R, s.L, t, factors.factors))
    more = further(s, s.wall, s.L, TITLE)
    mix = Interaction(s, elastic.left(s, left.nets).beside(more.capacities))

    def story() -> Story:
        classical, steps = _standard_record(s, s.L, TITLE)
        computed = theories.pair if pressed is theories else (*theories.pair, *pressed.pair)
        base = Story(loads=(classical, *computed), elastic=((TITLE, classical.line_load),))
        if not s.stressed:
            return base.more(row=dict(note=NO_COMPRESSION))
        knockdown, refusal = factors.say(TITLE)
        if knockdown is None:
            return base.more(row=dict(note=refusal[0].text), checks=refusal)
        extra = ()
        if own is None and p:
            line = work(plain.pressure_parameter, p=p, E=s.wall.skin.E, R=R, t=t)
            extra = (line, *increment_lines(line.value))
        used = bent.factors(knockdown)
        axial, bending = sides[AXIAL], sides[BENDING]
        lines = (*steps, *knockdown.worked, *extra, *axial.worked, *bending.worked, *left.worked, *more.worked)
        fields = dict(
            knockdown_source=used.source,
            equation=bent.equation(
                s,
                f"axial {axial.words}; bending {bending.words}"
                + (" (collapse; wrinkles earlier)" if s.relief_pressure and s.N_b else "")
                + (f"; increment {d_gamma:.4f} (Fig 4-5, reduced by its scatter)" if d_gamma else ""),
            )
            + more.equation,
            source=SOURCE if bent.governs(s) else "NASA SP-8007 Rev 2",
            beside=(
                *bent.beside(s, knockdown),
                *loads_beside(computed),
                *_letters_beside(sides),
                *_wrinkle(s, axial),
                *_axisymmetric(s, left.limited),
            ),
            note=left.note,
            basis=more.basis(mix.ratios, left.limited)
            or (
                mode_basis(s, bent.load, s.L, pressure=bent.pressure, limited=left.limited)
                if bent.governs(s)
                else _basis(
                    s,
                    s.L,
                    classical,
                    sides,
                    pressed.pair[0] if d_gamma else theories.pair[0],
                    pressure=p if d_gamma else 0.0,
                    limited=left.limited,
                )
            ),
            **mix.fields({**dict(used.factors), **more.knockdowns}, lines),
        )
        lowest = min(pressed.pair, key=lambda load: load.line_load)
        plasticity = left.checks(s, TITLE)
        return base.more(
            row=bent.judged(fields, mix.margin),
            checks=(
                waves_check(s, TITLE, lowest),
                *_length_checks(s, s.L, TITLE),
                *bent.check(s),
                *plasticity,
                *more.checks,
            ),
            loads=(*((bent.load,) if bent.new else ()), *more.loads),
            knockdowns=(knockdown, *more.knockdown_records),
            edge_bending=bent.status,
        )

    yield Row(
        TITLE,
        mix.margin,
        s.stressed,
        story=story,
        classical=standard_load(s, s.L),
        refused={**factors.refused, **more.refused},
        withheld=bent.withholds(mix.margin),
        limits={key: np.where(s.stressed, x, 0.0) for key, x in factors.limits.items()},
    )


def bare_bay(s: State, length: Number, title: str) -> Iterator[Row]:
    """The bare skin between two rings: plain equations with the bay's own length, relief p R/2, no increment."""
    skin = s.engines.panel(s.temperature)
    theories = _sanders(s, skin, length, title)
    own = s.case.policy.own_knockdown
    if own is not None and own.panel_axial is not None:
        factors = own_factors(own.panel_axial, own.panel_bending)
    else:
        factors = plain_factors(s.R, s.t)
    sides = _sides(
        s, length, factors.factors, theories, 0.0, dict.fromkeys((AXIAL, BENDING), plain.pressurised_axial_line_load)
    )
    rules = cylinder_rules(s.wall, s.R, length, s.t, factors.factors)
    left = reduced_and_cut(s, s.wall, {key: side.net for key, side in sides.items()}, rules)
    more = further(s, skin, length, title, cut=True)
    mix = Interaction(s, Capacity.relieved(s, left.nets).beside(more.capacities))

    def story() -> Story:
        classical, steps = _standard_record(s, length, title)
        base = Story(loads=(classical, *theories.pair), elastic=((title, classical.line_load),))
        if not s.stressed:
            return base.more(row=dict(note=NO_COMPRESSION))
        knockdown, refusal = factors.say(title)
        if knockdown is None:
            return base.more(row=dict(note=refusal[0].text), checks=refusal)
        lines = (*steps, *knockdown.worked, *sides[AXIAL].worked, *sides[BENDING].worked, *left.worked, *more.worked)
        fields = dict(
            equation=f"plain-wall equations over the bay + p R/2, no increment{more.equation}",
            source="NASA SP-8007 Rev 2, Eqs 1-15",
            note=left.note,
            knockdown_source=knockdown.source,
            beside=(*loads_beside(theories.pair), *_letters_beside(sides)),
            basis=more.basis(mix.ratios, left.limited)
            or _basis(s, length, classical, sides, theories.pair[0], pressure=0.0, limited=left.limited),
            **mix.fields({**dict(knockdown.factors), **more.knockdowns}, lines),
        )
        checks = (*_length_checks(s, length, title), *left.checks(s, title), *more.checks)
        return base.more(row=fields, checks=checks, knockdowns=(knockdown, *more.knockdown_records), loads=more.loads)

    yield Row(
        title,
        mix.margin,
        s.stressed,
        story=story,
        refused={**factors.refused, **more.refused},
        limits={key: np.where(s.stressed, x, 0.0) for key, x in factors.limits.items()},
    )


MODES = (
    FailureMode(
        GENERAL,
        TITLE,
        11,
        "stability",
        lambda case: case.wall.plain,
        rows,
        walls="plain walls",
        capacity="the standard's equations for plain and pressurised cylinders; from L/R 3 the "
        "factor times the Sanders load fades in, the lower counts beyond 5",
        knockdown="Eqs 9-10 axial, 14-15 bending; the increment of Fig 4-5 with pressure",
        valid="R/t up to 1500; L/R 0.5 to 5 tested; beyond the elastic range reduced by Eqs 11 and 12",
        source="NASA SP-8007 Rev 2, Eqs 1-15, 48, 50",
        formulas=("classical-line-load", "pressurised-axial-line-load", "pressurised-bending-line-load"),
        shape="the wall buckles over the whole barrel",
    ),
)
