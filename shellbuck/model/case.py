"""A case: one barrel, its wall, its metal and the loads it must carry."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from ..core.errors import Problem
from .barrel import Barrel
from .checked import Checked, Text
from .loads import LoadCase
from .material import ROOM_TEMPERATURE, Material
from .policy import DEFAULT_POLICY, Policy
from .post_buckled import post_buckled_rules
from .rules import Rule, Rules, worded
from .thermal import thermal_problem
from .walls import Ribs, SkinField, Wall

LEAST_RADIUS_TO_THICKNESS = 20.0
"""Thinner than this is a thin shell (own lower limit; the published tests start near 80)."""

_MOST_LOAD_CASES = 5000


@dataclass(frozen=True)
class Identity(Checked):
    """Title block.

    Parameters
    ----------
    title : str
        What the case is about; the heading of the page.
    part, revision, station : str
        Drawing number, its revision, and the place on the vehicle.
    prepared, checked, approved : str
        Names for the title block.
    note : str
        Free text.
    """

    title: Annotated[str, Text(required=True)]
    part: Annotated[str, Text()] = ""
    revision: Annotated[str, Text()] = ""
    station: Annotated[str, Text()] = ""
    prepared: Annotated[str, Text()] = ""
    checked: Annotated[str, Text()] = ""
    approved: Annotated[str, Text()] = ""
    note: Annotated[str, Text(longest=2000)] = ""


_UNTITLED = Identity("untitled")


@dataclass(frozen=True)
class CheckedElsewhere(Checked):
    """A failure mode that shellbuck cannot check on this wall, and where it was checked.

    Parameters
    ----------
    mode : str
        One of the `open_modes` of the case's wall.
    reference : str
        Report, drawing or test that shows the check; stands on every page.
    """

    mode: Annotated[str, Text(required=True, longest=80)]
    reference: Annotated[str, Text(required=True)]


@dataclass(frozen=True)
class Case(Checked):
    """Everything an analysis needs, checked.

    Parameters
    ----------
    barrel : Barrel
    wall : Wall
        One of the kinds in `model.walls`.
    load_cases : tuple of LoadCase
    material : Material or None
        None only for a wall of given stiffness.
    policy : Policy
    identity : Identity
    checked_elsewhere : tuple of CheckedElsewhere
        Failure modes without a row here that were checked outside this program.
    """

    barrel: Barrel
    wall: Wall
    load_cases: tuple[LoadCase, ...]
    material: Material | None = None
    policy: Policy = DEFAULT_POLICY
    identity: Identity = _UNTITLED
    checked_elsewhere: tuple[CheckedElsewhere, ...] = ()

    def cross_problems(self) -> Iterator[Problem]:
        if self.material is None and self.wall.has_dimensions:
            yield Problem("material-missing", "this wall needs a material", "material")
        for i, ring in enumerate(self.barrel.single_rings):
            if self.material is None and ring.youngs_modulus is None:
                yield Problem(
                    "value-missing",
                    "a ring without a material needs its modulus",
                    f"barrel.single_rings.{i}.youngs_modulus",
                    way_out="give youngs_modulus",
                )
        yield from worded(skin_rules(self.barrel, self.wall, self.policy))
        yield from load_problems(self.load_cases, self.barrel.closed, metals(self.material, self.wall))
        yield from worded(self.wall.limits(self.barrel.middle_radius, self.barrel.length))
        yield from elsewhere_problems(self.checked_elsewhere, self.wall)
        yield from worded(post_buckled_rules(self.barrel, self.wall, self.policy, self.load_cases))
        yield from self._ring_skin_problems()
        if self.barrel.edge_strength and not self.wall.has_dimensions:
            what, way_out = "the stress near held edges needs a wall with dimensions", "leave it out"
            yield Problem("edge-strength-wall", what, "barrel.edge_strength", way_out=way_out)
        for i, load in enumerate(self.load_cases):
            yield from self.wall.load_problems(load, f"load_cases.{i}")
        own = any(ribs.name == "rings" and ribs.material is not None for ribs in self.ribs)
        fits = dict(has_dimensions=self.wall.has_dimensions, rings=self.ring_bay is not None, own=own)
        for i, load in enumerate(self.load_cases):
            yield from thermal_problem(load.thermal, f"load_cases.{i}.thermal", **fits)
        yield from self._metal_problems()
        if self.policy.weld_land_loss is not None and self.barrel.weld_lands is None:
            yield no_weld_lands()

    def _metal_problems(self) -> Iterator[Problem]:
        """Factors and a knock-down that need strengths of a metal, on a wall that has none."""
        if self.wall.has_dimensions and self.material is not None:
            return
        what, way_out = "this wall has no strength of a metal to judge", "leave it out"
        if self.policy.allowable_knockdown is not None:
            yield Problem("allowables-wall", what, "policy.allowable_knockdown", way_out=way_out)
        for i, load in enumerate(self.load_cases):
            for key in ("proof_factor", "burst_factor"):
                if getattr(load.factors, key) is not None:
                    yield Problem("allowables-wall", what, f"load_cases.{i}.factors.{key}", way_out=way_out)

    def _ring_skin_problems(self) -> Iterator[Problem]:
        """A width of skin with rings that are not there, or wider than a bay."""
        width, bay = self.policy.ring_skin_width, self.ring_bay
        if width is not None and (bay is None or width > bay):
            yield Problem(
                "ring-skin-width",
                "the skin that acts with a ring is at most a bay wide" if bay else "this wall has no rings",
                "policy.ring_skin_width",
                f"{width * 1e3:g} mm",
                f"at most {bay * 1e3:.4g} mm" if bay else "",
                "narrow it, or leave it out for none" if bay else "leave it out",
            )

    @property
    def ribs(self) -> tuple[Ribs, ...]:
        """The families of ribs of the wall on this barrel."""
        return self.wall.ribs(self.barrel.middle_radius, self.barrel.length)

    @property
    def skin_field(self) -> SkinField | None:
        """The field of skin between ribs; None where none divide it along the axis."""
        return self.wall.skin_field(self.barrel.middle_radius, self.barrel.length)

    @property
    def ring_bay(self) -> float | None:
        """Length between rings [m]; None without rings."""
        return self.wall.ring_bay(self.barrel.middle_radius, self.barrel.length)

    @property
    def stability_thickness(self) -> float | None:
        """Skin thickness that decides stability [m]."""
        if self.policy.stability_thickness == "nominal":
            return self.barrel.skin_thickness
        return self.barrel.skin_thickness_minimum

    @property
    def reference_temperature(self) -> float:
        """Temperature at which the wall's figures are shown [K]: room, or the first load case's where the metal has
        no data at room temperature."""
        known = self.material is None or self.material.covers(None)
        return ROOM_TEMPERATURE if known else self.load_cases[0].temperature

    def external_axial_force(self, load: LoadCase) -> float:
        """Axial force without any pressure thrust [N], compression positive."""
        if not self.barrel.closed:
            return load.axial_force
        return load.axial_force + math.pi * self.barrel.middle_radius**2 * load.contained_thrust_pressure


def no_weld_lands() -> Problem:
    """A loss by weld lands that are not there."""
    return Problem(
        "weld-lands-missing",
        "a loss by weld lands, and the barrel has none",
        "policy.weld_land_loss",
        way_out="describe them in [barrel.weld_lands], or leave the loss out",
    )


def elsewhere_problems(entries: Sequence[CheckedElsewhere | None], wall: Wall) -> Iterator[Problem]:
    """Entries that name no mode which the wall leaves open, or one twice."""
    known, seen = wall.open_modes, set()
    for i, entry in enumerate(entries):
        if entry is None:
            continue
        where = f"checked_elsewhere.{i}.mode"
        if entry.mode not in known:
            yield Problem(
                "checked-elsewhere",
                "not a failure mode that this wall leaves unchecked",
                where,
                entry.mode,
                ", ".join(f'"{mode}"' for mode in known) or "nothing: every known mode of this wall has a row",
                "drop the entry or name one of these modes" if known else "drop the entry",
            )
        elif entry.mode in seen:
            yield Problem("checked-elsewhere", "the mode is named twice", where, entry.mode, "once")
        seen.add(entry.mode)


def metals(material: Material | None, wall: Wall | None) -> list[tuple[str, Material]]:
    """(dotted key, metal) of every metal of a case."""
    found = [] if material is None else [("material", material)]
    return found if wall is None else [*found, *wall.metals]


def skin_rules(barrel: Barrel, wall: Wall, policy: Policy) -> Rules:
    """What is refused of the skin with its wall."""
    if wall.layered and barrel.skin_thickness is not None:
        what, way_out = "the plies give the thickness", "leave skin_thickness and skin_thickness_minimum out"
        yield Problem("laminate-skin", what, "barrel.skin_thickness", way_out=way_out)
        return
    if barrel.skin_thickness is None:
        if wall.has_dimensions:
            yield Problem(
                "skin-thickness-missing",
                "this wall needs a skin",
                "barrel.skin_thickness",
                way_out="give skin_thickness and skin_thickness_minimum",
            )
        return
    nominal = policy.stability_thickness == "nominal"
    ratio = barrel.middle_radius / (barrel.skin_thickness if nominal else barrel.skin_thickness_minimum)
    yield Rule(
        "radius-to-thickness-low",
        ratio < LEAST_RADIUS_TO_THICKNESS,
        lambda: (
            "too thick for thin-shell buckling",
            "barrel.skin_thickness",
            f"R/t = {ratio:.3g}",
            f"R/t of {LEAST_RADIUS_TO_THICKNESS:g} or more",
        ),
    )


def load_problems(
    loads: Sequence[LoadCase | None], closed: bool | None, materials: list[tuple[str, Material]]
) -> Iterator[Problem]:
    """Problems of load cases with one another, with the ends and with the metals.

    A load case that could not be read is None; `closed` is None when the ends are not known.
    """
    if not loads:
        yield Problem("load-case-missing", "no load case", "load_cases", way_out="add a [[load_cases]] table")
    if len(loads) > _MOST_LOAD_CASES:
        yield Problem("value-range", "too many load cases", "load_cases", str(len(loads)), str(_MOST_LOAD_CASES))
        return
    first: dict[str, int] = {}
    for i, load in enumerate(loads):
        if load is not None:
            first.setdefault(load.name, i)
    for i, load in enumerate(loads):
        if load is None:
            continue
        called = f'{LoadCase.CALLED} "{load.name[:40]}"'
        where = f"load_cases.{i}"
        if first[load.name] != i:
            what = "two load cases have the same name"
            yield Problem("load-case-name", what, f"{where}.name", load.name, called=called)
        yield from (replace(p.below(where), called=called) for p in worded(load_rules(load, closed, materials)))


def load_rules(load: LoadCase, closed: bool | None, materials: list[tuple[str, Material]]) -> Rules:
    """What is refused of a load case with the ends (None when they are not known) and with the metals."""
    key, includes = "axial_force_includes_thrust", load.axial_force_includes_thrust
    if closed and includes is None:
        yield Rule(
            "thrust-unstated",
            (load.p_max > 0) | (load.external_pressure > 0),
            lambda: (
                "closed ends under pressure: is the thrust pi R^2 p inside axial_force?",
                key,
                "nothing",
                "true or false",
                "say false when axial_force is the force without the pressure thrust",
            ),
        )
    if closed is False and includes:
        yield Problem("thrust-open-ends", "open ends pass no pressure thrust", key, "true", "false with open ends")
    for place, material in materials:
        yield _temperature_rule(load, place, material)


def _temperature_rule(load: LoadCase, place: str, material: Material) -> Rule:
    def words() -> tuple[str, ...]:
        what, *rest = material.outside_words(load.temperature)
        return f"{what} ({place})", *rest

    return Rule("temperature-outside-data", ~np.asarray(material.covers(load.temperature)), words)
