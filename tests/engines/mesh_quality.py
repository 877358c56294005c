"""Is a mesh sound: shapes of elements, lost or doubled nodes, surfaces that hang together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from shellbuck.engines.mesh import Mesh
from shellbuck.engines.mesh.points import lobatto, normals, tangents


@dataclass(frozen=True)
class Quality:
    """What there is to say about a mesh.

    Parameters
    ----------
    jacobian : float
        Smallest over largest Jacobian inside an element, the worst of all; 1 for parallelograms, 0 or less is folded.
    aspect : float
        Longest over shortest middle line of an element, the worst of all.
    inward : int
        Skin elements whose normal points to the axis (to -z in a flat mesh).
    duplicates : int
        Pairs of nodes at one place, apart from the matched ones where a sector reaches all around.
    unused : int
        Nodes of no element.
    torn : int
        Edges of elements with the same corners but other nodes between them.
    loose : int
        Edges of one element only where nothing ends: neither an end, nor the side of a sector, nor the free edge of a
        web. In a flat mesh the outline cannot be told from a gap and nothing counts as loose.
    crowded : int
        Edges of more than two elements of the skin.
    """

    jacobian: float
    aspect: float
    inward: int
    duplicates: int
    unused: int
    torn: int
    loose: int
    crowded: int

    @property
    def sound(self) -> bool:
        """True when nothing is folded, turned, doubled, lost or torn."""
        faults = (self.inward, self.duplicates, self.unused, self.torn, self.loose, self.crowded)
        return self.jacobian > 0 and not any(faults)


@dataclass(frozen=True, eq=False)
class Edges:
    """All edges of a mesh, each once.

    Parameters
    ----------
    nodes : numpy.ndarray
        (k, p + 1) node numbers along each, from the lower corner number to the higher.
    skin, web : numpy.ndarray
        (k,) how many elements of skin and of webs share it.
    owner : numpy.ndarray
        (k,) one of these elements.
    torn : int
        Edges on which elements do not share the nodes between the corners.
    """

    nodes: np.ndarray
    skin: np.ndarray
    web: np.ndarray
    owner: np.ndarray
    torn: int


def edges_of(mesh: Mesh) -> Edges:
    """The edges of a mesh and what meets at them.

    Parameters
    ----------
    mesh : Mesh
    """
    n = mesh.order + 1
    local = np.arange(n * n).reshape(n, n)
    lines = np.stack([local[:, 0], local[:, -1], local[0], local[-1]])
    runs = mesh.elements[:, lines].reshape(-1, n)
    runs = np.where((runs[:, 0] > runs[:, -1])[:, None], runs[:, ::-1], runs)
    owner = np.repeat(np.arange(len(mesh.elements)), 4)
    codes = runs[:, 0] * len(mesh.points) + runs[:, -1]
    _, first, which = np.unique(codes, return_index=True, return_inverse=True)
    torn = np.unique(which[(runs != runs[first][which]).any(axis=1)])
    in_skin = np.isin(owner, mesh.of_part("skin"))
    skin = np.bincount(which, weights=in_skin, minlength=len(first)).astype(int)
    total = np.bincount(which, minlength=len(first))
    return Edges(runs[first], skin, total - skin, owner[first], len(torn))


def quality(mesh: Mesh) -> Quality:
    """Shapes of elements, and whether the surfaces hang together.

    Parameters
    ----------
    mesh : Mesh

    Examples
    --------
    >>> from flat_plates import triangle
    >>> q = quality(triangle(1.0, 2))
    >>> q.sound, round(q.jacobian, 3), round(q.aspect, 3)
    (True, 0.5, 1.327)
    """
    s = lobatto(mesh.order)
    normal = normals(mesh.corners, s, mesh.coordinates)
    centre = normals(mesh.corners, np.zeros(1), mesh.coordinates)
    signed = np.einsum("eijc,eijc->eij", normal, np.broadcast_to(centre, normal.shape))
    signed /= np.linalg.norm(centre, axis=-1)
    low, high = signed.min(axis=(1, 2)), signed.max(axis=(1, 2))
    sides = [np.linalg.norm(t, axis=-1).ravel() for t in tangents(mesh.corners, np.zeros(1), mesh.coordinates)]
    span = np.ptp(mesh.positions(), axis=0).max()
    pairs = cKDTree(mesh.positions()).query_pairs(1e-9 * span, output_type="ndarray")
    matched = np.sort(np.stack([mesh.left, mesh.right], axis=1), axis=1)
    twins = np.isin(pairs @ [len(mesh.points), 1], matched @ [len(mesh.points), 1])
    edges = edges_of(mesh)
    return Quality(
        float((low / high).min()),
        float((np.maximum(*sides) / np.minimum(*sides)).max()),
        int((centre[mesh.of_part("skin"), 0, 0, 2] < 0).sum()),
        int((~twins).sum()),
        len(mesh.points) - len(np.unique(mesh.elements)),
        edges.torn,
        _loose(mesh, edges),
        int((edges.skin > 2).sum()),
    )


def _loose(mesh: Mesh, edges: Edges) -> int:
    if mesh.coordinates != "cylindrical":
        return 0
    open_ = edges.skin + edges.web == 1
    nodes, part = edges.nodes[open_], mesh.part[edges.owner[open_]]
    x, r = mesh.points[nodes, 0], mesh.points[nodes, 2]
    tiny = 1e-9 * np.ptp(mesh.points[:, 0])
    low, high = mesh.points[:, 0].min(), mesh.points[:, 0].max()
    allowed = (np.abs(x - low) < tiny).all(axis=1) | (np.abs(x - high) < tiny).all(axis=1)
    for side in (mesh.left, mesh.right):
        allowed |= np.isin(nodes, side).all(axis=1)
    skin = mesh.points[mesh.nodes_of("skin")[0], 2]
    for i, name in enumerate(mesh.parts):
        if name == "skin":
            continue
        heights = mesh.corners[mesh.part == i][..., 2]
        tip = heights.flat[np.abs(heights - skin).argmax()]
        allowed |= (part == i) & (np.abs(r - tip) < tiny).all(axis=1)
    return int((~allowed).sum())
