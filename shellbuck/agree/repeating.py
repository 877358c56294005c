"""Modes of one bay that repeats with a phase: standard form, content, likeness, and a piece of the barrel to draw.

A solved part with `waves` has modes of two fields (`fe.repeating`), each of one of these waves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from ..fe.content import DEGENERATE, WaveContent, standard_phase
from ..fe.repeating import fields_of, repeating_content, repeating_likeness, standard_turn
from ..mesh import Extent, Mesh, build_mesh
from ..records import MeshMode, ModeShape
from .meshing import Solved

_MOST_NODES = 150_000
"""Of a piece that is drawn."""
_SAME_PLACE = 1e-7
"""Distance over the radius within which nodes are one."""


@dataclass(frozen=True, eq=False)
class Drawn:
    """What is drawn or written of a solved part: a mesh, the modes (unknowns, k) on it, and in words which piece of the
    barrel it is, where one bay repeats."""

    mesh: Mesh
    modes: np.ndarray
    words: str = ""

    def displacement(self, i: int) -> np.ndarray:
        """(nodes, 3) Cartesian displacement of a mode over its largest radial one; the axis is the third direction."""
        u, v, w = self.modes[:, i].reshape(-1, 6)[:, :3].T / np.abs(self.modes[2::6, i]).max()
        theta = self.mesh.points[:, 1]
        c, s = np.cos(theta), np.sin(theta)
        return np.column_stack([w * c - v * s, w * s + v * c, u])


def drawn(solved: Solved) -> Drawn:
    """The mesh with its modes; of a bay that repeats, as many bays as make one wave around of the lowest mode, or as
    can be drawn."""
    if not solved.waves:
        return Drawn(solved.mesh, solved.modes)
    wave = math.ceil(solved.part.bays / max(1, solved.waves[0]))
    bays = max(1, min(wave, _MOST_NODES // len(solved.mesh.points)))
    mesh = build_mesh(solved.shape, solved.part.plan.divisions, Extent(sector=bays))
    node, turn = _places(solved.mesh, mesh, solved.part.angle, bays)
    modes = np.empty((mesh.unknowns, solved.modes.shape[1]))
    for i, n in enumerate(solved.waves):
        a, b = fields_of(solved.modes[:, i]).T.reshape(2, -1, 6)
        phase = n * solved.part.angle * turn[:, None]
        modes[:, i] = (np.cos(phase) * a[node] - np.sin(phase) * b[node]).ravel()
    whole = ", one wave around of the lowest mode" if bays == wave and solved.waves[0] else ""
    return Drawn(mesh, modes, f"{bays} of {solved.part.bays} bays drawn{whole}")


def _places(sector: Mesh, piece: Mesh, angle: float, bays: int) -> tuple[np.ndarray, np.ndarray]:
    """(nodes,) of a piece of many bays: the node of the sector that stands there, and after how many turns."""
    radius = sector.points[:, 2].mean()
    tree = cKDTree(sector.points * [1, radius, 1])
    node, turn = np.full(len(piece.points), -1), np.zeros(len(piece.points), dtype=int)
    for j in range(bays):
        away, at = tree.query((piece.points - [0, j * angle, 0]) * [1, radius, 1])
        here = (away < _SAME_PLACE * radius) & (node < 0)
        node[here], turn[here] = at[here], j
    if np.any(node < 0):
        raise AssertionError("sectors tile the barrel")
    return node, turn


def standardised(solved: Solved, length: float) -> np.ndarray:
    """The modes in a phase that does not depend on how they were found, wave by wave."""
    modes, waves = solved.modes.copy(), np.array(solved.waves)
    for n in np.unique(waves):
        on = np.nonzero(waves == n)[0]
        loads, angle = solved.line_loads[on], solved.part.angle
        if n:
            modes[:, on] = standard_turn(solved.shell, loads, modes[:, on], int(n), length, angle, DEGENERATE)
        else:  # one real field
            size = solved.shell.size
            modes[:size, on] = standard_phase(solved.shell, loads, modes[:size, on], length, angle)
    return modes


def content_of(solved: Solved, i: int, length: float) -> WaveContent:
    """Shares of w^2 by (m, n)."""
    return repeating_content(solved.shell, solved.modes[:, i], solved.waves[i], length, solved.part.angle)


def likeness_of(solved: Solved, modes: tuple[MeshMode, ...], shape: ModeShape) -> float | None:
    """Subspace MAC of the lowest general mode and its twin with a Ritz mode; None where n differs."""
    i = next((i for i, mode in enumerate(modes) if mode.general), None)
    if i is None or modes[i].n != shape.n:
        return None
    signed = shape.n if (shape.n - solved.waves[i]) % solved.part.bays == 0 else -shape.n
    return repeating_likeness(solved.shell, solved.modes[:, i : i + 1], signed, (shape.x, shape.w))


def repeating_words(solved: Solved) -> str:
    """What was solved, in words."""
    part = solved.part
    waves = ", ".join(str(n) for n in part.waves)
    return (
        f"the mesh with ribs is one bay of {part.bays} that repeats with a phase: it holds n = {waves}, the lowest of "
        f"Ritz, and what differs from them by {part.bays}; other waves around were not solved with ribs as they are"
    )
