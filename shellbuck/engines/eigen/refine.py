"""Modes found at a shift, made better by its factor until their residual is far below the gate that judges it.

Inverse iteration, written as a correction (K - s G)^-1 (K x - lambda G x), takes away what is left of the stiffest
motions, down to the last digits: the Gram matrix of a larger Rayleigh-Ritz problem has rounding of its own, 1e-9 of a
thin shell's energy, which the residual weighs a millionfold. But what a mode holds of its neighbours at the shift grows
by (lambda - s)/(lambda' - s), a hundredfold for a load factor far below a shift in a crowd. Where that shows, the
corrections become new directions beside the modes: by Rayleigh's principle they can only lower the load factors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.linalg import eigh

from ...core.errors import Incomplete
from .factor import Factor

GOOD = 1e-6
"""Residual at which a mode is left alone: a hundredth of the gate, ten times what rounding leaves at R/t 3000."""
_ROUNDS = 8
_SLOW = 0.2
"""Share of the largest residual that inverse iteration may leave before it is helped."""
_STALLED = 0.7
"""A round that leaves more than this has met the rounding of the matrices, if the residual is below the gate."""
_DEPENDENT = 1e-14
"""Square of the part of a direction, relative, that is new."""


@dataclass(frozen=True, eq=False)
class Refined:
    """Load factors (m,), rising, modes (n, m) of length one in the norm of K, K and G times them, and their residuals
    |K x - lambda G x| over |K x|, unknowns scaled by the diagonal of K."""

    values: np.ndarray
    modes: np.ndarray
    KX: np.ndarray
    GX: np.ndarray
    residual: np.ndarray


def refined(K: sparse.csc_matrix, G: sparse.csc_matrix, factor: Factor, x: np.ndarray, gate: float) -> Refined:
    """The lowest positive load factors of K x = lambda G x near a space, as many as it has directions.

    Parameters
    ----------
    K, G : scipy.sparse.csc_matrix
        (n, n) symmetric; K positive definite.
    factor : Factor
        Of K - shift G at some shift near.
    x : numpy.ndarray
        (n, m) modes, roughly.
    gate : float
        Residual that is asked for: rounds go on to GOOD, or until they bring nothing and the gate is met.

    Raises
    ------
    Incomplete
        When the vectors depend on each other.
    """
    scale = 1 / np.sqrt(K.diagonal())[:, None]
    want = x.shape[1]
    found = _ritz(K, G, scale, x, want)
    for _ in range(_ROUNDS):
        before = found.residual.max(initial=0.0)
        poor = (found.residual > GOOD) & np.isfinite(found.residual)
        if not poor.any():
            break
        step = factor.solve(found.KX[:, poor] - found.GX[:, poor] * found.values[poor])
        # inverse iteration, as a correction: what is left of the stiffest motions goes, down to the last digits
        x = found.modes.copy()
        x[:, poor] -= step
        best = _ritz(K, G, scale, x, want)
        if best.residual.max() > _SLOW * before:  # neighbours at the shift have grown instead
            wide = _ritz(K, G, scale, np.column_stack([found.modes, _apart(K, found, step)]), want)
            best = min(best, wide, key=lambda one: one.residual.max())
        if best.residual.max() < before:
            found = best
        if best.residual.max() > _STALLED * before and before < gate:
            break
    return found


def _apart(K: sparse.csc_matrix, found: Refined, new: np.ndarray) -> np.ndarray:
    """What the columns of `new` hold beside the modes, orthonormal in K; (n, k), as many as are independent."""
    for _ in range(2):
        size = np.sqrt(np.maximum(np.einsum("ij,ij->j", new, K @ new), 0.0))
        new = new[:, size > 0] / size[size > 0]
        new = new - found.modes @ (found.KX.T @ new)
    M = new.T @ (K @ new)
    e, v = np.linalg.eigh((M + M.T) / 2)
    keep = e > _DEPENDENT * max(1.0, e.max(initial=0.0))
    return new @ (v[:, keep] / np.sqrt(e[keep]))


def _ritz(K: sparse.csc_matrix, G: sparse.csc_matrix, scale: np.ndarray, x: np.ndarray, want: int) -> Refined:
    """Best load factors in the span of x with K and G themselves: those of the `want` largest 1/lambda."""
    x = x / np.sqrt(np.einsum("ij,ij->j", x, K @ x))
    KX, GX = K @ x, G @ x
    try:
        theta, y = eigh(x.T @ GX, x.T @ KX)
    except np.linalg.LinAlgError:
        raise Incomplete.of("not-converged", "the modes found depend on each other") from None
    y = y[:, ::-1][:, :want]
    KX, GX = KX @ y, GX @ y
    with np.errstate(divide="ignore", invalid="ignore"):  # a direction without work is no mode
        values = 1 / theta[::-1][:want]
        residual = np.linalg.norm(scale * (KX - GX * values), axis=0) / np.linalg.norm(scale * KX, axis=0)
    return Refined(values, x @ y, KX, GX, np.where(np.isfinite(residual), residual, np.inf))
