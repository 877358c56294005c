"""Symmetric factorisation with its inertia: negative pivots count the load factors below the shift.

SuperLU in symmetric mode keeps the diagonal as pivots; only then do the signs of U's diagonal give the inertia
(Sylvester). The permutations and the residual are checked after every factorisation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import SuperLU, splu

from ..errors import Incomplete, Problem

Order = Literal["NATURAL", "MMD_AT_PLUS_A"]

RESIDUAL = 1e-9
"""Largest backward error of the check solve."""


@dataclass(frozen=True, eq=False)
class Factor:
    """A factorised symmetric matrix: `negative` eigenvalues, and `solve` for one or many right-hand sides."""

    negative: int
    _lu: SuperLU
    _scale: np.ndarray

    def solve(self, b: np.ndarray) -> np.ndarray:
        """Solution of A x = b; b (n,) or (n, k)."""
        scale = self._scale if b.ndim == 1 else self._scale[:, None]
        return scale * self._lu.solve(scale * b)


def factorise(A: sparse.csc_matrix, order: Order = "NATURAL") -> Factor:
    """Factorise a symmetric matrix.

    Parameters
    ----------
    A : scipy.sparse.csc_matrix
        (n, n), symmetric.
    order : {"NATURAL", "MMD_AT_PLUS_A"}
        Natural for banded matrices, minimum degree for meshes.

    Raises
    ------
    Incomplete
        When a pivot had to be moved off the diagonal, or the residual is too large: the count would be wrong.

    Examples
    --------
    >>> from scipy.sparse import diags
    >>> factorise(diags([1.0, -2.0, 3.0]).tocsc()).negative
    1
    """
    columns = np.repeat(np.arange(A.shape[1]), np.diff(A.indptr))
    diagonal = np.abs(np.bincount(columns, weights=np.where(A.indices == columns, A.data, 0.0), minlength=A.shape[0]))
    scale = 1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0))
    scaled = sparse.csc_matrix((A.data * scale[A.indices] * scale[columns], A.indices, A.indptr), shape=A.shape)
    try:
        lu = splu(
            scaled, permc_spec=order, diag_pivot_thresh=0.0, options={"SymmetricMode": True}
        )  # fmt: skip
    except RuntimeError as error:
        raise _failed(f"singular at this shift ({error})") from None
    if not np.array_equal(lu.perm_r, lu.perm_c):
        raise _failed("a pivot left the diagonal")
    pivots = lu.U.diagonal()
    probe = np.cos(np.arange(A.shape[0]) * 0.7)
    answer = lu.solve(probe)
    # backward error: near a load factor the answer is huge, and the residual is judged against it
    norm = np.bincount(columns, weights=np.abs(scaled.data)).max()
    size = norm * np.linalg.norm(answer) + np.linalg.norm(probe)
    residual = np.linalg.norm(scaled @ answer - probe) / size
    if not residual < RESIDUAL:
        raise _failed(f"residual {residual:.1e}")
    return Factor(int(np.count_nonzero(pivots < 0)), lu, scale)


def _failed(reason: str) -> Incomplete:
    return Incomplete(Problem("factor-failed", f"a factorisation cannot be trusted: {reason}"))
