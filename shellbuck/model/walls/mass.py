"""Mass of a wall as it is drawn, at nominal skin thickness.

A rib weighs its cross-section times the length of its centroid line, which lies at the radius R + z: a ring
2 pi (R + z), a rib at an angle the helix there, a stringer the barrel's length. Rings weigh as many as lie between the
supports, one fewer than bays. Fillets that the cutter leaves in the corners of milled pockets count over the height of
the pocket's wall, which is the rib depth. Weld lands weigh what they are thicker than the skin. Rib crossings are
counted once per rib (slightly heavy).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..case import Case

TRIANGLE_CORNER = math.sqrt(3) - math.pi / 3
RECTANGLE_CORNER = 1 - math.pi / 4
"""Area left by a cutter in a corner of the angle a over the square of its radius: cot(a/2) - (pi - a)/2. Two tangents
r cot(a/2) long and the two radii enclose r^2 cot(a/2); the sector of pi - a between the radii is milled (own)."""

Number = Any
"""A float, or an array of designs (N,)."""


def length_ratio(angle: float, z: Number, R: Number) -> Number:
    """Length of a rib's centroid line over the length that the same rib has on the skin middle.

    Parameters
    ----------
    angle : float
        To the axis, on the skin middle [deg].
    z : float or numpy.ndarray
        Of the centroid, outward [m].
    R : float or numpy.ndarray
        Skin middle radius [m].

    Notes
    -----
    Over the axial step dx the rib turns by dx tan(angle)/R, an arc of dx tan(angle) (R + z)/R at the radius R + z. Its
    length over dx/cos(angle) is sqrt(cos^2 + ((R + z)/R)^2 sin^2) (own).
    """
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return (c**2 + ((R + z) / R * s) ** 2) ** 0.5


def rings_between(length: Number, spacing: Number) -> Number:
    """Rings between the supports, which make one bay more; no whole number where the spacing does not divide it."""
    return length / spacing - 1


def annulus(depth: Number, z: Number, R: Number) -> Number:
    """Metal of the layer that the ribs are milled from as a thickness on the skin middle [m]."""
    return depth * (R + z) / R


@dataclass(frozen=True)
class WallMass:
    """Mass figures of a barrel wall.

    `per_area` [kg/m^2] of the skin middle, `total` of the barrel [kg], `mean_thickness` t_bar [m] of the skin's metal
    (None for a given stiffness), `raw_to_finished`: plate mass over wall mass for a wall milled from one plate of
    thickness skin + ribs, before trim (None where nothing is milled). `corners` [m^3] is the volume of
    the fillets in the pockets' corners, which is in the mass.
    """

    per_area: float
    total: float
    mean_thickness: float | None
    raw_to_finished: float | None
    corners: float = 0.0


def weigh(case: Case) -> WallMass:
    """Mass of the case's wall; of arrays of designs where the case holds them."""
    wall, R, L, t = case.wall, case.barrel.middle_radius, case.barrel.length, case.barrel.skin_thickness
    surface = 2 * math.pi * R * L
    per_area = wall.mass_per_area_of(R, L, t, lambda own: (own or case.material).density)
    if (lands := case.barrel.weld_lands) is not None:
        per_area = per_area + case.material.density * lands.area_per_surface(R, t)
    if not wall.has_dimensions:
        return WallMass(per_area, per_area * surface, None, None)
    density, raw = case.material.density, None
    if wall.milled:
        rib = wall.ribs(R, L)[0]
        raw = density * (t + annulus(rib.section.reach, rib.height(t), R)) / per_area
    return WallMass(per_area, per_area * surface, per_area / density, raw, wall.corners(R, L) * surface)
