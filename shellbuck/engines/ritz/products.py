"""Element matrices of energies: integrals of products of the seven kinds of values u, u', v, v', w, w', w''.

A constant coefficient is integrated exactly, from the Legendre coefficients of the functions; one that varies along the
axis by Gauss points. Where all coefficients are constant most products vanish, and only the others are kept: a piece
of any degree then has about nine entries a row.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import combinations_with_replacement
from typing import Literal

import numpy as np
from scipy import sparse

from .basis import KINDS, Pieces, gauss, sampled_at, tables

FIELDS = (slice(0, 2), slice(2, 4), slice(4, 7))
"""The kinds of u, v and w."""
_ORDER = np.array([0, 1, 0, 1, 0, 1, 2])

_MIRRORED = np.array([1, 0, 0, 1, 0, 1, 0])
"""Which kinds change their sign under a reflection about mid-length that leaves w as it is."""
_NOTHING = 1e-14

Kept = Literal["mirrored", "constant", "all"]
"""Products that do not vanish where pieces are symmetric left to right; where nothing varies; all of them."""

Term = tuple[np.ndarray, np.ndarray]
"""Coefficients (powers of b, 7, 7) of the products of kinds, and the weight they carry along the axis: (e, q) at the
Gauss points, (1, 1) where it is the same everywhere."""


@dataclass(frozen=True, eq=False)
class Products:
    """The products of the functions of one piece that are kept.

    Matrices are symmetric or antisymmetric, so entries stand on and below the diagonal. `left`, `right` (entries,) are
    the local unknowns of every entry, left the higher, `slopes` (entries,) how many of the two are nodal slopes.
    `blocks` gives per pair of fields its entries and the products (kinds times kinds, entries) of its functions,
    integrated over [-1, 1]; `sampled` the same at the Gauss points, (kinds, kinds, points, entries), None where only
    what does not vanish by itself is kept.
    """

    left: np.ndarray
    right: np.ndarray
    slopes: np.ndarray
    blocks: dict[tuple[int, int], tuple[slice, np.ndarray]]
    sampled: dict[tuple[int, int], np.ndarray] | None

    def elements(self, pieces: Pieces, terms: list[Term]) -> np.ndarray:
        """(powers, e, entries) of the sum of the terms on every piece."""
        half = pieces.lengths / 2
        powers = max(len(coefficients) for coefficients, _ in terms)
        scale = half[:, None, None] ** (1 - _ORDER[:, None] - _ORDER)  # (e, 7, 7)
        out = np.zeros((powers, pieces.count, self.left.size))
        fixed = np.zeros((powers, 7, 7))
        for coefficients, weight in terms:
            if weight.size == 1:
                fixed[: len(coefficients)] += float(weight.flat[0]) * coefficients
        for (a, b), (at, exact) in self.blocks.items():
            part, size = fixed[:, FIELDS[a], FIELDS[b]], scale[:, FIELDS[a], FIELDS[b]]
            if part.any():
                out[:, :, at] = (part[:, None] * size).reshape(powers, pieces.count, -1) @ exact
            for coefficients, weight in terms:
                part = coefficients[:, FIELDS[a], FIELDS[b]]
                if weight.size == 1 or not part.any():
                    continue
                which, rows = np.any(part, 0), np.nonzero(np.any(part, (1, 2)))[0]
                factor = (part[rows][:, None, which] * size[:, which])[..., None] * weight[:, None, :]
                factor = factor.reshape(rows.size, pieces.count, -1)
                out[rows, :, at] += factor @ self.sampled[a, b][which].reshape(factor.shape[-1], -1)
        for count in (1, 2):
            out[:, :, self.slopes == count] *= half[:, None] ** count
        return out


@cache
def products(degree: int, points: int, kept: Kept) -> Products:
    """Products of the functions of a piece, at as many Gauss points where coefficients vary."""
    nf = degree + 1
    slope = np.zeros(3 * nf, int)
    slope[[2 * nf + 1, 3 * nf - 1]] = 1
    left, right, blocks, sampled, last = [], [], {}, {}, 0
    varying = kept == "all"
    if varying:
        s, weights = gauss(points)
        values = {name: sampled_at(table, s) for name, table in tables(degree).items()}
    thin = sparse.csr_matrix(np.concatenate(list(tables(degree).values())))
    norms = sparse.diags(2 / (2 * np.arange(nf) + 1))
    exact = (thin @ norms @ thin.T).toarray().reshape(5, nf, 5, nf)
    exact = {(k, m): exact[i, :, j] for i, k in enumerate(tables(degree)) for j, m in enumerate(tables(degree))}
    nodes = {0: ([0], [nf - 1]), 1: ([0], [nf - 1]), 2: ([0, 1], [nf - 2, nf - 1])}
    for a, b in combinations_with_replacement((2, 1, 0), 2):
        i, j = KINDS[FIELDS[a]], KINDS[FIELDS[b]]
        keep = np.full((nf, nf), varying)
        for x, y in zip(nodes[a], nodes[b], strict=True):  # springs and rings stand there
            keep[np.ix_(x, y)] = True
        for k, x in zip(i, _MIRRORED[FIELDS[a]], strict=True):
            for m, y in zip(j, _MIRRORED[FIELDS[b]], strict=True):
                if kept != "mirrored" or x == y:
                    keep |= np.abs(exact[k, m]) > _NOTHING
        r, c = np.nonzero(np.tril(keep) if a == b else keep)
        at = slice(last, last + r.size)
        last += r.size
        blocks[a, b] = at, np.array([exact[k, m][r, c] for k in i for m in j])
        left.append(a * nf + r)
        right.append(b * nf + c)
        if varying:
            table = np.array([[values[k][r] * values[m][c] * weights for m in j] for k in i])
            sampled[a, b] = np.moveaxis(table, 3, 2)
    left, right = np.concatenate(left), np.concatenate(right)
    return Products(left, right, slope[left] + slope[right], blocks, sampled if varying else None)
