"""First buckling on the nonlinear prebuckling path: march up with every harmonic, then polish.

Stability along the path is not monotone, so a bisection from above finds false answers. The march goes up in steps;
at every step each harmonic must be positive definite. At the first step where one is not, each harmonic that lost is
polished by linearising its stiffness between two nearby loads.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from ..eigen import lowest_pairs
from ..errors import Incomplete
from .barrel import RitzBarrel
from .operators import Operators
from .prebuckling import Prebuckling

_FEW = 1e-5
"""Relative width of the bracket at which several harmonics are polished side by side."""

_LOOKS = 8
"""Loads between the last stable step and the load found at which every harmonic is tried again."""


@dataclass(frozen=True)
class CriticalPoint:
    """First buckling load [N/m] on the path, its harmonic, and the march that led to it.

    `line_load` is None when nothing buckled up to `limit`.
    """

    line_load: float | None
    n: int | None
    limit: float
    steps: int
    n_searched: int


def first_critical(
    barrel: RitzBarrel, limit: float, harmonics: range, *, pressure: float = 0.0, z_load: float = 0.0,
    first_step: float = 0.1, tolerance: float = 1e-8,
) -> CriticalPoint:  # fmt: skip
    """The lowest bifurcation on the nonlinear prebuckling path.

    Parameters
    ----------
    barrel : RitzBarrel
    limit : float
        Axial compression up to which to march [N/m].
    harmonics : range
        Full waves around that are followed; n = 0 is the limit point of the path.
    pressure : float
        Internal pressure, fixed [Pa].
    z_load : float
        Height of the axial load above the skin middle [m].
    first_step : float
        Step of the march, as a share of `limit`; steps are cut to a sixteenth around the first loss.
    tolerance : float
        Relative width of the bracket at which polishing stops.
    """
    path = Prebuckling(barrel, pressure, z_load)

    def lost(N: float, among: Iterable[int] = harmonics) -> list[int]:
        operators = barrel.operators(path.state(N))
        return [n for n in among if not operators[min(n, 1)].stable(n, N)]

    N, step, steps = 0.0, first_step * limit, 0
    finest = step / 16
    while True:
        ahead = min(N + step, limit)
        bad = lost(ahead)
        steps += 1
        if not bad:
            N = ahead
            if limit <= N:
                return CriticalPoint(None, None, limit, steps, harmonics[-1])
            continue
        if step > finest:
            step /= 4
            continue
        low = N
        while len(bad) > 1 and ahead - low > _FEW * ahead:  # halve until few harmonics are left to polish
            middle = (low + ahead) / 2
            if still := lost(middle, bad):
                ahead, bad = middle, still
            else:
                low = middle
        load, n = min((_polish(barrel, path, n, low, ahead, tolerance), n) for n in bad)
        # a harmonic may lose and regain its stability inside the step: look again, closer, below what was found
        for closer in np.linspace(N, load, _LOOKS + 2)[1:-1]:
            steps += 1
            if lost(closer):
                ahead = closer
                step = (ahead - N) * (1 - 1e-12)
                break
            N = closer
        else:
            return CriticalPoint(load, n, limit, steps, harmonics[-1])
        finest = step


def _tangent(operators: Operators, n: int, N: float) -> sparse.csc_matrix:
    return operators.K(n) - N * operators.G(n)


def _polish(barrel: RitzBarrel, path: Prebuckling, n: int, low: float, high: float, tolerance: float) -> float:
    """Load in the bracket [stable low, unstable high] at which harmonic n turns unstable.

    The guess linearises the stiffness between the two ends; the bracket is always kept, because the lowest root of
    the linearised problem need not be the first loss.
    """

    def operators(N: float) -> Operators:
        return barrel.operators(path.state(N))[min(n, 1)]

    below = _tangent(operators(low), n, low)
    for _ in range(60):
        if high - low <= tolerance * high:
            break
        guess = _linearised(below, _tangent(operators(high), n, high), low, high)
        for N in (guess * (1 - tolerance / 4), guess * (1 + tolerance / 4), (low + high) / 2):
            if not low < N < high:
                continue
            here = operators(N)
            if here.stable(n, N):
                low, below = N, _tangent(here, n, N)
            else:
                high = N
    return high


def _linearised(below: sparse.csc_matrix, above: sparse.csc_matrix, low: float, high: float) -> float:
    """Load at which the stiffness, linear between two loads, is singular; the middle where that cannot be told."""
    try:
        return low + float(lowest_pairs(below, (below - above) / (high - low), high - low).values[0])
    except Incomplete:
        return (low + high) / 2
