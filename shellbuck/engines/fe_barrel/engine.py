"""Shell meshes of a barrel as engines: the smeared wall on a bare surface, and skin and ribs as they are.

The meshes carry uniform strain, so that they see the same N_x and N_theta as smeared theory. What was found by another
engine (`BucklingProblem.near`) says how large a load and how many waves to expect.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ...core.engine_records import Certificate, Finding, Load, MeshMode, MeshRun
from ...core.errors import Refusal
from .. import fe
from ..fe.content import standard_phase, wave_content
from ..fe.energy import energy_shares
from ..fe.repeating import fields_of
from ..mesh import StraightRibs
from ..mesh.shapes import Shape
from ..problem import BucklingProblem, Engine, Solve, pressure_words
from .completeness import with_ribs
from .meshing import Part, bay_of, half_wave, planned, sections_of, skin_wave
from .repeating import content_of, standardised
from .solving import Solved, Solving
from .surface import displacement_of

DENSITIES = (0.8, 1.0, 1.25)
"""Elements of order 4 per half-wave of the three smeared meshes."""

ORDERS = (3, 4, 5)
"""Orders of the three meshes with ribs, two elements to a bay."""

_WAVES = 3
"""Waves around for which a bay that repeats is solved, the lowest that are known."""

_THIN = 1000.0
"""Multiple of the transverse shear stiffness that makes the smeared mesh a thin shell, to 1e-4 or better."""

_UNIFORM = "uniform strain, resultants in skin and ribs"


@dataclass(frozen=True, eq=False)
class Meshes:
    """The meshes of one solution from coarse to fine, and what is known of the waves that they do not hold."""

    problem: BucklingProblem
    solving: Solving
    solved: tuple[Solved, ...]
    complete: Finding | None = None

    @property
    def finest(self) -> Solved:
        return self.solved[-1]

    @property
    def runs(self) -> tuple[MeshRun, ...]:
        """The meshes as records."""
        return tuple(one.run for one in self.solved)

    @property
    def modes(self) -> tuple[MeshMode, ...]:
        """Modes of the finest mesh as records."""
        return tuple(_mode(self.finest, i, self.problem.L) for i in range(self.finest.line_loads.size))

    def load(self, name: str, prestress: str, position: str = "neutral under uniform strain") -> Load:
        """The lowest load as a record, extrapolated where three meshes were solved."""
        return _load(name, self.solved, self.solving.edges, self.problem.pressure, prestress, position)


def by_statics(meshes: Meshes) -> Load:
    """The lowest load of the finest mesh with ribs once more, with the prestress of linear statics between flat rigid
    platens."""
    finest = meshes.finest
    part = finest.part if finest.scanned is None else replace(finest.part, harmonics=finest.scanned.solved)
    solving = replace(meshes.solving, guess=float(finest.line_loads[0]), want=1)
    found = solving.one("prestress by linear statics", part, scan=True, kind="linear statics")
    return replace(meshes, solved=(found,)).load(
        f"{_ribbed_name(meshes.problem)}, prestress by linear statics",
        "linear statics between flat rigid platens, resultants in skin and ribs",
        "as imposed by the platens",
    )


def _smeared(problem: BucklingProblem) -> Solve:
    wall, near = problem.wall, _Near.of(problem)
    sheet, wave = StraightRibs(problem.R, problem.L, wall.skin.t), half_wave(wall, problem.R)
    sheet = _bare(sheet, wave, near.n, problem.effort.unknowns)
    parts = [
        planned(sheet, wave, near.n, density=density, most=problem.effort.unknowns, smooth=True)
        for density in DENSITIES[-problem.effort.meshes :]
    ]
    solving = _solving(problem, near, sheet, {"skin": fe.smeared(wall.matrix, shear_scale=_THIN)})

    def solve() -> tuple[Load, Meshes]:
        found = Meshes(problem, solving, tuple(solving.all("smeared mesh", parts)))
        return found.load("smeared mesh, thin", "membrane, uniform N_x and N_theta"), found

    return solve


def _ribbed(problem: BucklingProblem) -> Solve:
    wall, near, shape, most = problem.wall, _Near.of(problem), problem.shape, problem.effort.unknowns
    wave, smooth, waves = skin_wave(wall, problem.R), not shape.ribbed_around, near.waves
    if smooth:
        shape = _bare(shape, wave, near.n, most)
    parts: list[Part] = []
    for order in ORDERS[: problem.effort.meshes] if wall.ribs else ORDERS[1:2]:
        try:
            parts.append(planned(shape, wave, near.n, order=order, most=most, smooth=smooth, waves=waves))
        except Refusal:
            if not parts:
                raise
            break
    if parts[-1].harmonics:  # one kind of part at every order, that their loads can be compared
        parts = [part if part.harmonics else bay_of(shape, part, waves, most) for part in parts]
        fe.refuse_loose(problem.edges.start, problem.edges.end)
    solving = _solving(problem, near, shape, sections_of(wall))

    def solve() -> tuple[Load, Meshes]:
        solved, complete = with_ribs(solving, parts, bool(wall.ribs), waves, most)
        finest = solved[-1]
        standard = (
            standardised(finest, problem.L)
            if finest.harmonics
            else standard_phase(finest.shell, finest.line_loads, finest.modes, problem.L, finest.part.angle)
        )
        found = Meshes(problem, solving, (*solved[:-1], replace(finest, modes=standard)), complete)
        return found.load(_ribbed_name(problem), _UNIFORM), found

    return solve


ENGINES = {
    one.name: one
    for one in (
        Engine("smeared mesh", _smeared, theories=("Sanders",)),
        Engine("mesh with ribs", _ribbed, theories=("Sanders",), ribs=True),
    )
}


@dataclass(frozen=True)
class _Near:
    """What is expected: a load [N/m], its waves around, and those of the lowest loads of several harmonics."""

    line_load: float
    n: int
    waves: tuple[int, ...]

    @classmethod
    def of(cls, problem: BucklingProblem) -> _Near:
        """From a load that is known, else that of the long barrel, with n of the square waves of its half-wave."""
        if (near := problem.near) is not None:
            lowest = sorted(near.lowest_by_n, key=lambda mode: mode.line_load)
            return cls(near.line_load, near.n, tuple(mode.n for mode in lowest)[:_WAVES])
        wall, R = problem.wall, problem.R
        n = max(2, round(math.pi * R / (2 * half_wave(wall, R))))
        return cls(2 / R * math.sqrt(wall.reduced_bending[0, 0] / np.linalg.inv(wall.A)[1, 1]), n, (n,))


def _solving(problem: BucklingProblem, near: _Near, shape: Shape, sections: dict[str, fe.Section]) -> Solving:
    edges, effort = (problem.edges.start, problem.edges.end), problem.effort
    return Solving(shape, sections, edges, near.line_load, problem.pressure, max(1, effort.modes), effort.tell)


def _ribbed_name(problem: BucklingProblem) -> str:
    return "mesh with ribs as they are" if problem.wall.ribs else "shear-flexible mesh"


def _bare(shape: StraightRibs, wave: float, n: int, most: int) -> StraightRibs:
    """A wall without stringers, cut into two bays, or into 2 n where half the circumference would be too large."""
    halves = replace(shape, bays=2)
    try:
        planned(halves, wave, n, density=DENSITIES[-1], most=most, smooth=True)
    except Refusal:
        return replace(shape, bays=2 * max(1, n))
    return halves


def extrapolated(loads: Sequence[float]) -> tuple[float, float]:
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
    name: str, solved: Sequence[Solved], edges: tuple[str, str], pressure: float, prestress: str, position: str
) -> Load:
    limit, error = extrapolated([float(s.line_loads[0]) for s in solved])
    finest = solved[-1]
    multiple = finest.part.multiple
    which = "every n" if multiple == 1 else f"n a multiple of {multiple}"
    if finest.harmonics:
        scanned = finest.scanned
        which = f"harmonics {', '.join(map(str, sorted(scanned.solved)))} of {finest.part.bays} bays"
        if scanned.empty:
            which += f", {len(scanned.empty)} others counted empty"
    last = finest.line_loads[finest.listed - 1] / finest.line_loads[0]
    meshes = f"{len(solved)} mesh{'es' if len(solved) > 1 else ''}"
    proof = (
        f"{which}: {finest.counted} load factors up to {last:.4g} of the lowest by inertia counts, {finest.listed} "
        f"found; {meshes}"
    )
    return Load(
        name=f"{name}, order {finest.mesh.order}",
        line_load=limit,
        theory="shear-flexible shell, full gradients",
        edges=f"{'/'.join(dict.fromkeys(edges))} on skin and ribs",
        prestress=prestress,
        load_position=position,
        pressure_treatment=pressure_words(pressure),
        definition="net axial force over 2 pi R at bifurcation, compression positive",
        source="own shell-mesh solver",
        certificate=Certificate(0, 0, (), proof, 1.0),
        resolution_error=None if math.isnan(error) else error,
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
