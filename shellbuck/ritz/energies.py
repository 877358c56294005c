"""Energies of a harmonic as element matrices, polynomial in the hoop wave number b = n/R.

Fields u = U cos, v = V sin, w = W cos (n theta). Strains are Z0 + b Z1 + b^2 Z2 acting on the unknowns, so the
stiffness is a polynomial of degree 4 in b and the works of loads are of degree 2: each is integrated once and serves
every harmonic. Prebuckling enters by the hoop force N_theta(x) and the slope beta(x) = w0'(x).

Sanders kinematics: k_theta = b^2 W + b V/R, 2k_xt = 2 b W' + 1.5 V'/R + 0.5 b U/R, rotations B = V/R + b W and
f = (V' + b U)/2; increments about the slope: e_x += beta W', g += -beta B. Donnell keeps the first terms of each.

A wall with 16/26 terms and a shear load couple this family with its twin u = U2 sin, v = -V2 cos, w = W2 sin: the
twin has the same matrices, and the coupling is an antisymmetric matrix, the `odd` part.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .basis import Pieces

_RANK = 3
_SHEAR, _DIRECT = (2, 5), (0, 1, 3, 4)


@dataclass(frozen=True, eq=False)
class Energy:
    """A quadratic form of the unknowns as element matrices, powers of b first.

    `even` (powers, e, d, d) is symmetric and acts inside a family, `odd` (powers, e, d, d) or None is antisymmetric and
    joins the family to its twin; d = 3 (degree + 1), unknowns [u, v, w].
    """

    even: np.ndarray
    odd: np.ndarray | None = None

    def __add__(self, other: Energy) -> Energy:
        def total(a: np.ndarray | None, b: np.ndarray | None) -> np.ndarray | None:
            if a is None or b is None:
                return b if a is None else a
            big, small = (a, b) if len(a) >= len(b) else (b, a)
            out = big.copy()
            out[: len(small)] += small
            return out

        return Energy(total(self.even, other.even), total(self.odd, other.odd))

    def __mul__(self, factor: float) -> Energy:
        return Energy(factor * self.even, None if self.odd is None else factor * self.odd)


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
    """Strain and rotation operators at the quadrature points, powers of b first.

    Parameters
    ----------
    pieces : Pieces
    R : float
        Middle radius [m].
    sanders : bool
    beta : numpy.ndarray
        (e, q) or (1, 1) prebuckling slope.
    """

    pieces: Pieces
    R: float
    sanders: bool
    beta: np.ndarray

    def on(self, u: np.ndarray | None = None, v: np.ndarray | None = None, w: np.ndarray | None = None) -> np.ndarray:
        """(e, d, q) operator that acts on the named unknowns."""
        e, nf, q = self.pieces.functions["u"].shape
        out = np.zeros((e, 3 * nf, q))
        for k, part in enumerate((u, v, w)):
            if part is not None:
                out[:, k * nf : (k + 1) * nf] = part
        return out

    @cached_property
    def strain(self) -> list[np.ndarray]:
        """Three (e, 6, d, q): strains and curvatures, order x, theta, x-theta."""
        f, R, curved = self.pieces.functions, self.R, float(self.sanders)
        u, du, w, dw, ddw = f["u"], f["u'"], f["w"], f["w'"], f["w''"]
        beta, on = self.beta[:, None, :], self.on
        zero = on()
        return [
            np.stack([on(u=du, w=beta * dw), on(w=w / R), on(v=du - curved / R * beta * u), on(w=-ddw), zero,
                      on(v=1.5 * curved / R * du)], 1),
            np.stack([zero, on(v=u), on(u=-u, w=-beta * w), zero, on(v=curved / R * u),
                      on(u=0.5 * curved / R * u, w=2 * dw)], 1),
            np.stack([zero, zero, zero, zero, on(w=w), zero], 1),
        ]  # fmt: skip

    @cached_property
    def slope(self) -> np.ndarray:
        """(e, d, q): W'."""
        return self.on(w=self.pieces.functions["w'"])

    @cached_property
    def hoop_rotation(self) -> list[np.ndarray]:
        """Two (e, d, q): B = V/R + b W."""
        f = self.pieces.functions
        return [self.on(v=float(self.sanders) / self.R * f["u"]), self.on(w=f["w"])]

    @cached_property
    def normal_rotation(self) -> list[np.ndarray]:
        """Two (e, d, q): f = (V' + b U)/2; nothing under Donnell."""
        f, half = self.pieces.functions, 0.5 * float(self.sanders)
        return [self.on(v=half * f["u'"]), self.on(u=half * f["u"])]


def strain_energy(strains: Strains, C: np.ndarray, *, odd: bool = False) -> Energy:
    """Energy of the 6x6 wall C; with `odd` its 16 and 26 terms too.

    For n = 0 the 16 and 26 terms act inside one family of u, v, w without waves: see `axisymmetric_energy`.
    """
    direct = C.copy()
    for i in _SHEAR:
        for j in _DIRECT:
            direct[i, j] = direct[j, i] = 0.0
    even = _product(strains, direct)
    if not odd:
        return Energy(even)
    skew = np.zeros((6, 6))
    for i in _SHEAR:
        for j in _DIRECT:
            skew[i, j], skew[j, i] = C[i, j], -C[j, i]
    return Energy(even, _product(strains, skew))


def axisymmetric_energy(strains: Strains, C: np.ndarray) -> Energy:
    """Energy of n = 0 with twist, all terms of C in one family."""
    return Energy(_product(strains, C, 1)[:1])


def _product(strains: Strains, C: np.ndarray, rank: int = _RANK) -> np.ndarray:
    dx = strains.pieces.functions["dx"][:, None, :]
    Z = strains.strain[:rank]
    e, _, d, _ = Z[0].shape
    flat = [np.moveaxis(z, 2, 1).reshape(e, d, -1) for z in Z]
    out = np.zeros((2 * rank - 1, e, d, d))
    for i in range(rank):
        weighted = np.moveaxis(np.einsum("sr,esaq->eraq", C, Z[i] * dx[:, None]), 2, 1).reshape(e, d, -1)
        for j in range(rank):
            out[i + j] += weighted @ np.swapaxes(flat[j], 1, 2)
    return out


def _squares(strains: Strains, rotation: list[np.ndarray], weight: np.ndarray) -> np.ndarray:
    """(3, e, d, d) of the square of a rotation of degree 1 in b; weight (e or 1, q or 1)."""
    dx = (strains.pieces.functions["dx"] * weight)[:, None, :]
    e, d, _ = rotation[0].shape
    out = np.zeros((3, e, d, d))
    for i in range(2):
        for j in range(2):
            out[i + j] += (rotation[i] * dx) @ np.swapaxes(rotation[j], 1, 2)
    return out


def hoop_work(strains: Strains, N_theta: np.ndarray) -> Energy:
    """What a hoop tension N_theta (e or 1, q or 1) adds to the stiffness."""
    out = _squares(strains, strains.hoop_rotation, N_theta)
    return Energy(out + _squares(strains, strains.normal_rotation, N_theta) if strains.sanders else out)


def axial_work(strains: Strains) -> Energy:
    """Work of a unit axial compression."""
    dx = strains.pieces.functions["dx"][:, None, :]
    slope = strains.slope
    out = _squares(strains, strains.normal_rotation, np.ones((1, 1)))
    out[0] += (slope * dx) @ np.swapaxes(slope, 1, 2)
    return Energy(out)


def shear_work(strains: Strains) -> Energy:
    """Work of a unit shear N_xtheta = 1: -(M - M^T) between the families, M = integral of W' (b W + V/R)."""
    dx = strains.pieces.functions["dx"][:, None, :]
    slope = strains.slope * dx
    out = []
    for part in strains.hoop_rotation:
        M = slope @ np.swapaxes(part, 1, 2)
        out.append(np.swapaxes(M, 1, 2) - M)
    odd = np.stack(out)
    return Energy(np.zeros_like(odd), odd)


def live_work(strains: Strains) -> Energy:
    """Work of a unit external pressure that stays normal to the wall, beyond a dead one:
    -(1/R)(W W + V V + 2 n V W + 2 R W U'), symmetrised."""
    f, R = strains.pieces.functions, strains.R
    e, nf, _ = f["u"].shape
    dx = f["dx"][:, None, :]
    out = np.zeros((3, e, 3 * nf, 3 * nf))
    u, v, w = (slice(k * nf, (k + 1) * nf) for k in range(3))

    def product(left: np.ndarray, right: np.ndarray) -> np.ndarray:
        return (left * dx) @ np.swapaxes(right, 1, 2)

    out[0, :, w, w] -= product(f["w"], f["w"]) / R
    out[0, :, v, v] -= product(f["u"], f["u"]) / R
    cross = product(f["w"], f["u'"])
    out[0, :, w, u] -= cross
    out[0, :, u, w] -= np.swapaxes(cross, 1, 2)
    mixed = product(f["u"], f["w"])
    out[1, :, v, w] -= mixed
    out[1, :, w, v] -= np.swapaxes(mixed, 1, 2)
    return Energy(out)
