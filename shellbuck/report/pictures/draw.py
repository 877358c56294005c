"""Pictures of barrels, meshes and modes: colour is the radial displacement over its peak, of a rib its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from ...core.errors import Refusal
from ...core.style import ELEVATION, INK
from ...engines.mesh import Mesh
from ..review.shapes import Piece, Shape, mesh_shape
from .process import LIMIT, paint, show
from .scene import GHOST, Camera, Lines, Scene, Surface

SIZE = (1200, 900)


def draw_mode(
    mesh: Mesh,
    mode: np.ndarray,
    path: str | Path,
    *,
    title: str = "",
    lines: Sequence[str] = (),
    size: tuple[int, int] = SIZE,
    ribs: bool = True,
    cut_open: bool = False,
    amplitude: float = 0.05,
    limit: float = LIMIT,
) -> None:
    """Draw a mode as a PNG file.

    Parameters
    ----------
    mesh : Mesh
        Of a barrel or a sector.
    mode : numpy.ndarray
        (unknowns,) six a node: displacement along axis, hoop and radius first.
    path : str or Path
        A file that is there is replaced, but only by a finished picture.
    title : str
    lines : sequence of str
        Of the label; one about colour and amplitude is added.
    size : (int, int)
        Width and height [pixels].
    ribs : bool
        Whether ribs are shown.
    cut_open : bool
        Look inside: the part of the barrel towards the camera is left out; a sector is seen from the axis.
    amplitude : float
        Largest displacement as drawn, over the radius of the skin.
    limit : float
        Time that drawing may take [s].

    Raises
    ------
    Refusal
        When the drawing library is missing or fails, or the place cannot be written to.
    """
    values = np.asarray(mode, dtype=float)
    if values.shape != (mesh.unknowns,) or not np.isfinite(values).all():
        raise ValueError(f"a mode of this mesh is ({mesh.unknowns},) finite numbers")
    words = (
        *lines,
        "colour: radial displacement over its peak; largest displacement drawn as "
        f"{100 * amplitude:.3g} % of the radius, amplitude arbitrary",
    )
    shape = mesh_shape(mesh, values.reshape(-1, 6)[:, :3], ribs=ribs, amplitude=amplitude)
    draw_shape(replace(shape, title=title, words=words), path, size=size, cut_open=cut_open, limit=limit)


def draw_mesh(
    mesh: Mesh,
    path: str | Path,
    *,
    title: str = "",
    lines: Sequence[str] = (),
    size: tuple[int, int] = SIZE,
    ribs: bool = True,
    cut_open: bool = False,
    limit: float = LIMIT,
) -> None:
    """Draw a mesh as a PNG file, every part in its own colour, with the edges of the elements.

    Parameters and refusals are those of `draw_mode`.
    """
    words = (*lines, f"{len(mesh.elements)} elements of order {mesh.order}, {len(mesh.points)} nodes")
    shape = replace(mesh_shape(mesh, ribs=ribs), title=title, words=words)
    draw_shape(shape, path, size=size, cut_open=cut_open, limit=limit)


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
    """The scene of a shape: parts in colours of their own get a legend and the edges of their elements."""
    if not all(200 <= s <= 8000 for s in size):
        got = f"{size[0]} x {size[1]} pixels"
        raise Refusal.of("value-range", "no such size of a picture", "size", got, "200 to 8000 each way")
    placed = [shape.placed(piece.points, piece.displacement) for piece in shape.pieces]
    seen = np.concatenate([*placed, *(shape.placed(piece.points, 0 * piece.displacement) for piece in shape.pieces)])
    camera = Camera.on(seen, shape.azimuth(cut_open), ELEVATION)
    lifted = 4e-3 * camera.half.max() * camera.towards  # a little nearer to the camera than the surfaces they lie on
    surfaces, lines = [], _ghost(shape)
    for piece, places in zip(shape.pieces, placed, strict=True):
        quads = piece.quads[shape.kept(piece, cut_open)]
        nodes, local = np.unique(quads, return_inverse=True)
        if not len(nodes):
            continue
        values, colour = (None, piece.colour) if piece.values is None else (piece.values[nodes], "")
        surfaces.append(Surface(places[nodes], local.reshape(-1, 4), values, colour))
        edges = piece.edges if piece.values is None else _rims(piece, quads, shape)
        if edges is not None:
            edges = edges[np.isin(edges, nodes).all(axis=1)]
            lines.append(Lines(places[nodes] + lifted, np.searchsorted(nodes, edges), INK, 1.0))
    legend = {piece.part: piece.colour for piece in shape.pieces if piece.values is None}
    return Scene(
        camera,
        (int(size[0]), int(size[1])),
        shape.title,
        shape.words,
        tuple(surfaces),
        tuple(lines),
        tuple(legend.items()),
        shape.ends,
    )


def _rims(piece: Piece, quads: np.ndarray, shape: Shape) -> np.ndarray | None:
    """(s, 2) sides of the skin's quads at both ends of the barrel."""
    if piece.part != "skin":
        return None
    sides = np.stack([quads, np.roll(quads, -1, axis=1)], -1).reshape(-1, 2)
    x = piece.points[sides, 0]
    low = piece.points[:, 0].min()
    tiny = 1e-6 * shape.length
    return sides[(np.abs(x - low) < tiny).all(axis=1) | (np.abs(x - low - shape.length) < tiny).all(axis=1)]


def _ghost(shape: Shape) -> list[Lines]:
    """The ends of the undeformed skin, and the mark of theta = 0 below the lower one; a sector's sides show."""
    segments = np.stack([np.arange(180), np.arange(1, 181)], -1)
    lines = [Lines(line, segments, GHOST, 1.5) for line in shape.outline(np.linspace(*shape.span, 181))]
    if shape.whole:
        radius, length = max(float(piece.points[:, 2].max()) for piece in shape.pieces), shape.length
        ends = np.array([[radius, 0, -0.012 * length], [radius, 0, -0.06 * length]])
        lines.append(Lines(ends, np.array([[0, 1]]), INK, 3.0))
    return lines
