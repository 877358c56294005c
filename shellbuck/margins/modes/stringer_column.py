"""A stringer with its skin as a column between two rings: Johnson's parabola from its crippling stress, then Euler's
curve. Factor 1.

The curvature of the skin is left out, which is on the safe side: the panel between rings counts it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

import numpy as np

from ...core.records import Worked
from ...handbook import plates, sections, work
from ...model import Case
from ...model.walls import RibFamily
from ..engines import Number
from ..findings import Findings, Row
from ..plasticity import COLUMN, curve_of, plastic_stress, rib_metal
from ..post_buckled import post_buckled_skin
from ..state import State
from .mode import FailureMode
from .rib_row import Cap, Way, allowed_stress, rib_row
from .ribs import element_ways
from .section_crippling import section_cap
from .skin_field import name_of
from .wording import WITHHELD

TITLE = "stringer column between rings"
PARABOLA = "Johnson's parabola from the crippling stress"


def applies(case: Case) -> bool:
    """Whether a case has dimensioned stringers other than blades, and rings."""
    stringers = [ribs for ribs in case.ribs if ribs.name == "stringers"]
    return case.ring_bay is not None and any(r.section.elements and r.section.blade[0] is None for r in stringers)


def rows(s: State, found: Findings) -> Iterator[Row]:
    """The stringers against their own stress; withheld where the skin beside them buckles first."""
    rib = next(rib for rib in s.wall.ribs if rib.name == "stringers")
    crippling = allowed_stress(s, rib, element_ways(s, rib), section_cap(s, rib))
    widths = _widths(s, rib, crippling)
    each = [dict(A=rib.area, I=rib.inertia, z=abs(rib.z), n=s.wall.skin.E / rib.E, b=b, t=s.t) for b in widths]
    rho = reduce(np.minimum, (sections.stringer_gyration(**terms) for terms in each))
    slender = s.case.ring_bay / rho
    euler = sections.euler_stress(rib.E, slender)
    short = slender < sections.johnson_switch(crippling, rib.E)
    stress = np.where(short, sections.johnson_stress(crippling, rib.E, slender), euler)[()]
    curve = curve_of(rib_metal(s.case, rib), s.load.temperature)

    def radius() -> Worked:
        return min((work(sections.stringer_gyration, **terms) for terms in each), key=lambda line: line.value)

    def story() -> tuple[tuple[Worked, ...], str, dict]:
        line = work(sections.euler_stress, E=rib.E, slenderness=slender)
        fields = dict(
            equation="Euler's stress of a stringer with its skin, pinned at the rings, over the stringer's own stress",
            source="Euler's column (textbook)",
        )
        field = "stringer with its skin that bows between two rings, the section keeps its shape"
        return (radius(), line), field, fields

    def johnson() -> tuple[Worked, ...]:
        switch = work(sections.johnson_switch, F_cc=crippling, E=rib.E)
        return switch, work(sections.johnson_stress, F_cc=crippling, E=rib.E, slenderness=slender)

    way = Way(plastic_stress(euler, curve, COLUMN, TITLE), story, "pinned at the rings")
    cap = Cap(stress, PARABOLA, johnson, "Johnson parabola (memory)")
    why = ""
    if s.engines.single:
        why = f"withheld: the {name_of(s)} buckles below the ultimate line load, and {WITHHELD}"
    yield rib_row(s, TITLE, (rib,), (way,), cap, withheld=found.skin_buckles, why=why, fails="bows")


def _widths(s: State, rib: RibFamily, crippling: Number) -> tuple[Number, ...]:
    """Skin that bends with a stringer [m]: all of it, what is left of it at the crippling stress and, where it may
    buckle, at the factored load; the one with the least radius of gyration counts (own rule)."""
    b, skin = s.case.skin_field.b, s.wall.skin
    buckled = plates.plate_stress(plates.LONG_SIMPLY_SUPPORTED, skin.E, skin.nu, s.t, b)
    stress = crippling * skin.E / rib.E
    soft = post_buckled_skin(s)
    left = () if soft is None else (soft.rho * b,)
    return b, np.minimum(b, sections.effective_width(b, buckled, stress)), *left


MODES = (
    FailureMode(
        "stringer-column",
        TITLE,
        35,
        "local",
        applies,
        rows,
        walls="stringers other than blades, between rings",
        capacity="Johnson's parabola from the crippling stress to half of it, then Euler's stress (tangent modulus), "
        "of a stringer with its skin, or with von Karman's effective width where that gives a lesser radius",
        knockdown="1",
        source="Johnson parabola (memory); own choice of the width",
        valid="pinned at the rings; the skin's curvature is left out (safe); skin unbuckled at ultimate, or "
        "buckled by choice",
        shape="a stringer with its skin bows between two rings",
        formulas=(
            "stringer-gyration",
            "effective-width",
            "euler-stress",
            "johnson-switch",
            "johnson-stress",
            "rib-stress",
            "rib-margin",
        ),
    ),
)
