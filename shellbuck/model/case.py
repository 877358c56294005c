"""A case: one barrel, its wall, its metal and the loads it must carry."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from ..core.errors import Problem, Refusal
from .barrel import Barrel
from .checked import Checked, Text
from .loads import LoadCase
from .material import ROOM_TEMPERATURE, Material
from .plausible import section_problems, torsion_problems
from .policy import DEFAULT_POLICY, Policy
from .wall import GivenStiffness, Orthogrid, PlainWall, StiffenedWall, Stiffeners, TriangularGrid, Wall

LEAST_RADIUS_TO_THICKNESS = 20.0
"""Thinner than this is a thin shell (own lower limit; the published tests start near 80)."""

_MOST_LOAD_CASES = 200


@dataclass(frozen=True)
class Identity(Checked):
    """Title block."""

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
        One of `modes_without_rows` of the case's wall.
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
    wall : PlainWall, TriangularGrid, StiffenedWall, Orthogrid or GivenStiffness
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
        if not isinstance(self.wall, Wall):
            yield Problem("value-kind", "not one of the walls", "wall", type(self.wall).__name__)
            return
        if self.material is None and not isinstance(self.wall, GivenStiffness):
            yield Problem("material-missing", "this wall needs a material", "material")
        for i, ring in enumerate(self.barrel.single_rings):
            if self.material is None and ring.youngs_modulus is None:
                yield Problem(
                    "value-missing",
                    "a ring without a material needs its modulus",
                    f"barrel.single_rings.{i}.youngs_modulus",
                    way_out="give youngs_modulus",
                )
        yield from skin_problems(self.barrel, self.wall, self.policy)
        yield from load_problems(self.load_cases, self.barrel.closed, metals(self.material, self.wall))
        yield from wall_problems(self.wall, self.barrel)
        yield from elsewhere_problems(self.checked_elsewhere, self.wall)

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
        first = self.load_cases[0].temperature
        try:
            if self.material is not None:
                self.material.at(None)
        except Refusal:
            return first
        return ROOM_TEMPERATURE

    def external_axial_force(self, load: LoadCase) -> float:
        """Axial force without any pressure thrust [N], compression positive."""
        if not self.barrel.closed:
            return load.axial_force
        return load.axial_force + math.pi * self.barrel.middle_radius**2 * load.contained_thrust_pressure


def modes_without_rows(wall: Wall) -> tuple[str, ...]:
    """Failure modes that are known for a wall and that shellbuck cannot check on it: the dimensions are not given."""
    if isinstance(wall, GivenStiffness):
        return "local modes", "strength"
    if not isinstance(wall, StiffenedWall):
        return ()
    given = [name for name, s in (("stringer", wall.stringers), ("ring", wall.rings)) if s and s.section == "given"]
    return tuple(f"{name} {mode}" for name in given for mode in ("crippling", "rolling"))


def elsewhere_problems(entries: Sequence[CheckedElsewhere | None], wall: Wall) -> Iterator[Problem]:
    """Entries that name no mode which the wall leaves open, or one twice."""
    known, seen = modes_without_rows(wall), set()
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


def stringer_spacing(stringers: Stiffeners, radius: float) -> float:
    """Centre-to-centre spacing of stringers [m]."""
    return stringers.pitch(radius)


def ring_spacing(rings: Stiffeners, length: float) -> float:
    """Spacing of rings [m]: `count` interior rings make count + 1 bays."""
    return rings.bay(length)


def metals(material: Material | None, wall: Wall | None) -> list[tuple[str, Material]]:
    """(dotted key, metal) of every metal of a case."""
    found = [] if material is None else [("material", material)]
    if isinstance(wall, StiffenedWall):
        families = {"stringers": wall.stringers, "rings": wall.rings}
        found += [(f"wall.{k}.material", s.material) for k, s in families.items() if s and s.material]
    return found


def skin_problems(barrel: Barrel, wall: Wall, policy: Policy) -> Iterator[Problem]:
    """Problems of the skin with its wall."""
    if barrel.skin_thickness is None:
        if not isinstance(wall, GivenStiffness):
            yield Problem(
                "skin-thickness-missing",
                "this wall needs a skin",
                "barrel.skin_thickness",
                way_out="give skin_thickness and skin_thickness_minimum",
            )
        return
    nominal = policy.stability_thickness == "nominal"
    ratio = barrel.middle_radius / (barrel.skin_thickness if nominal else barrel.skin_thickness_minimum)
    if ratio < LEAST_RADIUS_TO_THICKNESS:
        yield Problem(
            "radius-to-thickness-low",
            "too thick for thin-shell buckling",
            "barrel.skin_thickness",
            f"R/t = {ratio:.3g}",
            f"R/t of {LEAST_RADIUS_TO_THICKNESS:g} or more",
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
    names = [None if c is None else c.name for c in loads]
    for i, load in enumerate(loads):
        if load is None:
            continue
        called = f'{LoadCase.CALLED} "{load.name[:40]}"'
        found = [*_load_case_problems(i, load, names, closed), *_temperature_problems(i, load, materials)]
        yield from (replace(p, called=called) for p in found)


def _load_case_problems(i: int, load: LoadCase, names: list[str | None], closed: bool | None) -> Iterator[Problem]:
    where = f"load_cases.{i}"
    if names.index(load.name) != i:
        yield Problem("load-case-name", "two load cases have the same name", f"{where}.name", load.name)
    if closed and load.p_max > 0 and load.axial_force_includes_thrust is None:
        yield Problem(
            "thrust-unstated",
            "closed ends under pressure: is the thrust pi R^2 p inside axial_force?",
            f"{where}.axial_force_includes_thrust",
            "nothing",
            "true or false",
            "say false when axial_force is the force without the pressure thrust",
        )
    if closed is False and load.axial_force_includes_thrust:
        yield Problem(
            "thrust-open-ends",
            "open ends pass no pressure thrust",
            f"{where}.axial_force_includes_thrust",
            "true",
            "false with open ends",
        )


def _temperature_problems(i: int, load: LoadCase, materials: list[tuple[str, Material]]) -> Iterator[Problem]:
    for key, material in materials:
        try:
            material.at(load.temperature)
        except Refusal as refusal:
            yield from (
                Problem(p.code, f"{p.what} ({key})", f"load_cases.{i}.temperature", p.got, p.allowed, p.way_out)
                for p in refusal.problems
            )


def wall_problems(wall: Wall, barrel: Barrel) -> Iterator[Problem]:
    """Problems of the wall's geometry on its barrel."""
    R = barrel.middle_radius
    if isinstance(wall, PlainWall | GivenStiffness):
        return
    if isinstance(wall, TriangularGrid):
        h = wall.height(R)
        if wall.rib_thickness >= 2 * h / 3:
            yield Problem(
                "ribs-overlap",
                "the ribs overlap: no pocket is left",
                "wall.rib_thickness",
                f"{wall.rib_thickness * 1e3:g} mm",
                f"below {2e3 * h / 3:.4g} mm for height {h * 1e3:.4g} mm",
            )
        if h > min(barrel.length, math.pi * R / 3):
            yield Problem(
                "grid-too-coarse",
                "a triangle must fit the barrel several times",
                "wall",
                f"height {h:.4g} m",
                f"at most {min(barrel.length, math.pi * R / 3):.4g} m",
            )
        yield from _depth_problems(wall.rib_depth, R, "wall.rib_depth")
        yield from torsion_problems(wall.torsion_constant, wall.rib_depth, wall.rib_thickness, "wall.torsion_constant")
        yield from _corner_problems(wall.corner_radius, wall.pocket_radius(R))
        return
    if isinstance(wall, Orthogrid):
        yield from _corner_problems(wall.corner_radius, min(orthogrid_pocket_widths(wall, R, barrel.length)) / 2)
    for key, family in (("stringers", wall.stringers), ("rings", wall.rings)):
        if family is None:
            continue
        axial = key == "stringers"
        prefix = f"wall.{key[:-1]}_" if isinstance(wall, Orthogrid) else f"wall.{key}."
        spacing = family.pitch(R) if axial else family.bay(barrel.length)
        most = math.pi * R / 3 if axial else barrel.length / 2 * (1 + 1e-9)
        if spacing > most:
            yield Problem(
                "spacing-too-wide",
                f"too few {key}",
                f"{prefix}spacing",
                f"{spacing:.4g} m",
                f"at most {most:.4g} m",
                "leave them out, or place more of them",
            )
        if family.section == "blade":
            if family.thickness >= spacing:
                yield Problem(
                    "ribs-overlap",
                    f"the {key} overlap",
                    f"{prefix}thickness",
                    f"{family.thickness * 1e3:g} mm",
                    f"below the spacing of {spacing * 1e3:.4g} mm",
                )
            where = "wall.rib_depth" if isinstance(wall, Orthogrid) else f"{prefix}depth"
            yield from _depth_problems(family.depth, R, where)
            yield from torsion_problems(
                family.torsion_constant, family.depth, family.thickness, f"{prefix}torsion_constant"
            )
        else:
            yield from _depth_problems(family.eccentricity, R, f"{prefix}eccentricity")
            yield from section_problems(family, R, prefix)


def orthogrid_pocket_widths(wall: Orthogrid, R: float, length: float) -> tuple[float, float]:
    """Widths of a pocket around and along [m]."""
    return wall.stringer_pitch(R) - wall.stringer_thickness, wall.ring_bay(length) - wall.ring_thickness


def _corner_problems(radius: float | None, room: float) -> Iterator[Problem]:
    if radius is not None and radius > max(room, 0.0):
        yield Problem(
            "corner-radius-too-large",
            "the corners fill more than the pocket",
            "wall.corner_radius",
            f"{radius * 1e3:g} mm",
            f"at most {1e3 * max(room, 0.0):.4g} mm, the circle inside a pocket",
        )


def _depth_problems(depth: float, R: float, where: str) -> Iterator[Problem]:
    if depth > 0.2 * R:
        yield Problem(
            "ribs-too-deep",
            "too deep for stiffness smeared about the skin",
            where,
            f"{depth:g} m",
            f"at most {0.2 * R:.4g} m (a fifth of the radius)",
        )
