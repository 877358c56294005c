"""Exact buckling loads of a simply supported shear-flexible cylinder: own derivation, one mode (m, n) at a time.

Fields u = U cos(ax) cos(by), v = V sin(ax) sin(by), w = W sin(ax) cos(by), turns of the normal p = P cos(ax) cos(by)
along the axis and q = Q sin(ax) sin(by) along the hoop; a = m pi/L, b = n/R. They satisfy w = v = q = N_x = M_x = 0 at
the ends, also for an orthotropic wall with B. Sanders' bending with shear:

    e_x = u,x          e_y = v,y + w/R      g = u,y + v,x
    k_x = p,x          k_y = q,y            k_xy = p,y + q,x + (v,x - u,y)/(2 R)
    g_x = p + w,x      g_y = q + w,y - v/R

Load: work N (u,x^2 + v,x^2 + w,x^2)/2 of the full gradients; hoop tension T stiffens by T |,y|^2/2 with the moving
directions: u,y; v,y + w/R; w,y - v/R. A rib along the axis moves by u + z p, v + z q, w at its height z: the part of
the force that ribs carry may work there.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import eigh


def loads(
    C: np.ndarray,
    S: float,
    R: float,
    L: float,
    m: int,
    n: int,
    hoop: float = 0.0,
    rotations: bool = False,
    ribs: tuple[float, float, float] = (0.0, 0.0, 0.0),
) -> float:
    """The lowest positive load of one mode [N/m]; C (6, 6), transverse shear stiffness S [N/m].

    With `rotations` the load works on Sanders' rotations w,x and (v,x - u,y)/2 in place of the full gradients. `ribs`:
    share of the axial force in ribs along the axis, mean of their heights z and of z^2 [m], [m^2].
    """
    a, b = m * np.pi / L, n / R
    # rows over U, V, W, P, Q; amplitudes of sin-cos or cos-sin products, whose mean squares are alike (n > 0)
    cc = np.array(
        [  # in sin(ax) cos(by): e_x, e_y, k_x, k_y
            [-a, 0, 0, 0, 0],
            [0, b, 1 / R, 0, 0],
            [0, 0, 0, -a, 0],
            [0, 0, 0, 0, b],
        ]
    )
    ss = np.array(
        [  # in cos(ax) sin(by): g, k_xy
            [-b, a, 0, 0, 0],
            [b / (2 * R), a / (2 * R), 0, -b, a],
        ]
    )
    gx = np.array([0, 0, a, 1, 0.0])  # cos(ax) cos(by)
    gy = np.array([0, -1 / R, -b, 0, 1.0])  # sin(ax) sin(by)
    along = [np.array([a, 0, 0, 0, 0.0]), np.array([0, a, 0, 0, 0.0]), np.array([0, 0, a, 0, 0.0])]
    around = [np.array([b, 0, 0, 0, 0.0]), np.array([0, b, 1 / R, 0, 0]), np.array([0, 1 / R, b, 0, 0])]
    straight, shear = [0, 1, 3, 4], [2, 5]
    # mean squares: sin cos and the others 1/4 each for n > 0; for n = 0 those with sin(by) vanish
    if rotations:
        along = [0 * along[0], np.array([b / 2, a / 2, 0, 0, 0]), along[2]]
    odd, even = (0.0, 2.0) if n == 0 else (1.0, 1.0)
    K = even * cc.T @ C[np.ix_(straight, straight)] @ cc + odd * ss.T @ C[np.ix_(shear, shear)] @ ss
    K = K + S * (even * np.outer(gx, gx) + odd * np.outer(gy, gy))
    weight = [even, odd, even]
    G = sum(w * np.outer(d, d) for w, d in zip(weight, along, strict=True))
    share, first, second = ribs
    for w, d, k in ((even, along[0], 3), (odd, along[1], 4)):
        turn = a * np.eye(5)[k]
        G = G + share * w * (first * (np.outer(d, turn) + np.outer(turn, d)) + second * np.outer(turn, turn))
    K = K + hoop * sum(w * np.outer(d, d) for w, d in zip([odd, even, odd], around, strict=True))
    keep = [0, 2, 3] if n == 0 else list(range(5))
    theta = eigh(G[np.ix_(keep, keep)], K[np.ix_(keep, keep)], eigvals_only=True)
    return float(1 / theta[-1])


def lowest(C: np.ndarray, S: float, R: float, L: float, ns, count: int, hoop: float = 0.0) -> np.ndarray:
    """The lowest loads over m and the given n, each once, rising."""
    reach = int(L / np.pi * 3 * (C[1, 1] / (R * R * C[3, 3])) ** 0.25) + 3
    return np.sort([loads(C, S, R, L, m, n, hoop) for m in range(1, reach) for n in ns])[:count]
