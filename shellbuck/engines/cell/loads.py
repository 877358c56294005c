"""Buckling loads of an endless wall at given phases, from one cell.

The pencil is K x = s G x on the unknowns of one cell, those of its sides tied by exp(i phi); s multiplies the line
loads N_x, N_theta, N_xtheta of the section as modelled. The state before buckling is one membrane strain, e = -A^-1 N:
skin and ribs follow it and nothing bends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy import sparse

from ...core.errors import Refusal
from ..eigen.blocked import lowest_counted
from ..eigen.factor import Elimination, factorise_shifted
from ..fe import geometric, stiffness, uniform_resultants, uniform_stiffness
from ..fe.constraints import elimination_of
from .meshing import DEFAULT, Fineness, MeshedCell, Ties, alike, mesh_cell, turned
from .shapes import Cell, Root

APART = 1e-6
"""Loads closer than this, relative, are one with its multiplicity."""

Phases = tuple[float, float]


@dataclass(frozen=True)
class LineLoads:
    """Line loads that grow together [N/m], or their ratios.

    Parameters
    ----------
    axial, hoop : float
        N_x and N_theta, compression positive.
    shear : float
        N_xtheta; its sign matters where ribs incline.
    """

    axial: float = 0.0
    hoop: float = 0.0
    shear: float = 0.0

    def __post_init__(self) -> None:
        values = (self.axial, self.hoop, self.shear)
        if not all(math.isfinite(v) for v in values) or not any(values):
            raise Refusal.of("value-range", "line loads are finite numbers, not all zero", "load", str(values)[:80])

    @property
    def vector(self) -> np.ndarray:
        """(3,) resultants, tension positive [N/m]."""
        return np.array([-self.axial, -self.hoop, self.shear])

    def times(self, factor: float) -> LineLoads:
        """All of them times a factor."""
        return LineLoads(*(float(factor * v) for v in (self.axial, self.hoop, self.shear)))


@dataclass(frozen=True)
class CellLoad:
    """A buckling load of an endless wall.

    Parameters
    ----------
    factor : float
        On the line loads asked for.
    loads : LineLoads
        Those line loads times the factor, of the section as modelled [N/m].
    strain : tuple of float
        e_x, e_theta and engineering shear at it, tension positive.
    multiplicity : int
        How many modes of these phases it has. A mode of phases other than 0 and pi has a twin of the opposite phases,
        which is not counted here.
    """

    factor: float
    loads: LineLoads
    strain: tuple[float, float, float]
    multiplicity: int


class LoadedCell:
    """A meshed cell under a ratio of line loads, for any pair of phases.

    Parameters
    ----------
    meshed : MeshedCell
    load : LineLoads
        Grows, from zero.
    held_lines : bool
        Whether w is zero along the roots of the ribs.
    fixed : LineLoads or None
        Acts all the time [N/m], compression positive.
    """

    def __init__(
        self, meshed: MeshedCell, load: LineLoads, *, held_lines: bool = False, fixed: LineLoads | None = None
    ):
        self.meshed, self.load, self.held_lines = meshed, load, held_lines
        shell = meshed.shell
        A = uniform_stiffness(shell)
        self.stiffness_of_section = A
        self.unit_strain = np.linalg.solve(A, load.vector)
        self._K = stiffness(shell)
        if fixed is not None:
            self._K = self._K + geometric(shell, uniform_resultants(shell, np.linalg.solve(A, fixed.vector)))
        self._G = geometric(shell, -uniform_resultants(shell, self.unit_strain))
        self.ties = meshed.ties(held_lines=held_lines)
        self.sums = (PhaseSum(self.ties, self._K), PhaseSum(self.ties, self._G))
        """K and G on the free unknowns."""
        self._orders: dict[tuple[bool, bool], Elimination] = {}

    @cached_property
    def scale(self) -> np.ndarray:
        """(free,) root of the diagonal of K, by which free unknowns of all kinds are of one size."""
        return np.sqrt(np.abs(self.sums[0].at((1.0, 2.0)).diagonal()))

    @cached_property
    def _skin_only(self) -> sparse.csc_matrix:
        shell = self.meshed.shell
        nothing = {
            name: replace(s, A=0 * s.A, B=0 * s.B, D=0 * s.D, S=0 * s.S, drilling=0.0)
            for name, s in shell.sections.items()
        }
        return stiffness(replace(shell, sections=nothing | {"skin": shell.sections["skin"]}))

    def skin_share(self, mode: np.ndarray) -> float:
        """Share of the strain energy of a mode (unknowns,) that is in the skin."""
        skin, whole = (float((mode.conj() @ (K @ mode)).real) for K in (self._skin_only, stiffness(self.meshed.shell)))
        return skin / whole

    @cached_property
    def guess(self) -> float:
        """A load factor of the size of the field's: k = 4 over the smaller width."""
        cell = self.meshed.cell
        D = cell.youngs_modulus * cell.thickness**3 / (12 * (1 - cell.poissons_ratio**2))
        k = 4 * math.pi**2 * D / min(cell.widths) ** 2
        skin = np.abs(self.meshed.shell.section_matrices[0, :3, :3] @ self.unit_strain).max()
        return float(k / skin)

    def told(self, factors: np.ndarray) -> tuple[CellLoad, ...]:
        """Load factors, rising, as records; those closer than APART are one."""
        found: list[CellLoad] = []
        for factor in map(float, factors):
            if found and factor <= found[-1].factor * (1 + APART):
                found[-1] = replace(found[-1], multiplicity=found[-1].multiplicity + 1)
            else:
                e_x, e_theta, g = map(float, factor * self.unit_strain)
                found.append(CellLoad(factor, self.load.times(factor), (e_x, e_theta, g), 1))
        return tuple(found)

    def _free(self, phases: Phases) -> np.ndarray:
        every = np.arange(len(self.ties.owner))
        return np.delete(every, self.ties.drift) if alike(phases) else every

    def _problem(self, phases: Phases) -> tuple[sparse.csc_matrix, sparse.csc_matrix, Elimination]:
        """Real symmetric K and G, of one field where the phases are 0 or pi, else of the real and the imaginary part
        one below the other, which finds every load twice; and an order of elimination."""
        free = self._free(phases)
        K, G = (M.at(phases)[free][:, free] for M in self.sums)
        doubled = np.iscomplexobj(K)
        kind = (doubled, alike(phases))
        if kind not in self._orders:
            T, owner = self.ties.at(phases)[:, free], self.ties.owner[free]
            T = sparse.vstack([T, T]) if doubled else T
            if doubled:
                T, owner = sparse.hstack([T, T]), np.tile(owner, 2)
            self._orders[kind] = elimination_of(self.meshed.shell, T.tocsc(), None, owner)
        if doubled:
            K, G = (sparse.bmat([[M.real, -M.imag], [M.imag, M.real]], format="csc") for M in (K, G))
        return K, G, self._orders[kind]

    def lowest(self, phases: Phases, want: int = 1, guess: float | None = None) -> tuple[np.ndarray, np.ndarray]:
        """The lowest load factors of a pair of phases, complete by an inertia count.

        Parameters
        ----------
        phases : tuple of float
            [rad].
        want : int
            How many.
        guess : float or None
            Near the lowest.

        Returns
        -------
        tuple of numpy.ndarray
            Load factors (want,), rising, each as often as it is, and modes (unknowns, want) of the cell's mesh.
        """
        values, modes = self.lowest_free(phases, want, guess)
        return values, self.ties.at(phases) @ modes

    def lowest_free(self, phases: Phases, want: int = 1, guess: float | None = None) -> tuple[np.ndarray, np.ndarray]:
        """As `lowest`, the modes on the free unknowns (free, want)."""
        K, G, order = self._problem(phases)
        free = self._free(phases)
        doubled = K.shape[0] > len(free)
        found = lowest_counted(K, G, self.guess if guess is None else guess, 2 * want if doubled else want, order)
        values, modes = found.values, found.modes
        if doubled:
            real, imaginary = np.split(modes, 2)
            values, modes = values[::2], _once(values, real + 1j * imaginary)
        every = np.zeros((len(self.ties.owner), modes.shape[1]), dtype=modes.dtype)
        every[free] = modes
        return values, every

    def count(self, phases: Phases, factor: float) -> int:
        """How many load factors of a pair of phases lie between 0 and a factor."""
        K, G, order = self._problem(phases)
        negative = factorise_shifted(K, G, factor, order).negative
        return negative // 2 if K.shape[0] > len(self._free(phases)) else negative


def _once(values: np.ndarray, modes: np.ndarray) -> np.ndarray:
    """Of modes (n, 2 k) of which every load has an even number, in pairs one the other times a complex number, half."""
    kept: list[np.ndarray] = []
    at = 0
    while at < len(values):
        stop = int(np.searchsorted(values, values[at] * (1 + APART), side="right"))
        u, _, _ = np.linalg.svd(modes[:, at:stop], full_matrices=False)
        kept.append(u[:, : (stop - at + 1) // 2])
        at = stop
    return np.concatenate(kept, axis=1)[:, : len(values) // 2]


class PhaseSum:
    """A real symmetric matrix on the free unknowns of a cell: the sum of exp(i shift . phases) times real matrices."""

    def __init__(self, ties: Ties, A: sparse.csc_matrix):
        found: dict[tuple[int, ...], sparse.csc_matrix] = {}
        for left, p in zip(ties.maps, ties.turns, strict=True):
            for right, q in zip(ties.maps, ties.turns, strict=True):
                shift = tuple(int(k) for k in q - p)
                found[shift] = found.get(shift, 0) + (left.T @ A @ right)
        self.shifts = np.array(list(found))
        pattern = sum(abs(M) for M in found.values()).tocsc()
        pattern.sort_indices()
        self._pattern = pattern
        size = pattern.shape[0]
        place = np.repeat(np.arange(size), np.diff(pattern.indptr)) * size + pattern.indices
        self._data = np.zeros((len(found), len(place)))
        for row, M in zip(self._data, found.values(), strict=True):
            M = M.tocoo()
            row[np.searchsorted(place, M.col.astype(np.int64) * size + M.row)] = M.data

    def projected(self, V: np.ndarray) -> np.ndarray:
        """(shifts, k, k) the terms of the sum between vectors (free, k)."""
        P = self._pattern
        return np.stack(
            [V.T @ (sparse.csc_matrix((row, P.indices, P.indptr), shape=P.shape) @ V) for row in self._data]
        )

    def at(self, phases: Phases) -> sparse.csc_matrix:
        """The matrix of a pair of phases [rad]: Hermitian, real where it can be."""
        data = turned(self.shifts, phases) @ self._data
        return sparse.csc_matrix((data, self._pattern.indices, self._pattern.indptr), shape=self._pattern.shape)


def cell_loads(
    cell: Cell,
    load: LineLoads,
    phases: Phases,
    *,
    want: int = 4,
    held_lines: bool = False,
    root: Root = "mid",
    radius: float | None = None,
    fineness: Fineness = DEFAULT,
) -> tuple[CellLoad, ...]:
    """The lowest buckling loads of an endless wall at one pair of phases.

    Parameters
    ----------
    cell : Cell
        StringerCell, OrthogridCell or TriangleCell.
    load : LineLoads
        Ratio of the line loads N_x, N_theta (compression positive) and N_xtheta.
    phases : tuple of float
        (phi_x, phi_theta) [rad]: by which the cell one vector x, one vector theta of `cell.vectors` further is ahead.
    want : int
        How many load factors, each counted as often as it is.
    held_lines : bool
        Whether the skin is held in w along the ribs.
    root : {"mid", "offset"}
        Where the plates of the ribs start.
    radius : float or None
        Of a curved wall [m]; None is flat.
    fineness : Fineness

    Returns
    -------
    tuple of CellLoad
        Rising; the last may have more copies than were asked for.

    Examples
    --------
    A strip on held lines with weak stringers, k = 4:

    >>> import math
    >>> from shellbuck.engines.cell import CellRib, StringerCell
    >>> cell = StringerCell(1e-3, 70e9, 0.3, pitch=0.2, length=0.2, stringer=CellRib(1e-4, 1e-3))
    >>> (found,) = cell_loads(cell, LineLoads(axial=1.0), (math.pi, math.pi), want=1, held_lines=True)
    >>> D = 70e9 * 1e-9 / (12 * (1 - 0.3**2))
    >>> round(found.loads.axial * 0.2**2 / (math.pi**2 * D), 1), found.multiplicity
    (4.0, 1)
    """
    meshed = mesh_cell(cell, radius=radius, root=root, fineness=fineness)
    loaded = LoadedCell(meshed, load, held_lines=held_lines)
    values, _ = loaded.lowest(phases, want)
    return loaded.told(values)
