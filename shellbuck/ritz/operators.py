"""Energies of a harmonic as banded matrices, polynomial in the hoop wave number b = n/R.

Fields u = U cos, v = V sin, w = W cos (n theta). Strains are Z0 + b Z1 + b^2 Z2 acting on the unknowns, so the
stiffness is a polynomial of degree 4 in b and the axial work one of degree 2: each is integrated once and serves every
harmonic. Prebuckling enters by the hoop force N_theta(x) and the slope beta(x) = w0'(x).

Sanders kinematics: k_theta = b^2 W + b V/R, 2k_xt = 2 b W' + 1.5 V'/R + 0.5 b U/R, rotations B = V/R + b W and
f = (V' + b U)/2; increments about the slope: e_x += beta W', g += -beta B. Donnell keeps the first terms of each.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse

from ..eigen import positive_definite
from .basis import Pieces

_RANK = 3


@dataclass(frozen=True, eq=False)
class Operators:
    """Matrices of all harmonics on the free unknowns.

    `stiffness` (5, nnz) and `axial` (3, nnz) are the coefficients of powers of b on one sparse pattern; `free` are the
    numbers of the free unknowns; `band` says where the entries of the lower triangle stand in a banded array.
    """

    R: float
    stiffness: np.ndarray
    axial: np.ndarray
    indices: np.ndarray
    indptr: np.ndarray
    free: np.ndarray
    band: tuple[np.ndarray, np.ndarray, np.ndarray, int]

    def K(self, n: int) -> sparse.csc_matrix:
        """Stiffness of harmonic n, prestress of fixed loads included."""
        return self._matrix(self.stiffness, n)

    def G(self, n: int) -> sparse.csc_matrix:
        """Work of a unit axial compression on harmonic n."""
        return self._matrix(self.axial, n)

    def stable(self, n: int, N: float) -> bool:
        """Whether harmonic n is stable under the axial compression N [N/m]: K - N G positive definite."""
        K, G = self.bands(n)
        return positive_definite(K - N * G)

    def bands(self, n: int) -> tuple[np.ndarray, np.ndarray]:
        """Lower bands (width + 1, unknowns) of the stiffness and of the axial work of harmonic n."""
        return tuple(
            ((n / self.R) ** np.arange(len(parts)) @ parts).reshape(shape) for parts, shape in self._band_parts
        )

    @cached_property
    def _band_parts(self) -> tuple[tuple[np.ndarray, tuple[int, int]], ...]:
        """Coefficients of the stiffness and the axial work as flattened lower bands, and the band's shape."""
        lower, rows, columns, width = self.band
        size = self.free.size
        place = rows * size + columns
        found = []
        for parts in (self.stiffness, self.axial):
            flat = np.zeros((len(parts), (width + 1) * size))
            flat[:, place] = parts[:, lower]
            found.append((flat, (width + 1, size)))
        return tuple(found)

    def _matrix(self, parts: np.ndarray, n: int) -> sparse.csc_matrix:
        data = (n / self.R) ** np.arange(len(parts)) @ parts
        size = self.free.size
        return sparse.csc_matrix((data, self.indices, self.indptr), shape=(size, size))


@dataclass(frozen=True, eq=False)
class Prestress:
    """Axisymmetric prebuckling at the quadrature points: hoop force [N/m] and slope, (e, q) or (1, 1) when uniform."""

    N_theta: np.ndarray
    beta: np.ndarray

    @classmethod
    def membrane(cls, N_theta: float) -> Prestress:
        """Uniform hoop force, no slope."""
        return cls(np.full((1, 1), float(N_theta)), np.zeros((1, 1)))

    @property
    def uniform(self) -> bool:
        return self.N_theta.size == 1 and not self.beta.any()


def energies(
    pieces: Pieces, C: np.ndarray, R: float, sanders: bool, prestress: Prestress
) -> tuple[np.ndarray, np.ndarray]:
    """Element matrices: stiffness (5, e, d, d) and axial work (3, e, d, d), powers of b first; d = 3 (degree + 1)."""
    same = prestress.uniform and np.ptp(pieces.lengths) < 1e-12 * pieces.lengths[0]
    f = {k: (v[:1] if same else v) for k, v in pieces.functions().items()}
    e, nf, q = f["u"].shape
    curved = 1.0 if sanders else 0.0
    blank = np.zeros((e, 3 * nf, q))

    def on(u=None, v=None, w=None) -> np.ndarray:
        out = blank.copy()
        for k, part in enumerate((u, v, w)):
            if part is not None:
                out[:, k * nf : (k + 1) * nf] = part
        return out

    u, du, w, dw, ddw = f["u"], f["u'"], f["w"], f["w'"], f["w''"]
    beta = np.broadcast_to(prestress.beta[:, None, :], (e, 1, q))
    zero = blank
    twist = 1.5 * curved / R
    Z = [
        np.stack([on(u=du, w=beta * dw), on(w=w / R), on(v=du - curved / R * beta * u), on(w=-ddw), zero,
                  on(v=twist * du)], 1),
        np.stack([zero, on(v=u), on(u=-u, w=-beta * w), zero, on(v=curved / R * u),
                  on(u=0.5 * curved / R * u, w=2 * dw)], 1),
        np.stack([zero, zero, zero, zero, on(w=w), zero], 1),
    ]  # fmt: skip
    dx = f["dx"][:, None, :]
    stiffness = np.zeros((5, e, 3 * nf, 3 * nf))
    for i in range(_RANK):
        weighted = np.einsum("rs,esaq->eraq", C, Z[i] * dx[:, None])
        left = np.moveaxis(weighted, 2, 1).reshape(e, 3 * nf, -1)
        for j in range(_RANK):
            right = np.moveaxis(Z[j], 2, 1).reshape(e, 3 * nf, -1)
            stiffness[i + j] += left @ np.swapaxes(right, 1, 2)
    rotation = [on(v=curved / R * u), on(w=w)]
    normal = [on(v=0.5 * curved * du), on(u=0.5 * curved * u)]
    hoop = dx * np.broadcast_to(prestress.N_theta[:, None, :], (e, 1, q))
    axial = np.zeros((3, e, 3 * nf, 3 * nf))
    slope = on(w=dw)
    axial[0] += (slope * dx) @ np.swapaxes(slope, 1, 2)
    for i in range(2):
        for j in range(2):
            stiffness[i + j] += (rotation[i] * hoop) @ np.swapaxes(rotation[j], 1, 2)
            spin = np.swapaxes(normal[j], 1, 2)
            stiffness[i + j] += (normal[i] * hoop) @ spin
            axial[i + j] += (normal[i] * dx) @ spin
    if same:
        stiffness = np.broadcast_to(stiffness, (5, pieces.count, *stiffness.shape[2:]))
        axial = np.broadcast_to(axial, (3, pieces.count, *axial.shape[2:]))
    return stiffness, axial


def axial_parts(pieces: Pieces, sanders: bool) -> tuple[np.ndarray, list[list[np.ndarray]]]:
    """Element matrices of a unit axial compression, kept apart for coupled harmonics.

    The slope part (e, d, d), which goes with cos cos, and the parts of the rotation about the normal (e, d, d) for
    powers i, j of the hoop wave numbers of the two harmonics, which go with sin sin (zero for Donnell).
    """
    f = pieces.functions()
    e, nf, q = f["u"].shape
    dx = f["dx"][:, None, :]
    half = 0.5 if sanders else 0.0

    def on(block: int, part: np.ndarray) -> np.ndarray:
        out = np.zeros((e, 3 * nf, q))
        out[:, block * nf : (block + 1) * nf] = part
        return out

    def product(left: np.ndarray, right: np.ndarray) -> np.ndarray:
        return (left * dx) @ np.swapaxes(right, 1, 2)

    slope = on(2, f["w'"])
    normal = [on(1, half * f["u'"]), on(0, half * f["u"])]
    return product(slope, slope), [[product(a, b) for b in normal] for a in normal]


def assembled(elements: np.ndarray, rows: np.ndarray, columns: np.ndarray, size: int) -> sparse.csc_matrix:
    """Sparse matrix (size, size) of element matrices (e, r, c) whose unknowns are numbered (e, r) and (e, c)."""
    i = np.broadcast_to(rows[:, :, None], elements.shape).ravel()
    j = np.broadcast_to(columns[:, None, :], elements.shape).ravel()
    return sparse.coo_matrix((elements.ravel(), (i, j)), shape=(size, size)).tocsc()


@dataclass(frozen=True, eq=False)
class Pattern:
    """Where element entries land in the sparse matrix of the free unknowns."""

    keep: np.ndarray
    place: np.ndarray
    indices: np.ndarray
    indptr: np.ndarray
    free: np.ndarray
    band: tuple[np.ndarray, np.ndarray, np.ndarray, int]

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
        lower = np.nonzero(row >= column)[0]
        band = (lower, (row - column)[lower], column[lower], int((row - column).max()))
        return cls(keep, place, row.astype(np.int32), indptr.astype(np.int32), free, band)

    def gather(self, elements: np.ndarray) -> np.ndarray:
        """(powers, nnz) sums of element matrices (powers, e, d, d)."""
        flat = elements.reshape(len(elements), -1)[:, self.keep]
        return np.array([np.bincount(self.place, weights=row, minlength=self.indices.size) for row in flat])

    def operators(self, R: float, stiffness: np.ndarray, axial: np.ndarray) -> Operators:
        """Operators of element matrices."""
        return Operators(
            R, self.gather(stiffness), self.gather(axial), self.indices, self.indptr, self.free, self.band
        )
