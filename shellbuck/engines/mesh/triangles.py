"""Barrels with a triangular grid of ribs: every triangle is three quadrilaterals about its centroid.

Corners of triangles have whole numbers (around, along): in a hoop grid a quarter of a side and half of a row, in an
axial one half of a column and a quarter of a side. Cut rows at the ends leave triangles and quadrilaterals. Multiplied
by 12 n^2, all corners of elements, n to a half side, are whole numbers too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from ...core.errors import Refusal
from .lattice import Lattice, Web
from .points import cells
from .shapes import Divisions, Extent, TriangularRibs
from .straight import web_levels

Corner = tuple[int, int]


@dataclass
class Pieces:
    """Triangles, quadrilaterals and ribs between corners; ribs by the name of their part."""

    triangles: list[tuple[Corner, ...]] = field(default_factory=list)
    quads: list[tuple[Corner, ...]] = field(default_factory=list)
    ribs: dict[str, list[tuple[Corner, Corner]]] = field(default_factory=dict)

    def triangle(self, tip: Corner, left: Corner, right: Corner, cut: int | None) -> None:
        """A triangle; `cut` is the number along of a line that cuts its tip off, or None."""
        if cut is None:
            self.triangles.append((tip, left, right))
        else:
            a, b = _on(tip, left, cut), _on(tip, right, cut)
            self.triangles.append((tip, a, b))
            self.quads.append((a, left, right, b))

    def rib(self, part: str, start: Corner, stop: Corner, cut: int | None = None) -> None:
        """A rib between two corners, in two pieces where a line cuts it."""
        stops = (start, stop) if cut is None else (start, _on(start, stop, cut), stop)
        self.ribs.setdefault(part, []).extend(pairwise(stops))

    def arrays(self) -> tuple[np.ndarray, np.ndarray]:
        """(t, 3, 2) triangles and (q, 4, 2) quadrilaterals."""
        return np.array(self.triangles), np.array(self.quads, dtype=np.int64).reshape(-1, 4, 2)


def _on(start: Corner, stop: Corner, along: int) -> Corner:
    """Where the straight line between two corners passes the number `along`."""
    return start[0] + (stop[0] - start[0]) * (along - start[1]) // (stop[1] - start[1]), along


def hoop_pieces(bays: int, rows: int, cuts: tuple[int, ...], *, in_plane: bool) -> Pieces:
    """Pieces of a hoop grid; a side is 4 numbers around, a row 2 along. The sides of a sector run along ribs."""
    pieces = Pieces()
    for j in range(rows):
        low, high, shift = 2 * j, 2 * j + 2, 2 * (j % 2)
        cut = low + 1 if low + 1 in cuts else None
        for i in range(bays):
            a, b = (4 * i + shift, low), (4 * i + 4 + shift, low)
            c, d = (4 * i + 2 - shift, high), (4 * i + 6 - shift, high)
            top, foot = (c, b) if j % 2 == 0 else (d, a)
            pieces.triangle(top, a, b, cut)
            pieces.triangle(foot, d, c, cut)
            one = a if j % 2 == 0 else c
            turn, other = (top, foot) if j % 2 == 0 else (foot, top)
            pieces.rib("rib inclined", one, turn, cut)
            pieces.rib("rib inclined", turn, other, cut)
            if j:
                pieces.rib("rib hoop", a, b)
            if j == rows - 1 and in_plane:
                pieces.rib("rib hoop in plane", c, d)
    return pieces


def axial_pieces(bays: int, rows: int, cuts: tuple[int, ...]) -> Pieces:
    """Pieces of an axial grid; a column is 2 numbers around, half a side 2 along. Triangles at the ends are halves."""
    pieces = Pieces()
    end = 2 * rows
    first, last = (1 if 1 in cuts else None), (end - 1 if end - 1 in cuts else None)
    for column in range(2 * bays):
        even, odd = 2 * (column + column % 2), 2 * (column + 1 - column % 2)
        for base, other, start in ((even, odd, 0), (odd, even, 2)):
            for y in range(start, end - 3, 4):
                lower, tip, upper = (base, y), (other, y + 2), (base, y + 4)
                if y + 4 == end and last is not None:
                    pieces.triangle(upper, lower, tip, last)
                else:
                    pieces.triangle(lower, tip, upper, first if y == 0 else None)
        pieces.triangle((odd, 2), (even, 0), (odd, 0), first)
        base, other = (even, odd) if (end - 2) % 4 == 0 else (odd, even)
        pieces.triangle((base, end - 2), (other, end), (base, end), last)
        for y in range(0, end, 2):
            here, there = (even, odd) if y % 4 == 0 else (odd, even)
            start, stop = sorted([(here, y), (there, y + 2)])
            pieces.rib("rib inclined", start, stop, first if y == 0 else last if y + 2 == end else None)
        line = 2 * column
        stops = sorted({0, *range(0 if column % 2 == 0 else 2, end + 1, 4), end, *cuts})
        for y, z in pairwise(stops):
            pieces.rib("rib axial", (line, y), (line, z))
    return pieces


def _pieces(shape: TriangularRibs, divisions: Divisions, extent: Extent) -> Pieces:
    bays, rows = extent.sector or shape.around, shape.row_count
    if extent.half:
        if rows % 2:
            raise Refusal.of(
                "mesh-shape",
                "with an odd number of rows the middle of the length is no plane of symmetry",
                "half",
                f"{rows} rows",
                "an even number",
                "mesh the whole length",
            )
        rows //= 2
    low, high = (1,), (() if extent.half else (2 * rows - 1,))
    if shape.family == "hoop":
        return hoop_pieces(bays, rows, low + high if divisions.ends else (), in_plane=extent.half)
    if divisions.ends and rows < 3:
        raise Refusal.of(
            "mesh-shape", "too few rows to cut those at the ends", "ends", f"{rows} half sides", "3 or more"
        )
    return axial_pieces(bays, rows, low + high if divisions.ends else ())


def triangular_lattice(shape: TriangularRibs, divisions: Divisions, extent: Extent) -> Lattice:
    """The lattice of a barrel with a triangular grid."""
    pieces, n = _pieces(shape, divisions, extent), divisions.around
    fine = 12 * n * n
    radii, levels = web_levels({"rib": shape.blades}, shape, divisions)
    triangles, quads = pieces.arrays()
    skin = np.concatenate([_thirds(triangles, n), _fourths(quads, n)])
    webs = tuple(Web(part, _runs(np.array(ribs), n), levels["rib"]) for part, ribs in pieces.ribs.items())
    numbers = 4 * shape.around
    return Lattice(
        skin,
        webs,
        2 * math.pi / (numbers * fine),
        np.array([shape.row / (2 * fine)]),
        radii,
        4 * (extent.sector or shape.around) * fine,
        extent.sector is None,
    )


def triangular_counts(shape: TriangularRibs, divisions: Divisions, extent: Extent) -> tuple[int, int, int]:
    """Corners, edges and elements of the lattice, from its pieces."""
    pieces, n = _pieces(shape, divisions, extent), divisions.around
    period = 4 * shape.around if extent.sector is None else 0
    depth = len(web_levels({"rib": shape.blades}, shape, divisions)[1]["rib"]) - 1
    triangles, quads = pieces.arrays()
    ribs = np.concatenate([np.array(each) for each in pieces.ribs.values()])
    sides = [np.stack([p, np.roll(p, -1, axis=1)], axis=2).reshape(-1, 2, 2) for p in (triangles, quads)]
    t, q = len(triangles), len(quads)
    v, e = _distinct(np.concatenate(sides), period)
    rib_v, rib_e = _distinct(ribs, period)
    up = rib_v + rib_e * (2 * n - 1)  # lines that stand on the skin
    corners = v + e * (2 * n - 1) + t * (3 * n * n - 3 * n + 1) + q * (2 * n - 1) ** 2 + depth * up
    edges = e * 2 * n + t * (6 * n * n - 3 * n) + q * (8 * n * n - 4 * n) + depth * (up + rib_e * 2 * n)
    return corners, edges, n * n * (3 * t + 4 * q) + depth * rib_e * 2 * n


def _distinct(lines: np.ndarray, period: int) -> tuple[int, int]:
    """How many corners and how many lines there are, each counted once."""
    u = lines[..., 0] % period if period else lines[..., 0]
    codes = np.sort(u + lines[..., 1] * (int(u.max()) + 1), axis=1)
    return len(np.unique(codes)), len(np.unique(codes, axis=0))


def _oriented(polygons: np.ndarray) -> np.ndarray:
    """The same polygons, all counter-clockwise seen from outside with the hoop direction to the right."""
    a, b, c = polygons[:, 0], polygons[:, 1], polygons[:, 2]
    turn = (b - a)[:, 0] * (c - b)[:, 1] - (b - a)[:, 1] * (c - b)[:, 0]
    return np.where((turn > 0)[:, None, None], polygons, polygons[:, ::-1])


def _thirds(triangles: np.ndarray, n: int) -> np.ndarray:
    """(3 t n^2, 2, 2, 2) elements of triangles (t, 3, 2): three quadrilaterals of n by n each."""
    corner = _oriented(triangles)
    following, before = np.roll(corner, -1, axis=1), np.roll(corner, 1, axis=1)
    middle = np.broadcast_to(4 * corner.sum(axis=1, keepdims=True), corner.shape)
    quads = np.stack([12 * corner, 6 * (corner + following), middle, 6 * (before + corner)], axis=2)
    return _split(quads.reshape(-1, 4, 2), n)


def _fourths(quads: np.ndarray, n: int) -> np.ndarray:
    """(4 q n^2, 2, 2, 2) elements of quadrilaterals (q, 4, 2): 2 n by 2 n each."""
    return _split(3 * _oriented(quads), 2 * n)


def _split(quads: np.ndarray, n: int) -> np.ndarray:
    """(q n^2, 2, 2, 2) corners, in units of 1/n^2, of quadrilaterals (q, 4, 2) cut into n by n."""
    s = np.arange(n + 1)
    ends = np.array([n - s, s])
    square = quads[:, [[0, 3], [1, 2]]]
    grid = np.einsum("qabc,ai,bj->qijc", square, ends, ends)
    return cells(grid).reshape(-1, 2, 2, 2)


def _runs(ribs: np.ndarray, n: int) -> np.ndarray:
    """(2 n k, 2, 2) pieces of ribs (k, 2, 2)."""
    s = np.arange(2 * n + 1)
    points = 6 * n * np.einsum("kac,as->ksc", ribs, np.array([2 * n - s, s]))
    return np.stack([points[:, :-1], points[:, 1:]], axis=2).reshape(-1, 2, 2)
