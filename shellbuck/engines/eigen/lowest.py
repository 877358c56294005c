"""Lowest load factors by shifted Lanczos, closed by a count."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.linalg import eigh
from scipy.sparse.linalg import ArpackError, LinearOperator, eigsh

from ...core.errors import Incomplete
from .factor import Factor, Order, factorise_shifted

APART = 1e-6
"""Relative distance between a load factor and the shifts that count below and above it."""


@dataclass(frozen=True, eq=False)
class LowestPairs:
    """Load factors in rising order (k,), modes as columns (n, k), how many lie at or below the last of them by count.

    `shift` is where they were counted, `factorisations` what it took, `order` the order of elimination.
    """

    values: np.ndarray
    modes: np.ndarray
    counted: int
    shift: float = math.nan
    factorisations: int = 0
    order: str = ""


def count_below(K: sparse.csc_matrix, G: sparse.csc_matrix, load: float, order: Order = "NATURAL") -> int:
    """Number of load factors of K x = lambda G x between 0 and `load`, for positive definite K."""
    return factorise_shifted(K, G, load, order).negative


def lowest_pairs(
    K: sparse.csc_matrix, G: sparse.csc_matrix, guess: float, want: int = 1, order: Order = "NATURAL"
) -> LowestPairs:
    """The lowest positive load factors of K x = lambda G x, proved complete.

    Parameters
    ----------
    K, G : scipy.sparse.csc_matrix
        (n, n) symmetric; K positive definite, G with at least one positive direction.
    guess : float
        A load factor near the lowest, from either side.
    want : int
        How many.
    order : {"NATURAL", "MMD_AT_PLUS_A"}
        Elimination order, see `factorise`.

    Raises
    ------
    Incomplete
        Without convergence, or when the count of the factorisation disagrees with what was found.

    Examples
    --------
    >>> from scipy.sparse import diags, identity
    >>> K = diags(np.arange(1.0, 40.0) ** 2).tocsc()
    >>> lowest_pairs(K, identity(39, format="csc"), 2.0, want=3).values.round(9).tolist()
    [1.0, 4.0, 9.0]
    """
    shift = guess
    for _ in range(60):
        factor = factorise_shifted(K, G, shift, order)
        if factor.negative == 0:
            values, modes = _pairs(K, G, shift, factor, want)
            if values[0] > shift * (1 + 10 * APART):
                break
            # on a load factor the sign of a pivot is rounding, and the factor says nothing about the others
            shift *= 1 - 1e-3
        else:
            shift *= 0.85
    else:
        raise Incomplete.of("shift-failed", "no shift below the lowest load factor was found")
    for more in (0, 2, 8):
        below = count_below(K, G, values[0] * (1 - APART), order)
        counted = count_below(K, G, values[want - 1] * (1 + APART), order)
        cluster = int(np.sum(values <= values[want - 1] * (1 + APART)))
        if below == 0 and counted == cluster:
            return LowestPairs(values[:want], modes[:, :want], counted)
        values, modes = _pairs(K, G, shift, factor, min(want + counted + more, K.shape[0] - 2), seed=more + 1)
    raise Incomplete.of(
        "count-mismatch", f"{cluster} load factors found, {counted} exist below {values[want - 1]:.6g}: withheld"
    )


def _pairs(
    K: sparse.csc_matrix, G: sparse.csc_matrix, shift: float, factor: Factor, want: int, seed: int = 0
) -> tuple[np.ndarray, np.ndarray]:
    """Load factors above a shift that has none below it: G x = theta (K - shift G) x, load = shift + 1/theta."""
    size = K.shape[0]
    if size <= 4 * want + 20:
        theta, x = eigh(G.toarray(), (K - shift * G).toarray())
        theta, x = theta[::-1][:want], x[:, ::-1][:, :want]
    else:
        inverse = LinearOperator((size, size), matvec=factor.solve, dtype=float)
        start = np.random.default_rng(seed).standard_normal(size)
        try:
            vectors = min(size - 1, 4 * want + 20)
            theta, x = eigsh(G, want, M=K - shift * G, Minv=inverse, which="LA", v0=start, ncv=vectors, tol=1e-13)
        except ArpackError as error:
            raise Incomplete.of("not-converged", f"load factors did not converge ({error})") from None
        theta, x = theta[::-1], x[:, ::-1]
    if theta.size < want or theta[want - 1] <= 0:
        raise Incomplete.of("no-positive-factor", "fewer positive load factors than asked for")
    return shift + 1 / theta, x
