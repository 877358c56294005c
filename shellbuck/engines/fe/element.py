"""Strains of the shear-flexible shell at the integration points, and the matrices of single elements.

The displacement v and the rotation vector q are interpolated as vectors in space; the normal n turns to n + q x n. With
derivatives (.),a along the orthonormal surface frame e1, e2:

    membrane   e_ab = v,a . e_b, symmetric part
    bending    k_ab = (q x n),a . e_b + v,a . n,b - n,a . e_c e_cb, symmetric part
    shear      g_a  = n . v,a + (q x n) . e_a
    drilling   q . (e1 x e2) - (v,1 . e2 - v,2 . e1)/2

The last term of k makes it Sanders' measure: at zero shear a cylinder has

    k = (-w,xx, -w,yy + v,y/R, -2 w,xy + (3 v,x - u,y)/(2 R))

so that N = A e + B k means the same here as for a smeared wall with eccentric ribs. On a flat sheet
k = (-w,xx, -w,yy, -2 w,xy).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.polynomial.legendre import leggauss, legvander

from ..mesh.points import lobatto
from .geometry import Chart, Surface, bilinear, surface
from .shapes import Table, gauss, nodes, tabulate

_SHEAR = slice(6, 8)
_REST = [0, 1, 2, 3, 4, 5, 8]
"""Strains that are taken where they are integrated."""


def _dot(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return np.sum(a * b, -1, keepdims=True)


def strain_coefficients(s: Surface) -> np.ndarray:
    """Strains per values and derivatives of the two fields.

    Returns
    -------
    numpy.ndarray
        (e, q, 9, 2, 3, 3): strain 11, 22, 12, bending 11, 22, 12, shear 1, 2, drilling; field v or q; component in
        space; value, derivative in the first, in the second direction of the element.
    """
    W = np.zeros((*s.area.shape, 9, 2, 3, 3))
    n = s.normal
    e1, e2 = s.frame[:, :, 0], s.frame[:, :, 1]
    n1, n2 = np.moveaxis(s.to_frame @ s.turning, 2, 0)
    W11, W22, W12 = _dot(n1, e1), _dot(n2, e2), (_dot(n1, e2) + _dot(n2, e1)) / 2
    half = (W11 + W22) / 2
    # coefficients of v,1 and v,2
    by_v = {
        0: (e1, 0 * e1),
        1: (0 * e2, e2),
        2: (e2, e1),
        3: (n1 - W11 * e1 - W12 / 2 * e2, -W12 / 2 * e1),
        4: (-W12 / 2 * e2, n2 - W22 * e2 - W12 / 2 * e1),
        5: (n2 - half * e2 - W12 * e1, n1 - half * e1 - W12 * e2),
        6: (n, 0 * n),
        7: (0 * n, n),
        8: (-e2 / 2, e1 / 2),
    }
    for row, pair in by_v.items():
        W[:, :, row, 0, :, 1:] = np.stack(pair, -1) @ s.to_frame
    # (q x n),a . e_b = q,a . (n x e_b) + q . (n,a x e_b)
    turned1, turned2 = np.cross(n, e1), np.cross(n, e2)
    by_q = {3: (turned1, 0 * n), 4: (0 * n, turned2), 5: (turned2, turned1)}
    for row, pair in by_q.items():
        W[:, :, row, 1, :, 1:] = np.stack(pair, -1) @ s.to_frame
    W[:, :, 3, 1, :, 0] = np.cross(n1, e1)
    W[:, :, 4, 1, :, 0] = np.cross(n2, e2)
    W[:, :, 5, 1, :, 0] = np.cross(n1, e2) + np.cross(n2, e1)
    W[:, :, 6, 1, :, 0] = turned1
    W[:, :, 7, 1, :, 0] = turned2
    W[:, :, 8, 1, :, 0] = np.cross(e1, e2)
    return W


@cache
def _ties(order: int) -> tuple[tuple[Table, np.ndarray], ...]:
    """Of either direction: the points where its shear is taken, and the matrix (q, points) from there to the points of
    integration. Along it, p Gauss points; across it, the points of integration themselves, at order 1 the edges: only
    so does a bilinear patch bend without shear."""
    many, few = leggauss(order + 1)[0], leggauss(order)[0]
    rows = lobatto(1) if order == 1 else many
    along, across = (legvander(many, len(s) - 1) @ np.linalg.inv(legvander(s, len(s) - 1)) for s in (few, rows))
    found = []
    for first, second, blend in ((few, rows, np.kron(along, across)), (rows, few, np.kron(across, along))):
        at = np.stack([place.ravel() for place in np.meshgrid(first, second, indexing="ij")], -1)
        found.append((tabulate(order, at), blend))
    return tuple(found)


def _tied_shear(chart: Chart, corners: np.ndarray, places: np.ndarray, order: int, s: Surface) -> np.ndarray:
    """Transverse shear rows (e, q, 2, 2, 3, n).

    A thin wall turns as its deflection slopes. Both are polynomials of degree p, the slope of p - 1 along its
    direction: asked everywhere, this locks the element (loads were .1 % high at one of order 4 per half-wave). So the
    shear along each direction of the element is taken at p Gauss points along it, which drops just its part of degree
    p. At order 1 this is the tying of Dvorkin & Bathe (1984); the step to higher orders is our own.
    """
    e, n = len(corners), (order + 1) ** 2
    along = []
    for a, (table, blend) in enumerate(_ties(order)):
        t = surface(chart, corners, places, table)
        rows = np.empty((e, len(table.at), 2, 3, n))
        rows[:, :, 0] = t.normal[..., None] * table.shape[:, 1 + a, None]
        rows[:, :, 1] = np.cross(t.normal, t.tangent[:, :, a])[..., None] * table.shape[:, 0, None]
        along.append(blend @ rows.reshape(e, len(table.at), -1))
    return (s.to_frame @ np.stack(along, 2)).reshape(e, -1, 2, 2, 3, n)


@cache
def _products(order: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Products of shape functions at the integration points (points and kinds of derivative, n n): derivatives with
    derivatives, derivatives with all, all with all."""
    Z = gauss(order).shape
    pairs = ((Z[:, 1:], Z[:, 1:]), (Z[:, 1:], Z), (Z, Z))
    return tuple(np.einsum("qai,qbj->qabij", a, b).reshape(-1, Z.shape[-1] ** 2) for a, b in pairs)


def _integrated(M: np.ndarray, order: int) -> np.ndarray:
    """Matrices (e, 2, 3, 2, 3, n, n) of fields and components in space, from energies per value and derivative.

    M is (e, q, 2, 3, 3, 2, 3, 3). One product with a constant matrix for all elements at once: the strain operator,
    large and read many times, is never formed. The displacement itself strains nothing, only its derivatives do.
    """
    e, n = len(M), (order + 1) ** 2
    K = np.empty((e, 2, 3, 2, 3, n, n))
    upper, lower = np.triu_indices(3)
    vv, vq, qq = _products(order)
    M = M.transpose(0, 2, 3, 5, 6, 1, 4, 7)
    for field, first, table in ((0, 1, vv), (1, 0, qq)):
        energy = M[:, field, :, field][:, upper, lower][..., first:, first:]
        block = (energy.reshape(e * 6, -1) @ table).reshape(e, 6, n, n)
        K[:, field, lower, field, upper] = np.swapaxes(block, 2, 3)
        K[:, field, upper, field, lower] = block
    block = (M[:, 0, :, 1][..., 1:, :].reshape(e * 9, -1) @ vq).reshape(e, 3, 3, n, n)
    K[:, 0, :, 1] = block
    K[:, 1, :, 0] = block.transpose(0, 2, 1, 4, 3)
    return K


class Elements:
    """Geometry and strains of a batch of elements.

    Parameters
    ----------
    chart : Chart
    order : int
    corners : numpy.ndarray
        (e, 2, 2, 3) coordinates.
    """

    def __init__(self, chart: Chart, order: int, corners: np.ndarray):
        self.chart, self.order, self.corners = chart, order, corners
        self.table = gauss(order)
        at_nodes = bilinear(corners, nodes(order).at)[0]
        self.places = chart.position(at_nodes)[0]
        self.directions = chart.directions(at_nodes)
        """(e, n, 3, 3) nodal directions as rows."""
        self.surface = surface(chart, corners, self.places, self.table)

    def operator(self) -> np.ndarray:
        """Strains per unknown (e, q, 9, 6 n), unknowns in nodal directions, six a node."""
        W = strain_coefficients(self.surface)
        e, q, n = len(self.corners), len(self.table.at), self.table.shape.shape[-1]
        B = (W.reshape(e, q, 54, 3) @ self.table.shape).reshape(e, q, 9, 2, 3, n)
        B[:, :, _SHEAR] = _tied_shear(self.chart, self.corners, self.places, self.order, self.surface)
        turned = np.empty((e, q, 9, n, 2, 3))
        T = self.directions[:, None, None, None]  # e 1 1 1 n d c
        for d in range(3):
            turned[..., d] = np.moveaxis(sum(B[..., c, :] * T[..., d, c] for c in range(3)), -2, -1)
        return turned.reshape(e, q, 9, 6 * n)

    def stiffness(self, C: np.ndarray) -> np.ndarray:
        """Stiffness matrices as node blocks (e, n, n, 6, 6) for section matrices C (e, 9, 9)."""
        e, n = len(self.corners), self.table.shape.shape[-1]
        C = C[:, None] * self.surface.area[:, :, None, None]
        W = strain_coefficients(self.surface)[:, :, _REST]
        W = W.reshape(*W.shape[:3], 18)
        M = (np.swapaxes(W, 2, 3) @ (C[:, :, _REST][..., _REST] @ W)).reshape(*W.shape[:2], 2, 3, 3, 2, 3, 3)
        K = _integrated(M, self.order)
        B = _tied_shear(self.chart, self.corners, self.places, self.order, self.surface)
        B = B.reshape(*B.shape[:3], 6 * n)
        S = C[:, :, _SHEAR, _SHEAR]
        shear = np.swapaxes(B.reshape(e, -1, 6 * n), 1, 2) @ (S @ B).reshape(e, -1, 6 * n)
        K += shear.reshape(e, 2, 3, n, 2, 3, n).transpose(0, 1, 2, 4, 5, 3, 6)
        return self._turned(K)

    def _turned(self, K: np.ndarray) -> np.ndarray:
        """Matrices in space (e, 2, 3, 2, 3, n, n) as node blocks in nodal directions (e, n, n, 6, 6)."""
        e, n, T = len(K), K.shape[-1], self.directions[:, :, None]
        K = T @ K.transpose(0, 5, 1, 2, 3, 4, 6).reshape(e, n, 2, 3, 6 * n)
        K = K.reshape(e, n, 6, 2, 3, n).transpose(0, 5, 3, 4, 1, 2).reshape(e, n, 2, 3, 6 * n)
        return (T @ K).reshape(e, n, 6, n, 6).transpose(0, 3, 1, 4, 2)

    def strains(self, d: np.ndarray) -> np.ndarray:
        """Membrane strain and bending (e, q, 6) of nodal values d (e, n, 6) in nodal directions."""
        W = strain_coefficients(self.surface)[:, :, :6]
        space = np.einsum("enfd,endc->enfc", d.reshape(*d.shape[:2], 2, 3), self.directions)
        fields = np.einsum("qzn,enfc->eqfcz", self.table.shape, space, optimize=True)
        return np.einsum("eqsfcz,eqfcz->eqs", W, fields)

    def geometric(self, N: np.ndarray) -> np.ndarray:
        """Geometric stiffness (e, n, n, 3, 3) on the displacements, for resultants N (e, q, 3) [N/m].

        The integral of N_ab v,a . v,b with the full gradients of all three displacement components, in skin and ribs.
        """
        T = self.surface.to_frame
        square = np.stack([N[..., 0], N[..., 2], N[..., 2], N[..., 1]], -1).reshape(*N.shape[:2], 2, 2)
        along = np.swapaxes(T, -1, -2) @ square @ T * self.surface.area[..., None, None]
        slope = self.table.shape[:, 1:]
        e, n = len(N), slope.shape[-1]
        g = np.einsum("qan,eqak->enk", slope, along @ slope, optimize=True)
        g = (g + np.swapaxes(g, 1, 2)) / 2
        D = self.directions.reshape(e, n * 3, 3)
        turned = (D @ np.swapaxes(D, 1, 2)).reshape(e, n, 3, n, 3).transpose(0, 1, 3, 2, 4)
        return g[..., None, None] * turned
