"""Fields of the modes on the page: what they hold of each wave, and how alike they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.fft import dst

from ...core.records import MeshMode, ModeShape
from ...core.samples import MeshSurface
from ...core.wavecount import counted, peak_words, peaks

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
    total = 2 * float(np.trapezoid(np.abs(even) ** 2, dx=1 / _POINTS))
    largest = np.argsort(-power, kind="stable")[:_ROWS]
    return [(int(i) + 1, wave.n, min(1.0, float(power[i] / total))) for i in largest if power[i] > _LEAST_SHARE * total]


def named(
    content: Sequence[Sequence[float]], shape: Wave | Nodal, radius: float, length: float, shown: Callable[[float], str]
) -> tuple[str, str]:
    """Short name of a mode's waves, and the sentence about them; where no single m is theirs it has the places of the
    peaks. `shown` writes a length."""
    rows = [(int(m), int(n), float(share)) for m, n, share in content]
    count = counted(rows, shape.n if isinstance(shape, Wave) else None)
    if count.n == 0:
        around = "the same all around"
    elif count.n is not None:
        around = f"{count.n} full wave{'s' * (count.n > 1)} around, each {shown(2 * np.pi * radius / count.n)}"
    else:
        around = "no single n"
    if count.m is not None:
        along = f"{count.m} half-wave{'s' * (count.m > 1)} along the axis, each {shown(length / count.m)}"
        return count.pair, f"{along}; {around}"
    places, largest = _crests(shape)
    most = ""
    if rows:
        most = f" (the largest, m = {rows[0][0]}, n = {rows[0][1]}, contributes {100 * count.share:.0f} % of w^2)"
    return count.pair, f"no single m{most}: {peak_words(places, largest, shown)}; {around}"


def mesh_pair(mode: MeshMode) -> str:
    """Short name of a mesh mode's waves."""
    return counted(mode.content or ((mode.m, mode.n, mode.share),)).pair


def leading_m(shape: ModeShape) -> str:
    """The half-waves of a Ritz mode with their share; none where no single m holds enough of w^2."""
    share = f"{100 * shape.half_wave_share:.0f} %"
    if counted(((shape.half_waves, shape.n, shape.half_wave_share),), shape.n).m is None:
        return f"no single m (largest {shape.half_waves}, {share})"
    return f"{shape.half_waves} ({share})"


def _crests(shape: Wave | Nodal) -> tuple[tuple[float, ...], float]:
    """Places of the peaks along the axis, and that of the largest."""
    if isinstance(shape, Wave):
        x, size = shape.x, np.abs(shape.Z)
    else:
        x, row = np.unique(shape.x.round(6), return_inverse=True)
        size = np.zeros(len(x))
        np.maximum.at(size, row, np.abs(shape.w))
    return peaks(x, size), float(x[size.argmax()])


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
