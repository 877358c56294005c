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
from scipy.special import roots_legendre

KINDS = ("u", "u'", "u", "u'", "w", "w'", "w''")
"""Table of the seven kinds of values a barrel is made of: u, u', v, v', w, w', w''."""


@cache
def tables(degree: int) -> dict[str, np.ndarray]:
    """Legendre coefficients (functions, degree + 1) on [-1, 1] of the functions with continuous value "u" and with
    continuous slope "w", and of their derivatives; nodal functions come first and last.

    Inner functions are integrals of normed Legendre polynomials; that of P_k is (P_(k+1) - P_(k-1))/(2k + 1).
    """
    p = degree
    once = np.zeros((p + 1, p + 2))  # integral from -1 of the normed P_k
    k = np.arange(1, p)
    norm = np.sqrt((2 * k + 1) / 2)
    once[k, k + 1], once[k, k - 1] = norm / (2 * k + 1), -norm / (2 * k + 1)
    once = once[:, : p + 1]
    u, du = np.zeros((2, p + 1, p + 1))
    u[0, :2], u[p, :2], du[0, 0], du[p, 0] = (0.5, -0.5), (0.5, 0.5), -0.5, 0.5
    u[1:p], du[k, k] = once[1:p], norm
    w, dw, ddw = np.zeros((3, p + 1, p + 1))
    cubics = ([0.5, -0.75, 0, 0.25], [0.25, -0.25, -0.25, 0.25], [0.5, 0.75, 0, -0.25], [-0.25, -0.25, 0.25, 0.25])
    for i, cubic in zip((0, 1, p - 1, p), cubics, strict=True):
        series = legendre.poly2leg(cubic)
        w[i, :4], dw[i, :3], ddw[i, :2] = series, legendre.legder(series), legendre.legder(series, 2)
    k = np.arange(2, p - 1)
    norm = np.sqrt((2 * k + 1) / 2)
    dw[k] = once[k]
    ddw[k, k] = norm
    w[k, k + 2] = norm / (2 * k + 1) / (2 * k + 3)
    w[k, k] = -norm / (2 * k + 1) * (1 / (2 * k + 3) + 1 / (2 * k - 1))
    w[k, k - 2] = norm / (2 * k + 1) / (2 * k - 1)
    return {"u": u, "u'": du, "w": w, "w'": dw, "w''": ddw}


@cache
def gauss(points: int) -> tuple[np.ndarray, np.ndarray]:
    """Gauss points and weights on [-1, 1]."""
    return roots_legendre(points)


def sampled_at(table: np.ndarray, s: np.ndarray) -> np.ndarray:
    """(functions, points) values of functions given by their Legendre coefficients."""
    return table @ legendre.legvander(s, table.shape[1] - 1).T


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

    @property
    def points(self) -> int:
        """Quadrature points a piece: exact for products of two functions and a coefficient of the same degree."""
        return self.degree + 1 + (self.degree + 1) // 2

    @property
    def stations(self) -> np.ndarray:
        """(e, q) positions of the quadrature points [m]."""
        s, _ = gauss(self.points)
        middle = (self.ends[1:] + self.ends[:-1]) / 2
        return middle[:, None] + self.lengths[:, None] / 2 * s

    @cached_property
    def functions(self) -> dict[str, np.ndarray]:
        """Weights "dx" (e, q) and functions "u", "u'", "w", "w'", "w''" (e, degree + 1, q), physical derivatives.

        The slope functions of w are scaled so that their unknown is the physical slope w'.
        """
        s, weights = gauss(self.points)
        half = self.lengths[:, None, None] / 2
        slope = np.ones((self.count, self.degree + 1, 1))
        slope[:, [1, self.degree], :] = half
        values = {name: sampled_at(table, s) for name, table in tables(self.degree).items()}
        return {
            "dx": weights * self.lengths[:, None] / 2,
            "u": np.broadcast_to(values["u"], (self.count, *values["u"].shape)),
            "u'": values["u'"] / half,
            "w": values["w"] * slope,
            "w'": values["w'"] * slope / half,
            "w''": values["w''"] * slope / half**2,
        }

    def profile(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Stations (s,) [m] and u, v, w (3, s) there of the unknowns x (all of them, free and held)."""
        s = np.linspace(-1.0, 1.0, 6 * max(1, (self.degree - 6) // 2) + 1)  # about two a boundary-layer length
        n0, n1 = (sampled_at(tables(self.degree)[name], s) for name in ("u", "w"))
        numbers, _, _ = self.numbering()
        local = x[numbers].reshape(self.count, 3, self.degree + 1)
        slope = np.ones((self.count, self.degree + 1))
        slope[:, [1, self.degree]] = self.lengths[:, None] / 2
        fields = np.stack([local[:, 0] @ n0, local[:, 1] @ n0, (local[:, 2] * slope) @ n1])
        stations = self.ends[:-1, None] + self.lengths[:, None] * (s + 1) / 2
        flat = np.concatenate([fields[:, :, :-1].reshape(3, -1), fields[:, -1, -1:]], 1)
        return np.append(stations[:, :-1].ravel(), self.ends[-1]), flat

    def bent(self, local: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Stations (s,) [m], both ends of every piece among them, and w, w', w'' (3, s) there of the unknowns of w
        (e, degree + 1)."""
        s = np.linspace(-1.0, 1.0, 4 * self.degree + 1)
        half = self.lengths[:, None] / 2
        scaled = local * np.ones((self.count, 1))
        scaled[:, [1, self.degree]] *= half
        fields = [
            (scaled @ sampled_at(tables(self.degree)[name], s)) / half**order
            for order, name in enumerate(("w", "w'", "w''"))
        ]
        stations = self.ends[:-1, None] + self.lengths[:, None] * (s + 1) / 2
        return stations.ravel(), np.stack([field.ravel() for field in fields])

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
