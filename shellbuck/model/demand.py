"""What a sizing is asked for: a barrel without its wall, loads, metals, and what a shop can make."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from ..core.errors import Problem
from .barrel import EdgeSet, LoadHeight, end_rules
from .case import Identity, load_problems, no_weld_lands
from .checked import Checked, Quantity, Text
from .loads import LoadCase
from .material import Material
from .policy import DEFAULT_POLICY, Policy
from .post_buckled import not_sized
from .rules import Rules
from .sized_section import BLADES, SizedSection

_Gauge = Annotated[float, Quantity("length", 1e-5, 1.0)]
_Length = Annotated[float, Quantity("length", 1e-4, 100.0)]
_Price = Annotated[float, Quantity("number", 0.0, 1e9)]


@dataclass(frozen=True)
class BareBarrel(Checked):
    """A barrel without its wall.

    Parameters
    ----------
    radius, length : float
        [m]; the radius to `radius_is`, the length between the supports.
    ends : {"closed", "open"}
        Closed ends pass the pressure thrust pi R^2 p through the wall; open ends do not.
    radius_is : {"skin middle", "inner", "outer"}
        Inner and outer mean the faces of the nominal skin, which the sizing finds.
    edges, edges_far, load_height : str, str, float
        As in `Barrel`: they decide the bending near the edges of walls with ribs on one side.
    """

    radius: Annotated[float, Quantity("length", 0.01, 100.0)]
    length: Annotated[float, Quantity("length", 0.01, 1000.0)]
    ends: Literal["closed", "open"]
    radius_is: Literal["skin middle", "inner", "outer"] = "skin middle"
    edges: EdgeSet | None = None
    edges_far: EdgeSet | None = None
    load_height: LoadHeight | None = None

    def rules(self) -> Rules:
        yield from end_rules(self)


@dataclass(frozen=True)
class Limits(Checked):
    """What may be made. Every default is an own choice; `LIMIT_WORDS` says why.

    Lengths in [m]; `slenderness_most` is depth over thickness of a blade, and width over thickness of what stands out
    from another section with a free edge (None: twice the flat-bar slenderness of the metal, 0.8 sqrt(E/F_cy), which
    also bounds a larger one), `width_least` and `width_most` bound flanges, feet, crowns, bases and bulbs,
    `margin_required` is the margin that every row must reach.
    """

    milled_skin_least: _Gauge = 1.2e-3
    sheet_least: _Gauge = 0.5e-3
    skin_most: _Gauge = 25e-3
    skin_tolerance: Annotated[float, Quantity("length", 0.0, 0.01)] = 0.1e-3
    rib_thickness_least: _Gauge = 1.5e-3
    rib_thickness_most: _Gauge = 12e-3
    rib_depth_least: _Gauge = 4e-3
    rib_depth_most: _Gauge = 80e-3
    slenderness_most: Annotated[float, Quantity("number", 1.0, 100.0)] | None = None
    width_least: _Gauge = 10e-3
    width_most: _Gauge = 120e-3
    cutter_radius: _Gauge = 6e-3
    cutter_reach: _Gauge = 60e-3
    plate_thickness_most: _Gauge = 75e-3
    spacing_least: _Length = 40e-3
    spacing_most: _Length = 1.0
    plate_width: _Length = 2.5
    plate_length: _Length = 6.0
    drawing_step: Annotated[float, Quantity("length", 1e-7, 1e-2)] = 1e-5
    margin_required: Annotated[float, Quantity("number", -0.5, 10.0)] = 0.0
    standby_pressure: Annotated[float, Quantity("pressure", 0.0, 1e8)] | None = None

    def cross_problems(self) -> Iterator[Problem]:
        pairs = (
            ("milled_skin_least", "skin_most"),
            ("sheet_least", "skin_most"),
            ("rib_thickness_least", "rib_thickness_most"),
            ("rib_depth_least", "rib_depth_most"),
            ("rib_depth_least", "cutter_reach"),
            ("width_least", "width_most"),
            ("spacing_least", "spacing_most"),
        )
        for low, high in pairs:
            yield from _empty(low, getattr(self, low), high, getattr(self, high))
        if self.skin_tolerance >= min(self.milled_skin_least, self.sheet_least):
            least = min(self.milled_skin_least, self.sheet_least)
            yield Problem(
                "range-empty",
                "the tolerance takes all of the thinnest skin away",
                "skin_tolerance",
                f"{self.skin_tolerance * 1e3:g} mm",
                f"below the least skin of {least * 1e3:g} mm",
            )
        thinnest = self.milled_skin_least + self.rib_depth_least
        if thinnest > self.plate_thickness_most:
            yield Problem(
                "range-empty",
                "no plate holds the thinnest skin with the shallowest rib",
                "plate_thickness_most",
                f"{self.plate_thickness_most * 1e3:g} mm",
                f"at least {thinnest * 1e3:g} mm",
            )
        most = self.slenderness_most
        if most is not None and self.rib_depth_least / self.rib_thickness_most > most:
            yield Problem(
                "range-empty",
                "the shallowest rib with the widest thickness is slenderer than allowed",
                "slenderness_most",
                f"{most:g}",
                f"at least {self.rib_depth_least / self.rib_thickness_most:.3g}",
            )


def _empty(low: str, least: float, high: str, most: float) -> Iterator[Problem]:
    if least > most:
        yield Problem(
            "range-empty",
            f"{low} is larger than {high}: nothing lies between",
            low,
            f"{least * 1e3:g} mm",
            f"at most {most * 1e3:g} mm",
            f"lower {low} or raise {high}",
        )


LIMIT_WORDS: dict[str, str] = {
    "milled_skin_least": "thinnest milled skin; thinner pockets lift off the table under the cutter",
    "sheet_least": "thinnest rolled sheet, for plain walls and built-up stringers and rings",
    "skin_most": "thickest skin that is looked at",
    "skin_tolerance": "nominal less minimum skin; the minimum decides stability and strength, the nominal mass",
    "rib_thickness_least": "thinnest rib; a thinner one bends away from the cutter",
    "rib_thickness_most": "widest rib that is looked at",
    "rib_depth_least": "shallowest rib that is looked at",
    "rib_depth_most": "deepest rib that is looked at",
    "slenderness_most": "rib depth over thickness, of other sections than blades outstanding width over thickness; "
    "twice the flat-bar slenderness of the metal where nothing smaller is given: slenderer rings are not counted as "
    "support, and slender ribs chatter",
    "width_least": "narrowest flange, foot, crown, base or bulb: a row of rivets must fit",
    "width_most": "widest flange, foot, crown, base or bulb that is looked at",
    "cutter_radius": "corner radius of the pockets; a pocket must admit the cutter with a turn, 4 radii wide",
    "cutter_reach": "deepest pocket",
    "plate_thickness_most": "thickest raw plate: skin and milled rib together",
    "spacing_least": "closest ribs, middle to middle",
    "spacing_most": "widest spacing of ribs",
    "plate_width": "widest raw plate, around the barrel: sets the number of welds along it",
    "plate_length": "longest raw plate, along the barrel: sets the number of welds around it",
    "drawing_step": "dimensions of the sized case are rounded up to this step",
    "margin_required": "margin that every row must reach",
    "standby_pressure": "pressure that a pressurised barrel never loses; without it the load cases' own minimum counts",
}
"""Limit -> what it is for; printed beside its value."""


@dataclass(frozen=True)
class PlatePrice(Checked):
    """Price of raw metal by mass, for one metal by its name.

    Parameters
    ----------
    material : str
        Name of a metal of the file.
    per_kg : float
        Per kilogram of raw metal.
    """

    material: Annotated[str, Text(required=True, longest=80)]
    per_kg: _Price


@dataclass(frozen=True)
class Prices(Checked):
    """The user's own prices, with their date and source; nothing is built in.

    Parameters
    ----------
    date, source, currency : str
        Of the prices.
    plates : tuple of PlatePrice
        Raw metal by mass; a metal without one has no cost.
    milling_per_kg : float
        Of chips.
    weld_per_metre, part_each : float
        Per metre of weld or joint, and per part.
    """

    date: Annotated[str, Text(required=True, longest=40)]
    source: Annotated[str, Text(required=True)]
    currency: Annotated[str, Text(required=True, longest=12)]
    plates: tuple[PlatePrice, ...]
    milling_per_kg: _Price
    weld_per_metre: _Price
    part_each: _Price


@dataclass(frozen=True)
class Conductivity(Checked):
    """Mean conductivity of a metal between the cold end and room temperature, with its source.

    Parameters
    ----------
    material : str
        Name of a metal of the file.
    mean : float
        [W/(m K)].
    source : str
        Where the value comes from.
    """

    material: Annotated[str, Text(required=True, longest=80)]
    mean: Annotated[float, Quantity("conductivity", 0.1, 1000.0)]
    source: Annotated[str, Text(required=True)]


@dataclass(frozen=True)
class Heat(Checked):
    """A cold end, for the heat that the wall conducts along its length from room temperature.

    Parameters
    ----------
    cold_end : float
        Temperature of the cold end [K].
    conductivities : tuple of Conductivity
        For metals that the program has no data of.
    """

    cold_end: Annotated[float, Quantity("temperature", 1.0, 293.0)]
    conductivities: tuple[Conductivity, ...] = ()


DEFAULT_LIMITS = Limits()
_UNTITLED = Identity("untitled")


@dataclass(frozen=True)
class Demand(Checked):
    """Everything a sizing needs, checked.

    Parameters
    ----------
    barrel : BareBarrel
    load_cases : tuple of LoadCase
    materials : tuple of Material
        Metals to size in; the first is the one of a single sizing.
    policy : Policy
    limits : Limits
    prices, heat : Prices, Heat or None
        Without them there is no cost and no conducted heat.
    identity : Identity
    stringers, rings : SizedSection
        What they are made of where a pattern has them; blades where nothing is said.
    """

    barrel: BareBarrel
    load_cases: tuple[LoadCase, ...]
    materials: tuple[Material, ...]
    policy: Policy = DEFAULT_POLICY
    limits: Limits = DEFAULT_LIMITS
    prices: Prices | None = None
    heat: Heat | None = None
    identity: Identity = _UNTITLED
    stringers: SizedSection = BLADES
    rings: SizedSection = BLADES

    @property
    def sections(self) -> dict[str, SizedSection]:
        """What stringers and rings are made of, by family."""
        return {"stringers": self.stringers, "rings": self.rings}

    def cross_problems(self) -> Iterator[Problem]:
        if not self.materials:
            yield Problem("material-missing", "a sizing needs a metal", "material")
        for i, load in enumerate(self.load_cases):
            if load.thermal is not None:
                what, way_out = (
                    "a sizing knows no thermal stress",
                    "leave it out; run the sized case with it afterwards",
                )
                yield Problem("thermal-wall", what, f"load_cases.{i}.thermal", way_out=way_out)
        if self.policy.weld_land_loss is not None:
            yield no_weld_lands()
        if self.policy.post_buckled_skin is not None:
            yield not_sized()
        names = [m.name for m in self.materials]
        for i, name in enumerate(names):
            if names.index(name) != i:
                yield Problem("material-twice", "two metals have the same name", f"materials.{i - 1}.name", name)
        metals = [("material" if i == 0 else f"materials.{i - 1}", m) for i, m in enumerate(self.materials)]
        yield from load_problems(self.load_cases, self.barrel.ends == "closed", metals)
        for key in ("prices.plates", "heat.conductivities"):
            table, _, part = key.partition(".")
            for i, entry in enumerate(getattr(getattr(self, table), part, ())):
                if entry.material not in names:
                    yield Problem(
                        "material-unknown",
                        "no metal of this sizing has this name",
                        f"{key}.{i}.material",
                        entry.material[:60],
                        ", ".join(names),
                    )
