"""Tee, angle, zee and I by their drawing dimensions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from ..rules import smaller
from .section import Dimension, Torsion
from .web import Attached, Joint, Leaf, WebSection


@dataclass(frozen=True)
class _Flanged(WebSection):
    """A web with one flange, either of which is attached to the skin."""

    depth: Dimension
    thickness: Dimension
    flange_width: Dimension
    attached: Attached
    joint: Joint
    flange_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None

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
        How it is joined to the skin. Rivets sit in the middle of the foot, a welded foot counts as a plate, an integral
        one as skin.
    flange_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "tee"
    called: ClassVar[str] = "tees (depth, web; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("tee", 3, 0.8)
    two_rivets: ClassVar[bool] = True

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
        How it is joined to the skin. Rivets sit in the middle of the foot, a welded foot counts as a plate, an integral
        one as skin.
    flange_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "angle"
    called: ClassVar[str] = "angles (depth, web; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("multi-corner", 2, 0.7)

    @property
    def _leaf(self) -> Leaf:
        return _one(self.flange_width, _or(self.flange_thickness, self.thickness), self.thickness, -1)

    @property
    def corners(self) -> tuple[tuple[Any, Any, Any, int], ...]:
        leaf, (low, high) = self._leaf, self._levels
        return ((high - low, leaf.left, smaller(leaf.thickness, self.thickness), 2),)


@dataclass(frozen=True)
class _Footed(WebSection):
    """A web with a foot and a flange."""

    depth: Dimension
    thickness: Dimension
    flange_width: Dimension
    foot_width: Dimension
    joint: Joint
    flange_thickness: Dimension | None = None
    foot_thickness: Dimension | None = None
    torsion_constant: Torsion | None = None

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
        How it is joined to the skin. Rivets sit in the middle of the foot, a welded foot counts as a plate, an integral
        one as skin.
    flange_thickness, foot_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "zee"
    called: ClassVar[str] = "zees (depth, web; foot; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("two-corner", 0, 0.9)

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
        How it is joined to the skin. Rivets sit in the middle of the foot, a welded foot counts as a plate, an integral
        one as skin.
    flange_thickness, foot_thickness : float or None
        [m]; None takes the web's.
    torsion_constant : float or None
        [m^4]; None takes that of thin open strips.
    """

    name: ClassVar[str] = "i"
    called: ClassVar[str] = "I sections (depth, web; foot; flange)"
    crippling: ClassVar[tuple[str, int, float]] = ("tee", 7, 0.8)
    two_rivets: ClassVar[bool] = True

    @property
    def foot_leaf(self) -> Leaf:
        return _both(self.foot_width, _or(self.foot_thickness, self.thickness))

    @property
    def flange_leaf(self) -> Leaf:
        return _both(self.flange_width, _or(self.flange_thickness, self.thickness))
