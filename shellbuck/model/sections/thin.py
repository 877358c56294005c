"""The middle line of a thin-walled open section: sectorial coordinates, warping constant, shear centre.

Thin-walled theory (Vlasov; textbook): no shear strain of the middle line, thickness small against every width. Warping
across the thickness of a wall is left out, which is on the safe side. Numbers may be floats or (N,) arrays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

Point = tuple[Any, Any]
Line = tuple[str, str, Any]
"""Names of the first and the last point of a straight wall, and its thickness [m]."""


@dataclass(frozen=True)
class MiddleLine:
    """Points (across, up) [m] by name, and straight walls between them; every wall but the first starts where another
    one has been."""

    points: Mapping[str, Point]
    walls: tuple[Line, ...]

    def _length(self, wall: Line) -> Any:
        (y0, z0), (y1, z1) = self.points[wall[0]], self.points[wall[1]]
        return ((y1 - y0) ** 2 + (z1 - z0) ** 2) ** 0.5

    def integral(self, f: Mapping[str, Any], g: Mapping[str, Any]) -> Any:
        """Integral over the area of the product of two functions that are linear along every wall."""
        total = 0.0
        for wall in self.walls:
            a, b, t = wall
            product = 2 * f[a] * g[a] + 2 * f[b] * g[b] + f[a] * g[b] + f[b] * g[a]
            total = total + self._length(wall) * t * product / 6
        return total

    def sectorial(self, pole: Point) -> dict[str, Any]:
        """Twice the area swept by the line from the pole, from 0 at the first point of the first wall [m^2]."""
        found: dict[str, Any] = {self.walls[0][0]: 0.0}
        for a, b, _ in self.walls:
            (y0, z0), (y1, z1) = self.points[a], self.points[b]
            found[b] = found[a] + (y0 - pole[0]) * (z1 - z0) - (z0 - pole[1]) * (y1 - y0)
        return found

    def _without_mean(self, f: Mapping[str, Any]) -> dict[str, Any]:
        one = dict.fromkeys(self.points, 1.0)
        mean = self.integral(f, one) / self.integral(one, one)
        return {name: value - mean for name, value in f.items()}

    def warping(self, pole: Point) -> Any:
        """Warping constant of a section that turns about a pole [m^6]; nothing but its mean warping is free."""
        omega = self._without_mean(self.sectorial(pole))
        return self.integral(omega, omega)

    @property
    def shear_centre(self) -> Point:
        """Pole about which warping does no work with either bending [m]."""
        first = self.points[self.walls[0][0]]
        omega = self._without_mean(self.sectorial(first))
        y = self._without_mean({name: p[0] for name, p in self.points.items()})
        z = self._without_mean({name: p[1] for name, p in self.points.items()})
        yy, zz, yz = self.integral(y, y), self.integral(z, z), self.integral(y, z)
        of_y, of_z = self.integral(omega, y), self.integral(omega, z)
        whole = yy * zz - yz**2
        return first[0] - (of_y * yz - yy * of_z) / whole, first[1] - (zz * of_y - yz * of_z) / whole
