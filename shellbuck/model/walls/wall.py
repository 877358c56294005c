"""What every wall kind says about itself.

A kind is one module here: its keys, its ribs, its limits, its pockets, the fillets in its mass, and how it is sized.
Stiffness, mass, drawings and meshes follow from its ribs. Radii, lengths and answers are floats or (N,) arrays.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, ClassVar, Literal

from ...core.errors import Problem
from ..checked import Checked, Quantity, Whole
from ..loads import LoadCase
from ..material import Material
from ..rules import Rule, Rules, larger
from ..sections import Blade, Section, Tee
from ..shop import Pattern
from .mass import length_ratio, rings_between
from .stiffness import RibFamily, Skin, SmearedWall

Side = Literal["inside", "outside"]
Spacing = Annotated[float, Quantity("length", 1e-4, 100.0)]
Count = Annotated[int, Whole(1, 20000)]
Corner = Annotated[float, Quantity("length", 0.0, 0.1)]

Metal = Callable[[Material | None], tuple[Any, Any]]
"""Modulus and Poisson's ratio of a rib's own metal, or of the skin's for None."""


@dataclass(frozen=True)
class SkinField:
    """The field of skin between ribs.

    Parameters
    ----------
    shape : {"triangle", "strip", "rectangle"}
        Between grid ribs, between stringers alone, or between stringers and rings.
    b : float
        Height of the triangle, or width from stringer to stringer [m].
    length : float or None
        Of a rectangle, from ring to ring [m].
    family : str
        Of a triangle: "hoop" or "axial".
    clear : float or None
        Width between lines of attachment to stringers, the widest [m]; of a triangle None.
    """

    shape: Literal["triangle", "strip", "rectangle"]
    b: Any
    length: Any = None
    family: str = ""
    clear: Any = None

    @property
    def area(self) -> Any:
        """Of a field that ribs close all around [m^2]."""
        return self.b**2 / math.sqrt(3) if self.shape == "triangle" else self.b * self.length


@dataclass(frozen=True)
class Ribs:
    """Parallel ribs of one section.

    Parameters
    ----------
    name : str
        As it is printed, e.g. "stringers".
    angle : float
        Direction from the axis [degrees].
    spacing : float
        Perpendicular distance between ribs [m].
    section : Section
    side : {"inside", "outside"}
    prefix : str
        Where a case file holds their keys, e.g. "wall.stringers.".
    renamed : mapping
        Keys that are called otherwise there.
    material : Material or None
        None means the skin's.
    count : int or None
        Number around, or of rings between the supports, where the case gives it.
    """

    name: str
    angle: float
    spacing: Any
    section: Section
    side: Side
    prefix: str
    renamed: Mapping[str, str] = field(default_factory=dict)
    material: Material | None = None
    count: Any = None

    def key(self, name: str) -> str:
        """Dotted key of a case file for a key of the section."""
        return self.renamed.get(name, self.prefix + name)

    @property
    def outward(self) -> float:
        """1 outside, -1 inside."""
        return 1.0 if self.side == "outside" else -1.0

    def height(self, t: Any) -> Any:
        """Centroid above the middle of a skin of thickness `t`, outward positive [m]."""
        return self.outward * self.section.height(t)

    def family(self, skin: Skin, E: Any, nu: Any, half_wave: Any) -> RibFamily:
        """The ribs as they are smeared on a skin; `half_wave` [m] is the longest along stringers, those of rings are
        not known."""
        s, (depth, thickness), t = self.section, self.section.blade, skin.t
        G = E / (2 * (1 + nu))
        return RibFamily(
            self.name,
            self.angle,
            self.spacing,
            E,
            G,
            s.area,
            s.inertia,
            s.torsion if self.name == "rings" else s.torsion_on(t, skin.E / (2 * (1 + skin.nu)) / G, nu, half_wave),
            self.height(t),
            nu,
            depth,
            thickness,
            s.elements,
            self.material,
        )

    def area_per_width(self, R: Any, L: Any, t: Any) -> Any:
        """Volume of the ribs over the area of the skin middle [m]; as many rings as lie between the supports."""
        per_length = rings_between(L, self.spacing) / L if self.name == "rings" else 1 / self.spacing
        return self.section.area * per_length * length_ratio(self.angle, self.height(t), R)

    def limits(self, R: Any, L: Any) -> Rules:
        """What is refused of them: their number, their overlap, their section."""
        most = math.pi * R / 3 if self.angle == 0.0 else L / 2 * (1 + 1e-9)
        yield Rule(
            "spacing-too-wide",
            self.spacing > most,
            lambda: (
                f"too few {self.name}",
                self.key("spacing"),
                f"{self.spacing:.4g} m",
                f"at most {most:.4g} m",
                "leave them out, or place more of them",
            ),
        )
        for key, width in self.section.widths:
            yield Rule(
                "ribs-overlap",
                width >= self.spacing,
                lambda key=key, width=width: (
                    f"the {self.name} overlap",
                    self.key(key),
                    f"{width * 1e3:g} mm",
                    f"below the spacing of {self.spacing * 1e3:.4g} mm",
                ),
            )
        yield from self.section.limits(R, self.key)


@dataclass(frozen=True)
class Fit:
    """How often something repeats, which should be a whole number: `count` of `unit`, "around" or "over the length"."""

    what: str
    unit: str
    count: Any
    where: str


class Wall(Checked):
    """The protocol of a wall kind."""

    kind: str
    """The word of a case file."""
    plain: ClassVar[bool] = False
    """A bare sheet."""
    has_dimensions: ClassVar[bool] = True
    """Skin and ribs are known by their dimensions, not by the stiffness alone."""
    held_rings: ClassVar[bool] = False
    """Rings whose blades are held by ribs that cross them."""
    milled: ClassVar[bool] = False
    """Skin and ribs are cut from one plate; other ribs are parts of their own, joined to the skin."""
    layered: ClassVar[bool] = False
    """A skin of plies, which give its thickness: the barrel names no skin."""
    coupled: ClassVar[bool] = False
    """Shear may be coupled with stretching or bending; its loads are then those of the Ritz engine."""
    caution: ClassVar[str] = ""
    """What every page says of such a wall."""
    not_covered: ClassVar[tuple[str, ...]] = ()
    """Effects that its page lists as not covered."""

    def ribs(self, R: Any, L: Any) -> tuple[Ribs, ...]:
        """The families of ribs on a barrel."""
        return ()

    def _named(self, name: str, R: Any, L: Any) -> Ribs | None:
        return next((ribs for ribs in self.ribs(R, L) if ribs.name == name), None)

    def skin_field(self, R: Any, L: Any) -> SkinField | None:
        """The field of skin that buckles between ribs; None where no ribs divide the skin along the axis."""
        stringers, bay = self._named("stringers", R, L), self.ring_bay(R, L)
        if stringers is None:
            return None
        held, inside = stringers.section.held
        clear = larger(stringers.spacing - held, inside)
        return SkinField("strip" if bay is None else "rectangle", stringers.spacing, bay, clear=clear)

    def ring_bay(self, R: Any, L: Any) -> Any:
        """Length between rings [m]; None without rings."""
        rings = self._named("rings", R, L)
        return rings and rings.spacing

    def limits(self, R: Any, L: Any) -> Rules:
        """What is refused of its dimensions on a barrel: too few ribs, their overlap, their section."""
        for ribs in self.ribs(R, L):
            yield from ribs.limits(R, L)

    def load_problems(self, load: LoadCase, where: str) -> Iterator[Problem]:
        """What of a load case is not worked for such a wall."""
        return iter(())

    def fits(self, R: Any, L: Any) -> Iterator[Fit]:
        """What should close around the circumference or divide the length."""
        for ribs in self.ribs(R, L):
            if ribs.angle == 0.0:
                yield Fit(ribs.name, ribs.name, 2 * math.pi * R / ribs.spacing, "around")
            elif ribs.angle == 90.0:
                yield Fit(ribs.name, "ring bays", L / ribs.spacing, "over the length")

    def corners(self, R: Any, L: Any) -> Any:
        """Fillets in the corners of milled pockets as a thickness of skin [m]."""
        return 0.0

    @property
    def open_modes(self) -> tuple[str, ...]:
        """Failure modes that are known for it and that shellbuck cannot check: the dimensions are not given."""
        return ()

    @property
    def metals(self) -> tuple[tuple[str, Material], ...]:
        """(dotted key, metal) of what is not of the skin's metal."""
        return ()

    @classmethod
    def patterns(cls) -> tuple[Pattern, ...]:
        """The ways to size it."""
        return ()

    def smeared(self, R: Any, L: Any, t: Any, metal: Metal) -> SmearedWall:
        """Stiffness with a skin of thickness `t` [m]."""
        skin = Skin(*metal(None), t)
        bay = self.ring_bay(R, L)
        half_wave = L if bay is None else bay
        return SmearedWall.of(skin, tuple(r.family(skin, *metal(r.material), half_wave) for r in self.ribs(R, L)))

    def mass_per_area_of(self, R: Any, L: Any, t: Any, density: Callable[[Material | None], Any]) -> Any:
        """Mass over the area of the skin middle [kg/m^2], of densities by metal (None is the skin's) [kg/m^3]."""
        found = density(None) * (t + self.corners(R, L))
        for ribs in self.ribs(R, L):
            found = found + density(ribs.material) * ribs.area_per_width(R, L, t)
        return found


STRAIGHT_NOT_COVERED = (
    "column failure of single blades and given stringers between rings (the panel counts them with the skin); buckling "
    "between rivets; the stress that rings take from supporting the skin",
)


def exactly_one(wall: Checked, *keys: str) -> Iterator[Problem]:
    """A problem where not exactly one of the keys is given."""
    given = [k for k in keys if getattr(wall, k) is not None]
    if len(given) != 1:
        yield Problem(
            "give-exactly-one",
            "exactly one of these is needed",
            " / ".join(keys),
            ", ".join(given) if given else "none",
            "one of " + ", ".join(keys),
        )


def flange_problems(wall: Any) -> Iterator[Problem]:
    """A thickness of flanges without their width."""
    if wall.flange_thickness is not None and wall.flange_width is None:
        yield Problem("value-missing", "a flange needs its width", "flange_width", way_out="give flange_width")


def rib_section(wall: Any, thickness: Any, torsion: Any) -> Blade | Tee:
    """Section of milled ribs: a blade, or a tee that stands on its web."""
    if wall.flange_width is None:
        return Blade(wall.rib_depth, thickness, torsion)
    return Tee(wall.rib_depth, thickness, wall.flange_width, "web", "integral", wall.flange_thickness, torsion)


def around(spacing: Any, count: Any, R: Any) -> Any:
    """Centre-to-centre spacing on the circumference [m], given itself or by the number around."""
    return 2 * math.pi * R / count if spacing is None else spacing


def along(spacing: Any, count: Any, L: Any) -> Any:
    """Spacing of rings [m], given itself or by the number between the supports, which make one bay more."""
    return L / (count + 1) if spacing is None else spacing


def corner_rule(radius: Any, room: Any) -> Rules:
    """Fillets that do not fit the circle inside a pocket [m]."""
    if radius is None:
        return
    room = larger(room, 0.0)
    yield Rule(
        "corner-radius-too-large",
        radius > room,
        lambda: (
            "the corners fill more than the pocket",
            "wall.corner_radius",
            f"{radius * 1e3:g} mm",
            f"at most {1e3 * room:.4g} mm, the circle inside a pocket",
        ),
    )
