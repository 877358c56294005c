"""Energies of a harmonic as products of kinds of values, polynomial in the hoop wave number b = n/R.

Fields u = U cos, v = V sin, w = W cos (n theta). Strains are (Z0 + b Z1 + b^2 Z2) acting on the kinds of values U, U',
V, V', W, W', W'', so the stiffness is a polynomial of degree 4 in b and the works of loads are of degree 2: each is
integrated once and serves every harmonic. Prebuckling enters by the hoop force N_theta(x) and the slope
beta(x) = w0'(x), in which Z0 and Z1 are linear.

Sanders kinematics: k_theta = b^2 W + b V/R, 2k_xt = 2 b W' + 1.5 V'/R + 0.5 b U/R, rotations B = V/R + b W and
f = (V' + b U)/2; increments about the slope: e_x += beta W', g += -beta B. Donnell keeps the first terms of each.

A wall with 16/26 terms and a shear load couple this family with its twin u = U2 sin, v = -V2 cos, w = W2 sin: the
twin has the same matrices, and the coupling is an antisymmetric matrix, the `odd` part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .products import Term

_SHEAR, _DIRECT = (2, 5), (0, 1, 3, 4)
_U, _DU, _V, _DV, _W, _DW, _DDW = range(7)
_EVERYWHERE = np.ones((1, 1))


@dataclass(frozen=True, eq=False)
class Energy:
    """A quadratic form of the kinds of values, powers of b first.

    `even` is symmetric and acts inside a family, `odd` is antisymmetric and joins the family to its twin.
    """

    even: tuple[Term, ...]
    odd: tuple[Term, ...] = ()

    def __add__(self, other: Energy) -> Energy:
        return Energy(self.even + other.even, self.odd + other.odd)

    def __mul__(self, factor: float) -> Energy:
        return Energy(*(tuple((factor * c, weight) for c, weight in part) for part in (self.even, self.odd)))

    @property
    def without_waves(self) -> Energy:
        """What is left at b = 0, inside one family."""
        return Energy(tuple((c[:1], weight) for c, weight in self.even))


@dataclass(frozen=True, eq=False)
class Prestress:
    """Axisymmetric prebuckling at the quadrature points: hoop force [N/m] and slope, (e, q) or (1, 1) when uniform;
    hoop forces of the rings [N]."""

    N_theta: np.ndarray
    beta: np.ndarray
    rings: tuple[float, ...] = ()

    @classmethod
    def membrane(cls, N_theta: float) -> Prestress:
        """Uniform hoop force, no slope, no force in rings."""
        return cls(np.full((1, 1), float(N_theta)), np.zeros((1, 1)))

    @property
    def uniform(self) -> bool:
        return self.N_theta.size == 1 and not self.beta.any()


@dataclass(frozen=True, eq=False)
class Strains:
    """Strains and rotations as rows on the kinds of values, powers of b first.

    Parameters
    ----------
    R : float
        Middle radius [m].
    sanders : bool
    beta : numpy.ndarray
        (e, q) or (1, 1) prebuckling slope.
    """

    R: float
    sanders: bool
    beta: np.ndarray

    @property
    def plain(self) -> np.ndarray:
        """(3, 6, 7) strains and curvatures without slope, order x, theta, x-theta."""
        R, curved = self.R, float(self.sanders)
        Z = np.zeros((3, 6, 7))
        Z[0, 0, _DU], Z[0, 1, _W], Z[0, 2, _DV], Z[0, 3, _DDW], Z[0, 5, _DV] = 1.0, 1 / R, 1.0, -1.0, 1.5 * curved / R
        Z[1, 1, _V], Z[1, 2, _U], Z[1, 4, _V], Z[1, 5, _U], Z[1, 5, _DW] = 1.0, -1.0, curved / R, 0.5 * curved / R, 2.0
        Z[2, 4, _W] = 1.0
        return Z

    @property
    def by_slope(self) -> np.ndarray:
        """(3, 6, 7) what a unit slope adds."""
        Z = np.zeros((3, 6, 7))
        Z[0, 0, _DW], Z[0, 2, _V], Z[1, 2, _W] = 1.0, -float(self.sanders) / self.R, -1.0
        return Z

    @property
    def hoop_rotation(self) -> np.ndarray:
        """(2, 7): B = V/R + b W."""
        Z = np.zeros((2, 7))
        Z[0, _V], Z[1, _W] = float(self.sanders) / self.R, 1.0
        return Z

    @property
    def normal_rotation(self) -> np.ndarray:
        """(2, 7): f = (V' + b U)/2; nothing under Donnell."""
        Z = np.zeros((2, 7))
        Z[0, _DV] = Z[1, _U] = 0.5 * float(self.sanders)
        return Z

    @property
    def axial_rotation(self) -> np.ndarray:
        """(1, 7): W'."""
        return np.eye(7)[[_DW]]


def strain_energy(strains: Strains, C: np.ndarray, *, odd: bool = False) -> Energy:
    """Energy of the 6x6 wall C; with `odd` its 16 and 26 terms too.

    For n = 0 the 16 and 26 terms act inside one family of u, v, w without waves: see `axisymmetric_energy`.
    """
    direct = C.copy()
    skew = np.zeros((6, 6))
    for i in _SHEAR:
        for j in _DIRECT:
            direct[i, j] = direct[j, i] = 0.0
            skew[i, j], skew[j, i] = C[i, j], -C[j, i]
    return Energy(_product(strains, direct), _product(strains, skew) if odd else ())


def axisymmetric_energy(strains: Strains, C: np.ndarray) -> Energy:
    """Energy of n = 0 with twist, all terms of C in one family."""
    return Energy(_product(strains, C, 1))


def _product(strains: Strains, C: np.ndarray, rank: int = 3) -> tuple[Term, ...]:
    plain, slope = strains.plain[:rank], strains.by_slope[:rank]
    fixed = (_powers(plain, plain, C), _EVERYWHERE)
    if not strains.beta.any():
        return (fixed,)
    mixed = _powers(plain, slope, C) + _powers(slope, plain, C)
    return fixed, (mixed, strains.beta), (_powers(slope, slope, C), strains.beta**2)


def _powers(left: np.ndarray, right: np.ndarray, C: np.ndarray | None = None) -> np.ndarray:
    """Coefficients (powers, 7, 7) of left^T C right, both (powers, strains, 7) or, without C, (powers, 7)."""
    if C is None:
        left, right, C = left[:, None], right[:, None], np.eye(1)
    out = np.zeros((len(left) + len(right) - 1, 7, 7))
    for i, a in enumerate(left):
        for j, b in enumerate(right):
            out[i + j] += a.T @ C @ b
    return out


def _square(rotation: np.ndarray) -> np.ndarray:
    return _powers(rotation, rotation)


def hoop_work(strains: Strains, N_theta: np.ndarray) -> Energy:
    """What a hoop tension N_theta, (e, q) or (1, 1), adds to the stiffness."""
    return Energy(((_square(strains.hoop_rotation) + _square(strains.normal_rotation), N_theta),))


def axial_work(strains: Strains) -> Energy:
    """Work of a unit axial compression."""
    out = _square(strains.normal_rotation)
    out[:1] += _square(strains.axial_rotation)
    return Energy(((out, _EVERYWHERE),))


def shear_work(strains: Strains) -> Energy:
    """Work of a unit shear N_xtheta = 1: -(M - M^T) between the families, M = integral of W' (b W + V/R)."""
    M = _powers(strains.axial_rotation, strains.hoop_rotation)
    return Energy(((np.zeros_like(M), _EVERYWHERE),), ((np.swapaxes(M, 1, 2) - M, _EVERYWHERE),))


def live_work(strains: Strains) -> Energy:
    """Work of a unit external pressure that stays normal to the wall, beyond a dead one:
    -(1/R)(W W + V V + 2 n V W + 2 R W U'), symmetrised."""
    out = np.zeros((2, 7, 7))
    out[0, _W, _W] = out[0, _V, _V] = -1 / strains.R
    out[0, _W, _DU] = out[0, _DU, _W] = out[1, _V, _W] = out[1, _W, _V] = -1.0
    return Energy(((out, _EVERYWHERE),))
