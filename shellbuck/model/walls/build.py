"""Thin constructors: drawing dimensions -> rib families -> SmearedWall."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ...core.errors import Problem, Refusal
from ...handbook.sections import rectangle_torsion
from ..case import Case, ring_spacing, stringer_spacing
from ..material import Material, MaterialPoint
from ..wall import GivenStiffness, PlainWall, Stiffeners, TriangularGrid
from .stiffness import RibFamily, Skin, SmearedWall

Modulus = Callable[[MaterialPoint], float]


def compressive(point: MaterialPoint) -> float:
    """The modulus that stability uses [Pa]."""
    return point.compressive_modulus


def tensile(point: MaterialPoint) -> float:
    """The modulus that strength uses [Pa]."""
    return point.youngs_modulus


def build_wall(
    case: Case, temperature: float | None = None, *, thickness: float | None = None, modulus: Modulus = compressive
) -> SmearedWall:
    """The smeared wall of a case at a temperature.

    Parameters
    ----------
    case : Case
    temperature : float or None
        [K]; None means room temperature.
    thickness : float or None
        Skin thickness [m]; None means the one that decides stability.
    modulus : callable
        Picks the modulus out of a MaterialPoint.

    Raises
    ------
    Refusal
        For a given stiffness that is not positive definite.
    """
    wall, barrel = case.wall, case.barrel
    if isinstance(wall, GivenStiffness):
        smeared = SmearedWall(np.array(wall.A), np.array(wall.B), np.array(wall.D))
        if not smeared.positive_definite:
            raise Refusal(
                Problem(
                    "stiffness-indefinite",
                    "the 6x6 stiffness is not positive definite",
                    "wall",
                    way_out="check signs and units of A, B and D: some strain state would store no energy",
                )
            )
        return smeared
    t = case.stability_thickness if thickness is None else thickness
    skin = _skin(case.material, temperature, t, modulus)
    if isinstance(wall, PlainWall):
        return SmearedWall.of(skin)
    if isinstance(wall, TriangularGrid):
        h = wall.height(barrel.middle_radius)
        angles = (90.0, 30.0, -30.0) if wall.family == "hoop" else (0.0, 60.0, -60.0)
        d, b = wall.rib_depth, wall.rib_thickness
        return SmearedWall.of(
            skin,
            tuple(
                _blade(
                    f"ribs at {a:+g} deg" if a not in (0.0, 90.0) else f"ribs at {a:g} deg",
                    a,
                    h,
                    skin.E,
                    skin.nu,
                    d,
                    b,
                    wall.torsion_constant,
                    _outward(wall.side) * (d + t) / 2,
                )
                for a in angles
            ),
        )
    ribs = []
    if wall.stringers is not None:
        spacing = stringer_spacing(wall.stringers, barrel.middle_radius)
        ribs.append(_family("stringers", 0.0, spacing, wall.stringers, case.material, temperature, t, modulus))
    if wall.rings is not None:
        spacing = ring_spacing(wall.rings, barrel.length)
        ribs.append(_family("rings", 90.0, spacing, wall.rings, case.material, temperature, t, modulus))
    return SmearedWall.of(skin, tuple(ribs))


def _skin(material: Material, temperature: float | None, t: float, modulus: Modulus) -> Skin:
    return Skin(modulus(material.at(temperature)), material.poissons_ratio, t)


def _outward(side: str) -> float:
    return 1.0 if side == "outside" else -1.0


def _family(
    name: str,
    angle: float,
    spacing: float,
    s: Stiffeners,
    skin_material: Material,
    temperature: float | None,
    t: float,
    modulus: Modulus,
) -> RibFamily:
    material = s.material or skin_material
    E, nu = modulus(material.at(temperature)), material.poissons_ratio
    if s.section == "blade":
        z = _outward(s.side) * (s.depth + t) / 2
        return _blade(name, angle, spacing, E, nu, s.depth, s.thickness, s.torsion_constant, z)
    G = E / (2 * (1 + nu))
    torsion = 0.0 if s.torsion_constant is None else s.torsion_constant
    return RibFamily(name, angle, spacing, E, G, s.area, s.inertia, torsion, _outward(s.side) * s.eccentricity, nu)


def _blade(
    name: str, angle: float, spacing: float, E: float, nu: float, d: float, b: float, torsion: float | None, z: float
) -> RibFamily:
    J = rectangle_torsion(np.minimum(b, d), np.maximum(b, d)) if torsion is None else torsion
    G = E / (2 * (1 + nu))
    return RibFamily(name, angle, spacing, E, G, b * d, b * d**3 / 12, J, z, nu, depth=d, thickness=b)
