"""Modes of one bay that repeats with a phase: standard form, content, likeness, and a piece of the barrel to draw.

A solved part with `harmonics` has modes of two fields (`fe.repeating`), each of one of these harmonics.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from ...core.records import ModeShape
from ..fe.content import DEGENERATE, WaveContent, outward, skin_w, standard_phase, subspace_mac
from ..fe.repeating import fields_of, real_phase, repeating_content, repeating_likeness, standard_turn
from ..mesh import Extent, Mesh, build_mesh
from .solving import Solved

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
    if not solved.harmonics:
        return Drawn(solved.mesh, solved.modes)
    wave = math.ceil(solved.part.bays / max(1, solved.harmonics[0]))
    bays = max(1, min(wave, _MOST_NODES // len(solved.mesh.points)))
    mesh = build_mesh(solved.shape, solved.part.plan.divisions, Extent(sector=bays))
    node, turn = _places(solved.mesh, mesh, solved.part.angle, bays)
    modes = np.empty((mesh.unknowns, solved.modes.shape[1]))
    for i, n in enumerate(solved.harmonics):
        a, b = fields_of(solved.modes[:, i]).T.reshape(2, -1, 6)
        phase = n * solved.part.angle * turn[:, None]
        modes[:, i] = (np.cos(phase) * a[node] - np.sin(phase) * b[node]).ravel()
    whole = ", one wave around of the lowest mode" if bays == wave and solved.harmonics[0] else ""
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
    modes, harmonics = solved.modes.copy(), np.array(solved.harmonics)
    size = solved.shell.size
    for k in np.unique(harmonics):
        on = np.nonzero(harmonics == k)[0]
        loads, angle = solved.line_loads[on], solved.part.angle
        if k == 0:  # one real field
            modes[:size, on] = standard_phase(solved.shell, loads, modes[:size, on], length, angle)
        elif real_phase(k * angle):  # one real field too: a turn by a phase would leave a part of it
            modes[:size, on] *= [outward(solved.shell, modes[:size, i]) for i in on]
        else:
            modes[:, on] = standard_turn(solved.shell, loads, modes[:, on], int(k), length, angle, DEGENERATE)
    return modes


def content_of(solved: Solved, i: int, length: float) -> WaveContent:
    """Shares of w^2 by (m, n)."""
    return repeating_content(solved.shell, solved.modes[:, i], solved.harmonics[i], length, solved.part.angle)


def likeness_of(solved: Solved, i: int, shape: ModeShape) -> float:
    """Subspace MAC of a mode, and its twin where it has one, with a Ritz mode of its n."""
    k, angle = solved.harmonics[i], solved.part.angle
    if not real_phase(k * angle):
        signed = shape.n if (shape.n - k) % solved.part.bays == 0 else -shape.n
        return repeating_likeness(solved.shell, solved.modes[:, i : i + 1], signed, (shape.x, shape.w))
    field = skin_w(solved.shell, solved.modes[: solved.shell.size, [i]])
    return float(subspace_mac(field.w, shape_on(shape, field.points), field.weights).min())


def shape_on(shape: ModeShape, points: np.ndarray) -> np.ndarray:
    """(points, 1 or 2) w of a Ritz mode and its twin at (x, theta)."""
    x, theta = points.T
    W = np.interp(x, shape.x, shape.w)
    return np.column_stack([W * np.cos(shape.n * theta)] + ([W * np.sin(shape.n * theta)] if shape.n else []))


def repeating_words(solved: Solved) -> str:
    """What was solved and counted, in words."""
    part, scanned = solved.part, solved.scanned
    solved_for = ", ".join(str(k) for k in sorted(scanned.solved))
    others = (
        f"in the {len(scanned.empty)} others none lies below the last mode listed, by one count each"
        if scanned.empty
        else "there are no others"
    )
    return (
        f"the mesh with ribs is one bay of {part.bays} that repeats with a phase; harmonic k holds n = k and what "
        f"differs from k or -k by {part.bays}: solved for k = {solved_for}, {others}"
    )
