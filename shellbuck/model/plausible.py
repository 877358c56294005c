"""Section properties that no section has: a slip of unit or axis would turn every load up without a word."""

from __future__ import annotations

from collections.abc import Iterator

from ..core.errors import Problem
from .wall import Stiffeners


def most_blade_torsion(depth, thickness):
    """Torsion constant that no solid blade exceeds, numbers or arrays [m^4]: a twentieth above the thin-strip bound."""
    half_sum, half_gap = (depth + thickness) / 2, abs(depth - thickness) / 2
    return 1.05 * (half_sum + half_gap) * (half_sum - half_gap) ** 3 / 3


def most_inertia(area, R):
    """Second moment about its own centroid that no section of this area has on a barrel [m^4]: all of the area a fifth
    of the radius away, as far as ribs may reach."""
    return area * (0.2 * R) ** 2


def most_given_torsion(area, inertia, eccentricity):
    """Torsion constant beyond that of any section of this size [m^4]: four times its second moment about the skin."""
    return 4 * (inertia + area * eccentricity**2)


def torsion_problems(J: float | None, depth: float, thickness: float, where: str) -> Iterator[Problem]:
    """A torsion constant that no blade has; `J` None takes the open rectangle's."""
    most = most_blade_torsion(depth, thickness)
    if J is not None and most < J:
        yield _implausible("torsion constant of a blade", where, J, most)


def section_problems(section: Stiffeners, R: float, prefix: str) -> Iterator[Problem]:
    """Properties that no section of this area has; `prefix` is the dotted key of the family."""
    most = most_inertia(section.area, R)
    if section.inertia > most:
        yield _implausible("second moment about the section's own centroid", f"{prefix}inertia", section.inertia, most)
    most = most_given_torsion(section.area, section.inertia, section.eccentricity)
    if section.torsion_constant is not None and section.torsion_constant > most:
        yield _implausible("torsion constant", f"{prefix}torsion_constant", section.torsion_constant, most)


def _implausible(what: str, where: str, value: float, most: float) -> Problem:
    return Problem(
        "section-implausible",
        f"no section has such a {what}",
        where,
        f"{value * 1e12:.4g} mm^4",
        f"at most {most * 1e12:.4g} mm^4",
        "check the unit and the axis",
    )
