"""Published crippling of whole sections: Gerard's formulas, and Needham's by choice."""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce

import numpy as np

from ...core.records import Worked
from ...core.sources import source
from ...handbook import sections, work
from ...model.rules import smaller
from ...model.sections import Section
from ...model.walls import RibFamily
from ..engines import Number
from ..state import State
from .rib_row import Cap, section_of

Found = tuple[Number, Callable[[], tuple[Worked, ...]]]
"""A crippling stress [Pa], and for a single design its worked lines."""

_FORMS = {
    "multi-corner": sections.gerard_crippling,
    "tee": sections.gerard_tee_crippling,
    "two-corner": sections.gerard_two_corner_crippling,
}


def section_cap(s: State, rib: RibFamily) -> Cap | None:
    """Published crippling stress of a section: Gerard's as an upper limit of that of its elements, or the one chosen in
    their place; None where none is known for it."""
    section, chosen = section_of(s, rib), s.case.policy.section_crippling
    method = "Gerard" if chosen is None else chosen.method
    find, key = (gerard, "gerard") if method == "Gerard" else (needham, "needham")
    found = find(section, rib.E, s.rib_point(rib).compressive_yield)
    if found is None:
        return None
    text = source(key)
    return Cap(
        found[0], f"{method}'s crippling of the section", found[1], f"{text.short} ({text.standing})", bool(chosen)
    )


def gerard(section: Section, E: Number, F_cy: Number) -> Found | None:
    """By the form of the section, with its least thickness where they differ (own rule, safe)."""
    form, flats, most = section.crippling
    if not form:
        return None
    formula = _FORMS[form]
    t = reduce(smaller, (strip.thickness for strip in section.strips))
    terms = dict(t=t, A=section.area, E=E, F_cy=F_cy) | (dict(g=flats) if flats else {})
    cut = dict(c=most, F_cy=F_cy)
    stress, limit = formula(**terms), sections.crippling_cut_off(**cut)

    def lines() -> tuple[Worked, ...]:
        line = work(formula, **terms)
        return (line, work(sections.crippling_cut_off, **cut)) if stress > limit else (line,)

    return np.minimum(stress, limit), lines


def needham(section: Section, E: Number, F_cy: Number) -> Found | None:
    """Mean of its angles by their areas, none above yield."""
    if not section.corners:
        return None
    each = [
        dict(C_e=sections.NEEDHAM[free], E=E, F_cy=F_cy, b=(one + other) / 2, t=t)
        for one, other, t, free in section.corners
    ]
    areas = [(one + other) * t for one, other, t, _ in section.corners]
    found = [sections.needham_crippling(**terms) for terms in each]

    def mean(stresses: list) -> dict[str, Number]:
        return dict(F_1=stresses[0], A_1=areas[0], F_2=stresses[-1], A_2=areas[-1])

    def lines() -> tuple[Worked, ...]:
        corners = [work(sections.needham_crippling, **terms) for terms in each]
        return (*corners, work(sections.mean_crippling, **mean([line.value for line in corners])))

    return np.minimum(sections.mean_crippling(**mean(found)), F_cy), lines
