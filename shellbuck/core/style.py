"""How a barrel looks wherever it is drawn: colours of a displacement, the side it is seen from, places of its nodes."""

from __future__ import annotations

import math

import numpy as np

INK = "#22303C"
DISPLACEMENT = ("#0055A9", "#5A7ABC", "#93A2CF", "#C7CBE0", "#F6F3EE", "#E6C6B3", "#CF9778", "#B26940", "#903A03")
"""Radial displacement over its peak, -1 (inward) to 1 (outward)."""
_STOPS = np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] for c in DISPLACEMENT]) / 255

AZIMUTH, ELEVATION = math.radians(28), math.radians(24)
"""Of the camera: from theta = 0 (or the middle of a sector), and above the horizontal."""
WINDOW = math.radians(62)
"""Half the angle that is taken out of a barrel cut open, about the camera."""


def colour_of(w: np.ndarray, steps: int = 257) -> np.ndarray:
    """(..., 3) red, green, blue of 0 to 1 of w over its peak, in so many steps from -1 to 1.

    Examples
    --------
    >>> import numpy as np
    >>> (255 * colour_of(np.array([-1.0, 0.0, 1.0]))).round().astype(int).tolist()
    [[0, 85, 169], [246, 243, 238], [144, 58, 3]]
    """
    step = np.rint((np.clip(w, -1, 1) + 1) / 2 * (steps - 1)) / (steps - 1)
    at = np.linspace(0, 1, len(_STOPS))
    return np.stack([np.interp(step, at, row) for row in _STOPS.T], -1)


def sight(azimuth: float, elevation: float) -> np.ndarray:
    """Right, up, towards the camera, as rows (3, 3), of a camera at angles [rad] about the axis and above its plane."""
    (ca, sa), (ce, se) = ((math.cos(a), math.sin(a)) for a in (azimuth, elevation))
    towards, up = np.array([ce * ca, ce * sa, se]), np.array([-se * ca, -se * sa, ce])
    return np.stack([np.cross(up, towards), up, towards])


def aside(theta: np.ndarray, azimuth: float) -> np.ndarray:
    """Angle [rad], 0 to pi, between hoop angles and that of the camera."""
    return np.abs(np.mod(theta - azimuth + math.pi, 2 * math.pi) - math.pi)


def moved(points: np.ndarray, d: np.ndarray) -> np.ndarray:
    """Positions in space (k, 3) of nodes (k, 3) x, theta, r displaced by d (k, 3) axial, hoop, radial."""
    x, theta, r = points.T
    c, s = np.cos(theta), np.sin(theta)
    return np.column_stack([(r + d[:, 2]) * c - d[:, 1] * s, (r + d[:, 2]) * s + d[:, 1] * c, x + d[:, 0]])
