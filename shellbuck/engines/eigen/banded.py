"""Banded matrices: positive definiteness, and the lowest load factor by Lanczos on the Cholesky factor.

Bands are lower and column-wise: entry (i, j), i >= j, stands at [i - j, j].
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from scipy.linalg.blas import dsbmv, dtbmv, dtbsv
from scipy.linalg.lapack import dpbtrf, dpbtrs, dstev

from ...core.errors import Incomplete

_MOST_STEPS = 42
_ROUNDS = 12
_TRIES = 60
_INVERSE_STEPS = 6
_ROUGH, _FINE = 2e-7, 1e-12
"""Relative error of the load factor, by the residual and its square over the distance to the next: before and after a
factor just below has shown that none is lower."""
_MOVES, _HAIR = 4, 3e-9
_GROWTH = 1e7
"""Largest |L| |D| |L|^T over the diagonal of K: nine digits are left."""
APART = 1e-6
"""Relative distance below a load factor found at which a factor shows that none is lower."""
_SHARE = 0.3
"""Of noise in a warm start."""
_BACK = (0.999, 0.99, 0.95)
"""By how much a shift that is too high goes back at first."""


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


def counts_below(K: np.ndarray, G: np.ndarray, load: float) -> np.ndarray:
    """Numbers of load factors of many problems K x = lambda G x between 0 and `load`, by Sylvester's law.

    All problems are factorised side by side as L D L^T, without pivoting: the growth of the entries is watched, and a
    load that hits a load factor of some leading block is moved by a hair.

    Parameters
    ----------
    K, G : numpy.ndarray
        (width + 1, n, problems) bands; K positive definite.
    load : float

    Returns
    -------
    numpy.ndarray
        (problems,) of int.

    Raises
    ------
    Incomplete
        When the growth would spoil a count.

    Examples
    --------
    >>> K, G = np.array([[[1.0, 2.0], [4.0, 8.0], [9.0, 18.0]]]), np.ones((1, 3, 2))
    >>> counts_below(K, G, 5.0).tolist()
    [2, 1]
    """
    count = np.empty(K.shape[2], int)
    left = np.arange(count.size)
    for move in range(_MOVES):
        pivots, growth = _pivots(K[:, :, left] - load * (1 - _HAIR * (4**move - 1)) * G[:, :, left])
        count[left] = (pivots < 0).sum(0)
        left = left[~(growth <= _GROWTH * K[0][:, left]).all(0)]
        if left.size == 0:
            return count
    raise Incomplete.of("factor-failed", f"a count at {load:.6g} cannot be trusted: its entries grow")


def _pivots(A: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Pivots (n, problems) of bands (width + 1, n, problems), and the diagonal of |L| |D| |L|^T."""
    height, size, many = A.shape
    width = height - 1
    # row i holds its columns i - width to i + width, so that a square on the diagonal is a view
    rows = np.zeros((size + width, 2 * width + 1, many))
    for k in range(height):
        rows[k:size, width - k] = A[k, : size - k]
        rows[: size - k, width + k] = A[k, : size - k]
    shape, strides = (width, width, many), (2 * width * rows.strides[1], rows.strides[1], rows.strides[2])
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # a pivot of zero shows in the growth
        for j in range(size if width else 0):
            below = rows[j, width + 1 :]
            square = np.ndarray(shape, float, rows, (j + 1) * rows.strides[0] + width * rows.strides[1], strides)
            square -= below[:, None] * (below / rows[j, width])
        pivots = rows[:size, width]
        growth = np.abs(pivots)
        for k in range(1, height):
            growth[k:] += rows[: size - k, width + k] ** 2 / np.abs(pivots[: size - k])
    return pivots, growth


def lowest_banded(
    K: np.ndarray, G: np.ndarray, guess: float, start: np.ndarray | None = None, *, fine: bool = True
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
    fine : bool
        Converge to rounding; False stops within 1e-6, which members of a pair closer than that need.

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
    mode, proved = start, False
    for _ in range(_ROUNDS):
        theta, mode, error = _largest(factor, G, shift, mode, _FINE if proved else _ROUGH)
        value = shift + 1.0 / theta
        if proved and error <= _FINE:
            return value, mode
        if error > _ROUGH:  # a shift closer to the estimate from above costs less than many steps
            shift, factor = _factored_below(K, G, shift, value)
            continue
        below = value * (1 - APART)
        closer = _cholesky(K - below * G)
        proved = closer is not None
        if closer is not None:
            if not fine:
                return _improved(closer, K, G, mode)
            shift, factor = below, closer
        else:  # a cluster hid its lowest: closer again, from a start without history
            shift, factor = _factored_below(K, G, shift, below)
            mode = None
    raise Incomplete.of("count-mismatch", f"a load factor below {value:.6g} was missed: withheld")


def nearest_mode(K: np.ndarray) -> np.ndarray:
    """The (n,) shape a positive definite band (width + 1, n) resists least, by inverse iteration; for a band next to
    singular."""
    factor, failed = dpbtrf(K, lower=1)
    if failed:
        raise Incomplete.of("shift-failed", "the stiffness is not positive definite where its mode is asked for")
    x = np.random.default_rng(20).standard_normal(K.shape[1])
    for _ in range(_INVERSE_STEPS):
        x = dpbtrs(factor, x / np.linalg.norm(x), lower=1)[0]
    return np.asarray(x / np.linalg.norm(x))


def _factored_below(K: np.ndarray, G: np.ndarray, low: float, high: float) -> tuple[float, np.ndarray]:
    """A shift below the lowest load factor and the Cholesky factor there; `low` is known to be below, `high` is tried
    first."""
    shift = high
    for k in range(_TRIES):
        factor = _cholesky(K - shift * G)
        if factor is not None:
            return shift, factor
        shift = low + (shift - low) * (_BACK[k] if k < len(_BACK) else 0.7)
    raise Incomplete.of("shift-failed", "no shift below the lowest load factor was found")


def _cholesky(band: np.ndarray) -> np.ndarray | None:
    """Lower factor of a band, None when it is not positive definite."""
    factor, failed = dpbtrf(band, lower=1)
    return None if failed else factor


@cache
def _noise(size: int) -> np.ndarray:
    noise = np.random.default_rng(20).standard_normal(size)
    return noise / np.linalg.norm(noise)


def _improved(factor: np.ndarray, K: np.ndarray, G: np.ndarray, x: np.ndarray) -> tuple[float, np.ndarray]:
    """Load factor and mode after one step of inverse iteration."""
    width = len(K) - 1
    x = dpbtrs(factor, dsbmv(width, 1.0, G, x, lower=1), lower=1)[0]
    x /= math.sqrt(x @ x)
    return float(x @ dsbmv(width, 1.0, K, x, lower=1) / (x @ dsbmv(width, 1.0, G, x, lower=1))), x


def _largest(
    factor: np.ndarray, G: np.ndarray, shift: float, near: np.ndarray | None, enough: float
) -> tuple[float, np.ndarray, float]:
    """Largest eigenvalue theta of L^-1 G L^-T by Lanczos with full reorthogonalisation, L^-T times its vector, and the
    relative error of the load factor shift + 1/theta, stopped when it is small enough."""
    width, size = factor.shape[0] - 1, factor.shape[1]
    G = np.asfortranarray(G)
    steps = min(size, _MOST_STEPS)
    basis = np.empty((steps + 1, size))
    start = _noise(size)
    if near is not None:
        # some noise stays: a start of pure symmetry would never see the other one
        warm = dtbmv(width, factor, near, lower=1, trans=1)
        start = warm / math.sqrt(warm @ warm) + _SHARE * start
    basis[0] = start / math.sqrt(start @ start)
    alpha, beta = np.zeros(steps), np.zeros(steps)
    for k in range(steps):
        x = dtbsv(width, factor, basis[k], lower=1, trans=1)
        y = dtbsv(width, factor, dsbmv(width, 1.0, G, x, lower=1), lower=1, overwrite_x=1)
        known = basis[: k + 1]
        along = known @ y
        alpha[k] = along[k]
        y -= along @ known
        y -= (known @ y) @ known
        beta[k] = math.sqrt(y @ y)
        last = k == steps - 1 or beta[k] == 0
        if k or last:
            theta, s, _ = dstev(alpha[: k + 1], beta[: max(k, 1)])
            top = theta[k]
            if top > 0:
                off = beta[k] * abs(s[k, k]) / top
                apart = (top - theta[k - 1]) / top if k else 1.0
                error = min(off, off * off / apart if apart > 0 else off) / (1 + shift * top)
                if error <= enough or last:
                    return float(top), dtbsv(width, factor, s[:, k] @ known, lower=1, trans=1), float(error)
        if last:
            break
        basis[k + 1] = y / beta[k]
    raise Incomplete.of("no-positive-factor", "no positive load factor was found")
