"""The lowest load factors over all harmonics, and the proof that the others hold nothing lower."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from ...core.errors import Incomplete
from ..eigen import APART, lowest_banded, lowest_pairs
from .operators import Operators

BAND = 1.2
"""Harmonics that reach below this multiple of the lowest load are solved; the others are proved to hold nothing."""

_MOST_HARMONICS = 3000
_BESIDE = 3e-6
"""Relative distance of the shift from which the lowest of all is solved to rounding; the others stand within 1e-6."""

Pick = Callable[[int], Operators]


@dataclass(frozen=True, eq=False)
class Spectrum:
    """The lowest load factor of every harmonic that reaches below `BAND` times the lowest of all.

    `lowest` and `modes` are by harmonic, the lowest of all to rounding, the others proved within 1e-6; every other
    harmonic up to `top`, less those left out, holds nothing below.
    """

    pick: Pick
    lowest: dict[int, float]
    modes: dict[int, np.ndarray] = field(repr=False)
    top: int
    _counted: dict[tuple[int, float], int] = field(default_factory=dict, repr=False)

    @property
    def best(self) -> int:
        """The harmonic of the lowest load factor."""
        return min(self.lowest, key=self.lowest.get)

    def count(self, below: float) -> int:
        """Number of load factors below a bound of at most BAND times the lowest, by inertia counts."""
        reach = [n for n, value in self.lowest.items() if value * (1 - APART) <= below]
        for left in ([n for n in reach if (n > 0) == waves and (n, below) not in self._counted] for waves in (0, 1)):
            if left:
                counts = self.pick(left[0]).counts(left, below)
                self._counted.update(zip(((n, below) for n in left), counts, strict=True))
        return sum(self._counted[n, below] for n in reach)

    def all_below(self, bound: float) -> Iterator[tuple[int, np.ndarray, np.ndarray]]:
        """Every load factor below a bound, harmonic by harmonic: n, values (k,), modes (unknowns, k)."""
        self.count(bound)
        for n, value in sorted(self.lowest.items()):
            ops, want = self.pick(n), self._counted.get((n, bound), 0)
            if want == 1:
                yield n, np.array([value]), self.modes[n][:, None]
            elif want > 1:
                pairs = lowest_pairs(ops.K(n), ops.G(n), value * (1 - 1e-3), want=want * ops.copies)
                yield n, pairs.values[:: ops.copies], pairs.modes[:, :: ops.copies]

    def lowest_modes(self, want: int) -> list[tuple[float, int, np.ndarray]]:
        """The `want` lowest modes of all harmonics: load factor, n, mode; fewer when BAND holds fewer.

        The want-th lowest of the harmonics' lowest bounds the want-th of all, so what lies below it is enough.
        """
        rising = sorted(self.lowest.values())
        limit = BAND * rising[0]
        bound = rising[want - 1] * (1 + 1e-9) if want <= len(rising) else limit
        while self.count(bound) > 4 * want and bound > rising[0] * (1 + 1e-6):
            closer = rising[0] + (bound - rising[0]) / 2
            if self.count(closer) < want:
                break
            bound = closer
        found = [
            (float(value), n, modes[:, i])
            for n, values, modes in self.all_below(min(bound, limit))
            for i, value in enumerate(values)
        ]
        return sorted(found, key=lambda item: item[:2])[:want]


def spectrum(pick: Pick, guess: float, top: int, *, leave_out: tuple[int, ...] = ()) -> Spectrum:
    """Solve the harmonics that reach below BAND times the lowest load, and prove the others empty.

    Parameters
    ----------
    pick : callable
        Operators of a harmonic.
    guess : float
        A load factor of the right size.
    top : int
        First range of harmonics, extended while its top is not empty.
    leave_out : tuple of int
        Harmonics that are not searched.

    Raises
    ------
    Incomplete
        When completeness cannot be shown.
    """
    best, found, modes, n, failed = math.inf, {}, {}, 0, {}
    while n <= top:
        # beside a harmonic inside the band the next one is most likely inside too
        likely = found.get(n - 1, math.inf) <= BAND * best
        if n not in leave_out and (likely or not pick(n).stable(n, BAND * best)):
            near = modes.get(n - 1) if n > 1 else None
            try:
                found[n], modes[n] = lowest_banded(*pick(n).bands(n), _below(found, n, guess), near, fine=False)
                best = min(best, found[n])
            except Incomplete as error:
                failed[n] = error
        n += 1
        if n > top and max((k for k, v in found.items() if v <= BAND * best), default=0) >= top - 2:
            top = min(_MOST_HARMONICS, math.ceil(1.3 * top))
            if n > _MOST_HARMONICS:
                raise Incomplete.of("search-too-large", "the range of harmonics does not end", "wall")
    for k, error in failed.items():
        if best == math.inf or not pick(k).stable(k, BAND * best):
            raise error
    fine: set[int] = set()
    while (k := min(found, key=found.get)) not in fine:
        found[k], modes[k] = lowest_banded(*pick(k).bands(k), found[k] * (1 - _BESIDE), modes[k])
        fine.add(k)
    best = found[k]
    within = {k: v for k, v in sorted(found.items()) if v * (1 - APART) <= BAND * best}
    return Spectrum(pick, within, {k: modes[k] for k in within}, top)


def _below(found: dict[int, float], n: int, guess: float) -> float:
    """A shift a little below the load of harmonic n, continued from the harmonics before."""
    if n - 1 not in found:
        return guess
    if n - 2 not in found:
        return min(guess, found[n - 1])
    last, change = found[n - 1], found[n - 1] - found[n - 2]
    return max(last + change - 0.2 * abs(change) - 2e-4 * last, 0.5 * last)
