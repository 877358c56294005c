"""First buckling on the nonlinear prebuckling path: march up with every harmonic, then polish.

Stability along the path is not monotone, so a bisection from above finds false answers. The march goes up in steps;
at every step each harmonic must be positive definite. At the first step where one is not, each harmonic that lost is
polished by linearising its stiffness between two nearby loads. The march may then go on to the limit, to find where
each other harmonic is lost first.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from ...core.errors import Incomplete, Problem, Refusal
from ..eigen import lowest_banded, nearest_mode
from .barrel import RitzBarrel
from .operators import Tangent
from .prebuckling import Prebuckling

_FEW = 1e-5
"""Relative width of the bracket at which several harmonics are polished side by side."""

_LOOKS = 8
"""Loads between the last stable step and the load found at which every harmonic is tried again."""

_TOP_QUARTER = 0.75
_WIDER = 1.4
_MOST_HARMONICS = 3000
"""The range is extended when the loss found lies in its top quarter, by two fifths."""

_GRID = 8
_HALVINGS = 3
"""Steps of the march beyond the first loss, and how often a step with losses is halved before it is linearised."""


@dataclass(frozen=True, eq=False)
class Critical:
    """First buckling load [N/m] on the path, its harmonic and mode, and the march that led to it.

    `line_load` is None when nothing buckled up to `limit`. `by_harmonic` is the first loss of every harmonic that has
    one below the limit.
    """

    line_load: float | None
    n: int | None
    limit: float
    steps: int
    n_searched: int
    mode: np.ndarray | None = field(default=None, repr=False)
    by_harmonic: dict[int, float] = field(default_factory=dict)


At = Callable[[float], Tangent]

_BESIDE = 1e-6
"""Relative distance below the critical load at which its mode is taken."""

_CLOSER = 0.5
"""How much of what is left to the limit point a step may take, because the deflection grows without bound there."""


@dataclass(frozen=True, eq=False)
class March:
    """The tangent stiffness along a path, and the harmonics that it may lose."""

    barrel: RitzBarrel
    path: Prebuckling

    def at(self, N: float) -> Tangent:
        """Tangent stiffness at the axial compression N [N/m]."""
        return self.barrel.harmonic(1, self.path.state(N)).tangent(N)

    def reach(self, N: float) -> int:
        """Harmonics that may be lost at N: D_min (a^2 + b^2)^2 <= N a^2 + H b^2 with the largest hoop compression H of
        the state, widened by a tenth. Inward waves next to the limit load bring far more of it than N itself."""
        H, D = max(0.0, float(-self.path.state(N).N_theta.min())), self.barrel.least_bending
        squared = N * N / (4 * D * (N - H)) if 2 * H < N else H / D
        return math.ceil(1.1 * self.barrel.R * math.sqrt(squared))


def critical_points(
    barrel: RitzBarrel,
    limit: float,
    harmonics: range,
    *,
    pressure: float = 0.0,
    z_load: float = 0.0,
    singular: float = math.inf,
    first_step: float = 0.1,
    tolerance: float = 1e-8,
    each: bool = True,
    last_each: float = math.inf,
) -> Critical:
    """The lowest bifurcation on the nonlinear prebuckling path.

    Parameters
    ----------
    barrel : RitzBarrel
    limit : float
        Axial compression up to which to march [N/m].
    harmonics : range
        Full waves around that are followed, from 1 on, more where the state asks for them; n = 0 is lost where the path
        itself is singular, see `ends`.
    pressure : float
        Internal pressure, fixed [Pa].
    z_load : float
        Height of the axial load above the skin middle [m].
    singular : float
        The limit point of the path, where the deflection grows without bound [N/m].
    first_step : float
        Step of the march, as a share of `limit`; steps are cut to a sixteenth around the first loss.
    tolerance : float
        Relative width of the bracket at which polishing stops.
    each : bool
        March on for the first loss of every harmonic.
    last_each : float
        How far, if that is less than the limit [N/m].
    """
    march = March(barrel, Prebuckling(barrel, pressure, z_load))
    at = march.at
    among = range(harmonics[0], max(harmonics[-1], march.reach(0.0)) + 1)
    if pressure and (n := next(at(0.0).lost(among), None)) is not None:
        raise Refusal(unstable_under(pressure, n))
    first = _widened(march, limit, harmonics, first_step * limit, tolerance, singular)
    if first.line_load is None:
        return first
    mode = nearest_mode(at(first.line_load * (1 - _BESIDE)).band(first.n))
    found = {first.n: first.line_load}
    if each:
        last = min(limit, last_each)
        found |= _beyond(at, first, last, [n for n in range(harmonics[0], first.n_searched + 1) if n != first.n])
    return Critical(
        first.line_load, first.n, first.limit, first.steps, first.n_searched, mode, dict(sorted(found.items()))
    )


def unstable_under(pressure: float, n: int) -> Problem:
    """The refusal of a fixed pressure [Pa] that makes harmonic n unstable on its own."""
    return Problem(
        "unstable-under-pressure",
        "unstable under the fixed pressure alone",
        "pressure",
        f"{pressure:.6g} Pa, under which n = {n} is lost without any other load",
        "an external pressure below the one at which the barrel buckles without other loads",
        "give less external pressure, or make it the load that grows",
    )


def _widened(march: March, limit: float, harmonics: range, step: float, tolerance: float, singular: float) -> Critical:
    """The first loss, with the range of harmonics extended until what lies above it loses nothing lower."""
    found = _first(march, limit, harmonics, step, tolerance, singular)
    while len(harmonics) > 1:
        top = harmonics[-1]
        more = range(top + 1, math.ceil(_WIDER * top) + 2)
        highest = found.n if found.n is not None else 0
        if highest < _TOP_QUARTER * top:
            return found
        if more[-1] > _MOST_HARMONICS:
            raise Incomplete.of("search-too-large", "the range of harmonics does not end", "wall")
        higher = _first(march, found.line_load or limit, more, step, tolerance, singular)
        harmonics = range(harmonics[0], more[-1] + 1)
        steps = found.steps + higher.steps
        found = replace(found if higher.line_load is None else higher, steps=steps, n_searched=more[-1])
        if higher.line_load is None:
            return found
    return found


def _first(march: March, limit: float, harmonics: range, step: float, tolerance: float, singular: float) -> Critical:
    N, steps, suspect, at = 0.0, 0, [], march.at
    finest = step / 16
    while True:
        ahead = min(N + step, N + _CLOSER * (singular - N), limit)
        harmonics = range(harmonics[0], max(harmonics[-1], march.reach(ahead)) + 1)
        lost = at(ahead).lost([*suspect, *(n for n in harmonics if n not in suspect)])
        bad = [] if (one := next(lost, None)) is None else [one]
        steps += 1
        if not bad:
            N = ahead
            if limit <= N:
                return Critical(None, None, limit, steps, harmonics[-1])
            continue
        if step > finest:
            suspect, step = bad, step / 4
            continue
        bad += lost
        low = N
        while len(bad) > 1 and ahead - low > _FEW * ahead:  # halve until few harmonics are left to polish
            middle = (low + ahead) / 2
            if still := list(at(middle).lost(bad)):
                ahead, bad = middle, still
            else:
                low = middle
        load, n = min((_polish(at, n, low, ahead, tolerance), n) for n in bad)
        # a harmonic may lose and regain its stability inside the step: look again, closer, below what was found
        for closer in np.linspace(N, load, _LOOKS + 2)[1:-1]:
            steps += 1
            if closer - N > tolerance * load and any(at(closer).lost(harmonics)):
                ahead = closer
                step = (ahead - N) * (1 - 1e-12)
                break
            N = closer
        else:
            return Critical(load, n, limit, steps, harmonics[-1])
        finest = step


def _polish(at: At, n: int, low: float, high: float, tolerance: float) -> float:
    """Load in the bracket [stable low, unstable high] at which harmonic n turns unstable.

    The guess linearises the stiffness between the two ends; the bracket is always kept, because the lowest root of
    the linearised problem need not be the first loss.
    """
    below, above = at(low).band(n), at(high).band(n)
    for _ in range(60):
        if high - low <= tolerance * high:
            break
        guess = _linearised(below, above, low, high)
        for N in (guess * (1 - tolerance / 4), guess * (1 + tolerance / 4), (low + high) / 2):
            if not low < N < high:
                continue
            here = at(N)
            if any(here.lost((n,))):
                high, above = N, here.band(n)
            else:
                low, below = N, here.band(n)
    return high


def _linearised(below: np.ndarray, above: np.ndarray, low: float, high: float) -> float:
    """Load at which the stiffness, linear between two loads, is singular; the middle where that cannot be told."""
    try:
        return float(low + lowest_banded(below, (below - above) / (high - low), high - low)[0])
    except Incomplete:
        return (low + high) / 2


def _beyond(at: At, first: Critical, last: float, harmonics: list[int]) -> dict[int, float]:
    """First loss of the other harmonics between the first critical load and the last to be looked at.

    Harmonics share the loads at which the stiffness is built; a step in which some are lost is halved, then linearised.
    """
    found, left = {}, list(harmonics)
    if last <= first.line_load:
        return found
    grid = np.linspace(first.line_load, last, _GRID + 1)
    below = at(grid[0])
    tied = list(below.lost(left))
    left = [n for n in left if n not in tied]
    found |= {n: float(grid[0]) for n in tied}
    for N in grid[1:]:
        above = at(N)
        if lost := list(above.lost(left)):
            left = [n for n in left if n not in lost]
            found |= _inside(at, below, above, lost, _HALVINGS)
        if not left:
            break
        below = above
    return found


def _inside(at: At, below: Tangent, above: Tangent, lost: list[int], halvings: int) -> dict[int, float]:
    if not lost:
        return {}
    if halvings == 0:
        return {n: _linearised(below.band(n), above.band(n), below.N, above.N) for n in lost}
    middle = at((below.N + above.N) / 2)
    early = list(middle.lost(lost))
    late = [n for n in lost if n not in early]
    return _inside(at, below, middle, early, halvings - 1) | _inside(at, middle, above, late, halvings - 1)
