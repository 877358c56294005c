"""Arrays as text: mode shapes and meshes inside JSON and pages, small and exact to a stated step."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from typing import Literal

import numpy as np

Stored = Literal["f4", "i2", "u4", "u1"]
_LARGEST = 32767


@dataclass(frozen=True)
class Samples:
    """An array as base64 of little-endian numbers in C order; its values are `scale` times what is stored."""

    dtype: Stored
    shape: tuple[int, ...]
    scale: float
    data: str

    def array(self) -> np.ndarray:
        """The values; integers stay integers where the scale is 1.

        Raises
        ------
        ValueError
            When the data do not fill the shape.
        """
        stored = np.frombuffer(base64.b64decode(self.data, validate=True), dtype=f"<{self.dtype}").reshape(self.shape)
        return stored.copy() if self.scale == 1 and self.dtype != "f4" else stored * float(self.scale)


def pack(values: np.ndarray, dtype: Stored) -> Samples:
    """An array as text.

    Parameters
    ----------
    values : numpy.ndarray
    dtype : {"f4", "i2", "u4", "u1"}
        "i2" keeps values to the largest magnitude over 32767; "u4" and "u1" take whole numbers as they are.

    Raises
    ------
    ValueError
        For values that are not finite, or whole numbers out of range.

    Examples
    --------
    >>> import numpy as np
    >>> pack(np.array([0.5, -1.0]), "i2").array().round(4).tolist()
    [0.5, -1.0]
    """
    values = np.asarray(values)
    if not np.isfinite(values).all():
        raise ValueError("samples must be finite")
    scale = 1.0
    if dtype == "i2":
        scale = float(np.abs(values).max(initial=0.0)) / _LARGEST or 1.0
        values = np.rint(values / scale)
    elif dtype in ("u4", "u1"):
        top = np.iinfo(dtype).max
        if values.size and (values.min() < 0 or values.max() > top or not np.array_equal(values, np.rint(values))):
            raise ValueError(f"whole numbers from 0 to {top} expected")
    stored = np.ascontiguousarray(values, dtype=f"<{dtype}")
    return Samples(dtype, stored.shape, scale, base64.b64encode(stored.tobytes()).decode("ascii"))


@dataclass(frozen=True)
class MeshSurface:
    """The nodes and facets of a mesh, to be drawn.

    `points` (k, 3) are x [m], theta [rad], r [m]; `facets` (f, 4) node numbers, `part` (f,) index into `parts`;
    `weight` (k,) [m^2] is the skin's area that belongs to a node. The meshed part spans `angle` [rad]; with `mirror`
    its two sides are mirror planes through the axis and the barrel is the part reflected again and again.
    """

    points: Samples
    facets: Samples
    part: Samples
    parts: tuple[str, ...]
    weight: Samples
    angle: float
    mirror: bool
