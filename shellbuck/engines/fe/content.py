"""What a mode of a mesh holds: waves of the skin, energy by part, its standard phase, likeness.

Waves are counted on the radial displacement w of the skin, outward positive, by Gauss quadrature inside the
elements: the mesh may be of any kind. m counts axial half-waves, n full waves around. If all sectors of a barrel do
the same ("repeat"), n is a multiple of 2 pi/angle; if the sides of the sector are mirror planes, the mode is "even" or
"odd" about both and n is a multiple of pi/angle. A mode that is both has the same n either way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

import numpy as np
from numpy.polynomial import legendre

from .geometry import bilinear
from .shapes import nodes, tabulate
from .shell import TURN_R, TURN_THETA, TURN_X, Shell, U, V, W

Sides = Literal["repeat", "even", "odd"]

DEGENERATE = 1e-6
"""Relative distance of two loads below which their modes are a pair."""
_CHUNK = 4_000_000
"""Numbers in the largest array of a step."""
_SAME = 1e-9


class SkinField(NamedTuple):
    """w on the skin: points (k, 2) x [m] and theta [rad], weights (k,) [m^2], w (k,) or (k, modes)."""

    points: np.ndarray
    weights: np.ndarray
    w: np.ndarray


@dataclass(frozen=True)
class WaveContent:
    """Leading (m, n), its share of the skin's w^2, and the largest shares as rows (m, n, share); zeros without w."""

    m: int
    n: int
    share: float
    largest: tuple[tuple[int, int, float], ...]


def skin_w(shell: Shell, mode: np.ndarray, points: int | None = None) -> SkinField:
    """Radial displacement of the skin at Gauss points of its elements, and exact weights: they add up to its area.

    Parameters
    ----------
    shell : Shell
        In cylindrical coordinates.
    mode : numpy.ndarray
        (unknowns,) or (unknowns, modes).
    points : int or None
        Gauss points per direction and element; None takes 2 order + 2, which integrates w
        times a wave of p half-waves to an element to 1e-4.
    """
    mesh = shell.mesh
    on = mesh.of_part("skin")
    if mesh.coordinates != "cylindrical" or not len(on):
        raise ValueError("waves are counted on the skin of a barrel")
    s, g = legendre.leggauss(points or 2 * mesh.order + 2)
    at = np.stack(np.meshgrid(s, s, indexing="ij"), -1).reshape(-1, 2)
    shape = tabulate(mesh.order, at).shape[:, 0]
    values = np.asarray(mode, dtype=float).reshape(len(mesh.points), 6, -1)
    found, step = [], max(1, _CHUNK // shape.size)
    for part in (on[i : i + step] for i in range(0, len(on), step)):
        c, slope, _ = bilinear(mesh.corners[part], at)
        area = np.abs(np.linalg.det(slope[..., :2])) * c[..., 2] * np.outer(g, g).ravel()
        # the displacement is interpolated as a vector: nodes around the point have other radial directions
        turn = c[:, :, None, 1] - bilinear(mesh.corners[part], nodes(mesh.order).at)[0][:, None, :, 1]
        d = values[mesh.elements[part]]
        w = (shape * np.cos(turn)) @ d[:, :, W] + (shape * np.sin(turn)) @ d[:, :, V]
        found.append((c[..., :2].reshape(-1, 2), area.ravel(), w.reshape(-1, values.shape[2])))
    where, weights, w = (np.concatenate(rows) for rows in zip(*found, strict=True))
    return SkinField(where, weights, w[:, 0] if np.ndim(mode) == 1 else w)


def wave_content(
    shell: Shell,
    mode: np.ndarray,
    length: float,
    angle: float = 2 * math.pi,
    *,
    sides: Sides | None = None,
    most: tuple[int, int] | None = None,
    rows: int = 8,
) -> WaveContent:
    """Shares of the skin's w^2 by (m, n): sin(m pi x/length) times cos and sin of n theta.

    The series is complete: all shares add up to 1.

    Parameters
    ----------
    shell : Shell
    mode : numpy.ndarray
        (unknowns,).
    length : float
        Of the barrel [m]. A mesh of half of it ends in a plane of symmetry: m is odd.
    angle : float
        Of the meshed sector [rad], a whole part of the circumference (between mirror planes, of half of it).
    sides : {"repeat", "even", "odd"} or None
        None sees it from what is zero at the sides.
    most : (int, int) or None
        Largest m and n; None takes what the elements resolve, p half-waves to the largest.
    rows : int
        Of `largest`.
    """
    field = skin_w(shell, mode[:, None])
    total = float(field.weights @ field.w[:, 0] ** 2)
    if not total > 0:
        return WaveContent(0, 0, 0.0, ())
    series = _Series.of(shell, length, angle, sides or _sides(shell, mode, angle), most)
    shares = np.sum(series.coefficients(field)[..., 0] ** 2, axis=2) / total
    order = np.argsort(-shares, axis=None, kind="stable")[:rows]
    places = zip(*np.unravel_index(order, shares.shape), strict=True)
    largest = tuple((int(series.m[a]), int(series.n[b]), float(shares[a, b])) for a, b in places)
    return WaveContent(*largest[0], largest)


@dataclass(frozen=True, eq=False)
class _Series:
    """Half-waves m (a,), waves n (b,), kinds of waves around in use, start of theta [rad], the barrel's length [m]."""

    m: np.ndarray
    n: np.ndarray
    kinds: tuple[np.ufunc, ...]
    start: float
    length: float

    @classmethod
    def of(cls, shell: Shell, length: float, angle: float, sides: Sides, most: tuple[int, int] | None) -> _Series:
        """The waves that a part of a barrel can hold and its mesh resolves."""
        corners = shell.mesh.corners[shell.mesh.of_part("skin")]
        m, most_n = resolved_waves(shell, length, most)
        circle = 2 * math.pi if sides == "repeat" else math.pi
        step = round(circle / angle)
        if step < 1 or abs(step * angle / circle - 1) > 1e-6:
            raise ValueError("the sector is no whole part of the circumference")
        n = np.arange(step if sides == "odd" else 0, max(step, most_n) + 1, step)
        kinds = {"repeat": (np.cos, np.sin), "even": (np.cos,), "odd": (np.sin,)}[sides]
        return cls(m, n, kinds, float(corners[..., 1].min()), length)

    def coefficients(self, field: SkinField) -> np.ndarray:
        """(a, b, kinds, modes) projections of w (k, modes) on waves of unit mean square integral [m^2]."""
        a, b, modes = len(self.m), len(self.n), field.w.shape[1]
        found = np.zeros((a, b * len(self.kinds) * modes))
        step = max(1, _CHUNK // (a + b * len(self.kinds) * modes))
        for i in range(0, len(field.weights), step):
            x, theta = field.points[i : i + step, :, None].transpose(1, 0, 2)
            along = np.sin(self.m * (np.pi / self.length) * x)
            around = np.stack([wave(self.n * (theta - self.start)) for wave in self.kinds], -1)
            weighted = field.weights[i : i + step, None] * field.w[i : i + step]
            found += along.T @ (around[..., None] * weighted[:, None, None]).reshape(len(x), -1)
        mean_square = np.where(self.n == 0, 0.5, 0.25) * field.weights.sum()
        return found.reshape(a, b, -1, modes) / np.sqrt(mean_square)[:, None, None]


def resolved_waves(shell: Shell, length: float, most: tuple[int, int] | None = None) -> tuple[np.ndarray, int]:
    """Half-waves m (a,) along and the largest n around that a mesh of a barrel, or of half of it, can show.

    Raises
    ------
    ValueError
        When the mesh has neither the whole length nor half of it.
    """
    corners = shell.mesh.corners[shell.mesh.of_part("skin")]
    span = np.ptp(corners[..., 0])
    half = abs(span / length - 0.5) < 1e-6
    if not half and abs(span / length - 1) > 1e-6:
        raise ValueError(f"a mesh {span:.6g} m long is neither the whole nor half of {length:.6g} m")
    reach = [math.pi * shell.mesh.order / np.ptp(corners[..., k], axis=(1, 2)).max() for k in (0, 1)]
    most_m, most_n = most or (max(1, int(reach[0] * length / math.pi)), int(reach[1]))
    return np.arange(1, most_m + 1, 2 if half else 1), most_n


def _sides(shell: Shell, mode: np.ndarray, angle: float) -> Sides:
    """How the mode of a sector goes on beyond it: what is zero at both sides says whether they are mirrors."""
    mesh = shell.mesh
    theta = mesh.corners[mesh.of_part("skin")][..., 1]
    if abs(np.ptp(theta) / angle - 1) > _SAME or angle > 2 * math.pi * (1 - _SAME):
        return "repeat"  # the whole barrel, or sides that are no straight lines
    off = mesh.points[:, 1] - theta.min()
    d = np.abs(mode.reshape(-1, 6))
    scale = np.repeat([d[:, :3].max(), d[:, 3:].max()], 3)
    zero = d[(np.abs(off) < _SAME) | (np.abs(off - angle) < _SAME)].max(axis=0) <= _SAME * scale
    if zero[[V, TURN_X, TURN_R]].all() and d[:, V].any():
        return "even"  # a field of w alone does not tell
    return "odd" if zero[[U, W, TURN_THETA]].all() else "repeat"


def standard_phase(
    shell: Shell, line_loads: np.ndarray, modes: np.ndarray, length: float, angle: float = 2 * math.pi
) -> np.ndarray:
    """Modes (unknowns, k) in a phase and with a sign that do not depend on how they were found.

    Two modes whose loads (k,), rising, differ by less than DEGENERATE are turned in their plane until the leading wave
    of the first is a cosine with its crest, outward, at the smallest theta of the skin, that of the second the sine;
    each keeps the mean of the pair's mean squares of w. A single mode gets its largest |w| outward, of equal ones the
    one at the smallest theta, then x. Three or more modes at one load, and two that are no pair of cosine and sine, get
    signs only. `length`, `angle` as in `wave_content`.
    """
    modes = np.array(modes, dtype=float)
    apart = [b - a >= DEGENERATE * abs(b) for a, b in pairwise(line_loads)]
    for some in np.split(np.arange(modes.shape[1]), np.nonzero(apart)[0] + 1):
        turned = _turned_pair(shell, modes[:, some], length, angle) if len(some) == 2 else None
        modes[:, some] = modes[:, some] * [outward(shell, modes[:, i]) for i in some] if turned is None else turned
    return modes


def _turned_pair(shell: Shell, pair: np.ndarray, length: float, angle: float) -> np.ndarray | None:
    if any(_sides(shell, mode, angle) != "repeat" for mode in pair.T):
        return None
    field = skin_w(shell, pair)
    gram = (field.w.T * field.weights) @ field.w
    if not np.linalg.det(gram) > 1e-12 * np.trace(gram) ** 2:
        return None
    to_unit = np.linalg.inv(np.linalg.cholesky(gram)).T
    c = _Series.of(shell, length, angle, "repeat", None).coefficients(field) @ to_unit
    cosine, sine = c[np.unravel_index(np.argmax(np.sum(c**2, axis=(2, 3))), c.shape[:2])]
    if abs(cosine[0] * sine[1] - cosine[1] * sine[0]) < 0.1 * (cosine @ cosine + sine @ sine):
        return None
    second = sine / np.linalg.norm(sine)
    first = np.array([second[1], -second[0]])
    first *= np.sign(first @ cosine)
    return pair @ to_unit @ np.column_stack([first, second]) * math.sqrt(np.trace(gram) / 2)


def outward(shell: Shell, mode: np.ndarray) -> float:
    """1 or -1, which makes the largest |w| outward; nearly equal ones count as equal."""
    on = shell.mesh.nodes_of("skin")
    w = mode[6 * on + W]
    crests = np.nonzero(np.abs(w) >= 0.999 * np.abs(w).max())[0]
    x, theta = shell.mesh.points[on[crests], :2].T
    return -1.0 if w[crests[np.lexsort((x, np.round(theta, 9)))[0]]] < 0 else 1.0


def subspace_mac(first: np.ndarray, second: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Likeness of two sets of modes: squared cosines of the angles between the spaces they span.

    Parameters
    ----------
    first, second : numpy.ndarray
        (k, a) and (k, b) values of w at the same points, columns independent.
    weights : numpy.ndarray
        (k,) area of the points [m^2].

    Returns
    -------
    numpy.ndarray
        (min(a, b),) falling, in [0, 1]: 1 where a direction of one space lies in the other.

    Examples
    --------
    >>> pair = np.eye(3)[:, :2]
    >>> subspace_mac(pair, pair @ [[0.6, -0.8], [0.8, 0.6]], np.ones(3)).round(12).tolist()
    [1.0, 1.0]
    """
    bases = []
    for values in (first, second):
        scaled = values * np.sqrt(weights)[:, None]
        size = np.linalg.norm(scaled, axis=0)
        q, s, _ = np.linalg.svd(scaled / np.where(size > 0, size, 1.0), full_matrices=False)
        if not size.min() > 0 or s[-1] < 1e-9 * s[0]:
            raise ValueError("modes to be compared must be independent")
        bases.append(q)
    return np.clip(np.linalg.svd(bases[0].T @ bases[1], compute_uv=False) ** 2, 0.0, 1.0)
