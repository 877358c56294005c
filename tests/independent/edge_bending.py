"""First loss of a simply supported (SS3) barrel about its nonlinear axisymmetric state, by B-splines along the axis.

Written anew, with nothing of the package. The prebuckled state is linear in w0 for a given axial line load N
(compression positive, N_x = -N) and hoop load p R; its solution is the sum of four exponentials:

    D* w'''' - (2 c/R + N_x) w'' + k/R^2 w = p - A12 N_x/(A11 R),   w = 0 and M_x = N_x z_load at the ends,
    D* = D11 - B11^2/A11,  c = B12 - B11 A12/A11,  k = A22 - A12^2/A11.

About it the second variation of the energy is taken with e_x + w0' w,x and g + w0' w,t/R (Donnell) or - w0' B
(Sanders), and with N_x and the varying N_theta(x) on the rotations.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.interpolate import BSpline
from scipy.linalg import LinAlgError, cholesky_banded

DEGREE = 6


@cache
def unit_splines(pieces):
    """Points, weights, and value, first and second derivative (pieces x points x splines there) on a length of 1."""
    knots = np.linspace(0, 1, pieces + 1)
    full = np.r_[[0] * DEGREE, knots, [1] * DEGREE]
    x, weight = np.polynomial.legendre.leggauss(DEGREE + 2)
    half = 0.5 / pieces
    points = knots[:-1, None] + half + half * x
    everything = BSpline(full, np.eye(pieces + DEGREE), DEGREE)
    first = np.arange(pieces)[:, None] + np.arange(DEGREE + 1)
    local = []
    for d in range(3):
        values = (everything.derivative(d) if d else everything)(points)  # pieces x points x all splines
        local.append(np.take_along_axis(values, first[:, None, :], axis=2))
    return points.ravel(), np.tile(half * weight, pieces), local


class Barrel:
    """A, B, D, R, L, p; `z_load` is the height of the axial load over the skin middle."""

    def __init__(self, stiff, R, L, p=0.0, z_load=0.0, sanders=False, pieces=None):
        self.A, self.B, self.D = stiff
        self.R, self.L, self.p, self.z, self.sanders = R, L, p, z_load, sanders
        A, B, D = stiff
        self.Ds = D[0, 0] - B[0, 0] ** 2 / A[0, 0]
        self.c = B[0, 1] - B[0, 0] * A[0, 1] / A[0, 0]
        self.k = A[1, 1] - A[0, 1] ** 2 / A[0, 0]
        decay = (min(self.Ds, D[1, 1] - B[1, 1] ** 2 / A[1, 1]) * R**2 / A[1, 1]) ** 0.25
        pieces = pieces or int(np.clip(round(1.6 * L / decay), 12, 260))
        self.pieces, self.count, order = pieces, pieces + DEGREE, DEGREE + 1
        x, weight, local = unit_splines(pieces)
        self.x, self.weight = x * L, weight * L
        self.local = [values / L**d for d, values in enumerate(local)]
        # u, v, w interleaved: unknown 3 i + (0, 1, 2); v and w of the first and last spline are held
        first = 3 * np.arange(pieces)
        self.where = first[:, None] + np.arange(3 * order)
        self.held = np.array([1, 2, 3 * self.count - 2, 3 * self.count - 1])

    def axisymmetric_limit(self):
        """Lowest n = 0 load."""
        m = np.arange(1, 400)
        a = np.pi * m / self.L
        return float(np.min(self.Ds * a**2 + 2 * self.c / self.R + self.k / (self.R * a) ** 2))

    def state(self, N):
        """(w0', N_theta) at the quadrature points."""
        A, B, R, L = self.A, self.B, self.R, self.L
        Nx = -N
        squares = np.roots([self.Ds, -(2 * self.c / R + Nx), self.k / R**2]).astype(complex)
        decaying = -np.sqrt(squares)  # one of each pair +-r; purely imaginary in short barrels of high loads
        wp = (self.p - A[0, 1] * Nx / (A[0, 0] * R)) * R**2 / self.k
        curvature = (B[0, 0] / A[0, 0] - self.z) * Nx / self.Ds
        # w and w'' at x = 0 of the symmetric pair exp(r x) + exp(r (L - x))
        grow = [1 + np.exp(r * L) for r in decaying]
        M = np.array([list(grow), [r**2 * g for r, g in zip(decaying, grow, strict=True)]])
        amount = np.linalg.solve(M, [-wp, curvature])
        x = self.x
        value = [
            sum(
                s * r**d * (np.exp(r * x) + (-1) ** d * np.exp(r * (L - x)))
                for s, r in zip(amount, decaying, strict=True)
            ).real
            for d in range(3)
        ]
        w, slope, second = value[0] + wp, value[1], value[2]
        return slope, A[0, 1] / A[0, 0] * Nx + self.k * w / R - self.c * second

    def matrix(self, n, N):
        """Second variation of harmonic n on (u, v, w) as a lower band; held unknowns have 1 on the diagonal."""
        R, b, S = self.R, n / self.R, self.sanders
        P, P1, P2 = self.local
        shape = P.shape[:2]
        slope, hoop = (x.reshape(shape) for x in self.state(N))
        slope3 = slope[:, :, None]
        Z = np.zeros_like(P)

        def row(u, v, w):
            return np.stack([u, v, w], axis=-1).reshape(*shape, -1)  # spline-major, then u, v, w

        strains = [
            row(P1, Z, slope3 * P1),
            row(Z, b * P, P / R),
            row(-b * P, P1 - (slope3 * P / R if S else 0), -b * slope3 * P),
            row(Z, Z, -P2),
            row(Z, b * P / R if S else Z, b * b * P),
            row(0.5 * b * P / R if S else Z, 1.5 * P1 / R if S else Z, 2 * b * P1),
        ]
        E = np.stack(strains, axis=2)  # pieces x points x 6 x 21
        C = np.block([[self.A, self.B], [self.B, self.D]])
        q = self.weight.reshape(shape)
        steep, f = row(Z, Z, P1), row(0.5 * b * P if S else Z, 0.5 * P1 if S else Z, Z)
        h = row(Z, P / R if S else Z, b * P)
        E = np.concatenate([E, np.stack([steep, f, h], axis=2)], axis=2)
        full = np.zeros((*shape, 9, 9))
        full[:, :, :6, :6] = C
        full[:, :, 6, 6], full[:, :, 7, 7], full[:, :, 8, 8] = -N, hoop - N, hoop
        K = np.einsum("epia,epij,epjb->eab", E, full * q[:, :, None, None], E, optimize=True)
        size, width = 3 * self.count, K.shape[1]
        band = np.zeros((width, size))
        for i in range(width):
            for j in range(i + 1):
                np.add.at(band[i - j], self.where[:, j], K[:, i, j])
        for i in self.held:
            band[:, i] = 0.0
            for k in range(1, min(width, i + 1)):
                band[k, i - k] = 0.0
            band[0, i] = 1.0
        return band

    def stable(self, n, N):
        try:
            cholesky_banded(self.matrix(n, N), lower=True, check_finite=False)
        except LinAlgError:
            return False
        return True

    def first_loss(self, most_n=None, steps=24, top=0.9995, tolerance=1e-7):
        """(load, n) of the lowest loss over n >= 2, and (limit, 0) where there is none below the limit."""
        A, B, D = self.A, self.B, self.D
        limit = self.axisymmetric_limit()
        if most_n is None:
            bending = min(self.Ds, D[1, 1] - B[1, 1] ** 2 / A[1, 1])
            most_n = int(2.0 * self.R / (bending * self.R**2 / max(A[0, 0], A[1, 1])) ** 0.25) + 6
        harmonics = list(range(2, most_n + 1))
        low = 0.0
        for high in limit * top * (1 - (1 - np.arange(1, steps + 1) / steps) ** 1.5):
            lost = [n for n in harmonics if not self.stable(n, high)]
            if lost:
                break
            low = high
        else:
            return limit, 0
        best = high
        n_best = lost[0]
        for n in lost:  # the lowest of those lost in this step
            if self.stable(n, best) and n != n_best:
                continue
            lo, hi = low, best
            while hi - lo > tolerance * hi:
                mid = (lo + hi) / 2
                lo, hi = (mid, hi) if self.stable(n, mid) else (lo, mid)
            best, n_best = hi, n
        return best, n_best
