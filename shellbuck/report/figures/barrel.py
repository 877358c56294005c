"""The barrel in space: facets of skin and ribs in parallel projection, painted from far to near.

The camera is that of `looks`; the axis (upwards, x = 0 below) and the stroke of theta = 0 are those of `view`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backend_bases import GraphicsContextBase
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgb
from matplotlib.transforms import IdentityTransform

from ...core.style import AZIMUTH, ELEVATION, INK, WINDOW, aside, colour_of, moved, sight
from ..review.fields import Field, MeshField
from .skin_map import plot_signs

AMPLITUDE = 0.08
"""Largest displacement as drawn, of the radius; short waves are drawn lower, to be seen as waves."""
_STEEP = 0.3
"""Largest displacement as drawn, of the distance from hill to valley."""
GHOST, GROUND = "#6F7B87", "#E4E9F0"

_LIGHT = np.array([-0.45, 0.55, 0.7]) / np.linalg.norm([-0.45, 0.55, 0.7])
"""Towards the light: to the left, upwards, to the camera."""
_MARKS = 90


class View(NamedTuple):
    """Right, up and towards the camera, as rows (3, 3)."""

    axes: np.ndarray
    azimuth: float

    @classmethod
    def on(cls, azimuth: float, elevation: float = ELEVATION) -> View:
        """The view from a hoop angle and an angle above the horizontal [rad]."""
        return cls(sight(azimuth, elevation), azimuth)

    def of(self, points: np.ndarray) -> np.ndarray:
        """Right, up, near (..., 3) of points in space (..., 3)."""
        return points @ self.axes.T


class Facets(NamedTuple):
    """Quads in space (f, 4, 3), w over its peak at their corners (f, 4); hoop angle, x, r (f,) of their middles."""

    corners: np.ndarray
    w: np.ndarray
    theta: np.ndarray
    x: np.ndarray
    r: np.ndarray
    skin: bool


def amplitude(field: Field) -> float:
    """Largest displacement as drawn, of the radius."""
    return min(AMPLITUDE, max(0.01, _STEEP * field.spacing / field.radius))


def drawn_scale(field: Field, d: np.ndarray) -> float:
    """What displacements (k, 3) of a mode are multiplied with to be drawn [m]."""
    return amplitude(field) * field.radius / (np.linalg.norm(d, axis=1).max(initial=0.0) or 1.0)


class Nodal(NamedTuple):
    """A piece of the barrel: nodes (k, 3) x, theta, r; displacement (k, 3) axial, hoop, radial; quads (f, 4); skin or
    ribs."""

    points: np.ndarray
    displacement: np.ndarray
    quads: np.ndarray
    skin: bool


FACETS = 150_000
"""Facets of a mesh, all around, up to which its skin is drawn as it is; of a larger one, on a grid of its own."""


def pieces_of(field: Field, most: int = FACETS) -> Iterator[Nodal]:
    """Skin and ribs of the whole barrel with the displacement of a mode, w over its peak.

    Parameters
    ----------
    field : Field
    most : int
        Facets up to which the skin of a mesh is taken as it is meshed.
    """
    if isinstance(field, MeshField):
        on_skin = field.surface.skin
        ribs = np.setdiff1d(np.arange(len(field.facets)), on_skin)
        as_meshed = field.copies() * len(on_skin) <= most
        for j in range(field.copies()):
            points, d = field.copy(j)
            for some, skin in ((on_skin, True), (ribs, False)):
                if len(some) and (as_meshed or not skin):
                    yield Nodal(points, d, field.facets[some], skin)
        if as_meshed:
            return
    around, along = field.enough(14)
    around, along = min(around, 720), min(along, 241)
    theta, x = np.linspace(0, 2 * math.pi, around + 1), np.linspace(0, field.length, along)
    tt, xx = (a.ravel() for a in np.meshgrid(theta, x))
    at = np.arange(len(tt)).reshape(along, around + 1)
    quads = np.stack([at[:-1, :-1], at[:-1, 1:], at[1:, 1:], at[1:, :-1]], -1).reshape(-1, 4)
    yield Nodal(np.column_stack([xx, tt, np.full(len(tt), field.radius)]), field.at(tt, xx), quads, True)


def facets_of(field: Field) -> Iterator[Facets]:
    """The facets of all pieces, moved as they are drawn."""
    pieces = list(pieces_of(field))
    scale = drawn_scale(field, np.concatenate([piece.displacement for piece in pieces]))
    for piece in pieces:
        places = moved(piece.points, scale * piece.displacement)
        yield _of(piece.points, places, piece.displacement[:, 2], piece.quads, piece.skin)


def _of(points: np.ndarray, places: np.ndarray, w: np.ndarray, quads: np.ndarray, skin: bool) -> Facets:
    angle = points[quads, 1]
    theta = np.arctan2(np.sin(angle).sum(axis=1), np.cos(angle).sum(axis=1))
    return Facets(places[quads], w[quads], theta, points[quads, 0].mean(axis=1), points[quads, 2].mean(axis=1), skin)


class Painted(NamedTuple):
    """Quads (f, 4, 2) on the picture from far to near, colours (f, 4, 3) of their corners."""

    polygons: np.ndarray
    colours: np.ndarray


def painted(field: Field, facets: Sequence[Facets], view: View, cut_open: bool = False) -> Painted:
    """Of the facets of a field those that may be seen, from far to near."""
    kept = []
    for f in facets:
        off = aside(f.theta, view.azimuth)
        see = off > WINDOW if cut_open else _may_be_seen(f, field, view, off)
        corners = view.of(f.corners[see])
        across = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
        normal = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-300)
        normal *= np.where(normal[:, 2:] < 0, -1.0, 1.0)  # the side that is seen
        tone = 0.62 + 0.38 * np.clip(normal @ _LIGHT, 0, 1)
        kept.append((corners, colour_of(f.w[see]) * tone[:, None, None]))
    corners, colours = (np.concatenate(rows) for rows in zip(*kept, strict=True))
    order = np.argsort(corners[..., 2].mean(axis=1), kind="stable")
    return Painted(corners[order][..., :2], np.clip(colours[order], 0, 1))


def raster(picture: Painted, low: np.ndarray, high: np.ndarray, pixels: int) -> np.ndarray:
    """(height, width, 3) of 0 to 255: the quads between two corners of the picture, so many pixels wide."""
    scale = pixels / (high[0] - low[0])
    renderer = RendererAgg(pixels, max(1, round((high[1] - low[1]) * scale)), 72)
    paper = np.asarray(renderer.buffer_rgba())
    paper[...] = (*(round(255 * part) for part in to_rgb(GROUND)), 255)
    # the renderer fills triangles of smooth colour in the order in which they come
    at = ((picture.polygons - low) * scale)[:, [[0, 1, 2], [0, 2, 3]]].reshape(-1, 3, 2)
    colours = picture.colours[:, [[0, 1, 2], [0, 2, 3]]].reshape(-1, 3, 3)
    colours = np.concatenate([colours, np.ones((len(colours), 3, 1))], axis=2)
    renderer.draw_gouraud_triangles(GraphicsContextBase(), at, colours, IdentityTransform())
    return paper[..., :3]


def _may_be_seen(f: Facets, field: Field, view: View, off: np.ndarray) -> np.ndarray:
    """Facets that a closed barrel does not hide for certain: its front, and as deep as one sees into its open end."""
    front = off < math.radians(100)
    towards = view.axes[2]
    deep = 2.6 * field.radius * towards[2] / math.hypot(towards[0], towards[1])
    inner = front & (f.r < 0.999 * field.radius) if not f.skin else np.zeros(len(front), bool)
    return (front & ~inner) | (f.x > field.length - deep)


def draw_barrel(axes: Axes, field: Field, facets: Sequence[Facets], pixels: int, *, cut_open: bool = False) -> None:
    """Draw the barrel of a field out of its facets, so many pixels wide; lines and signs stay lines."""
    view = View.on(AZIMUTH)
    picture = painted(field, facets, view, cut_open)
    lines = ghost(field, view, cut_open)
    R, L = field.radius, field.length
    stroke = view.of(np.array([[R, 0, -0.03 * L], [R, 0, -0.09 * L]]))[:, :2]
    corners = np.concatenate([picture.polygons.reshape(-1, 2), *lines, stroke])
    low, high = corners.min(axis=0), corners.max(axis=0)
    pad = 0.04 * (high - low).max()
    low, high = low - pad * np.array([1, 1.6]), high + pad
    axes.imshow(
        raster(picture, low, high, pixels)[::-1],
        extent=(low[0], high[0], low[1], high[1]),
        interpolation="none",
        origin="lower",
        aspect="equal",
        zorder=1,
    )
    axes.add_collection(LineCollection(lines, colors=GHOST, linewidths=0.7, zorder=2), autolim=False)
    axes.add_collection(LineCollection([stroke], colors=INK, linewidths=1.6, zorder=3), autolim=False)
    axes.annotate("θ = 0", stroke[1], (0, -2), textcoords="offset points", fontsize=6.5, ha="center", va="top")
    plot_signs(axes, *marks(field, view, cut_open), 0.008 * (high - low)[0])
    axes.set_xlim(low[0], high[0])
    axes.set_ylim(low[1], high[1])
    axes.set_axis_off()


def ghost(field: Field, view: View, cut_open: bool = False) -> list[np.ndarray]:
    """Lines (k, 2) of the undeformed outline, as far as the barrel does not hide it."""
    R, L = field.radius, field.length
    before, behind = (np.linspace(a, a + math.pi, 61) + view.azimuth for a in (-math.pi / 2, math.pi / 2))

    def line(theta: np.ndarray, x: float) -> np.ndarray:
        return view.of(np.column_stack([R * np.cos(theta), R * np.sin(theta), np.full(len(theta), x)]))[:, :2]

    sides = [np.concatenate([line(np.array([a]), x) for x in (0.0, L)]) for a in (before[0], before[-1])]
    hidden = [line(behind, 0.0)] if cut_open else []
    return [line(before, 0.0), line(before, L), line(behind, L), *hidden, *sides]


def marks(field: Field, view: View, cut_open: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Places (k, 2) on the picture of hills and valleys that face the camera, and w there; none if they are many."""
    found = field.extrema
    theta, x, w = found.T
    off = aside(theta, view.azimuth)
    shown = off > math.radians(125) if cut_open else off < math.radians(62)
    if shown.sum() > _MARKS:
        shown[:] = False
    d = field.at(theta[shown], x[shown])
    points = np.column_stack([x[shown], theta[shown], np.full(shown.sum(), field.radius)])
    places = view.of(moved(points, drawn_scale(field, d) * d))[:, :2]
    return places, w[shown]
