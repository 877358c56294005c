"""Tables of modes (m, n) of many designs, and what is the lowest in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from .batch_terms import Forms, Gap, Reduced, donnell_row, sanders_row
from .loads import Terms, mode_loads
from .search import reach

_ROWS = 150_000  # rows (design, m) held at once
_CELLS = 16_000  # modes of one table: it stays in the cache
_STEP = 4  # widths of tables are multiples of this
_AXIAL = np.array([0.02, 0.1, 0.22, 0.36, 0.52, 0.7, 0.9])
_HOOP = np.array([0.1, 0.22, 0.34, 0.46, 0.58, 0.7, 0.82, 0.94])
_ROUNDING = 1 + 1e-9

Best = tuple[np.ndarray, np.ndarray, np.ndarray]
"""Lowest load so far (N,) [N/m], its m and n."""


@dataclass(frozen=True, eq=False)
class Designs:
    """Some designs with what their polynomials and bounds are made of."""

    t: Terms
    R: np.ndarray
    L: np.ndarray
    N_theta: np.ndarray
    r: Reduced
    forms: Forms
    gap: Gap

    @classmethod
    def of(cls, t: Terms, R: np.ndarray, L: np.ndarray, N_theta: np.ndarray) -> Designs:
        r = Reduced.of(t)
        return cls(t, R, L, N_theta, r, Forms.of(r, R, L, N_theta), Gap.of(t, R, N_theta))

    def take(self, i: np.ndarray) -> Designs:
        """Designs i."""
        t, r, forms, gap = (type(v)(*(x[i] for x in v)) for v in (self.t, self.r, self.forms, self.gap))
        return Designs(t, self.R[i], self.L[i], self.N_theta[i], r, forms, gap)

    def sanders(self, i: np.ndarray, m: np.ndarray, n: np.ndarray) -> np.ndarray:
        """Sanders loads of modes of designs i, repeats allowed [N/m]."""
        return mode_loads(self.t.at(i), self.R[i], self.L[i], m, n, N_theta=self.N_theta[i], theory="Sanders")


def _loads(c: np.ndarray, n: np.ndarray) -> np.ndarray:
    """Donnell loads of rows (9, ...) of coefficients [N/m]."""
    e = n * n
    q = c[3] + e * (c[4] + e * c[5])
    q *= q
    q /= c[6] + e * (c[7] + e * c[8])
    q += c[0] + e * (c[1] + e * c[2])
    return q


def _row(d: Designs, m: np.ndarray) -> np.ndarray:
    """Coefficients (9, N, i, 1) of Donnell loads of m (N, i)."""
    return donnell_row(Forms(*(np.broadcast_to(v[:, None], m.shape) for v in d.forms)), m)[..., None]


def axisymmetric(d: Designs) -> Best:
    """The lowest axisymmetric mode of every design.

    N = (D* + b^2/q) x + constant + 1/(R^2 q x) is convex in x = a^2: the whole numbers beside its minimum are enough.
    """
    best = np.sqrt(1 / (d.R * np.sqrt(d.r.i22 * d.r.d11 + d.r.b21**2))) * d.L / np.pi
    m = np.maximum(1, np.floor(best)[:, None] + np.array([0.0, 1.0]))
    return _pick(_loads(_row(d, m), np.zeros((1, 1, 1))), m, np.zeros((1, 1, 1)))


def nearly_lowest(d: Designs, known: Best) -> Best:
    """A Donnell mode near the lowest, from a coarse table and its neighbours."""
    best = known
    top = np.maximum(1, np.sqrt(best[0] / d.r.d11) * d.L / np.pi)
    m = np.maximum(1, np.round(top[:, None] * _AXIAL))
    c = _row(d, m)
    most = np.sqrt(np.maximum(_root(c, best[0][:, None, None]), 0.0))
    n = np.maximum(2, np.round(most * _HOOP))
    best = _pick(_loads(c, n), m, n, best)
    for _ in range(2):
        m = np.maximum(1, best[1][:, None] + np.array([-1, 0, 1]))
        n = best[2][:, None, None] + np.array([-2, -1, 0, 1, 2])
        n = np.where(n < 2, np.where(n < 1, 0, 2), n)
        best = _pick(_loads(_row(d, m), n), m, n, best)
    return best


def _pick(loads: np.ndarray, m: np.ndarray, n: np.ndarray, known: Best | None = None) -> Best:
    """Lowest of a table (N, i, j) per design, against what is known."""
    size, i, j = loads.shape
    flat = np.where(loads > 0, loads, np.inf).reshape(size, i * j)
    at = np.argmin(flat, axis=1)
    each, row = np.arange(size), at // j
    n = np.broadcast_to(n, loads.shape)
    found = flat[each, at], m[each, row], n[each, row, at % j]
    if known is None:
        return found
    better = found[0] < known[0]
    return tuple(np.where(better, new, old) for new, old in zip(found, known, strict=True))


def _root(P: np.ndarray, bound: np.ndarray) -> np.ndarray:
    """Largest n^2 at which P[0] + P[1] n^2 + P[2] n^4 does not exceed a bound; -1 where it always does."""
    p0, p1, p2 = P[0] - bound, P[1], P[2]
    inside = p1 * p1 - 4 * p2 * p0
    root = np.sqrt(np.maximum(inside, 0.0))
    value = np.where(p1 > 0, -2 * p0 / (p1 + root), (root - p1) / (2 * p2))
    return np.where((inside >= 0) & (value >= 0), value, -1.0)


def search(d: Designs, best: list[Best]) -> None:
    """Lower the best Donnell load (and Sanders load, if it is in the list) of every design to the lowest there is."""
    for rows in _rows(d, best):
        ends = np.append(np.flatnonzero(np.diff(rows.width)) + 1, rows.width.size)
        begin = 0
        for end in ends[ends > 0]:
            waves = np.concatenate([[0.0], np.arange(2.0, rows.width[begin] + 1)])
            step = max(1, _CELLS // waves.size)
            for first in range(begin, end, step):
                _table(d, rows, slice(first, min(first + step, end)), waves, best)
            begin = end


@dataclass(frozen=True, eq=False)
class _Rows:
    """Rows (design, m) that may hold a lowest mode, narrow ones first.

    `width` is the largest n that is evaluated, `c` the polynomials (9 or 15, rows), `switch` is a R: from this n on
    b >= a.
    """

    design: np.ndarray
    m: np.ndarray
    width: np.ndarray
    c: np.ndarray
    switch: np.ndarray


def _rows(d: Designs, best: list[Best]) -> Iterator[_Rows]:
    """The rows of all designs, in pieces."""
    bound = best[0][0]
    if len(best) > 1:
        U = best[1][0]
        bound = np.maximum(np.maximum(bound, d.gap.few_below(U)), 1.25 * d.gap.many_below(U, np.full(1, 2.0)))
    # Sanders' phi >= 3/4 shrinks the twist, and so the mixed term where b >= a
    a = reach((d.r.d11, d.r.d12, d.r.d22, 0.75 * d.r.d66), bound)[0]
    count = np.maximum(1, np.floor(a * d.L / np.pi * _ROUNDING).astype(int))
    ends = np.cumsum(count)
    begin = 0
    while begin < count.size:
        done = ends[begin - 1] if begin else 0
        stop = max(begin + 1, int(np.searchsorted(ends, done + _ROWS, side="right")))
        yield _rows_of(d, best, np.arange(begin, stop), count[begin:stop])
        begin = stop


def _rows_of(d: Designs, best: list[Best], designs: np.ndarray, count: np.ndarray) -> _Rows:
    total = int(count.sum())
    design = np.repeat(designs, count)
    m = np.arange(total) - np.repeat(np.cumsum(count) - count, count) + 1.0
    forms = Forms(*np.repeat(np.stack([v[designs] for v in d.forms]), count, axis=1))
    switch = m * np.repeat(np.pi * d.R[designs] / d.L[designs], count)
    bound = best[0][0][design]
    if len(best) > 1:
        U = best[1][0][designs]
        few = d.gap.few_below(best[1][0])[design]
        least = np.maximum(2.0, switch)
        many = _gap_of(d.gap, design).many_below(np.repeat(U, count), least) * (1 + 1 / least**2)
        c = sanders_row(forms, m)
        square = np.maximum(_root(c, np.maximum(bound, few)), _root(c[9:], many))
    else:
        c = donnell_row(forms, m)
        square = _root(c, bound)
    most = np.sqrt(np.maximum(square, 0.0)) * _ROUNDING
    width = np.where(square < 0, 0, _STEP * np.ceil(np.maximum(most, 2) / _STEP)).astype(np.int32)
    order = np.argsort(width, kind="stable")
    order = order[np.searchsorted(width[order], 1) :]
    return _Rows(design[order], m[order], width[order], c[:, order], switch[order])


def _gap_of(gap: Gap, i: np.ndarray) -> Gap:
    return Gap(*(v[i] for v in gap))


def _table(d: Designs, rows: _Rows, own: slice, waves: np.ndarray, best: list[Best]) -> None:
    """Evaluate some rows over `waves` and lower what is best."""
    square = waves * waves
    powers = np.stack([np.ones_like(waves), square, square * square])
    design, m, c = rows.design[own], rows.m[own], rows.c[:, own]
    G = c[6:9].T @ powers
    N = c[3:6].T @ powers
    N *= N
    N /= G
    N += c[0:3].T @ powers
    column = np.argmin(N, axis=1)
    _lower(best[0], design, N[np.arange(m.size), column], m, waves[column])
    if len(best) < 2:
        return
    T = c[12:15].T @ powers
    T *= T
    T /= G
    T += c[9:12].T @ powers
    switch = rows.switch[own]
    gap, U = _gap_of(d.gap, design), best[1][0][design]
    few, many = gap.few_below(U), gap.many_below(U, np.maximum(2.0, switch))
    limit = many[:, None]
    # one comparison for both: where a > b Donnell's own load stands in the table, scaled to the other threshold
    T *= square / (square + 1)
    np.copyto(T, N * (many / few)[:, None], where=waves < switch[:, None])
    found = np.flatnonzero(limit > T)
    if found.size:
        i, j = np.divmod(found, waves.size)
        owner, n = design[i], waves[j]
        _lower(best[1], owner, d.sanders(owner, m[i], n), m[i], n)


def _lower(best: Best, design: np.ndarray, loads: np.ndarray, m: np.ndarray, n: np.ndarray) -> None:
    """Lower the best load of designs where these loads do, with their modes."""
    values, ms, ns = best
    loads = np.where(loads > 0, loads, np.inf)
    np.minimum.at(values, design, loads)
    won = np.flatnonzero(loads == values[design])
    ms[design[won]], ns[design[won]] = m[won], n[won]
