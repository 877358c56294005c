"""Quadrilaterals whose corners are named by whole numbers: around, along, and up the webs.

Corners that belong together have the same three numbers, so that neighbours, crossings and the closing of the
circumference are shared exactly; places come in last.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .elevate import from_quads
from .mesh import Mesh


@dataclass(frozen=True, eq=False)
class Web:
    """Lines along which webs of one part stand.

    Parameters
    ----------
    part : str
    lines : numpy.ndarray
        (k, 2, 2) whole numbers (around, along) of the two ends of every piece of a rib.
    levels : numpy.ndarray
        (d + 1,) levels of the web from the root, 0, to its free edge: indices into the radii.
    """

    part: str
    lines: np.ndarray
    levels: np.ndarray

    def quads(self) -> np.ndarray:
        """(k d, 2, 2, 3) corners: first along the rib, then away from the skin."""
        depth = len(self.levels) - 1
        keys = np.empty((len(self.lines), depth, 2, 2, 3), dtype=np.int64)
        keys[..., :2] = self.lines[:, None, :, None, :]
        keys[..., 2] = np.stack([self.levels[:-1], self.levels[1:]], axis=1)[None, :, None, :]
        return keys.reshape(-1, 2, 2, 3)


@dataclass(frozen=True, eq=False)
class Lattice:
    """A barrel as quadrilaterals between whole numbers.

    Parameters
    ----------
    skin : numpy.ndarray
        (e, 2, 2, 2) numbers (around, along) of the corners of the skin.
    webs : tuple of Web
    turn : float
        Hoop angle of one number around [rad].
    x : numpy.ndarray
        Axial positions by number [m]; of one entry, the length of one number.
    radii : numpy.ndarray
        Radii of the levels [m]; the skin's comes first.
    period : int
        Numbers around the circumference, or in a sector.
    closed : bool
        Whether the last number around is the first again.
    """

    skin: np.ndarray
    webs: tuple[Web, ...]
    turn: float
    x: np.ndarray
    radii: np.ndarray
    period: int
    closed: bool

    def mesh(self, order: int) -> Mesh:
        """The mesh of an order."""
        skin = np.concatenate([self.skin, np.zeros_like(self.skin[..., :1])], axis=-1)
        groups = [skin, *(web.quads() for web in self.webs)]
        names = ["skin", *(w.part for w in self.webs)]
        parts = tuple(dict.fromkeys(names))
        part = np.repeat([parts.index(name) for name in names], [len(g) for g in groups])
        keys = np.concatenate(groups)
        if self.closed:
            keys[..., 0] %= self.period
        low, high = int(keys[..., 0].min()), int(keys[..., 0].max()) + self.period
        width, levels = high - low + 1, len(self.radii)
        codes = ((keys[..., 1] * levels + keys[..., 2]) * width) + keys[..., 0] - low
        found, quads = np.unique(codes, return_inverse=True)
        u, rest = found % width + low, found // width
        y, level = rest // levels, rest % levels
        x = y * self.x[0] if len(self.x) == 1 else self.x[y]
        points = np.column_stack([x, u * self.turn, self.radii[level]])
        sides = None
        if not self.closed:
            twins = np.searchsorted(found, found - self.period)  # what lies one sector to the left
            right = np.nonzero(found[twins] == found - self.period)[0]
            sides = (twins[right], right)
        return from_quads(
            points,
            quads.reshape(codes.shape),
            order,
            part=part,
            parts=parts,
            coordinates="cylindrical",
            angle=self.period * self.turn,
            sides=sides,
        )
