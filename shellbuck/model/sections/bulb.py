"""A flat bar with a round bulb at its free edge."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, ClassVar

from ..rules import Rules
from .section import (
    Dimension,
    Element,
    FlatSection,
    Key,
    Part,
    Torsion,
    implausible,
    out_of_shape,
    riveted_edge,
    too_deep,
)
from .web import Joint

_SIDES = 72


@dataclass(frozen=True)
class Bulb(FlatSection):
    """A flat bar upright on the skin with a solid round bulb at its edge.

    The web ends where it touches the bulb, so that the wedge between both is left out. As a plate it runs to the middle
    of the bulb and its edge counts as free there, which is on the safe side.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface over all, and thickness of the web [m].
    bulb_diameter : float
        [m].
    joint : {"integral", "welded"}
        How it is joined to the skin.
    torsion_constant : float or None
        [m^4]; None takes that of the web as a thin strip and of the bulb as a round bar.
    """

    name: ClassVar[str] = "bulb"
    called: ClassVar[str] = "bulb flats (depth, web, bulb)"
    open_modes: ClassVar[tuple[str, ...]] = ()

    depth: Dimension
    thickness: Dimension
    bulb_diameter: Dimension
    joint: Joint
    torsion_constant: Torsion | None = None

    @property
    def _middle(self) -> Any:
        return self.depth - self.bulb_diameter / 2

    @property
    def strips(self) -> tuple[Element, ...]:
        return (Element("web", (0.0, 0.0), (0.0, self.depth - self.bulb_diameter), self.thickness, free=True),)

    @property
    def elements(self) -> tuple[Element, ...]:
        return (Element("web", (0.0, 0.0), (0.0, self._middle), self.thickness, free=True),)

    @property
    def parts(self) -> tuple[Part, ...]:
        D = self.bulb_diameter
        own = math.pi * D**4 / 64
        return *super().parts, Part(math.pi * D**2 / 4, (0.0, self._middle), own, own, 0.0)

    @property
    def reach(self) -> Any:
        """So far that half the web's thickness beyond it is the outer fibre of the bulb."""
        return self.depth - self.thickness / 2

    @property
    def own_torsion(self) -> Any:
        return super().own_torsion + math.pi * self.bulb_diameter**4 / 32

    @property
    def shear_centre(self) -> Any:
        """Heights weighed by lateral stiffness: web and bulb bend sideways together."""
        stiff = [(part.across, part.middle[1]) for part in self.parts]
        return 0.0, sum(own * up for own, up in stiff) / sum(own for own, _ in stiff)

    @property
    def hinge(self) -> tuple[Any, Any]:
        return 0.0, 0.0

    def warping_about(self, _: tuple[Any, Any]) -> Any:
        """None: it lies on a line through its root."""
        return 0.0

    @property
    def foot(self) -> tuple[str, Any]:
        return "thickness", self.thickness

    @property
    def widths(self) -> tuple[tuple[str, Any], ...]:
        return (("bulb_diameter", self.bulb_diameter),)

    @property
    def sizes(self) -> tuple[Any, ...]:
        return self.depth, self.thickness, self.bulb_diameter

    def outline(self, t: float) -> tuple[tuple[tuple[float, float], ...], ...]:
        r, up = self.bulb_diameter / 2, self._middle + t / 2
        turns = [2 * math.pi * k / _SIDES for k in range(_SIDES)]
        return *super().outline(t), tuple((r * math.cos(a), up + r * math.sin(a)) for a in turns)

    @property
    def taken(self) -> Any:
        return self.bulb_diameter

    @property
    def sized_widths(self) -> tuple[tuple[str, Any, Any], ...]:
        return (("bulb_diameter", self.bulb_diameter, self.thickness),)

    def limits(self, R: Any, key: Key) -> Rules:
        yield too_deep(self.depth, R, key("depth"))
        D = self.bulb_diameter
        yield out_of_shape("no web is left below the bulb", key("bulb_diameter"), D, self.depth <= D, "below depth")
        yield out_of_shape("thinner than its web", key("bulb_diameter"), D, self.thickness > D, "thickness or more")
        if self.torsion_constant is not None:
            most = self.area**2 / (2 * math.pi)
            yield implausible(
                "torsion constant of an open section", key("torsion_constant"), self.torsion_constant, most
            )
        yield from riveted_edge(self.joint, key)
