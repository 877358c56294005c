"""A flat bar that stands on the skin."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from ...handbook.sections import rectangle_torsion
from ..rules import Rules, larger, smaller
from ..shop import Bound, Setting, slender
from .section import Dimension, Element, FlatSection, Key, Torsion, implausible, too_deep


@dataclass(frozen=True)
class Blade(FlatSection):
    """A flat bar upright on the skin.

    Parameters
    ----------
    depth, thickness : float
        Depth from the skin surface, and thickness [m].
    torsion_constant : float or None
        [m^4]; None takes the open rectangle's.
    """

    name: ClassVar[str] = "blade"
    called: ClassVar[str] = "blades"
    open_modes: ClassVar[tuple[str, ...]] = ()

    depth: Dimension
    thickness: Dimension
    torsion_constant: Torsion | None = None

    @property
    def elements(self) -> tuple[Element, ...]:
        return (Element("web", (0.0, 0.0), (0.0, self.depth), self.thickness, free=True),)

    @property
    def shear_centre(self) -> Any:
        return self.centroid

    @property
    def blade(self) -> tuple[Any, Any]:
        return self.depth, self.thickness

    @property
    def foot(self) -> tuple[str, Any]:
        return "thickness", self.thickness

    @property
    def sizes(self) -> tuple[Any, ...]:
        return self.depth, self.thickness

    @property
    def own_torsion(self) -> Any:
        return rectangle_torsion(smaller(self.thickness, self.depth), larger(self.thickness, self.depth))

    def limits(self, R: Any, key: Key) -> Rules:
        yield too_deep(self.depth, R, key("depth"))
        if self.torsion_constant is not None:
            most = most_blade_torsion(self.depth, self.thickness)
            yield implausible("torsion constant of a blade", key("torsion_constant"), self.torsion_constant, most)

    def bounds(self, setting: Setting, what: str) -> list[Bound]:
        return [slender(setting.slenderness_most, self.depth, self.thickness, what)]


def most_blade_torsion(depth: Any, thickness: Any) -> Any:
    """Torsion constant that no solid blade exceeds [m^4]: a twentieth above the thin-strip bound."""
    half_sum, half_gap = (depth + thickness) / 2, abs(depth - thickness) / 2
    return 1.05 * (half_sum + half_gap) * (half_sum - half_gap) ** 3 / 3
