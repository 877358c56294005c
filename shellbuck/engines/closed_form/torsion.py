"""Torsion of simply supported smeared barrels (Donnell): sine series along the axis, condensed exactly.

With w = sum over m of sin(m pi x/L) (A_m cos(n theta) + B_m sin(n theta)) every (m, n) keeps its own stiffness S of the
determinant, because a shear flow works on w alone. It couples A_m with B_p where m + p is odd:

    S_m A_m = -N (8 n/(R L)) sum of m p/(p^2 - m^2) B_p,   and the same with A and B exchanged,

so that N = R L/(8 n sigma), sigma the largest singular value of S_m^-1/2 m p/(p^2 - m^2) S_p^-1/2 over odd m, even p.
"""

from __future__ import annotations

import numpy as np

from ...core.errors import Incomplete
from ...core.records import Certificate, Load, Mode
from ...handbook.external import FEW_WAVES
from ...model.walls.stiffness import SmearedWall
from .batch_terms import Reduced
from .loads import Terms, check_input, mode_loads
from .search import EDGES, LOAD_POSITION

MOST_TERMS = 768
"""Half-waves of one series, and waves around, beyond which a search is not tried."""

LEAST_RATIO = 2 / 3 * 3**0.25
"""Least of (D_11 r^2 + D_22 b^4)/(2 b sqrt(r)) over r, in (D_11 D_22^3)^(1/4) b^2: at r = b^2 sqrt(D_22/(3 D_11))."""

FIRST = 12
"""Half-waves of the first series; each further one has twice as many."""

CONVERGED = 1e-4
"""Relative change of the lowest load with twice the half-waves from which a series has converged."""

COARSE = 48
"""Numbers of waves around, in even ratios, that are tried first."""

RESOLVED = 2.5
"""Half-waves of a series per half-wave of the wave that it must resolve."""

SLACK = 2.0
"""Ratio to the lowest load of a short series up to which a minimum is looked at again."""

_DESIGNS = 256  # in one table


def torsion(wall: SmearedWall, R: float, L: float, *, reduced: bool = False) -> Load:
    """Lowest shear flow of a simply supported barrel in torsion, n of 2 or more.

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length [m].
    reduced : bool
        True takes modes of up to four waves, for which this theory is too high, times 1 - 1/n^2.

    Returns
    -------
    Load
        `line_load` is the shear flow [N/m].

    Examples
    --------
    >>> import math
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> load = torsion(SmearedWall.of(Skin(1.0, 0.3, 0.01)), 1.0, 1.0)
    >>> round(load.line_load * 12 * 0.91 / (math.pi**2 * 0.01**3), 3)
    26.632
    """
    check_input(wall, R, L, 0.0, "Donnell")
    t = Terms(*(np.atleast_1d(x) for x in Terms.one(wall)))
    n, found, terms = _converged(t, np.array([float(R)]), np.array([float(L)]), reduced)
    if not terms[0]:
        raise Incomplete.of("search-too-large", "too many modes would have to be searched", "wall")
    found = found[0]
    j = int(np.argmin(found))
    least, rim = float(found[j]), float(found[-1] / found[j])
    if rim <= 1.0:
        raise Incomplete.of("search-rim", "the lowest load lies on the rim of the searched range", "wall")
    return Load(
        name="torsion",
        line_load=least,
        theory="Donnell",
        edges=EDGES,
        prestress="membrane, uniform N_xtheta",
        load_position=LOAD_POSITION,
        pressure_treatment="no pressure",
        definition="shear flow at bifurcation",
        source="own sine series; modes of up to four waves times 1 - 1/n^2 (own rule)"
        if reduced
        else "own sine series",
        n=int(n[j]),
        certificate=Certificate(
            int(terms[0]), int(n[-1]), (0, 1), "bending energy with free membrane bounds n; minima over n", rim
        ),
        lowest_by_n=tuple(Mode(None, int(k), float(x)) for k, x in zip(n, found, strict=True)),
    )


def torsions(t: Terms, R: np.ndarray, L: np.ndarray) -> np.ndarray:
    """The lowest shear flow of many designs (N,) [N/m], modes of up to four waves reduced; nan where the range to be
    searched is too large.

    Parameters
    ----------
    t : Terms
        Each (N,).
    R, L : numpy.ndarray
        Middle radius, length (N,) [m].
    """
    found = np.full(R.size, np.nan)
    order = np.argsort(_most_n(t, R, L))
    for at in (order[i : i + _DESIGNS] for i in range(0, order.size, _DESIGNS)):
        _, flows, terms = _converged(Terms(*(x[at] for x in t)), R[at], L[at], reduced=True)
        found[at] = np.where(terms > 0, flows.min(axis=1), np.nan)
    return found


def _converged(t: Terms, R: np.ndarray, L: np.ndarray, reduced: bool) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Waves around, shear flow of every design and n (N, n) [N/m], and the half-waves of its series (N,), 0 where it
    has not converged or too many waves would have to be searched.

    The load is a smooth function of n/R: it is tried at some n in even ratios, then at every n around the minima of the
    short series and of the endless wave. A series has converged when twice the half-waves change nothing and the
    endless wave of every n that may be lower is resolved by it.
    """
    most = _most_n(t, R, L)
    coarse = np.unique(np.geomspace(2, min(int(most.max()), MOST_TERMS) + 1, COARSE).astype(int))
    short, endless = _flows(t, R, L, FIRST, coarse, reduced), _endless(t, R, L, coarse)[0]
    lowest = short.min(axis=1, keepdims=True)
    at = np.nonzero((_valleys(short, lowest) | _valleys(endless, lowest)).any(axis=0))[0]
    edges = np.concatenate([coarse[:1], coarse, coarse[-1:]])
    n = np.unique(np.concatenate([*(np.arange(edges[i], edges[i + 2] + 1) for i in at), coarse[-1:]]))
    flows, terms = _flows(t, R, L, FIRST, n, reduced), np.zeros(R.size, int)
    endless, half_waves = _endless(t, R, L, n)
    left, size = np.nonzero(most <= MOST_TERMS)[0], FIRST
    while left.size and size < MOST_TERMS:
        size *= 2
        more = _flows(Terms(*(x[left] for x in t)), R[left], L[left], size, n, reduced)
        least = more.min(axis=1)
        resolved = np.where(endless[left] <= least[:, None], half_waves[left], 0.0).max(axis=1) * RESOLVED <= size
        done = resolved & (flows[left].min(axis=1) <= least * (1 + CONVERGED))
        flows[left], terms[left[done]] = more, size
        left = left[~done]
    return n, flows, terms


def _valleys(flows: np.ndarray, lowest: np.ndarray) -> np.ndarray:
    """Local minima along n that may hold the lowest load."""
    padded = np.pad(flows, ((0, 0), (1, 1)), constant_values=np.inf)
    return (flows <= padded[:, :-2]) & (flows <= padded[:, 2:]) & (flows <= SLACK * lowest)


def _endless(t: Terms, R: np.ndarray, L: np.ndarray, n: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Load of an endless helical wave by n (N, n) [N/m], the least of S/(2 a b) over axial wave numbers a, which no
    finite barrel falls below; and how many half-waves of it stand in the length."""
    m = np.geomspace(0.2, MOST_TERMS, 120)[:, None]
    R_, L_ = R[:, None, None], L[:, None, None]
    a = m * np.pi / L_
    S = mode_loads(Terms(*(x[:, None, None] for x in t)), R_, L_, m, n) * a**2
    flows = S / (2 * a * n / R_)
    return 0.97 * flows.min(axis=1), m[np.argmin(flows, axis=1), 0]  # 3 % for what lies between two wave numbers


def _flows(t: Terms, R: np.ndarray, L: np.ndarray, terms: int, n: np.ndarray, reduced: bool) -> np.ndarray:
    """Shear flow of every design and n (N, n) [N/m] with a series of so many half-waves."""
    m = np.arange(1, terms + 1)[:, None]
    R_, L_ = R[:, None, None], L[:, None, None]
    S = mode_loads(Terms(*(x[:, None, None] for x in t)), R_, L_, m, n) * (m * np.pi / L_) ** 2
    root = 1 / np.sqrt(np.moveaxis(S, 1, 2))  # (N, n, m)
    odd, even = np.arange(1, terms + 1, 2), np.arange(2, terms + 1, 2)
    mixed = odd[:, None] * even / (even**2 - odd[:, None] ** 2)
    coupled = root[..., 0::2, None] * mixed * root[..., None, 1::2]
    gram = coupled @ np.swapaxes(coupled, -1, -2)
    largest = np.sqrt(np.linalg.eigvalsh(gram)[..., -1])
    flow = (R * L)[:, None] / (8 * n * largest)
    return np.where(n <= FEW_WAVES, flow * (1 - 1 / n**2), flow) if reduced else flow


def _most_n(t: Terms, R: np.ndarray, L: np.ndarray) -> np.ndarray:
    """The highest n that may hold the lowest load, reduced or not (N,).

    The bending energy with free membrane is at least D_min times the square of the Laplacian, the work at most N times
    the square of the slope: N >= D_min (n/R)^2, of which 3/4 is left at n = 2. Walls much stiffer along the axis end
    sooner: with X and W the roots of the integrals of w,xx^2 and w^2 and b = n/R, the energy is at least share
    (D_11 X^2 + D_22 b^4 W^2), as w = 0 at the ends makes the mixed term 2 (D_12 + 2 D_66) w,xx w,yy, and the work at
    most 2 N sqrt(X W) b W. The higher of both bounds counts.
    """
    bending = Reduced.of(t)
    mixed = np.minimum(bending.d12 + 2 * bending.d66, 0.0)
    share = np.maximum(1 + mixed / np.sqrt(bending.d11 * bending.d22), 0.0)
    stiff = np.maximum(bending.least, LEAST_RATIO * share * (bending.d11 * bending.d22**3) ** 0.25)
    some = np.unique(np.geomspace(2, 200, 24).astype(int))
    upper = _flows(t, R, L, FIRST, some, reduced=False).min(axis=1)
    return np.maximum(6, np.floor(R * np.sqrt(4 / 3 * upper / stiff)) + 1).astype(int)
