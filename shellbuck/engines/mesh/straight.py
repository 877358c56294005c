"""Barrels with stringers and rings, or bare."""

from __future__ import annotations

import math

import numpy as np

from .lattice import Lattice, Web
from .shapes import Blades, Divisions, Extent, StraightRibs
from .stations import axial_stations, web_stations


def straight_lattice(shape: StraightRibs, divisions: Divisions, extent: Extent) -> Lattice:
    """The lattice of a barrel with straight ribs: numbers around count elements, numbers along stations."""
    bays = extent.sector or shape.around
    n = bays * divisions.around
    x, ring_lines = axial_stations(shape, divisions, extent.half)
    radii, levels = web_levels(
        {k: b for k, b in (("stringer", shape.stringers), ("ring", shape.rings)) if b is not None}, shape, divisions
    )
    u, y = np.arange(n), np.arange(len(x) - 1)
    skin = _blocks(u, y)
    webs = []
    if shape.stringers is not None:
        at = stringer_lines(bays, divisions, extent)
        webs.append(Web("stringer", _pieces(at, y, along=True), levels["stringer"]))
    if shape.rings is not None:
        in_plane = ring_lines == len(x) - 1
        for part, lines in (("ring", ring_lines[~in_plane]), ("ring in plane", ring_lines[in_plane])):
            if len(lines):
                webs.append(Web(part, _pieces(u, lines, along=False), levels["ring"]))
    turn = 2 * math.pi / (shape.around * divisions.around)
    return Lattice(skin, tuple(webs), turn, x, radii, n, extent.sector is None)


def straight_counts(shape: StraightRibs, divisions: Divisions, extent: Extent) -> tuple[int, int, int]:
    """Corners, edges and elements of the lattice, without making it."""
    bays = extent.sector or shape.around
    x, ring_lines = axial_stations(shape, divisions, extent.half)
    n, m = bays * divisions.around, len(x) - 1
    lines = n + (extent.sector is not None)
    corners, edges, elements = lines * (m + 1), n * (m + 1) + lines * m, n * m
    ribs = {k: b for k, b in (("stringer", shape.stringers), ("ring", shape.rings)) if b is not None}
    depth = {k: len(v) - 1 for k, v in web_levels(ribs, shape, divisions)[1].items()}
    rings = len(ring_lines)
    if "stringer" in depth:
        d = bays * depth["stringer"]
        corners, edges, elements = corners + d * (m + 1), edges + d * (2 * m + 1), elements + d * m
    if "ring" in depth:
        d = rings * depth["ring"]
        corners, edges, elements = corners + d * lines, edges + d * (n + lines), elements + d * n
    if len(depth) == 2 and shape.stringers.side == shape.rings.side:
        shared = bays * rings * min(depth.values())
        corners, edges = corners - shared, edges - shared
    return corners, edges, elements


def web_levels(
    ribs: dict[str, Blades], shape: StraightRibs, divisions: Divisions
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Radii of all levels [m], the skin's first, and the levels of every family from its root to its free edge."""
    radii, levels = [np.array([shape.radius])], {}
    for side, sign in (("outside", 1.0), ("inside", -1.0)):
        here = {key: blades for key, blades in ribs.items() if blades.side == side}
        if not here:
            continue
        start = sum(len(r) for r in radii)
        heights, taken = web_stations([(b, b.reach(shape.thickness)) for b in here.values()], divisions)
        radii.append(shape.radius + sign * heights)
        levels |= {key: np.concatenate([[0], start + np.arange(k)]) for key, k in zip(here, taken, strict=True)}
    return np.concatenate(radii), levels


def stringer_lines(bays: int, divisions: Divisions, extent: Extent) -> np.ndarray:
    """Numbers around at which stringers stand."""
    first = divisions.around // 2 if extent.cut == "between" else 0
    return first + divisions.around * np.arange(bays)


def _blocks(u: np.ndarray, y: np.ndarray) -> np.ndarray:
    """(n m, 2, 2, 2) elements of the skin from their lowest numbers, hoop direction first."""
    corner = np.stack(np.meshgrid(u, y, indexing="ij"), axis=-1).reshape(-1, 1, 1, 2)
    step = np.stack(np.meshgrid([0, 1], [0, 1], indexing="ij"), axis=-1)
    return corner + step


def _pieces(u: np.ndarray, y: np.ndarray, *, along: bool) -> np.ndarray:
    """(k, 2, 2) pieces of ribs from these numbers, one on along the axis or around."""
    start = np.stack(np.meshgrid(u, y, indexing="ij"), axis=-1).reshape(-1, 1, 2)
    return start + np.array([[0, 0], [0, 1] if along else [1, 0]])
