"""A second route to the buckling loads of a smeared barrel: eight first-order equations a harmonic, and a count.

The second variation of a harmonic is a density in q = (U, V, W, S), S = W', and in U', V', S'. With a multiplier on
W' = S its first variation leaves, after integration by parts, the end terms p . dq alone, with p = (dL/dU', dL/dV',
the multiplier, dL/dS'): the axial force, the shear with its twist, the transverse force of Kirchhoff with the work of
the prestress, and minus M_x. An edge holds a member of q, or the matching member of p is zero. With M the matrix of
the density and d = (U', V', S') the equations are canonical:

    p_d = M_dq q + M_dd d, solved for d;   W' = S;   p' = M_qq q + M_qd d, less the transverse force in the row of S.

Each piece of the axis is integrated by collocation at Gauss points, which keeps the transfer matrix symplectic, and
turned into the stiffness between its two ends. Pieces are joined in pairs. By Sylvester's law the negative pivots met
on the way, plus those left at the ends, are the number of modes that lost their stability, provided that no piece
buckles between its own clamped ends: `Shell.clamped_pieces_hold` asks that of halved pieces.

Axisymmetric prebuckling is linear in w0 for a given load and has constant coefficients: four equations, solved by
exponentials of every piece.

Nothing of the package is used: A, B, D come in as arrays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from scipy.linalg import expm
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

HELD = {
    "SS1": "w",
    "SS2": "wu",
    "SS3": "wv",
    "SS4": "wuv",
    "C1": "ws",
    "C2": "wsu",
    "C3": "wsv",
    "C4": "wsuv",
    "FREE": "",
}
"""What an edge set holds; s is the slope."""

ORDER = "uvws"


def gauss(stages: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Nodes on [0, 1], weights, and the integrals of the nodal polynomials from 0 to each node."""
    s, weights = np.polynomial.legendre.leggauss(stages)
    nodes = (s + 1) / 2
    powers = np.arange(stages)
    integrals = (nodes[:, None] ** (powers + 1) / (powers + 1)) @ np.linalg.inv(nodes[:, None] ** powers)
    return nodes, weights / 2, integrals


def second_variation(
    C: np.ndarray, R: float, b: np.ndarray, N_x: float, N_theta: np.ndarray, beta: np.ndarray, sanders: bool
) -> np.ndarray:
    """Matrix of the density on (U, V, W, S, U', V', S'); b, N_theta, beta broadcast; fields U cos, V sin, W cos."""
    b, N_theta, beta = np.broadcast_arrays(b, N_theta, beta)
    c = 1.0 if sanders else 0.0
    e = np.zeros((*b.shape, 6, 7))
    e[..., 0, 4], e[..., 0, 3] = 1.0, beta
    e[..., 1, 1], e[..., 1, 2] = b, 1 / R
    e[..., 2, 5], e[..., 2, 0], e[..., 2, 2], e[..., 2, 1] = 1.0, -b, -b * beta, -c * beta / R
    e[..., 3, 6] = -1.0
    e[..., 4, 2], e[..., 4, 1] = b**2, c * b / R
    e[..., 5, 3], e[..., 5, 5], e[..., 5, 0] = 2 * b, 1.5 * c / R, 0.5 * c * b / R
    turn = np.zeros((*b.shape, 3, 7))
    turn[..., 0, 3] = 1.0
    turn[..., 1, 2], turn[..., 1, 1] = b, c / R
    turn[..., 2, 5], turn[..., 2, 0] = 0.5 * c, 0.5 * c * b
    force = np.stack([np.full(b.shape, N_x), N_theta, N_x + N_theta], -1)
    return np.swapaxes(e, -1, -2) @ (C @ e) + np.swapaxes(turn, -1, -2) @ (force[..., None] * turn)


def canonical(M: np.ndarray) -> np.ndarray:
    """Matrix (..., 8, 8) of y' = H y, y = (U, V, W, S, their forces), of the density M (..., 7, 7)."""
    d = [0, 1, 3]  # members of q whose derivative stands in the density
    inverse = np.linalg.inv(M[..., 4:, 4:])
    mixed = inverse @ M[..., 4:, :4]
    H = np.zeros((*M.shape[:-2], 8, 8))
    H[..., d, :4] = -mixed
    H[..., 2, 3] = 1.0
    H[..., np.ix_(d, [4, 5, 7])[0], np.ix_(d, [4, 5, 7])[1]] = inverse
    H[..., 4:, :4] = M[..., :4, :4] - M[..., :4, 4:] @ mixed
    H[..., 4:, 4:] = -np.swapaxes(H[..., :4, :4], -1, -2)
    return H


def transfer(H: np.ndarray, h: float, stages: int) -> np.ndarray:
    """Transfer matrices (..., k, k) over a piece of length h from H (..., stages, k, k) at its Gauss points."""
    _, weights, integrals = gauss(stages)
    k = H.shape[-1]
    lead = H.shape[:-3]
    block = np.eye(stages * k) - h * np.einsum("...iab,ij->...iajb", H, integrals).reshape(
        *lead, stages * k, stages * k
    )
    rates = np.linalg.solve(block, H.reshape(*lead, stages * k, k)).reshape(*lead, stages, k, k)
    return np.eye(k) + h * np.einsum("i,...iab->...ab", weights, rates)


def end_stiffness(T: np.ndarray) -> np.ndarray:
    """Stiffness between the two ends of a piece with transfer matrix T."""
    k = T.shape[-1] // 2
    inverse = np.linalg.inv(T[..., :k, k:])
    near, far = inverse @ T[..., :k, :k], T[..., k:, k:] @ inverse
    K = np.empty_like(T)
    K[..., :k, :k], K[..., :k, k:] = near, -inverse
    K[..., k:, :k], K[..., k:, k:] = -np.swapaxes(inverse, -1, -2), far
    return (K + np.swapaxes(K, -1, -2)) / 2


def negatives(K: np.ndarray) -> np.ndarray:
    return (np.linalg.eigvalsh(K) < 0).sum(-1)


def joined(left: np.ndarray, right: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Stiffness of two pieces end to end, and the negative pivots of their common station."""
    k = left.shape[-1] // 2
    middle = left[..., k:, k:] + right[..., :k, :k]
    rows = np.concatenate([left[..., k:, :k], right[..., :k, k:]], -1)
    K = -np.swapaxes(rows, -1, -2) @ np.linalg.solve(middle, rows)
    K[..., :k, :k] += left[..., :k, :k]
    K[..., k:, k:] += right[..., k:, k:]
    return (K + np.swapaxes(K, -1, -2)) / 2, negatives(middle)


@dataclass(frozen=True)
class Shell:
    """A barrel: A, B, D about the skin middle (3, 3), middle radius, length, edge sets at both ends, kinematics.

    `span` is the largest length of a piece times the fastest decay rate, `stages` the Gauss points a piece.
    """

    A: np.ndarray
    B: np.ndarray
    D: np.ndarray
    R: float
    L: float
    start: str
    end: str
    sanders: bool
    span: float = 1.5
    stages: int = 6
    _rates: dict = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def C(self) -> np.ndarray:
        shear = np.array([0, 0, 1, 0, 0, 1], bool)
        return np.where(shear[:, None] == shear, np.block([[self.A, self.B], [self.B, self.D]]), 0.0)

    @cached_property
    def bent(self) -> tuple[float, float, float]:
        """Hoop stiffness, coupling and bending stiffness when the axial strain is free."""
        C = self.C
        reduced = C - np.outer(C[:, 0], C[0]) / C[0, 0]
        return reduced[1, 1], reduced[1, 3], reduced[3, 3]

    @cached_property
    def layer(self) -> float:
        hoop, _, bending = self.bent
        return (bending * self.R**2 / hoop) ** 0.25

    @cached_property
    def long_load(self) -> float:
        """A load of the right size: the axisymmetric one of a long barrel without coupling."""
        hoop, _, bending = self.bent
        return 2 / self.R * math.sqrt(hoop * bending)

    @cached_property
    def scale(self) -> np.ndarray:
        """Units of y: in-plane displacement, deflection, slope, and the forces that belong to them."""
        thin = math.sqrt(self.C[3, 3] / self.C[0, 0])
        q = np.array([thin, thin, self.layer, 1.0])
        return np.concatenate([q, self.C[3, 3] / self.layer / q])

    @property
    def n_top(self) -> int:
        """Harmonics to search at first: a flat plate of the weaker bending stiffness carries N at b^2 = N/(4 D)."""
        bending = np.linalg.inv(np.linalg.inv(self.C)[3:, 3:])
        return max(8, math.ceil(self.R * math.sqrt(1.5 * self.long_load / (4 * min(bending[0, 0], bending[1, 1])))))

    def fundamental(
        self, n: np.ndarray, N: float, N_theta: np.ndarray | float = 0.0, beta: np.ndarray | float = 0.0
    ) -> np.ndarray:
        """H in units of the layer; n (k,), N_theta and beta (1,) or (pieces, stages) -> (k, ..., 8, 8)."""
        N_theta, beta = np.asarray(N_theta, float), np.asarray(beta, float)
        b = np.asarray(n, float).reshape(-1, *[1] * N_theta.ndim) / self.R
        M = second_variation(self.C, self.R, b, -N, N_theta, beta, self.sanders)
        return self.layer * canonical(M) / self.scale[:, None] * self.scale

    def doublings(self, n_top: int) -> int:
        """Halvings of the length until every piece is short against the fastest decay of the harmonics up to n_top."""
        if n_top not in self._rates:
            H = self.fundamental(np.array([1, n_top]), 0.0)
            self._rates[n_top] = np.abs(np.linalg.eigvals(H)).max()
        return max(2, math.ceil(math.log2(self.L / self.layer * self._rates[n_top] / self.span)))

    def free(self, n_is_zero: bool) -> list[int]:
        """Members of (q at 0, q at L) that the edges leave free."""
        order = "ws" if n_is_zero else ORDER
        held = [HELD[self.start], HELD[self.end]]
        return [i * len(order) + k for i in range(2) for k, q in enumerate(order) if q not in held[i]]

    def _ends(self, K: np.ndarray, n_is_zero: bool) -> np.ndarray:
        free = self.free(n_is_zero)
        return negatives(K[..., free, :][..., free]) if free else np.zeros(K.shape[:-2], int)

    def lost(self, n: np.ndarray, N: float, N_theta: float = 0.0, halvings: int = 0) -> np.ndarray:
        """Number of unstable modes of every harmonic n under uniform prestress."""
        n = np.asarray(n)
        out = np.zeros(n.size, int)
        for zero in (True, False):
            among = n == 0 if zero else n > 0
            if not among.any():
                continue
            times = self.doublings(int(n.max()) or 1) + halvings
            H = self._twistless(self.fundamental(n[among], N, N_theta), zero)
            stack = np.broadcast_to(H[:, None], (H.shape[0], self.stages, *H.shape[1:]))
            K = end_stiffness(transfer(stack, self.L / self.layer / 2**times, self.stages))
            count = np.zeros(H.shape[0], int)
            for _ in range(times):
                K, here = joined(K, K)
                count = 2 * count + here
            out[among] = count + self._ends(K, zero)
        return out

    @staticmethod
    def _twistless(H: np.ndarray, n_is_zero: bool) -> np.ndarray:
        """At n = 0 the axial force is prescribed and there is no twist: W, S and their forces remain."""
        keep = [2, 3, 6, 7]
        return H[..., keep, :][..., keep] if n_is_zero else H

    def lowest(
        self, n: np.ndarray, N_theta: float = 0.0, tolerance: float = 1e-10, below: float = math.inf
    ) -> tuple[float, int]:
        """Lowest load of the harmonics n under uniform prestress, and its harmonic."""
        n, low, high = np.asarray(n), 0.0, min(self.long_load, below)
        while not (bad := self.lost(n, high, N_theta)).any():
            low, high = high, 1.5 * high
        n = n[bad > 0]
        while high - low > tolerance * high:
            middle = (low + high) / 2
            bad = self.lost(n, middle, N_theta)
            if bad.any():
                high, n = middle, n[bad > 0]
            else:
                low = middle
        return high, int(n[0])

    # nonlinear axisymmetric prebuckling

    def axisymmetric(self, N: float, pressure: float, z_load: float, times: int, stages: int) -> tuple[np.ndarray, ...]:
        """Hoop force and slope (pieces, stages) at the Gauss points under the axial compression N.

        State (w0, w0', M_x, V), V = M_x' + N_x w0'; V' = N_theta/R - p; a free edge has V = 0, M_x = N_x z_load.
        """
        hoop, coupled, bending = self.bent
        C, R, N_x, pieces = self.C, self.R, -N, 2**times
        # with e_x eliminated: N_theta = s N_x + hoop w/R + coupled k, M_x = m N_x + coupled w/R + bending k
        s, m = C[1, 0] / C[0, 0], C[3, 0] / C[0, 0]
        H = np.zeros((4, 4))
        H[0, 1] = 1.0
        H[1, [0, 2]] = coupled / R / bending, -1 / bending  # w'' = -k
        H[2, [1, 3]] = -N_x, 1.0
        H[3, [0, 2]] = (hoop - coupled**2 / bending) / R**2, coupled / bending / R
        push = np.array([0.0, m * N_x / bending, 0.0, (s - coupled * m / bending) * N_x / R - pressure])
        scale = np.array([self.layer, 1.0, self.C[3, 3] / self.layer, self.C[3, 3] / self.layer**2])
        H = self.layer * H / scale[:, None] * scale
        push = self.layer * push / scale
        rest = -np.linalg.solve(H, push)  # uniform state that balances the loads, far from the edges
        h = self.L / self.layer / pieces
        T = expm(h * H)
        rows, columns, values, right = [], [], [], np.zeros(4 * (pieces + 1))
        line = 0
        for station, name in ((0, self.start), (pieces, self.end)):
            for kinematic, force, letter, given in ((0, 3, "w", 0.0), (1, 2, "s", N_x * z_load)):
                fixed = letter in HELD[name]
                k = kinematic if fixed else force
                rows.append(line)
                columns.append(4 * station + k)
                values.append(1.0)
                right[line] = (0.0 if fixed else given / scale[k]) - rest[k]
                line += 1
        i, j = np.indices((4, 4))
        first = 4 * np.arange(pieces)[:, None]
        for matrix, shift in ((T, 0), (-np.eye(4), 4)):
            rows += list((4 + first + i.ravel()).ravel())
            columns += list((first + shift + j.ravel()).ravel())
            values += list(np.tile(matrix.ravel(), pieces))
        y = splu(coo_matrix((values, (rows, columns))).tocsc()).solve(right).reshape(-1, 4)
        nodes = gauss(stages)[0]
        state = np.stack([y[:-1] @ expm(c * h * H).T for c in nodes], 1) + rest
        state *= scale
        k_x = (state[..., 2] - m * N_x - coupled / R * state[..., 0]) / bending
        return s * N_x + hoop / R * state[..., 0] + coupled * k_x, state[..., 1]

    def lost_bent(
        self, n: np.ndarray, N: float, pressure: float = 0.0, z_load: float = 0.0, halvings: int = 0, most: int = 4000
    ) -> np.ndarray:
        """Number of unstable modes of every harmonic n >= 1 on the nonlinear path; at most `most` matrices at once."""
        n = np.asarray(n)
        times = self.doublings(int(n.max())) + halvings
        hoop, beta = self.axisymmetric(N, pressure, z_load, times, self.stages)
        out = []
        for part in np.array_split(n, max(1, n.size * 2**times // most)):
            H = self.fundamental(part, N, hoop, beta)
            K = end_stiffness(transfer(H, self.L / self.layer / 2**times, self.stages))
            count = np.zeros(part.size, int)
            while K.shape[1] > 1:
                K, here = joined(K[:, ::2], K[:, 1::2])
                count += here.sum(1)
            out.append(count + self._ends(K[:, 0], False))
        return np.concatenate(out)

    def clamped_pieces_hold(self, n: np.ndarray, N: float, pressure: float = 0.0, z_load: float = 0.0) -> bool:
        """Whether pieces of half the length give the same counts on the path."""
        counts = [self.lost_bent(n, N, pressure, z_load, halvings=k) for k in (0, 1)]
        return bool((counts[0] == counts[1]).all())

    def first_bifurcation(
        self,
        loads: np.ndarray,
        n_top: int,
        pressure: float = 0.0,
        z_load: float = 0.0,
        tolerance: float = 1e-7,
        quick: int = 4,
    ) -> tuple[float, int] | None:
        """First of the rising `loads` at which a harmonic of 1 to n_top is unstable, bisected back to the one before.

        The rising loads are tried with `quick` Gauss points a piece, the bisection uses all. Where a harmonic near the
        top loses, the top is raised.
        """
        scan, low = replace(self, stages=quick), 0.0
        for high in loads:
            n = np.arange(1, n_top + 1)
            bad = scan.lost_bent(n, high, pressure, z_load) > 0
            while bad[-2:].any() and n_top < 2000:
                n_top = math.ceil(1.3 * n_top)
                n = np.arange(1, n_top + 1)
                bad = scan.lost_bent(n, high, pressure, z_load) > 0
            if bad.any():
                break
            low = high
        else:
            return None
        n = n[bad]
        while high - low > tolerance * high:
            middle = (low + high) / 2
            bad = self.lost_bent(n, middle, pressure, z_load) > 0
            if bad.any():
                high, n = middle, n[bad]
            else:
                low = middle
        return float(high), int(n[0])
