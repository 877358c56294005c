"""A web with a foot on the skin, a flange away from it, or both.

Areas and second moments are those of rectangles that do not overlap: the web runs from foot to flange, corners belong
to foot and flange (sharp corners, no fillets). Plates and warping use the middle line, which is wider than the clear
plate and so on the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property
from typing import Any, ClassVar, Literal, NamedTuple

from ..rules import Rules, larger
from .section import Element, FlatSection, Key, implausible, out_of_shape, riveted_edge, too_deep
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

    @property
    def taken(self) -> Any:
        return sum(leaf.thickness for _, leaf, _ in self._leaves)

    @property
    def sized_widths(self) -> tuple[tuple[str, Any, Any], ...]:
        return tuple(
            (f"{name}_width", leaf.width, larger(leaf.thickness, self.thickness)) for name, leaf, _ in self._leaves
        )

    def limits(self, R: Any, key: Key) -> Rules:
        yield too_deep(self.depth, R, key("depth"))
        room = self.depth - self.taken
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
