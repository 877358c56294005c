"""What the shop can make: ranges of dimensions and counts, and the rules that tie them together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..core.errors import Refusal
from ..model.demand import BareBarrel, Limits
from ..model.wall import Side
from ..model.walls.mass import length_ratio
from .space import Variable

Values = Mapping[str, np.ndarray]
Rule = tuple[str, np.ndarray]
"""A rule of the shop in words, and by how much it holds (logarithm of allowed over needed), (N,)."""

CUTTER_TURN = 4.0
"""Least width of a pocket in cutter radii, so that the tool turns in it (own choice)."""


@dataclass(frozen=True)
class Setting:
    """What a pattern needs to know of the demand: the bare barrel, the limits and the largest slenderness of a rib,
    which the metal decides too."""

    barrel: BareBarrel
    limits: Limits
    slenderness_most: float = math.inf

    def around(self, values: Values) -> np.ndarray:
        """Circumference of the skin middle [m], (N,)."""
        return 2 * math.pi * self.radius(values)

    def radius(self, values: Values) -> np.ndarray:
        """Radius of the skin middle [m], (N,)."""
        half = {"skin middle": 0.0, "inner": 0.5, "outer": -0.5}[self.barrel.radius_is]
        return self.barrel.radius + half * values["skin"]

    def lengthened(self, values: Values, depth: np.ndarray, side: Side, angle: float = 90.0) -> np.ndarray:
        """Length of a blade's centroid line over its length on the skin middle, (N,); see `walls.mass`."""
        z = (depth + values["skin"]) / 2
        return length_ratio(angle, z if side == "outside" else -z, self.radius(values))


def skin(limits: Limits, milled: bool) -> Variable:
    """The skin, milled from plate or rolled."""
    return Variable("skin", limits.milled_skin_least if milled else limits.sheet_least, limits.skin_most)


def depths(limits: Limits, milled: bool) -> tuple[float, float]:
    """Least and largest rib depth [m]."""
    deepest = limits.rib_depth_most
    if milled:
        deepest = min(deepest, limits.cutter_reach, limits.plate_thickness_most - limits.milled_skin_least)
    return limits.rib_depth_least, deepest


def rib(limits: Limits, prefix: str, milled: bool) -> tuple[Variable, Variable]:
    """Depth and thickness of a rib; `prefix` tells families apart."""
    return (
        Variable(f"{prefix}depth", *depths(limits, milled)),
        Variable(f"{prefix}thickness", limits.rib_thickness_least, limits.rib_thickness_most),
    )


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


def slender(setting: Setting, depth: np.ndarray, thickness: np.ndarray, what: str) -> Rule:
    """No rib slenderer than allowed."""
    return f"{what} slenderness", np.log(setting.slenderness_most * thickness / depth)


def pocket(setting: Setting, width: np.ndarray, across: str) -> Rule:
    """A pocket as wide as the tool needs to turn; `width` may be negative where ribs overlap."""
    need = CUTTER_TURN * setting.limits.cutter_radius
    return f"pocket width for the cutter, {across}", np.where(width > 0, np.log(np.maximum(width, 1e-9) / need), -9.0)


def plate(setting: Setting, skin: np.ndarray, depth: np.ndarray) -> Rule:
    """Skin and milled rib out of one plate."""
    return "plate thickness", np.log(setting.limits.plate_thickness_most / (skin + depth))


def gap(spacing: np.ndarray, thickness: np.ndarray, what: str) -> Rule:
    """Skin is left between attached ribs: half the spacing at least."""
    return f"room between {what}", np.log(spacing / (2 * thickness))
