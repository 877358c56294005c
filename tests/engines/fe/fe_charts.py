"""Charts of surfaces that meshes of barrels do not have: sphere, twisted strip."""

from __future__ import annotations

import numpy as np

from shellbuck.engines.fe.geometry import Chart, global_axes


def _sphere(c):
    a, b, r = np.moveaxis(c, -1, 0)
    ca, sa, cb, sb = np.cos(a), np.sin(a), np.cos(b), np.sin(b)
    place = np.stack([r * ca * cb, r * ca * sb, r * sa], -1)
    J = np.stack(
        [
            np.stack([-r * sa * cb, -r * sa * sb, r * ca], -1),
            np.stack([-r * ca * sb, r * ca * cb, 0 * r], -1),
            np.stack([ca * cb, ca * sb, sa], -1),
        ],
        -1,
    )
    H = np.zeros((*c.shape, 3, 3))
    H[..., :, 0, 0] = -place
    H[..., :, 1, 1] = np.stack([-r * ca * cb, -r * ca * sb, 0 * r], -1)
    H[..., :, 0, 1] = H[..., :, 1, 0] = np.stack([r * sa * sb, -r * sa * cb, 0 * r], -1)
    H[..., :, 0, 2] = H[..., :, 2, 0] = J[..., :, 0] / r[..., None]
    H[..., :, 1, 2] = H[..., :, 2, 1] = J[..., :, 1] / r[..., None]
    return place, J, H


def _twisted(c):
    k = np.pi / 24  # a quarter turn over 12
    x, s, _ = np.moveaxis(c, -1, 0)
    co, si, o = np.cos(k * x), np.sin(k * x), 0 * x
    J = np.stack(
        [np.stack([o + 1, -s * k * si, s * k * co], -1), np.stack([o, co, si], -1), np.stack([o, o, o], -1)], -1
    )
    H = np.zeros((*c.shape, 3, 3))
    H[..., :, 0, 0] = np.stack([o, -s * k * k * co, -s * k * k * si], -1)
    H[..., :, 0, 1] = H[..., :, 1, 0] = np.stack([o, -k * si, k * co], -1)
    return np.stack([x, s * co, s * si], -1), J, H


SPHERE = Chart(_sphere, global_axes)
"""Latitude, longitude, radius."""
TWISTED = Chart(_twisted, global_axes)
"""Along a straight axis, across the strip."""
