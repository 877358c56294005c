"""Where the lines of a mesh lie: along the axis with finer ends, and over the depth of webs with thin layers."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from .shapes import Blades, Divisions, StraightRibs

_LAYER = 0.75
_DEEP = 3.0


def axial_stations(shape: StraightRibs, divisions: Divisions, half: bool) -> tuple[np.ndarray, np.ndarray]:
    """Lines across the axis.

    Parameters
    ----------
    shape : StraightRibs
    divisions : Divisions
    half : bool
        Only to half the length.

    Returns
    -------
    tuple of numpy.ndarray
        (n + 1,) rising positions [m] from 0 to the length (or half of it), and the indices of those that carry a ring.
    """
    L = shape.length
    count = shape.rings.count if shape.rings is not None else 0
    rings = L * (np.arange(1, count + 1) / (count + 1))
    lines = np.unique(np.concatenate([[0.0, L], rings, [L / 2] if half else []]))
    end = divisions.layer(shape) if divisions.ends else 0.0
    body = L / divisions.along
    fine = min(end / divisions.ends, body) if divisions.ends else body
    if 2.5 * end >= L:  # too little would be left between the layers
        end = L / 2
    cuts = [c for c in (end, L - end) if divisions.ends and np.abs(lines - c).min() > 0.25 * end]
    if len(cuts) == 2 and cuts[1] - cuts[0] < 1e-9 * L:
        cuts = [L / 2]
    lines = np.unique(np.concatenate([lines, cuts]))
    near = 1.25 * end  # a line next to the end of the layer has taken its place
    pieces = [np.zeros(1)]
    for a, b in pairwise(lines):
        layer = divisions.ends and (b <= near or a >= L - near)
        pieces.append(np.linspace(a, b, _parts(b - a, fine if layer else body) + 1)[1:])
    x = np.concatenate(pieces)
    x = x[x <= L / 2] if half else x
    at = np.searchsorted(x, rings)
    return x, at[rings <= x[-1]]


def web_stations(families: list[tuple[Blades, float]], divisions: Divisions) -> tuple[np.ndarray, list[int]]:
    """Heights above the middle of the skin for the webs of one side, shared so that webs that cross fit together.

    Parameters
    ----------
    families : list
        (blades, reach [m]) of every family on this side.
    divisions : Divisions

    Returns
    -------
    tuple
        (k,) rising heights [m] without the root, and for every family how many of them it takes.
    """
    reaches = np.unique([reach for _, reach in families])
    lines = [0.0, *reaches]
    layers = []
    if divisions.layers:
        for blades, reach in families:
            thin = _LAYER * blades.thickness
            if reach >= _DEEP * blades.thickness:
                layers += [(thin, thin, 0.0), (thin, reach - thin, reach)]
    thin_ends = set()
    for thin, height, edge in sorted(layers):
        if min(abs(height - line) for line in lines) > 0.5 * thin * (1 - 1e-9):
            lines.append(height)
            thin_ends.add((min(height, edge), max(height, edge)))
    lines = sorted(lines)
    heights = [np.empty(0)]
    for a, b in pairwise(lines):
        size = min(_body(blades, reach, divisions) for blades, reach in families if reach >= b)
        parts = 1 if (a, b) in thin_ends else _parts(b - a, size)
        heights.append(np.linspace(a, b, parts + 1)[1:])
    found = np.concatenate(heights)
    return found, [int(np.searchsorted(found, reach)) + 1 for _, reach in families]


def _body(blades: Blades, reach: float, divisions: Divisions) -> float:
    """Depth of an element between the thin layers [m]."""
    layered = divisions.layers and reach >= _DEEP * blades.thickness
    return (reach - (2 * _LAYER * blades.thickness if layered else 0.0)) / divisions.depth


def _parts(length: float, size: float) -> int:
    return max(1, math.ceil(length / size - 1e-6))
