"""The lowest simply supported load of many designs at once: the minimum of `search.lowest`, n = 1 left out.

Every mode (m, n) that may be the lowest is evaluated. Its load is at least its bending energy with free membrane, which
leaves for every m a range of n (a quadratic in n^2). Donnell loads of those ranges are the first table. A Sanders load
is then worked out only where the bound of `batch_terms` lets it fall below the best one known. Designs for which
that bound says nothing (strains of the order 1, a range of millions of modes) take the single search one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...core.errors import Incomplete, Refusal
from ...model.walls.doors import THEORIES
from ...model.walls.stiffness import SmearedWall
from ..problem import Theory
from .batch_tables import Designs, axisymmetric, nearly_lowest, search
from .loads import Terms
from .search import _MOST_MODES, _SANDERS_WIDENING, SPECTRUM, proved_lowest, reach

_DESIGNS = 2048  # worked on together: a few MB


@dataclass(frozen=True, eq=False)
class Lowest:
    """Lowest load of every design and its mode.

    `line_load` (N,) [N/m], compression positive, nan where none was proved; `m`, `n` (N,) int, 0 there.
    """

    line_load: np.ndarray
    m: np.ndarray
    n: np.ndarray

    @classmethod
    def blank(cls, size: int) -> Lowest:
        return cls(np.full(size, np.nan), np.zeros(size, int), np.zeros(size, int))

    def put(self, at, load, m, n) -> None:
        """File the modes of designs `at`."""
        self.line_load[at], self.m[at], self.n[at] = load, m, n


@dataclass(frozen=True, eq=False)
class LowestLoads:
    """Lowest Donnell and Sanders loads; `reasons` (N,) object, code of the failure or ""."""

    donnell: Lowest
    sanders: Lowest | None
    reasons: np.ndarray

    @property
    def lower(self) -> np.ndarray:
        """The lower of the theories that were asked for (N,) [N/m]."""
        if self.sanders is None:
            return self.donnell.line_load
        return np.minimum(self.donnell.line_load, self.sanders.line_load)


def lowest_loads(
    wall: SmearedWall | Terms,
    R: float | np.ndarray,
    L: float | np.ndarray,
    N_theta: float | np.ndarray = 0.0,
    *,
    theories: Sequence[Theory] = THEORIES,
) -> LowestLoads:
    """Lowest load of every design over all (m, n), n = 1 left out: `lowest` for arrays, without its record.

    Parameters
    ----------
    wall : SmearedWall or Terms
        Blocks (N, 3, 3), or the terms taken from them once, each (N,).
    R, L : float or numpy.ndarray
        Middle radius, length [m], each (N,) or one for all.
    N_theta : float or numpy.ndarray
        Fixed hoop tension p R [N/m]; negative is external pressure (one by one, much slower).
    theories : sequence of {"Donnell", "Sanders"}
        Donnell's loads bound those of Sanders and are worked out in any case.

    Returns
    -------
    LowestLoads
        A design that the pressure alone makes unstable has the reason "unstable-under-pressure".

    Raises
    ------
    Refusal
        For arrays without entries, and for a radius or length of 0 or less.

    Examples
    --------
    >>> import numpy as np
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> wall = SmearedWall.of(Skin(1e7, 0.3, 0.1))
    >>> found = lowest_loads(wall, 100.0, np.array([200.0]))
    >>> round(float(found.donnell.line_load[0]), 4), int(found.donnell.m[0]), int(found.donnell.n[0])
    (605.2281, 32, 19)
    """
    t = _terms(wall)
    sides = np.broadcast_arrays(*t, np.asarray(R, float), np.asarray(L, float), np.asarray(N_theta, float))
    size = sides[0].size
    if size == 0:
        raise Refusal.of("array-empty", "arrays without designs", "R, L, N_theta", "0 entries", "at least one")
    for name, values in (("R", sides[-3]), ("L", sides[-2])):
        if (values <= 0).any():  # what is not finite is a design's own failure
            raise Refusal.of(
                "value-range", "no length", name, f"{values[values <= 0].flat[0]:g} m", "a finite number above 0"
            )
    found = LowestLoads(
        Lowest.blank(size), Lowest.blank(size) if "Sanders" in theories else None, np.full(size, "", dtype=object)
    )
    flat = [np.ravel(x).astype(float) for x in sides]
    for first in range(0, size, _DESIGNS):
        own = [x[first : first + _DESIGNS] for x in flat]
        with np.errstate(all="ignore"):  # what is not finite or not positive is sorted out by `_provable`
            _search(Designs.of(Terms(*own[:12]), *own[12:]), found, first)
    return found


def provable(wall: SmearedWall | Terms, R: np.ndarray, L: np.ndarray, N_theta: np.ndarray) -> np.ndarray:
    """Designs (N,) bool whose lowest loads are found and proved for certain: `lowest` does not fail for them.

    Arguments as for `lowest_loads`, each (N,).
    """
    with np.errstate(all="ignore"):
        designs = Designs.of(_terms(wall), R, L, N_theta)
        ring = axisymmetric(designs)[0]
        return _provable(designs, ring, ring)


def _terms(wall: SmearedWall | Terms) -> Terms:
    return wall if isinstance(wall, Terms) else Terms.of(wall.A, wall.B, wall.D)


def _search(designs: Designs, found: LowestLoads, start: int) -> None:
    """Fill the results of some designs."""
    ring = axisymmetric(designs)
    load, m, n = nearly_lowest(designs, ring)
    best = [(load, m.astype(int), n.astype(int))]
    results = [found.donnell]
    upper = load
    if found.sanders is not None:
        upper = designs.sanders(np.arange(m.size), m, n)
        upper = np.where(upper > 0, upper, np.inf)
        best.append((upper.copy(), m.astype(int), n.astype(int)))
        results.append(found.sanders)
    # the bounds hold for hoop tension; beside external pressure the single search asks whether it is stable at all
    fit = _provable(designs, ring[0], upper) & (designs.N_theta >= 0)
    good = np.flatnonzero(fit)
    if good.size:
        if good.size < fit.size:
            designs, best, whole = designs.take(good), [tuple(v[good] for v in b) for b in best], designs
        else:
            whole = designs
        search(designs, best)
        for result, own in zip(results, best, strict=True):
            result.put(start + good, *own)
        designs = whole
    for i in np.flatnonzero(~fit):  # one by one, by the single search and with its refusals
        own = Terms(*(float(x[i]) for x in designs.t)), *(float(v[i]) for v in (designs.R, designs.L, designs.N_theta))
        for theory, result in zip(THEORIES, results, strict=False):
            try:
                one = proved_lowest(*own, theory)
            except (Incomplete, Refusal) as error:
                found.reasons[start + i] = error.problems[0].code
                continue
            result.put(start + i, one.least, one.at[0] + 1, one.ns[one.at[1]])


def _provable(d: Designs, ring: np.ndarray, upper: np.ndarray) -> np.ndarray:
    """Designs (N,) of a small range for which the bound of Sanders' theory excludes all that `lowest` leaves out.

    `ring` is the lowest axisymmetric load, from which `lowest` takes its range; `upper` bounds the lowest Sanders load
    from above. `lowest` then finds the same minimum, with its rim above it.
    """
    t, gap = d.t, d.gap
    beyond = SPECTRUM * ring * _SANDERS_WIDENING**2
    a, b = reach((d.r.d11, d.r.d12, d.r.d22, d.r.d66), beyond)
    # `lowest` may start from an axisymmetric mode beside the lowest one
    modes = np.maximum(2, 1.5 * a * d.L / np.pi + 1) * np.maximum(4, 1.5 * b * d.R + 1)
    waves = np.maximum(2.0, np.minimum(a, b) * d.R)  # least n of a mode on the rim of its range with b >= a
    turn = 1 / waves**2
    excluded = (gap.many_below(upper, waves) * (1 + turn) < (1 - turn) ** 3 * beyond) & (gap.few_below(upper) < beyond)
    positive = (d.r.least > 0) & (t.A11 * t.A22 > t.A12**2) & (t.A66 > 0) & (gap.many >= 1) & (gap.few >= 1)
    return positive & np.isfinite(ring) & (ring > 0) & (modes < _MOST_MODES) & excluded
