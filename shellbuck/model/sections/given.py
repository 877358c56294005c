"""A section known by its properties alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from ..checked import Quantity
from ..rules import Rules
from .section import DEEPEST, Key, Section, Torsion, implausible, too_deep


@dataclass(frozen=True)
class GivenSection(Section):
    """A section by its properties.

    Parameters
    ----------
    area : float
        [m^2].
    inertia : float
        Second moment about its own centroid [m^4].
    eccentricity : float
        Distance from the middle of the skin to the centroid [m, positive; `side` gives the sign].
    torsion_constant : float
        [m^4].
    """

    name: ClassVar[str] = "given"
    called: ClassVar[str] = "given section (drawn as a disc of its area at its centroid)"

    area: Annotated[float, Quantity("area", 1e-10, 1.0)]
    inertia: Annotated[float, Quantity("second moment of area", 0.0, 1.0)]
    eccentricity: Annotated[float, Quantity("length", 0.0, 10.0)]
    torsion_constant: Torsion

    @property
    def torsion(self) -> Any:
        return self.torsion_constant

    def height(self, t: Any) -> Any:
        return self.eccentricity

    def outline(self, t: float) -> tuple[tuple[tuple[float, float], ...], ...]:
        r, turns = math.sqrt(self.area / math.pi), [k * math.pi / 18 for k in range(36)]
        return (tuple((r * math.cos(a), self.eccentricity + r * math.sin(a)) for a in turns),)

    def doubts(self) -> Iterator[tuple[str, str]]:
        """An inertia about the skin in place of the centroid, and a torsion constant above that of a round bar."""
        gyration, e = math.sqrt(self.inertia / self.area), self.eccentricity
        if gyration > e:
            yield (
                "inertia",
                f"radius of gyration {gyration * 1e3:.4g} mm above the eccentricity of {e * 1e3:.4g} mm: "
                "is the second moment about the section's own centroid, not about the skin?",
            )
        most, J = self.area**2 / (2 * math.pi), self.torsion_constant
        if most < J:
            yield (
                "torsion_constant",
                f"torsion constant {J * 1e12:.4g} mm^4 above A^2/(2 pi) = {most * 1e12:.4g} mm^4, that "
                "of a round bar: only a closed cell has so much; is it a polar moment?",
            )

    def limits(self, R: Any, key: Key) -> Rules:
        yield too_deep(self.eccentricity, R, key("eccentricity"))
        # all of the area as far from its centroid as ribs may reach
        most = self.area * (DEEPEST * R) ** 2
        yield implausible("second moment about the section's own centroid", key("inertia"), self.inertia, most)
        most = 4 * (self.inertia + self.area * self.eccentricity**2)
        yield implausible("torsion constant", key("torsion_constant"), self.torsion_constant, most)
