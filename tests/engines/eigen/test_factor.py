"""Factors: inertia in every order, what is predicted of them, and what is refused."""

from __future__ import annotations

import os
import sys

import numpy as np
import pytest
from scipy import sparse

from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.engines.eigen import factor as module
from shellbuck.engines.eigen.factor import check_room, elimination, factorise


def grid(n: int, m: int) -> sparse.csr_matrix:
    """Graph of a square grid where every place meets its eight neighbours."""
    line = sparse.diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(n, n))
    return sparse.kron(line, sparse.diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(m, m))).tocsr()


def matrix(graph: sparse.csr_matrix, width: int, seed: int = 4) -> tuple[sparse.csc_matrix, np.ndarray]:
    """A symmetric matrix with full blocks of `width` unknowns on a graph, and the group of every unknown."""
    A = sparse.kron(graph, np.ones((width, width))).tocsc()
    A.data = np.random.default_rng(seed).standard_normal(A.nnz)
    return (A + A.T + 3 * sparse.identity(A.shape[0])).tocsc(), np.repeat(np.arange(graph.shape[0]), width)


def dissected(graph, group, monkeypatch):
    pytest.importorskip("pymetis")
    monkeypatch.setattr(module, "_DISSECT_FROM", 1)
    nodes = module._dissected(graph)
    model = sparse.csc_matrix(graph + 10 * sparse.identity(graph.shape[0]))[nodes][:, nodes].tocsc()
    weight = np.bincount(group).astype(float)
    return module._ordered("nested dissection", model, weight, group, "NATURAL", nodes)


@pytest.mark.parametrize("kind", ["NATURAL", "MMD_AT_PLUS_A", "minimum degree", "nested dissection"])
def test_inertia_and_answers_in_every_order(kind, monkeypatch):
    """Negative eigenvalues as dense LAPACK counts them; one and many right-hand sides."""
    graph = grid(9, 7)
    A, group = matrix(graph, 3)
    A = (A + 12 * sparse.identity(A.shape[0])).tocsc()
    order = kind
    if kind == "minimum degree":
        order = elimination(graph, group)
    if kind == "nested dissection":
        order = dissected(graph, group, monkeypatch)
    for shift in (0.0, 7.0):
        B = (A - shift * sparse.identity(A.shape[0])).tocsc()
        factor = factorise(B, order)
        assert factor.negative == np.sum(np.linalg.eigvalsh(B.toarray()) < 0)
        assert factor.order == kind
        b = np.random.default_rng(0).standard_normal((B.shape[0], 3))
        assert np.abs(B @ factor.solve(b) - b).max() < 1e-8
        assert np.abs(B @ factor.solve(b[:, 0]) - b[:, 0]).max() < 1e-8


def test_fill_is_foretold():
    """Full blocks: to the entry."""
    graph = grid(20, 15)
    A, group = matrix(graph, 4)
    order = elimination(graph, group)
    A = A + 200 * sparse.identity(A.shape[0])
    assert factorise(A.tocsc(), order).fill == order.fill
    assert sorted(order.places) == list(range(A.shape[0]))


def test_without_the_package_minimum_degree_is_used(monkeypatch):
    monkeypatch.setattr(module, "_DISSECT_FROM", 1)
    monkeypatch.setitem(sys.modules, "pymetis", None)
    assert elimination(grid(30, 30), np.repeat(np.arange(900), 2)).name == "minimum degree"


def test_the_smaller_factor_decides(monkeypatch):
    pytest.importorskip("pymetis")
    monkeypatch.setattr(module, "_DISSECT_FROM", 1)
    graph, group = grid(60, 60), np.repeat(np.arange(3600), 2)
    assert elimination(graph, group).work <= elimination(graph, group, dissect=False).work


def test_need_beyond_the_room_is_refused():
    order = elimination(grid(20, 20), np.repeat(np.arange(400), 6))
    check_room(order, 10**5, 1e9)
    with pytest.raises(Refusal, match=r"2400 free unknowns.*by estimate.*sector"):
        check_room(order, 10**5, 1e6)


def test_room_is_a_share_of_the_machine(monkeypatch):
    monkeypatch.setattr(module, "_container_limit", lambda: float("inf"))
    monkeypatch.setattr(os, "sysconf", {"SC_PHYS_PAGES": 1000, "SC_PAGE_SIZE": 4096}.__getitem__, raising=False)
    assert module.room() == pytest.approx(0.8 * 4096e3)
    monkeypatch.setattr(module, "_container_limit", lambda: 1e6)
    assert module.room() == pytest.approx(0.8e6)
    monkeypatch.delattr(os, "sysconf")
    assert module.room() == pytest.approx(0.8e6)
    monkeypatch.setattr(module, "_container_limit", lambda: float("inf"))
    assert module.room() == float("inf")


@pytest.mark.parametrize(
    ("own", "limits", "expected"),
    [
        ("0::/a/b\n", {"memory.max": "max", "a/memory.max": "700\n", "a/b/memory.max": "900\n"}, 700),
        ("0::/a\n", {"memory.max": "5000\n"}, 5000),  # in a container, whose root stands for its group
        ("0::/../x\n", {"memory.max": "max\n"}, float("inf")),
        (
            "3:cpu:/a\n4:memory,hugetlb:/a\n0::/\n",
            {"memory/memory.limit_in_bytes": "9223372036854771712\n", "memory/a/memory.limit_in_bytes": "300\n"},
            300,
        ),
        ("", {"memory.max": "10\n"}, float("inf")),
    ],
)
def test_limit_of_a_container(tmp_path, own, limits, expected):
    """Control groups of version 2 and 1 (kernel documentation): the least limit from the own group to the top."""
    groups = tmp_path / "groups"
    for name, text in limits.items():
        (groups / name).parent.mkdir(parents=True, exist_ok=True)
        (groups / name).write_text(text)
    (tmp_path / "own").write_text(own)
    assert module._container_limit(groups, tmp_path / "own") == expected
    assert module._container_limit(groups, tmp_path / "none") == float("inf")


def test_wrong_answers_of_the_back_end_are_caught(monkeypatch):
    """A planted fault: a solver that is wrong in one entry."""
    real = module.splu

    class Spoiled:
        def __init__(self, lu):
            self.lu = lu

        def __getattr__(self, name):
            return getattr(self.lu, name)

        def solve(self, b):
            x = self.lu.solve(b)
            x[3] *= 1.001
            return x

    monkeypatch.setattr(module, "splu", lambda *args, **more: Spoiled(real(*args, **more)))
    A, _ = matrix(grid(6, 6), 2)
    with pytest.raises(Incomplete, match="residual"):
        factorise((A + 50 * sparse.identity(A.shape[0])).tocsc())


def test_moved_pivots_are_caught():
    """Nothing on the diagonal: pivots must leave it, and the count would be wrong."""
    with pytest.raises(Incomplete, match="cannot be trusted"):
        factorise(sparse.csc_matrix(np.array([[0.0, 1.0], [1.0, 0.0]])))
