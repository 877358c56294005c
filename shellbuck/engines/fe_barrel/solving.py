"""Meshes of one barrel, solved: certified modes of a part, or of one bay that repeats with a phase."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ...core.records import MeshRun
from .. import fe
from ..fe.prestress import Kind
from ..mesh import Mesh, build_mesh
from ..mesh.mesh import family_of
from ..mesh.shapes import Shape
from ..problem import Progress
from .harmonics import Sorted, rising, solve_harmonics, stacked
from .meshing import Part

_HOOP = 1
"""The nodal direction across a plane through the axis."""


@dataclass(frozen=True, eq=False)
class Solved:
    """Modes of a mesh: line loads (k,) [N/m] rising, modes (unknowns, k), which family each is of, the count, and the
    line load at which it was made. Modes of a bay that repeats have two fields, (2 unknowns, k); `harmonics` says of
    which each is, `scanned` holds what all of them together gave. The first `listed` modes are the lowest of all; what
    follows was found higher up."""

    shape: Shape
    part: Part
    shell: fe.Shell
    line_loads: np.ndarray
    modes: np.ndarray
    families: tuple[str, ...]
    counted: int
    shift: float
    listed: int
    harmonics: tuple[int, ...] = ()
    scanned: Sorted | None = None

    @property
    def mesh(self) -> Mesh:
        return self.shell.mesh

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


@dataclass(frozen=True, eq=False)
class Solving:
    """What every mesh of a barrel shares: shape, sections, edges, a guess of the load [N/m], the fixed pressure [Pa],
    how many modes are wanted, and what receives progress as text."""

    shape: Shape
    sections: dict[str, fe.Section]
    edges: tuple[str, str]
    guess: float
    pressure: float = 0.0
    want: int = 1
    progress: Progress = lambda _: None

    def meshed(self, part: Part) -> tuple[fe.Shell, fe.Support]:
        """The mesh of a part with its sections, and how its ends are held."""
        shell = shell_of(build_mesh(self.shape, part.plan.divisions, part.extent), self.sections)
        return shell, fe.Support(self.shape.radius, self.shape.length, *self.edges, angle=part.angle)

    def bay(self, part: Part, kind: Kind = "uniform strain") -> fe.Loaded:
        """One bay under its prestress."""
        shell, support = self.meshed(part)
        return fe.Loaded(shell, support, pressure=self.pressure, prestress=kind)

    def one(
        self, words: str, part: Part, *, shift: float | None = None, scan: bool = False, kind: Kind = "uniform strain"
    ) -> Solved:
        """The lowest modes of one mesh, all families together, proved complete by counts.

        Parameters
        ----------
        words : str
            What is solved, in the progress text.
        part : Part
        shift : float or None
            Line load at which modes are counted first, for example that of a coarser mesh [N/m].
        scan : bool
            Count the harmonics of a bay that are not solved too, and solve what is lower there.
        kind : {"uniform strain", "linear statics"}
            Of the prestress.
        """
        self.progress(f"solving {words}: {part.plan.size}")
        if part.harmonics:
            loaded = self.bay(part, kind)
            all_found = solve_harmonics(
                loaded, part.angle, part.harmonics, self.guess, self.want, shift=shift, scan=scan, progress=self._inner
            )
            modes, families = all_found.modes, ("all",) * all_found.line_loads.size
            found = all_found.line_loads, modes, families, all_found.counted, all_found.shift, all_found.listed
            return Solved(self.shape, part, loaded.shell, *found, all_found.harmonics, all_found)
        shell, plain = self.meshed(part)
        supports = {family: replace(plain, held=tuple(_mirror(shell.mesh, family))) for family in part.families}
        if kind == "linear statics":  # loads are even about every mirror plane, whatever the modes are
            prestress = fe.linear_statics(shell, fe.stiffness(shell), supports[part.families[0]])
        else:
            prestress = fe.uniform_strain(shell, self.shape.radius)
        each: dict[str, fe.Buckling] = {}
        for family, support in supports.items():
            each[family] = fe.buckle(
                shell,
                support,
                self.guess,
                want=self.want,
                pressure=self.pressure,
                prestress=prestress,
                shift=shift,
                progress=lambda text, family=family: self._inner(f"{family} modes: {text}"),
            )
            shift = each[family].shift  # families share most of their spectrum
        rows = rising(each)[: self.want]
        counted = sum(int(np.sum(modes.line_loads <= rows[-1][0] * (1 + 1e-9))) for modes in each.values())
        families = tuple(family for _, family, _ in rows)
        return Solved(self.shape, part, shell, *stacked(each, rows), families, counted, shift, len(rows))

    def _inner(self, text: str) -> None:
        self.progress(f"  {text}")

    def all(self, words: str, parts: list[Part]) -> list[Solved]:
        """Meshes from coarse to fine. Of bays that repeat, the coarsest and the finest count the harmonics that they do
        not solve; what the coarsest finds, the finer ones solve from the start."""
        found: list[Solved] = []
        for i, part in enumerate(parts):
            if found and part.harmonics:
                part = replace(part, harmonics=tuple(dict.fromkeys([*found[-1].scanned.solved, *part.harmonics])))
            shift = found[-1].shift if found else None
            found.append(self.one(words, part, shift=shift, scan=i in (0, len(parts) - 1)))
        return found


def shell_of(mesh: Mesh, sections: dict[str, fe.Section]) -> fe.Shell:
    """The mesh with its sections, by part or by family of parts."""
    return fe.Shell(mesh, {name: sections[name if name in sections else family_of(name)] for name in mesh.parts})


def _mirror(mesh: Mesh, family: str) -> np.ndarray:
    """Unknowns held at the two sides of half a barrel for modes even or odd about the plane; none for a whole one."""
    if family == "all":
        return np.empty(0, int)
    hold = fe.symmetry_at if family == "even" else fe.antisymmetry_at
    return hold(np.union1d(mesh.left, mesh.right), _HOOP)
