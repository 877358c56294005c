"""A wall known by its stiffness."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal

import numpy as np

from ...core.errors import Problem
from ..checked import Matrix, Quantity
from ..material import Material
from .doors import check_definite
from .stiffness import SmearedWall
from .wall import Metal, Wall


@dataclass(frozen=True)
class GivenStiffness(Wall):
    """A wall known only by its smeared 6x6 stiffness about the skin middle and its mass.

    ``N = A e + B k``, ``M = B e + D k``; order x, theta, x-theta; engineering shear and twist; outward positive.

    Parameters
    ----------
    A, B, D : tuple of tuple of float
        Membrane [N/m], coupling [N] and bending stiffness [N m], three rows of three.
    mass_per_area : float
        [kg/m^2].
    """

    has_dimensions: ClassVar[bool] = False

    A: Annotated[tuple[tuple[float, ...], ...], Matrix("membrane stiffness")]
    B: Annotated[tuple[tuple[float, ...], ...], Matrix("coupling stiffness")]
    D: Annotated[tuple[tuple[float, ...], ...], Matrix("bending stiffness")]
    mass_per_area: Annotated[float, Quantity("area density", 1e-3, 1e5)]
    kind: Literal["given stiffness"] = "given stiffness"

    def cross_problems(self) -> Iterator[Problem]:
        for key in "ABD":
            rows = getattr(self, key)
            try:
                good = len(rows) == 3 and all(len(r) == 3 and all(math.isfinite(x) for x in r) for r in rows)
            except TypeError:
                good = False
            if not good:
                yield Problem("stiffness-shape", "three rows of three finite numbers are needed", key)
                return
            scale = max(abs(x) for r in rows for x in r)
            if any(abs(rows[i][j] - rows[j][i]) > 1e-9 * scale for i in range(3) for j in range(i)):
                yield Problem("stiffness-symmetry", "the block is not symmetric", key)

    @property
    def open_modes(self) -> tuple[str, ...]:
        return "local modes", "strength"

    def smeared(self, R: Any, L: Any, t: Any, metal: Metal) -> SmearedWall:
        wall = SmearedWall(np.array(self.A), np.array(self.B), np.array(self.D))
        check_definite(wall, "check signs and units of A, B and D: some strain state would store no energy")
        return wall

    def mass_per_area_of(self, R: Any, L: Any, t: Any, density: Callable[[Material | None], Any]) -> Any:
        return self.mass_per_area
