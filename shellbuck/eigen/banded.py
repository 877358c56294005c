"""Banded matrices: positive definiteness, and the lowest load factor by Lanczos on the Cholesky factor.

Bands are lower and column-wise: entry (i, j), i >= j, stands at [i - j, j].
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import eigh_tridiagonal
from scipy.linalg.blas import dsbmv
from scipy.linalg.lapack import dpbtrf, dtbtrs

from ..errors import Incomplete, Problem

_MOST_STEPS = 200
_CONVERGED = 1e-12
_CHECK_EVERY = 4
_APART = 1e-6


def positive_definite(band: np.ndarray) -> bool:
    """Whether a symmetric banded matrix is positive definite, by Cholesky.

    Parameters
    ----------
    band : numpy.ndarray
        (width + 1, n). Overwritten.

    Examples
    --------
    >>> positive_definite(np.array([[2.0, 2.0], [1.0, 0.0]])), positive_definite(np.array([[1.0, 1.0], [2.0, 0.0]]))
    (True, False)
    """
    return dpbtrf(band, lower=1, overwrite_ab=1)[1] == 0


def lowest_banded(K: np.ndarray, G: np.ndarray, guess: float) -> float:
    """The lowest positive load factor of K x = lambda G x, proved to be the lowest.

    Parameters
    ----------
    K, G : numpy.ndarray
        (width + 1, n) bands; K positive definite.
    guess : float
        A load factor near the lowest, from either side.

    Raises
    ------
    Incomplete
        Without convergence, or when something lower exists.

    Examples
    --------
    >>> K = np.array([np.arange(1.0, 40.0) ** 2])
    >>> round(lowest_banded(K, np.ones((1, 39)), 2.0), 9)
    1.0
    """
    shift = guess
    for _ in range(60):
        factor, failed = dpbtrf(K - shift * G, lower=1)
        if not failed:
            break
        shift *= 0.8
    else:
        raise Incomplete(Problem("shift-failed", "no shift below the lowest load factor was found"))
    value = shift + 1 / _largest(factor, G)
    if not positive_definite(K - value * (1 - _APART) * G):
        raise Incomplete(Problem("count-mismatch", f"a load factor below {value:.6g} was missed: withheld"))
    return value


def _largest(factor: np.ndarray, G: np.ndarray) -> float:
    """Largest eigenvalue of L^-1 G L^-T by Lanczos with full reorthogonalisation."""
    width, size = factor.shape[0] - 1, factor.shape[1]
    steps = min(size, _MOST_STEPS)
    basis = np.zeros((steps + 1, size))
    start = np.random.default_rng(20).standard_normal(size)
    basis[0] = start / np.linalg.norm(start)
    alpha, beta = np.zeros(steps), np.zeros(steps)
    for k in range(steps):
        x, _ = dtbtrs(factor, basis[k], uplo="L", trans="T")
        y, _ = dtbtrs(factor, dsbmv(width, 1.0, G, x, lower=1), uplo="L")
        alpha[k] = basis[k] @ y
        for _ in range(2):
            y -= basis[: k + 1].T @ (basis[: k + 1] @ y)
        beta[k] = np.linalg.norm(y)
        last = k == steps - 1 or beta[k] == 0
        if k % _CHECK_EVERY == _CHECK_EVERY - 1 or last:
            theta, s = eigh_tridiagonal(alpha[: k + 1], beta[:k], select="i", select_range=(k, k))
            # the error of a Ritz value is about the square of its residual over the gap
            if theta[0] > 0 and beta[k] * abs(s[-1, 0]) <= np.sqrt(_CONVERGED) * theta[0] * 1e-1:
                return float(theta[0])
        if last:
            break
        basis[k + 1] = y / beta[k]
    raise Incomplete(Problem("not-converged", f"the lowest load factor did not converge in {steps} steps"))
