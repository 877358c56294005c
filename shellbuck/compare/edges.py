"""What the edges and the bending near them do to the load: classical, Ritz membrane and Ritz nonlinear side by side.

The empirical knockdown belongs to the classical load and to no other; a benefit of clamped edges is not credited.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from ..core.errors import Problem, Refusal
from ..core.records import Load
from ..engines import closed_form, ritz
from ..engines.ritz.barrel import Theory
from ..model import Case, LoadCase
from ..model.barrel import EdgeSprings, SingleRing
from ..model.walls import SmearedWall, build_wall, load_height

DEFAULT_EDGES = "SS3"
"""Edge set of a case that names none: that of the classical load."""


def percent(change: float, digits: int = 1) -> str:
    """A relative change as text; what rounds to nothing has no sign of its own.

    Examples
    --------
    >>> percent(0.0123), percent(-1e-6, 2)
    ('+1.2 %', '+0.00 %')
    """
    return f"{round(100 * change, digits) + 0.0:+.{digits}f} %"


@dataclass(frozen=True)
class EdgeEffect:
    """Loads of one edge set at one fixed pressure.

    `classical` is simply supported (SS3) with membrane prestress and n = 1 left out, in the same theory; `nonlinear`
    says by its `path` whether it is a bifurcation or the load up to which nothing is lost.
    """

    edges: str
    classical: Load
    membrane: Load
    nonlinear: Load

    @property
    def words(self) -> str:
        """What the edges do, and how far the path of the nonlinear load was followed."""
        return f"{self.change}, {path_words(self.nonlinear)}"

    @property
    def change(self) -> str:
        """What the edges do to the loads, in words."""
        held = self.membrane.line_load / self.classical.line_load - 1
        parts = [f"these edges change the membrane load by {percent(held)}"]
        bent = self.nonlinear.line_load / self.membrane.line_load
        if self.nonlinear.path.status == "bifurcation":
            parts.append(f"bending near them by a further {percent(bent - 1)}")
        else:
            parts.append(f"with bending near them nothing is lost up to {bent:.3f} times that, as far as followed")
        if 1 in (self.membrane.n, self.nonlinear.n):
            parts.append("n = 1 governs: the end plane is free to tilt, a real mode of these edges")
        return ", ".join(parts)


def _kilonewtons(line_load: float) -> str:
    return f"{line_load / 1e3:.5g} kN/m"


def path_words(load: Load, shown: Callable[[float], str] = _kilonewtons) -> str:
    """How far the path of a nonlinear load was followed, and where its deflection grows without bound.

    Parameters
    ----------
    load : Load
    shown : callable
        How a line load [N/m] is written.

    Examples
    --------
    >>> from shellbuck.engines import ritz
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> tube = ritz.RitzBarrel(SmearedWall.of(Skin(7e10, 0.3, 0.005)), 1.0, 0.5, ritz.Edges("SS3", "SS3"), "Donnell")
    >>> path_words(ritz.nonlinear(tube, each_harmonic=False))
    'path followed to 0.749 of its limit load of 1145.5 kN/m, ended by bifurcation'
    """
    path = load.path
    if path.limit_load is None:
        reached = f"{shown(path.followed_to)}; it has no limit load"
    else:
        share = path.followed_to / path.limit_load
        reached = f"{share:.3f}" if share < 0.9995 else f"1 - {1 - share:.1e}"
        reached += f" of its limit load of {shown(path.limit_load)}"
    ended = path.ended_by
    if ended in ("slope", "deflection"):
        ended = f"a {ended} beyond the theory (slope {path.slope:.2g}, w {1e3 * path.deflection:.3g} mm)"
    axisymmetric = "; the mode is axisymmetric and has no share in the deflection of the path" if load.n == 0 else ""
    return f"path followed to {reached}, ended by {ended}{axisymmetric}"


def ritz_barrel(
    case: Case, wall: SmearedWall, temperature: float | None, theory: Theory = "Sanders", held: str | None = None
) -> ritz.RitzBarrel:
    """The barrel of a case with the edges, springs and single rings that it names, SS3 where it names none.

    Another edge set changes what is held, not what is built: springs and rings stay. A spring on what the set holds is
    left out, since it cannot move.

    Parameters
    ----------
    case : Case
    wall : SmearedWall
    temperature : float or None
        Of the rings' metal [K].
    theory : {"Sanders", "Donnell"}
    held : str or None
        An edge set for both ends instead.
    """
    barrel = case.barrel
    start = held or barrel.edges or DEFAULT_EDGES
    end = held or barrel.edges_far or start
    springs = [_springs(s, ritz.EDGE_SETS[name]) for s, name in zip(barrel.springs, (start, end), strict=True)]
    edges = ritz.Edges(start, end, *springs)
    rings = tuple(_ring(case, ring, temperature) for ring in barrel.single_rings)
    return ritz.RitzBarrel(wall, barrel.middle_radius, barrel.length, edges, theory, rings=rings)


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
        raise Refusal(
            Problem(
                "pressure-beyond-yield",
                "the minimum pressure alone takes the skin beyond yield",
                "pressure_minimum",
                f"hoop stress {stress / 1e6:.4g} MPa",
                f"{point.tension_yield / 1e6:.4g} MPa",
                "an elastic buckling load means nothing there",
            )
        )


_NU = 0.3
"""Poisson's ratio of a ring of given modulus on a wall without a metal."""


def _springs(springs: EdgeSprings | None, held: frozenset[str]) -> ritz.Springs:
    if springs is None:
        return ritz.Springs()
    values = {"u": springs.axial, "v": springs.hoop, "w": springs.radial, "w'": springs.rotation}
    return ritz.Springs(*(0.0 if q in held else k for q, k in values.items()))


def _ring(case: Case, ring: SingleRing, temperature: float | None) -> ritz.HoopRing:
    E = ring.youngs_modulus or case.material.at(temperature).compressive_modulus
    nu = _NU if case.material is None else case.material.poissons_ratio
    return ritz.HoopRing(
        ring.station,
        E,
        E / (2 * (1 + nu)),
        ring.area,
        ring.inertia,
        ring.inertia_out_of_plane,
        ring.torsion_constant,
        ring.eccentricity if ring.side == "outside" else -ring.eccentricity,
    )


def short_edges(barrel: ritz.RitzBarrel) -> str:
    """Edges and number of single rings of a barrel."""
    return barrel.edges.short + _count(len(barrel.rings))


def edge_effect(barrel: ritz.RitzBarrel, *, pressure: float = 0.0, shapes: int = 0, z_load: float = 0.0) -> EdgeEffect:
    """Classical, membrane and nonlinear load of one barrel.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa].
    shapes : int
        How many of the lowest membrane modes to hand over with their shapes.
    z_load : float
        Height of the axial load above the skin middle [m]; it acts on the bending near the edges.
    """
    R = barrel.R
    return EdgeEffect(
        short_edges(barrel),
        closed_form.lowest(barrel.wall, R, barrel.L, N_theta=pressure * R, theory=barrel.theory),
        ritz.membrane(barrel, pressure=pressure, shapes=shapes),
        ritz.nonlinear(barrel, pressure=pressure, z_load=z_load),
    )


def _count(rings: int) -> str:
    return "" if rings == 0 else " + 1 single ring" if rings == 1 else f" + {rings} single rings"


def edge_effects(
    case: Case, edge_sets: Sequence[str], *, theory: Theory = "Sanders"
) -> Iterator[tuple[str, EdgeEffect]]:
    """Loads of a case under several edge sets, one after the other as they are found.

    Parameters
    ----------
    case : Case
    edge_sets : sequence of str
        Names of `shellbuck.engines.ritz.EDGE_SETS`, the same at both ends; springs and single rings of the case stay.
    theory : {"Sanders", "Donnell"}

    Yields
    ------
    (str, EdgeEffect)
        Names of the load cases that share temperature and minimum pressure, and the effect.
    """
    for names, load in _distinct(case):
        wall = build_wall(case, load.temperature)
        refuse_yield(case, wall, load)
        for name in edge_sets:
            barrel = ritz_barrel(case, wall, load.temperature, theory, name)
            yield names, edge_effect(barrel, pressure=load.p_min, z_load=load_height(case.barrel, wall))


def _distinct(case: Case) -> Iterator[tuple[str, LoadCase]]:
    groups: dict[tuple[float | None, float], list[LoadCase]] = {}
    for load in case.load_cases:
        groups.setdefault((load.temperature, load.p_min), []).append(load)
    for loads in groups.values():
        yield "; ".join(load.name for load in loads), loads[0]
