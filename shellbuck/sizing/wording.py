"""What a sizing says in words."""

from __future__ import annotations

import math

import numpy as np

from .evaluate import THRESHOLDS
from .polish import Polished
from .search import Found
from .task import Task

_AT_THRESHOLD = 1e-3
_MILLIMETRE = 1e-3

_WORDS = {
    "skin": "skin thickness", "depth": "rib depth", "thickness": "rib thickness", "count": "count around",
    "stringers": "stringers around", "rings": "rings between the supports",
}  # fmt: skip


def short_of(task: Task, constraints: np.ndarray, refused: bool) -> tuple[str, ...]:
    """What a design fails, the worst first."""
    order = [k for k in np.argsort(constraints) if constraints[k] < 0][:3]
    found = [f"{task.labels[k]} {100 * math.expm1(constraints[k]):+.1f} %" for k in order]
    if refused:
        found.insert(0, "a row has no margin (refused: beyond yield, or too thin for its factor)")
    return tuple(found)


def value_text(task: Task, i: int, value: float) -> str:
    """A dimension with its value."""
    name = task.space.variables[i].name
    if task.space.variables[i].whole:
        return f"{words_of(name)} {value:.0f}"
    return f"{words_of(name)} {value / _MILLIMETRE:.4g} mm"


def words_of(name: str) -> str:
    """The words for a variable's name."""
    return _WORDS.get(name, name.replace("_", " "))


def general_words(task: Task, runs: tuple[Found, ...], winner: Found, agree: bool, complete: bool) -> list[str]:
    """How sure the optimum is."""
    words = []
    if not complete:
        return ["stopped: this is the best so far, not the optimum; it holds as drawn, and has no prices"]
    if len(runs) > 1:
        masses = [r.best.mass for r in runs if r.best is not None]
        spread = max(masses) / min(masses) - 1
        empty = len(runs) - len(masses)
        words.append(
            f"{len(runs)} seeds agree to {100 * spread:.2g} %" if agree
            else f"the seeds do NOT agree: {empty} of {len(runs)} found no design that holds; raise --samples" if empty
            else f"the seeds do NOT agree: masses differ by {100 * spread:.2g} %; raise --samples"
        )
    elif len(task.space.variables) == 1:
        words.append("one gauge: the least thickness that holds, found to the last bit without samples")
    if winner.relaxed and task.space.wholes.any():
        gap = winner.best.mass / winner.relaxed[0].mass - 1
        words.append(f"whole counts cost {100 * max(gap, 0.0):.2g} % over real-valued ones")
    return words


def threshold_words(task: Task, best: Polished) -> str:
    """Whether the optimum leans on a threshold of the knockdown rule."""
    (levels,) = task.evaluate(best.design).levels
    for s, (name, level) in enumerate(zip(("the wall", "the panel between rings"), levels, strict=True)):
        for limit in THRESHOLDS[s]:
            if level > 0 and abs(math.log(level / limit)) < _AT_THRESHOLD:
                return (
                    f"the optimum stands on a threshold: t_e of {name} is {limit:g} t, where the knockdown rule jumps; "
                    "the threshold is an own rule, and a slightly different wall gets another factor"
                )
    return ""
