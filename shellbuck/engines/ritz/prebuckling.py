"""Nonlinear axisymmetric prebuckling: the bending near held edges under axial load and pressure together.

N_x is constant along the axis and no torque acts, -M_x'' - N_x w0'' + N_theta/R = p. With axial strain and shear
eliminated, N_theta and M_x depend on N_x, w/R and -w'' alone (for an uncoupled wall N_theta = (A12/A11) N_x + A_r w/R -
B_r w'', M_x = (B11/A11) N_x + B_r w/R - D_r w''): for a given load the problem is linear in w0, on the trial functions
of w alone. The load acts at `z_load` above the skin middle; an edge that may rotate then carries the moment
N_x z_load. Rings and springs resist w0 and its slope.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import solve_banded

from .barrel import RitzBarrel
from .energies import Prestress


@dataclass(frozen=True, eq=False)
class Prebuckled:
    """A state on the path: outward deflection w0 (e, q) [m] at the stations of the pieces, and the prestress."""

    deflection: np.ndarray
    prestress: Prestress


@dataclass(frozen=True, eq=False)
class Bent:
    """A state on the path as a line along the axis: stations x (s,) with both ends, outward deflection w0 [m], slope
    w0' and w0'' [1/m]."""

    x: np.ndarray
    deflection: np.ndarray
    slope: np.ndarray
    curvature: np.ndarray


@dataclass(frozen=True, eq=False)
class Prebuckling:
    """The axisymmetric path of a barrel under a fixed pressure.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure [Pa], held fixed.
    z_load : float
        Height of the axial load above the skin middle [m].
    """

    barrel: RitzBarrel
    pressure: float = 0.0
    z_load: float = 0.0

    def state(self, N: float) -> Prestress:
        """Hoop force and slope at the axial compression N [N/m]."""
        return self.shape(N).prestress

    def shape(self, N: float) -> Prebuckled:
        """Deflection, hoop force and slope at the axial compression N [N/m]."""
        b, (stiff, share) = self.barrel, self._condensed
        (A_r, B_r), f = stiff[0], b.pieces.functions
        local = self._local(N)[:, :, None]
        deflection, slope, bend = ((f[kind] * local).sum(1) for kind in ("w", "w'", "w''"))
        hoop = -share[0] * N + A_r / b.R * deflection - B_r * bend
        return Prebuckled(deflection, Prestress(hoop, slope, self._ring_forces(local)))

    def bent(self, N: float) -> Bent:
        """Deflection and its derivatives at the axial compression N [N/m], at the ends of the pieces and between."""
        pieces = self.barrel.pieces
        x, (w, slope, curvature) = pieces.bent(self._local(N))
        return Bent(x, w, slope, curvature)

    def _local(self, N: float) -> np.ndarray:
        """(e, degree + 1) unknowns of w of every piece at the axial compression N [N/m]."""
        (bands, loads, free), width = self._linear, self.barrel.degree
        numbers, size = self._numbers()
        x = np.zeros(size)
        x[free] = solve_banded((width, width), bands[0] - N * bands[1], loads[0] + N * loads[1])
        return x[numbers]

    @property
    def lower_bands(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """The path's own problem (K - N G) w0 = f + N g on the free unknowns: lower bands of K and G, f and g."""
        (K, G), (fixed, rising), _ = self._linear
        width = self.barrel.degree
        return K[width:], G[width:], fixed, rising

    @cached_property
    def _linear(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Bands (2, 2 width + 1, free) of the stiffness and of the work of N, loads (2, free) without N and per N, and
        the numbers of the free unknowns."""
        b, (stiff, share) = self.barrel, self._condensed
        f, R = b.pieces.functions, b.R
        (A_r, B_r), (_, D_r) = stiff
        w, dw, ddw, dx = f["w"], f["w'"], f["w''"], f["dx"][:, None, :]

        def product(left: np.ndarray, right: np.ndarray) -> np.ndarray:
            return (left * dx) @ np.swapaxes(right, 1, 2)

        mixed = product(w, ddw)
        elements = D_r * product(ddw, ddw) + A_r / R**2 * product(w, w) - B_r / R * (mixed + np.swapaxes(mixed, 1, 2))
        self._add_lines(elements)
        numbers, size = self._numbers()
        push, turn = (w * dx).sum(2), -share[1] * (ddw * dx).sum(2)
        loads = np.array(
            [
                np.bincount(numbers.ravel(), weights=part.ravel(), minlength=size)
                for part in (self.pressure * push, share[0] / R * push + turn)
            ]
        )
        loads[1, [1, size - 1]] += np.array([-1.0, 1.0]) * self.z_load
        free = self._free(size)
        bands = np.array([_banded(part, numbers, free, size, b.degree) for part in (elements, product(dw, dw))])
        return bands, loads[:, free], free

    @cached_property
    def _condensed(self) -> tuple[np.ndarray, np.ndarray]:
        """Stiffness of (N_theta, M_x) against (w/R, -w''), and their shares of N_x, both (2, 2) and (2,)."""
        C, twist = self.barrel.wall.matrix, 1.5 / self.barrel.R if self.barrel.theory == "Sanders" else 0.0
        T = np.zeros((6, 4))  # e_x, shear, e_theta, k_x; Sanders' twist follows the shear
        T[0, 0] = T[2, 1] = T[1, 2] = T[3, 3] = 1.0
        T[5, 1] = twist
        reduced = T.T @ C @ T
        inner, across, outer = reduced[:2, :2], reduced[:2, 2:], reduced[2:, 2:]
        return outer - across.T @ np.linalg.solve(inner, across), np.linalg.solve(inner, across)[0]

    def _add_lines(self, elements: np.ndarray) -> None:
        """Rings and springs on w and w' of the pieces beside them."""
        p, R = self.barrel.degree, self.barrel.R
        left, right = np.array([0, 1]), np.array([p - 1, p])
        for i, (springs, at) in enumerate(zip(self.barrel.edges.springs, (left, right), strict=True)):
            elements[-i, at, at] += (springs.w, springs.rotation)
        for ring in self.barrel.rings:
            k, at = self.barrel.beside(ring, left, right)
            elements[k][np.ix_(at, at)] += ring.energy(R, False)[0][2:, 2:]

    def _ring_forces(self, local: np.ndarray) -> tuple[float, ...]:
        """Hoop forces of the rings [N]; local (e, degree + 1, 1) unknowns of w."""
        p, forces = self.barrel.degree, []
        for ring in self.barrel.rings:
            k, at = self.barrel.beside(ring, np.array([0, 1]), np.array([p - 1, p]))
            forces.append(ring.E * ring.area * float(local[k, at[0], 0]) / self.barrel.R)
        return tuple(forces)

    def _numbers(self) -> tuple[np.ndarray, int]:
        """(e, degree + 1) numbers of w's unknowns along the axis, and how many."""
        p, e = self.barrel.degree, self.barrel.pieces.count
        stride = p - 1
        first = np.arange(e)[:, None] * stride
        inner = first + 2 + np.arange(p - 3)
        return np.concatenate([first, first + 1, inner, first + stride, first + stride + 1], 1), e * stride + 2

    def _free(self, size: int) -> np.ndarray:
        start, end = self.barrel.edges.held
        held = [i for q, i in (("w", 0), ("w'", 1)) if q in start] + [
            i for q, i in (("w", size - 2), ("w'", size - 1)) if q in end
        ]
        return np.setdiff1d(np.arange(size), held)


def _banded(elements: np.ndarray, numbers: np.ndarray, free: np.ndarray, size: int, width: int) -> np.ndarray:
    """Sum of element matrices (e, d, d) on the free unknowns, as a band (2 width + 1, free)."""
    place = np.full(size, -1)
    place[free] = np.arange(free.size)
    local = place[numbers]
    rows, columns = np.broadcast_to(local[:, :, None], elements.shape), np.broadcast_to(local[:, None], elements.shape)
    some = (rows >= 0) & (columns >= 0)
    band = np.zeros((2 * width + 1, free.size))
    np.add.at(band, (width + rows[some] - columns[some], columns[some]), elements[some])
    return band
