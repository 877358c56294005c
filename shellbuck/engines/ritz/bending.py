"""A line load that varies around: N(theta) couples the harmonics (membrane prestress).

N(theta) = a_0 + sum a_k cos(k theta) + d_k sin(k theta). Harmonic n stands in two families, w = W cos n theta and
w = W sin n theta. The axial work of w' and that of the rotation about the normal are integrals of N times products of
cosines and sines; cosine terms of N join harmonics of one family whose numbers differ or add up to k, sine terms join
the two families. n = 0 counts twice in its own terms. The twist of n = 0, to which only Sanders' rotation about the
normal couples, is left out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy import sparse

from ...core.errors import Incomplete, Refusal
from ...core.records import Certificate, Load
from ..eigen import lowest_pairs
from ..problem import pressure_words
from .barrel import RitzBarrel
from .energies import Prestress, Strains
from .operators import Operators
from .products import products
from .record import record
from .solve import harmonic_reach, long_barrel_load, refuse_unstable

_TOP_SHARE = 1e-6
_MOST_UNKNOWNS = 150_000
_LOOK = np.linspace(0.0, 2 * math.pi, 2881)


def pure_bending(barrel: RitzBarrel, *, pressure: float = 0.0, axial_share: float = 0.0) -> Load:
    """Lowest peak line load of bending, alone or with a share of axial compression.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa]; negative is external, up to what the unloaded barrel carries.
    axial_share : float
        Uniform compression over the peak of the bending part: N(theta) = N (axial_share + cos theta).

    Returns
    -------
    Load
        `line_load` is the peak N (1 + axial_share) at bifurcation [N/m]; n is the harmonic that holds most of w^2.
    """
    return around(barrel, (axial_share, 1.0), pressure=pressure)


def around(barrel: RitzBarrel, cosines: Sequence[float], sines: Sequence[float] = (), *, pressure: float = 0.0) -> Load:
    """Lowest load of an axial line load of a given course around.

    Parameters
    ----------
    barrel : RitzBarrel
        Orthotropic about axis and hoop.
    cosines : sequence of float
        a_0, a_1, a_2 ... of N(theta), compression positive, in any unit.
    sines : sequence of float
        d_1, d_2 ...
    pressure : float
        Internal pressure, fixed and dead [Pa]; negative is external, up to what the unloaded barrel carries.

    Returns
    -------
    Load
        `line_load` is the largest compression around at bifurcation [N/m].

    Raises
    ------
    Refusal
        When N(theta) compresses nowhere, the fixed pressure alone makes the barrel unstable, or the wall has 16/26
        terms.
    Incomplete
        When the harmonics do not die out within the range, or the problem is too large.
    """
    barrel.wall.uncoupled  # noqa: B018  refuses walls that couple shear
    barrel = barrel.whole
    refuse_unstable(barrel.harmonic(1, Prestress.membrane(pressure * barrel.R)), barrel, pressure)
    course = sum(a * np.cos(k * _LOOK) for k, a in enumerate(cosines)) + sum(
        d * np.sin(k * _LOOK) for k, d in enumerate(sines, 1)
    )
    peak = float(np.max(course))
    if not peak > 0:
        raise Refusal.of(
            "no-compression", "the line load compresses nowhere around", "N(theta)", f"largest {peak:g}", "above 0"
        )
    a, d = np.array(cosines if len(cosines) else (0.0,), float) / peak, np.array([0.0, *sines], float) / peak
    families = [("cos",), ("sin",)] if not d.any() else [("cos", "sin")]
    top = harmonic_reach(barrel, long_barrel_load(barrel)) + 10 * max(len(a), len(d)) // 2
    for _ in range(3):
        load, share, n = min(_solve(barrel, pressure, a, d, top, names) for names in families)
        if share < _TOP_SHARE:
            break
        top = math.ceil(1.4 * top)
    else:
        raise Incomplete.of(
            "search-too-large",
            "the harmonics of the bending mode do not die out",
            "wall",
            f"share {share:.1e}",
            f"{_TOP_SHARE:g}",
        )
    if len(a) == 2 and a[1] != 0 and not d.any():
        kind = "pure bending" if a[0] == 0 else f"bending with axial share {a[0] / a[1]:g}"
        course_words = "N_x = N (share + cos theta)"
    else:
        kind, course_words = "line load that varies around", "N_x = N(theta) as given"
    proof = (
        f"inertia counts of the coupled systems, cosine and sine family; share of w^2 in the last two of {top + 1} "
        f"harmonics {share:.0e}"
    )
    words = (
        kind,
        f"membrane, {course_words}, uniform N_theta",
        "peak net line load of the wall at bifurcation, compression positive",
        pressure_words(pressure),
    )
    return record(barrel, words, load, n=n, certificate=Certificate(0, top, (), proof, 1.0))


def _weights(a: np.ndarray, d: np.ndarray, left: tuple[str, int], right: tuple[str, int]) -> float:
    """Mean over theta, twice, of N(theta) times two of cos n theta, sin n theta."""
    (f, n), (g, m) = left, right

    def cosine(k: int) -> float:  # twice the mean of N cos k theta
        k = abs(k)
        return 2 * a[0] if k == 0 else a[k] if k < len(a) else 0.0

    def sine(k: int) -> float:
        sign = 1 if k >= 0 else -1
        return sign * d[abs(k)] if abs(k) < len(d) else 0.0

    if f == g:
        return (cosine(n - m) + (1 if f == "cos" else -1) * cosine(n + m)) / 2
    s, c = (n, m) if f == "sin" else (m, n)
    return (sine(s + c) + sine(s - c)) / 2


_OTHER = {"cos": "sin", "sin": "cos"}


def _solve(
    barrel: RitzBarrel, pressure: float, a: np.ndarray, d: np.ndarray, top: int, families: tuple[str, ...]
) -> tuple[float, float, int]:
    """Lowest load, share of w^2 in the last two harmonics, leading n, of the joined families."""
    ring, waves = barrel.operators(Prestress.membrane(pressure * barrel.R))
    blocks = [(f, n) for f in families for n in range(0 if f == "cos" else 1, top + 1)]
    if len(blocks) * waves.size > _MOST_UNKNOWNS:
        raise Incomplete.of("search-too-large", "too many unknowns for coupled harmonics", "wall")
    slope, spin = _works(barrel)
    reach = max(len(a), len(d)) - 1
    rows: list[list[sparse.csc_matrix | None]] = [[None] * len(blocks) for _ in blocks]
    for i, (f, n) in enumerate(blocks):
        for j, (g, m) in enumerate(blocks):
            if j < i or (abs(n - m) > reach and n + m > reach):
                continue
            along = _weights(a, d, (f, n), (g, m))
            # the rotation about the normal goes with sin where w goes with cos, and with -cos where w goes with sin
            sign = 1.0 if f == g else -1.0
            across = sign * _weights(a, d, (_OTHER[f], n), (_OTHER[g], m))
            if along == 0 and across == 0:
                continue
            part = along * slope
            for p in range(2):
                for q in range(2):
                    part = part + across * (n / barrel.R) ** p * (m / barrel.R) ** q * spin[p][q]
            left, right = ((ring if k == 0 else waves).pattern.free for k in (n, m))
            rows[i][j] = part.tocsr()[left][:, right]
            if i != j:
                rows[j][i] = rows[i][j].T
    K = sparse.block_diag([(2.0 * ring.K(0) if n == 0 else waves.K(n)) for _, n in blocks], format="csc")
    G = sparse.bmat(rows, format="csc")
    pairs = lowest_pairs(K, G, 0.95 * long_barrel_load(barrel), order="MMD_AT_PLUS_A")
    shares = _shares(pairs.modes[:, 0], barrel, (ring, waves), blocks, top)
    return float(pairs.values[0]), float(shares[-2:].sum()), int(np.argmax(shares))


def _works(barrel: RitzBarrel) -> tuple[sparse.csc_matrix, list[list[sparse.csc_matrix]]]:
    """Axial work of w' and of the rotation about the normal (by powers of the two wave numbers), on all unknowns."""
    strains = Strains(barrel.R, barrel.theory == "Sanders", np.zeros((1, 1)))
    pieces = barrel.pieces
    parts = products(pieces.degree, pieces.points, "constant")
    numbers, _, size = pieces.numbering()
    i, j = numbers[:, parts.left].ravel(), numbers[:, parts.right].ravel()
    apart = np.tile(parts.left != parts.right, pieces.count)

    def entries(left: np.ndarray, right: np.ndarray) -> np.ndarray:
        return parts.elements(pieces, [(np.outer(left, right)[None], np.ones((1, 1)))]).ravel()

    def whole(left: np.ndarray, right: np.ndarray) -> sparse.csc_matrix:
        below, above = entries(left, right), entries(right, left)[apart]
        at = np.concatenate([i, j[apart]]), np.concatenate([j, i[apart]])
        return sparse.coo_matrix((np.concatenate([below, above]), at), shape=(size, size)).tocsc()

    normal = strains.normal_rotation
    return whole(*strains.axial_rotation, *strains.axial_rotation), [[whole(p, q) for q in normal] for p in normal]


def _shares(
    x: np.ndarray, barrel: RitzBarrel, pair: tuple[Operators, Operators], blocks: list[tuple[str, int]], top: int
) -> np.ndarray:
    """(top + 1,) share of the integral of w^2 in every harmonic."""
    numbers, _, size = barrel.pieces.numbering()
    f, nf = barrel.pieces.functions, barrel.degree + 1
    parts, at = np.zeros(top + 1), 0
    for _, n in blocks:
        free = pair[min(n, 1)].pattern.free
        full = np.zeros(size)
        full[free] = x[at : at + free.size]
        at += free.size
        w = (full[numbers[:, 2 * nf :]][:, :, None] * f["w"]).sum(1)
        parts[n] += (2.0 if n == 0 else 1.0) * float((w**2 * f["dx"]).sum())
    return parts / parts.sum()
