"""Torsion: a uniform shear N_xtheta couples the cosine and the sine family of one harmonic.

With u = U1 cos + U2 sin, v = V1 sin - V2 cos, w = W1 cos + W2 sin the stiffness is the same for both families and the
shear does work N_xtheta (x1' M x2 - x2' M x1) with M = integral of W' (b W + V/R) (Donnell: b W). Every load
factor is double (the mode may be turned about the axis) and has a partner of the other sign (the torque's sense).
"""

from __future__ import annotations

import numpy as np
from scipy import sparse

from ..eigen import lowest_pairs
from ..errors import Incomplete, Problem
from ..records import Certificate, Load, Mode
from .barrel import RitzBarrel
from .operators import Prestress, assembled
from .solve import pressure_words

_MOST_HARMONICS = 400


def torsion(barrel: RitzBarrel, *, pressure: float = 0.0) -> Load:
    """Lowest shear line load tau t of torsion over every n of 2 or more.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa].

    Returns
    -------
    Load
        `line_load` is the shear line load [N/m]; the torque is 2 pi R^2 times it.

    Raises
    ------
    Incomplete
        When a count disagrees or the range of harmonics does not end.
    """
    waves = barrel.operators(Prestress.membrane(pressure * barrel.R))[1]
    by_w, by_v = _shear_work(barrel)
    found: dict[int, float] = {}
    # of the order of a long plate strip's shear load; only a start for the shift
    guess = 10 * barrel.wall.reduced_bending[1, 1] / barrel.layer**2
    n = 2
    while n <= _MOST_HARMONICS:
        M = n / barrel.R * by_w + by_v
        skew = (M - M.T).tocsc()[waves.free][:, waves.free]
        K = sparse.block_diag([waves.K(n), waves.K(n)], format="csc")
        G = sparse.bmat([[None, skew], [skew.T, None]], format="csc")
        found[n] = float(lowest_pairs(K, G, guess, order="MMD_AT_PLUS_A").values[0])
        guess = found[n]
        best = min(found, key=found.get)
        if n >= best + 3 and all(found[k] > 1.5 * found[best] for k in (n, n - 1)):
            break
        n += 1
    else:
        raise Incomplete(Problem("search-too-large", "the range of harmonics does not end", "wall"))
    return Load(
        name=f"Ritz, {barrel.theory}, torsion", line_load=found[best], theory=barrel.theory, edges=barrel.edges.words,
        prestress="membrane, uniform N_xtheta" + (" and N_theta" if pressure else ""), load_position="skin middle",
        pressure_treatment=pressure_words(pressure), definition="shear line load tau t at bifurcation",
        source="own Rayleigh-Ritz engine", n=best,
        certificate=Certificate(
            0, n, (0, 1), f"the lowest load of every n from 2 to {n}, each closed by an inertia count; the last two "
            "lie above 1.5 times the lowest", 1.5,
        ),
        lowest_by_n=tuple(Mode(0, k, v) for k, v in sorted(found.items())),
    )  # fmt: skip


def _shear_work(barrel: RitzBarrel) -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
    """Integrals of W' W and (Sanders) W' V/R on all unknowns."""
    f, nf = barrel.pieces.functions(), barrel.degree + 1
    numbers, _, size = barrel.pieces.numbering()
    slope = f["w'"] * f["dx"][:, None, :]
    w, v = numbers[:, 2 * nf :], numbers[:, nf : 2 * nf]

    curved = 1.0 if barrel.theory == "Sanders" else 0.0
    by_v = assembled(curved / barrel.R * slope @ np.swapaxes(f["u"], 1, 2), w, v, size)
    return assembled(slope @ np.swapaxes(f["w"], 1, 2), w, w, size), by_v
