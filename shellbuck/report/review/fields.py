"""A mode of the review data as a field on the skin: looked up anywhere, its peak, its extrema."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay, KDTree

from ...core.samples import Samples

MARKED = 0.4
"""Extrema below this part of the peak carry no sign."""


class Grid(NamedTuple):
    """w over its peak, (len(x), len(theta)); theta [rad] runs once around, its last value is one step short of 2 pi."""

    theta: np.ndarray
    x: np.ndarray
    w: np.ndarray


class Peak(NamedTuple):
    """Where |w| is largest, and w there."""

    theta: float
    x: float
    w: float


def decoded(samples: Samples | Mapping[str, Any]) -> np.ndarray:
    """Values of samples, as a record or as they stand in JSON."""
    return (samples if isinstance(samples, Samples) else Samples(**samples)).array()


class Field:
    """Displacement of a mode on the whole skin, amplitude arbitrary: u axial, v hoop, w radial, outward positive."""

    radius: float
    length: float
    n: int
    m: int

    def at(self, theta: np.ndarray, x: np.ndarray) -> np.ndarray:
        """u, v, w at places (k,) of theta [rad] and x [m]: (k, 3)."""
        raise NotImplementedError

    def grid(self, around: int, along: int) -> Grid:
        """w on a grid of so many places around and along, both ends included."""
        theta, x = np.arange(around) * (2 * math.pi / around), np.linspace(0, self.length, along)
        at = np.meshgrid(theta, x)
        return Grid(theta, x, self.at(at[0].ravel(), at[1].ravel())[:, 2].reshape(along, around))

    @cached_property
    def fine(self) -> Grid:
        """A grid on which every wave that the label names has a dozen places or more."""
        return self.grid(*self.enough(16))

    def enough(self, places: int) -> tuple[int, int]:
        """Places around and along, so many to a full wave and half as many to a half-wave, within what can be drawn."""
        around = max(6, self.n) * places
        along = max(4, self.m) * (places // 2) + 1
        return max(180, min(around, 2400)), max(61, min(along, 1201))

    @cached_property
    def peak(self) -> Peak:
        """The largest |w|; of equal ones an outward one, of these the one first seen from theta = 0."""
        grid = self.fine
        size = np.abs(grid.w)
        rank = np.round(size / (size.max() or 1.0), 3) + 1e-4 * (grid.w > 0)
        i, j = divmod(int(np.argmax(rank.T)), len(grid.x))
        return Peak(float(grid.theta[i]), float(grid.x[j]), float(grid.w[j, i]))

    @cached_property
    def extrema(self) -> np.ndarray:
        """(k, 3) theta [rad], x [m] and w of every hill and valley that is worth a sign."""
        grid = self.fine
        size = np.abs(grid.w)
        if not size.max() > 0:
            return np.empty((0, 3))
        padded = np.pad(np.pad(size, ((0, 0), (1, 1)), mode="wrap"), ((1, 1), (0, 0)))
        up, down, left, right = padded[2:, 1:-1], padded[:-2, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:]
        tall = size > MARKED * size.max()
        if np.ptp(grid.w, axis=1).max() < 1e-3 * size.max():  # axisymmetric: rings have no summit around
            rows = np.nonzero((tall & (size >= up) & (size > down))[:, 0])[0]
            return np.array([(k * math.pi / 4, grid.x[j], grid.w[j, 0]) for j in rows for k in range(8)])
        hill = tall & (size >= up) & (size > down) & (size >= right) & (size > left)
        rows, columns = np.nonzero(hill)
        return np.column_stack([grid.theta[columns], grid.x[rows], grid.w[rows, columns]])

    @cached_property
    def spacing(self) -> float:
        """Distance on the skin from a hill or valley to the next [m], of those that stand close."""
        found = self.extrema[:, :2] * np.array([self.radius, 1.0])
        if len(found) < 2:
            return math.pi * self.radius
        return float(np.quantile(KDTree(found).query(found, k=2)[0][:, 1], 0.2))


@dataclass(eq=False)
class WaveField(Field):
    """A mode with one number of waves around: amplitudes (k, 3) along x (k,), and those of the twin."""

    radius: float
    length: float
    n: int
    m: int
    x: np.ndarray
    amplitude: np.ndarray
    twin: np.ndarray

    def at(self, theta: np.ndarray, x: np.ndarray) -> np.ndarray:
        U, V, W, Ut, Vt, Wt = (np.interp(x, self.x, row) for row in (*self.amplitude.T, *self.twin.T))
        c, s = np.cos(self.n * theta), np.sin(self.n * theta)
        return np.column_stack([U * c + Ut * s, V * s - Vt * c, W * c + Wt * s])


@dataclass(frozen=True, eq=False)
class Surface:
    """A mesh that modes share: its middle radius [m], nodes (k, 3) x, theta, r, quads (f, 4) and which are skin, the
    hoop angle it covers, and whether mirror planes bound it."""

    radius: float
    points: np.ndarray
    facets: np.ndarray
    skin: np.ndarray
    angle: float
    mirror: bool

    @cached_property
    def start(self) -> float:
        """Hoop angle at which the meshed part begins."""
        return float(self.points[np.unique(self.facets[self.skin]), 1].min()) if self.mirror else 0.0

    @cached_property
    def unrolled(self) -> tuple[Delaunay, np.ndarray]:
        """Triangles between the skin's nodes on the unrolled plane (hoop angle, x/R), and the node of each point."""
        nodes = np.unique(self.facets[self.skin])
        theta, x = self.points[nodes, 1], self.points[nodes, 0] / self.radius
        # where the skin closes around, its first nodes are there twice
        again = np.zeros(len(nodes), bool) if self.mirror else theta < theta.min() + 1.0
        plane = np.column_stack([np.append(theta, theta[again] + 2 * math.pi), np.append(x, x[again])])
        return Delaunay(plane), np.append(nodes, nodes[again])

    def located(self, theta: np.ndarray, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Of places (k,) on the skin: their points (k, 2) on the unrolled plane, and whether they lie on a mirrored
        part (k,)."""
        back = np.zeros(len(theta), bool)
        if self.mirror:
            turned = np.mod(theta - self.start, 2 * self.angle)
            back = turned > self.angle
            theta = self.start + np.where(back, 2 * self.angle - turned, turned)
        else:
            first = self.points[np.unique(self.facets[self.skin]), 1].min()
            theta = first + np.mod(theta - first, 2 * math.pi)
        plane, _ = self.unrolled
        places = np.column_stack([theta, x / self.radius])
        return np.clip(places, plane.min_bound + 1e-7, plane.max_bound - 1e-7), back


@dataclass(eq=False)
class MeshField(Field):
    """A mode of a mesh, continued around by its mirror planes; `sign` is that of w beyond one of them."""

    radius: float
    length: float
    n: int
    m: int
    surface: Surface
    displacement: np.ndarray
    sign: float

    @property
    def points(self) -> np.ndarray:
        """Nodes (k, 3) x, theta, r of the meshed part."""
        return self.surface.points

    @property
    def facets(self) -> np.ndarray:
        """Quads (f, 4) of skin and ribs of the meshed part."""
        return self.surface.facets

    def copies(self) -> int:
        """How many parts make the whole barrel."""
        return max(1, round(2 * math.pi / self.surface.angle)) if self.surface.mirror else 1

    def copy(self, j: int) -> tuple[np.ndarray, np.ndarray]:
        """Nodes (k, 3) and displacement (k, 3) of the j-th part of the whole barrel."""
        points, angle = self.points.copy(), self.surface.angle
        if j % 2:
            points[:, 1] = 2 * self.surface.start + (j + 1) * angle - points[:, 1]
            return points, self._mirrored(self.displacement)
        points[:, 1] += j * angle
        return points, self.displacement

    def _mirrored(self, d: np.ndarray) -> np.ndarray:
        return d * np.array([self.sign, -self.sign, self.sign])

    def at(self, theta: np.ndarray, x: np.ndarray) -> np.ndarray:
        places, back = self.surface.located(theta, x)
        plane, nodes = self.surface.unrolled
        d = LinearNDInterpolator(plane, self.displacement[nodes], fill_value=0.0)(places)
        return np.where(back[:, None], self._mirrored(d), d)


class Fields:
    """The fields of the modes of some review data; modes of one mesh share its look-up.

    Parameters
    ----------
    data : mapping
        The review data.
    """

    def __init__(self, data: Mapping[str, Any]) -> None:
        self.data = data
        self._surfaces: dict[str, Surface] = {}

    def surface(self, name: str) -> Surface:
        """A mesh of the data by its name."""
        if name not in self._surfaces:
            stored = self.data["surfaces"][name]
            skin = np.nonzero(decoded(stored["part"]) == list(stored["parts"]).index("skin"))[0]
            self._surfaces[name] = Surface(
                float(self.data["barrel"]["radius"]),
                decoded(stored["points"]).astype(float),
                decoded(stored["facets"]).astype(np.int64),
                skin,
                float(stored["angle"]),
                bool(stored["mirror"]),
            )
        return self._surfaces[name]

    def of(self, mode: Mapping[str, Any]) -> Field:
        """The field of one of the data's modes."""
        barrel = self.data["barrel"]
        radius, length = float(barrel["radius"]), float(barrel["length"])
        n, m = int(mode["n"] or 0), int(mode["m"] or 1)
        if mode["form"] == "waves":
            amplitude = np.column_stack([decoded(mode[k]) for k in "uvw"])
            twin = np.zeros_like(amplitude)
            if mode.get("twin_w") is not None:
                twin = np.column_stack([decoded(mode[f"twin_{k}"]) for k in "uvw"])
            return WaveField(radius, length, n, m, decoded(mode["x"]), amplitude, twin)
        sign = -1.0 if mode["symmetry"] == "odd" else 1.0
        return MeshField(radius, length, n, m, self.surface(mode["surface"]), decoded(mode["displacement"]), sign)


def field_of(mode: Mapping[str, Any], data: Mapping[str, Any]) -> Field:
    """The field of one mode that is looked at alone, of the review data."""
    return Fields(data).of(mode)
