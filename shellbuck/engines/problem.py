"""The problem that every engine takes and the solution that it gives.

A problem is one barrel under fixed and growing loads; a solution is a buckling load with modes, path and certificate,
and a status. An engine is a name, what it covers as data, and a way to prepare a problem. Engines do not know each
other; `registry` finds them by name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from ..core.engine_records import Load
from ..core.errors import Incomplete, Problem, Refusal, ShellbuckError
from ..model.walls.doors import THEORIES, refuse
from .supports import EDGE_SETS, Edges, HoopRing

if TYPE_CHECKING:
    from ..model.walls import SmearedWall
    from .mesh.shapes import Shape

Theory = Literal["Donnell", "Sanders"]
Prestress = Literal["membrane", "edge bending", "linear statics"]
Status = Literal["bifurcation", "followed", "refused", "incomplete"]
"""What became of a problem: its first loss of stability, a path followed with nothing lost, no answer to this input,
or an answer whose proof failed."""

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Mix:
    """The unit load: what one unit of the load factor brings.

    Parameters
    ----------
    axial : float
        Axial compression [N/m per unit].
    hoop : float
        Hoop compression p R of an external pressure p [N/m per unit].
    shear : float
        Shear N_xtheta [N/m per unit]; its sign matters beside 16/26 terms only.
    live : bool
        The external pressure stays normal to the wall.
    """

    axial: float = 0.0
    hoop: float = 0.0
    shear: float = 0.0
    live: bool = False

    @property
    def components(self) -> dict[str, float]:
        """The parts that are not zero, by name."""
        return {key: value for key in ("axial", "hoop", "shear") if (value := getattr(self, key))}


AXIAL = Mix(axial=1.0)
SIMPLY_SUPPORTED = Edges("SS3", "SS3")


@dataclass(frozen=True)
class Effort:
    """How much is asked of an engine.

    Parameters
    ----------
    modes : int
        Lowest modes to hand over with their shapes.
    each_harmonic : bool
        On a nonlinear path, find the first loss of every harmonic, not of the first alone.
    meshes : int
        1 to 3; with 3 the load is extrapolated.
    unknowns : int
        Of the largest mesh.
    tell : callable
        Receives a line of text on each step.
    """

    modes: int = 0
    each_harmonic: bool = True
    meshes: int = 3
    unknowns: int = 150_000
    tell: Progress = lambda _: None


@dataclass(frozen=True, eq=False)
class BucklingProblem:
    """A barrel, what loads it and what is asked.

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length [m].
    edges : Edges
    rings : tuple of HoopRing
        Rings that are not smeared.
    pressure : float
        Internal, fixed and dead [Pa]; negative is external.
    load_height : float
        Height of the axial load above the skin middle [m].
    growing : Mix
        The load that grows.
    prestress : {"membrane", "edge bending", "linear statics"}
        State before buckling; edge bending is the nonlinear axisymmetric path.
    theory : {"Sanders", "Donnell"}
    tilt : bool
        False leaves the barrel as a column out, n = 1 with end planes that tilt.
    shape : Shape or None
        Skin and ribs as they are; `wall` is then the same section smeared.
    near : Load or None
        A load of this barrel that is already known, for engines that start from a guess.
    effort : Effort
    """

    wall: SmearedWall
    R: float
    L: float
    edges: Edges = SIMPLY_SUPPORTED
    rings: tuple[HoopRing, ...] = ()
    pressure: float = 0.0
    load_height: float = 0.0
    growing: Mix = AXIAL
    prestress: Prestress = "membrane"
    theory: Theory = "Sanders"
    tilt: bool = True
    shape: Shape | None = None
    near: Load | None = None
    effort: Effort = Effort()

    @property
    def hoop_tension(self) -> float:
        """Fixed hoop tension [N/m]."""
        return self.pressure * self.R

    @property
    def classical(self) -> BucklingProblem:
        """The same barrel simply supported, without single rings, with membrane prestress."""
        return replace(self, edges=SIMPLY_SUPPORTED, rings=(), prestress="membrane")


@dataclass(frozen=True, eq=False)
class Solution:
    """What an engine found.

    `load` is the record with modes, path and certificate, None where there is no answer and `error` says why; `detail`
    is what the engine keeps beyond records, for example its meshes.
    """

    engine: str
    status: Status
    load: Load | None = None
    detail: Any = None
    error: ShellbuckError | None = None


_OTHER = "take another engine"

Solve = Callable[[], tuple[Load, Any]]


@dataclass(frozen=True)
class Engine:
    """A method under its name, with what it covers.

    Parameters
    ----------
    name : str
    prepare : callable
        Problem to what solves it (load record and detail); refuses what is too large before any time is spent.
    edges : tuple of str
        Edge sets.
    stations : bool
        Whether it takes edge springs and single rings.
    theories : tuple of str
    prestress : tuple of str
    growing : tuple of str
        Load components that may grow, "axial", "hoop", "shear".
    ribs : bool
        Whether it models ribs as they are and needs their shape.
    """

    name: str
    prepare: Callable[[BucklingProblem], Solve]
    edges: tuple[str, ...] = tuple(EDGE_SETS)
    stations: bool = False
    theories: tuple[str, ...] = THEORIES
    prestress: tuple[Prestress, ...] = ("membrane",)
    growing: tuple[str, ...] = ("axial",)
    ribs: bool = False

    def lacks(self, problem: BucklingProblem) -> Iterator[Problem]:
        """What of a problem the engine does not cover."""
        for where, asked, covered in (
            ("edges", (problem.edges.start, problem.edges.end), self.edges),
            ("theory", (problem.theory,), self.theories),
            ("prestress", (problem.prestress,), self.prestress),
            ("growing load", problem.growing.components, self.growing),
        ):
            if missing := [one for one in asked if one not in covered]:
                what = f"the {self.name} does not cover this {where}"
                yield Problem("engine-range", what, where, ", ".join(missing), ", ".join(covered), _OTHER)
        if not self.stations and (problem.rings or any(springs.sprung for springs in problem.edges.springs)):
            what = f"the {self.name} takes neither edge springs nor single rings"
            yield Problem("engine-range", what, "barrel", way_out=f"leave them out, or {_OTHER}")
        if self.ribs and problem.shape is None:
            yield Problem("engine-range", f"the {self.name} needs the shape of skin and ribs", "wall", way_out=_OTHER)

    def ready(self, problem: BucklingProblem) -> Callable[[], Solution]:
        """What solves a problem and raises where it fails.

        Raises
        ------
        Refusal
            For what the engine does not cover, or what is too large.
        """
        refuse(*self.lacks(problem))
        solve = self.prepare(problem)

        def solved() -> Solution:
            load, detail = solve()
            held = load.path is not None and load.path.status == "no bifurcation"
            return Solution(self.name, "followed" if held else "bifurcation", load, detail)

        return solved

    def solve(self, problem: BucklingProblem) -> Solution:
        """The solution of a problem, with a status also where there is none."""
        try:
            return self.ready(problem)()
        except (Refusal, Incomplete) as error:
            return Solution(self.name, "refused" if isinstance(error, Refusal) else "incomplete", error=error)


def at_once(solve: Callable[[BucklingProblem], Load]) -> Callable[[BucklingProblem], Solve]:
    """The `prepare` of an engine that has nothing to prepare and hands over records alone."""
    return lambda problem: lambda: (solve(problem), None)


def pressure_words(pressure: float) -> str:
    """How a fixed pressure [Pa] is named in a record."""
    if pressure == 0:
        return "no pressure"
    kind = "hoop tension" if pressure > 0 else "external pressure"
    return f"{kind} of {abs(pressure):.6g} Pa held fixed, dead"
