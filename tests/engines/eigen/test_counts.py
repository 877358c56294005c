"""Counts of many banded problems side by side, against dense eigenvalues."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import eigh

from shellbuck.core.errors import Incomplete
from shellbuck.engines.eigen import banded, counts_below


def problems(seed: int, size: int = 40, many: int = 6) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Random pairs of bandwidth 6 and 4: bands (7, size, many), and the inverse load factors (many, size)."""
    rng = np.random.default_rng(seed)
    K, G, inverse = np.zeros((7, size, many)), np.zeros((7, size, many)), []
    for p in range(many):
        A, B = (np.triu(np.tril(rng.standard_normal((size, size)), w), -w) for w in (3, 2))
        stiff, work = A @ A.T + np.eye(size), B + B.T  # the work has both signs
        for k in range(7):
            K[k, : size - k, p], G[k, : size - k, p] = np.diagonal(stiff, -k), np.diagonal(work, -k)
        inverse.append(eigh(work, stiff, eigvals_only=True))
    return K, G, np.array(inverse)


@pytest.mark.parametrize("load", [0.05, 0.3, 1.0, 4.0])
def test_counts_equal_the_dense_spectrum(load):
    """Load factors between 0 and the load are inverse factors above 1/load; none lies within 1e-9 of it here."""
    for seed in range(5):
        K, G, inverse = problems(seed)
        assert counts_below(K, G, load).tolist() == np.count_nonzero(inverse * load > 1, axis=1).tolist()


def test_problems_do_not_touch_each_other():
    """One at a time they count the same."""
    K, G, _ = problems(7, many=5)
    together = counts_below(K, G, 0.7).tolist()
    assert [counts_below(K[:, :, [p]], G[:, :, [p]], 0.7)[0] for p in range(5)] == together


def test_a_load_at_a_leading_block_is_moved():
    """K = [[2, 1], [1, 5]], G = I, load 2: the first pivot is zero. Load factors (7 -+ sqrt 13)/2: 1.70, 5.30."""
    K = np.array([[[2.0], [5.0]], [[1.0], [0.0]]])
    G = np.array([[[1.0], [1.0]], [[0.0], [0.0]]])
    assert counts_below(K, G, 2.0).tolist() == [1]


def test_growth_that_cannot_be_trusted_is_withheld(monkeypatch):
    monkeypatch.setattr(banded, "_MOVES", 1)
    K = np.array([[[2.0], [5.0]], [[1.0], [0.0]]])
    G = np.array([[[1.0], [1.0]], [[0.0], [0.0]]])
    with pytest.raises(Incomplete, match="cannot be trusted"):
        counts_below(K, G, 2.0)


def test_growth_is_that_of_the_factor():
    """|L| |D| |L|^T on the diagonal, against the dense product."""
    K, G, _ = problems(3, many=2)
    pivots, growth = banded._pivots(K - 0.4 * G)
    for p in range(2):
        A = sum(np.diag(d[: 40 - k], -k) for k, d in enumerate((K - 0.4 * G)[:, :, p]))
        A = A + np.tril(A, -1).T
        L, D = np.eye(40), np.zeros(40)
        for j in range(40):
            D[j] = A[j, j]
            L[j + 1 :, j] = A[j + 1 :, j] / D[j]
            A = A - D[j] * np.outer(L[:, j], L[:, j])
        assert pivots[:, p] == pytest.approx(D, rel=1e-9)
        assert growth[:, p] == pytest.approx(np.diag(np.abs(L) * np.abs(D) @ np.abs(L.T)), rel=1e-9)
