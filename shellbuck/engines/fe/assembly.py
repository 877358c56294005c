"""Sparse matrices of a shell: stiffness and geometric stiffness."""

from __future__ import annotations

import numpy as np
from scipy import sparse

from .shell import Pattern, Shell, spread


def stiffness(shell: Shell) -> sparse.csc_matrix:
    """The stiffness matrix (unknowns, unknowns), symmetric; every distinct element is integrated once."""
    pattern, (first, kind) = shell.pattern, shell.alike
    n = shell.mesh.elements.shape[1]
    data = np.zeros((len(pattern.indices), 36))
    order = np.argsort(kind, kind="stable")
    begin = np.searchsorted(kind[order], np.arange(len(first) + 1))
    for part, elements in shell.batches(first, 36 * n * n):
        K = elements.stiffness(shell.section_matrices[shell.mesh.part[first[part]]])
        of_kind = order[begin[part[0]] : begin[part[-1] + 1]]
        spread(pattern, data, of_kind, kind[of_kind] - part[0], K.reshape(-1, n, n, 36))
    return _matrix(pattern, data, shell.size)


def geometric(shell: Shell, N: np.ndarray) -> sparse.csc_matrix:
    """The geometric stiffness matrix: integral of N_ab v,a . v,b over skin and ribs.

    Parameters
    ----------
    shell : Shell
    N : numpy.ndarray
        (e, q, 3) membrane resultants at the integration points [N/m], order 11, 22, 12 of the surface frame, tension
        positive.

    Returns
    -------
    scipy.sparse.csc_matrix
        (unknowns, unknowns) [N/m], symmetric.
    """
    pattern, n = shell.pattern, shell.mesh.elements.shape[1]
    data = np.zeros((len(pattern.indices), 9))
    every = np.arange(len(N))
    for part, elements in shell.batches(every, 18 * n * n):
        blocks = elements.geometric(N[part]).reshape(-1, n, n, 9)
        spread(pattern, data, part, np.arange(len(part)), blocks)
    return _matrix(pattern, data, shell.size)


def _matrix(pattern: Pattern, data: np.ndarray, size: int) -> sparse.csc_matrix:
    """Node blocks as a matrix; blocks of displacements only (3 x 3) keep the numbering of six a node."""
    width = round(np.sqrt(data.shape[1]))
    blocks = sparse.bsr_matrix((data.reshape(-1, width, width), pattern.indices, pattern.indptr))
    rows = blocks.tocsr()
    rows.eliminate_zeros()
    if width == 3:
        count = np.zeros((size // 6, 6), dtype=rows.indptr.dtype)
        count[:, :3] = np.diff(rows.indptr).reshape(-1, 3)
        indptr = np.concatenate([[0], np.cumsum(count)])
        indices = rows.indices // 3 * 6 + rows.indices % 3
        rows = sparse.csr_matrix((rows.data, indices, indptr), shape=(size, size))
    # rows of a symmetric matrix are its columns
    return sparse.csc_matrix((rows.data, rows.indices, rows.indptr), shape=(size, size))
