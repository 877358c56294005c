"""One load case by closed form, Ritz, a smeared mesh and a mesh with ribs as they are, at one prestress.

The meshes carry uniform strain, so that all engines see the same N_x and N_theta. The closed form and Ritz are given
the section that the mesh models (a rib's plate runs from the skin's middle, half a skin thickness overlaps); what the
drawing's section would give stands beside it.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from ..core.engine_records import Role
from ..core.errors import Problem, Refusal
from ..core.records import Agreement, Certificate, Finding, Load, MeshMode, ModeShape
from ..engines import closed_form, fe, ritz
from ..engines.fe.content import skin_w, standard_phase, subspace_mac, wave_content
from ..engines.fe.energy import energy_shares
from ..engines.fe.repeating import fields_of
from ..engines.mesh import StraightRibs, TriangularRibs, shape_of
from ..model import ROOM_TEMPERATURE, Case, LoadCase
from ..model.walls import SmearedWall, build_wall
from .edges import refuse_yield, ritz_barrel
from .meshing import (
    MOST_UNKNOWNS,
    Part,
    Progress,
    Solved,
    bay_of,
    half_wave,
    modelled_wall,
    planned,
    sections_of,
    skin_wave,
    solve_mesh,
)
from .repeating import content_of, likeness_of, standardised
from .solving import Solving, with_ribs
from .surface import displacement_of, surface_of
from .words import Compared, Said, likeness_words, parting, statics_words

DENSITIES = (0.8, 1.0, 1.25)
"""Elements of order 4 per half-wave of the three smeared meshes."""

ORDERS = (3, 4, 5)
"""Orders of the three meshes with ribs, two elements to a bay."""

_WAVES = 3
"""Waves around for which a bay that repeats is solved, the lowest of Ritz."""

_THIN = 1000.0
"""Multiple of the transverse shear stiffness that makes the smeared mesh a thin shell, to 1e-4 or better."""


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
        Is told what is being solved.

    Returns
    -------
    Agreement
    Solved
        The finest mesh with ribs, for pictures and files.
    """
    if not case.wall.has_dimensions:
        raise Refusal(
            Problem(
                "mesh-shape", "a wall known by its stiffness alone has no ribs to mesh", "wall", way_out="give the ribs"
            )
        )
    if any(case.barrel.springs) or case.barrel.single_rings:
        raise Refusal(
            Problem(
                "mesh-shape",
                "the mesh knows neither edge springs nor single rings",
                "barrel",
                way_out="leave them out for this comparison",
            )
        )
    temperature, p = load.temperature, load.p_min if pressure is None else pressure
    barrel, drawn, wall = case.barrel, build_wall(case, temperature), modelled_wall(case, temperature)
    refuse_yield(case, drawn, load)
    R, L = barrel.middle_radius, barrel.length
    progress("solving closed form and Ritz")
    ritz_model = ritz_barrel(case, wall, temperature)
    edges = (ritz_model.edges.start, ritz_model.edges.end)
    by_ritz = ritz.membrane(ritz_model, pressure=p, shapes=want)
    closed = [
        replace(
            closed_form.lowest(w, R, L, N_theta=p * R, theory="Sanders"),
            name=f"closed form, Sanders, section {words}",
            role=f"closed form {words}",
        )
        for w, words in ((drawn, "as drawn"), (wall, "as meshed"))
    ]
    # every mesh is planned before one is solved: what is too large is refused before minutes are spent
    sheet, smooth_parts = _smeared_plan(wall, R, L, by_ritz.n, meshes, most)
    shape, ribbed_parts = _ribbed_plan(case, wall, by_ritz, meshes, most)
    if ribbed_parts[-1].harmonics:
        fe.refuse_loose(*edges)
    sections = sections_of(wall)
    solving = Solving(shape, sections, edges, by_ritz.line_load, p, want, progress)
    smooth = replace(solving, shape=sheet, sections={"skin": fe.smeared(wall.matrix, shear_scale=_THIN)})
    smeared = smooth.all("smeared mesh", smooth_parts)
    discrete, completeness = with_ribs(solving, ribbed_parts, bool(wall.ribs), _lowest_waves(by_ritz), most)
    finest = discrete[-1]
    standard = (
        standardised(finest, L)
        if finest.harmonics
        else standard_phase(finest.shell, finest.line_loads, finest.modes, L, finest.part.angle)
    )
    finest = discrete[-1] = replace(finest, modes=standard)
    modes = tuple(_mode(finest, i, L) for i in range(finest.line_loads.size))
    statics_said: list[Said] = []
    beside: tuple[Load, ...] = ()
    if statics:
        progress(f"solving prestress by linear statics: {finest.part.plan.size}")
        part = finest.part
        if finest.scanned is not None:
            part = replace(part, harmonics=finest.scanned.solved)
        by_statics = solve_mesh(
            shape,
            part,
            sections,
            edges,
            float(finest.line_loads[0]),
            pressure=p,
            want=1,
            by_statics=True,
            scan=True,
            progress=lambda text: progress(f"  {text}"),
        )
        beside = (
            _load(
                "mesh with ribs, linear statics",
                f"{_discrete_name(wall)}, prestress by linear statics",
                [by_statics],
                edges,
                p,
                "linear statics between flat rigid platens, resultants in skin and ribs",
                "where the platens put it",
            ),
        )
        statics_said = [statics_words(beside[0].line_load, float(finest.line_loads[0]))]
    alike = likeness(finest, modes, by_ritz.shapes)
    drawn_load, meshed_load = closed
    ritz_load = replace(by_ritz, name=f"{by_ritz.name}, section as meshed", role="Ritz")
    smeared_load = _load("smeared mesh", "smeared mesh, thin", smeared, edges, p, by_ritz.prestress)
    real = _load(
        "mesh with ribs", _discrete_name(wall), discrete, edges, p, "uniform strain, resultants in skin and ribs"
    )
    compared = Compared(
        drawn_load,
        meshed_load,
        ritz_load,
        smeared_load,
        real,
        modes,
        finest.listed,
        finest.part,
        completeness.passed,
        wall,
        barrel,
        edges,
        p,
    )
    said = [completeness, *parting(compared), likeness_words(alike), *statics_said]
    return Agreement(
        load.name,
        ROOM_TEMPERATURE if temperature is None else temperature,
        p,
        (drawn_load, meshed_load, ritz_load, smeared_load, real, *beside),
        tuple(s.run for s in smeared),
        tuple(s.run for s in discrete),
        modes,
        tuple(one if isinstance(one, str) else one.text for one in said),
        alike,
        None if finest.harmonics else surface_of(finest),
        tuple(one for one in said if isinstance(one, Finding)),
        finest.listed,
    ), finest


def _discrete_name(wall: SmearedWall) -> str:
    return "mesh with ribs as they are" if wall.ribs else "shear-flexible mesh"


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
    x, theta = field.points.T
    W = np.interp(x, shape.x, shape.w)
    twins = [W * np.cos(shape.n * theta)] + ([W * np.sin(shape.n * theta)] if shape.n else [])
    return float(subspace_mac(field.w, np.column_stack(twins), field.weights).min())


def _bare(shape: StraightRibs, wave: float, n: int, most: int) -> StraightRibs:
    """A wall without stringers, cut into two bays, or into 2 n where half the circumference would be too large."""
    halves = replace(shape, bays=2)
    try:
        planned(halves, wave, n, density=DENSITIES[-1], most=most, smooth=True)
    except Refusal:
        return replace(shape, bays=2 * max(1, n))
    return halves


def _smeared_plan(
    wall: SmearedWall, R: float, L: float, n: int, meshes: int, most: int
) -> tuple[StraightRibs, list[Part]]:
    """The bare barrel that carries the smeared wall, and its meshes from coarse to fine."""
    wave = half_wave(wall, R)
    sheet = _bare(StraightRibs(R, L, wall.skin.t), wave, n, most)
    return sheet, [planned(sheet, wave, n, density=d, most=most, smooth=True) for d in DENSITIES[-meshes:]]


def _ribbed_plan(
    case: Case, wall: SmearedWall, by_ritz: Load, meshes: int, most: int
) -> tuple[StraightRibs | TriangularRibs, list[Part]]:
    """The barrel with ribs as they are and its meshes from coarse to fine, as many as are not too large."""
    wave = skin_wave(wall, case.barrel.middle_radius)
    shape = shape_of(case.barrel, case.wall, wall.skin.t)
    smooth = not _ribbed_around(shape)
    if smooth:
        shape = _bare(shape, wave, by_ritz.n, most)
    waves = _lowest_waves(by_ritz)
    parts: list[Part] = []
    for order in ORDERS[:meshes] if wall.ribs else ORDERS[1:2]:
        try:
            parts.append(planned(shape, wave, by_ritz.n, order=order, most=most, smooth=smooth, waves=waves))
        except Refusal:
            if not parts:
                raise
            break
    if parts[-1].harmonics:  # one kind of part at every order, that their loads can be compared
        parts = [part if part.harmonics else bay_of(shape, part, waves, most) for part in parts]
    return shape, parts


def _lowest_waves(by_ritz: Load) -> tuple[int, ...]:
    lowest = sorted(by_ritz.lowest_by_n, key=lambda mode: mode.line_load)
    return tuple(mode.n for mode in lowest)[:_WAVES]


def _ribbed_around(shape: object) -> bool:
    """Whether ribs break the symmetry of a turn about the axis."""
    return not isinstance(shape, StraightRibs) or shape.stringers is not None


def extrapolated(loads: tuple[float, ...]) -> tuple[float, float]:
    """Limit of a converging row of loads and its distance from the last, relative.

    Three loads that shrink their steps are continued geometrically; else the last stands with its last step.

    Examples
    --------
    >>> limit, step = extrapolated((1.04, 1.01, 1.0025))
    >>> round(limit, 6), round(step, 6)
    (1.0, 0.002494)
    """
    last = loads[-1]
    if len(loads) < 2:
        return last, math.nan
    step = loads[-2] - last
    if len(loads) < 3:
        return last, abs(step / last)
    ratio = step / (loads[-3] - loads[-2]) if loads[-3] != loads[-2] else 1.0
    if not 0 < ratio < 0.7:
        return last, abs(step / last)
    limit = last - step * ratio / (1 - ratio)
    return limit, abs(limit / last - 1)


def _load(
    role: Role,
    name: str,
    solved: list[Solved],
    edges: tuple[str, str],
    pressure: float,
    prestress: str,
    position: str = "neutral under uniform strain",
) -> Load:
    lowest = tuple(float(s.line_loads[0]) for s in solved)
    limit, error = extrapolated(lowest)
    finest = solved[-1]
    multiple = finest.part.multiple
    which = "every n" if multiple == 1 else f"n a multiple of {multiple}"
    if finest.harmonics:
        scanned = finest.scanned
        which = f"harmonics {', '.join(map(str, sorted(scanned.solved)))} of {finest.part.bays} bays"
        if scanned.empty:
            which += f", {len(scanned.empty)} others without a lower one"
    last = finest.line_loads[finest.listed - 1] / finest.line_loads[0]
    held = "/".join(dict.fromkeys(edges))
    return Load(
        name=f"{name}, order {finest.mesh.order}",
        line_load=limit,
        theory="shear-flexible shell, full gradients",
        edges=f"{held} on skin and ribs",
        prestress=prestress,
        load_position=position,
        pressure_treatment=ritz.solve.pressure_words(pressure),
        definition="net axial force over 2 pi R at bifurcation, compression positive",
        source="own shell-mesh solver",
        certificate=Certificate(
            0,
            0,
            (),
            f"{which}: {finest.counted} load factors up to {last:.4g} of the lowest by inertia counts, "
            f"{finest.listed} found; {len(solved)} mesh{'es' if len(solved) > 1 else ''}",
            1.0,
        ),
        resolution_error=None if math.isnan(error) else error,
        role=role,
    )


def _mode(solved: Solved, i: int, L: float) -> MeshMode:
    """Record of a mode of a mesh."""
    mode = solved.modes[:, i]
    content = content_of(solved, i, L) if solved.harmonics else wave_content(solved.shell, mode, L, solved.part.angle)
    energy = energy_shares(solved.shell, fields_of(mode) if solved.harmonics else mode)
    return MeshMode(
        float(solved.line_loads[i]),
        content.m,
        content.n,
        content.share,
        energy.general,
        energy.shares,
        content.largest,
        None if solved.harmonics else displacement_of(solved, i),
        solved.families[i],
    )
