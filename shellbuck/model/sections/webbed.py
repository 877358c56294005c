"""Sections with one web: tee, angle, zee, I.

Dimensions as on a drawing. Areas and second moments are those of rectangles that do not overlap: the web runs from
foot to flange, corners belong to foot and flange (sharp corners, no fillets). Plates and warping use the middle line,
which is wider than the clear plate and so on the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Literal, NamedTuple

from ..rules import Rules, smaller
from .section import Dimension, Element, FlatSection, Key, Torsion, implausible, out_of_shape, riveted_edge, too_deep
from .thin import MiddleLine, Point

Joint = Literal["integral", "riveted", "welded"]
Attached = Literal["web", "flange"]


class Leaf(NamedTuple):
    """A foot or a flange: how far it reaches left and right of the middle of the web, and its thickness [m]; `sides`
    are those on which it stands out (-1 left, 1 right)."""

    left: Any
    right: Any
    thickness: Any
    sides: tuple[int, ...]

    @property
    def width(self) -> Any:
        """Over all [m]."""
        return self.left + self.right

    def outstand(self, side: int) -> Any:
        """From the middle of the web to an edge [m]."""
        return self.left if side < 0 else self.right


class WebSection(FlatSection):
    """A web with a foot on the skin, a flange away from it, or both."""

    depth: Any
    thickness: Any
    joint: Joint
    open_modes: ClassVar[tuple[str, ...]] = ()
    two_rivets: ClassVar[bool] = False
    """Whether a riveted foot is held on both sides of its web."""

    @property
    def foot_leaf(self) -> Leaf | None:
        """The part that lies on the skin; None where the web stands on it."""
        return None

    @property
    def flange_leaf(self) -> Leaf | None:
        """The part away from the skin; None where the web ends free."""
        return None

    @property
    def _levels(self) -> tuple[Any, Any]:
        """Middle lines of foot and flange above the skin [m]; the web's own ends where there is none."""
        foot, flange = self.foot_leaf, self.flange_leaf
        low = 0.0 if foot is None else foot.thickness / 2
        return low, self.depth if flange is None else self.depth - flange.thickness / 2

    @property
    def _leaves(self) -> Iterator[tuple[str, Leaf, Any]]:
        for name, leaf, level in zip(("foot", "flange"), (self.foot_leaf, self.flange_leaf), self._levels, strict=True):
            if leaf is not None:
                yield name, leaf, level

    @property
    def strips(self) -> tuple[Element, ...]:
        foot, flange = self.foot_leaf, self.flange_leaf
        low = 0.0 if foot is None else foot.thickness
        high = self.depth if flange is None else self.depth - flange.thickness
        web = Element("web", (0.0, low), (0.0, high), self.thickness, free=False)
        leaves = (
            Element(name, (-leaf.left, level), (leaf.right, level), leaf.thickness, free=True)
            for name, leaf, level in self._leaves
        )
        return (web, *leaves)

    @property
    def elements(self) -> tuple[Element, ...]:
        low, high = self._levels
        free = self.flange_leaf is None
        found = [Element("web", (0.0, low), (0.0, high), self.thickness, free=free)]
        for name, leaf, level in self._leaves:
            if name == "foot" and self.joint == "integral":
                continue  # one with the skin
            for side in leaf.sides:
                edge = (side * leaf.outstand(side), level)
                found.append(Element(name, (0.0, level), edge, leaf.thickness, free=True))
        return tuple(found)

    @cached_property
    def middle_line(self) -> MiddleLine:
        """Walls from the root of the web."""
        low, high = self._levels
        points: dict[str, Point] = {"root": (0.0, low), "head": (0.0, high)}
        walls = [("root", "head", self.thickness)]
        for name, leaf, level in self._leaves:
            for side in leaf.sides:
                edge = f"{name} {side}"
                points[edge] = (side * leaf.outstand(side), level)
                walls.append(("root" if name == "foot" else "head", edge, leaf.thickness))
        return MiddleLine(points, tuple(walls))

    @property
    def shear_centre(self) -> Any:
        return self.middle_line.shear_centre

    def warping_about(self, pole: Point) -> Any:
        return self.middle_line.warping(pole)

    @property
    def hinge(self) -> Point:
        """A single row of rivets, else the root of the web."""
        foot = self.foot_leaf
        if foot is None or self.joint != "riveted" or self.two_rivets:
            return 0.0, 0.0
        return (foot.right - foot.left) / 2, 0.0

    @property
    def held(self) -> tuple[Any, Any]:
        foot = self.foot_leaf
        if foot is None:
            return self.thickness, 0.0
        if self.joint != "riveted":
            return foot.width, 0.0
        return (foot.width / 2, foot.width / 2) if self.two_rivets else (0.0, 0.0)

    @property
    def sizes(self) -> tuple[Any, ...]:
        return (self.depth, self.thickness, *(x for _, leaf, _ in self._leaves for x in (leaf.width, leaf.thickness)))

    def limits(self, R: Any, key: Key) -> Rules:
        yield too_deep(self.depth, R, key("depth"))
        leaves = [leaf for _, leaf, _ in self._leaves]
        room = self.depth - sum(leaf.thickness for leaf in leaves)
        yield out_of_shape("foot and flange leave no web", key("depth"), self.depth, room <= 0, "more than both")
        for name, width in self.widths:
            broken = width <= self.thickness
            yield out_of_shape("no wider than its web", key(name), width, broken, "wider than thickness")
        if self.torsion_constant is not None:
            most = self.area**2 / (2 * math.pi)
            yield implausible(
                "torsion constant of an open section", key("torsion_constant"), self.torsion_constant, most
            )
        if self.foot_leaf is None:
            yield from riveted_edge(self.joint, key)


class _Flanged(WebSection):
    """A web with one flange, either of which is attached to the skin."""

    attached: Attached
    flange_width: Any
    flange_thickness: Any

    @property
    def _leaf(self) -> Leaf:
        raise NotImplementedError

    @property
    def foot_leaf(self) -> Leaf | None:
        return self._leaf if self.attached == "flange" else None

    @property
    def flange_leaf(self) -> Leaf | None:
        return self._leaf if self.attached == "web" else None

    @property
    def foot(self) -> tuple[str, Any]:
        return ("flange_width", self.flange_width) if self.attached == "flange" else ("thickness", self.thickness)

    @property
    def widths(self) -> tuple[tuple[str, Any], ...]:
        return (("flange_width", self.flange_width),)


def _or(own: Any, default: Any) -> Any:
    return default if own is None else own


def _both(width: Any, thickness: Any) -> Leaf:
    return Leaf(width / 2, width / 2, thickness, (-1, 1))


def _one(width: Any, thickness: Any, web: Any, side: int) -> Leaf:
    """A leaf to one side, its width measured over the web."""
    out, back = width - web / 2, web / 2
    return Leaf(out, back, thickness, (-1,)) if side < 0 else Leaf(back, out, thickness, (1,))


@dataclass(frozen=True)
class Tee(_Flanged):
    """A web with a flange to both sides.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface over all, and thickness of the web [m].
    flange_width : float
        Over all [m].
    attached : {"web", "flange"}
        What is on the skin.
    joint : {"integral", "riveted", "welded"}
    flange_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "tee"
    called: ClassVar[str] = "tees (depth, web; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("tee", 3, 0.8)
    two_rivets: ClassVar[bool] = True

    depth: Dimension
    thickness: Dimension
    flange_width: Dimension
    attached: Attached
    joint: Joint
    flange_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None

    @property
    def _leaf(self) -> Leaf:
        return _both(self.flange_width, _or(self.flange_thickness, self.thickness))


@dataclass(frozen=True)
class Angle(_Flanged):
    """A web with a flange to one side.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface over all, and thickness of the web [m].
    flange_width : float
        Over all, the web's thickness included [m].
    attached : {"web", "flange"}
        What is on the skin.
    joint : {"integral", "riveted", "welded"}
    flange_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "angle"
    called: ClassVar[str] = "angles (depth, web; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("multi-corner", 2, 0.7)

    depth: Dimension
    thickness: Dimension
    flange_width: Dimension
    attached: Attached
    joint: Joint
    flange_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None

    @property
    def _leaf(self) -> Leaf:
        return _one(self.flange_width, _or(self.flange_thickness, self.thickness), self.thickness, -1)

    @property
    def corners(self) -> tuple[tuple[Any, Any, Any, int], ...]:
        leaf, (low, high) = self._leaf, self._levels
        return ((high - low, leaf.left, smaller(leaf.thickness, self.thickness), 2),)


class _Footed(WebSection):
    """A web with a foot and a flange."""

    flange_width: Any
    foot_width: Any
    flange_thickness: Any
    foot_thickness: Any

    @property
    def foot(self) -> tuple[str, Any]:
        return "foot_width", self.foot_width

    @property
    def widths(self) -> tuple[tuple[str, Any], ...]:
        return self.foot, ("flange_width", self.flange_width)


@dataclass(frozen=True)
class Zee(_Footed):
    """A web with a foot to one side and a flange to the other.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface over all, and thickness of the web [m].
    flange_width, foot_width : float
        Over all, the web's thickness included [m].
    joint : {"integral", "riveted", "welded"}
    flange_thickness, foot_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "zee"
    called: ClassVar[str] = "zees (depth, web; foot; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("two-corner", 0, 0.9)

    depth: Dimension
    thickness: Dimension
    flange_width: Dimension
    foot_width: Dimension
    joint: Joint
    flange_thickness: Dimension | None = None
    foot_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None

    @property
    def foot_leaf(self) -> Leaf:
        return _one(self.foot_width, _or(self.foot_thickness, self.thickness), self.thickness, -1)

    @property
    def flange_leaf(self) -> Leaf:
        return _one(self.flange_width, _or(self.flange_thickness, self.thickness), self.thickness, 1)

    @property
    def corners(self) -> tuple[tuple[Any, Any, Any, int], ...]:
        half = (self._levels[1] - self._levels[0]) / 2
        legs = ((self.foot_leaf.left, self.foot_leaf), (self.flange_leaf.right, self.flange_leaf))
        return tuple((half, width, smaller(leaf.thickness, self.thickness), 1) for width, leaf in legs)


@dataclass(frozen=True)
class IBeam(_Footed):
    """A web with a foot and a flange to both sides.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface over all, and thickness of the web [m].
    flange_width, foot_width : float
        Over all [m].
    joint : {"integral", "riveted", "welded"}
    flange_thickness, foot_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "i"
    called: ClassVar[str] = "I sections (depth, web; foot; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("tee", 7, 0.8)
    two_rivets: ClassVar[bool] = True

    depth: Dimension
    thickness: Dimension
    flange_width: Dimension
    foot_width: Dimension
    joint: Joint
    flange_thickness: Dimension | None = None
    foot_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None

    @property
    def foot_leaf(self) -> Leaf:
        return _both(self.foot_width, _or(self.foot_thickness, self.thickness))

    @property
    def flange_leaf(self) -> Leaf:
        return _both(self.flange_width, _or(self.flange_thickness, self.thickness))
