"""One load case by closed form, Ritz, a smeared mesh and a mesh with ribs as they are, at one prestress.

The closed form and Ritz are given the section that the mesh models (a rib's plate runs from the skin's middle, half a
skin thickness overlaps); what the drawing's section would give stands beside it.
"""

from __future__ import annotations

from dataclasses import replace

from ..core.engine_records import Role
from ..core.errors import Refusal
from ..core.records import Agreement, Finding, Load, MeshMode, ModeShape
from ..engines.fe.content import skin_w, subspace_mac
from ..engines.fe_barrel.engine import by_statics
from ..engines.fe_barrel.meshing import MOST_UNKNOWNS
from ..engines.fe_barrel.repeating import likeness_of, shape_on
from ..engines.fe_barrel.solving import Solved
from ..engines.fe_barrel.surface import surface_of
from ..engines.mesh import shape_of
from ..engines.problem import Effort, Progress
from ..engines.registry import engine
from ..model import ROOM_TEMPERATURE, Case, LoadCase
from ..model.walls import build_wall
from .cases import modelled_wall, problem_of, refuse_yield
from .words import Compared, Said, differences, likeness_words, statics_words


def agreement(
    case: Case,
    load: LoadCase,
    *,
    pressure: float | None = None,
    want: int = 6,
    most: int = MOST_UNKNOWNS,
    meshes: int = 3,
    statics: bool = False,
    progress: Progress = lambda _: None,
) -> tuple[Agreement, Solved]:
    """One load case by every engine.

    Parameters
    ----------
    case : Case
        With a wall of blades or none; its edges are SS3 where it names none, springs and single rings are refused.
    load : LoadCase
        Its temperature and, unless another is given, its minimum pressure are used.
    pressure : float or None
        Fixed [Pa]; None takes that of the load case.
    want : int
        Modes of every mesh.
    most : int
        Unknowns of the largest mesh.
    meshes : int
        1 to 3; with 3 the loads are extrapolated.
    statics : bool
        Solve the finest mesh with ribs once more with the prestress of linear statics between flat rigid platens.
    progress : callable
        Receives a line of text on each step.

    Returns
    -------
    Agreement
    Solved
        The finest mesh with ribs, for pictures and files.
    """
    temperature, p = load.temperature, load.p_min if pressure is None else pressure
    shape = shape_of(case.barrel, case.wall, case.stability_thickness)
    drawn, effort = build_wall(case, temperature), Effort(want, meshes=meshes, unknowns=most, tell=progress)
    wall = modelled_wall(case, temperature)
    problem = problem_of(case, wall, temperature, pressure=p, shape=shape, effort=effort)
    ribbed = engine("mesh with ribs")
    if lacks := tuple(ribbed.lacks(problem)):
        raise Refusal(lacks)
    refuse_yield(case, drawn, load)
    progress("solving closed form and Ritz")
    by_ritz = engine("Ritz").ready(problem)().load
    loads: dict[Role, Load] = {}
    for words, section in (("as drawn", drawn), ("as meshed", wall)):
        found = engine("closed form").ready(replace(problem.classical, wall=section))().load
        loads[f"closed form {words}"] = replace(found, name=f"closed form, Sanders, section {words}")
    loads["Ritz"] = replace(by_ritz, name=f"{by_ritz.name}, section as meshed")
    # every mesh is planned before one is solved: what is too large is refused before minutes are spent
    meshed = replace(problem, near=by_ritz)
    smeared, real = (solve() for solve in [one.ready(meshed) for one in (engine("smeared mesh"), ribbed)])
    loads["smeared mesh"], loads["mesh with ribs"] = smeared.load, real.load
    finest, modes, complete = real.detail.finest, real.detail.modes, real.detail.complete
    alike = likeness(finest, modes, by_ritz.shapes)
    compared = Compared(loads, modes, finest.listed, finest.part, complete.passed, problem)
    said: list[Said] = [complete, *differences(compared), likeness_words(alike)]
    if statics:
        by_platens = loads["mesh with ribs, linear statics"] = by_statics(real.detail)
        said.append(statics_words(by_platens.line_load, float(finest.line_loads[0])))
    return Agreement(
        load.name,
        ROOM_TEMPERATURE if temperature is None else temperature,
        p,
        loads,
        smeared.detail.runs,
        real.detail.runs,
        modes,
        tuple(one if isinstance(one, str) else one.text for one in said),
        alike,
        None if finest.harmonics else surface_of(finest),
        tuple(one for one in said if isinstance(one, Finding)),
        finest.listed,
    ), finest


_PAIR = 1e-3
"""General modes this close to the lowest, relative, are compared with the Ritz mode as one subspace."""


def likeness(solved: Solved, modes: tuple[MeshMode, ...], shapes: tuple[ModeShape, ...]) -> float | None:
    """Subspace MAC of the lowest general modes of a mesh with a Ritz mode of their n, cosine and sine, the best where
    several are at hand (modes of one n and close loads change order); None where there is none."""
    general = [i for i, mode in enumerate(modes) if mode.general]
    own = [shape for shape in shapes if general and shape.n == modes[general[0]].n]
    return max((_alike(solved, modes, general, shape) for shape in own), default=None)


def _alike(solved: Solved, modes: tuple[MeshMode, ...], general: list[int], shape: ModeShape) -> float:
    if solved.harmonics:
        return likeness_of(solved, general[0], shape)
    lowest = modes[general[0]].line_load
    group = [i for i in general if modes[i].line_load <= lowest * (1 + _PAIR) and modes[i].n == shape.n]
    field = skin_w(solved.shell, solved.modes[:, group])
    return float(subspace_mac(field.w, shape_on(shape, field.points), field.weights).min())
