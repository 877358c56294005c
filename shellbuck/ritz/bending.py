"""Bending: a line load N(theta) = N_mean + N_peak cos(theta) couples neighbouring harmonics (membrane prestress).

With w = sum W_n cos(n theta) and the like, cos(theta) couples n and n +- 1 with half the weight of a harmonic's own
term (n = 0 and 1 with its full weight, n = 0 itself counting twice). Modes odd about the compressed generator have the
same blocks from n = 1 on; the twist of n = 0, to which only Sanders' rotation about the normal couples them, is left
out.
"""

from __future__ import annotations

import math

import numpy as np
from scipy import sparse

from ..eigen import lowest_pairs
from ..errors import Incomplete, Problem
from ..records import Certificate, Load
from .barrel import RitzBarrel
from .operators import Prestress, assembled, axial_parts, energies
from .solve import harmonic_reach, long_barrel_load, pressure_words

_TOP_SHARE = 1e-6
_MOST_UNKNOWNS = 150_000


def pure_bending(barrel: RitzBarrel, *, pressure: float = 0.0, axial_share: float = 0.0) -> Load:
    """Lowest peak line load of bending, alone or with a share of axial compression.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa].
    axial_share : float
        Uniform compression over the peak of the bending part: N(theta) = N (axial_share + cos theta).

    Returns
    -------
    Load
        `line_load` is the peak N (1 + axial_share) at bifurcation [N/m]; n is the harmonic that holds most of w^2.

    Raises
    ------
    Incomplete
        When the harmonics do not die out within the range, or the problem is too large.
    """
    top = harmonic_reach(barrel, long_barrel_load(barrel)) + 10
    for _ in range(3):
        load, share, n = min(_solve(barrel, pressure, axial_share, top, first) for first in (0, 1))
        if share < _TOP_SHARE:
            break
        top = math.ceil(1.4 * top)
    else:
        raise Incomplete(Problem(
            "search-too-large", "the harmonics of the bending mode do not die out", "wall", f"share {share:.1e}",
            f"{_TOP_SHARE:g}",
        ))  # fmt: skip
    kind = "pure bending" if axial_share == 0 else f"bending with axial share {axial_share:g}"
    return Load(
        name=f"Ritz, {barrel.theory}, {kind}", line_load=load * (1 + axial_share), theory=barrel.theory,
        edges=barrel.edges.words, prestress="membrane, N_x = N (share + cos theta), uniform N_theta",
        load_position="skin middle", pressure_treatment=pressure_words(pressure),
        definition="peak net line load of the wall at bifurcation, compression positive",
        source="own Rayleigh-Ritz engine", n=n,
        certificate=Certificate(
            0, top, (), f"inertia counts of the coupled systems, even and odd about the peak; share of w^2 in "
            f"the last two of {top + 1} harmonics {share:.0e}", 1.0,
        ),
    )  # fmt: skip


def _solve(
    barrel: RitzBarrel, pressure: float, axial_share: float, top: int, first: int
) -> tuple[float, float, int]:
    """Even (first = 0) or odd (first = 1) family: bending load, share of w^2 in the last two harmonics, leading n."""
    pieces, R, sanders = barrel.pieces, barrel.R, barrel.theory == "Sanders"
    ring, waves = barrel.patterns
    if ring.free.size + top * waves.free.size > _MOST_UNKNOWNS:
        raise Incomplete(Problem("search-too-large", "too many unknowns for coupled harmonics", "wall"))
    stiffness, axial = energies(pieces, barrel.wall.uncoupled, R, sanders, Prestress.membrane(pressure * R))
    slope, normal = axial_parts(pieces, sanders)
    own = {0: ring.operators(R, stiffness[:1], axial[:1])}
    wave = waves.operators(R, stiffness, axial)
    blocks_K: list[sparse.csc_matrix] = []
    diagonal: list[sparse.csc_matrix] = []
    for n in range(top + 1):
        weight = 2.0 if n == 0 else 1.0  # the mean of cos^2 is twice that of a wave
        ops = own.get(n, wave)
        blocks_K.append(weight * ops.K(n))
        diagonal.append(weight * axial_share * ops.G(n))
    numbers, _, size = pieces.numbering()
    slope_full = assembled(slope, numbers, numbers, size)
    normal_full = [[assembled(normal[i][j], numbers, numbers, size) for j in range(2)] for i in range(2)]
    rows: list[list[sparse.csc_matrix | None]] = [[None] * (top + 1) for _ in range(top + 1)]
    for n in range(top + 1):
        rows[n][n] = diagonal[n]
        if n == top:
            continue
        b, c = n / R, (n + 1) / R
        coupled = slope_full * (1.0 if n == 0 else 0.5)
        if n > 0:
            for i in range(2):
                for j in range(2):
                    coupled = coupled + 0.5 * b**i * c**j * normal_full[i][j]
        left = ring.free if n == 0 else waves.free
        part = coupled.tocsr()[left][:, waves.free]
        rows[n][n + 1], rows[n + 1][n] = part, part.T
    rows = [row[first:] for row in rows[first:]]
    K, G = sparse.block_diag(blocks_K[first:], format="csc"), sparse.bmat(rows, format="csc")
    pairs = lowest_pairs(K, G, 0.95 * long_barrel_load(barrel) / (1 + axial_share), order="MMD_AT_PLUS_A")
    shares = _shares(pairs.modes[:, 0], barrel, top, first)
    return float(pairs.values[0]), float(shares[-2:].sum()), int(np.argmax(shares))


def _shares(x: np.ndarray, barrel: RitzBarrel, top: int, first: int) -> np.ndarray:
    """(top + 1,) share of the integral of w^2 in every harmonic."""
    ring, waves = barrel.patterns
    numbers, _, size = barrel.pieces.numbering()
    f = barrel.pieces.functions()
    nf = barrel.degree + 1
    parts, at = [0.0] * first, 0
    for n in range(first, top + 1):
        free = ring.free if n == 0 else waves.free
        full = np.zeros(size)
        full[free] = x[at : at + free.size]
        at += free.size
        w = (full[numbers[:, 2 * nf :]][:, :, None] * f["w"]).sum(1)
        parts.append((2.0 if n == 0 else 1.0) * float((w**2 * f["dx"]).sum()))
    return np.array(parts) / sum(parts)
