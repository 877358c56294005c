"""Pictures of a mesh and of a mode.

Colour is the radial displacement over its peak, zero-centred, outward positive; of a rib its own. The axis points
upwards, x = 0 is below, and a short stroke at the lower edge marks theta = 0. The camera and the colours are fixed.
Every element of order p is drawn as p x p facets between its nodes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from ...core.errors import Problem, Refusal
from ...core.style import AZIMUTH, ELEVATION, INK, WINDOW, aside, moved
from ...engines.mesh import Mesh
from .process import LIMIT, paint
from .scene import GHOST, Camera, Lines, Scene, Surface

SIZE = (1200, 900)
AMPLITUDE = 0.05
"""Largest displacement as drawn, of the radius."""

_PARTS = {
    "skin": "#C7CBE0",
    "stringer": "#B26940",
    "ring": "#0055A9",
    "rib hoop": "#0055A9",
    "rib axial": "#0055A9",
    "rib inclined": "#B26940",
}
_OTHER = "#93A2CF"


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
    amplitude: float = AMPLITUDE,
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
    d = values.reshape(-1, 6)[:, :3]
    azimuth = _azimuth(mesh, cut_open)
    shown = _shown(mesh, ribs)
    used = np.unique(mesh.elements[shown])
    largest = np.linalg.norm(d[used], axis=1).max()
    scale = amplitude * _radius(mesh) / largest if largest > 0 else 0.0
    peak = np.abs(d[used, 2]).max()
    places = moved(mesh.points, scale * d)
    words = (
        *lines,
        "colour: radial displacement over its peak; largest displacement drawn as "
        f"{100 * amplitude:.3g} % of the radius, amplitude arbitrary",
    )
    kept = _kept(mesh, shown, azimuth) if cut_open else shown
    surfaces = tuple(
        Surface(places[nodes], quads, d[nodes, 2] / peak if peak > 0 else np.zeros(len(nodes)))
        for _, nodes, quads in _facets(mesh, kept)
    )
    camera = Camera.on(np.concatenate([places[used], mesh.positions()[used]]), azimuth, ELEVATION)
    rims = _lifted(_segments(places, _rims(mesh, kept), INK, 1.5), camera)
    paint(Scene(camera, checked_size(size), title, words, surfaces, (_ghost(mesh), rims, *_stroke(mesh))), path, limit)


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
    shown, azimuth = _shown(mesh, ribs), _azimuth(mesh, cut_open)
    places = mesh.positions()
    camera = Camera.on(places[np.unique(mesh.elements[shown])], azimuth, ELEVATION)
    kept = _kept(mesh, shown, azimuth) if cut_open else shown
    parts = list(_facets(mesh, kept))
    surfaces = tuple(Surface(places[nodes], quads, None, _colour(name)) for name, nodes, quads in parts)
    edges = _lifted(_segments(places, _borders(mesh.elements[kept], mesh.order), INK, 1.0), camera)
    legend = tuple((name, _colour(name)) for name, _, _ in parts)
    words = (*lines, f"{len(mesh.elements)} elements of order {mesh.order}, {len(mesh.points)} nodes")
    drawn = (_ghost(mesh), edges, *_stroke(mesh))
    paint(Scene(camera, checked_size(size), title, words, surfaces, drawn, legend), path, limit)


def checked_size(size: tuple[int, int]) -> tuple[int, int]:
    """The size of a picture [pixels]; one that cannot be drawn is refused."""
    if not all(200 <= s <= 8000 for s in size):
        raise Refusal(
            Problem(
                "value-range",
                "no such size of a picture",
                "size",
                f"{size[0]} x {size[1]} pixels",
                "200 to 8000 each way",
            )
        )
    return int(size[0]), int(size[1])


def _shown(mesh: Mesh, ribs: bool) -> np.ndarray:
    """Numbers of the elements to be drawn."""
    if mesh.coordinates != "cylindrical":
        raise ValueError("only barrels are drawn")
    return np.arange(len(mesh.elements)) if ribs else mesh.of_part("skin")


def _radius(mesh: Mesh) -> float:
    return float(mesh.points[mesh.nodes_of("skin"), 2].mean())


def _whole(mesh: Mesh) -> bool:
    return mesh.angle > 2 * math.pi * (1 - 1e-9)


def _azimuth(mesh: Mesh, inside: bool) -> float:
    if _whole(mesh):
        return AZIMUTH
    theta = mesh.corners[..., 1]
    return float(theta.min() + theta.max()) / 2 + AZIMUTH + (math.pi if inside else 0.0)


def _kept(mesh: Mesh, shown: np.ndarray, azimuth: float) -> np.ndarray:
    """The elements that are left when a whole barrel is cut open towards the camera."""
    if not _whole(mesh):
        return shown
    return shown[aside(mesh.corners[shown][..., 1].mean(axis=(1, 2)), azimuth) > WINDOW]


def _facets(mesh: Mesh, shown: np.ndarray) -> Iterator[tuple[str, np.ndarray, np.ndarray]]:
    """Of every part shown: its name, nodes (k,) and quads (f, 4) among them."""
    for i, name in enumerate(mesh.parts):
        at = mesh.elements[shown[mesh.part[shown] == i]].reshape(-1, mesh.order + 1, mesh.order + 1)
        quads = np.stack([at[:, :-1, :-1], at[:, 1:, :-1], at[:, 1:, 1:], at[:, :-1, 1:]], -1).reshape(-1, 4)
        if len(quads):
            nodes, local = np.unique(quads, return_inverse=True)
            yield name, nodes, local.reshape(-1, 4)


def _borders(elements: np.ndarray, order: int) -> np.ndarray:
    """(s, 2) segments along the borders of elements, each once."""
    at = elements.reshape(-1, order + 1, order + 1)
    rows = np.concatenate([at[:, 0], at[:, -1], at[:, :, 0], at[:, :, -1]])
    segments = np.stack([rows[:, :-1], rows[:, 1:]], -1).reshape(-1, 2)
    return np.unique(np.sort(segments, axis=1), axis=0)


def _rims(mesh: Mesh, some: np.ndarray) -> np.ndarray:
    """(s, 2) segments of the skin at both ends, of some elements."""
    segments = _borders(mesh.elements[np.intersect1d(some, mesh.of_part("skin"))], mesh.order)
    x = mesh.points[:, 0]
    ends = (np.abs(x - x.min()) < 1e-9 * np.ptp(x)) | (np.abs(x - x.max()) < 1e-9 * np.ptp(x))
    return segments[ends[segments].all(axis=1)]


def _ghost(mesh: Mesh) -> Lines:
    """The ends of the undeformed skin."""
    return _segments(mesh.positions(), _rims(mesh, np.arange(len(mesh.elements))), GHOST, 1.5)


def _segments(places: np.ndarray, segments: np.ndarray, colour: str, width: float) -> Lines:
    nodes, local = np.unique(segments, return_inverse=True)
    return Lines(places[nodes], local.reshape(-1, 2), colour, width)


def _lifted(lines: Lines, camera: Camera) -> Lines:
    """The same lines a little nearer to the camera than the surfaces that they lie on."""
    return Lines(lines.points + 4e-3 * camera.half.max() * camera.towards, lines.segments, lines.colour, lines.width)


def _stroke(mesh: Mesh) -> tuple[Lines, ...]:
    """The mark of theta = 0 below the lower edge; sectors have none, their sides show."""
    if not _whole(mesh):
        return ()
    radius, length = mesh.points[:, 2].max(), np.ptp(mesh.points[:, 0])
    ends = np.array([[radius, 0, -0.012 * length], [radius, 0, -0.06 * length]])
    return (Lines(ends, np.array([[0, 1]]), INK, 3.0),)


def _colour(part: str) -> str:
    return _PARTS.get(part.removesuffix(" in plane"), _OTHER)
