"""One sector of a barrel of alike sectors, each moving like the one before but for a phase.

Around a barrel of N alike sectors a mode with n waves is U(theta + 2 pi/N) = U(theta) exp(2 pi i n/N). On one sector
U = a + i b: two real fields, (a, b) as one vector of twice the unknowns. Both a and b are modes of the barrel, the same
one a quarter of a wave apart, and (-b, a) is found beside (a, b) at the same load: the two load factors that the whole
barrel has as well. With a phase of 0 or pi the problem is real: one field, and loads that may stand alone. What n
stands for is n and all that differ from it, or from -n, by a multiple of N.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from .constraints import side_ties
from .content import WaveContent, resolved_waves, skin_w, subspace_mac
from .shell import Shell

_TURN = 1e-9
"""1 - |cos| of a phase that counts as 0 or pi."""
_SAME_MODE = 0.99
"""Likeness of two modes at one load above which one is the other turned by a quarter wave."""


def real_phase(phase: float) -> float:
    """exp(i phase) where it is real: 1.0, all sectors alike, or -1.0, every one the opposite of the one before; else
    0.0."""
    c = math.cos(phase)
    return math.copysign(1.0, c) if abs(c) > 1 - _TURN else 0.0


class Sides:
    """The unknowns of a sector, of which those of the right side lead those of the left one by a phase.

    Where exp(i phase) is real, one real field is the whole problem: the other would find every load a second time, as
    the barrel does not have it. Else there are two, with loads in pairs as the barrel has them.

    Parameters
    ----------
    shell : Shell
        Of a sector, with `left` and `right` in its mesh.
    held : numpy.ndarray
        Numbers of unknowns that are zero, in both fields.
    """

    def __init__(self, shell: Shell, held: np.ndarray):
        self.size = shell.size
        left, right = side_ties(shell.mesh).T
        self.inside = np.setdiff1d(np.arange(self.size), np.union1d(held, right))
        column = np.full(self.size, -1)
        column[self.inside] = np.arange(self.inside.size)
        moved = column[left] >= 0
        # what is held on one side is held on the other
        self.column, self.right = column[left[moved]], right[moved]

    def map(self, phase: float) -> tuple[sparse.csc_matrix, np.ndarray]:
        """Map from the free unknowns to all of one field or both (fields times unknowns, free), and the node (free,)
        that each free unknown belongs to."""
        inside, right = self._choices()
        if sign := real_phase(phase):
            return (inside + sign * right).tocsc(), self.inside // 6
        c, s = math.cos(phase) * right, math.sin(phase) * right
        T = sparse.bmat([[inside + c, -s], [s, inside + c]], format="csc")
        return T, np.tile(self.inside // 6, 2)

    def parts(self, A: sparse.csc_matrix) -> SideParts:
        """What of a symmetric matrix of all unknowns every phase shares."""
        inside, right = self._choices()
        across = (inside.T @ A @ right).tocsc()
        return SideParts(
            (inside.T @ A @ inside + right.T @ A @ right).tocsc(),
            (across + across.T).tocsc(),
            (across - across.T).tocsc(),
        )

    def _choices(self) -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
        """(unknowns, free) places of the free unknowns, and of those that follow them on the right side."""
        count, ones = self.inside.size, np.ones
        inside = sparse.csc_matrix((ones(count), (self.inside, np.arange(count))), shape=(self.size, count))
        right = sparse.csc_matrix((ones(self.right.size), (self.right, self.column)), shape=(self.size, count))
        return inside, right


@dataclass(frozen=True, eq=False)
class SideParts:
    """A matrix of a sector as A + cos(phase) S + i sin(phase) D; A and S symmetric, D antisymmetric, all real."""

    A: sparse.csc_matrix
    S: sparse.csc_matrix
    D: sparse.csc_matrix

    def at(self, phase: float) -> sparse.csc_matrix:
        """The real symmetric matrix of one field or both."""
        if sign := real_phase(phase):
            return (self.A + sign * self.S).tocsc()
        same, other = self.A + math.cos(phase) * self.S, math.sin(phase) * self.D
        return sparse.bmat([[same, -other], [other, same]], format="csc")


def fields_of(mode: np.ndarray) -> np.ndarray:
    """The two fields (unknowns, 2) of a mode (2 unknowns,)."""
    return mode.reshape(2, -1).T


def turned(mode: np.ndarray, phase: float) -> np.ndarray:
    """The mode (2 unknowns,) times exp(i phase): on the sector that comes so much later."""
    a, b = mode.reshape(2, -1)
    c, s = math.cos(phase), math.sin(phase)
    return np.concatenate([c * a - s * b, s * a + c * b])


def _amplitudes(
    shell: Shell, mode: np.ndarray, n: int, length: float, angle: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Half-waves m (a,), signed waves (b,) that repeat like n, and the complex shares' roots (a, b) of sin(m pi x/L)
    exp(i n theta) in the mode, over the root of its w^2."""
    field = skin_w(shell, fields_of(mode))
    m, most = resolved_waves(shell, length)
    sectors = round(2 * math.pi / angle)
    reach = max(1, (most + n) // sectors)
    waves = n + sectors * np.arange(-reach, reach + 1)
    x, theta = field.points.T
    along = np.sin(m * (np.pi / length) * x[:, None])
    around = np.exp(-1j * theta[:, None] * waves)
    w = field.w @ np.array([1, 1j])
    found = along.T @ (around * (field.weights * w)[:, None])
    area = field.weights.sum()
    return m, waves, found / np.sqrt(area / 2 * (field.weights @ np.abs(w) ** 2))


def repeating_content(
    shell: Shell, mode: np.ndarray, n: int, length: float, angle: float, rows: int = 8
) -> WaveContent:
    """Shares of the skin's w^2 by (m, n), as `content.wave_content`, of a mode (2 unknowns,) of a repeating sector.

    Parameters
    ----------
    shell : Shell
    mode : numpy.ndarray
    n : int
        Waves around, from which the phase was made.
    length : float
        Of the barrel [m].
    angle : float
        Of the sector [rad].
    rows : int
        Of `largest`.
    """
    m, waves, amplitudes = _amplitudes(shell, mode, n, length, angle)
    shares: dict[tuple[int, int], float] = {}
    for (i, j), share in np.ndenumerate(np.abs(amplitudes) ** 2):
        key = (int(m[i]), abs(int(waves[j])))
        shares[key] = shares.get(key, 0.0) + float(share)
    largest = tuple((*key, share) for key, share in sorted(shares.items(), key=lambda item: -item[1])[:rows])
    return WaveContent(*largest[0], largest)


def standard_turn(
    shell: Shell, line_loads: np.ndarray, modes: np.ndarray, n: int, length: float, angle: float, near: float
) -> np.ndarray:
    """Modes (2 unknowns, k) in a phase that does not depend on how they were found.

    The leading wave of a mode's first field has its crest, outward, at theta = 0; the second of two modes of one load
    (to `near`, relative) is the first a quarter of a wave on. Rising `line_loads` (k,).
    """
    out = np.array(modes, dtype=float)
    weights = skin_w(shell, fields_of(out[:, 0])).weights
    i = 0
    while i < out.shape[1]:
        _, _, amplitudes = _amplitudes(shell, out[:, i], n, length, angle)
        leading = amplitudes.ravel()[np.argmax(np.abs(amplitudes))]
        out[:, i] = turned(out[:, i], -float(np.angle(leading)))
        if i + 1 < out.shape[1] and line_loads[i + 1] - line_loads[i] < near * abs(line_loads[i]):
            pair, other = _plane(shell, out[:, i]), _plane(shell, out[:, i + 1])
            if subspace_mac(pair, other, np.tile(weights, 2)).min() > _SAME_MODE:
                out[:, i + 1] = turned(out[:, i], math.pi / 2)
                i += 1
        i += 1
    return out


def _plane(shell: Shell, mode: np.ndarray) -> np.ndarray:
    """w of a mode and of the same a quarter wave on, both fields one above the other (2 k, 2)."""
    w = skin_w(shell, fields_of(mode)).w
    return np.column_stack([w.T.ravel(), np.concatenate([-w[:, 1], w[:, 0]])])


def repeating_likeness(shell: Shell, modes: np.ndarray, n: int, shape: tuple[np.ndarray, np.ndarray]) -> float:
    """Subspace MAC of modes (2 unknowns, k) with the wave W(x) exp(i n theta), the smaller of the two.

    Parameters
    ----------
    shell : Shell
    modes : numpy.ndarray
        Of one load, the second like the first a quarter of a wave on, or one alone.
    n : int
    shape : (numpy.ndarray, numpy.ndarray)
        x [m], rising, and W there.
    """
    field = skin_w(shell, fields_of(modes[:, 0]))
    x, theta = field.points.T
    W = np.interp(x, *shape)
    c, s = W * np.cos(n * theta), W * np.sin(n * theta)
    wave = np.column_stack([np.concatenate([c, s]), np.concatenate([-s, c])])
    return float(subspace_mac(_plane(shell, modes[:, 0]), wave, np.tile(field.weights, 2)).min())
