"""Stringers and rings that roll sideways about the line where they are held to the skin. Factor 1.

The bending of the skin, which would hold them upright, is not counted: next to buckling it vanishes. A blade rolls as
its web buckles, a hat is held on two lines and sways no earlier than its flat elements buckle (finite strips in the
tests).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from ...core.records import Worked
from ...handbook import sections, work
from ...model import Case
from ...model.sections import Section
from ...model.walls import RibFamily
from ..engines import Number
from ..findings import Findings, Row
from ..plasticity import COLUMN, curve_of, plastic_stress, rib_metal
from ..state import State
from .mode import FailureMode
from .rib_row import Way, rib_row, section_of

EDGES = "line of attachment held, free to turn about it"


def rolls(section: Section) -> bool:
    """Whether a section has a line of attachment about which it may roll."""
    return section.hinge is not None


def length_of(s: State, rib: RibFamily) -> tuple[Number, str]:
    """Length over which nothing holds stringers upright [m]: between rings on the same side of the skin, else
    the barrel's; ribs of a grid are held where they cross."""
    if rib.name not in ("stringers", "rings"):
        return 2 * rib.spacing / math.sqrt(3), "the side of a triangle"
    sides = {ribs.name: ribs.side for ribs in s.case.ribs}
    bay = s.case.ring_bay
    if bay is None or sides.get("rings") != sides.get("stringers"):
        return s.L, "the length of the barrel"
    return bay, "the bay between rings"


def rows(s: State, _: Findings) -> Iterator[Row]:
    """A row for every family that may roll."""
    for rib in s.wall.ribs:
        if rolls(section_of(s, rib)):
            title = f"{rib.name.removesuffix('s')} rolling"
            yield rib_row(s, title, (rib,), (_way(s, rib, title),), fails="rolls")


def _way(s: State, rib: RibFamily, title: str) -> Way:
    section = section_of(s, rib)
    across, up, _ = section.moments_about(section.hinge)
    terms = dict(G=rib.G, J=rib.torsion, I_p=across + up)
    length, words = length_of(s, rib)
    formula, where = sections.ring_rolling_stress, "in long waves around"
    if rib.name != "rings":
        formula, where = sections.rolling_stress, f"over {words}"
        terms |= dict(E=rib.E, C_w=section.warping_about(section.hinge), L=length)
    curve = curve_of(rib_metal(s.case, rib), s.load.temperature)

    def story() -> tuple[tuple[Worked, ...], str, dict]:
        fields = dict(
            equation=f"torsion and warping about the line of attachment {where}, without restraint by the skin, over "
            "the rib's own stress",
            source="own derivation (Vlasov's bar, fixed axis of rotation)",
        )
        return (work(formula, **terms),), f"{title}: the section turns about its foot as a whole, {where}", fields

    return Way(plastic_stress(formula(**terms), curve, COLUMN, title), story, EDGES)


def applies(case: Case) -> bool:
    """Whether a case has ribs that may roll."""
    return any(rolls(ribs.section) for ribs in case.ribs)


MODES = (
    FailureMode(
        "rolling",
        "stringer and ring rolling",
        52,
        "local",
        applies,
        rows,
        walls="stringers, rings and grid ribs of tee, angle, zee, I and bulb section",
        capacity="torsional buckling about the line of attachment with the tangent modulus, none above compressive "
        "yield, less the stress of pressure; stringers between rings on their side of the skin, else over the barrel",
        knockdown="1",
        source="own derivation",
        valid="cross-section rigid; the skin does not move and does not hold the foot upright",
        shape="the stringer or ring turns about its foot, the skin stays",
        formulas=("rolling-stress", "ring-rolling-stress", "rib-stress", "rib-margin"),
    ),
)
