"""The colours of a radial displacement in figures: those of the pictures, inward blue, outward brown."""

from __future__ import annotations

import numpy as np
from matplotlib.colors import to_rgb

PALETTE = (
    "#0055A9", "#5A7ABC", "#93A2CF", "#C7CBE0", "#F6F3EE", "#E6C6B3", "#CF9778", "#B26940", "#903A03",
)  # fmt: skip
"""w over its peak, -1 (inward) to 1 (outward); a test holds it equal to that of `view`."""

_STOPS = np.array([to_rgb(c) for c in PALETTE])


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
