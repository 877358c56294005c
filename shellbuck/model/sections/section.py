"""What a cross-section of a rib says about itself, and how flat elements add up to one.

Every section is a frozen record whose fields are its keys in a case file; a field with a default may be left out.
Numbers are floats or (N,) arrays. Heights run from the surface of the skin away from it where nothing else is said.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property, reduce
from typing import Annotated, Any, ClassVar, NamedTuple

from ...core.errors import Problem
from ..checked import Quantity
from ..rules import Rule, Rules, larger
from ..shop import Bound, Setting, shaped, slender

Dimension = Annotated[float, Quantity("length", 1e-5, 10.0)]
Torsion = Annotated[float, Quantity("second moment of area", 0.0, 1.0)]
Key = Callable[[str], str]
"""From a field of a section to the dotted key where a case file holds it."""

DEEPEST = 0.2
"""Of the radius; ribs that reach farther are too deep for a stiffness smeared about the skin (own limit)."""


@dataclass(frozen=True)
class Element:
    """A flat element between two points (across, up) of its middle line [m].

    `free` says that one of its long edges is free; otherwise other elements or the skin support both.
    """

    name: str
    start: tuple[Any, Any]
    end: tuple[Any, Any]
    thickness: Any
    free: bool

    @property
    def width(self) -> Any:
        """Length of the middle line [m]."""
        return ((self.end[0] - self.start[0]) ** 2 + (self.end[1] - self.start[1]) ** 2) ** 0.5


class Section:
    """The protocol of a section."""

    name: ClassVar[str]
    """The word of a case file."""
    called: ClassVar[str]
    """Under a drawing, before its dimensions."""
    open_modes: ClassVar[tuple[str, ...]] = ("crippling", "rolling")
    """Failure modes that no margin here judges: both, until a section says that it is judged."""
    closed: ClassVar[bool] = False
    """Whether it makes a closed cell with the skin."""
    seams: ClassVar[int] = 1
    """Rows of joints that hold it to the skin."""
    crippling: ClassVar[tuple[str, int, float]] = ("", 0, 0.0)
    """Which of Gerard's formulas holds for its crippling ("multi-corner", "tee", "two-corner", or none), its number of
    flanges and cuts, and the cut-off as a share of yield."""

    area: Any
    """[m^2]."""
    inertia: Any
    """Second moment about its own centroid, for bending away from the skin [m^4]."""
    torsion: Any
    """Torsion constant [m^4]."""

    @property
    def lateral_inertia(self) -> Any:
        """Second moment about its own centroid, for bending along the skin [m^4]; None where it is not known."""
        return None

    @property
    def product_inertia(self) -> Any:
        """Product of inertia about its own centroid, across and up [m^4]; None where it is not known."""
        return None

    @property
    def shear_centre(self) -> Any:
        """(across, up) of the section by itself [m]; None where it is not known."""
        return None

    @property
    def hinge(self) -> tuple[Any, Any] | None:
        """Where it is held to the skin and may roll, (across, up) [m]; None where it cannot, or where that is judged
        otherwise."""
        return None

    def torsion_on(self, t: Any, stiffer: Any = 1.0, nu: Any = 0.3, half_wave: Any = None) -> Any:
        """Torsion constant on a skin [m^4], of which a closed cell makes a wall.

        Parameters
        ----------
        t : float
            Thickness of the skin [m].
        stiffer : float
            Shear modulus of the skin over its own.
        nu : float
            Its own Poisson's ratio.
        half_wave : float or None
            Of the twist along it, in which a cell loses its shape [m]; None where it twists evenly.
        """
        return self.torsion

    @property
    def elements(self) -> tuple[Element, ...]:
        """Flat elements: what buckles as plates and what a mesh is made of; empty where they are not known."""
        return ()

    @property
    def corners(self) -> tuple[tuple[Any, Any, Any, int], ...]:
        """Angles that make up the section, one or two kinds of equal number: both legs and thickness [m], and free
        edges; empty where it is not made of angles."""
        return ()

    @property
    def blade(self) -> tuple[Any, Any]:
        """Depth and thickness of an upright blade [m]; (None, None) for every other section."""
        return None, None

    @property
    def foot(self) -> tuple[str, Any] | None:
        """The key that says how wide it stands on the skin, and that width [m]; None where it is not known."""
        return None

    @property
    def widths(self) -> tuple[tuple[str, Any], ...]:
        """Keys and widths that must fit between neighbours [m]."""
        return () if self.foot is None else (self.foot,)

    @property
    def held(self) -> tuple[Any, Any]:
        """Breadth of skin between its outermost lines of attachment, and the widest of it that it leaves unsupported in
        between [m]; zeros where that is not known."""
        return (0.0 if self.foot is None else self.foot[1]), 0.0

    @property
    def sizes(self) -> tuple[Any, ...]:
        """Dimensions as they are written under a drawing [m]."""
        return ()

    def height(self, t: Any) -> Any:
        """Centroid above the middle of a skin of thickness `t` [m]."""
        raise NotImplementedError

    def outline(self, t: Any) -> tuple[tuple[tuple[float, float], ...], ...]:
        """Polygons of points (across, up) above the middle of the skin [m], for a drawing."""
        raise NotImplementedError

    def limits(self, R: Any, key: Key) -> Rules:
        """What is refused of its own dimensions on a barrel of this middle radius [m]."""
        raise NotImplementedError

    def doubts(self) -> Iterator[tuple[str, str]]:
        """(key, words) of what is possible and improbable of it: for a single design."""
        return iter(())

    def bounds(self, setting: Setting, what: str) -> list[Bound]:
        """What a shop asks of it."""
        return []


class Part(NamedTuple):
    """A piece of area: its size [m^2], its middle (across, up) [m], and its second moments about that middle [m^4] of
    distances across, of distances up, and of their product."""

    area: Any
    middle: tuple[Any, Any]
    across: Any
    up: Any
    product: Any


def _part(e: Element) -> Part:
    """A rectangle of the width of an element and its thickness."""
    run, rise, A = e.end[0] - e.start[0], e.end[1] - e.start[1], e.width * e.thickness
    flat = (e.thickness / e.width) ** 2
    middle = ((e.start[0] + e.end[0]) / 2, (e.start[1] + e.end[1]) / 2)
    across, up = A * (run**2 + rise**2 * flat) / 12, A * (rise**2 + run**2 * flat) / 12
    return Part(A, middle, across, up, A * run * rise * (1 - flat) / 12)


class FlatSection(Section):
    """A section of flat elements, thin and open but where a subclass knows better."""

    open_modes: ClassVar[tuple[str, ...]] = ("rolling",)

    depth: Any
    thickness: Any
    torsion_constant: Any

    @property
    def strips(self) -> tuple[Element, ...]:
        """Rectangles that make up its area without overlap; the elements, unless those run to middle lines."""
        return self.elements

    @property
    def parts(self) -> tuple[Part, ...]:
        """Pieces of its area."""
        return tuple(_part(e) for e in self.strips)

    @cached_property
    def area(self) -> Any:
        return sum(part.area for part in self.parts)

    @cached_property
    def centroid(self) -> tuple[Any, Any]:
        """(across, up) of the centroid [m]."""
        return tuple(sum(part.area * part.middle[i] for part in self.parts) / self.area for i in (0, 1))

    def moments_about(self, point: tuple[Any, Any]) -> tuple[Any, Any, Any]:
        """Second moments about a point [m^4]: of distances across, of distances up, and of their product."""
        across = up = product = 0.0
        for part in self.parts:
            y, z = part.middle[0] - point[0], part.middle[1] - point[1]
            across = across + part.across + part.area * y**2
            up = up + part.up + part.area * z**2
            product = product + part.product + part.area * y * z
        return across, up, product

    def warping_about(self, pole: tuple[Any, Any]) -> Any:
        """Warping constant about a pole [m^6]."""
        raise NotImplementedError

    @property
    def inertia(self) -> Any:
        return self.moments_about(self.centroid)[1]

    @property
    def lateral_inertia(self) -> Any:
        return self.moments_about(self.centroid)[0]

    @property
    def product_inertia(self) -> Any:
        return self.moments_about(self.centroid)[2]

    @property
    def torsion(self) -> Any:
        return self.own_torsion if self.torsion_constant is None else self.torsion_constant

    @property
    def own_torsion(self) -> Any:
        """Torsion constant of the dimensions [m^4]; thin and open: width thickness^3/3 of every strip."""
        return sum(e.width * e.thickness**3 for e in self.strips) / 3

    @property
    def reach(self) -> Any:
        """Farthest point of a middle line above the surface of the skin [m]."""
        return reduce(larger, (point[1] for e in self.elements for point in (e.start, e.end)))

    def height(self, t: Any) -> Any:
        return self.centroid[1] + t / 2

    def outline(self, t: float) -> tuple[tuple[tuple[float, float], ...], ...]:
        return tuple(_corners(e, t / 2) for e in self.strips)

    @property
    def taken(self) -> Any:
        """Of its depth, by what is no web [m]."""
        raise NotImplementedError

    @property
    def sized_widths(self) -> tuple[tuple[str, Any, Any], ...]:
        """Keys and sizes of what stands out from its web, and the thickness of each [m]."""
        raise NotImplementedError

    def bounds(self, setting: Setting, what: str) -> list[Bound]:
        most = setting.slenderness_most
        free = {e.name: e for e in self.elements if e.free}  # both sides of a flange are alike
        slenderness = (slender(most, e.width, e.thickness, f"{what} {e.name}") for e in free.values())
        widths = (shaped(key, width, thickness, what) for key, width, thickness in self.sized_widths)
        return [*slenderness, *widths, shaped("depth", self.depth, self.taken, what)]


def _corners(e: Element, up: float) -> tuple[tuple[float, float], ...]:
    across, rise = e.end[0] - e.start[0], e.end[1] - e.start[1]
    half = e.thickness / 2 / math.hypot(across, rise)
    dx, dy = -rise * half, across * half
    ends = ((e.start, 1), (e.start, -1), (e.end, -1), (e.end, 1))
    return tuple((x + side * dx, y + up + side * dy) for (x, y), side in ends)


def too_deep(depth: Any, R: Any, where: str) -> Rule:
    """A rib that reaches too far [m]."""
    return Rule(
        "ribs-too-deep",
        depth > DEEPEST * R,
        lambda: (
            "too deep for stiffness smeared about the skin",
            where,
            f"{depth:g} m",
            f"at most {DEEPEST * R:.4g} m (a fifth of the radius)",
        ),
    )


def implausible(what: str, where: str, value: Any, most: Any) -> Rule:
    """A property that no section has [m^4]: a slip of unit or axis would turn every load up without a word."""
    return Rule(
        "section-implausible",
        value > most,
        lambda: (
            f"no section has such a {what}",
            where,
            f"{value * 1e12:.4g} mm^4",
            f"at most {most * 1e12:.4g} mm^4",
            "check the unit and the axis",
        ),
    )


def out_of_shape(what: str, where: str, value: Any, broken: Any, allowed: str) -> Rule:
    """Dimensions that make no section [m]."""
    return Rule("section-shape", broken, lambda: (what, where, f"{value * 1e3:g} mm", allowed))


def riveted_edge(joint: str, key: Key) -> Rules:
    """An edge that stands on the skin has no foot for rivets."""
    if joint == "riveted":
        yield Problem(
            "section-shape",
            "the edge of a web cannot be riveted to the skin",
            key("joint"),
            joint,
            "integral, welded",
            "a riveted section needs a foot",
        )
