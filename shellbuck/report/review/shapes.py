"""The barrel in space as still figures and pictures draw it: pieces of its surface, each with its displacement.

The axis points upwards, x = 0 is below; a sector of a mesh is seen from its middle, a whole barrel from `AZIMUTH`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ...core.style import AZIMUTH, WINDOW, aside, moved
from ...engines.mesh import Mesh
from .fields import Field, MeshField

AMPLITUDE = 0.08
"""Largest displacement as drawn, of the radius; short waves are drawn lower, to be seen as waves."""
_STEEP = 0.3
"""Largest displacement as drawn, of the distance from hill to valley."""
FACETS = 150_000
"""Facets of a mesh, all around, up to which its skin is drawn as it is; of a larger one, on a grid of its own."""

_PARTS = {
    "skin": "#C7CBE0",
    "stringer": "#B26940",
    "ring": "#0055A9",
    "rib hoop": "#0055A9",
    "rib axial": "#0055A9",
    "rib inclined": "#B26940",
}


@dataclass(frozen=True, eq=False)
class Piece:
    """A piece of surface: nodes (k, 3) x [m], theta [rad], r [m]; displacement (k, 3) axial, hoop, radial; values (k,)
    between -1 and 1 that give the colour, or None for the colour of the part; quads (f, 4); edges (s, 2) of elements.
    """

    points: np.ndarray
    displacement: np.ndarray
    values: np.ndarray | None
    quads: np.ndarray
    part: str = "skin"
    edges: np.ndarray | None = None

    @property
    def colour(self) -> str:
        """Of the part, where no values give one."""
        return _PARTS.get(self.part.removesuffix(" in plane"), "#93A2CF")

    @cached_property
    def middles(self) -> np.ndarray:
        """(f, 3) x, theta, r of the middles of the quads."""
        x, theta, r = np.moveaxis(self.points[self.quads], -1, 0)
        angle = np.arctan2(np.sin(theta).sum(axis=1), np.cos(theta).sum(axis=1))
        return np.column_stack([x.mean(axis=1), angle, r.mean(axis=1)])


@dataclass(frozen=True, eq=False)
class Shape:
    """What is drawn: pieces of a barrel of `radius` and `length` [m], `amplitude` of the largest displacement as drawn
    over the radius, title and words above, words at the ends of the strip of colours; hoop angles [rad] from and to."""

    pieces: tuple[Piece, ...]
    radius: float
    length: float
    amplitude: float = 0.05
    title: str = ""
    words: tuple[str, ...] = ()
    ends: tuple[str, str] = ("inward", "outward")
    span: tuple[float, float] = (0.0, 2 * math.pi)

    @property
    def whole(self) -> bool:
        """Whether it goes all around."""
        return self.span[1] - self.span[0] > 2 * math.pi * (1 - 1e-9)

    @cached_property
    def scale(self) -> float:
        """What displacements are multiplied with to be drawn."""
        largest = max((np.linalg.norm(p.displacement, axis=1).max(initial=0.0) for p in self.pieces), default=0.0)
        return self.amplitude * self.radius / largest if largest > 0 else 0.0

    def placed(self, points: np.ndarray, displacement: np.ndarray) -> np.ndarray:
        """Positions in space (k, 3) of nodes displaced as they are drawn."""
        return moved(points, self.scale * displacement)

    def azimuth(self, inside: bool = False) -> float:
        """Hoop angle of the camera [rad]; a sector is seen from the axis to look inside."""
        return AZIMUTH if self.whole else sum(self.span) / 2 + AZIMUTH + (math.pi if inside else 0.0)

    def kept(self, piece: Piece, cut_open: bool) -> np.ndarray:
        """Whether (f,) quads are left: a whole barrel is cut open towards the camera."""
        if not (cut_open and self.whole):
            return np.ones(len(piece.quads), bool)
        return aside(piece.middles[:, 1], AZIMUTH) > WINDOW

    def outline(self, theta: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Points (k, 3) of the undeformed skin's lower and upper end at hoop angles (k,)."""
        at = self.radius * np.column_stack([np.cos(theta), np.sin(theta)])
        low, high = (np.column_stack([at, np.full(len(theta), x)]) for x in (0.0, self.length))
        return low, high


def amplitude(field: Field) -> float:
    """Largest displacement of a mode as drawn, of the radius."""
    return min(AMPLITUDE, max(0.01, _STEEP * field.spacing / field.radius))


def shape_of(field: Field, most: int = FACETS) -> Shape:
    """Skin and ribs of the whole barrel with the displacement of a mode, w over its peak.

    Parameters
    ----------
    field : Field
    most : int
        Facets up to which the skin of a mesh is taken as it is meshed.
    """
    return Shape(tuple(_pieces(field, most)), field.radius, field.length, amplitude(field))


def _pieces(field: Field, most: int) -> Iterator[Piece]:
    if isinstance(field, MeshField):
        on_skin = field.surface.skin
        ribs = np.setdiff1d(np.arange(len(field.facets)), on_skin)
        as_meshed = field.copies() * len(on_skin) <= most
        for j in range(field.copies()):
            points, d = field.copy(j)
            for some, part in ((on_skin, "skin"), (ribs, "ribs")):
                if len(some) and (as_meshed or part != "skin"):
                    yield Piece(points, d, np.clip(d[:, 2], -1, 1), field.facets[some], part)
        if as_meshed:
            return
    around, along = field.enough(14)
    around, along = min(around, 720), min(along, 241)
    tt, xx, quads = tube(around, np.linspace(0, field.length, along))
    d = field.at(tt, xx)
    yield Piece(np.column_stack([xx, tt, np.full(len(tt), field.radius)]), d, np.clip(d[:, 2], -1, 1), quads)


def tube(around: int, x: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A grid once around at stations x [m]: hoop angles and stations (k,) of its nodes, its quads (f, 4)."""
    tt, xx = (a.ravel() for a in np.meshgrid(np.linspace(0, 2 * math.pi, around + 1), x))
    at = np.arange(len(tt)).reshape(len(x), -1)
    return tt, xx, np.stack([at[:-1, :-1], at[:-1, 1:], at[1:, 1:], at[1:, :-1]], -1).reshape(-1, 4)


def mesh_shape(mesh: Mesh, d: np.ndarray | None = None, *, ribs: bool = True, amplitude: float = 0.05) -> Shape:
    """The parts of a mesh of a barrel or a sector; every element of order p is p x p facets between its nodes.

    Parameters
    ----------
    mesh : Mesh
    d : numpy.ndarray or None
        (nodes, 3) displacement of a mode; None shows the parts in their colours.
    ribs : bool
        Whether ribs are shown.
    amplitude : float
        Largest displacement as drawn, over the radius of the skin.
    """
    if mesh.coordinates != "cylindrical":
        raise ValueError("only barrels are drawn")
    shown = [i for i, name in enumerate(mesh.parts) if (mesh.part == i).any() and (ribs or name == "skin")]
    used = np.unique(mesh.elements[np.isin(mesh.part, shown)])
    peak = 0.0 if d is None else float(np.abs(d[used, 2]).max())
    moves = np.zeros((len(mesh.points), 3)) if d is None else d
    pieces = []
    for i in shown:
        at = mesh.elements[mesh.part == i].reshape(-1, mesh.order + 1, mesh.order + 1)
        quads = np.stack([at[:, :-1, :-1], at[:, 1:, :-1], at[:, 1:, 1:], at[:, :-1, 1:]], -1).reshape(-1, 4)
        nodes, local = np.unique(quads, return_inverse=True)
        rows = np.searchsorted(nodes, np.concatenate([at[:, 0], at[:, -1], at[:, :, 0], at[:, :, -1]]))
        edges = np.sort(np.stack([rows[:, :-1], rows[:, 1:]], -1).reshape(-1, 2), axis=1)
        values = None if d is None else d[nodes, 2] / (peak or 1.0)
        local = local.reshape(-1, 4)
        pieces.append(Piece(mesh.points[nodes], moves[nodes], values, local, mesh.parts[i], np.unique(edges, axis=0)))
    radius, theta = float(mesh.points[mesh.nodes_of("skin"), 2].mean()), mesh.points[mesh.nodes_of("skin"), 1]
    whole = mesh.angle > 2 * math.pi * (1 - 1e-9)
    span = (0.0, 2 * math.pi) if whole else (float(theta.min()), float(theta.max()))
    return Shape(tuple(pieces), radius, float(np.ptp(mesh.points[:, 0])), amplitude, span=span)
