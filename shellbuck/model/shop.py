"""What a sizing chooses of a wall and what the shop can make: ranges of dimensions and counts, and bounds that tie them
together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from ..core.errors import Refusal
from .checked import Checked, unchecked

if TYPE_CHECKING:
    from .demand import BareBarrel, Limits
    from .sized_section import SizedSection
    from .walls.wall import Wall

Values = Mapping[str, Any]
"""Variable -> its value, or values (N,)."""
Bound = tuple[str, np.ndarray]
"""A rule of the shop in words, and by how much it is kept (logarithm of allowed over needed), (N,)."""


@dataclass(frozen=True)
class Variable:
    """One thing to choose.

    Parameters
    ----------
    name : str
        As the pattern calls it, e.g. "skin".
    low, high : float
        Closed range, above 0 [m or a count].
    whole : bool
        A count. The search relaxes it first, then holds whole numbers.
    step : int
        A count comes in multiples of this.
    """

    name: str
    low: float
    high: float
    whole: bool = False
    step: int = 1

    def of(self, family: str) -> Variable:
        """The same of one family of ribs."""
        return replace(self, name=f"{family}_{self.name}")

    @property
    def gauge(self) -> bool:
        """True for thicknesses and depths: more of it is never lighter."""
        return not self.whole

    def wholes_near(self, value: float) -> tuple[float, ...]:
        """Allowed counts on both sides of a value."""
        below = np.floor(value / self.step) * self.step
        return tuple(c for c in dict.fromkeys((below, below + self.step)) if self._inside(c)) or (self.nearest(value),)

    def nearest(self, value: float) -> float:
        """Allowed count nearest to a value."""
        lowest, highest = np.ceil(self.low / self.step) * self.step, np.floor(self.high / self.step) * self.step
        return float(np.clip(np.round(value / self.step) * self.step, lowest, highest))

    def _inside(self, count: float) -> bool:
        return self.low <= count <= self.high


CUTTER_TURN = 4.0
"""Least width of a pocket in cutter radii, so that the tool turns in it (own choice)."""


@dataclass(frozen=True)
class Setting:
    """What a pattern needs to know of the demand: the bare barrel, the limits, the largest slenderness of a blade,
    which the metal decides too, and what stringers and rings are made of (by name of the family)."""

    barrel: BareBarrel
    limits: Limits
    slenderness_most: float = math.inf
    sections: Mapping[str, SizedSection] = field(default_factory=dict)

    def around(self, values: Values) -> np.ndarray:
        """Circumference of the skin middle [m], (N,)."""
        return 2 * math.pi * self.radius(values)

    def radius(self, values: Values) -> np.ndarray:
        """Radius of the skin middle [m], (N,)."""
        half = {"skin middle": 0.0, "inner": 0.5, "outer": -0.5}[self.barrel.radius_is]
        return self.barrel.radius + half * values["skin"]


def skin(limits: Limits, milled: bool) -> Variable:
    """The skin, milled from plate or rolled."""
    return Variable("skin", limits.milled_skin_least if milled else limits.sheet_least, limits.skin_most)


def depths(limits: Limits, milled: bool) -> tuple[float, float]:
    """Least and largest rib depth [m]."""
    deepest = limits.rib_depth_most
    if milled:
        deepest = min(deepest, limits.cutter_reach, limits.plate_thickness_most - limits.milled_skin_least)
    return limits.rib_depth_least, deepest


def rib(limits: Limits, milled: bool) -> tuple[Variable, Variable]:
    """Depth and thickness of a rib."""
    depth, thickness = sizes(limits, ("depth", "thickness"), milled)
    return depth, thickness


def sizes(limits: Limits, keys: Iterable[str], milled: bool) -> Iterator[Variable]:
    """Dimensions of a section by their keys: its depth, thicknesses, and widths."""
    thicknesses = limits.rib_thickness_least, limits.rib_thickness_most
    for key in keys:
        if key == "depth":
            yield Variable(key, *depths(limits, milled))
        elif key.endswith("thickness"):
            yield Variable(key, *thicknesses)
        else:
            yield Variable(key, limits.width_least, limits.width_most)


def around(setting: Setting, factor: float = 1.0, step: int = 1, least: int = 6) -> tuple[float, float]:
    """Counts around the circumference whose pitch, times `factor`, is an allowed spacing."""
    length, limits = 2 * math.pi * setting.barrel.radius * factor, setting.limits
    return counts("spacing around", length / limits.spacing_most, length / limits.spacing_least, step, least)


def along(setting: Setting) -> tuple[float, float]:
    """Numbers of rings between the supports whose bay is an allowed spacing."""
    length, limits = setting.barrel.length, setting.limits
    return counts("spacing along", length / limits.spacing_most - 1, length / limits.spacing_least - 1, 1, 1)


def counts(what: str, low: float, high: float, step: int, least: int) -> tuple[float, float]:
    lowest = max(math.ceil(low / step - 1e-9) * step, least)
    highest = math.floor(high / step + 1e-9) * step
    if lowest > highest:
        raise Refusal.of(
            "range-empty",
            f"no whole number gives an allowed {what}",
            "limits.spacing_least",
            f"{low:.4g} to {high:.4g}",
            f"a multiple of {step}, {least} or more",
            "widen spacing_least to spacing_most",
        )
    return float(lowest), float(highest)


def slender(most: float, depth: np.ndarray, thickness: np.ndarray, what: str) -> Bound:
    """No rib slenderer than allowed."""
    return f"{what} slenderness", np.log(most * thickness / depth)


def pocket(setting: Setting, width: np.ndarray, across: str) -> Bound:
    """A pocket as wide as the tool needs to turn; `width` may be negative where ribs overlap."""
    need = CUTTER_TURN * setting.limits.cutter_radius
    return f"pocket width for the cutter, {across}", np.where(width > 0, np.log(np.maximum(width, 1e-9) / need), -9.0)


def plate(setting: Setting, skin: np.ndarray, depth: np.ndarray) -> Bound:
    """Skin and milled rib out of one plate."""
    return "plate thickness", np.log(setting.limits.plate_thickness_most / (skin + depth))


def gap(spacing: np.ndarray, width: np.ndarray, what: str, left: float = 0.5) -> Bound:
    """Skin is left between attached ribs: this share of the spacing at least."""
    return f"room between {what}", np.log((1 - left) * spacing / width)


FOOT_GAP = 0.25
"""Share of the spacing that is left between neighbouring feet, flanges or bulbs, for the tool that joins them (own
choice)."""

WIDE = 2.0
"""Least width of a flange, foot, crown, base or bulb in thicknesses, and least depth in thicknesses of what takes part
of it (own choice)."""


def shaped(key: str, width: np.ndarray, thickness: np.ndarray, what: str) -> Bound:
    """A part of a section that is wider than its sheet is thick."""
    return f"{what} {key.replace('_', ' ')} over thickness", np.log(width / (WIDE * thickness))


@dataclass(frozen=True)
class Pattern:
    """A way to build a wall.

    Parameters
    ----------
    name, title : str
    made : {"sheet", "milled", "built up"}
        One rolled sheet, skin and ribs from one plate, or sheet with separate stiffeners joined to it.
    variables : callable
        Setting -> what may be chosen.
    wall : callable
        (Setting, values, whole) -> Wall; counts that are not whole are written as spacings, and only a wall of whole
        counts has the fillets of its pockets.
    bounds : callable
        (Setting, values) -> what the shop asks.
    group : str
        The kind of wall in a comparison, in words.
    compared : bool
        Part of a comparison that names no pattern.
    families : tuple of str
        "stringers", "rings": those whose section the demand may choose.
    pressurised : bool
        The barrel never has less than the standby pressure.
    credits_pressure : bool
        False puts every minimum pressure to zero.
    """

    name: str
    title: str
    made: Literal["sheet", "milled", "built up"]
    variables: Callable[[Setting], tuple[Variable, ...]]
    wall: Callable[[Setting, Values, bool], Wall]
    bounds: Callable[[Setting, Values], list[Bound]]
    group: str
    compared: bool = False
    families: tuple[str, ...] = ()
    pressurised: bool = False
    credits_pressure: bool = True

    def fields(self, setting: Setting, values: Values) -> dict[str, np.ndarray]:
        """Dotted field of the case -> (N,), for arrays of designs."""
        return dict(_arrays(self.wall(setting, values, False), "wall."))

    def thickness(self, setting: Setting, values: Values) -> np.ndarray:
        """Mass per area over density (N,) [m]."""
        wall = self.wall(setting, values, True)
        return wall.mass_per_area_of(setting.radius(values), setting.barrel.length, values["skin"], lambda _: 1.0)


def made(cls: type[Checked], **values: Any) -> Any:
    """A part of a wall: checked, or unchecked where it holds arrays of designs."""
    arrays = any(isinstance(value, np.ndarray) for value in values.values())
    return unchecked(cls, **values) if arrays else cls(**values)


def number(value: Any) -> Any:
    """A count as a whole number; counts of many designs as they are."""
    return value if isinstance(value, np.ndarray) else round(value)


def _arrays(owner: Checked, prefix: str) -> Iterator[tuple[str, np.ndarray]]:
    for key, value in vars(owner).items():
        if isinstance(value, np.ndarray):
            yield prefix + key, value
        elif isinstance(value, Checked):
            yield from _arrays(value, f"{prefix}{key}.")
