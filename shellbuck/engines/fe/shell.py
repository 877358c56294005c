"""A mesh with its sections: which elements are alike, and where their matrices go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse

from ..mesh import Mesh
from .element import Elements
from .geometry import Chart, chart_of
from .section import Section

_BATCH = 20e6
"""Bytes of the largest array of a batch."""
_ALIKE = 1e-10
"""Of the largest coordinate: corners that differ by less are the same."""

U, V, W, TURN_X, TURN_THETA, TURN_R = range(6)
"""Unknowns of a node: displacement along axis, hoop, radius; rotation vector about axis, hoop, radius."""


@dataclass(frozen=True, eq=False)
class Pattern:
    """Which pairs of nodes meet: rows of node blocks, and the block of every element's pair of nodes (e, n, n)."""

    indptr: np.ndarray
    indices: np.ndarray
    block: np.ndarray


@dataclass(frozen=True, eq=False)
class Shell:
    """A mesh with a section for each part.

    Unknown number 6 node + k, k = U, V, W, TURN_X, TURN_THETA, TURN_R: displacement [m] along the axial, hoop and
    radial direction of the node (the global axes for Cartesian coordinates), then the rotation vector [rad] about them,
    right-hand rule. W is outward.

    Parameters
    ----------
    mesh : Mesh
    sections : mapping of str to Section
        By the name of the part.
    chart : Chart or None
        For surfaces that the mesh's own coordinates cannot describe.
    """

    mesh: Mesh
    sections: Mapping[str, Section]
    chart: Chart | None = None

    @property
    def size(self) -> int:
        """Number of unknowns."""
        return self.mesh.unknowns

    @cached_property
    def map(self) -> Chart:
        """The chart in use."""
        return self.chart or chart_of(self.mesh)

    @cached_property
    def section_matrices(self) -> np.ndarray:
        """(parts, 9, 9) in the order of the mesh's parts."""
        return np.stack([self.sections[name].matrix for name in self.mesh.parts])

    @cached_property
    def alike(self) -> tuple[np.ndarray, np.ndarray]:
        """One element of each kind (kinds,) and the kind of every element (e,), shifts that change nothing left out."""
        corners = self.mesh.corners.reshape(-1, 4, 3).copy()
        for k in self.map.shifts:
            corners[..., k] -= corners[:, :1, k]
        size = np.abs(self.mesh.corners).max(axis=(0, 1, 2))
        unit = _ALIKE * np.where(size > 0, size, 1.0)
        key = np.column_stack([np.rint(corners / unit).reshape(len(corners), -1), self.mesh.part])
        _, first, kind = np.unique(key, axis=0, return_index=True, return_inverse=True)
        return first, kind.ravel()

    @cached_property
    def pattern(self) -> Pattern:
        """Blocks of the matrices."""
        elements, count = self.mesh.elements.astype(np.int64), len(self.mesh.points)
        key = elements[:, :, None] * count + elements[:, None, :]
        blocks, block = np.unique(key, return_inverse=True)
        indptr = np.concatenate([[0], np.cumsum(np.bincount(blocks // count, minlength=count))])
        return Pattern(indptr, blocks % count, block.reshape(key.shape))

    def batches(self, which: np.ndarray, numbers: int) -> Iterator[tuple[np.ndarray, Elements]]:
        """Elements `which` (k,) a few at a time: their places in `which` and their geometry.

        Parameters
        ----------
        which : numpy.ndarray
            Numbers of elements.
        numbers : int
            Of floating-point numbers that the caller's largest array holds for each element.
        """
        step = max(1, int(_BATCH / (8 * numbers)))
        for at in range(0, len(which), step):
            part = np.arange(at, min(at + step, len(which)))
            yield part, Elements(self.map, self.mesh.order, self.mesh.corners[which[part]])


def spread(pattern: Pattern, data: np.ndarray, elements: np.ndarray, source: np.ndarray, blocks: np.ndarray) -> None:
    """Add the node blocks of single elements to those of the whole.

    Parameters
    ----------
    pattern : Pattern
    data : numpy.ndarray
        (pairs of nodes, entries of a block), changed in place.
    elements : numpy.ndarray
        (k,) elements to add.
    source : numpy.ndarray
        (k,) index into `blocks`.
    blocks : numpy.ndarray
        (s, n, n, entries of a block).
    """
    places = pattern.block[elements].ravel()
    each = blocks.shape[1] * blocks.shape[2]
    columns = (source[:, None] * each + np.arange(each)).ravel()
    rows, row = np.unique(places, return_inverse=True)
    # a product with a matrix of ones adds in compiled code without spreading shared matrices out first
    ones = sparse.csr_matrix((np.ones(row.size), (row, columns)), shape=(rows.size, len(blocks) * each))
    sums = ones @ blocks.reshape(len(blocks) * each, -1)
    if rows.size == len(data):
        data += sums
    else:
        data[rows] += sums
