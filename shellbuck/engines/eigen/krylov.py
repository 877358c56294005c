"""Blocked Lanczos on (K - s G)^-1 G in the inner product of K: what lies below a shift, and what just above it.

1/theta = lambda - s: load factors below the shift are the negative theta below -1/s, those above it the positive ones.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy import sparse

from ...core.errors import Incomplete
from .factor import Factor
from .lowest import APART

BLOCK = 4
_ROUNDS = 6
_RESTARTS = 10
"""Times that a basis is filled anew from its best vectors before a fresh block is tried."""
_SPARE = 20
"""Vectors beside the wanted ones that a restart keeps."""
_LOOK = 2
"""Steps from one look at what has converged to the next."""
_AHEAD = 4
"""Steps between two guesses of `place_above` that are compared."""
_CONVERGED = 1e-7
"""Residual of a Ritz vector in the norm of K, relative to 1/|lambda - s|."""


def shapes_below(G: sparse.csc_matrix, factor: Factor, shift: float) -> np.ndarray:
    """Modes of the load factors between 0 and a shift.

    Parameters
    ----------
    G : scipy.sparse.csc_matrix
        (n, n) symmetric.
    factor : Factor
        Of K - shift G; its negative pivots say how many there are.
    shift : float

    Returns
    -------
    numpy.ndarray
        (n, k), of length one in the norm of K; k is what the factor counts.

    Raises
    ------
    Incomplete
        When fewer are found, or more.

    Notes
    -----
    Blocks find the copies of a multiple root; should one stay hidden, the next round starts from a fresh block, with
    all that converged kept in the basis.
    """
    wanted = factor.negative
    basis = _Basis(G, factor, shift, 4 * wanted + 80)
    found = -1
    for seed in range(_ROUNDS):
        x = _converged_below(basis, _start(G.shape[0], 20 + seed), wanted)
        if x.shape[1] == wanted:
            return x
        if x.shape[1] == found and seed > 2:
            break
        found = x.shape[1]
    raise Incomplete.of("count-mismatch", f"{found} load factors found, {wanted} exist below {shift:.6g}: withheld")


def place_above(G: sparse.csc_matrix, factor: Factor, shift: float, want: int) -> float:
    """A place above the shift below which about `want` load factors lie in all; inf where none can be estimated.

    A guess from a part of the space, in which fewer lie below any place than in the whole: there are rather more. The
    part grows until below the place of some steps before hardly more is seen than at that time.

    Parameters
    ----------
    G, factor, shift
        As in `shapes_below`; the factor counts fewer than `want`.
    want : int
    """
    need = want - factor.negative
    basis = _Basis(G, factor, shift, 2 * want + 60)
    places = [math.inf] * _AHEAD
    for H, _ in basis.grown(_start(G.shape[0], 10)):
        theta = np.linalg.eigvalsh(H)
        above = shift + 1 / theta[::-1][: np.count_nonzero(theta > 0)]
        # between two that lie apart, not between the copies of one
        near = above[need - 1 : need + 2]
        gap = int(np.argmax(np.diff(near))) if len(near) > 1 else 0
        places.append(math.inf if len(near) < 2 else near[gap : gap + 2].mean())
        if math.isfinite(places[-1 - _AHEAD]) and np.count_nonzero(above < places[-1 - _AHEAD]) <= need + 2:
            break
    return places[-1]


def _start(size: int, seed: int) -> np.ndarray:
    return np.random.default_rng(seed).standard_normal((size, BLOCK))


class _Basis:
    """Vectors Q, orthonormal in K, K Q, and the operator (K - s G)^-1 G between them."""

    def __init__(self, G: sparse.csc_matrix, factor: Factor, shift: float, most: int):
        self.most = min(G.shape[0] - BLOCK, most)
        self.G, self.factor, self.shift = G, factor, shift
        self.Q, self.KQ = (np.zeros((G.shape[0], self.most + BLOCK), order="F") for _ in range(2))
        self.H = np.zeros((self.most + BLOCK, self.most + BLOCK))
        self.count, self.first, self.full = 0, 0, False

    def _operator(self, X: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """W = (K - s G)^-1 G X, and K W, which is G X + s G W."""
        GX = self.G @ X
        W = self.factor.solve(GX)
        return W, GX + self.shift * (self.G @ W)

    def _append(self, W: np.ndarray, KW: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Add what is new in W: its products with the basis, and the triangle R of the rest."""
        j = self.count
        Q, KQ = self.Q[:, :j], self.KQ[:, :j]
        before = np.einsum("ij,ij->j", W, KW)
        products = np.zeros((j, W.shape[1]))
        # nearly all of it lies in the last two blocks; then once more against all
        for part in (slice(max(0, j - 2 * BLOCK), j), slice(0, j)):
            c = KQ[:, part].T @ W
            W = W - Q[:, part] @ c
            KW = KW - KQ[:, part] @ c
            products[part] += c
        M = W.T @ KW
        e, v = np.linalg.eigh((M + M.T) / 2)
        keep = e > 1e-20 * before.max(initial=0.0)
        root = np.sqrt(e[keep])
        b = len(root)
        self.Q[:, j : j + b], self.KQ[:, j : j + b] = W @ (v[:, keep] / root), KW @ (v[:, keep] / root)
        self.count += b
        return products, root[:, None] * v[:, keep].T

    def grown(self, start: np.ndarray | None = None) -> Iterator[tuple[np.ndarray, np.ndarray]]:
        """Extend the basis from a block, or from its own last one, step by step until it is full.

        Yields the operator within the part of the basis whose images are known (j, j), and the triangle R by which the
        images of its last block reach out of it.
        """
        if start is not None:
            self.first = self.count
            self._append(*self._operator(start))
        while self.count > self.first:
            j = self.count
            products, R = self._append(*self._operator(self.Q[:, self.first : j]))
            self.H[:j, self.first : j] = products
            self.first = j
            H = np.triu(self.H[:j, :j])
            self.full = self.count == j or self.count > self.most - BLOCK
            yield H + np.triu(H, 1).T, R
            if self.full:
                return

    def keep(self, theta: np.ndarray, y: np.ndarray, *, last: bool) -> np.ndarray:
        """Thick restart: only the Ritz vectors y (j, k) stay, with their values, and the last block where it is to be
        carried on; they are given back (n, k)."""
        j, k = y.shape
        rest = slice(j, self.count if last else j)
        b = rest.stop - j
        x = self.Q[:, :j] @ y
        Q, KQ = self.Q[:, rest].copy(), self.KQ[:, rest].copy()
        self.KQ[:, :k], self.Q[:, :k] = self.KQ[:, :j] @ y, x
        self.Q[:, k : k + b], self.KQ[:, k : k + b] = Q, KQ
        self.first, self.count = k, k + b
        self.H[:] = 0.0
        self.H[np.arange(k), np.arange(k)] = theta
        return x


def _converged_below(basis: _Basis, start: np.ndarray, wanted: int) -> np.ndarray:
    """Modes (n, k) below the shift that converge when the basis grows from a block; only they stay in it.

    Load factors far below the shift lie next to the crowd at -1/s and take long: a full basis goes on from its best
    vectors. When all that it sees below the shift have converged, what is missing is hidden from this start.
    """
    block: np.ndarray | None = start
    for _ in range(_RESTARTS):
        theta, y, done = _grown_until_done(basis, block, wanted)
        if np.count_nonzero(done) == np.count_nonzero(theta * basis.shift < -1) or basis.count == len(theta):
            break
        best = slice(0, min(wanted + _SPARE, len(theta) // 2))  # the most negative first
        basis.keep(theta[best], y[:, best], last=True)
        block = None
    return basis.keep(theta[done], y[:, done], last=False)


def _grown_until_done(
    basis: _Basis, start: np.ndarray | None, wanted: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Ritz values, rising, their vectors, and which have converged below the shift, when all wanted have or the basis
    is full."""
    for step, (H, R) in enumerate(basis.grown(start)):
        if (len(H) < wanted or step % _LOOK) and not basis.full:
            continue
        theta, y = np.linalg.eigh(H)
        residual = np.linalg.norm(R @ y[-R.shape[1] :], axis=0)
        done = (theta * basis.shift < -1) & (residual <= _CONVERGED * np.abs(theta))
        # values in a part of the space are never more than those of the whole
        if (seen := int(np.count_nonzero(theta * basis.shift < -1 - APART))) > wanted:
            raise Incomplete.of(
                "count-mismatch",
                f"{seen} or more load factors exist below {basis.shift:.6g}, the factor counts {wanted}: withheld",
            )
        if np.count_nonzero(done) >= wanted:
            break
    return theta, y, done
