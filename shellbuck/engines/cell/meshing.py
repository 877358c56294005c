"""A cell as a mesh, and what moves together: sides by phases, rib roots on their arms, lines held by choice."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse

from ..fe import CARTESIAN, CYLINDRICAL, Shell, sheet
from ..fe.shell import TURN_R, TURN_THETA, TURN_X, U, V, W
from ..mesh import Divisions, Mesh, from_quads
from ..mesh.points import cells
from ..mesh.shapes import Blades
from ..mesh.stations import web_stations
from .shapes import Cell, CellRib, Root

_SNAP = 1e-7
"""Of a vector of the cell: places that differ by less are the same."""

_REAL = 1e-9
"""Of exp(i phi): what counts as real."""


@dataclass(frozen=True)
class Fineness:
    """How finely a cell is meshed.

    Parameters
    ----------
    half : int
        Elements per half side of a triangle.
    field : int
        Elements across the shorter width of a rectangular field; the longer one has elements as long.
    along : int or None
        Elements along the cell of a rectangular field instead.
    depth : int
        Elements over the depth of a rib, beside a thin one at root and free edge.
    layers : bool
        Whether there are those.
    order : int
    """

    half: int = 2
    field: int = 2
    along: int | None = None
    depth: int = 1
    layers: bool = True
    order: int = 4


DEFAULT = Fineness()


def _skin(cell: Cell, fineness: Fineness) -> tuple[np.ndarray, tuple[np.ndarray, np.ndarray]]:
    """Corners of the skin's elements (e, 2, 2, 2) in units of the vectors, and stops (n + 1,) along x and theta."""
    if cell.triangles:
        n = fineness.half
        stops = np.linspace(0.0, 1.0, 2 * n + 1)
        corners = np.array([[[0, 0], [1, 0], [0, 1]], [[1, 1], [0, 1], [1, 0]]], dtype=float)
        middle = np.broadcast_to(corners.mean(axis=1, keepdims=True), corners.shape)
        after, before = (corners + np.roll(corners, -k, axis=1) for k in (1, -1))
        quads = np.stack([np.stack([corners, after / 2], 2), np.stack([before / 2, middle], 2)], 3)  # t c j i 2
        quads = quads.reshape(-1, 2, 2, 2)
        s = np.linspace(0.0, 1.0, n + 1)
        ends = np.array([1 - s, s])
        return cells(np.einsum("eabk,ai,bj->eijk", quads, ends, ends)).reshape(-1, 2, 2, 2), (stops, stops)
    size = min(*cell.widths) / fineness.field
    x, y = (np.linspace(0.0, 1.0, max(1, round(float(np.linalg.norm(v)) / size)) + 1) for v in cell.vectors)
    if fineness.along is not None:
        x = np.linspace(0.0, 1.0, fineness.along + 1)
    grid = np.stack(np.meshgrid(x, y, indexing="ij"), -1)
    return cells(grid).reshape(-1, 2, 2, 2), (x, y)


def _heights(cell: Cell, fineness: Fineness, root: Root) -> dict[str, np.ndarray]:
    """Of every rib, heights (k,) above the middle of the skin from root to free edge [m], outward positive; ribs of one
    side that meet share them."""
    divisions = Divisions(depth=fineness.depth, layers=fineness.layers, order=fineness.order)
    found: dict[str, np.ndarray] = {}
    start = cell.thickness / 2 if root == "offset" else 0.0
    for side, sign in (("outside", 1.0), ("inside", -1.0)):
        here = {name: rib for name, (_, rib) in cell.lines().items() if rib.side == side}
        if not here:
            continue
        blades = [(_blade(rib), abs(cell.reach(rib)) - start) for rib in here.values()]
        heights, taken = web_stations(blades, divisions)
        levels = sign * (start + np.concatenate([[0.0], heights]))
        found |= {name: levels[: k + 1] for name, k in zip(here, taken, strict=True)}
    return found


def _blade(rib: CellRib) -> Blades:
    return Blades(1, rib.depth, rib.thickness, rib.side)


@dataclass(frozen=True, eq=False)
class Ties:
    """The map from free unknowns to all, sum of exp(i turn . phases) times `maps`.

    Parameters
    ----------
    turns : numpy.ndarray
        (k, 2) by how many vectors x and theta what follows lies further.
    maps : tuple of scipy.sparse.csc_matrix
        (unknowns, free) real, one a turn.
    owner : numpy.ndarray
        (free,) node of each free unknown.
    drift : numpy.ndarray
        Free unknowns to be held where all cells are alike, for a shift of the whole wall strains nothing.
    """

    turns: np.ndarray
    maps: tuple[sparse.csc_matrix, ...]
    owner: np.ndarray
    drift: np.ndarray

    def at(self, phases: tuple[float, float]) -> sparse.csc_matrix:
        """The map of a pair of phases [rad], real where it can be; nothing is held for drift."""
        return sum(c * T for c, T in zip(turned(self.turns, phases), self.maps, strict=True)).tocsc()


def turned(turns: np.ndarray, phases: tuple[float, float]) -> np.ndarray:
    """exp(i turn . phases), real where all of them are."""
    ahead = np.exp(1j * (turns @ np.asarray(phases, dtype=float)))
    return np.round(ahead.real) if np.abs(ahead.imag).max() < _REAL else ahead


def alike(phases: tuple[float, float]) -> bool:
    """Whether all cells do the same."""
    return bool(np.abs(np.exp(1j * np.asarray(phases, dtype=float)) - 1).max() < _REAL)


@dataclass(frozen=True, eq=False)
class MeshedCell:
    """A cell with its mesh.

    Parameters
    ----------
    cell : Cell
    shell : Shell
    root : {"mid", "offset"}
    radius : float or None
        Of the middle of the skin [m]; None is flat.
    places : numpy.ndarray
        (nodes, 3) in units of the vectors, and height above the middle of the skin [m].
    """

    cell: Cell
    shell: Shell
    root: Root
    radius: float | None
    places: np.ndarray

    @property
    def mesh(self) -> Mesh:
        return self.shell.mesh

    @cached_property
    def owners(self) -> tuple[np.ndarray, np.ndarray]:
        """Of every node, the node it follows (nodes,), itself inside the cell, and by how many vectors (nodes, 2) it
        lies further."""
        turns = np.floor(self.places[:, :2] + _SNAP).astype(np.int64)
        inside = self.places[:, :2] - turns
        key = np.column_stack([np.rint(inside / _SNAP), np.rint(self.places[:, 2] / (_SNAP * self._scale))])
        if self.root == "offset":  # roots of ribs stand where the skin ends and are nodes of their own
            key = np.column_stack([key, np.isin(np.arange(len(key)), self.mesh.nodes_of("skin"))])
        _, first, same = np.unique(key, axis=0, return_index=True, return_inverse=True)
        owner = first[same.ravel()]
        # the owner itself may lie on a far side: turns are counted from it
        return owner, turns - turns[owner]

    @cached_property
    def _scale(self) -> float:
        return float(np.abs(self.cell.vectors).max())

    @cached_property
    def roots(self) -> np.ndarray:
        """(k, 2) root nodes of ribs on arms, and the nodes of the skin below them."""
        if self.root == "mid":
            return np.empty((0, 2), dtype=np.int64)
        skin, ribs = self.mesh.nodes_of("skin"), self.mesh.nodes_of("rib")
        at = ribs[np.isclose(np.abs(self.places[ribs, 2]), self.cell.thickness / 2, rtol=1e-9, atol=0.0)]
        near = {tuple(np.rint(self.places[i, :2] / _SNAP).astype(int)): i for i in skin}
        below = [near[tuple(np.rint(self.places[i, :2] / _SNAP).astype(int))] for i in at]
        return np.column_stack([at, below])

    @cached_property
    def lines(self) -> np.ndarray:
        """(k,) nodes of the skin on the lines of the ribs."""
        if self.root == "offset":
            return np.unique(self.roots[:, 1])
        return np.intersect1d(self.mesh.nodes_of("skin"), self.mesh.nodes_of("rib"))

    def ties(self, *, held_lines: bool) -> Ties:
        """Which unknowns are free, and what follows them.

        Parameters
        ----------
        held_lines : bool
            Whether w is zero along the lines of the ribs' roots.
        """
        owner, turns = self.owners
        size, unknowns = self.shell.size, np.arange(6)
        used = np.unique(np.delete(owner, self.roots[:, 0]))
        free = (6 * used[:, None] + unknowns).ravel()
        if held_lines:
            free = np.setdiff1d(free, 6 * owner[self.lines] + W)
        # all cells alike: a shift strains nothing (around a curved wall it is a turn; outward it strains the hoop)
        shifts = np.array([U, V] if self.radius or held_lines else [U, V, W])
        one = owner[self.mesh.nodes_of("skin")[0]]
        kinds, kind = np.unique(turns, axis=0, return_inverse=True)
        kind = kind.ravel()
        arms, maps = self._arms(), []
        for k in range(len(kinds)):
            at = np.nonzero(kind == k)[0]
            rows, columns = ((6 * nodes[:, None] + unknowns).ravel() for nodes in (at, owner[at]))
            T = sparse.csr_matrix((np.ones(rows.size), (rows, columns)), shape=(size, size))
            maps.append((arms @ T).tocsc()[:, free])
        return Ties(kinds, tuple(maps), free // 6, np.nonzero(np.isin(free, 6 * one + shifts))[0])

    def _arms(self) -> sparse.csr_matrix:
        """Map that moves roots of ribs with the skin below: v + q x (height n), q."""
        size = self.shell.size
        root, skin = self.roots.T
        keep = np.ones(size)
        keep[(6 * root[:, None] + np.arange(6)).ravel()] = 0.0
        height, sign = self.places[root, 2], float(self.shell.map.handedness)
        entries = [(root, k, k, np.ones(len(root))) for k in (U, V, W, TURN_X, TURN_THETA, TURN_R)]
        entries += [(root, U, TURN_THETA, sign * height), (root, V, TURN_X, -sign * height)]
        rows = np.concatenate([6 * at + to for at, to, _, _ in entries])
        columns = np.concatenate([6 * skin + by for _, _, by, _ in entries])
        data = np.concatenate([value for *_, value in entries])
        return sparse.diags(keep, format="csr") + sparse.csr_matrix((data, (rows, columns)), shape=(size, size))


def mesh_cell(
    cell: Cell, *, radius: float | None = None, root: Root = "mid", fineness: Fineness = DEFAULT
) -> MeshedCell:
    """Mesh a cell.

    Parameters
    ----------
    cell : Cell
    radius : float or None
        Of the middle of the skin [m]; None is flat. A curved cell repeats along the axis and around it, for ever.
    root : {"mid", "offset"}
    fineness : Fineness
    """
    skin, stops = _skin(cell, fineness)
    quads = [np.concatenate([skin, np.zeros((*skin.shape[:3], 1))], -1)]
    part, parts = [np.zeros(len(skin), dtype=np.int64)], ["skin"]
    sections = {"skin": sheet(cell.youngs_modulus, cell.poissons_ratio, cell.thickness)}
    for name, (line, rib) in cell.lines().items():
        heights = _heights(cell, fineness, root)[name]
        start, stop = np.array(line, dtype=float)
        along = stops[0] if stop[0] != start[0] else stops[1]
        foot = start + along[:, None] * (stop - start)
        grid = np.concatenate(
            [
                np.broadcast_to(foot[:, None], (len(foot), len(heights), 2)),
                np.broadcast_to(heights[None, :, None], (len(foot), len(heights), 1)),
            ],
            -1,
        )
        webs = cells(grid).reshape(-1, 2, 2, 3)
        quads.append(webs)
        part.append(np.full(len(webs), len(parts)))
        parts.append(name)
        sections[name] = sheet(
            cell.youngs_modulus if rib.youngs_modulus is None else rib.youngs_modulus,
            cell.poissons_ratio if rib.poissons_ratio is None else rib.poissons_ratio,
            rib.thickness,
        )
    corners = np.concatenate(quads)
    scale = float(np.abs(cell.vectors).max())
    key = np.rint(corners.reshape(-1, 3) / (_SNAP * np.array([1.0, 1.0, scale])))
    if root == "offset":
        key = np.column_stack([key, np.repeat(np.concatenate(part) == 0, 4)])
    _, first, number = np.unique(key, axis=0, return_index=True, return_inverse=True)
    vertices, number = corners.reshape(-1, 3)[first], number.reshape(-1, 2, 2)
    if radius is not None:  # the skin's first direction is hoop there
        is_skin = np.concatenate(part) == 0
        number[is_skin] = np.swapaxes(number[is_skin], 1, 2)
    points = np.column_stack([vertices[:, :2] @ cell.vectors, vertices[:, 2]])
    if radius is not None:
        points = np.column_stack([points[:, 0], points[:, 1] / radius, radius + points[:, 2]])
    mesh = from_quads(
        points, number, fineness.order, part=np.concatenate(part), parts=tuple(parts), coordinates="cartesian"
    )
    places = _back(mesh.points, cell, radius)
    return MeshedCell(cell, Shell(mesh, sections, CARTESIAN if radius is None else CYLINDRICAL), root, radius, places)


def _back(points: np.ndarray, cell: Cell, radius: float | None) -> np.ndarray:
    flat = points if radius is None else np.column_stack([points[:, 0], points[:, 1] * radius, points[:, 2] - radius])
    return np.column_stack([flat[:, :2] @ np.linalg.inv(cell.vectors), flat[:, 2]])
