"""Matrices of the harmonics on the free unknowns, as bands and as sparse matrices."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse
from scipy.sparse.csgraph import reverse_cuthill_mckee

from ..eigen import counts_below, positive_definite
from .basis import Pieces
from .energies import Energy
from .products import Kept, Products, Term, products

_ROOM = 2_000_000
"""Entries of the bands of harmonics that are counted side by side."""

Gathered = tuple[np.ndarray, np.ndarray | None]
"""Coefficients of powers of b of the even and of the odd part of an energy, as lower bands (powers, width + 1, n)."""


@dataclass(frozen=True, eq=False)
class Operators:
    """Stiffness and work of the load for every harmonic, as coefficients of powers of b.

    `stiffness` and `work` hold an even and an odd part, odd None where nothing joins a family to its twin. With an odd
    part the matrices carry both families, unknown i of the family at 2 i and of the twin at 2 i + 1; every load factor
    is then double.
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
        return whole_matrix(self.bands(n)[0])

    def G(self, n: int) -> sparse.csc_matrix:
        """Work of the unit load on harmonic n."""
        return whole_matrix(self.bands(n)[1])

    def stable(self, n: int, N: float) -> bool:
        """Whether harmonic n is stable under N times the unit load: K - N G positive definite."""
        K, G = self.bands(n)
        K -= N * G
        return positive_definite(K)

    def bands(self, n: int) -> tuple[np.ndarray, np.ndarray]:
        """Lower bands (width + 1, unknowns) of the stiffness and of the work of harmonic n."""
        b = (n / self.R) ** np.arange(5)
        height = self.coefficients[0].shape[1]
        return tuple((b[: len(flat)] @ flat).reshape(-1, height).T for flat in self._columns)

    def tangent(self, N: float) -> Tangent:
        """Tangent stiffness of every harmonic under N times the unit load."""
        K, G = self._columns
        columns = K.copy()
        columns[: len(G)] -= N * G
        return Tangent(self.R, N, columns, self.coefficients[0].shape[1])

    @cached_property
    def _columns(self) -> tuple[np.ndarray, ...]:
        """The coefficients column by column, as LAPACK requires them: (powers, unknowns times (width + 1))."""
        return tuple(np.swapaxes(flat, 1, 2).reshape(len(flat), -1) for flat in self.coefficients)

    def counts(self, harmonics: Sequence[int], N: float) -> list[int]:
        """Numbers of load factors below N, at several harmonics."""
        powers = (np.array(harmonics) / self.R) ** np.arange(5)[:, None]
        at_once, found = max(1, _ROOM // self.coefficients[0][0].size), []
        for first in range(0, len(harmonics), at_once):
            some = powers[:, first : first + at_once]
            K, G = (np.tensordot(flat, some[: len(flat)], (0, 0)) for flat in self.coefficients)
            found += (counts_below(K, G, N) // self.copies).tolist()
        return found

    @cached_property
    def coefficients(self) -> tuple[np.ndarray, np.ndarray]:
        """Stiffness and work by powers of b, as lower bands (powers, width + 1, unknowns)."""
        if not self.doubled:
            return self.stiffness[0], self.work[0]
        return _joined(*self.stiffness), _joined(*self.work)

    def family(self, x: np.ndarray) -> np.ndarray:
        """(2, size) the two families of a mode; the second is zero where they are not joined."""
        return x.reshape(-1, 2).T if self.doubled else np.stack([x, np.zeros_like(x)])


@dataclass(frozen=True, eq=False)
class Tangent:
    """Tangent stiffness of every harmonic at one load N, as coefficients of powers of b: (powers, unknowns times
    (width + 1)), column by column."""

    R: float
    N: float
    columns: np.ndarray
    height: int

    def band(self, n: int) -> np.ndarray:
        """Lower band (width + 1, unknowns) of harmonic n."""
        return ((n / self.R) ** np.arange(len(self.columns)) @ self.columns).reshape(-1, self.height).T

    def lost(self, among: Iterable[int]) -> Iterator[int]:
        """The harmonics that are not positive definite, one by one."""
        return (n for n in among if not positive_definite(self.band(n)))


def _joined(even: np.ndarray, odd: np.ndarray | None) -> np.ndarray:
    """Bands of family and twin out of those of one family: [[even, odd], [-odd, even]], unknowns alternating."""
    powers = max(len(even), 0 if odd is None else len(odd))
    _, height, size = even.shape
    out = np.zeros((powers, 2 * height, 2 * size))
    out[: len(even), ::2, ::2] = out[: len(even), ::2, 1::2] = even
    if odd is not None:
        out[: len(odd), 1::2, ::2] = -odd
        out[: len(odd), 1:-1:2, 1::2] = odd[:, 1:]
    return out


def whole_matrix(band: np.ndarray) -> sparse.csc_matrix:
    """Symmetric matrix of a lower band."""
    height, size = band.shape
    low = sparse.dia_matrix((band, -np.arange(height)), shape=(size, size)).tocsc()
    low.eliminate_zeros()
    return (low + sparse.tril(low, -1).T).tocsc()


@dataclass(frozen=True, eq=False)
class Pattern:
    """Where the entries of the pieces land in the bands of the free unknowns.

    `free` numbers the free unknowns in the order of the matrix. `entries` are the ones kept of those of all pieces,
    `places` where they add up in the flattened lower band of the `shape` (width + 1, unknowns); `turned` is -1 where an
    entry stands above the diagonal and is taken from below.
    """

    products: Products
    entries: np.ndarray
    places: np.ndarray
    turned: np.ndarray
    shape: tuple[int, int]
    free: np.ndarray

    @classmethod
    def of(cls, pieces: Pieces, held: np.ndarray, kept: Kept) -> Pattern:
        """Pattern without the held unknowns (numbers), in the order of the narrower band."""
        parts = products(pieces.degree, pieces.points, kept)
        numbers, _, size = pieces.numbering()
        place = np.zeros(size, int)
        place[held] = -1
        free = np.nonzero(place == 0)[0]
        place[free] = np.arange(free.size)
        rows, columns = (place[numbers[:, local]].ravel() for local in (parts.left, parts.right))
        entries = np.nonzero((rows >= 0) & (columns >= 0))[0]
        rows, columns = rows[entries], columns[entries]
        both = np.concatenate([rows, columns]), np.concatenate([columns, rows])
        graph = sparse.csr_matrix((np.ones(2 * rows.size), both), shape=(free.size, free.size))
        order = reverse_cuthill_mckee(graph, symmetric_mode=True)
        again = np.empty(free.size, int)
        again[order] = np.arange(free.size)
        if np.abs(again[rows] - again[columns]).max() < np.abs(rows - columns).max():
            rows, columns, free = again[rows], again[columns], free[order]
        distance = rows - columns
        places = np.abs(distance) * free.size + np.minimum(rows, columns)
        shape = int(np.abs(distance).max()) + 1, free.size
        return cls(parts, entries, places, np.where(distance < 0, -1.0, 1.0), shape, free)

    def gathered(self, pieces: Pieces, energy: Energy, lines: np.ndarray | None = None) -> Gathered:
        """Even and odd part of an energy; `lines` (powers, e, 3 (degree + 1), 3 (degree + 1)) add to the even part."""
        return self._gather(pieces, energy.even, lines), self._gather(pieces, energy.odd, turned=True)

    def _gather(
        self, pieces: Pieces, terms: tuple[Term, ...], lines: np.ndarray | None = None, *, turned: bool = False
    ) -> np.ndarray | None:
        if not terms:
            return None
        elements = self.products.elements(pieces, terms)
        if lines is not None:
            elements[: len(lines)] += lines[:, :, self.products.left, self.products.right]
        flat = elements.reshape(len(elements), -1)[:, self.entries]
        if turned:
            flat *= self.turned
        height, size = self.shape
        return np.array(
            [np.bincount(self.places, weights=row, minlength=height * size).reshape(self.shape) for row in flat]
        )
