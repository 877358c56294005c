"""Symmetric factorisation with its inertia: negative pivots count the load factors below the shift.

SuperLU in symmetric mode keeps the diagonal as pivots; only then do the signs of U's diagonal give the inertia
(Sylvester). The permutations and the residual are checked after every factorisation, whatever the order.

An order for meshes is found on the graph of the nodes, once for all matrices of one pattern. Factorising that graph, a
36th of the matrix, also tells beforehand how large the factor will be.
"""

from __future__ import annotations

import contextlib
import math
import os
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Literal

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import SuperLU, splu

from ...core.errors import Incomplete, Refusal

RESIDUAL = 1e-9
"""Largest backward error of the check solve."""
_DISSECT_FROM = 4_000
"""Nodes from which nested dissection is tried: below, minimum degree is as good."""
_PER_FILL = 44
"""Bytes at the peak for every entry of L: L and U, and a copy of both when the pivots are read (reckoned). With
_PER_ENTRY it met the peak of whole runs of 10k to 100k unknowns to -25/+30 %."""
_PER_ENTRY = 60
"""Bytes for every entry of the stiffness matrix: K, G, their difference, scaled and reordered (reckoned)."""
_SHARE = 0.8
"""Of the machine's memory that may be filled."""
_RATE = 4e9
"""Multiplications a second on one thread; with _PER_SECOND it met shells of 30k to 100k unknowns to a factor of 2."""
_PER_SECOND = 12e6
"""Entries of L a second that come on top for small ones."""


@dataclass(frozen=True, eq=False)
class Elimination:
    """An order of elimination.

    Parameters
    ----------
    name : {"minimum degree", "nested dissection"}
    places : numpy.ndarray
        (n,) unknowns in the order in which they are eliminated.
    fill : int
        Entries of L to come, an estimate.
    work : float
        Multiplications to come, an estimate.
    """

    name: str
    places: np.ndarray
    fill: int
    work: float

    def memory(self, entries: int) -> float:
        """Estimate of the bytes at the peak, for a matrix of so many entries with its factor."""
        return _PER_FILL * self.fill + _PER_ENTRY * entries

    @property
    def seconds(self) -> float:
        """Estimate of the time of one factorisation on one thread [s]; worth a factor of two."""
        return self.work / _RATE + self.fill / _PER_SECOND


Order = Literal["NATURAL", "MMD_AT_PLUS_A"] | Elimination


@dataclass(frozen=True, eq=False)
class Factor:
    """A factorised symmetric matrix: `negative` eigenvalues, and `solve` for one or many right-hand sides.

    `fill` is the number of entries of L, `order` the name of the order of elimination.
    """

    negative: int
    fill: int
    order: str
    _lu: SuperLU
    _scale: np.ndarray
    _places: np.ndarray | None = None

    def solve(self, b: np.ndarray) -> np.ndarray:
        """Solution of A x = b; b (n,) or (n, k). Several at once cost about half as much as one by one."""
        scale = self._scale if b.ndim == 1 else self._scale[:, None]
        if self._places is None:
            return scale * self._lu.solve(scale * b)
        x = np.empty(b.shape, order="F")
        x[self._places] = scale * self._lu.solve(np.asfortranarray(scale * b[self._places]))
        return x

    @cached_property
    def memory(self) -> int:
        """Estimate of the bytes that the factor holds."""
        return _PER_FILL * self.fill


def factorise(A: sparse.csc_matrix, order: Order = "NATURAL") -> Factor:
    """Factorise a symmetric matrix.

    Parameters
    ----------
    A : scipy.sparse.csc_matrix
        (n, n), symmetric.
    order : {"NATURAL", "MMD_AT_PLUS_A"} or Elimination
        Natural for banded matrices, minimum degree for others, one found by `elimination` for meshes.

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
    places, name, spec = (
        (order.places, order.name, "NATURAL") if isinstance(order, Elimination) else (None, order, order)
    )
    if places is not None:
        A = A[places][:, places].tocsc()
    columns = np.repeat(np.arange(A.shape[1], dtype=A.indices.dtype), np.diff(A.indptr))
    diagonal = np.abs(A.diagonal())
    scale = 1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0))
    data = A.data * scale[A.indices]
    data *= scale[columns]
    scaled = sparse.csc_matrix((data, A.indices, A.indptr), shape=A.shape)
    norm = np.bincount(columns, weights=np.abs(data), minlength=A.shape[1]).max()
    del A, columns
    try:
        lu = splu(scaled, permc_spec=spec, diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    except RuntimeError as error:
        raise _failed(f"singular at this shift ({error})") from None
    if not np.array_equal(lu.perm_r, lu.perm_c):
        raise _failed("a pivot left the diagonal")
    probe = np.cos(np.arange(scaled.shape[0]) * 0.7)
    answer = lu.solve(probe)
    # backward error: near a load factor the answer is huge, and the residual is judged against it
    size = norm * np.linalg.norm(answer) + np.linalg.norm(probe)
    residual = np.linalg.norm(scaled @ answer - probe) / size
    if not residual < RESIDUAL:
        raise _failed(f"residual {residual:.1e}")
    del scaled, data
    return Factor(int(np.count_nonzero(lu.U.diagonal() < 0)), lu.L.nnz, name, lu, scale, places)


def factorise_shifted(K: sparse.csc_matrix, G: sparse.csc_matrix, shift: float, order: Order = "NATURAL") -> Factor:
    """Factor of K - shift G; a shift that hits a load factor is moved by a hair, three times at most."""
    for step in range(3):
        try:
            return factorise((K - shift * (1 - 3e-9 * step) * G).tocsc(), order)
        except Incomplete as error:
            last = error
    raise last


def elimination(graph: sparse.csr_matrix, group: np.ndarray, *, dissect: bool = True) -> Elimination:
    """The order of elimination with the smaller factor: minimum degree, or nested dissection where it is installed.

    Parameters
    ----------
    graph : scipy.sparse.csr_matrix
        (g, g) stored where two groups of unknowns meet, symmetric, its diagonal too.
    group : numpy.ndarray
        (n,) group of every unknown, for example its node.
    dissect : bool
        Try nested dissection on large graphs; the extra `order` brings it. Without it, minimum degree alone.

    Examples
    --------
    >>> from scipy.sparse import diags
    >>> chain = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(5, 5)).tocsr()
    >>> found = elimination(chain, np.repeat(np.arange(5), 2))
    >>> found.name, found.fill
    ('minimum degree', 31)
    """
    weight = np.bincount(group, minlength=graph.shape[0]).astype(float)
    row = np.repeat(np.arange(graph.shape[0]), np.diff(graph.indptr))
    # only where entries stand matters: a matrix that dominates its diagonal has a factor without pivoting
    values = np.where(row == graph.indices, float(np.diff(graph.indptr).max()), -0.5)
    model = sparse.csc_matrix((values, graph.indices, graph.indptr), shape=graph.shape)
    least = _ordered("minimum degree", model, weight, group, "MMD_AT_PLUS_A")
    nodes = _dissected(graph) if dissect and graph.shape[0] >= _DISSECT_FROM else None
    if nodes is None:
        return least
    other = _ordered("nested dissection", model[nodes][:, nodes].tocsc(), weight, group, "NATURAL", nodes)
    return min(least, other, key=lambda order: order.work)


def _ordered(
    name: str,
    model: sparse.csc_matrix,
    weight: np.ndarray,
    group: np.ndarray,
    spec: str,
    nodes: np.ndarray | None = None,
) -> Elimination:
    lu = splu(model, permc_spec=spec, diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    sequence = np.argsort(lu.perm_c)
    nodes = sequence if nodes is None else nodes[sequence]
    w = weight[nodes]
    L = lu.L
    height = np.add.reduceat(w[L.indices], L.indptr[:-1])  # unknowns at and below every group
    place = np.empty(len(nodes), dtype=np.int64)
    place[nodes] = np.arange(len(nodes))
    return Elimination(
        name, np.argsort(place[group], kind="stable"), int(np.sum(w * (height - (w - 1) / 2))), float(w @ height**2)
    )


def _dissected(graph: sparse.csr_matrix) -> np.ndarray | None:
    """Groups in an order of nested dissection; None where the package is not installed."""
    try:
        import pymetis
    except ImportError:
        return None
    row = np.repeat(np.arange(graph.shape[0]), np.diff(graph.indptr))
    off = row != graph.indices
    starts = np.concatenate([[0], np.cumsum(np.bincount(row[off], minlength=graph.shape[0]))])
    adjacency = pymetis.CSRAdjacency(starts, graph.indices[off])
    return np.asarray(pymetis.nested_dissection(adjacency=adjacency)[0])


def room() -> float:
    """Bytes that a factor may fill: a share of the machine's memory, or of the container's where that is less; infinite
    where the system does not tell."""
    try:
        machine = float(os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE"))
    except (AttributeError, ValueError, OSError):
        machine = math.inf
    return _SHARE * min(machine, _container_limit())


def _container_limit(groups: Path = Path("/sys/fs/cgroup"), own: Path = Path("/proc/self/cgroup")) -> float:
    """Least memory limit of the control groups that this process is in [B], version 2 or 1; infinite without one."""
    limit = math.inf
    for line in _text(own).splitlines():
        _, controllers, path = line.split(":", 2)
        if not controllers:
            top, name = groups, "memory.max"
        elif "memory" in controllers.split(","):
            top, name = groups / "memory", "memory.limit_in_bytes"
        else:
            continue
        # a limit holds for all groups below; inside a container the upper ones may be out of sight
        place = top / path.lstrip("/")
        for group in (place, *place.parents[: len(place.parts) - len(top.parts)]):
            with contextlib.suppress(ValueError):  # "max", or nothing
                limit = min(limit, float(int(_text(group / name))))
    return limit


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="ascii")
    except OSError:
        return ""


def check_room(order: Elimination, entries: int, memory_limit: float | None = None) -> None:
    """Refuse what will not fit.

    Parameters
    ----------
    order : Elimination
    entries : int
        Of the stiffness matrix.
    memory_limit : float or None
        [B]; None takes `room`.

    Raises
    ------
    Refusal
        With size, need and the way out.
    """
    limit = room() if memory_limit is None else memory_limit
    need = order.memory(entries)
    if need > limit:
        raise Refusal.of(
            "mesh-too-large",
            "the factorised mesh would not fit into memory",
            "mesh",
            f"{len(order.places)} free unknowns, about {need / 1e9:.2g} GB and {order.seconds:.2g} s for every "
            "factorisation, by estimate",
            f"{limit / 1e9:.2g} GB",
            "mesh a sector of one bay or half the length, or take fewer elements",
        )


def _failed(reason: str) -> Incomplete:
    return Incomplete.of("factor-failed", f"a factorisation cannot be trusted: {reason}")
