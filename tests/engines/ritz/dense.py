"""A small dense Ritz of one harmonic: complex amplitudes, global Legendre polynomials, numerical quadrature.

u = Re U(x) exp(i n theta), v and w likewise, so that a turn around is i n and walls with 16/26 terms or a shear load
need nothing special. Strains and rotations are written down once more from DEVELOPERS.md's table; edges are linear
constraints, springs and end rings are squares of end values. Good for barrels of a dozen boundary layers and n of 1 or
more. Nothing of the engine is used: the wall comes in as a 6x6 array.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.polynomial import legendre
from scipy.linalg import eigh, null_space

HELD = {
    "SS1": "w",
    "SS2": "wu",
    "SS3": "wv",
    "SS4": "wuv",
    "C1": "ws",
    "C2": "wsu",
    "C3": "wsv",
    "C4": "wsuv",
    "FREE": "",
}
"""What an edge set holds; s is the slope."""


def on_circle(radius: float, n: int, z: float) -> dict[str, np.ndarray]:
    """Strains of a Bernoulli rod on a circle per unit of (U, V, W, W') of the skin it stands on at the height z.

    With x, theta, r right-handed and d' = strain + rotation x tangent, the rotations are (w,t - v)/a about x, -w,x
    about the tangent and -u_c,t/a about r; curvatures are the derivative of that vector along the circle (own). In its
    own plane the rod follows the wall: a is the skin's radius there; sideways and in twist a is that of the centroid.
    """
    a, turn = radius + z, 1j * n
    u_c = np.array([1, 0, 0, -z], complex)
    v, w, slope = np.eye(4)[1:].astype(complex)
    k = (v * turn - w * turn**2) / radius**2
    about_r, about_t = -u_c * turn / a, -slope
    return {
        "stretch": v * turn / radius + w / radius + z * k,
        "bend": k,
        "sideways": (about_r * turn - about_t) / a,
        "twist": (about_t * turn + about_r) / a,
    }


@dataclass(frozen=True, eq=False)
class Dense:
    """A barrel of length L and radius R; `springs` (2, 4) on u, v, w, slope at its ends.

    `rings` are (end 0 or 1, E A, E I, E I sideways, G J, z).
    """

    C: np.ndarray
    R: float
    L: float
    start: str
    end: str
    sanders: bool
    degree: int = 24
    springs: np.ndarray = field(default_factory=lambda: np.zeros((2, 4)))
    rings: tuple[tuple[int, float, float, float, float, float], ...] = ()

    @cached_property
    def _points(self) -> tuple[np.ndarray, np.ndarray]:
        s, weights = legendre.leggauss(self.degree + 6)
        return s, weights * self.L / 2

    def _values(self, s: np.ndarray, order: int) -> np.ndarray:
        """(points, degree + 1)"""
        series = [legendre.legder(np.eye(self.degree + 1)[k], order) for k in range(self.degree + 1)]
        return np.array([legendre.legval(s, one) for one in series]).T * (2 / self.L) ** order

    @cached_property
    def _fields(self) -> dict[str, np.ndarray]:
        s = self._points[0]
        zero = np.zeros((s.size, self.degree + 1))
        out = {}
        for i, name in enumerate("uvw"):
            for order in range(3):
                parts = [zero, zero, zero]
                parts[i] = self._values(s, order)
                out[name + "'" * order] = np.hstack(parts)
        return out

    @cached_property
    def _ends(self) -> np.ndarray:
        """(2, 4, unknowns): u, v, w, slope at the ends."""
        rows = []
        for s in (-1.0, 1.0):
            at = [self._values(np.array([s]), order)[0] for order in (0, 1)]
            zero = np.zeros_like(at[0])
            rows.append(
                [
                    np.hstack(r)
                    for r in ((at[0], zero, zero), (zero, at[0], zero), (zero, zero, at[0]), (zero, zero, at[1]))
                ]
            )
        return np.array(rows)

    @cached_property
    def _free(self) -> np.ndarray:
        held = [self._ends[i, "uvws".index(q)] for i, name in enumerate((self.start, self.end)) for q in HELD[name]]
        return null_space(np.array(held)) if held else np.eye(3 * (self.degree + 1))

    def _form(self, left: np.ndarray, right: np.ndarray) -> np.ndarray:
        """Hermitian part of the integral of conj(left) right along the axis."""
        M = left.conj().T @ (self._points[1][:, None] * right)
        return (M + M.conj().T) / 2

    def stiffness(self, n: int, N_theta: float = 0.0) -> np.ndarray:
        f, R, t, c = self._fields, self.R, 1j * n, float(self.sanders)
        strains = [
            f["u'"],
            (t * f["v"] + f["w"]) / R,
            t * f["u"] / R + f["v'"],
            -f["w''"],
            -(t**2 * f["w"] - c * t * f["v"]) / R**2,
            (-2 * t * f["w'"] + c * (1.5 * f["v'"] - 0.5 * t * f["u"] / R)) / R,
        ]
        stack = np.stack(strains)
        stress = np.einsum("ij,jqd->iqd", self.C, stack)
        size = stack.shape[-1]
        weighted = (self._points[1][:, None] * stress).reshape(-1, size)
        K = stack.reshape(-1, size).conj().T @ weighted
        K = (K + K.conj().T) / 2
        for i in range(2):
            K = K + self._ends[i].T @ (self.springs[i][:, None] * self._ends[i])
        for i, *stiffness, z in self.rings:
            for size, row in zip(stiffness, on_circle(R, n, z).values(), strict=True):
                whole = row @ self._ends[i]
                K = K + size * np.outer(whole.conj(), whole)
        return K + N_theta * self.hoop(n)

    def _turns(self, n: int) -> tuple[np.ndarray, np.ndarray]:
        """Rotations about the axis and about the normal."""
        f, R, t, c = self._fields, self.R, 1j * n, float(self.sanders)
        return (c * f["v"] - t * f["w"]) / R, c * (f["v'"] - t * f["u"] / R) / 2

    def axial(self, n: int) -> np.ndarray:
        slope, spin = self._fields["w'"], self._turns(n)[1]
        return self._form(slope, slope) + self._form(spin, spin)

    def hoop(self, n: int) -> np.ndarray:
        return sum(self._form(turn, turn) for turn in self._turns(n))

    def shear(self, n: int) -> np.ndarray:
        """Of N_xtheta = 1: the shear strain contains -w,x (v - w,t)/R, and work is what lowers the stiffness."""
        return 2 * self._form(self._fields["w'"], self._turns(n)[0])

    def live(self, n: int) -> np.ndarray:
        """What an external pressure with p R = 1 adds when it stays normal to the wall."""
        f, t = self._fields, 1j * n
        whole = self._form(f["w"], f["w"]) + self._form(f["v"], f["v"])
        whole = whole - 2 * self._form(f["v"], t * f["w"]) + 2 * self.R * self._form(f["w"], f["u'"])
        return -whole / self.R**2

    def load(
        self,
        n: int,
        axial: float = 0.0,
        hoop: float = 0.0,
        shear: float = 0.0,
        live: bool = False,
        N_theta: float = 0.0,
    ) -> float:
        """Lowest positive factor of the mix."""
        G = axial * self.axial(n) + hoop * self.hoop(n) + shear * self.shear(n)
        if live:
            G = G + hoop * self.live(n)
        return 1 / float(self.spectrum(self.stiffness(n, N_theta), G)[-1])

    def spectrum(self, K: np.ndarray, G: np.ndarray) -> np.ndarray:
        """Rising inverse factors of K x = lambda G x on the free unknowns."""
        Z = self._free
        K, G = Z.T @ K @ Z, Z.T @ G @ Z
        scale = 1 / np.sqrt(np.diag(K).real)
        return eigh(G * np.outer(scale, scale), K * np.outer(scale, scale), eigvals_only=True)

    def lowest(self, harmonics: range, **mix: float) -> tuple[float, int]:
        """Lowest factor of these harmonics, and its harmonic."""
        return min((self.load(n, **mix), n) for n in harmonics)
