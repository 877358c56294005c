"""General instability of stiffened walls and of walls of given stiffness: factor times the lower of Donnell's and
Sanders' load, or the nonlinear prebuckled load where that is lower."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ...core.records import Beside, Check, Load
from ..basis import mode_basis
from ..findings import Findings, Row, Story
from ..further import further
from ..inelastic import cylinder_rules, reduced
from ..interaction import Capacity, Interaction
from ..keys import GENERAL
from ..knockdown import equivalent_thickness, own_factors, skin_factors
from ..post_buckled import acting, shed_wall, stable_wall
from ..prebuckled import SOURCE, edge_bending
from ..state import State
from ..worked_modes import capacity_lines
from .mode import FailureMode
from .wording import NO_COMPRESSION, joined, loads_beside, waves_check, waves_of, withheld_story

TITLE = "general instability"
GAIN_WARNED = 1.2
_GAIN_SOURCE = "own rule (SP-8007 Rev 2, 4.1.1.5.4 limits its increment to plain walls)"


def rows(s: State, found: Findings) -> Iterator[Row]:
    """General instability over the whole barrel."""
    withheld, p = found.skin_buckles, s.p_min
    exists = ~np.asarray(withheld)
    N_theta = p * s.R
    wall, soft = stable_wall(s), acting(s)
    empty = s.engines.lowest(wall, s.L, TITLE, exists=exists)
    asked = s.case.policy.computed_pressure_gain is not None
    pressed = empty
    if np.any(p):
        pressed = s.engines.lowest(wall, s.L, TITLE, N_theta, exists=exists & (np.asarray(p) > 0), wanted=asked)
    official = np.where(np.asarray(p) > 0, pressed.lower, empty.lower) if asked else empty.lower
    own = s.case.policy.own_knockdown
    factors = skin_factors(s.wall, wall, s.R, s.t) if own is None else own_factors(own.axial, own.bending)
    nets = factors.times(official)
    counts = exists & np.asarray(s.compressed) & ~factors.beyond
    bent = edge_bending(s, nets, bool(np.any(counts)))
    elastic = Capacity.relieved(s, nets).limited(s, bent.line_load)
    rules = cylinder_rules(s.wall, s.R, s.L, equivalent_thickness(s.wall), factors.factors)
    left = reduced(s, shed_wall(s), elastic.net, rules)
    more = further(s, wall, s.L, TITLE)
    mix = Interaction(s, elastic.left(s, left.nets).beside(more.capacities))

    def story() -> Story:
        if withheld:
            return withheld_story(s, TITLE, s.wall, s.L)
        pair = empty.pair if pressed is empty else (*empty.pair, *pressed.pair)
        gain = pressed.lower / empty.lower
        base = Story(loads=pair, elastic=((TITLE, float(empty.lower)),), pressure_gain=float(gain))
        if not s.stressed:
            return base.more(row=dict(note=NO_COMPRESSION))
        rests = _lower(pressed.pair if asked else empty.pair)
        checks = [waves_check(s, TITLE, rests)]
        if gain > GAIN_WARNED:
            credited = "it is credited because the case asks for it" if asked else "only the axial relief is credited"
            text = f"{TITLE}: minimum pressure stabilises the computed load by a factor {gain:.2f}; {credited}"
            checks.append(Check("pressure-gain", "warned", text, s.load.name, _GAIN_SOURCE))
        knockdown, told = factors.say(TITLE)
        checks += told
        if knockdown is None:
            return base.more(row=dict(note=told[-1].text), checks=checks)
        checks += more.checks
        checks += bent.check(s)
        beside = loads_beside(pair)
        if pressed is not empty:
            gained = Beside(
                "computed stabilised load, lower theory", float(pressed.lower), f"gain {gain:.3f} over no pressure"
            )
            beside = (*beside, gained)
        lines = () if soft is None else soft.stiffness_lines(s.wall)
        lines += capacity_lines(
            s, wall, s.L, pressed.pair if asked else empty.pair, rests, factors.factors, N_theta if asked else 0.0
        )
        used = bent.factors(knockdown)
        fields = dict(
            knockdown_source=used.source,
            equation=bent.equation(
                s,
                f"factor times the lower of Donnell and Sanders ({rests.theory}, {waves_of(rests, pair=False)}"
                f"{', at minimum pressure by request' if asked and N_theta else ''}) + p R/2",
            )
            + more.equation,
            source=SOURCE if bent.governs(s) else rests.source,
            beside=(*bent.beside(s, knockdown), *beside, *more.besides()),
            basis=more.basis(mix.ratios, left.limited)
            or (
                mode_basis(s, bent.load, s.L, pressure=bent.pressure, limited=left.limited)
                if bent.governs(s)
                else mode_basis(s, rests, s.L, pressure=p if asked else 0.0, limited=left.limited)
            ),
            note=left.note,
            **mix.fields(
                {**dict(used.factors), **more.knockdowns}, (*knockdown.worked, *lines, *left.worked, *more.worked)
            ),
        )
        if soft is not None:
            fields["note"] = joined(soft.words, fields.get("note", ""))
        return base.more(
            row=bent.judged(fields, mix.margin),
            checks=(*checks, *left.checks(s, TITLE)),
            loads=(*((bent.load,) if bent.new else ()), *more.loads),
            knockdowns=(knockdown, *more.knockdown_records),
            edge_bending=bent.status,
        )

    yield Row(
        TITLE,
        mix.margin,
        s.stressed,
        story=story,
        classical=empty.lower,
        refused={**factors.refused, **more.refused},
        withheld=np.asarray(withheld) | bent.withholds(mix.margin),
        limits={key: np.where(exists & s.stressed, x, 0.0) for key, x in factors.limits.items()},
    )


def _lower(pair: tuple[Load, ...]) -> Load:
    return min(pair, key=lambda load: load.line_load)


MODES = (
    FailureMode(
        GENERAL,
        TITLE,
        10,
        "stability",
        lambda case: not case.wall.plain,
        rows,
        walls="stiffened walls, grids, given stiffness",
        capacity="factor times the lower of Donnell's and Sanders' load of the smeared wall plus p R/2 of closed ends; "
        "of eccentric walls the nonlinear prebuckled load with factor 1 where that is lower",
        knockdown="0.65 axial, 0.75 bending from t_e = 3 t; orthotropic form up to 1.5 t; linear between",
        valid="R/t_e up to 1500 below t_e = 3 t; beyond the elastic range reduced by plasticity",
        source="NASA SP-8007 Rev 2, 4.1.2.1, 4.1.2.2, Eqs 60-63; the line between is an own rule",
        formulas=("factored-line-load", "interaction-margin"),
        shape="skin and ribs move together over the barrel",
    ),
)
