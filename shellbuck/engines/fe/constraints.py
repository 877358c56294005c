"""What is held and what moves together, as a sparse map from the free unknowns to all of them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy import sparse
from scipy.sparse.csgraph import connected_components

from ...core.errors import Refusal
from ..eigen.factor import Elimination, check_room, elimination
from ..mesh import Mesh
from .shell import TURN_R, TURN_THETA, TURN_X, Shell, U, V, W

_RIGID = 1e-9
_MANY_TIED = 12


def held_at(shell: Shell, x: float, held: frozenset[str]) -> np.ndarray:
    """Unknowns that an end holds, on skin and ribs alike.

    Beside u, v, w and the slope w' (rotation about the hoop), the rotation about the axis is held where v and w both
    are: the support is stiff over the height of the ribs' cross-sections. The rotation about the radius stays free,
    else the webs would be clamped sideways; only an end that holds everything holds it too. An end that holds u but not
    the slope holds u on the skin alone: u held over the height of a web would clamp it.

    Parameters
    ----------
    shell : Shell
    x : float
        Place of the end [m].
    held : frozenset of str
        Of "u", "v", "w", "w'".

    Returns
    -------
    numpy.ndarray
        (k,) numbers of unknowns.
    """
    nodes = shell.mesh.nodes_at(x)
    kinds = [kind for name, kind in (("v", V), ("w", W), ("w'", TURN_THETA)) if name in held]
    if {"v", "w"} <= held:
        kinds.append(TURN_X)
    if {"u", "v", "w", "w'"} <= held:
        kinds.append(TURN_R)
    numbers = [6 * nodes + kind for kind in kinds]
    if "u" in held:
        on = nodes if "w'" in held else np.intersect1d(nodes, shell.mesh.nodes_of("skin"))
        numbers.append(6 * on + U)
    return np.unique(np.concatenate([np.zeros(0, dtype=np.int64), *numbers]))


def symmetry_at(nodes: np.ndarray, normal: int) -> np.ndarray:
    """Unknowns (k,) held in a plane of symmetry whose normal is the nodal direction 0, 1 or 2 (axial, hoop, radial)."""
    others = [k for k in range(3) if k != normal]
    return np.unique(np.concatenate([6 * nodes + normal, *(6 * nodes + 3 + k for k in others)]))


def antisymmetry_at(nodes: np.ndarray, normal: int) -> np.ndarray:
    """Unknowns (k,) held in a plane of symmetry by modes that are odd about it: those that `symmetry_at` leaves."""
    every = (6 * nodes[:, None] + np.arange(6)).ravel()
    return np.setdiff1d(every, symmetry_at(nodes, normal))


def side_ties(mesh: Mesh) -> np.ndarray:
    """(k, 2) unknowns of the side edges of a sector that move alike when all sectors do the same."""
    return np.stack([6 * side[:, None] + np.arange(6) for side in (mesh.left, mesh.right)], -1).reshape(-1, 2)


def reduction(size: int, held: np.ndarray, ties: Sequence[np.ndarray] = ()) -> sparse.csc_matrix:
    """Map from free unknowns to all.

    Parameters
    ----------
    size : int
        Number of all unknowns.
    held : numpy.ndarray
        Numbers of those that are zero.
    ties : sequence of numpy.ndarray
        (k,) unknowns that move together, or (r, k) with one tie in every row. Ties that share an unknown are one; what
        is tied to a held unknown is held.

    Returns
    -------
    scipy.sparse.csc_matrix
        T (size, free), so that T^T K T and T^T f are the reduced problem and no identity rows remain.

    Examples
    --------
    >>> reduction(4, np.array([1]), [np.array([2, 3])]).toarray().tolist()
    [[1.0, 0.0], [0.0, 0.0], [0.0, 1.0], [0.0, 1.0]]
    """
    pairs = [np.empty((2, 0), dtype=np.int64)]
    for tie in map(np.atleast_2d, ties):
        pairs.append(np.stack([np.repeat(tie[:, 0], tie.shape[1] - 1), tie[:, 1:].ravel()]))
    first, second = np.concatenate(pairs, axis=1)
    graph = sparse.coo_matrix((np.ones(first.size), (first, second)), shape=(size, size))
    count, group = connected_components(graph, directed=False)
    free = np.ones(count, dtype=bool)
    free[group[held]] = False
    column = (np.cumsum(free) - 1)[group]
    row = np.nonzero(free[group])[0]
    return sparse.csc_matrix((np.ones(row.size), (row, column[row])), shape=(size, int(free.sum())))


def reduced(K: sparse.csc_matrix, T: sparse.csc_matrix) -> sparse.csc_matrix:
    """T^T K T; a choice of rows and columns where nothing is tied, which is several times faster."""
    if T.nnz == T.shape[1]:
        return K[T.indices][:, T.indices].tocsc()
    return (T.T @ K @ T).tocsc()


def elimination_of(
    shell: Shell, T: sparse.csc_matrix, memory_limit: float | None = None, owner: np.ndarray | None = None
) -> Elimination:
    """The order in which the free unknowns are eliminated, node by node, before any matrix is made.

    Parameters
    ----------
    shell : Shell
    T : scipy.sparse.csc_matrix
        From `reduction`, or of several fields one below the other.
    memory_limit : float or None
        [B] that the factorised problem may take; None takes a share of the machine's memory.
    owner : numpy.ndarray or None
        (free,) node of each free unknown; None sees it from T.

    Raises
    ------
    Refusal
        When it will not fit, by estimate.
    """
    count = len(shell.mesh.points)
    members = np.diff(T.indptr)
    if owner is None:
        # what joins many nodes, like a rigid end, stands alone
        owner = np.where(members > _MANY_TIED, count + np.arange(T.shape[1]), T.indices[T.indptr[:-1]] // 6)
    _, group = np.unique(owner, return_inverse=True)
    nodes = sparse.csr_matrix(
        (np.ones(len(shell.pattern.indices)), shell.pattern.indices, shell.pattern.indptr), shape=(count, count)
    )
    at = (T.indices // 6 % count, np.repeat(group, members))
    joined = sparse.csr_matrix((np.ones(T.nnz), at), shape=(count, int(group.max()) + 1))
    graph = (joined.T @ nodes @ joined).tocsr()
    weight = np.bincount(group)
    entries = int(weight[graph.indices] @ np.repeat(weight, np.diff(graph.indptr)))
    order = elimination(graph, group)
    check_room(order, entries, memory_limit)
    return order


def rigid_motions(shell: Shell) -> np.ndarray:
    """The six rigid motions of the shell: (unknowns, 6), shifts along and turns about the global axes."""
    chart = shell.map
    places, directions = chart.position(shell.mesh.points)[0], chart.directions(shell.mesh.points)
    count = len(places)
    in_space = np.zeros((count, 2, 3, 6))  # node, field, component, motion
    in_space[:, 0, :, :3] = np.eye(3)
    in_space[:, 1, :, 3:] = np.eye(3)
    in_space[:, 0, :, 3:] = np.cross(np.eye(3)[None], places[:, None]).transpose(0, 2, 1)
    return np.einsum("kdc,kfcm->kfdm", directions, in_space).reshape(6 * count, 6)


def without_drift(shell: Shell, held: np.ndarray) -> np.ndarray:
    """Add the fewest unknowns of one node that stop a rigid shift along the axis and a rigid turn about it.

    Neither strains anything, so holding them changes no load; every other rigid motion is a fault of the edges.

    Parameters
    ----------
    shell : Shell
    held : numpy.ndarray
        Unknowns held so far.

    Raises
    ------
    Refusal
        When these edges let the barrel tilt.
    """
    motions = rigid_motions(shell)
    # sizes of the motions of the whole shell: in the held rows alone rounding may be the largest
    motions /= np.abs(motions).max(axis=0)
    node = shell.mesh.elements[0, 0]
    for pin in (6 * node + U, 6 * node + V):
        if _rank(motions[np.union1d(held, [pin])]) > _rank(motions[held]):
            held = np.union1d(held, [pin])
    if _rank(motions[held]) < 6:
        raise Refusal.of(
            "edges-free",
            "these edges leave the barrel a rigid motion",
            "edges",
            allowed="beside a free end, an end that holds u or the slope",
        )
    return held


def _rank(rows: np.ndarray) -> int:
    return int(np.linalg.matrix_rank(rows, tol=_RIGID * math.sqrt(len(rows)))) if len(rows) else 0
