"""Certified load factors: exact spectra, doublets, planted faults."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import sparse
from scipy.linalg import eigh

from shellbuck.core.errors import Incomplete
from shellbuck.engines.eigen import banded as module
from shellbuck.engines.eigen import count_below, factorise, lowest, lowest_banded, lowest_pairs


def squares(n: int = 80) -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
    """K x = lambda x with lambda = 1, 4, 9, ... hidden by an orthogonal band of rotations (own construction)."""
    K = np.diag(np.arange(1.0, n + 1) ** 2)
    for i in range(n - 1):
        c, s = np.cos(0.3 + i), np.sin(0.3 + i)
        turn = np.eye(n)
        turn[i : i + 2, i : i + 2] = [[c, -s], [s, c]]
        K = turn @ K @ turn.T
    return sparse.csc_matrix((K + K.T) / 2), sparse.identity(n, format="csc")


@pytest.mark.parametrize("guess", [0.3, 1 - 1e-13, 1 - 1e-15, 1.0, 1 + 1e-15, 1 + 1e-13, 50.0])
def test_exact_spectrum_from_any_guess(guess):
    """1e-9: the spread of the spectrum is 6400, rounding is magnified by it. On a load factor, to its last digits, the
    sign of the pivot is rounding's, another one on another processor; no answer may rest on it."""
    found = lowest_pairs(*squares(), guess, want=5)
    assert found.values == pytest.approx([1, 4, 9, 16, 25], rel=1e-9)
    assert found.counted == 5


def test_doublets_are_both_found():
    """A member of a cluster silently missing is the classic fault; the count would tell."""
    K, G = squares(40)
    double = sparse.block_diag([K, K], format="csc")
    found = lowest_pairs(double, sparse.block_diag([G, G], format="csc"), 0.9, want=4)
    assert found.values == pytest.approx([1, 1, 4, 4], rel=1e-9)


def test_count_is_sylvesters():
    K, G = squares()
    assert [count_below(K, G, x) for x in (0.5, 1.5, 17.0, 6401.0)] == [0, 1, 4, 80]


def test_semidefinite_geometric_matrix():
    """Directions that do no work (G = 0 there) have infinite load factors and must not appear."""
    A = np.random.default_rng(3).standard_normal((40, 40))
    K = sparse.csc_matrix(A @ A.T + np.eye(40))
    G = sparse.diags(np.r_[np.ones(10), np.zeros(30)]).tocsc()
    dense = np.linalg.eigvalsh(np.linalg.inv(K.toarray())[:10, :10])
    assert lowest_pairs(K, G, 1.0, want=2).values == pytest.approx(1 / dense[::-1][:2], rel=1e-9)


def test_planted_missing_mode_is_withheld(monkeypatch):
    """A solver that always drops the lowest mode is caught by the count, and says so in words."""
    real = lowest._pairs

    def lossy(*args, **more):
        values, _ = real(*args, **more)
        again, m = real(*args[:4], args[4] + 1)
        return again[1 : 1 + values.size], m[:, 1 : 1 + values.size]

    monkeypatch.setattr(lowest, "_pairs", lossy)
    with pytest.raises(Incomplete, match="withheld"):
        lowest_pairs(*squares(), 0.9, want=2)


def test_singular_matrix_is_refused():
    with pytest.raises(Incomplete, match="cannot be trusted"):
        factorise(sparse.csc_matrix(np.zeros((3, 3))))


def test_no_load_that_could_buckle():
    K, G = squares(40)
    with pytest.raises(Incomplete):
        lowest_pairs(K, -G, 1.0)


def banded(matrix: np.ndarray, width: int) -> np.ndarray:
    out = np.zeros((width + 1, len(matrix)))
    for k in range(width + 1):
        out[k, : len(matrix) - k] = np.diagonal(matrix, -k)
    return out


@pytest.mark.parametrize("guess", [1e-3, 0.5, 40.0])
def test_banded_route_equals_the_dense_one(guess):
    """Banded Lanczos against dense LAPACK on random banded pairs; 1e-9: the shift costs a few digits at most."""
    rng = np.random.default_rng(7)
    for _ in range(5):
        A = np.triu(np.tril(rng.standard_normal((60, 60)), 3), -3)
        K = A @ A.T + np.eye(60)
        B = np.triu(np.tril(rng.standard_normal((60, 60)), 2), -2)
        G = B @ B.T
        right = 1 / eigh(G, K, eigvals_only=True)[-1]
        found, mode = lowest_banded(banded(K, 6), np.pad(banded(G, 4), ((0, 2), (0, 0))), guess)
        assert found == pytest.approx(right, rel=1e-9)
        # 1e-4: the mode is stopped at a residual of 1e-5
        assert np.linalg.norm(K @ mode - found * G @ mode) < 1e-4 * np.linalg.norm(K @ mode)


def test_banded_route_repairs_a_missed_load(monkeypatch):
    """A solver that hands over too high a value is caught by the count and asked again nearer; 1e-6: its place."""
    real = module._largest

    def spoiled(*args):
        theta, mode, error = real(*args)
        return 0.9 * theta, mode, error

    monkeypatch.setattr(module, "_largest", spoiled)
    found, _ = lowest_banded(np.array([np.arange(1.0, 40.0) ** 2]), np.ones((1, 39)), 0.5)
    assert found == pytest.approx(1.0, rel=2e-6)


def test_banded_route_withholds_what_the_count_denies(monkeypatch):
    real = module._cholesky
    monkeypatch.setattr(module, "_factored_below", lambda K, *_: (0.0, real(K)))
    monkeypatch.setattr(module, "_cholesky", lambda band: None if band[0, 0] < 1.0 else real(band))
    with pytest.raises(Incomplete, match="was missed: withheld"):
        lowest_banded(np.array([np.arange(1.0, 40.0) ** 2]), np.ones((1, 39)), 0.5)
