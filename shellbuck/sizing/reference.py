"""Reference lines for a design: published mass against load, and the triangular grid of the handbook."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from ..handbook import grid
from .search import Effort, search
from .space import Space, Variable
from .task import Evaluated, Task

PERFECT_GRID = 0.612372
"""c_0 of the triangular grid at knockdown 1: 1/sqrt(3 (1 - nu^2)) at nu = 1/3."""


_EFFORT = Effort(samples=128, scaled=24, starts=6, regions=1)
"""Enough for a smooth problem of four dimensions."""


@dataclass(frozen=True)
class Line:
    """Solidity 4 t_bar/d = C (N/(E d))^n of shells of diameter d under line load N."""

    name: str
    C: float
    n: float

    def solidity(self, index: np.ndarray) -> np.ndarray:
        """4 t_bar/d at N/(E d)."""
        return self.C * np.asarray(index) ** self.n


LINES = (
    Line("isotropic, perfect", 3.63, 1 / 2),
    Line("isotropic, imperfect", 1.40, 2 / 5),
    Line("Z stringers", 4.91, 3 / 5),
    Line("rings and Z stringers", 6.48, 3 / 5),
)
"""Gerard & Lakshmikantham 1966 (second-hand)."""


def handbook_grid(N: float, E: float, R: float, knockdown: float = 1.0) -> Task:
    """The triangular grid with hoop ribs under the handbook's three modes alone (NASA CR-124075 Rev A).

    Parameters
    ----------
    N : float
        Line load [N/m].
    E, R : float
        [Pa], [m].
    knockdown : float

    Returns
    -------
    Task
        Of skin, depth, thickness and triangle height [m]; its mass is t_bar [m].
    """
    space = Space(
        (
            Variable("skin", 1e-5 * R, 0.1 * R),
            Variable("depth", 1e-5 * R, 0.2 * R),
            Variable("thickness", 1e-6 * R, 0.05 * R),
            Variable("height", 1e-3 * R, R),
        )
    )

    def constrain(designs: np.ndarray) -> Evaluated:
        t, d, b, h = designs.T
        alpha = grid.rib_ratio(b, d, t, h)
        loads = (
            grid.grid_general_line_load(PERFECT_GRID * knockdown, E, t, grid.grid_beta(alpha, d / t), R),
            grid.pocket_line_load(grid.HANDBOOK_POCKET, E, t, alpha, h),
            grid.rib_crippling_line_load(grid.HANDBOOK_CRIPPLING["hoop"], E, t, alpha, b, d),
        )
        return Evaluated(np.log(np.column_stack(loads) / N), np.zeros(t.size, bool), np.zeros((t.size, 0)))

    def thickness(designs: np.ndarray) -> np.ndarray:
        t, d, b, h = designs.T
        return grid.grid_mass_thickness(t, grid.rib_ratio(b, d, t, h))

    return Task(space, thickness, constrain, ("general instability", "skin pocket", "rib crippling"))


def handbook_line(indices: np.ndarray, knockdown: float = 1.0, seed: int = 1) -> np.ndarray:
    """Solidity 4 t_bar/d of the optimum of `handbook_grid` at each N/(E d)."""
    return np.array([_solidity(float(index), knockdown, seed) for index in indices])


@cache
def _solidity(index: float, knockdown: float, seed: int) -> float:
    task = handbook_grid(2 * index, 1.0, 1.0, knockdown)  # R = 1, d = 2
    return 2 * search(task, [seed], _EFFORT)[0].best.mass
