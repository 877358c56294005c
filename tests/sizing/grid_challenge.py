"""Random sizing problems, and the stupid way to solve them: a grid over everything, then finer grids around its best.

The grid knows nothing of the optimiser: it takes the least skin by a scan for every combination of the other
dimensions, over the whole range first, then in smaller boxes around its own best combinations.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

import shellbuck as sb
from shellbuck.sizing.evaluate import make_task
from shellbuck.sizing.task import Task

METALS = ("2219-T87", "2195-T8", "6061-T6", "301 full hard")
PATTERNS = (
    "plain",
    "plain-pressurised",
    "triangular-grid-inside",
    "triangular-grid-outside",
    "triangular-grid-axial-inside",
    "stringers-inside",
    "stringers-outside",
    "rings-inside",
    "rings-outside",
)


@dataclass(frozen=True)
class Problem:
    """A demand and the pattern to size."""

    number: int
    demand: sb.Demand
    pattern: str

    @property
    def words(self) -> str:
        bare, load = self.demand.barrel, self.demand.load_cases[0]
        N = load.axial_force / (2 * math.pi * bare.radius) + load.bending_moment / (math.pi * bare.radius**2)
        return (
            f"{self.number}: {self.pattern}, {self.demand.materials[0].name}, R {bare.radius:.2f} m, L/R "
            f"{bare.length / bare.radius:.2f}, {N / 1e3:.0f} N/mm, p {load.p_min / 1e3:.0f} kPa"
        )


def random_problem(number: int, seed: int = 1, patterns: tuple[str, ...] = PATTERNS) -> Problem:
    """Problem `number` of a series; the same numbers give the same problems."""
    rng = np.random.default_rng([seed, number])
    pattern = str(rng.choice(patterns))
    R = float(np.exp(rng.uniform(np.log(0.6), np.log(3.5))))
    L = R * float(rng.uniform(0.6, 3.0))
    N = float(np.exp(rng.uniform(np.log(30e3), np.log(900e3))))
    share = float(rng.uniform(0.2, 1.0))  # of axial force in the line load
    p = float(rng.choice([0.0, rng.uniform(20e3, 250e3)])) if pattern != "plain" else 0.0
    thrust = {"axial_force_includes_thrust": False} if p else {}
    load = sb.LoadCase(
        "flight",
        sb.FACTOR_SETS["agency prototype"],
        axial_force=share * N * 2 * math.pi * R,
        bending_moment=(1 - share) * N * math.pi * R**2,
        pressure_minimum=p,
        pressure_maximum=1.3 * p,
        **thrust,
    )
    metal = sb.material(str(rng.choice(METALS)))
    limits = sb.Limits(
        sheet_least=float(rng.uniform(0.4e-3, 1e-3)),
        milled_skin_least=float(rng.uniform(0.8e-3, 2e-3)),
        rib_thickness_least=float(rng.uniform(1e-3, 3e-3)),
        skin_tolerance=float(rng.choice([0.0, 1e-4])),
        slenderness_most=float(rng.uniform(6, 20)),
        skin_most=40e-3,
    )
    return Problem(number, sb.Demand(sb.BareBarrel(R, L, "closed"), (load,), (metal,), limits=limits), pattern)


def task_of(problem: Problem) -> Task:
    """The problem as the optimiser sees it."""
    from shellbuck.sizing.patterns import PATTERNS as EVERY

    return make_task(problem.demand, EVERY[problem.pattern], problem.demand.materials[0])


def least_skins(task: Task, others: np.ndarray, *, scan: int = 14, halvings: int = 8) -> np.ndarray:
    """Masses (N,) with the least skin that holds for combinations of the other dimensions (N, V - 1); inf where none.

    A scan from thin to thick finds the first skin that holds, because rules may jump; halvings sharpen it.
    """
    low, high = np.log(task.space.low[0]), np.log(task.space.high[0])
    N = len(others)
    grid = np.linspace(low, high, scan)

    def worst(skins: np.ndarray, rows: np.ndarray) -> np.ndarray:
        return task.evaluate(np.column_stack([np.exp(skins), rows])).worst

    holds = worst(np.repeat(grid, N), np.tile(others, (scan, 1))).reshape(scan, N) >= 0
    found = holds.any(axis=0)
    first = holds.argmax(axis=0)
    upper, lower = grid[first], grid[np.maximum(first - 1, 0)]
    for _ in range(halvings):
        middle = 0.5 * (upper + lower)
        i = np.flatnonzero(found & (first > 0))
        if not i.size:
            break
        good = worst(middle[i], others[i]) >= 0
        upper[i[good]], lower[i[~good]] = middle[i[good]], middle[i[~good]]
    mass = task.mass(np.column_stack([np.exp(upper), others]))
    return np.where(found, mass, np.inf)


def grid_search(task: Task, *, points: int = 7, zooms: int = 5, kept: int = 2) -> float:
    """Lightest mass that nested grids find; inf where none is feasible."""
    variables = task.space.variables[1:]
    if not variables:
        return float(least_skins(task, np.zeros((1, 0)), scan=4000, halvings=40)[0])

    def axis(i: int, low: float, high: float) -> np.ndarray:
        v = variables[i]
        values = np.geomspace(max(low, v.low), min(high, v.high), points)
        return np.unique([v.nearest(x) for x in values]) if v.whole else values

    boxes = [[(v.low, v.high) for v in variables]]
    best = math.inf
    for _ in range(zooms + 1):
        combos = np.unique(
            np.array([c for box in boxes for c in itertools.product(*(axis(i, *ends) for i, ends in enumerate(box)))]),
            axis=0,
        )
        masses = least_skins(task, combos)
        order = np.argsort(masses, kind="stable")[:kept]
        best = min(best, float(masses[order[0]]))
        if not math.isfinite(best):
            return best
        shrunk = []
        for k in order:
            box = []
            for i, v in enumerate(variables):
                reach = (boxes[0][i][1] / boxes[0][i][0]) ** (1 / (points - 1))  # one spacing of the last grid
                reach = max(reach, 1 + 1.01 * v.step / combos[k, i]) if v.whole else reach
                box.append((combos[k, i] / reach, combos[k, i] * reach))
            shrunk.append(box)
        boxes = shrunk
    return best
