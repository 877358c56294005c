"""Skin with stringers, rings or both, joined to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from ...core.errors import Problem
from .. import shop
from ..checked import Checked
from ..material import Material
from ..sections import SECTIONS, Section, keys_of, section_keys
from ..shop import Bound, Pattern, Setting, Values, Variable
from ..sized_section import BLADES, SizedSection
from .wall import STRAIGHT_NOT_COVERED, Count, Ribs, Side, Spacing, Wall, along, around, exactly_one

if TYPE_CHECKING:
    SectionName = str
else:
    SectionName = Literal[tuple(SECTIONS)]

_SECTION_KEYS = section_keys()


def _with_section_keys(cls: type) -> type:
    """The class with the keys of every section declared after `section`."""
    declared = cls.__annotations__
    place = list(declared).index("section") + 1
    entries = list(declared.items())
    cls.__annotations__ = dict([*entries[:place], *_SECTION_KEYS.items(), *entries[place:]])
    for key in _SECTION_KEYS:
        setattr(cls, key, None)
    return cls


@dataclass(frozen=True)
@_with_section_keys
class Stiffeners(Checked):
    """One family of stringers or rings.

    Parameters
    ----------
    side : {"inside", "outside"}
        Of the skin.
    section : {"blade", "tee", "angle", "zee", "hat", "i", "bulb", "given"}
        By drawing dimensions: `depth` over all from the skin surface and `thickness` [m] (of the web, or of the sheet
        of a hat), with those of the section: `flange_width`, `foot_width`, their thicknesses, `crown_width`,
        `base_width`, `bulb_diameter` [m], what is `attached` to the skin ("web", "flange") and the `joint` ("integral",
        "riveted", "welded"). A given section has `area` [m^2], `inertia` about its own centroid [m^4],
        `torsion_constant` [m^4] and `eccentricity`, the distance from skin middle to centroid [m, positive; `side`
        gives the sign]. See `model.sections`.
    count, spacing : int, float
        Exactly one. Stringers: number around, or centre-to-centre spacing [m]. Rings: number between the
        supports (they divide the length into count + 1 equal bays), or spacing [m].
    material : Material or None
        None means the skin's.
    """

    side: Side
    section: SectionName
    count: Count | None = None
    spacing: Spacing | None = None
    material: Material | None = None

    def cross_problems(self) -> Iterator[Problem]:
        yield from exactly_one(self, "count", "spacing")
        for key in keys_of(self.section, needed=True):
            if getattr(self, key) is None:
                yield Problem("value-missing", f"a {self.section} section needs it", key, way_out=f"give {key}")
        for key in _SECTION_KEYS:
            if key not in keys_of(self.section) and getattr(self, key) is not None:
                yield Problem(
                    "value-foreign", f"does not belong to a {self.section} section", key, way_out=f"drop {key}"
                )

    @property
    def profile(self) -> Section:
        """The section with its dimensions or properties."""
        return SECTIONS[self.section](**{key: getattr(self, key) for key in keys_of(self.section)})

    def ribs(self, name: str, angle: float, spacing: Any) -> Ribs:
        """The family on a barrel."""
        return Ribs(
            name, angle, spacing, self.profile, self.side, f"wall.{name}.", material=self.material, count=self.count
        )


@dataclass(frozen=True)
class StiffenedWall(Wall):
    """Skin with stringers, rings or both.

    Parameters
    ----------
    stringers, rings : Stiffeners or None
        At least one of the two.
    """

    not_covered: ClassVar[tuple[str, ...]] = STRAIGHT_NOT_COVERED

    stringers: Stiffeners | None = None
    rings: Stiffeners | None = None
    kind: Literal["stiffened"] = "stiffened"

    def cross_problems(self) -> Iterator[Problem]:
        if self.stringers is None and self.rings is None:
            yield Problem(
                "stiffeners-missing",
                "a stiffened wall needs stringers or rings",
                "",
                way_out='add [wall.stringers] or [wall.rings], or set kind = "plain"',
            )

    @property
    def _families(self) -> dict[str, Stiffeners]:
        both = {"stringers": self.stringers, "rings": self.rings}
        return {name: family for name, family in both.items() if family is not None}

    def ribs(self, R: Any, L: Any) -> tuple[Ribs, ...]:
        found, s, r = [], self.stringers, self.rings
        if s is not None:
            found.append(s.ribs("stringers", 0.0, around(s.spacing, s.count, R)))
        if r is not None:
            found.append(r.ribs("rings", 90.0, along(r.spacing, r.count, L)))
        return tuple(found)

    @property
    def open_modes(self) -> tuple[str, ...]:
        return tuple(
            f"{name.removesuffix('s')} {mode}"
            for name, family in self._families.items()
            for mode in SECTIONS[family.section].open_modes
        )

    @property
    def metals(self) -> tuple[tuple[str, Material], ...]:
        return tuple((f"wall.{name}.material", s.material) for name, s in self._families.items() if s.material)

    @classmethod
    def patterns(cls) -> tuple[Pattern, ...]:
        return (
            _pattern("stringers-inside", "stringers inside", stringers="inside"),
            _pattern("stringers-outside", "stringers outside", stringers="outside"),
            _pattern("rings-inside", "rings inside", rings="inside"),
            _pattern("rings-outside", "rings outside", rings="outside"),
            _pattern("stringers-rings-inside", "stringers and rings inside", stringers="inside", rings="inside"),
            _pattern("stringers-rings-outside", "stringers outside, rings inside", stringers="outside", rings="inside"),
        )


def _pattern(name: str, title: str, **sides: Side) -> Pattern:
    """Stringers and rings on these sides, by family, of the sections that the demand asks for."""

    def variables(s: Setting) -> tuple[Variable, ...]:
        counts = {"stringers": shop.around, "rings": shop.along}
        sizes = ((f, v) for f in sides for v in shop.sizes(s.limits, _section(s, f).chosen, False))
        return (
            shop.skin(s.limits, False),
            *(v.of(f.removesuffix("s")) for f, v in sizes),
            *(Variable(f, *counts[f](s), True) for f in sides),
        )

    def wall(s: Setting, v: Values, whole: bool) -> StiffenedWall:
        pitch = {"stringers": lambda: s.around(v) / v["stringers"], "rings": lambda: s.barrel.length / (v["rings"] + 1)}
        made = {}
        for f, side in sides.items():
            section = _section(s, f)
            own = {key: v[f"{f.removesuffix('s')}_{key}"] for key in section.chosen} | section.fixed
            size = {"count": shop.number(v[f])} if whole else {"spacing": pitch[f]()}
            made[f] = shop.made(Stiffeners, side=side, section=section.section, **own, **size)
        return StiffenedWall(**made)

    def bounds(s: Setting, v: Values) -> list[Bound]:
        found = []
        for ribs in wall(s, v, True).ribs(s.radius(v), s.barrel.length):
            found += ribs.section.bounds(s, ribs.name.removesuffix("s"))
            found += [shop.gap(ribs.spacing, width, ribs.name, left) for width, left in _rooms(ribs)]
        return found

    both = len(sides) == 2
    group = "stringers with or without rings" if "stringers" in sides else "rings alone"
    return Pattern(name, title, "built up", variables, wall, bounds, group=group, compared=both, families=tuple(sides))


def _section(s: Setting, family: str) -> SizedSection:
    return s.sections.get(family, BLADES)


def _rooms(ribs: Ribs) -> Iterator[tuple[Any, float]]:
    """What must fit between neighbours, and the share of the spacing that is left."""
    if ribs.section.blade[0] is not None:
        yield ribs.section.foot[1], 0.5
    else:
        yield from ((width, shop.FOOT_GAP) for _, width in ribs.section.widths)
