"""Walls and classical loads of many designs, each worked out once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ..closed_form.batch import Terms, lowest_loads, provable
from ..model import Case
from ..walls import SmearedWall, build_wall
from ..walls.build import tensile


@dataclass(eq=False)
class Engines:
    """Counterpart of `assess.state.Engines`; `failures` are (code, mask) of searches that could not be proved."""

    case: Case
    size: int
    failures: list[tuple[str, np.ndarray]] = field(default_factory=list)
    _store: dict = field(default_factory=dict)

    def wall(self, temperature) -> SmearedWall:
        """Stability wall at a temperature."""
        return self._kept("wall", temperature, lambda: build_wall(self.case, temperature))

    def strength_wall(self, temperature) -> SmearedWall:
        """Wall at minimum skin thickness and tension modulus."""
        return self._kept("strength", temperature, lambda: build_wall(
            self.case, temperature, thickness=self.case.barrel.skin_thickness_minimum, modulus=tensile
        ))  # fmt: skip

    def panel(self, temperature) -> SmearedWall:
        """Stability wall without its rings."""
        return self._kept("panel", temperature, lambda: self.wall(temperature).without("rings"))

    def lowest(
        self, wall: SmearedWall, length, N_theta, exists: np.ndarray, *, wanted: Any = True, theory: str = "lower"
    ) -> np.ndarray:
        """Lowest closed-form load (N,) [N/m] where it is wanted, nan elsewhere.

        Where it exists in `assess` but is not wanted, only the proof that it can be found is asked for: `assess` stops
        at a search that fails, whether or not its load decides a margin.
        """
        terms, R, length, N_theta = self._flat(wall, self.case.barrel.middle_radius, length, N_theta)
        wanted = np.broadcast_to(wanted, (self.size,)) & exists
        blank = (np.zeros(self.size, dtype=bool), np.full((2, self.size), np.nan))
        # one wall is searched over one length; loads under pressure belong to one load case only
        done, loads = blank if np.any(N_theta) else self._kept(("lowest", id(wall)), None, lambda: blank)
        searched = (wanted | (exists & ~provable(terms, R, length, N_theta))) & ~done
        at = np.nonzero(searched)[0]
        if at.size:
            found = lowest_loads(Terms(*(x[at] for x in terms)), R[at], length[at], N_theta[at])
            done[at], loads[0, at], loads[1, at] = True, found.lower, found.sanders.line_load
            for code in set(found.reasons) - {""}:
                mask = np.zeros(self.size, dtype=bool)
                mask[at] = found.reasons == code
                self.failures.append((code, mask))
        return np.where(wanted, loads[0 if theory == "lower" else 1], np.nan)

    def _flat(self, wall: SmearedWall, *numbers: Any) -> tuple:
        shape = (self.size, 3, 3)
        terms = Terms.of(*(np.broadcast_to(M, shape) for M in (wall.A, wall.B, wall.D)))
        return terms, *(np.ascontiguousarray(np.broadcast_to(np.asarray(x, float), (self.size,))) for x in numbers)

    def _kept(self, what: Any, temperature: Any, make: Callable[[], Any]) -> Any:
        key = (what, id(temperature) if np.ndim(temperature) else temperature)
        if key not in self._store:
            self._store[key] = make()
        return self._store[key]
