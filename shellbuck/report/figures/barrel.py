"""The barrel in space: facets of skin and ribs in parallel projection, painted from far to near."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backend_bases import GraphicsContextBase
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgb
from matplotlib.transforms import IdentityTransform

from ...core.style import AZIMUTH, ELEVATION, INK, aside, colour_of, sight
from ..review.fields import Field
from ..review.shapes import Piece, Shape
from .skin_map import plot_signs

GHOST, GROUND = "#6F7B87", "#E4E9F0"
VIEW = sight(AZIMUTH, ELEVATION)
"""Right, up and towards the camera, as rows (3, 3)."""

_LIGHT = np.array([-0.45, 0.55, 0.7]) / np.linalg.norm([-0.45, 0.55, 0.7])
"""Towards the light: to the left, upwards, to the camera."""
_MARKS = 90


class Painted(NamedTuple):
    """Quads (f, 4, 2) on the picture from far to near, colours (f, 4, 3) of their corners."""

    polygons: np.ndarray
    colours: np.ndarray


def painted(shape: Shape, cut_open: bool = False) -> Painted:
    """Of the facets of a barrel those that may be seen, from far to near."""
    found = []
    for piece in shape.pieces:
        see = shape.kept(piece, True) if cut_open else _may_be_seen(piece, shape)
        quads = piece.quads[see]
        corners = (shape.placed(piece.points, piece.displacement) @ VIEW.T)[quads]
        across = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
        normal = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-300)
        normal *= np.where(normal[:, 2:] < 0, -1.0, 1.0)  # the side that is seen
        tone = 0.62 + 0.38 * np.clip(normal @ _LIGHT, 0, 1)
        found.append((corners, colour_of(piece.values[quads]) * tone[:, None, None]))
    corners, colours = (np.concatenate(rows) for rows in zip(*found, strict=True))
    order = np.argsort(corners[..., 2].mean(axis=1), kind="stable")
    return Painted(corners[order][..., :2], np.clip(colours[order], 0, 1))


def _may_be_seen(piece: Piece, shape: Shape) -> np.ndarray:
    """Quads that a closed barrel does not hide for certain: its front, and as deep as one sees into its open end."""
    x, theta, r = piece.middles.T
    front = aside(theta, AZIMUTH) < math.radians(100)
    if piece.part != "skin":
        front &= r > 0.999 * shape.radius
    return front | (x > shape.length - 2.6 * shape.radius * math.tan(ELEVATION))


def raster(picture: Painted, low: np.ndarray, high: np.ndarray, pixels: int) -> np.ndarray:
    """(height, width, 3) of 0 to 255: the quads between two corners of the picture, so many pixels wide."""
    scale = pixels / (high[0] - low[0])
    renderer = RendererAgg(pixels, max(1, round((high[1] - low[1]) * scale)), 72)
    paper = np.asarray(renderer.buffer_rgba())
    paper[...] = (*(round(255 * part) for part in to_rgb(GROUND)), 255)
    # the renderer fills triangles of smooth colour in the order in which they come
    corners = [[0, 1, 2], [0, 2, 3]]
    at = ((picture.polygons - low) * scale)[:, corners].reshape(-1, 3, 2)
    colours = picture.colours[:, corners].reshape(-1, 3, 3)
    colours = np.concatenate([colours, np.ones((len(colours), 3, 1))], axis=2)
    renderer.draw_gouraud_triangles(GraphicsContextBase(), at, colours, IdentityTransform())
    return paper[..., :3]


def draw_barrel(axes: Axes, field: Field, shape: Shape, pixels: int, *, cut_open: bool = False) -> None:
    """Draw the barrel with a mode, so many pixels wide; lines and signs stay lines."""
    picture, lines = painted(shape, cut_open), ghost(shape, cut_open)
    R, L = shape.radius, shape.length
    stroke = (np.array([[R, 0, -0.03 * L], [R, 0, -0.09 * L]]) @ VIEW.T)[:, :2]
    corners = np.concatenate([picture.polygons.reshape(-1, 2), *lines, stroke])
    low, high = corners.min(axis=0), corners.max(axis=0)
    pad = 0.04 * (high - low).max()
    low, high = low - pad * np.array([1, 1.6]), high + pad
    axes.imshow(
        raster(picture, low, high, pixels),
        extent=(low[0], high[0], low[1], high[1]),
        interpolation="none",
        aspect="equal",
        zorder=1,
    )
    axes.add_collection(LineCollection(lines, colors=GHOST, linewidths=0.7, zorder=2), autolim=False)
    axes.add_collection(LineCollection([stroke], colors=INK, linewidths=1.6, zorder=3), autolim=False)
    axes.annotate("θ = 0", stroke[1], (0, -2), textcoords="offset points", fontsize=6.5, ha="center", va="top")
    plot_signs(axes, *_marks(field, shape, cut_open), 0.008 * (high - low)[0])
    axes.set_xlim(low[0], high[0])
    axes.set_ylim(low[1], high[1])
    axes.set_axis_off()


def ghost(shape: Shape, cut_open: bool = False) -> list[np.ndarray]:
    """Lines (k, 2) of the undeformed outline, as far as the barrel does not hide it."""
    turns = (np.linspace(a, a + math.pi, 61) + AZIMUTH for a in (-math.pi / 2, math.pi / 2))
    front, back = ([(line @ VIEW.T)[:, :2] for line in shape.outline(theta)] for theta in turns)
    sides = [np.array([low, high]) for low, high in zip(*(line[[0, -1]] for line in front), strict=True)]
    return [*front, *(back if cut_open else back[1:]), *sides]


def _marks(field: Field, shape: Shape, cut_open: bool) -> tuple[np.ndarray, np.ndarray]:
    """Places (k, 2) on the picture of hills and valleys that face the camera, and w there; none if they are many."""
    theta, x, w = field.extrema.T
    off = aside(theta, AZIMUTH)
    shown = off > math.radians(125) if cut_open else off < math.radians(62)
    if shown.sum() > _MARKS:
        shown[:] = False
    points = np.column_stack([x[shown], theta[shown], np.full(shown.sum(), shape.radius)])
    return (shape.placed(points, field.at(theta[shown], x[shown])) @ VIEW.T)[:, :2], w[shown]
