"""The panel between two rings: stringers with skin over the bay, or the bare skin of a wall with rings alone."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..basis import mode_basis
from ..findings import Findings, Row, Story
from ..further import further
from ..inelastic import cylinder_rules, reduced_and_cut
from ..interaction import Capacity, Interaction
from ..keys import PANEL
from ..knockdown import equivalent_thickness, own_factors, skin_factors
from ..post_buckled import acting, shed_wall, stable_wall
from ..state import State
from ..worked_modes import capacity_lines
from .mode import FailureMode
from .plain import bare_bay
from .wording import NO_COMPRESSION, joined, loads_beside, waves_check, withheld_story

TITLE = "panel between rings"


def rows(s: State, found: Findings) -> Iterator[Row]:
    """The wall without its rings over one bay."""
    bay = s.case.ring_bay
    if not s.engines.panel(s.temperature).ribs:
        yield from bare_bay(s, bay, TITLE)
    else:
        yield _stiffened(s, found, bay)


def _stiffened(s: State, found: Findings, bay: float) -> Row:
    withheld = found.skin_buckles
    exists = ~np.asarray(withheld)
    whole = s.engines.panel(s.temperature)
    panel, soft = stable_wall(s, whole), acting(s)
    computed = s.engines.lowest(panel, bay, TITLE, exists=exists)
    own = s.case.policy.own_knockdown
    if own is not None and own.panel_axial is not None:
        factors = own_factors(own.panel_axial, own.panel_bending)
    else:
        factors = skin_factors(whole, panel, s.R, s.t)
    rules = cylinder_rules(whole, s.R, bay, equivalent_thickness(whole), factors.factors)
    left = reduced_and_cut(s, shed_wall(s, whole), factors.times(computed.lower), rules)
    more = further(s, panel, bay, TITLE, cut=True)
    mix = Interaction(s, Capacity.relieved(s, left.nets).beside(more.capacities))

    def story() -> Story:
        if withheld:
            return withheld_story(s, TITLE, panel, bay)
        pair = computed.pair
        lowest = min(pair, key=lambda load: load.line_load)
        base = Story(loads=pair, elastic=((TITLE, lowest.line_load),))
        if not s.stressed:
            return base.more(row=dict(note=NO_COMPRESSION))
        knockdown, checks = factors.say(TITLE)
        if knockdown is None:
            return base.more(row=dict(note=checks[-1].text), checks=checks)
        lines = () if soft is None else soft.stiffness_lines(whole)
        lines += capacity_lines(s, panel, bay, pair, lowest, factors.factors)
        fields = dict(
            equation=f"factor times the lower of Donnell and Sanders over the bay ({lowest.theory}, m = {lowest.m}, "
            f"n = {lowest.n}) + p R/2{more.equation}",
            source=lowest.source,
            note=left.note if soft is None else joined(soft.words, left.note),
            knockdown_source=knockdown.source,
            basis=more.basis(mix.ratios, left.limited) or mode_basis(s, lowest, bay, limited=left.limited),
            beside=(*loads_beside(pair), *more.besides()),
            **mix.fields(
                {**dict(knockdown.factors), **more.knockdowns}, (*knockdown.worked, *lines, *left.worked, *more.worked)
            ),
        )
        checks = (waves_check(s, TITLE, lowest), *checks, *left.checks(s, TITLE), *more.checks)
        knockdowns = (knockdown, *more.knockdown_records)
        return base.more(row=fields, checks=checks, knockdowns=knockdowns, loads=more.loads)

    return Row(
        TITLE,
        mix.margin,
        s.stressed,
        story=story,
        refused={**factors.refused, **more.refused},
        withheld=withheld,
        limits={key: np.where(exists & s.stressed, x, 0.0) for key, x in factors.limits.items()},
    )


MODES = (
    FailureMode(
        PANEL,
        TITLE,
        30,
        "stability",
        lambda case: case.ring_bay is not None,
        rows,
        walls="walls with rings",
        capacity="factor times the lower of Donnell's and Sanders' load of the wall without "
        "rings over the bay plus p R/2; of a bare bay the plain equations over its length; limited to first yield",
        knockdown="that of the wall without rings, or an own pair",
        source="NASA SP-8007 Rev 2, 4.1.2.1, Eqs 1-15, 60-63",
        formulas=("factored-line-load", "interaction-margin"),
        shape="the rings stay round, the wall buckles between them",
    ),
)
