"""Fields of the modes on the page: what they hold of each wave, and how alike they are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.fft import dst

from ..records import MeshMode
from ..samples import MeshSurface

_POINTS = 2048
_ROWS = 8
_LEAST_SHARE = 5e-4


@dataclass(frozen=True, eq=False)
class Wave:
    """w = Re(Z(x) exp(i n theta)) with Z (k,) complex at stations x (k,) [m]; turned at will about the axis."""

    n: int
    x: np.ndarray
    Z: np.ndarray

    def at(self, x: np.ndarray) -> np.ndarray:
        """Z at other stations."""
        return np.interp(x, self.x, self.Z.real) + 1j * np.interp(x, self.x, self.Z.imag)


@dataclass(frozen=True, eq=False)
class Nodal:
    """w (k,) at the nodes of a mesh, with what `MeshSurface` says of them."""

    x: np.ndarray
    theta: np.ndarray
    weight: np.ndarray
    w: np.ndarray
    fold: int
    symmetry: str

    @classmethod
    def of(cls, surface: MeshSurface, mode: MeshMode) -> Nodal:
        """A mode of a mesh on the nodes of its skin."""
        points, weight = surface.points.array(), surface.weight.array()
        on = weight > 0
        fold = round(np.pi / surface.angle) if surface.mirror else 1
        x, theta = points[on, 0], points[on, 1]
        w = mode.displacement.array()[on, 2]
        return cls(x, theta - theta.min(), weight[on], w, fold, mode.symmetry)


def sine_content(wave: Wave) -> list[tuple[int, int, float]]:
    """Shares of w^2 by (m, n), the largest first: sin(m pi x/L) on the wave's own n.

    Examples
    --------
    >>> x = np.linspace(0, 2.0, 201)
    >>> [(m, n, round(share, 3)) for m, n, share in sine_content(Wave(4, x, np.sin(3 * np.pi * x / 2) + 0j))]
    [(3, 4, 1.0)]
    """
    even = wave.at(np.linspace(wave.x[0], wave.x[-1], _POINTS + 1))
    power = sum((dst(part[1:-1], type=1) / _POINTS) ** 2 for part in (even.real, even.imag))
    total = 2 * float((np.abs(even) ** 2).mean())
    largest = np.argsort(-power, kind="stable")[:_ROWS]
    return [(int(i) + 1, wave.n, min(1.0, float(power[i] / total))) for i in largest if power[i] > _LEAST_SHARE * total]


def alike(first: Wave | Nodal, second: Wave | Nodal) -> float:
    """Subspace MAC by w on the skin: 1 where one mode is, turned about the axis, the other; 0 where they share nothing.

    A wave stands for itself and its twin a quarter wave beside; a mode of a mesh for itself.
    """
    if isinstance(first, Wave) and isinstance(second, Wave):
        if first.n != second.n:
            return 0.0
        x = np.union1d(first.x, second.x)
        a, b, dx = first.at(x), second.at(x), np.gradient(x)
        norms = float((np.abs(a) ** 2 @ dx) * (np.abs(b) ** 2 @ dx))
        return min(1.0, float(abs((a.conj() * b) @ dx) ** 2) / norms)
    if isinstance(first, Nodal) and isinstance(second, Nodal):
        if first.symmetry != second.symmetry:
            return 0.0
        return _share(first.w, second.w[:, None], first.weight)
    wave, nodal = (first, second) if isinstance(first, Wave) else (second, first)
    if wave.n % nodal.fold:
        return 0.0
    field = wave.at(nodal.x) * np.exp(1j * wave.n * nodal.theta)
    return _share(nodal.w, np.column_stack([field.real] + ([field.imag] if wave.n else [])), nodal.weight)


def _share(w: np.ndarray, space: np.ndarray, weight: np.ndarray) -> float:
    """Share of w^2 that lies in the space of some fields (k, j)."""
    root = np.sqrt(weight)
    basis, _ = np.linalg.qr(space * root[:, None])
    return min(1.0, float(((basis.T @ (w * root)) ** 2).sum() / (w**2 @ weight)))
