"""Donnell loads as polynomials in n^2, and what Sanders loads cannot fall below.

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

from .loads import Terms


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
