"""Matrices of the harmonics on the free unknowns, as sparse matrices and as bands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse

from ..eigen import positive_definite
from .basis import Pieces
from .energies import Energy

Gathered = tuple[np.ndarray, np.ndarray | None]
"""Coefficients (powers, nnz) of the even and of the odd part of an energy on one sparse pattern."""


@dataclass(frozen=True, eq=False)
class Operators:
    """Stiffness and work of the load for every harmonic, as coefficients of powers of b on one sparse pattern.

    `stiffness` and `work` hold pairs (even, odd) of (powers, nnz), odd None where nothing joins a family to its twin.
    With an odd part the matrices carry both families, unknown i of the family at 2 i and of the twin at 2 i + 1; every
    load factor is then double.
    """

    R: float
    stiffness: Gathered
    work: Gathered
    pattern: Pattern

    @property
    def doubled(self) -> bool:
        """Whether a family and its twin are joined."""
        return self.stiffness[1] is not None or self.work[1] is not None

    @property
    def size(self) -> int:
        """Unknowns of one family."""
        return self.pattern.free.size

    @property
    def copies(self) -> int:
        """How often every load factor appears."""
        return 2 if self.doubled else 1

    def K(self, n: int) -> sparse.csc_matrix:
        """Stiffness of harmonic n, prestress of fixed loads included."""
        return self._matrix(self.stiffness, n)

    def G(self, n: int) -> sparse.csc_matrix:
        """Work of the unit load on harmonic n."""
        return self._matrix(self.work, n)

    def stable(self, n: int, N: float) -> bool:
        """Whether harmonic n is stable under N times the unit load: K - N G positive definite."""
        K, G = self.bands(n)
        return positive_definite(K - N * G)

    def bands(self, n: int) -> tuple[np.ndarray, np.ndarray]:
        """Lower bands (width + 1, unknowns) of the stiffness and of the work of harmonic n."""
        return tuple(((n / self.R) ** np.arange(len(flat)) @ flat).reshape(shape) for flat, shape in self._bands)

    @cached_property
    def _bands(self) -> tuple[tuple[np.ndarray, tuple[int, int]], ...]:
        """Coefficients of the stiffness and the work as flattened lower bands, and the band's shape."""
        rows, columns = self.pattern.rows, self.pattern.columns
        copies = self.copies
        size, width = copies * self.size, copies * int((rows - columns).max()) + copies - 1
        found = []
        for even, odd in (self.stiffness, self.work):
            flat = np.zeros((max(len(even), len(odd) if odd is not None else 0), (width + 1) * size))
            for part, shift in self._places(even, odd):
                i, j = copies * rows + shift[0], copies * columns + shift[1]
                lower = i >= j
                flat[: len(part), ((i - j) * size + j)[lower]] = part[:, lower]
            found.append((flat, (width + 1, size)))
        return tuple(found)

    def _places(self, even: np.ndarray, odd: np.ndarray | None) -> list[tuple[np.ndarray, tuple[int, int]]]:
        """Coefficients with their place in a 2 x 2 block (a single one when nothing is doubled)."""
        parts = [(even, (0, 0))]
        if self.doubled:
            parts.append((even, (1, 1)))
        if odd is not None:
            parts += [(odd, (0, 1)), (-odd, (1, 0))]
        return parts

    def _matrix(self, pair: Gathered, n: int) -> sparse.csc_matrix:
        copies, size = self.copies, self.size
        if copies == 1:
            data = (n / self.R) ** np.arange(len(pair[0])) @ pair[0]
            return sparse.csc_matrix((data, self.pattern.rows, self.pattern.indptr), shape=(size, size))
        entries, i, j = [], [], []
        for part, shift in self._places(*pair):
            entries.append((n / self.R) ** np.arange(len(part)) @ part)
            i.append(copies * self.pattern.rows + shift[0])
            j.append(copies * self.pattern.columns + shift[1])
        shape = (copies * size, copies * size)
        return sparse.coo_matrix((np.concatenate(entries), (np.concatenate(i), np.concatenate(j))), shape=shape).tocsc()

    def family(self, x: np.ndarray) -> np.ndarray:
        """(2, size) the two families of a mode; the second is zero where they are not joined."""
        return x.reshape(-1, 2).T if self.doubled else np.stack([x, np.zeros_like(x)])


def assembled(elements: np.ndarray, rows: np.ndarray, columns: np.ndarray, size: int) -> sparse.csc_matrix:
    """Sparse matrix (size, size) of element matrices (e, r, c) whose unknowns are numbered (e, r) and (e, c)."""
    i = np.broadcast_to(rows[:, :, None], elements.shape).ravel()
    j = np.broadcast_to(columns[:, None, :], elements.shape).ravel()
    return sparse.coo_matrix((elements.ravel(), (i, j)), shape=(size, size)).tocsc()


@dataclass(frozen=True, eq=False)
class Pattern:
    """Where element entries land in the sparse matrix of the free unknowns.

    `rows`, `columns` (nnz,) of the entries, column by column; `indptr` starts the columns; `free` numbers the
    free unknowns.
    """

    keep: np.ndarray
    place: np.ndarray
    rows: np.ndarray
    columns: np.ndarray
    indptr: np.ndarray
    free: np.ndarray

    @classmethod
    def of(cls, pieces: Pieces, held: np.ndarray) -> Pattern:
        """Pattern without the held unknowns (numbers)."""
        numbers, _, size = pieces.numbering()
        free = np.setdiff1d(np.arange(size), held)
        new = np.full(size, -1)
        new[free] = np.arange(free.size)
        local = new[numbers]
        rows = np.broadcast_to(local[:, :, None], (*local.shape, local.shape[1])).ravel()
        columns = np.broadcast_to(local[:, None, :], (*local.shape, local.shape[1])).ravel()
        keep = np.nonzero((rows >= 0) & (columns >= 0))[0]
        code, place = np.unique(columns[keep] * free.size + rows[keep], return_inverse=True)
        indptr = np.searchsorted(code, np.arange(free.size + 1) * free.size)
        row, column = code % free.size, code // free.size
        return cls(keep, place, row.astype(np.int32), column.astype(np.int32), indptr.astype(np.int32), free)

    def gather(self, elements: np.ndarray | None) -> np.ndarray | None:
        """(powers, nnz) sums of element matrices (powers, e, d, d)."""
        if elements is None:
            return None
        flat = elements.reshape(len(elements), -1)[:, self.keep]
        return np.array([np.bincount(self.place, weights=row, minlength=self.rows.size) for row in flat])

    def gathered(self, energy: Energy) -> Gathered:
        """Even and odd part of an energy on the pattern."""
        return self.gather(energy.even), self.gather(energy.odd)
