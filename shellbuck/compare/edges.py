"""Effect of boundary conditions and edge bending on the load: classical, Ritz membrane and Ritz nonlinear.

The empirical knockdown belongs to the classical load and to no other; a benefit of clamped edges is not credited.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from ..core.records import Load
from ..engines.problem import BucklingProblem, Theory
from ..engines.registry import engine
from ..model import Case, LoadCase
from ..model.walls import build_wall
from .cases import problem_of, refuse_yield


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
    has in its `path` whether it is a bifurcation or the load up to which the path is stable.
    """

    edges: str
    classical: Load
    membrane: Load
    nonlinear: Load

    @property
    def words(self) -> str:
        """Effect of the edges, and how far the path of the nonlinear load was followed."""
        return f"{self.change}, {path_words(self.nonlinear)}"

    @property
    def change(self) -> str:
        """Effect of the edges on the loads, in words."""
        held = self.membrane.line_load / self.classical.line_load - 1
        parts = [f"these edges change the membrane load by {percent(held)}"]
        bent = self.nonlinear.line_load / self.membrane.line_load
        if self.nonlinear.path.status == "bifurcation":
            parts.append(f"edge bending by a further {percent(bent - 1)}")
        else:
            parts.append(f"with edge bending the path is stable up to {bent:.3f} times that, where it was ended")
        if 1 in (self.membrane.n, self.nonlinear.n):
            parts.append("n = 1 governs: the end plane is free to tilt, a physical mode of these edges")
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
        ended = f"a {ended} beyond the range of the theory (slope {path.slope:.2g}, w {1e3 * path.deflection:.3g} mm)"
    axisymmetric = "; the mode is axisymmetric and orthogonal to the deflection of the path" if load.n == 0 else ""
    return f"path followed to {reached}, ended by {ended}{axisymmetric}"


def short_edges(barrel: BucklingProblem) -> str:
    """Edges and number of single rings of a barrel."""
    rings = len(barrel.rings)
    return barrel.edges.short + ("" if rings == 0 else f" + {rings} single ring{'s' if rings > 1 else ''}")


def edge_effect(problem: BucklingProblem) -> EdgeEffect:
    """Classical, membrane and nonlinear load of one barrel.

    Parameters
    ----------
    problem : BucklingProblem
        Its load height acts on the bending near the edges.
    """
    classical, membrane, nonlinear = (
        engine(name).ready(of)().load
        for name, of in (
            ("closed form", problem.classical),
            ("Ritz", problem),
            ("Ritz with edge bending", replace(problem, prestress="edge bending")),
        )
    )
    return EdgeEffect(short_edges(problem), classical, membrane, nonlinear)


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
            problem = problem_of(case, wall, load.temperature, held=name, theory=theory, pressure=load.p_min)
            yield names, edge_effect(problem)


def _distinct(case: Case) -> Iterator[tuple[str, LoadCase]]:
    groups: dict[tuple[float | None, float], list[LoadCase]] = {}
    for load in case.load_cases:
        groups.setdefault((load.temperature, load.p_min), []).append(load)
    for loads in groups.values():
        yield "; ".join(load.name for load in loads), loads[0]
