"""Where the nonlinear axisymmetric path ends: its limit load, an axisymmetric bifurcation before it, its slope.

On the path w0 answers a linear problem (K - N G) w0 = f. Where K - N G turns singular, with the mode phi, w0 grows
without bound if phi has a share in f: the limit load. If it has none, as an odd mode in an even state, the path
goes through and phi is a bifurcation with n = 0.

Well before the limit load the slope leaves the theory of moderate rotations, and the deflection that of small strains:
there the march stops, and not at a fixed share of the limit, since ringed walls are lost as late as .9994 of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.linalg import solveh_banded

from ...core.errors import Refusal
from ..eigen import lowest_banded, lowest_pairs
from .barrel import long_barrel_load
from .operators import whole_matrix
from .prebuckling import Prebuckling

SLOPE_MOST = 0.5
"""Largest |w0'| to which the path is followed: the cosine that moderate rotations take as 1 is .88 there."""

HOOP_STRAIN_MOST = 0.05
"""Largest change of w0/R from the state under the fixed pressure alone: beyond any elastic strain of a metal, and the
change of radius is neglected."""

_SHARE = 1e-7
"""Share of a mode in the load, as a cosine in the norm of the stiffness, below which it counts as none."""
_MOST_MODES = 16
_BESIDE = 1e-7
"""Relative distance from an axisymmetric bifurcation at which the march arrives there."""
_APPROACH = 2.0 ** -np.arange(0.25, 40.0, 0.25)
"""What is left to the limit load at the trials for the end by slope or deflection."""


@dataclass(frozen=True)
class PathLimits:
    """Loads [N/m] at which the path must end: where deflections grow without bound (None: nothing tried does), at a
    bifurcation with n = 0 below that, and by slope or deflection."""

    limit_load: float | None
    bifurcation: float | None
    followed: float
    ended_by: Literal["slope", "deflection", "bifurcation"]

    @property
    def singular(self) -> float:
        """The limit load, infinite where there is none."""
        return math.inf if self.limit_load is None else self.limit_load


def path_limits(path: Prebuckling) -> PathLimits:
    """Limit load, axisymmetric bifurcation and end by slope or deflection of a path.

    Raises
    ------
    Refusal
        When the fixed pressure alone bends the wall beyond the theory.
    """
    bifurcation, limit = _singular_loads(path)
    ends = [] if bifurcation is None else [(bifurcation * (1 - _BESIDE), "bifurcation")]
    start = path.shape(0.0)
    if (slope := float(np.abs(start.prestress.beta).max())) > SLOPE_MOST:
        raise Refusal.of(
            "prebuckling-too-large",
            "the slope under the fixed pressure alone is beyond the theory of the path",
            "pressure",
            f"{path.pressure:g} Pa, slope {slope:.3g}",
            f"slope up to {SLOPE_MOST:g}",
            "a pressure that bends the wall so much is beyond any elastic state of a metal",
        )

    def beyond(N: float) -> Literal["slope", "deflection"] | None:
        state = path.shape(N)
        if not np.abs(state.prestress.beta).max() <= SLOPE_MOST:
            return "slope"
        if not np.abs(state.deflection - start.deflection).max() <= HOOP_STRAIN_MOST * path.barrel.R:
            return "deflection"
        return None

    top = limit if limit is not None else 2 * bifurcation
    low = 0.0
    for left in _APPROACH:
        high = float(top * (1 - left))
        if beyond(high):
            ends.append(_crossing(beyond, low, high))
            break
        low = high
    else:
        ends.append((low, "slope"))
    followed, ended_by = min(ends)
    return PathLimits(limit, bifurcation, followed, ended_by)


def _singular_loads(path: Prebuckling) -> tuple[float | None, float | None]:
    """The lowest axisymmetric load if its mode has no share in the load, and the lowest whose mode has one."""
    K, G, fixed, rising = path.lower_bands
    first = lowest_banded(K, G, long_barrel_load(path.barrel))[0]
    want, orthogonal = 1, None
    while want <= _MOST_MODES:
        pairs = lowest_pairs(whole_matrix(K), whole_matrix(G), first * (1 - 1e-3), want=want)
        for value, mode in zip(pairs.values, pairs.modes.T, strict=True):
            force = fixed + value * rising
            size = math.sqrt(force @ solveh_banded(K, force, lower=True)) if force.any() else 0.0
            stiff = math.sqrt(mode @ (whole_matrix(K) @ mode))
            if size > 0 and abs(mode @ force) > _SHARE * size * stiff:
                return orthogonal, float(value)
            orthogonal = float(first)
        want *= 4
    return orthogonal, None


def _crossing(
    beyond: Callable[[float], Literal["slope", "deflection"] | None], low: float, high: float
) -> tuple[float, Literal["slope", "deflection"]]:
    """Largest load found within the bounds of slope and deflection, between one inside and one beyond."""
    reason = beyond(high)
    for _ in range(40):
        middle = (low + high) / 2
        if found := beyond(middle):
            high, reason = middle, found
        else:
            low = middle
        if high - low <= 1e-9 * high:
            break
    return low, reason
