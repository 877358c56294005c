"""One mode of many designs: Donnell as polynomials in n^2, Sanders written out, and what Sanders cannot fall below.

**Donnell.** With the compatibility of the field, b^2 e_x + a^2 e_y - a b g = a^2 W/R, one multiplier eliminates the
membrane strains: with x = a^2, y = b^2, D* = D - B A^-1 B

    N = D*(x, y)/x + (x/R + c A^-1 B k)^2/(x q) + N_theta y/x,     q = c A^-1 c,  c = (y, x, -ab),  k = (x, y, 2ab)

a sum of positive terms, equal to the condensed 3x3 of `loads.py` (own derivation; tests compare both). For one m the
three brackets are quadratics in n^2, so a table over n is three small matrix products.

**Sanders from below.** Its strains are Donnell's with W's hoop and twist curvature times phi = 1 - 1/n^2 (where
b >= a), plus terms of order e/R. Let K be Sanders' energy, e^T A* e <= K with A* = A - B D^-1 B, and h = A*^-1. The
terms e/R change the root of the energy by epsilon sqrt(K) at most, epsilon^2 <= (terms of D) (terms of h)/R^2, so
K (1 + epsilon)^2 >= S' W^2 with S' the Donnell form above at the changed curvatures. The work of the axial load is
a^2 W^2 + f^2 with f = v e - a W/n (b >= a) or v e (a > b) and |v e| <= mu sqrt(K). Hence with N' = S'/a^2

    1/N_Sanders <= (1 + epsilon)^2 (1 + 1/n^2)/N' + 2 mu (1 + epsilon) sqrt(1 + 1/n^2)/(sqrt(N') sqrt(n^2 + 1)) + mu^2

(without the terms in n where a > b). Pressure adds N_theta (r^2 + f^2); f is dropped, r is bounded like the strains.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ...core.errors import Refusal
from ...model.walls.doors import SYMMETRY
from ...model.walls.stiffness import ORTHOTROPY, SmearedWall


class Terms(NamedTuple):
    """Stiffness terms about the skin middle, each (N,) [N/m], [N], [N m]: orthotropic about axis and hoop."""

    A11: np.ndarray
    A12: np.ndarray
    A22: np.ndarray
    A66: np.ndarray
    B11: np.ndarray
    B12: np.ndarray
    B22: np.ndarray
    B66: np.ndarray
    D11: np.ndarray
    D12: np.ndarray
    D22: np.ndarray
    D66: np.ndarray

    @classmethod
    def of(cls, A: np.ndarray, B: np.ndarray, D: np.ndarray) -> Terms:
        """Terms of stacks (N, 3, 3).

        Raises
        ------
        Refusal
            When a block is not symmetric, or a wall couples shear with stretching or bending.
        """
        stacks = [np.asarray(M, float).reshape(-1, 3, 3) for M in (A, B, D)]
        A, B, D = np.broadcast_arrays(*stacks)
        for key, M in (("A", A), ("B", B), ("D", D)):
            apart, size = np.abs(M - np.swapaxes(M, 1, 2)).max((1, 2), initial=0.0), np.abs(M).max((1, 2), initial=0.0)
            if (apart > SYMMETRY * size).any():
                raise Refusal.of("stiffness-symmetry", "the block is not symmetric", key)
        scale = np.sqrt(np.concatenate([np.diagonal(M, axis1=1, axis2=2) for M in (A, D)], axis=1))
        for M, rows, columns in ((A, 0, 0), (B, 0, 3), (B, 3, 0), (D, 3, 3)):
            for j in (0, 1):
                coupling = np.abs(M[:, j, 2]) / (scale[:, rows + j] * scale[:, columns + 2])
                if not np.all(coupling <= ORTHOTROPY):
                    raise Refusal.of(
                        "shear-coupling",
                        "a wall couples shear with stretching or bending, or is not positive definite",
                        "wall",
                    )
        at = ((0, 0), (0, 1), (1, 1), (2, 2))
        return cls(*(np.ascontiguousarray(M[:, i, j]) for M in (A, B, D) for i, j in at))

    def wall(self, i: int) -> SmearedWall:
        """The wall of design i."""
        blocks = np.zeros((3, 3, 3))
        for k in range(3):
            a11, a12, a22, a66 = (float(term[i]) for term in self[4 * k : 4 * k + 4])
            blocks[k] = [[a11, a12, 0.0], [a12, a22, 0.0], [0.0, 0.0, a66]]
        return SmearedWall(*blocks)


class Reduced(NamedTuple):
    """What the polynomials are made of, each (N,): A^-1, A^-1 B, D* = D - B A^-1 B."""

    i11: np.ndarray
    i12: np.ndarray
    i22: np.ndarray
    i66: np.ndarray
    b11: np.ndarray
    b12: np.ndarray
    b21: np.ndarray
    b22: np.ndarray
    b66: np.ndarray
    d11: np.ndarray
    d12: np.ndarray
    d22: np.ndarray
    d66: np.ndarray

    @classmethod
    def of(cls, t: Terms) -> Reduced:
        det = t.A11 * t.A22 - t.A12**2
        i11, i12, i22, i66 = t.A22 / det, -t.A12 / det, t.A11 / det, 1 / t.A66
        b11, b12 = i11 * t.B11 + i12 * t.B12, i11 * t.B12 + i12 * t.B22
        b21, b22 = i12 * t.B11 + i22 * t.B12, i12 * t.B12 + i22 * t.B22
        return cls(
            i11,
            i12,
            i22,
            i66,
            b11,
            b12,
            b21,
            b22,
            t.B66 * i66,
            t.D11 - (t.B11 * b11 + t.B12 * b21),
            t.D12 - (t.B11 * b12 + t.B12 * b22),
            t.D22 - (t.B12 * b12 + t.B22 * b22),
            t.D66 - t.B66 * t.B66 * i66,
        )

    @property
    def least(self) -> np.ndarray:
        """Least reduced bending stiffness over all wave directions (N,) [N m]."""
        mixed = 2 * (self.d12 + 2 * self.d66)
        curvature = self.d11 + self.d22 - mixed
        share = np.clip((2 * self.d22 - mixed) / (2 * np.where(curvature > 0, curvature, 1.0)), 0.0, 1.0)
        inner = self.d11 * share**2 + mixed * share * (1 - share) + self.d22 * (1 - share) ** 2
        ends = np.minimum(self.d11, self.d22)
        return np.where(curvature > 0, np.minimum(ends, inner), ends)


class Forms(NamedTuple):
    """What the polynomials of one m are made of, each (N,) or with m's axes after it; see `row`."""

    x: np.ndarray  # (pi/L)^2, times m^2 in a row
    p0: np.ndarray
    p1: np.ndarray
    p2: np.ndarray
    tension: np.ndarray
    q0: np.ndarray
    q1: np.ndarray
    q2: np.ndarray
    q3: np.ndarray
    g0: np.ndarray
    g1: np.ndarray
    g2: np.ndarray
    shift_p: np.ndarray
    shift_q: np.ndarray

    @classmethod
    def of(cls, r: Reduced, R: np.ndarray, L: np.ndarray, N_theta: np.ndarray) -> Forms:
        R2 = 1 / R**2
        return cls(
            (np.pi / L) ** 2,
            r.d11,
            (2 * r.d12 + 4 * r.d66) * R2,
            r.d22 * R2 * R2,
            N_theta * R2,
            1 / R,
            r.b21,
            (r.b11 + r.b22 - 2 * r.b66) * R2,
            r.b12 * R2 * R2,
            r.i22,
            (2 * r.i12 + r.i66) * R2,
            r.i11 * R2 * R2,
            (2 * r.d12 + 8 * r.d66) * R2,
            (r.b22 - 2 * r.b66) * R2,
        )


def donnell_row(f: Forms, m: np.ndarray, out: np.ndarray | None = None) -> np.ndarray:
    """Coefficients (9, ...) of 1, n^2, n^4 of P, Q, G for one m: a mode's load is P + Q^2/G [N/m].

    `f` and `m` have one shape; `out` may hold more rows (see `sanders_row`).
    """
    x = f.x * (m * m)
    c = np.empty((9, *np.shape(x))) if out is None else out
    c[0] = f.p0 * x
    c[1] = f.p1 + f.tension / x
    c[2] = f.p2 / x
    c[3] = (f.q0 + f.q1 * x) * x
    c[4] = f.q2 * x
    c[5] = f.q3
    xx = x * x
    c[6] = f.g0 * (xx * x)
    c[7] = f.g1 * xx
    c[8] = f.g2 * x
    return c


def sanders_row(f: Forms, m: np.ndarray) -> np.ndarray:
    """Rows 0 to 8 of `donnell_row`, then P and Q (9 to 14) with W's curvatures as Sanders takes them where b >= a.

    1/n^2 is dropped from that P, which lowers it.
    """
    c = np.empty((15, *np.shape(m)))
    donnell_row(f, m, c)
    x = f.x * (m * m)
    c[9] = c[0] + c[2] - f.shift_p - 2 * f.tension / x
    c[10] = c[1] - 2 * c[2]
    c[11] = c[2]
    c[12] = c[3] - f.shift_q * x
    c[13] = c[4] - c[5]
    c[14] = c[5]
    return c


class Gap(NamedTuple):
    """How far Sanders may lie below Donnell's form, each (N,): (1 + epsilon)^2 and mu, for b >= a and for a > b."""

    many: np.ndarray
    few: np.ndarray
    mu_many: np.ndarray
    mu_few: np.ndarray

    @classmethod
    def of(cls, t: Terms, R: np.ndarray, N_theta: np.ndarray) -> Gap:
        s = Reduced.of(Terms(*t[8:], *t[4:8], *t[:4]))  # A and D change places: its d are those of A - B D^-1 B
        held = s.d11 * s.d22 - s.d12**2
        h11, h22, h66 = s.d22 / held, s.d11 / held, 1 / s.d66
        # k_y holds e_y/R, k_xy (2 s e_y - g/2)/R with s = a/b <= 1; r holds e_y/n, n >= 2
        many = ((t.D22 + 8 * t.D66) * h22 + t.D66 * h66 / 2) / R**2 + N_theta * h22 / 4
        # k_y holds (s g - s^2 e_x)/R, k_xy (1.5 g - 2 s e_x)/R with s = b/a < 1; r holds (g - s e_x)/(a R), a R > n
        few = ((2 * t.D22 + 8 * t.D66) * h11 + (2 * t.D22 + 4.5 * t.D66) * h66) / R**2 + N_theta * (h11 + h66) / 2
        return cls((1 + np.sqrt(many)) ** 2, (1 + np.sqrt(few)) ** 2, np.sqrt(h22 + h66 / 4), np.sqrt(h11 + h66 / 4))

    def few_below(self, U: np.ndarray) -> np.ndarray:
        """Donnell load (N,) [N/m] from which no mode with a > b has a Sanders load below U; inf where there is none."""
        rest = 1 - self.mu_few**2 * U
        return np.where(rest > 0, self.few * U / np.where(rest > 0, rest, 1.0), np.inf)

    def many_below(self, U: np.ndarray, n: np.ndarray) -> np.ndarray:
        """The same for N'/(1 + 1/n^2) of modes with b >= a and at least `n` waves."""
        mu = self.mu_many * np.sqrt(U)
        rest = 1 - mu**2
        c = mu / np.sqrt(n * n + 1)
        z = np.sqrt(c * c + np.maximum(rest, 0.0)) - c
        return np.where(rest > 0, self.many * U / np.where(rest > 0, z * z, 1.0), np.inf)


def sanders_loads(t: Terms, R, N_theta, a, n) -> np.ndarray:
    """Sanders load of modes, one design each [N/m]; the condensed 3x3 of `loads.py` written out."""
    b = n / R
    many = b >= a
    s = np.where(many, a / np.where(many, b, 1.0), b / a)
    o = 1 / R
    s2, a2 = s * s, a * a
    # columns of the two membrane unknowns and of W: rows e_x, e_y, k_y, k_xy (g is the second unknown, k_x is a^2 W)
    x1, y1 = np.where(many, -s2, 1.0), np.where(many, 1.0, -s2)
    x2, y2 = np.where(many, s, 0.0), np.where(many, 0.0, s)
    x3, y3 = np.where(many, s2 * o, 0.0), np.where(many, 0.0, o)
    p1, q1 = np.where(many, o, -s2 * o), np.where(many, 2 * s * o, -2 * s * o)
    p2, q2 = np.where(many, 0.0, s * o), np.where(many, -0.5 * o, 1.5 * o)
    curved = np.where(many, o * o, 0.0)
    p3, q3 = b * b - curved, 2 * (a * b - s * curved)
    X1, Y1 = t.A11 * x1 + t.A12 * y1 + t.B12 * p1, t.A12 * x1 + t.A22 * y1 + t.B22 * p1
    H1 = t.B12 * x1 + t.B22 * y1 + t.D22 * p1
    X2, Y2 = t.A11 * x2 + t.A12 * y2 + t.B12 * p2, t.A12 * x2 + t.A22 * y2 + t.B22 * p2
    H2 = t.B12 * x2 + t.B22 * y2 + t.D22 * p2
    X3 = t.A11 * x3 + t.A12 * y3 + t.B11 * a2 + t.B12 * p3
    Y3 = t.A12 * x3 + t.A22 * y3 + t.B12 * a2 + t.B22 * p3
    H3 = t.B12 * x3 + t.B22 * y3 + t.D12 * a2 + t.D22 * p3
    M3 = t.B11 * x3 + t.B12 * y3 + t.D11 * a2 + t.D12 * p3
    S2, T2 = t.A66 + t.B66 * q2, t.B66 + t.D66 * q2
    k11 = x1 * X1 + y1 * Y1 + p1 * H1 + t.D66 * q1 * q1
    k12 = x2 * X1 + y2 * Y1 + p2 * H1 + q1 * T2
    k22 = x2 * X2 + y2 * Y2 + S2 + p2 * H2 + q2 * T2
    k13 = x1 * X3 + y1 * Y3 + p1 * H3 + t.D66 * q1 * q3
    k23 = x2 * X3 + y2 * Y3 + p2 * H3 + q3 * T2
    k33 = x3 * X3 + y3 * Y3 + a2 * M3 + p3 * H3 + t.D66 * q3 * q3
    around = np.where(n == 0, 0.0, 1.0)  # n = 0: v is a torsion that w does not touch
    f1, f2, f3 = np.where(many, s, -s) * around, np.where(many, -0.5, 0.5) * around, np.where(many, -s * o, 0.0)
    if np.any(N_theta):
        inverse = o / np.where(many, b, a) * around
        r1, r2 = np.where(many, inverse, -s * inverse), np.where(many, 0.0, inverse)
        r3 = b - np.where(many, inverse * o, 0.0)
        k11, k12, k22 = (
            k11 + N_theta * (r1 * r1 + f1 * f1),
            k12 + N_theta * (r1 * r2 + f1 * f2),
            (k22 + N_theta * (r2 * r2 + f2 * f2)),
        )
        k13, k23, k33 = (
            k13 + N_theta * (r1 * r3 + f1 * f3),
            k23 + N_theta * (r2 * r3 + f2 * f3),
            (k33 + N_theta * (r3 * r3 + f3 * f3)),
        )
    det = k11 * k22 - k12 * k12
    g1, g2 = (k22 * k13 - k12 * k23) / det, (k11 * k23 - k12 * k13) / det
    S = k33 - (k13 * g1 + k23 * g2)
    h1, h2 = (k22 * f1 - k12 * f2) / det, (k11 * f2 - k12 * f1) / det
    q = f1 * h1 + f2 * h2
    rest = f3 - (k13 * h1 + k23 * h2)
    c1 = (a2 + rest * rest) / S + q
    return 2 / (c1 + np.sqrt(np.maximum(c1 * c1 - 4 * a2 * q / S, 0.0)))
