"""Torsion of simply supported smeared barrels (Donnell): sine series along the axis, condensed exactly.

With w = sum over m of sin(m pi x/L) (A_m cos(n theta) + B_m sin(n theta)) every (m, n) keeps its own stiffness S of the
determinant, because a shear flow works on w alone. It couples A_m with B_p where m + p is odd:

    S_m A_m = -N (8 n/(R L)) sum of m p/(p^2 - m^2) B_p,   and the same with A and B exchanged,

so that N = R L/(8 n sigma), sigma the largest singular value of S_m^-1/2 m p/(p^2 - m^2) S_p^-1/2 over odd m, even p.
"""

from __future__ import annotations

import math

import numpy as np

from ...core.errors import Incomplete
from ...core.records import Certificate, Load, Mode
from ...handbook.external import FEW_WAVES
from ...model.walls.stiffness import SmearedWall
from .batch_terms import Reduced
from .loads import Terms, check_input, mode_loads
from .search import EDGES, LOAD_POSITION

MOST_TERMS = 800
"""Half-waves of one series, and waves around, beyond which a search is not tried."""

FIRST = 24
"""Half-waves of the series that bounds the load before the search."""

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
    size, length = np.array([float(R)]), np.array([float(L)])
    most_m, most_n = (int(x[0]) for x in _reach(t, size, length))
    if max(most_m, most_n) > MOST_TERMS:
        raise Incomplete.of("search-too-large", "too many modes would have to be searched", "wall")
    n = np.arange(2, most_n + 1)
    found = _flows(t, size, length, most_m, n, reduced)[0]
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
        certificate=Certificate(most_m, most_n, (0, 1), "bending energy with free membrane", rim),
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
    most_m, most_n = _reach(t, R, L)
    within = np.maximum(most_m, most_n) <= MOST_TERMS
    order = np.argsort(most_m)
    order = order[within[order]]
    for at in (order[i : i + _DESIGNS] for i in range(0, order.size, _DESIGNS)):
        part = Terms(*(x[at] for x in t))
        n = np.arange(2, int(most_n[at].max()) + 1)
        found[at] = _flows(part, R[at], L[at], int(most_m[at].max()), n, reduced=True).min(axis=1)
    return found


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


def _reach(t: Terms, R: np.ndarray, L: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Half-waves of a series that has converged, and the highest n that may hold the lowest load.

    The bending energy with free membrane is at least D_min times the square of the Laplacian, the work at most N times
    the square of the slope: N >= D_min (n/R)^2, of which 3/4 is left at n = 2, so that n is at most R rho with
    rho = sqrt(4/3 N/D_min). Half-waves of three times that number per length leave nothing that counts.
    """
    D_min = Reduced.of(t).least
    some = np.unique(np.geomspace(2, 200, 24).astype(int))
    upper = _flows(t, R, L, FIRST, some, reduced=False).min(axis=1)
    rho = np.sqrt(4 / 3 * upper / D_min)
    return (
        np.maximum(FIRST, np.ceil(3 * rho * L / math.pi)).astype(int),
        np.maximum(6, np.floor(rho * R) + 1).astype(int),
    )
