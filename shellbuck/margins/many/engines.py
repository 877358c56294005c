"""Walls and classical loads of many designs, each worked out once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ...engines.closed_form import Terms, lowest_loads, provable
from ...model.walls import SmearedWall
from .. import state


@dataclass(eq=False)
class Engines(state.Engines):
    """Walls and classical loads of many designs; `failures` are (code, mask) of searches that could not be proved."""

    size: int = field(kw_only=True)
    failures: list[tuple[str, np.ndarray]] = field(default_factory=list)

    def lowest(
        self, wall: SmearedWall, length, N_theta, exists: np.ndarray, *, wanted: Any = True, theory: str = "lower"
    ) -> np.ndarray:
        """Lowest closed-form load (N,) [N/m] where it is wanted, nan elsewhere.

        Where it exists in `assess` but is not wanted, only the proof that it can be found is asked for: `assess` stops
        at a search that fails, whether or not its load decides a margin.
        """
        terms, R = self.kept(("terms", id(wall)), lambda: self._terms(wall))
        length, N_theta = self._flat(length), self._flat(N_theta)
        wanted = np.broadcast_to(wanted, (self.size,)) & exists
        blank = (np.zeros(self.size, dtype=bool), np.full((2, self.size), np.nan))
        # one wall is searched over one length; loads under pressure belong to one load case only
        done, loads = blank if np.any(N_theta) else self.kept(("lowest", id(wall)), lambda: blank)
        searched = wanted & ~done
        left = exists & ~wanted & ~done
        if left.any():
            searched |= left & ~provable(terms, R, length, N_theta)
        at = np.nonzero(searched)[0]
        if at.size:
            found = lowest_loads(Terms(*(x[at] for x in terms)), R[at], length[at], N_theta[at])
            done[at], loads[0, at], loads[1, at] = True, found.lower, found.sanders.line_load
            for code in set(found.reasons) - {""}:
                mask = np.zeros(self.size, dtype=bool)
                mask[at] = found.reasons == code
                self.failures.append((code, mask))
        return np.where(wanted, loads[0 if theory == "lower" else 1], np.nan)

    def _terms(self, wall: SmearedWall) -> tuple[Terms, np.ndarray]:
        """Terms of a wall, and the middle radius (N,) [m]."""
        shape = (self.size, 3, 3)
        terms = Terms.of(*(np.broadcast_to(M, shape) for M in (wall.A, wall.B, wall.D)))
        return terms, self._flat(self.case.barrel.middle_radius)

    def _flat(self, number: Any) -> np.ndarray:
        """A number of every design (N,)."""
        return np.ascontiguousarray(np.broadcast_to(np.asarray(number, float), (self.size,)))

    def kept(self, key: tuple, make: Callable[[], Any]) -> Any:
        """What was worked out under a key, or is now; arrays in it are known by identity."""
        return super().kept(tuple(id(k) if isinstance(k, np.ndarray) else k for k in key), make)
