"""Load of a smeared wall whose rib prestress acts at the rib centroids.

Classical smeared walls let the whole line load work on the motion of the skin's middle. A rib at height z moves by
u + z p, v + z q, w, where p = -w,x and q = v/R - w,y are the turns of the normal. Inside, where z q and v have one
sign, the hoop motion grows with the depth and the load falls; this is most of the difference between a mesh with
inside stringers and its smeared wall (own derivation; tests hold it against an exact solution).
"""

from __future__ import annotations

import math

import numpy as np

from ..engines.closed_form import amplitudes
from ..model.walls import SmearedWall


def height_effect(
    wall: SmearedWall, R: float, L: float, m: int, n: int, line_load: float, pressure: float = 0.0
) -> float:
    """Relative change of the load of a mode when the ribs' forces work at their height.

    Prestress is one membrane strain, A e = (-1, 0, 0) per unit line load and (0, R, 0) per unit pressure. The mode is
    that of the smeared wall, simply supported: to first order it stays. The energy of strain does not change.

    Parameters
    ----------
    wall : SmearedWall
        With its ribs; each direction balanced (16 and 26 terms zero).
    R, L : float
        Radius of the skin's middle and length [m].
    m, n : int
        Half-waves along, full waves around.
    line_load : float
        Of the mode, by the smeared theory, compression positive [N/m].
    pressure : float
        Internal, fixed and dead [Pa].

    Returns
    -------
    float
        For example -.005 where the load falls by half a percent; 0 without ribs.
    """
    a, b = m * math.pi / L, n / R
    # of least strain energy for its w
    U, V, W = amplitudes(wall, R, L, m, n, theory="Sanders", line_load=0.0)
    strains = np.linalg.solve(wall.A, [[-1.0, 0.0], [0.0, R], [0.0, 0.0]])
    at_skin = _slopes(U, V, W, R, a, b)
    odd, even = (0.0, 2.0) if n == 0 else (1.0, 1.0)
    # mean squares of u,x v,x w,x and of u,y v,y + w/R w,y - v/R, by four
    weight = np.array([[even, odd, even], [odd, even, odd]])
    by_height = _slopes(-a * W, V / R + b * W, 0.0, R, a, b)
    first, second = 2 * (weight * at_skin * by_height).sum(1), (weight * by_height**2).sum(1)
    work = stiffening = 0.0
    for rib in wall.ribs:
        more = rib.direction[:2] @ (rib.z * first + (rib.z**2 + rib.inertia / rib.area) * second)
        by_load, by_pressure = rib.E * rib.area / rib.spacing * (rib.direction @ strains)
        work -= by_load * more
        stiffening += pressure * by_pressure * more
    whole = (weight * at_skin**2).sum(1)[0]
    return float((whole + stiffening / line_load) / (whole + work) - 1)


def _slopes(U: float, V: float, W: float, R: float, a: float, b: float) -> np.ndarray:
    """(2, 3) amplitudes of the gradients along axis and hoop, of a motion or of its part per unit height."""
    return np.array([[-a * U, a * V, a * W], [-b * U, b * V + W / R, -b * W - V / R]])
