"""Lagrange functions of one order on Gauss-Lobatto points, tabulated at the points of full Gauss integration."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import legendre

from ..mesh.points import lobatto


def lagrange(order: int, s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Lagrange functions of the Gauss-Lobatto points, and derivatives, each (len(s), order + 1), at s in [-1, 1]."""
    to_nodes = np.linalg.inv(legendre.legvander(lobatto(order), order))
    slope = np.stack([legendre.legval(s, legendre.legder(row)) for row in np.eye(order + 1)], -1)
    return legendre.legvander(s, order) @ to_nodes, slope @ to_nodes


@dataclass(frozen=True, eq=False)
class Table:
    """Shape functions of the square element at some points.

    Parameters
    ----------
    at : numpy.ndarray
        (q, 2) places in [-1, 1]^2.
    weight : numpy.ndarray
        (q,) of Gauss; zero where the places are no integration points.
    shape : numpy.ndarray
        (q, 3, n): value, derivative in the first and in the second direction; node (i, j) stands at i (p + 1) + j.
    """

    at: np.ndarray
    weight: np.ndarray
    shape: np.ndarray


def tabulate(order: int, at: np.ndarray, weight: np.ndarray | None = None) -> Table:
    """Shape functions of one order at places (q, 2)."""
    (a, da), (b, db) = lagrange(order, at[:, 0]), lagrange(order, at[:, 1])
    products = [first[:, :, None] * second[:, None, :] for first, second in ((a, b), (da, b), (a, db))]
    shape = np.stack([product.reshape(len(at), -1) for product in products], 1)
    return Table(at, np.zeros(len(at)) if weight is None else weight, shape)


@cache
def gauss(order: int) -> Table:
    """Shape functions at the (p + 1)^2 points of full Gauss integration.

    Examples
    --------
    >>> table = gauss(4)
    >>> table.shape.shape, round(float(table.weight.sum()), 12)
    ((25, 3, 25), 4.0)
    """
    s, w = legendre.leggauss(order + 1)
    first, second = np.meshgrid(s, s, indexing="ij")
    return tabulate(order, np.stack([first.ravel(), second.ravel()], -1), np.outer(w, w).ravel())


@cache
def nodes(order: int) -> Table:
    """Shape functions at the nodes themselves, in the order of the nodes."""
    s = lobatto(order)
    first, second = np.meshgrid(s, s, indexing="ij")
    return tabulate(order, np.stack([first.ravel(), second.ravel()], -1))
