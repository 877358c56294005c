"""Winners of a search in a full run, which includes what arrays leave out: the bending near the edges.

The next winner counts where one fails. Where all fail by edge bending, the search is given the share of the general
capacity that it leaves of the wall that failed, and starts again from there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from ..core.records import LoadCaseResult, Result
from ..margins import assess
from ..margins.keys import GENERAL
from ..model import Case, Material
from ..model.demand import Demand
from ..model.shop import Pattern
from .evaluate import case_of, make_task
from .rounding import rounded
from .search import Effort, Found, search
from .task import Task
from .verify import shortfalls

Progress = Callable[[str], None]

AGAIN = Effort(samples=256, scaled=32, starts=8, regions=2, rounded=1)
"""Effort of the searches after the first; they also start from the wall that failed."""

_ROUNDS = 6
_BELOW = 0.995
"""A share is asked for this much lower than the last wall had, because the next wall is another one."""
_APART = 1.02
"""Up to this ratio of the share that a wall has and the one that was asked for it is not looked for again."""


@dataclass(frozen=True)
class Ready:
    """The case of a rounded design, its values, and its full run; `stepped` is False where
    no rounded design is feasible and the optimum itself is used."""

    case: Case
    design: np.ndarray
    result: Result
    stepped: bool


@dataclass(frozen=True)
class Answered:
    """What stands the full chain, if anything: the task and runs that led to it, the winner among them, its case.

    `failed` names what the lightest that was run first falls short of; `bent` the share of the general capacity by load
    case that the search was told to leave to edge bending.
    """

    task: Task
    runs: tuple[Found, ...]
    winner: Found | None
    ready: Ready | None
    failed: tuple[str, ...]
    bent: Mapping[str, float]

    @property
    def mass(self) -> float:
        """Mass of the winner [kg/m^2], infinite without one."""
        return np.inf if self.winner is None else self.winner.best.mass


def answered(
    demand: Demand, pattern: Pattern, metal: Material, task: Task, runs: tuple[Found, ...], progress: Progress
) -> Answered:
    """The lightest winner without a negative margin in the full run.

    Parameters
    ----------
    demand : Demand
    pattern : Pattern
    metal : Material
    task : Task
    runs : tuple of Found
        Searches of the task; some found a winner.
    progress : callable
    """
    found, nearest = _held(demand, pattern, metal, task, runs, {})
    best, asked = found, {}
    for k in range(_ROUNDS):
        if nearest is None or not all(r.complete for r in found.runs):
            break
        shares = edge_shares(nearest)
        if found.winner is None and not any(share < 1 for share in shares.values()):
            break  # it fails by something else
        if found.winner is not None and all(shares.get(n, 1.0) <= _APART * s for n, s in asked.items()):
            break
        asked = {name: _next(asked.get(name, 1.0), share, found.winner is not None) for name, share in shares.items()}
        progress(f"edge bending takes load away: search {k + 2}")
        task = make_task(demand, pattern, metal, asked)
        runs = search(task, [found.runs[0].seed], AGAIN, progress, warm=[nearest.design])
        found, nearest = _held(demand, pattern, metal, task, runs, asked)
        best = min((best, found), key=lambda a: a.mass)
    return best


def _next(asked: float, has: float, holds: bool) -> float:
    """The share to ask for after a wall that has another: between them once a wall holds, below while none does."""
    return min(1.0, (asked * has) ** 0.5 if holds else _BELOW * min(asked, has))


def _held(
    demand: Demand, pattern: Pattern, metal: Material, task: Task, runs: tuple[Found, ...], bent: Mapping[str, float]
) -> tuple[Answered, Ready | None]:
    """The lightest feasible winner, and the case to learn from: that, or the lightest that failed."""
    first: Ready | None = None
    failed: tuple[str, ...] = ()
    for winner in sorted((r for r in runs if r.best is not None), key=lambda r: r.best.mass):
        drawing = rounded(task, winner.best.design, demand.limits.drawing_step)
        design = winner.best.design if drawing is None else drawing
        case = case_of(demand, pattern, metal, task.space.values(design))
        ready = Ready(case, design, assess(case, full=None), drawing is not None)
        short = shortfalls(ready.result, demand.limits.margin_required)
        if not short:
            return Answered(task, runs, winner, ready, failed, bent), ready
        first, failed = first or ready, failed or short
    return Answered(task, runs, None, None, failed, bent), first


def edge_shares(ready: Ready) -> dict[str, float]:
    """Load case to the share of its general capacity that edge bending leaves, where both margins are there."""
    if ready.result.verdict.edge_bending != "checked":
        return {}
    bare = assess(ready.case, edge_bending=False, full=None)
    found = {}
    for with_it, without in zip(ready.result.load_cases, bare.load_cases, strict=True):
        margins = [_general(one) for one in (with_it, without)]
        if None not in margins:
            found[with_it.name] = min(1.0, (1 + margins[0]) / (1 + margins[1]))
    return found


def _general(load: LoadCaseResult) -> float | None:
    return next((row.margin for row in load.margins if row.key == GENERAL), None)
