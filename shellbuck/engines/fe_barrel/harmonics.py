"""One bay that repeats with a phase, solved for some harmonics and counted for all others: nothing lower is missed.

Of N bays harmonic k holds the waves around n = k and all that differ from k or -k by a multiple of N; k runs from 0 to
N/2. What a bay does on its own, skin or web between its neighbours, often comes first at k = N/2 or 0, far from the n
of smeared theory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from .. import fe
from ..eigen import APART
from ..problem import Progress


def harmonic_of(n: int, bays: int) -> int:
    """The harmonic that holds n waves around.

    Examples
    --------
    >>> [harmonic_of(n, 10) for n in (0, 4, 5, 6, 10, 13)]
    [0, 4, 5, 4, 0, 3]
    """
    return min(n % bays, -n % bays)


def first_harmonics(waves: Iterable[int], bays: int) -> tuple[int, ...]:
    """Harmonics that are always solved: those of some waves around, that of all bays alike, and those next to
    neighbours in opposition.

    Examples
    --------
    >>> first_harmonics((6, 10, 9), 110), first_harmonics((12, 25), 49)
    ((6, 10, 9, 0, 54, 55), (12, 24, 0))
    """
    ends = (0, max(0, (bays - 1) // 2), bays // 2)
    return tuple(dict.fromkeys([*(harmonic_of(n, bays) for n in waves), *ends]))


K = TypeVar("K", int, str)


@dataclass(frozen=True, eq=False)
class Sorted:
    """Modes of many harmonics: loads (k,) rising, modes (2 unknowns, k), the harmonic of each; how many loads lie at or
    below that of the `listed`-th by counts; harmonics `solved` and those in which nothing was counted below it."""

    line_loads: np.ndarray
    modes: np.ndarray
    harmonics: tuple[int, ...]
    listed: int
    counted: int
    solved: tuple[int, ...]
    empty: tuple[int, ...]
    shift: float


def solve_harmonics(
    loaded: fe.Loaded,
    angle: float,
    harmonics: Iterable[int],
    guess: float,
    want: int,
    *,
    shift: float | None = None,
    scan: bool = False,
    progress: Progress = lambda _: None,
) -> Sorted:
    """The lowest modes of one bay over several harmonics, or over all.

    Parameters
    ----------
    loaded : fe.Loaded
        One bay.
    angle : float
        Of the bay [rad].
    harmonics : iterable of int
        Solved from the start.
    guess : float
        A line load near the lowest [N/m].
    want : int
        How many modes are wanted in all.
    shift : float or None
        Where loads are counted first [N/m].
    scan : bool
        Count every other harmonic below the last mode wanted; what is lower is solved too.
    progress : callable
        Receives a line of text on each step.

    Returns
    -------
    Sorted
        All modes that were found; the first `listed` are the lowest of all harmonics looked at.
    """
    found: dict[int, fe.Buckling] = {}
    for k in harmonics:
        found[k] = loaded.lowest(
            guess, want, phase=k * angle, shift=shift, progress=lambda text, k=k: progress(f"harmonic {k}: {text}")
        )
        shift = found[k].shift  # harmonics share most of their spectrum
    others = [k for k in range(round(2 * math.pi / angle) // 2 + 1) if k not in found]
    empty = []
    if scan:
        low = min(found, key=lambda k: found[k].line_loads[0])
        for k in sorted(others, key=lambda k: abs(k - low)):  # the likeliest first: what is lower lowers the bar
            bar = _last(found, want)
            lower = loaded.count(bar * (1 - APART), k * angle)
            progress(f"harmonic {k}: {lower} load factors below {bar:.4g}")
            if lower:
                found[k] = loaded.lowest(bar, min(lower, want), phase=k * angle, shift=bar)
            else:
                empty.append(k)
    rows = rising(found)
    listed = min(want, len(rows))
    last = rows[listed - 1][0]
    return Sorted(
        *stacked(found, rows),
        tuple(k for _, k, _ in rows),
        listed,
        sum(_up_to(one, last) for one in found.values()),
        tuple(found),
        tuple(sorted(empty)),
        last,
    )


def _up_to(one: fe.Buckling, load: float) -> int:
    """Loads of one harmonic up to a load, those beside the last that was found too."""
    here = int(np.sum(one.line_loads <= load * (1 + 1e-9)))
    return max(here, one.counted) if here == one.line_loads.size else here


def rising(found: dict[K, fe.Buckling]) -> list[tuple[float, K, int]]:
    """Load, key and place of every mode of several families, loads rising."""
    return sorted((float(v), k, i) for k, one in found.items() for i, v in enumerate(one.line_loads))


def stacked(found: dict[K, fe.Buckling], rows: list[tuple[float, K, int]]) -> tuple[np.ndarray, np.ndarray]:
    """Loads (k,) and modes (unknowns, k) of some rows."""
    return np.array([row[0] for row in rows]), np.column_stack([found[k].modes[:, i] for _, k, i in rows])


def _last(found: dict[int, fe.Buckling], want: int) -> float:
    rows = rising(found)
    return rows[min(want, len(rows)) - 1][0]


def lower_harmonics(
    loaded: fe.Loaded, angle: float, bar: float, holds: Callable[[int], bool], progress: Progress = lambda _: None
) -> tuple[tuple[int, ...], int]:
    """Harmonics of one bay with loads below a bar [N/m], among those that another mesh does not hold, and how many were
    counted."""
    lower, bays = [], round(2 * math.pi / angle)
    others = [k for k in range(bays // 2 + 1) if not holds(k)]
    for k in others:
        count = loaded.count(bar * (1 - APART), k * angle)
        progress(f"harmonic {k}: {count} load factors below {bar:.4g}")
        if count:
            lower.append(k)
    return tuple(lower), len(others)
