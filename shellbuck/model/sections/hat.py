"""A hat of one sheet: two feet, two webs and a crown, which make a closed cell with the skin."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, ClassVar

import numpy as np

from ...handbook import sections
from ..rules import Rules, larger
from ..shop import Bound, Setting
from .section import Dimension, Element, FlatSection, Key, Torsion, implausible, out_of_shape, too_deep
from .thin import MiddleLine
from .web import Joint

_WIDTHS = "crown_width", "base_width", "foot_width"


@dataclass(frozen=True)
class Hat(FlatSection):
    """A hat of one sheet with sharp corners, by its middle line.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface over all, and thickness of the sheet [m].
    crown_width, base_width : float
        Between the middle lines of the webs at the crown and at the feet [m].
    foot_width : float
        Of each foot, from the middle line of its web to its edge [m].
    joint : {"integral", "riveted", "welded"}
        How it is joined to the skin. Rivets sit in the middle of the feet, welded feet count as plates, integral ones
        as skin.
    torsion_constant : float or None
        With the skin [m^4]; None takes that of the closed cell, reduced by the sway of its crown between rings
        (stringers), or that of the open strip (rings).
    """

    name: ClassVar[str] = "hat"
    called: ClassVar[str] = "hats (depth, sheet; crown, base, each foot)"
    open_modes: ClassVar[tuple[str, ...]] = ()
    closed: ClassVar[bool] = True
    seams: ClassVar[int] = 2
    crippling: ClassVar[tuple[str, int, float]] = ("multi-corner", 11, 0.8)

    depth: Dimension
    thickness: Dimension
    crown_width: Dimension
    base_width: Dimension
    foot_width: Dimension
    joint: Joint
    torsion_constant: Torsion | None = None

    @property
    def _points(self) -> tuple[tuple[Any, Any], ...]:
        """Middle line from edge to edge."""
        low, high = self.thickness / 2, self.depth - self.thickness / 2
        base, crown = self.base_width / 2, self.crown_width / 2
        right = ((crown, high), (base, low), (base + self.foot_width, low))
        return *((-y, z) for y, z in reversed(right)), *right

    @property
    def strips(self) -> tuple[Element, ...]:
        names, p = ("foot", "web", "crown", "web", "foot"), self._points
        return tuple(Element(name, p[i], p[i + 1], self.thickness, free=name == "foot") for i, name in enumerate(names))

    @property
    def elements(self) -> tuple[Element, ...]:
        # an integral foot is one with the skin
        return tuple(e for e in self.strips if e.name != "foot" or self.joint != "integral")

    @property
    def corners(self) -> tuple[tuple[Any, Any, Any, int], ...]:
        half, t = self.web_width / 2, self.thickness
        return (self.foot_width, half, t, 1), (half, self.crown_width / 2, t, 0)

    @property
    def shear_centre(self) -> Any:
        p = {str(i): point for i, point in enumerate(self._points)}
        return MiddleLine(p, tuple((str(i), str(i + 1), self.thickness) for i in range(5))).shear_centre

    @property
    def web_width(self) -> Any:
        """Of a web along its middle line [m]."""
        return self.strips[1].width

    def torsion_on(self, t: Any, stiffer: Any = 1.0, nu: Any = 0.3, half_wave: Any = None) -> Any:
        """Bredt's closed cell, the skin by its shear modulus; over a half-wave less what the crown's sway takes."""
        if self.torsion_constant is not None:
            return self.torsion_constant
        kept = self._closed(t * stiffer, (t + self.thickness) / 2)
        if half_wave is None:
            return kept
        B, c = self.base_width, self.crown_width
        share = larger(c / (B + c), 0.5)
        return sections.swaying_cell_torsion(kept, self.thickness, B, c, self.web_width, nu, share, half_wave)

    def _closed(self, skin: Any, below: Any) -> Any:
        """With a skin of this thickness, referred to the sheet's shear modulus, its middle `below` that of the feet."""
        rise = self.depth - self.thickness
        area = (self.base_width + self.crown_width) / 2 * rise + self.base_width * below
        across, path = self.held[1], self.crown_width + 2 * self.web_width
        if self.joint == "riveted":  # the flow enters the skin at the rivets
            path = path + self.foot_width
        return sections.closed_cell_torsion(area, path, self.thickness, across, skin)

    @property
    def foot(self) -> tuple[str, Any]:
        return "base_width", self.base_width + 2 * self.foot_width

    @property
    def widths(self) -> tuple[tuple[str, Any], ...]:
        return self.foot, ("crown_width", self.crown_width)

    @property
    def held(self) -> tuple[Any, Any]:
        if self.joint == "riveted":
            rows = self.base_width + self.foot_width
            return rows, rows
        return self.base_width + 2 * self.foot_width, self.base_width

    @property
    def sizes(self) -> tuple[Any, ...]:
        return self.depth, self.thickness, self.crown_width, self.base_width, self.foot_width

    def outline(self, t: float) -> tuple[tuple[tuple[float, float], ...], ...]:
        left, right = (_beside(self._points, side * self.thickness / 2) for side in (1, -1))
        return (tuple((y, z + t / 2) for y, z in (*left, *reversed(right))),)

    @property
    def taken(self) -> Any:
        return 2 * self.thickness

    @property
    def sized_widths(self) -> tuple[tuple[str, Any, Any], ...]:
        return tuple((key, getattr(self, key), self.thickness) for key in _WIDTHS)

    def bounds(self, setting: Setting, what: str) -> list[Bound]:
        # a crown wider than the base would be no pressing
        return [
            *super().bounds(setting, what),
            (f"{what} crown no wider than its base", np.log(self.base_width / self.crown_width)),
        ]

    def limits(self, R: Any, key: Key) -> Rules:
        yield too_deep(self.depth, R, key("depth"))
        t = self.thickness
        yield out_of_shape("the sheet leaves no web", key("depth"), self.depth, self.depth <= 2 * t, "over 2 thickness")
        for name in _WIDTHS:
            width = getattr(self, name)
            yield out_of_shape("narrower than the sheet is thick", key(name), width, width <= t, "over thickness")
        if self.torsion_constant is not None:
            most = 1.05 * self._closed(10.0 * self.depth, self.depth)
            yield implausible(
                "torsion constant of the closed cell", key("torsion_constant"), self.torsion_constant, most
            )


def _beside(points: tuple[tuple[float, float], ...], gap: float) -> list[tuple[float, float]]:
    """A line beside a line, mitred at its corners [m]."""
    units = []
    for (y0, z0), (y1, z1) in pairwise(points):
        length = ((y1 - y0) ** 2 + (z1 - z0) ** 2) ** 0.5
        units.append((-(z1 - z0) / length, (y1 - y0) / length))
    found = []
    for i, (y, z) in enumerate(points):
        a, b = units[max(i - 1, 0)], units[min(i, len(units) - 1)]
        reach = gap / (1 + a[0] * b[0] + a[1] * b[1])
        found.append((y + reach * (a[0] + b[0]), z + reach * (a[1] + b[1])))
    return found
