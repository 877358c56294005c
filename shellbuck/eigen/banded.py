"""Banded matrices: positive definiteness, and the lowest load factor by Lanczos on the Cholesky factor.

Bands are lower and column-wise: entry (i, j), i >= j, stands at [i - j, j].
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import eigh_tridiagonal
from scipy.linalg.blas import dsbmv
from scipy.linalg.lapack import dpbtrf, dpbtrs, dtbtrs

from ..errors import Incomplete, Problem

_MOST_STEPS = 42
_ROUNDS = 12
_TRIES = 60
_INVERSE_STEPS = 6
_RESIDUAL = 1e-5
"""Of the wanted Ritz vector, relative; the load factor's error is of the order of its square."""
_CHECK_EVERY = 3
_APART = 1e-6
_NOISE = 0.5


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


def lowest_banded(
    K: np.ndarray, G: np.ndarray, guess: float, start: np.ndarray | None = None
) -> tuple[float, np.ndarray]:
    """The lowest positive load factor of K x = lambda G x, proved to be the lowest, and its mode.

    Parameters
    ----------
    K, G : numpy.ndarray
        (width + 1, n) bands; K positive definite.
    guess : float
        A load factor near the lowest, from either side.
    start : numpy.ndarray or None
        (n,) a shape near the mode, from a neighbouring problem.

    Returns
    -------
    value : float
    mode : numpy.ndarray
        (n,), of no particular size.

    Raises
    ------
    Incomplete
        Without convergence, or when something lower exists.

    Examples
    --------
    >>> K = np.array([np.arange(1.0, 40.0) ** 2])
    >>> round(lowest_banded(K, np.ones((1, 39)), 2.0)[0], 9)
    1.0
    """
    shift, factor = _factored_below(K, G, 0.0, guess)
    near = start
    for _ in range(_ROUNDS):
        theta, mode, converged = _largest(factor, G, near)
        value = shift + 1.0 / theta
        if not converged:  # a shift closer to the estimate from above costs less than many steps
            shift, factor = _factored_below(K, G, shift, value)
            near = mode
            continue
        if positive_definite(K - value * (1 - _APART) * G):
            return value, mode
        # a cluster hid its lowest: closer again, from a start without history
        shift, factor = _factored_below(K, G, shift, value * (1 - _APART))
        near = None
    raise Incomplete(Problem("count-mismatch", f"a load factor below {value:.6g} was missed: withheld"))


def nearest_mode(K: np.ndarray) -> np.ndarray:
    """The (n,) shape a positive definite band (width + 1, n) resists least, by inverse iteration; for a band next to
    singular."""
    factor, failed = dpbtrf(K, lower=1)
    if failed:
        raise Incomplete(Problem("shift-failed", "the stiffness is not positive definite where its mode is asked for"))
    x = np.random.default_rng(20).standard_normal(K.shape[1])
    for _ in range(_INVERSE_STEPS):
        x = dpbtrs(factor, x / np.linalg.norm(x), lower=1)[0]
    return x / np.linalg.norm(x)


def _factored_below(K: np.ndarray, G: np.ndarray, low: float, high: float) -> tuple[float, np.ndarray]:
    """A shift below the lowest load factor and the Cholesky factor there; `low` is known to be below, `high` is tried
    first."""
    shift = high
    for k in range(_TRIES):
        factor, failed = dpbtrf(K - shift * G, lower=1)
        if not failed:
            return shift, factor
        shift = low + (shift - low) * (0.97 if k == 0 else 0.7)
    raise Incomplete(Problem("shift-failed", "no shift below the lowest load factor was found"))


def _largest(factor: np.ndarray, G: np.ndarray, near: np.ndarray | None) -> tuple[float, np.ndarray, bool]:
    """Largest eigenvalue of L^-1 G L^-T by Lanczos with full reorthogonalisation, L^-T times its vector, and whether it
    converged."""
    width, size = factor.shape[0] - 1, factor.shape[1]
    G = np.asfortranarray(G)
    steps = min(size, _MOST_STEPS)
    basis = np.zeros((steps + 1, size))
    start = np.random.default_rng(20).standard_normal(size)
    if near is not None:
        # some noise stays: a start of pure symmetry would never see the other one
        warm = _transposed_product(factor, near)
        start = warm / np.linalg.norm(warm) + _NOISE * start / np.linalg.norm(start)
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
            done = theta[0] > 0 and beta[k] * abs(s[-1, 0]) <= _RESIDUAL * theta[0]
            if done or (last and theta[0] > 0):
                mode = dtbtrs(factor, basis[: k + 1].T @ s[:, 0], uplo="L", trans="T")[0]
                return float(theta[0]), mode, done
        if last:
            break
        basis[k + 1] = y / beta[k]
    raise Incomplete(Problem("no-positive-factor", "no positive load factor was found"))


def _transposed_product(factor: np.ndarray, x: np.ndarray) -> np.ndarray:
    """L^T x of a lower band."""
    out = factor[0] * x
    for k in range(1, factor.shape[0]):
        out[:-k] += factor[k, :-k] * x[k:]
    return out
