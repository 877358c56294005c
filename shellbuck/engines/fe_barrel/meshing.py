"""Meshes of a case's barrel: which part to mesh, how finely, and its certified modes.

A barrel with a mirror plane through its axis is meshed by half, or by a smaller part between two such planes, and
solved twice, with modes even and odd about the planes. What is too large for that is meshed by one bay that repeats
with a phase, and solved wave by wave.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ...core.errors import Refusal
from ...core.records import MeshRun
from ...handbook.sections import rectangle_torsion
from ...model import Case
from ...model.walls import RibFamily, SmearedWall, build_wall
from .. import fe
from ..eigen.blocked import Progress
from ..mesh import Extent, Mesh, Plan, StraightRibs, TriangularRibs, build_mesh, choose_divisions
from ..mesh.build import mesh_size
from ..mesh.mesh import family_of
from ..mesh.shapes import WHOLE
from .harmonics import Sorted, first_harmonics, solve_harmonics

MOST_UNKNOWNS = 150_000


_HOOP = 1
"""The nodal direction across a plane through the axis."""


@dataclass(frozen=True, eq=False)
class Part:
    """A mesh to be solved: plan, extent, angle [rad], the symmetries under which it is solved, the number that n is a
    multiple of, and the bays on the whole circumference. One bay that repeats with a phase has the `harmonics` for
    which it is solved from the start."""

    plan: Plan
    extent: Extent
    angle: float
    families: tuple[str, ...]
    multiple: int
    bays: int
    harmonics: tuple[int, ...] = ()


@dataclass(frozen=True, eq=False)
class Solved:
    """Modes of a mesh: line loads (k,) [N/m] rising, modes (unknowns, k), which family each is of, the count, and the
    line load at which it was made. Modes of a bay that repeats have two fields, (2 unknowns, k); `harmonics` says of
    which each is, `scanned` holds what all of them together gave. The first `listed` modes are the lowest of all; what
    follows was found higher up."""

    mesh: Mesh
    shell: fe.Shell
    line_loads: np.ndarray
    modes: np.ndarray
    families: tuple[str, ...]
    counted: int
    part: Part
    shift: float
    shape: StraightRibs | TriangularRibs
    listed: int
    harmonics: tuple[int, ...] = ()
    scanned: Sorted | None = None

    @property
    def run(self) -> MeshRun:
        """The mesh as a record."""
        return MeshRun(
            self.part.plan.sentence() + (f", one bay of {self.part.bays}, two fields" if self.harmonics else ""),
            self.modes.shape[0],
            self.part.plan.per_half_wave,
            tuple(float(v) for v in self.line_loads[: self.listed]),
            self.counted,
        )

    def only(self, some: list[int]) -> Solved:
        """With these modes alone; the listed ones must lead."""
        return replace(
            self,
            line_loads=self.line_loads[some],
            modes=self.modes[:, some],
            families=tuple(self.families[i] for i in some),
            harmonics=tuple(self.harmonics[i] for i in some) if self.harmonics else (),
        )


def modelled_wall(case: Case, temperature: float | None) -> SmearedWall:
    """The smeared wall of the section that a mesh models: every blade from the skin's middle to its free edge."""
    wall = build_wall(case, temperature)
    t = wall.skin.t
    return SmearedWall.of(wall.skin, tuple(_from_middle(rib, t) for rib in wall.ribs))


def _from_middle(rib: RibFamily, t: float) -> RibFamily:
    if rib.depth is None:
        raise Refusal.of("mesh-shape", "only blades can be meshed", "wall", f"{rib.name} of a given section", "blades")
    b, d = rib.thickness, rib.depth + t / 2
    side = 1.0 if rib.z > 0 else -1.0
    lo, hi = sorted((b, d))
    return replace(
        rib, depth=d, area=b * d, inertia=b * d**3 / 12, z=side * d / 2, torsion=float(rectangle_torsion(lo, hi))
    )


def half_wave(wall: SmearedWall, R: float) -> float:
    """Half-wave that elements are counted by [m]: pi (D R^2/A22*)^(1/4), 1.728 sqrt(R t) of a sheet.

    D is the geometric mean of D11* and D22*: a wall with stringers is stiff along and soft around, and elements as long
    as its axisymmetric half-wave are too wide for its waves around (measured: .8 % high at one to a half-wave).
    """
    flexibility = np.linalg.inv(wall.A)
    D = math.sqrt(wall.reduced_bending[0, 0] * wall.reduced_bending[1, 1])
    return math.pi * float((D * R**2 * flexibility[1, 1]) ** 0.25)


def planned(
    shape: StraightRibs | TriangularRibs,
    wave: float,
    n: int,
    *,
    density: float | None = None,
    order: int = 4,
    most: int = MOST_UNKNOWNS,
    smooth: bool = False,
    waves: tuple[int, ...] = (),
) -> Part:
    """The largest part of a barrel that stays below `most` unknowns and holds modes of n waves around.

    Half the circumference holds every mode; a part of pi/k between two mirror planes holds those whose n is a multiple
    of k; k divides n where it can, else it is near n. A triangular grid has no mirror plane of this kind and is meshed
    whole. A `smooth` wall may be turned about its axis: its even modes stand for its odd ones. Where no such part is
    small enough, one bay that repeats is solved for these `waves` around.

    Raises
    ------
    Refusal
        When no such part is small enough.
    """

    def plan_of(extent: Extent) -> Plan | None:
        try:
            plan = choose_divisions(shape, wave, per_half_wave=density, order=order, extent=extent)
        except Refusal as refusal:
            if refusal.problems[0].code != "mesh-too-large":
                raise
            return None
        return plan if plan.size.unknowns <= most else None

    if not shape.mirrored:
        if (plan := plan_of(WHOLE)) is not None:
            return Part(plan, WHOLE, 2 * math.pi, ("all",), 1, shape.around)
        return one_bay(shape, wave, density, order, most, waves)
    fitting = [k for k in range(1, shape.around // 2 + 1) if shape.around % (2 * k) == 0]
    own = [k for k in fitting if n and n % k == 0] or [1]
    near = sorted((k for k in fitting if k not in own and k <= 2 * n), key=lambda k: abs(k - n))
    for k in (*own, *near[:2]):
        cut = "between" if shape.stringers is not None else "on"
        extent = Extent(sector=shape.around // (2 * k), cut=cut)
        if (plan := plan_of(extent)) is not None:
            return Part(plan, extent, math.pi / k, ("even",) if smooth else ("even", "odd"), k, shape.around)
    return one_bay(shape, wave, density, order, most, waves)


def one_bay(
    shape: StraightRibs | TriangularRibs,
    wave: float,
    density: float | None,
    order: int,
    most: int,
    waves: tuple[int, ...],
) -> Part:
    """One bay that repeats, for these waves around and the harmonics that are always solved.

    Raises
    ------
    Refusal
        When it is too large.
    """
    extent, bays = Extent(sector=1), shape.around
    plan = choose_divisions(shape, wave, per_half_wave=density, order=order, extent=extent)
    return checked_bay(Part(plan, extent, 2 * math.pi / bays, ("all",), 1, bays, first_harmonics(waves, bays)), most)


def checked_bay(part: Part, most: int) -> Part:
    """One bay, refused where its two fields are more than `most` unknowns."""
    if 2 * part.plan.size.unknowns > most:
        raise Refusal.of(
            "mesh-too-large",
            "a mesh with ribs as they are would be too large",
            "mesh",
            f"one bay of {part.bays}, two fields of {part.plan.size}",
            f"{most} unknowns",
            "allow more unknowns",
        )
    return part


def bay_of(shape: StraightRibs | TriangularRibs, part: Part, waves: tuple[int, ...], most: int) -> Part:
    """One bay of a larger part, with the same elements.

    Raises
    ------
    Refusal
        When its two fields are too large.
    """
    extent = Extent(sector=1)
    plan = replace(part.plan, size=mesh_size(shape, part.plan.divisions, extent))
    return checked_bay(
        Part(plan, extent, 2 * math.pi / part.bays, ("all",), 1, part.bays, first_harmonics(waves, part.bays)), most
    )


def solve_mesh(
    shape: StraightRibs | TriangularRibs,
    part: Part,
    sections: dict[str, fe.Section],
    edges: tuple[str, str],
    guess: float,
    *,
    pressure: float,
    want: int,
    shift: float | None = None,
    by_statics: bool = False,
    scan: bool = False,
    progress: Progress = lambda _: None,
) -> Solved:
    """The lowest modes of a mesh, all families together, proved complete by counts; `shift` is where they are counted
    first, for example that of a coarser mesh. `by_statics` takes the prestress of linear statics, not uniform strain.
    `scan` counts the harmonics of a bay that are not solved, and solves what is lower there.
    """
    mesh = build_mesh(shape, part.plan.divisions, part.extent)
    shell = shell_of(mesh, sections)
    plain = fe.Support(shape.radius, shape.length, *edges, angle=part.angle)
    if part.harmonics:
        loaded = bay_loaded(shell, plain, pressure, by_statics=by_statics)
        all_found = solve_harmonics(
            loaded, part.angle, part.harmonics, guess, want, shift=shift, scan=scan, progress=progress
        )
        return Solved(
            mesh,
            shell,
            all_found.line_loads,
            all_found.modes,
            ("all",) * all_found.line_loads.size,
            all_found.counted,
            part,
            all_found.shift,
            shape,
            all_found.listed,
            all_found.harmonics,
            all_found,
        )
    supports = [(family, replace(plain, held=tuple(_mirror(mesh, family)))) for family in part.families]
    if by_statics:
        # loads are even about every mirror plane, whatever the modes are
        prestress = fe.linear_statics(shell, fe.stiffness(shell), supports[0][1])
    else:
        prestress = fe.uniform_strain(shell, shape.radius)
    found = []
    for family, support in supports:
        part_found = fe.buckle(
            shell,
            support,
            guess,
            want=want,
            pressure=pressure,
            prestress=prestress,
            shift=shift,
            progress=lambda text, family=family: progress(f"{family} modes: {text}"),
        )
        shift = part_found.shift  # families share most of their spectrum
        found.append((family, part_found))
    rows = sorted((float(v), k, i) for k in range(len(found)) for i, v in enumerate(found[k][1].line_loads))[:want]
    last = rows[-1][0]
    counted = sum(int(np.sum(modes.line_loads <= last * (1 + 1e-9))) for _, modes in found)
    return Solved(
        mesh,
        shell,
        np.array([row[0] for row in rows]),
        np.column_stack([found[k][1].modes[:, i] for _, k, i in rows]),
        tuple(found[k][0] for _, k, _ in rows),
        counted,
        part,
        shift,
        shape,
        len(rows),
    )


def shell_of(mesh: Mesh, sections: dict[str, fe.Section]) -> fe.Shell:
    """The mesh with its sections, by part or by family of parts."""
    return fe.Shell(mesh, {name: sections[name if name in sections else family_of(name)] for name in mesh.parts})


def bay_loaded(shell: fe.Shell, support: fe.Support, pressure: float, *, by_statics: bool = False) -> fe.Loaded:
    """One bay under its prestress."""
    return fe.Loaded(shell, support, pressure=pressure, prestress="linear statics" if by_statics else "uniform strain")


def _mirror(mesh: Mesh, family: str) -> np.ndarray:
    """Unknowns held at the two sides of half a barrel for modes even or odd about the plane; none for a whole one."""
    if family == "all":
        return np.empty(0, int)
    hold = fe.symmetry_at if family == "even" else fe.antisymmetry_at
    return hold(np.union1d(mesh.left, mesh.right), _HOOP)


def skin_wave(wall: SmearedWall, R: float) -> float:
    """Axisymmetric half-wave of the bare skin [m]: the shortest a pocket can hold."""
    return half_wave(SmearedWall.of(wall.skin), R)


def sections_of(wall: SmearedWall) -> dict[str, fe.Section]:
    """Sections of skin and ribs."""
    skin = wall.skin
    found = {"skin": fe.sheet(skin.E, skin.nu, skin.t)}
    for rib in wall.ribs:
        name = {"stringers": "stringer", "rings": "ring"}.get(rib.name, "rib")
        found[name] = fe.sheet(rib.E, rib.nu, rib.thickness)
    return found
