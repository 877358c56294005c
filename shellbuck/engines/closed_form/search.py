"""The lowest of all modes, with the reason why it is the lowest.

For any mode the membrane strains can at best follow freely, so S(m, n) is never below the bending energy with
free membrane, a quadratic form D*(a^2, b^2). A mode below the load N therefore has D*(a^2, b^2) <= N a^2 (hoop tension
only adds): for a plain wall a half circle. The search covers the rectangle around that region, skipping modes whose own
bending energy is beyond the load. The bound is exact for Donnell; Sanders differs from it by terms of order 1/n^2, so
its range is widened and its rim checked. Near N = 4 A66 (an in-plane rotation that Sanders' second variation contains)
modes crowd without end; such loads are marked.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import NamedTuple

import numpy as np

from ...core.errors import Incomplete, Problem
from ...core.records import Certificate, Load, Mode
from ...model.walls.doors import check_modes, refuse
from ...model.walls.stiffness import SmearedWall
from ..problem import Theory
from .batch_terms import Reduced
from .loads import Terms, check_input, mode_loads

NEAR_TIE = 1.02
"""Modes up to this multiple of the lowest are counted as near-ties."""

SPECTRUM = 2.5
"""The searched range, and the list of the lowest load of every n, are complete up to this multiple of the lowest."""

_SANDERS_WIDENING = 1.25
_MOST_MODES = 4_000_000
_CHUNK = 200_000
_MOST_WIDENINGS = 6
_NEAR_SHEAR_LIMIT = 0.8
_LISTED_TIES = 12

_CROWDED = (
    "near 4 A66 modes of in-plane rotation crowd without a lowest one; that limit of Sanders' theory is a stress of "
    "about 4 G, far beyond the elastic range, and the load is shown for completeness only"
)

EDGES = "both ends simply supported (SS3: w = v = 0 held, N_x and M_x free)"
LOAD_POSITION = "skin middle"
SOURCES = {
    "Donnell": "NASA SP-8007 Rev 2, Eqs 52-59",
    "Sanders": "Sanders 1963 kinematics, own closed form of the same field",
}


def reach(D: tuple, N: float | np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Largest axial and hoop wave numbers of the modes whose bending energy with free membrane stays below a load.

    Parameters
    ----------
    D : tuple of four
        Reduced bending stiffness d11, d12, d22, d66 [N m], numbers or arrays.
    N : float or numpy.ndarray
        Load [N/m].

    Returns
    -------
    a, b : numpy.ndarray
        [1/m]: corners of the region d11 a^4 + 2 (d12 + 2 d66) a^2 b^2 + d22 b^4 <= N a^2.

    Examples
    --------
    >>> a, b = reach((1.0, 0.3, 1.0, 0.35), 16.0)
    >>> float(a), float(b)
    (4.0, 2.0)
    """
    d11, d12, d22, d66 = D
    mixed = 2 * (d12 + 2 * d66)
    # a is largest at b = 0, or where a negative mixed term helps most; b where a^2 = b^2 sqrt(d22/d11)
    along = d11 - np.minimum(mixed, 0.0) ** 2 / (4 * d22)
    return np.sqrt(N / along), np.sqrt(N / (2 * np.sqrt(d11 * d22) + mixed))


def _pressed_reach(H: float, D: tuple, N: float) -> tuple[float, float]:
    """`reach` beside a hoop compression H: corners of d11 a^4 + 2 (d12 + 2 d66) a^2 b^2 + d22 b^4 <= N a^2 + H b^2.

    On a grid of directions x = a^2/(a^2 + b^2), widened by what it may miss between two of them."""
    d11, d12, d22, d66 = D
    x = np.linspace(0.0, 1.0, 2001)
    squared = (N * x + H * (1 - x)) / (d11 * x**2 + 2 * (d12 + 2 * d66) * x * (1 - x) + d22 * (1 - x) ** 2)
    return tuple(1.02 * math.sqrt(float((share * squared).max())) for share in (x, 1 - x))


def _check_left_out(leave_out: tuple[int, ...]) -> None:
    for n in leave_out:
        check_modes(1, n)
        if n == 0:
            refuse(
                Problem(
                    "mode-number",
                    "n = 0 cannot be left out: it gives the first bound of the search",
                    "leave_out",
                    "0",
                    "1, 2, 3 ...",
                )
            )


def lowest(
    wall: SmearedWall,
    R: float,
    L: float,
    N_theta: float = 0.0,
    *,
    theory: Theory = "Donnell",
    leave_out: tuple[int, ...] = (1,),
) -> Load:
    """Lowest buckling load of a simply supported barrel over all (m, n).

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length [m].
    N_theta : float
        Fixed hoop tension p R [N/m]; negative is external pressure, up to what the barrel carries without axial load.
    theory : {"Donnell", "Sanders"}
    leave_out : tuple of int
        Values of n of 1 or more that are not searched; n = 1 is the column, which has its own formula.

    Returns
    -------
    Load
        With certificate, near-ties and the lowest load of every n that reaches below SPECTRUM times the lowest.

    Raises
    ------
    Refusal
        When n = 0 is to be left out, for input that is none, and when a fixed external pressure alone makes the barrel
        unstable.
    Incomplete
        When the range that must be searched is too large, or the rim of the range is not above the minimum.

    Examples
    --------
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> load = lowest(SmearedWall.of(Skin(1e7, 0.3, 0.1)), 100.0, 200.0)
    >>> load.m, load.n, round(load.line_load, 4)
    (32, 19, 605.2281)
    """
    check_input(wall, R, L, N_theta, theory)
    _check_left_out(leave_out)
    found = proved_lowest(Terms.one(wall), R, L, N_theta, theory, leave_out)
    table, ns, at, least, crowded = found.table, found.ns, found.at, found.least, found.crowded
    best_m = np.argmin(table, axis=0)
    by_n = tuple(
        Mode(int(best_m[j]) + 1, int(ns[j]), float(table[best_m[j], j]))
        for j in np.flatnonzero(table.min(axis=0) <= SPECTRUM * least)
    )
    ties, count = _near_ties(table, ns, least)
    kind = "hoop tension p R" if N_theta > 0 else "external pressure, p R"
    pressure = "no pressure" if N_theta == 0 else f"{kind} = {abs(N_theta):.6g} N/m held fixed, dead"
    proof = (
        f"every mode outside the range lies above {SPECTRUM:g} times the lowest load, because its bending "
        "energy with free membrane alone lies there"
        if theory == "Donnell"
        else _CROWDED
        if crowded
        else f"range of the Donnell bound widened by {_SANDERS_WIDENING:g}; the rim lies above the lowest load"
    )
    left_out = "".join(f", n = {n} left out" for n in leave_out)
    return Load(
        name=f"closed form, {theory}{left_out}",
        line_load=least,
        theory=theory,
        edges=EDGES,
        prestress="membrane, uniform N_x and N_theta",
        load_position=LOAD_POSITION,
        pressure_treatment=pressure,
        definition="net axial line load of the wall at bifurcation, compression positive; closed ends may carry "
        "p R/2 more",
        source=SOURCES[theory],
        m=int(at[0]) + 1,
        n=int(ns[at[1]]),
        certificate=Certificate(table.shape[0], int(ns[-1]), tuple(leave_out), proof, found.rim),
        near_ties=ties,
        near_tie_count=count,
        lowest_by_n=by_n,
    )


class Proved(NamedTuple):
    """A searched range: loads (M, len(ns)) with m from 1, hoop waves, the lowest's place and value, rim over lowest."""

    table: np.ndarray
    ns: np.ndarray
    at: tuple[int, int]
    least: float
    rim: float
    crowded: bool


def proved_lowest(
    t: Terms, R: float, L: float, N_theta: float, theory: Theory, leave_out: tuple[int, ...] = (1,)
) -> Proved:
    """The search of `lowest` for the terms of one wall."""
    r = Reduced.of(t)
    D = r.d11, r.d12, r.d22, r.d66
    loads = partial(mode_loads, t, R, L, N_theta=N_theta, theory=theory)
    widen = _SANDERS_WIDENING if theory == "Sanders" else 1.0

    def corner(N: float) -> tuple[int, int]:
        a, b = (reach if N_theta >= 0 else partial(_pressed_reach, -N_theta * widen**2))(D, SPECTRUM * widen**2 * N)
        return max(2, math.floor(a * L / math.pi) + 1), max(4, math.floor(b * R) + 1)

    # any mode's load bounds the minimum from above: a column of axisymmetric modes is a cheap first bound
    centre = max(1, round(L / math.pi * (t.A22 / (R * R * r.d11)) ** 0.25))
    trial = np.unique(np.clip(np.round(centre * np.geomspace(0.25, 4, 60)), 1, None))
    upper = float(np.min(loads(trial, 0)))
    for _ in range(6):
        M, n_top = corner(upper)
        if M * n_top <= _MOST_MODES:
            break
        # too many modes for this bound: a coarse grid over the range may find a better one
        coarse_m = np.unique(np.round(np.geomspace(1, M, 200)))[:, None]
        coarse_n = np.unique(np.round(np.geomspace(1, n_top + 1, 200)) - 1)
        coarse_n = coarse_n[~np.isin(coarse_n, leave_out)]
        coarse = float(loads(coarse_m, coarse_n).min())
        if coarse >= upper * 0.999:
            break
        upper = coarse
    if M * n_top > _MOST_MODES:
        raise Incomplete.of(
            "search-too-large",
            "too many modes would have to be searched to prove the minimum",
            "wall",
            f"{M} x {n_top} modes",
            f"{_MOST_MODES}",
            "check the wall's stiffness: it is very thin for its length",
        )
    for _ in range(_MOST_WIDENINGS):
        ns = np.arange(n_top + 1)
        ns = ns[~np.isin(ns, leave_out)]
        table = _table(loads, D, R, L, M, ns, N_theta, SPECTRUM * widen**2 * upper)
        at = np.unravel_index(np.argmin(table), table.shape)
        least = float(table[at])
        rim = float(min(table[-1].min(), table[:, -1].min())) / least
        crowded = theory == "Sanders" and least > _NEAR_SHEAR_LIMIT * 4 * t.A66
        if rim > 1.0 or theory == "Donnell" or crowded:
            break
        # deep ribs and short waves: Sanders' normal rotation lowers modes beyond Donnell's bound; look further out
        M, n_top = 2 * M, 2 * n_top
    if not math.isfinite(least) or least <= 0:
        raise Incomplete.of(
            "search-failed",
            "the closed form gave no positive load",
            "wall",
            f"{least:g}",
            way_out="check the wall's stiffness",
        )
    if rim <= 1.0 and not crowded:
        raise Incomplete.of(
            "search-rim", "the lowest load lies on the rim of the searched range", "wall", f"ratio {rim:.4f}", "above 1"
        )
    return Proved(table, ns, (int(at[0]), int(at[1])), least, rim, bool(crowded))


def _table(
    loads: Callable, D: tuple, R: float, L: float, M: int, ns: np.ndarray, N_theta: float, limit: float
) -> np.ndarray:
    """Loads (M, len(ns)) [N/m]; where the bending energy alone is beyond `limit`, that bound stands for the load.

    Evaluated in slices, so that memory stays flat.
    """
    d11, d12, d22, d66 = D
    b2 = (ns / R) ** 2
    rows = max(1, _CHUNK // ns.size)
    parts = []
    for first in range(1, M + 1, rows):
        m = np.arange(first, min(first + rows, M + 1))
        a2 = ((m * np.pi / L) ** 2)[:, None]
        bound = d11 * a2 + 2 * (d12 + 2 * d66) * b2 + (d22 * b2**2 + N_theta * b2) / a2
        i, j = np.nonzero(bound <= limit)
        bound[i, j] = loads(m[i], ns[j])
        parts.append(bound)
    return np.concatenate(parts)


def _near_ties(table: np.ndarray, ns: np.ndarray, least: float) -> tuple[tuple[Mode, ...], int]:
    """The other modes within NEAR_TIE of the lowest, lowest first, and how many there are."""
    rows, columns = np.nonzero(table <= NEAR_TIE * least)
    modes = sorted(
        (Mode(int(i) + 1, int(ns[j]), float(table[i, j])) for i, j in zip(rows, columns, strict=True)),
        key=lambda mode: mode.line_load,
    )
    return tuple(modes[1 : _LISTED_TIES + 1]), len(modes) - 1
