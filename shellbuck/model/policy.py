"""Departures from the default rules; each needs a written reason that appears on every page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from ..core.errors import Problem
from .checked import Checked, Quantity, Text


@dataclass(frozen=True)
class Reason(Checked):
    """A written reason for a departure.

    Parameters
    ----------
    reason : str
        Printed on every page.
    """

    reason: Annotated[str, Text(required=True)]


@dataclass(frozen=True)
class OwnKnockdown(Checked):
    """The user's own knockdown factors.

    `axial` and `bending` replace the standard's factors on general instability. The panel between rings keeps
    the standard's rule unless `panel_axial` and `panel_bending` are given too: a factor meant for the stiffened
    barrel is unsafe on a bare bay.

    Parameters
    ----------
    axial, bending : float
        Factors on general instability.
    reason : str
        Printed on every page.
    panel_axial, panel_bending : float or None
        Factors on the panel between rings, both or none.
    """

    axial: Annotated[float, Quantity("number", 0.01, 1.0)]
    bending: Annotated[float, Quantity("number", 0.01, 1.0)]
    reason: Annotated[str, Text(required=True)]
    panel_axial: Annotated[float, Quantity("number", 0.01, 1.0)] | None = None
    panel_bending: Annotated[float, Quantity("number", 0.01, 1.0)] | None = None

    def cross_problems(self) -> Iterator[Problem]:
        if (self.panel_axial is None) != (self.panel_bending is None):
            yield Problem(
                "own-knockdown-pair",
                "panel_axial and panel_bending go together",
                "panel_axial" if self.panel_axial is None else "panel_bending",
            )


@dataclass(frozen=True)
class WeldLandLoss(Checked):
    """Loss of buckling load by weld lands that rows of their own count.

    Parameters
    ----------
    reason : str
        Printed on every page.
    share : float
        Of the load at buckling; published is .25 or more.
    """

    reason: Annotated[str, Text(required=True)]
    share: Annotated[float, Quantity("number", 0.25, 0.9)] = 0.25


@dataclass(frozen=True)
class SecondOpinion(Checked):
    """A second standard for plain walls in axial compression, shown beside the margins; it never governs.

    Parameters
    ----------
    standard : {"EN 1993-1-6:2007", "EN 1993-1-6 second generation"}
        Steel shells; of the second generation what changed is second-hand, the rest is that of 2007.
    quality : {"A", "B", "C"}
        Fabrication quality class: excellent, high, normal.
    other_metals : bool
        Show its figure for metals other than steel too, for scale only: it is outside its scope there.
    """

    standard: Literal["EN 1993-1-6:2007", "EN 1993-1-6 second generation"]
    quality: Literal["A", "B", "C"]
    other_metals: bool = False


@dataclass(frozen=True)
class SectionCrippling(Checked):
    """A published formula for the crippling of whole sections in place of the buckling of their flat elements.

    Without it the lower of the elements and Gerard's formula counts.

    Parameters
    ----------
    method : {"Gerard", "Needham"}
        Needham's holds for angles, zees and hats; what has no formula keeps its elements.
    reason : str
        Printed on every page.
    """

    method: Literal["Gerard", "Needham"]
    reason: Annotated[str, Text(required=True)]


@dataclass(frozen=True)
class AllowableKnockdown(Checked):
    """What is left of the strengths of every metal: of a weld that runs through the barrel, a temperature, a lot.

    They are lowered wherever they count: in strength rows, in the yield that limits buckling and in plasticity.
    Stiffness stays; welded allowables of weld lands stay as they are given.

    Parameters
    ----------
    yield_strength, ultimate_strength : float
        Share of yield (tension and compression) and of ultimate.
    reason, source : str
        Why, and where the shares come from; printed on every page.
    """

    yield_strength: Annotated[float, Quantity("number", 0.1, 1.0)]
    ultimate_strength: Annotated[float, Quantity("number", 0.1, 1.0)]
    reason: Annotated[str, Text(required=True)]
    source: Annotated[str, Text(required=True)]


@dataclass(frozen=True)
class PostBuckledSkin(Checked):
    """Skin between stringers that may buckle below the ultimate line load.

    What it sheds goes into the stringers, and general instability, panel and column rest on what is left of its
    stiffness at the factored load.

    Parameters
    ----------
    reason : str
        Printed on every page.
    formula : {"Winter", "von Karman"}
        Effective width. Winter's lies below von Karman's and reduces from 0.453 of the buckling stress on.
    stiffness : {"tangent", "secant"}
        What is left of the buckled skin's stiffness where the wall buckles: the slope of its load, half of von Karman's
        effective width or less, or the effective width itself, which is on the upper side.
    """

    reason: Annotated[str, Text(required=True)]
    formula: Literal["Winter", "von Karman"] = "Winter"
    stiffness: Literal["tangent", "secant"] = "tangent"


@dataclass(frozen=True)
class Policy(Checked):
    """What the analysis may do beyond the default rules.

    Parameters
    ----------
    stability_thickness : {"minimum", "nominal"}
        Skin thickness used for stability. Nominal is warned.
    own_knockdown : OwnKnockdown or None
        Factors in place of the standard's.
    computed_pressure_gain : Reason or None
        Make the computed pressure-stabilised load of a stiffened wall official.
    handbook_pocket : Reason or None
        Make the handbook's coefficient of triangular pockets official.
    slender_rings : Reason or None
        Let rings pass whose blades or outstanding flanges are more than twice as slender as a flat bar may be.
    section_crippling : SectionCrippling or None
        Judge the crippling of stringers and rings by a formula of whole sections.
    clear_width : Reason or None
        Take the width of skin between lines of attachment in place of that between the middles of stringers.
    post_buckled_skin : PostBuckledSkin or None
        Let the skin between stringers buckle below the ultimate line load.
    withheld_loads : Reason or None
        Show general loads on unbuckled stiffness beside a row that is withheld; the row stays withheld.
    second_opinion : SecondOpinion or None
        A second standard beside the margins of a plain wall.
    weld_land_loss : WeldLandLoss or None
        Count the published loss of buckling load by weld lands in rows of their own.
    ring_skin_width : float or None
        Width of skin that acts with every ring in Shanley's screen of its stiffness [m]; none without it.
    allowable_knockdown : AllowableKnockdown or None
        Judge every metal by less than its strengths.
    """

    stability_thickness: Literal["minimum", "nominal"] = "minimum"
    own_knockdown: OwnKnockdown | None = None
    computed_pressure_gain: Reason | None = None
    handbook_pocket: Reason | None = None
    slender_rings: Reason | None = None
    section_crippling: SectionCrippling | None = None
    clear_width: Reason | None = None
    post_buckled_skin: PostBuckledSkin | None = None
    withheld_loads: Reason | None = None
    second_opinion: SecondOpinion | None = None
    weld_land_loss: WeldLandLoss | None = None
    ring_skin_width: Annotated[float, Quantity("length", 1e-4, 100.0)] | None = None
    allowable_knockdown: AllowableKnockdown | None = None

    def reasons(self) -> tuple[tuple[str, str], ...]:
        """(what was asked for, the user's reason) for every departure that needs one."""
        asked = []
        if own := self.own_knockdown:
            text = f"own knockdown {own.axial:g} axial, {own.bending:g} bending"
            if own.panel_axial is not None:
                text += f"; panel {own.panel_axial:g} axial, {own.panel_bending:g} bending"
            asked.append((text, own.reason))
        if self.computed_pressure_gain:
            asked.append(("computed pressure gain made official", self.computed_pressure_gain.reason))
        if self.handbook_pocket:
            asked.append(("handbook pocket coefficient made official", self.handbook_pocket.reason))
        if self.slender_rings:
            asked.append(("slender rings let pass", self.slender_rings.reason))
        if self.clear_width:
            asked.append(("clear width of the skin between its lines of attachment", self.clear_width.reason))
        if chosen := self.section_crippling:
            asked.append((f"crippling of sections by {chosen.method}", chosen.reason))
        if self.weld_land_loss:
            lost = f"{100 * self.weld_land_loss.share:g} % of the buckling load lost to weld lands"
            asked.append((lost, self.weld_land_loss.reason))
        if skin := self.post_buckled_skin:
            text = (
                f"skin between stringers may buckle below ultimate: effective width by {skin.formula}, {skin.stiffness}"
            )
            asked.append((f"{text} stiffness", skin.reason))
        if self.withheld_loads:
            asked.append(("withheld loads shown, on unbuckled stiffness", self.withheld_loads.reason))
        if cut := self.allowable_knockdown:
            text = f"allowables times {cut.yield_strength:g} (yield), {cut.ultimate_strength:g} (ultimate)"
            asked.append((text, f"{cut.reason} (source: {cut.source})"))
        return tuple(asked)


DEFAULT_POLICY = Policy()
"""The default rules, nothing asked for."""
