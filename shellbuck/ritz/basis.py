"""Trial functions along the axis: polynomials on pieces, w with continuous slope, u and v continuous.

On a piece, u and v have two nodal values and integrated Legendre functions; w has the four Hermite functions and twice
integrated Legendre functions. Both vanish (with slope, for w) at the ends of the piece, so pieces couple through
four nodal values u, v, w, w' only and every matrix is banded.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from numpy.polynomial import legendre


@cache
def _series(degree: int) -> tuple[list[np.ndarray], list[np.ndarray]]:
    """Legendre series of the continuous functions (u, v) and of those with continuous slope (w) on [-1, 1]; nodal
    functions come first and last."""
    bubbles = [legendre.legint(np.eye(k)[k - 1], lbnd=-1) * np.sqrt((2 * k - 1) / 2) for k in range(2, degree + 1)]
    linear = [np.array([0.5, -0.5]), np.array([0.5, 0.5])]
    cubic = [legendre.poly2leg(p) for p in ([0.5, -0.75, 0, 0.25], [0.25, -0.25, -0.25, 0.25],
                                            [0.5, 0.75, 0, -0.25], [-0.25, -0.25, 0.25, 0.25])]  # fmt: skip
    deep = []
    for k in range(4, degree + 1):
        twice = legendre.legint(legendre.legint(np.eye(k - 1)[k - 2], lbnd=-1), lbnd=-1)
        deep.append(twice * np.sqrt((2 * k - 3) / 2))
    return [linear[0], *bubbles, linear[1]], [cubic[0], cubic[1], *deep, cubic[2], cubic[3]]


def _values(series: list[np.ndarray], s: np.ndarray, order: int) -> np.ndarray:
    """(functions, points) values or derivatives."""
    return np.array([legendre.legval(s, legendre.legder(c, order) if order else c) for c in series])


@cache
def _shapes(degree: int, points: int) -> tuple[np.ndarray, ...]:
    """Quadrature weights (q,), and per function (degree + 1, q): C0 value, derivative; C1 value, first, second
    derivative, all on [-1, 1]."""
    s, weights = legendre.leggauss(points)
    c0, c1 = _series(degree)
    return weights, _values(c0, s, 0), _values(c0, s, 1), _values(c1, s, 0), _values(c1, s, 1), _values(c1, s, 2)


_FIRST = 0.4
_GROWTH = 1.3


def graded(length: float, piece: float) -> np.ndarray:
    """Ends of the pieces of one stretch of wall, short at its two ends where layers form.

    Parameters
    ----------
    length : float
        Of the stretch [m].
    piece : float
        Largest piece [m]; the outermost has 0.4 of it, each further one is 1.3 times as long.

    Returns
    -------
    numpy.ndarray
        (e + 1,) from 0 to `length`, symmetric about the middle.

    Examples
    --------
    >>> graded(1.0, 0.3).round(3).tolist()
    [0.0, 0.125, 0.288, 0.5, 0.712, 0.875, 1.0]
    >>> graded(0.1, 0.3).round(3).tolist()
    [0.0, 0.025, 0.05, 0.075, 0.1]
    """
    rising, size = [], _FIRST * piece
    while size < piece and 2 * (sum(rising) + size) < length:
        rising.append(size)
        size *= _GROWTH
    if len(rising) < 2:
        return np.linspace(0.0, length, 5)
    rest = length - 2 * sum(rising)
    inner = max(1, math.ceil(rest / piece - 1e-9))
    if rest < rising[-1] / 2:  # too little is left for a piece of its own
        return length * np.concatenate([[0.0], np.cumsum([*rising, *rising[::-1]])]) / (2 * sum(rising))
    return np.concatenate([[0.0], np.cumsum([*rising, *[rest / inner] * inner, *rising[::-1]])])


@dataclass(frozen=True, eq=False)
class Pieces:
    """Pieces of the axis with their trial functions at quadrature points.

    Parameters
    ----------
    ends : numpy.ndarray
        (e + 1,) rising positions of the piece ends, from 0 to L [m].
    degree : int
        Polynomial degree, 4 or more.
    """

    ends: np.ndarray
    degree: int

    @property
    def count(self) -> int:
        return self.ends.size - 1

    @property
    def lengths(self) -> np.ndarray:
        return np.diff(self.ends)

    @cached_property
    def distinct(self) -> tuple[Pieces, np.ndarray]:
        """Pieces of every length that occurs, once each, and (e,) which of them each piece is."""
        lengths = np.round(self.lengths / self.lengths[0], 9)
        _, first, again = np.unique(lengths, return_index=True, return_inverse=True)
        return Pieces(np.concatenate([[0.0], np.cumsum(self.lengths[first])]), self.degree), again

    @property
    def points(self) -> int:
        """Quadrature points a piece: exact for products of two functions and a coefficient of the same degree."""
        return self.degree + 1 + (self.degree + 1) // 2

    @property
    def stations(self) -> np.ndarray:
        """(e, q) positions of the quadrature points [m]."""
        s, _ = legendre.leggauss(self.points)
        middle = (self.ends[1:] + self.ends[:-1]) / 2
        return middle[:, None] + self.lengths[:, None] / 2 * s

    @cached_property
    def functions(self) -> dict[str, np.ndarray]:
        """Weights "dx" (e, q) and functions "u", "u'", "w", "w'", "w''" (e, degree + 1, q), physical derivatives.

        The slope functions of w are scaled so that their unknown is the physical slope w'.
        """
        weights, n0, d0, n1, d1, dd1 = _shapes(self.degree, self.points)
        half = self.lengths[:, None, None] / 2
        slope = np.ones((self.count, self.degree + 1, 1))
        slope[:, [1, self.degree], :] = half
        return {
            "dx": weights * self.lengths[:, None] / 2,
            "u": np.broadcast_to(n0, (self.count, *n0.shape)), "u'": d0 / half,
            "w": n1 * slope, "w'": d1 * slope / half, "w''": dd1 * slope / half**2,
        }  # fmt: skip

    def profile(self, x: np.ndarray, per_piece: int = 6) -> tuple[np.ndarray, np.ndarray]:
        """Stations (s,) [m] and u, v, w (3, s) there of the unknowns x (all of them, free and held)."""
        s = np.linspace(-1.0, 1.0, per_piece + 1)
        c0, c1 = _series(self.degree)
        n0, n1 = _values(c0, s, 0), _values(c1, s, 0)
        numbers, _, _ = self.numbering()
        local = x[numbers].reshape(self.count, 3, self.degree + 1)
        slope = np.ones((self.count, self.degree + 1))
        slope[:, [1, self.degree]] = self.lengths[:, None] / 2
        fields = np.stack([local[:, 0] @ n0, local[:, 1] @ n0, (local[:, 2] * slope) @ n1])
        stations = self.ends[:-1, None] + self.lengths[:, None] * (s + 1) / 2
        flat = np.concatenate([fields[:, :, :-1].reshape(3, -1), fields[:, -1, -1:]], 1)
        return np.append(stations[:, :-1].ravel(), self.ends[-1]), flat

    def numbering(self) -> tuple[np.ndarray, dict[str, np.ndarray], int]:
        """Unknown numbers: (e, 3 (degree + 1)) of a piece's [u, v, w]; of the two ends by name; how many there are.

        Nodes and inner functions alternate along the axis, so that the matrices are banded.
        """
        p, e = self.degree, self.count
        inner = 2 * (p - 1) + (p - 3)
        stride = 4 + inner
        first = np.arange(e)[:, None] * stride
        u = np.concatenate([first, first + 4 + np.arange(p - 1), first + stride], axis=1)
        v = np.concatenate([first + 1, first + 4 + (p - 1) + np.arange(p - 1), first + stride + 1], axis=1)
        w = np.concatenate(
            [first + 2, first + 3, first + 4 + 2 * (p - 1) + np.arange(p - 3), first + stride + 2, first + stride + 3],
            axis=1,
        )
        last = e * stride
        ends = {name: np.array([i, last + i]) for i, name in enumerate(("u", "v", "w", "w'"))}
        return np.concatenate([u, v, w], axis=1), ends, last + 4
