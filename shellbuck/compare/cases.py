"""From a case to what engines take: its barrel with edges and rings, the problem of one state, what is refused."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from ..core.errors import Refusal
from ..engines.problem import BucklingProblem
from ..engines.supports import EDGE_SETS, Edges, HoopRing, Springs
from ..handbook.sections import rectangle_torsion
from ..model import Case, LoadCase
from ..model.barrel import EdgeSprings, SingleRing
from ..model.walls import RibFamily, SmearedWall, build_wall, load_height

DEFAULT_EDGES = "SS3"
"""Edge set of a case that names none: that of the classical load."""


def problem_of(
    case: Case, wall: SmearedWall, temperature: float | None, *, held: str | None = None, **more: Any
) -> BucklingProblem:
    """The barrel of a case with the edges, springs and single rings that it names, SS3 where it names none.

    Another edge set changes what is held, not what is built: springs and rings stay. A spring on what the set holds is
    left out, since it cannot move.

    Parameters
    ----------
    case : Case
    wall : SmearedWall
    temperature : float or None
        Of the rings' metal [K].
    held : str or None
        An edge set for both ends instead.
    **more
        Other fields of the problem: pressure, theory, prestress, effort.
    """
    barrel = case.barrel
    start = held or barrel.edges or DEFAULT_EDGES
    end = held or barrel.edges_far or start
    springs = [_springs(s, EDGE_SETS[name]) for s, name in zip(barrel.springs, (start, end), strict=True)]
    rings = tuple(_ring(case, ring, temperature) for ring in barrel.single_rings)
    fields = {"load_height": load_height(barrel, wall), **more}
    return BucklingProblem(wall, barrel.middle_radius, barrel.length, Edges(start, end, *springs), rings, **fields)


def modelled_wall(case: Case, temperature: float | None) -> SmearedWall:
    """The smeared wall of the section that a mesh models: every blade from the skin's middle to its free edge."""
    wall = build_wall(case, temperature)
    t = wall.skin.t
    return SmearedWall.of(wall.skin, tuple(_from_middle(rib, t) for rib in wall.ribs))


def _from_middle(rib: RibFamily, t: float) -> RibFamily:
    if rib.depth is None:
        raise Refusal.of("mesh-shape", "only blades can be meshed", "wall", f"{rib.name} of another section", "blades")
    b, d = rib.thickness, rib.depth + t / 2
    side = 1.0 if rib.z > 0 else -1.0
    lo, hi = sorted((b, d))
    return replace(
        rib, depth=d, area=b * d, inertia=b * d**3 / 12, z=side * d / 2, torsion=float(rectangle_torsion(lo, hi))
    )


def refuse_yield(case: Case, wall: SmearedWall, load: LoadCase) -> None:
    """Refuse an elastic load at a pressure whose hoop stress alone is beyond yield.

    Membrane strains of N_theta = p R; the skin's hoop stress against its tension yield at temperature.

    Raises
    ------
    Refusal
    """
    if wall.skin is None or load.p_min == 0:
        return
    e_x, e_theta, _ = np.linalg.solve(wall.A, [0.0, load.p_min * case.barrel.middle_radius, 0.0])
    stress = wall.skin.E / (1 - wall.skin.nu**2) * (e_theta + wall.skin.nu * e_x)
    point = case.material.at(load.temperature)
    if stress > point.tension_yield:
        raise Refusal.of(
            "pressure-beyond-yield",
            "the minimum pressure alone takes the skin beyond yield",
            "pressure_minimum",
            f"hoop stress {stress / 1e6:.4g} MPa",
            f"{point.tension_yield / 1e6:.4g} MPa",
            "an elastic buckling load means nothing there",
        )


_NU = 0.3
"""Poisson's ratio of a ring of given modulus on a wall without a metal."""


def _springs(springs: EdgeSprings | None, held: frozenset[str]) -> Springs:
    if springs is None:
        return Springs()
    values = {"u": springs.axial, "v": springs.hoop, "w": springs.radial, "w'": springs.rotation}
    return Springs(*(0.0 if q in held else k for q, k in values.items()))


def _ring(case: Case, ring: SingleRing, temperature: float | None) -> HoopRing:
    E = ring.youngs_modulus or case.material.at(temperature).compressive_modulus
    nu = _NU if case.material is None else case.material.poissons_ratio
    return HoopRing(
        ring.station,
        E,
        E / (2 * (1 + nu)),
        ring.area,
        ring.inertia,
        ring.inertia_out_of_plane,
        ring.torsion_constant,
        ring.eccentricity if ring.side == "outside" else -ring.eccentricity,
    )
