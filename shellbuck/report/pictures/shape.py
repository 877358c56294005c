"""Pictures of a whole barrel given as pieces of its surface: modes of any engine, forces before buckling.

The looks are those of `picture`: axis upwards, a stroke at theta = 0, fixed camera and colours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ...core.style import AZIMUTH, ELEVATION, INK, WINDOW, aside, moved
from .picture import SIZE, checked_size
from .process import LIMIT, paint, show
from .scene import GHOST, Camera, Lines, Scene, Surface


@dataclass(frozen=True, eq=False)
class Piece:
    """A piece of surface: nodes (k, 3) x [m], theta [rad], r [m]; displacement (k, 3) axial, hoop, radial; values (k,)
    between -1 and 1 that give the colour; quads (f, 4)."""

    points: np.ndarray
    displacement: np.ndarray
    values: np.ndarray
    quads: np.ndarray


@dataclass(frozen=True, eq=False)
class Shape:
    """What is drawn: pieces of a barrel of `radius` and `length` [m], `amplitude` of the largest displacement as drawn
    over the radius, title and words above, words at the ends of the strip of colours."""

    pieces: tuple[Piece, ...]
    radius: float
    length: float
    amplitude: float = 0.05
    title: str = ""
    words: tuple[str, ...] = ()
    ends: tuple[str, str] = ("inward", "outward")


def draw_shape(
    shape: Shape, path: str | Path, *, size: tuple[int, int] = SIZE, cut_open: bool = False, limit: float = LIMIT
) -> None:
    """Draw a shape as a PNG file; parameters and refusals are those of `draw_mode`."""
    paint(scene_of(shape, size, cut_open), path, limit)


def show_shape(shape: Shape, *, size: tuple[int, int] = SIZE, cut_open: bool = False) -> None:
    """Show a shape in a window that can be turned with the mouse, and return when it is closed.

    Raises
    ------
    Refusal
        Where there is no screen, or the drawing library is missing or fails.
    """
    show(scene_of(shape, size, cut_open))


def scene_of(shape: Shape, size: tuple[int, int], cut_open: bool = False) -> Scene:
    """The scene of a shape."""
    largest = max((np.linalg.norm(p.displacement, axis=1).max(initial=0.0) for p in shape.pieces), default=0.0)
    scale = shape.amplitude * shape.radius / largest if largest > 0 else 0.0
    surfaces, seen = [], []
    for piece in shape.pieces:
        places = moved(piece.points, scale * piece.displacement)
        seen += [places, moved(piece.points, 0 * piece.displacement)]
        quads = piece.quads[_kept(piece)] if cut_open else piece.quads
        nodes, local = np.unique(quads, return_inverse=True)
        if len(nodes):
            surfaces.append(Surface(places[nodes], local.reshape(-1, 4), piece.values[nodes]))
    camera = Camera.on(np.concatenate(seen), AZIMUTH, ELEVATION)
    lines = (*_rims(shape), _stroke(shape))
    return Scene(camera, checked_size(size), shape.title, shape.words, tuple(surfaces), lines, (), shape.ends)


def _kept(piece: Piece) -> np.ndarray:
    """Quads that are left when the barrel is cut open towards the camera."""
    theta = piece.points[piece.quads, 1]
    middle = np.arctan2(np.sin(theta).sum(axis=1), np.cos(theta).sum(axis=1))
    return aside(middle, AZIMUTH) > WINDOW


def _rims(shape: Shape) -> tuple[Lines, ...]:
    """The ends of the undeformed skin."""
    theta = np.linspace(0, 2 * math.pi, 181)
    segments = np.stack([np.arange(180), np.arange(1, 181)], -1)
    at = shape.radius * np.column_stack([np.cos(theta), np.sin(theta)])
    return tuple(Lines(np.column_stack([at, np.full(181, x)]), segments, GHOST, 1.5) for x in (0.0, shape.length))


def _stroke(shape: Shape) -> Lines:
    """The mark of theta = 0 below the lower edge."""
    ends = np.array([[shape.radius, 0, -0.012 * shape.length], [shape.radius, 0, -0.06 * shape.length]])
    return Lines(ends, np.array([[0, 1]]), INK, 3.0)
