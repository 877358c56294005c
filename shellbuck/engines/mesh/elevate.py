"""From linear quadrilaterals to elements of order p: nodes on edges are shared by number, never by position."""

from __future__ import annotations

import math

import numpy as np

from ...core.errors import Refusal
from .mesh import Mesh
from .points import HIGHEST_ORDER, Coordinates, bilinear, lobatto

_WIDEST = 2 * math.pi / 2.5
"""Largest hoop angle of one element [rad]: below pi, so that the shorter way around is always the right one."""


def from_quads(
    points: np.ndarray,
    quads: np.ndarray,
    order: int = 4,
    *,
    part: np.ndarray | None = None,
    parts: tuple[str, ...] = ("skin",),
    coordinates: Coordinates = "cartesian",
    angle: float = 2 * math.pi,
    sides: tuple[np.ndarray, np.ndarray] | None = None,
) -> Mesh:
    """A mesh from given linear quadrilaterals.

    Parameters
    ----------
    points : numpy.ndarray
        (v, 3) corners: (x, theta, r) [m, rad, m] or (x, y, z) [m]. They become the first v nodes.
    quads : numpy.ndarray
        (e, 2, 2) numbers of points, first index along the first direction.
    order : int
        Polynomial order, 1 to 8.
    part : numpy.ndarray or None
        (e,) index into `parts`; None puts all into the first.
    parts : tuple of str
    coordinates : {"cylindrical", "cartesian"}
        In cylindrical ones an element takes the shorter way around between its corners.
    angle : float
        Hoop angle of a sector [rad].
    sides : tuple of numpy.ndarray or None
        Matching point numbers on the left and right edge of a sector.

    Raises
    ------
    Refusal
        For arrays that make no mesh.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0], [1.0, 1.0, 0.0]])
    >>> from_quads(square, np.array([[[0, 1], [2, 3]]]), 2).elements.tolist()
    [[0, 4, 1, 5, 8, 6, 2, 7, 3]]
    """
    points, quads = np.asarray(points, dtype=float), np.asarray(quads)
    part = np.zeros(len(quads), dtype=np.int64) if part is None else np.asarray(part)
    _check_arrays(points, quads, order, part, parts)
    corners = corners_of(points, quads, coordinates)
    if coordinates == "cylindrical" and np.ptp(corners[..., 1], axis=(1, 2)).max() > _WIDEST:
        raise Refusal.of(
            "mesh-too-coarse", "an element reaches too far around", "mesh", "", "three elements around or more"
        )
    elements, edges = _numbers(quads, len(points), order)
    flat = elements.ravel()
    # all the elements of a node agree on its place but for the turn at theta = 2 pi: the smallest angle is taken
    places = bilinear(corners, lobatto(order)).reshape(-1, 3)
    pick = np.lexsort((places[:, 1], flat))
    pick = pick[np.diff(flat[pick], prepend=-1) > 0]
    nodes = np.empty((int(flat.max()) + 1, 3))
    nodes[flat[pick]] = places[pick]
    if coordinates == "cylindrical" and sides is None:
        nodes[nodes[:, 1] >= 2 * math.pi, 1] -= 2 * math.pi
    nodes[: len(points)] = points
    left, right = _matched(sides, edges, len(points), order)
    return Mesh(order, nodes, elements, corners, part.astype(np.int64), tuple(parts), coordinates, left, right, angle)


def corners_of(points: np.ndarray, quads: np.ndarray, coordinates: Coordinates) -> np.ndarray:
    """Corners of elements from the places of their corner nodes.

    Parameters
    ----------
    points : numpy.ndarray
        (nodes, 3).
    quads : numpy.ndarray
        (e, 2, 2) node numbers.
    coordinates : {"cylindrical", "cartesian"}

    Returns
    -------
    numpy.ndarray
        (e, 2, 2, 3); an element that crosses theta = 2 pi has its angles raised beyond, so that they are continuous.
    """
    corners = points[quads]
    if coordinates == "cylindrical":
        theta = corners[..., 1]
        behind = theta < theta.max(axis=(1, 2), keepdims=True) - math.pi
        corners[..., 1] = np.where(behind, theta + 2 * math.pi, theta)
    return corners


def _check_arrays(points: np.ndarray, quads: np.ndarray, order: int, part: np.ndarray, parts: tuple[str, ...]) -> None:
    wrong = ""
    if isinstance(order, bool) or not isinstance(order, int) or not 1 <= order <= HIGHEST_ORDER:
        raise Refusal.of("value-range", "no such order of elements", "order", repr(order)[:60], f"1 to {HIGHEST_ORDER}")
    if points.ndim != 2 or points.shape[1:] != (3,) or not np.isfinite(points).all():
        wrong = "the points are not rows of three finite numbers"
    elif quads.ndim != 3 or quads.shape[1:] != (2, 2) or not len(quads) or not np.issubdtype(quads.dtype, np.integer):
        wrong = "the quadrilaterals are not blocks of two by two whole numbers"
    elif quads.min() < 0 or quads.max() >= len(points):
        wrong = "a quadrilateral names a point that does not exist"
    elif len(np.unique(quads)) < len(points):
        wrong = "a point belongs to no quadrilateral"
    elif (np.diff(np.sort(quads.reshape(-1, 4), axis=1), axis=1) == 0).any():
        wrong = "a quadrilateral has the same corner twice"
    elif part.shape != quads.shape[:1] or part.min() < 0 or part.max() >= len(parts):
        wrong = "the parts do not fit the quadrilaterals"
    if wrong:
        raise Refusal.of("mesh-shape", wrong, "mesh")


_SIDES = (((0, 0), (1, 0)), ((0, 1), (1, 1)), ((0, 0), (0, 1)), ((1, 0), (1, 1)))
"""Corners of the four sides: along the first direction at both ends of the second, then the other two."""


def _numbers(quads: np.ndarray, vertices: int, order: int) -> tuple[np.ndarray, np.ndarray]:
    """(e, (p + 1)^2) node numbers - corners, then insides of edges, then insides of elements - and the rising list of
    edges as low corner times `vertices` plus high corner. Nodes of an edge run from its low corner to its high one."""
    inner = order - 1
    numbers = np.empty((len(quads), order + 1, order + 1), dtype=np.int64)
    numbers[:, ::order, ::order] = quads
    starts = np.stack([quads[:, a[0], a[1]] for a, _ in _SIDES], axis=1).astype(np.int64)
    stops = np.stack([quads[:, b[0], b[1]] for _, b in _SIDES], axis=1).astype(np.int64)
    edges, which = np.unique(np.minimum(starts, stops) * vertices + np.maximum(starts, stops), return_inverse=True)
    if inner:
        step = np.arange(inner)
        along = np.where((starts < stops)[..., None], step, inner - 1 - step)
        nodes = vertices + which.reshape(starts.shape)[..., None] * inner + along  # (e, 4, p - 1)
        numbers[:, 1:-1, 0], numbers[:, 1:-1, order] = nodes[:, 0], nodes[:, 1]
        numbers[:, 0, 1:-1], numbers[:, order, 1:-1] = nodes[:, 2], nodes[:, 3]
        numbers[:, 1:-1, 1:-1] = (
            vertices + len(edges) * inner + np.arange(len(quads) * inner**2).reshape(len(quads), inner, inner)
        )
    return numbers.reshape(len(quads), -1), edges


def _matched(
    sides: tuple[np.ndarray, np.ndarray] | None, edges: np.ndarray, vertices: int, order: int
) -> tuple[np.ndarray, np.ndarray]:
    """Matching nodes of the two sides: the given corners, and the nodes on the edges between them."""
    if sides is None:
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    left, right = (np.asarray(side, dtype=np.int64) for side in sides)
    twin = np.full(vertices, -1)
    twin[right] = left
    low, high = twin[edges // vertices], twin[edges % vertices]
    here = np.nonzero((low >= 0) & (high >= 0))[0]
    low, high = low[here], high[here]
    there = np.searchsorted(edges, np.minimum(low, high) * vertices + np.maximum(low, high))
    step = np.arange(order - 1)
    turned = np.where((low < high)[:, None], step, order - 2 - step)
    return (
        np.concatenate([left, (vertices + there[:, None] * (order - 1) + turned).ravel()]),
        np.concatenate([right, (vertices + here[:, None] * (order - 1) + step).ravel()]),
    )
