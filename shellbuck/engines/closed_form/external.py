"""External pressure on simply supported smeared barrels (Donnell): NASA SP-8007 Rev 2, Eqs 64-65."""

from __future__ import annotations

import math
from itertools import islice
from typing import NamedTuple

import numpy as np

from ...core.errors import Incomplete
from ...core.records import Certificate, Load, Mode
from ...handbook.external import FEW_WAVES, few_waves_pressure
from ...model.walls.stiffness import SmearedWall
from .batch_terms import Reduced
from .loads import Terms, check_input, mode_loads
from .search import EDGES, LOAD_POSITION

MOST_MODES = 4_000_000
"""Modes of one table."""

_DESIGNS = 256  # in one table


class LowestPressures(NamedTuple):
    """Lowest external pressure of every design [Pa], and its mode, each (N,); nan and 0 where the range to be searched
    is too large."""

    pressure: np.ndarray
    m: np.ndarray
    n: np.ndarray


def external_pressure(
    wall: SmearedWall, R: float, L: float, *, hydrostatic: bool = False, reduced: bool = False
) -> Load:
    """Lowest external pressure of a simply supported barrel, n of 2 or more.

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length [m].
    hydrostatic : bool
        True loads the end caps too; False is lateral pressure only.
    reduced : bool
        True takes modes of up to four waves, for which this theory is too high, times 1 - 1/n^2.

    Returns
    -------
    Load
        `line_load` is the hoop line load p R [N/m]; the pressure is line_load / R.

    Examples
    --------
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> load = external_pressure(SmearedWall.of(Skin(1.0, 0.3, 0.01)), 1.0, 1.0, hydrostatic=True)
    >>> round(load.line_load * 1e8, 3), load.n
    (983.845, 8)
    """

    check_input(wall, R, L, 0.0, "Donnell")
    t = Terms.one(wall)
    most_m, most_n = (int(x) for x in _reach(t, R, L, hydrostatic))
    if most_m * most_n > MOST_MODES:
        raise Incomplete.of("search-too-large", "too many modes would have to be searched", "wall")
    m, n = np.arange(1, most_m + 1)[:, None], np.arange(2, most_n + 1)
    table = _pressures(t, R, L, m, n, hydrostatic, reduced)
    i, j = np.unravel_index(np.argmin(table), table.shape)
    least = float(table[i, j])
    rim = float(min(table[-1].min(), table[:, -1].min())) / least
    if rim <= 1.0:
        raise Incomplete.of("search-rim", "the lowest load lies on the rim of the searched range", "wall")
    few = f"; modes of up to {FEW_WAVES} waves times 1 - 1/n^2 (own rule)" if reduced else ""
    return Load(
        name="hydrostatic external pressure" if hydrostatic else "lateral external pressure",
        line_load=least * R,
        theory="Donnell",
        edges=EDGES,
        prestress="membrane, uniform",
        load_position=LOAD_POSITION,
        pressure_treatment="external pressure is the load; dead",
        definition="hoop line load p R at bifurcation",
        source=f"NASA SP-8007 Rev 2, Eqs 64-65{few}",
        m=int(m[i, 0]),
        n=int(n[j]),
        certificate=Certificate(int(m[-1, 0]), int(n[-1]), (0, 1), "bending energy with free membrane", rim),
        lowest_by_n=tuple(
            Mode(int(m[k, 0]), int(nn), float(table[k, c]) * R)
            for c, (k, nn) in enumerate(zip(np.argmin(table, axis=0), n, strict=True))
        ),
    )


def external_pressures(t: Terms, R: np.ndarray, L: np.ndarray, *, hydrostatic: bool = False) -> LowestPressures:
    """The lowest pressure of many designs, modes of up to four waves reduced.

    Parameters
    ----------
    t : Terms
        Each (N,).
    R, L : numpy.ndarray
        Middle radius, length (N,) [m].
    hydrostatic : bool
        True loads the end caps too.
    """
    size = R.size
    found = LowestPressures(np.full(size, np.nan), np.zeros(size, int), np.zeros(size, int))
    most_m, most_n = _reach(t, R, L, hydrostatic)
    modes = most_m * most_n
    order = np.argsort(modes)[: int(np.count_nonzero(modes <= MOST_MODES))]
    while order.size:
        # designs of like range share a table
        at = order[: max(1, min(_DESIGNS, MOST_MODES // int(modes[order[:_DESIGNS]].max())))]
        order = order[at.size :]
        m, n = np.arange(1, int(most_m[at].max()) + 1)[:, None], np.arange(2, int(most_n[at].max()) + 1)
        every = (x[at, None, None] for x in (*t, R, L))
        table = _pressures(Terms(*islice(every, len(t))), *every, m, n, hydrostatic, reduced=True).reshape(at.size, -1)
        k = np.argmin(table, axis=1)
        found.pressure[at] = table[np.arange(at.size), k]
        found.m[at], found.n[at] = k // n.size + 1, k % n.size + 2
    return found


def _pressures(
    t: Terms,
    R: np.ndarray | float,
    L: np.ndarray | float,
    m: np.ndarray,
    n: np.ndarray,
    hydrostatic: bool,
    reduced: bool = False,
) -> np.ndarray:
    S = mode_loads(t, R, L, m, n) * (m * np.pi / L) ** 2
    p = R * S / (n**2 + ((m * np.pi * R / L) ** 2 / 2 if hydrostatic else 0))
    return np.where(n <= FEW_WAVES, few_waves_pressure(p, n), p) if reduced else p


def _reach(t: Terms, R: np.ndarray | float, L: np.ndarray | float, hydrostatic: bool) -> tuple[np.ndarray, np.ndarray]:
    """Highest m and n that may hold the lowest mode, reduced or not.

    S >= D_min (a^2 + b^2)^2 bounds p from below by D_min (a^2 + b^2)/R, of which 3/4 is left at n = 2: a and b of every
    mode below p are at most rho = sqrt(4/3 p R/D_min).
    """
    D_min = Reduced.of(t).least
    some = np.unique(np.geomspace(2, 2000, 200).astype(int))
    R_, L_ = (np.asarray(x, float)[..., None] for x in (R, L))
    wide = Terms(*(np.asarray(x)[..., None] for x in t))
    upper = _pressures(wide, R_, L_, np.ones(1), some, hydrostatic).min(axis=-1)
    rho = np.sqrt(4 / 3 * upper * R / D_min)
    return (
        np.maximum(2, np.floor(rho * L / math.pi) + 1).astype(int),
        np.maximum(6, np.floor(rho * R) + 1).astype(int),
    )
