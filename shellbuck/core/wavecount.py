"""The one rule by which the waves of a mode are named, and where its peaks are.

A mode is called (m, n) where one pair, m half-waves along the axis and n full waves around, holds at least `LEADING` of
w^2; where it does not, m and n are named one by one or not at all, and the places of the peaks say what it looks like.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

LEADING = 0.9
"""Share of w^2 from which one pair, or one n, names a mode."""
PEAK = 0.5
"""Share of the largest displacement from which a crest counts as a peak."""
_LISTED = 4


@dataclass(frozen=True)
class Count:
    """What a mode may be called: `m`, `n` are None where no single one holds `LEADING` of w^2; `share` is that of the
    largest pair."""

    m: int | None
    n: int | None
    share: float

    @property
    def pair(self) -> str:
        """The name in short.

        Examples
        --------
        >>> Count(7, 3, 0.98).pair, Count(None, 3, 0.6).pair, Count(None, None, 0.2).pair
        ('(7, 3)', 'n = 3, no single m', 'no single m, no single n')
        """
        if self.n is None:
            return "no single m, no single n"
        return f"n = {self.n}, no single m" if self.m is None else f"({self.m}, {self.n})"


def counted(content: Sequence[tuple[int, int, float]], n: int | None = None) -> Count:
    """Name a mode by its content.

    Parameters
    ----------
    content : sequence of (m, n, share)
        The largest shares of w^2.
    n : int or None
        Full waves around where the mode has one n by its making.

    Examples
    --------
    >>> counted([(2, 8, 0.24), (3, 8, 0.2)], n=8).pair, counted([(2, 8, 0.5), (4, 8, 0.45)]).pair
    ('n = 8, no single m', 'n = 8, no single m')
    >>> counted([(2, 8, 0.24), (2, 16, 0.2)]).pair
    'no single m, no single n'
    """
    if not content:
        return Count(None, n, 0.0)
    m, leading, share = max(content, key=lambda row: row[2])
    if share >= LEADING:
        return Count(m, leading, share)
    by_n: dict[int, float] = {}
    for _, each, part in content:
        by_n[each] = by_n.get(each, 0.0) + part
    most = max(by_n, key=lambda each: by_n[each])
    return Count(None, n if n is not None else most if by_n[most] >= LEADING else None, share)


def peaks(x: np.ndarray, size: np.ndarray) -> tuple[float, ...]:
    """Places of the crests of |w| along the axis that reach `PEAK` of the largest, in rising x.

    Parameters
    ----------
    x : (k,) array
        Stations, rising.
    size : (k,) array
        Largest |w| around at each, or |w| of a single wave.

    Examples
    --------
    >>> x = np.linspace(0, 2, 401)
    >>> peaks(x, np.abs(np.sin(np.pi * x)))
    (0.5, 1.5)
    """
    size = np.abs(size)
    before, after = np.concatenate([[-1.0], size[:-1]]), np.concatenate([size[1:], [-1.0]])
    crest = (size > before) & (size >= after) & (size >= PEAK * size.max())
    return tuple(round(float(v), 9) for v in x[crest])


def peak_words(places: Sequence[float], largest: float, shown: Callable[[float], str]) -> str:
    """The peaks in words; `largest` is the place of the largest one, `shown` writes a length.

    Examples
    --------
    >>> peak_words((0.5, 1.5), 0.5, lambda v: f"{v:g} m"), peak_words((0.7,), 0.7, lambda v: f"{v:g} m")
    ('peaks at x = 0.5 m and 1.5 m', 'peak at x = 0.7 m')
    >>> peak_words(tuple(range(1, 9)), 4, lambda v: f"{v:g} m")
    '8 peaks from x = 1 m to 8 m, the largest at 4 m'
    """
    if len(places) == 1:
        return f"peak at x = {shown(places[0])}"
    if len(places) <= _LISTED:
        return f"peaks at x = {', '.join(shown(v) for v in places[:-1])} and {shown(places[-1])}"
    return f"{len(places)} peaks from x = {shown(places[0])} to {shown(places[-1])}, the largest at {shown(largest)}"
