"""Mass of a wall as it is drawn, at nominal skin thickness.

A rib weighs its cross-section times the length of its centroid line, which lies at the radius R + z: a ring
2 pi (R + z), a rib at an angle the helix there, a stringer the barrel's length. Rings weigh as many as lie between the
supports, one fewer than bays. Fillets that the cutter leaves in the corners of milled pockets count over the height of
the pocket's wall, which is the rib depth. Rib crossings are counted once per rib (slightly heavy).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from ..case import Case
from ..wall import GivenStiffness, Orthogrid, StiffenedWall, TriangularGrid
from .build import build_wall
from .stiffness import RibFamily

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


def triangle_corners(radius: Number, depth: Number, height: Number) -> Number:
    """Fillets of triangular pockets as a thickness of skin [m]: three a triangle, whose area is h^2/sqrt(3).

    Parameters
    ----------
    radius, depth, height : float or numpy.ndarray
        Of the cutter, of the ribs, of the triangles between rib middles [m].
    """
    return 3 * TRIANGLE_CORNER * radius**2 * depth * math.sqrt(3) / height**2


def rectangle_corners(radius: Number, depth: Number, b: Number, a: Number) -> Number:
    """Fillets of rectangular pockets as a thickness of skin [m]: four a pocket of b times a between rib middles [m]."""
    return 4 * RECTANGLE_CORNER * radius**2 * depth / (b * a)


def annulus(depth: Number, z: Number, R: Number) -> Number:
    """Metal of the layer that the ribs are milled from as a thickness on the skin middle [m]."""
    return depth * (R + z) / R


@dataclass(frozen=True)
class WallMass:
    """Mass figures of a barrel wall.

    `per_area` [kg/m^2] of the skin middle, `total` of the barrel [kg], `mean_thickness` t_bar [m] of the skin's metal
    (None for a given stiffness), `raw_to_finished`: plate mass over wall mass for a wall milled from one plate of
    thickness skin + ribs, before trim and weld lands (None where nothing is milled). `corners` [m^3] is the volume of
    the fillets in the pockets' corners, which is in the mass.
    """

    per_area: float
    total: float
    mean_thickness: float | None
    raw_to_finished: float | None
    corners: float = 0.0


def weigh(case: Case) -> WallMass:
    """Mass of the case's wall; of arrays of designs where the case holds them."""
    barrel, wall = case.barrel, case.wall
    R, L = barrel.middle_radius, barrel.length
    surface = 2 * math.pi * R * L
    if isinstance(wall, GivenStiffness):
        return WallMass(wall.mass_per_area, wall.mass_per_area * surface, None, None)
    t, density = barrel.skin_thickness, case.material.density
    ribs = build_wall(case, case.reference_temperature, thickness=t).ribs
    corners = _corners(wall, ribs)
    per_area = density * (t + corners)
    for rib in ribs:
        own = getattr(wall, rib.name, None).material if isinstance(wall, StiffenedWall) else None
        per_length = rings_between(L, rib.spacing) / L if rib.name == "rings" else 1 / rib.spacing
        per_area += (own or case.material).density * rib.area * per_length * length_ratio(rib.angle, rib.z, R)
    raw = None
    if isinstance(wall, Orthogrid | TriangularGrid):
        raw = density * (t + annulus(wall.rib_depth, ribs[0].z, R)) / per_area
    return WallMass(per_area, per_area * surface, per_area / density, raw, corners * surface)


def _corners(wall: Any, ribs: tuple[RibFamily, ...]) -> Number:
    """Fillets as a thickness of skin [m]; 0 where no corner radius is given."""
    radius = getattr(wall, "corner_radius", None)
    if radius is None:
        return 0.0
    if isinstance(wall, TriangularGrid):
        return triangle_corners(radius, wall.rib_depth, ribs[0].spacing)
    return rectangle_corners(radius, wall.rib_depth, ribs[0].spacing, ribs[1].spacing)
