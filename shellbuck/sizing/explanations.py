"""The sentences of a sizing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from ..model import Material
from .evaluate import THRESHOLDS
from .polish import Polished
from .search import Found
from .task import Task

AGREE = 1e-3
"""Searches whose masses differ by less than this, relative, agree."""

_AT_THRESHOLD = 1e-3
_MILLIMETRE = 1e-3

_WORDS = {
    "skin": "skin thickness",
    "depth": "rib depth",
    "thickness": "rib thickness",
    "count": "count around",
    "stringers": "stringers around",
    "rings": "rings between the supports",
}


def short_metals(materials: Sequence[Material]) -> dict[str, str]:
    """A word for every material, by its name: the family where every one has another, else the name.

    Examples
    --------
    >>> from types import SimpleNamespace as metal
    >>> short_metals([metal(name="plate A", family="aluminium"), metal(name="sheet B", family="steel")])
    {'plate A': 'aluminium', 'sheet B': 'steel'}
    """
    families = [m.family for m in materials]
    if None not in families and len(set(families)) == len(families):
        return {m.name: m.family for m in materials}
    return {m.name: m.name for m in materials}


def short_of(task: Task, constraints: np.ndarray, refused: bool) -> tuple[str, ...]:
    """What a design fails, the worst first."""
    order = [k for k in np.argsort(constraints) if constraints[k] < 0][:3]
    found = [f"{task.labels[k]} {100 * math.expm1(constraints[k]):+.1f} %" for k in order]
    if refused:
        found.insert(0, "a row has no margin (refused: too thin for its factor, or rings too slender)")
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
        return [
            "stopped: this is the best so far, not the optimum; its rounded dimensions have no negative margin, and no "
            "sensitivities were computed"
        ]
    if len(runs) > 1:
        words.append(seed_words(runs, agree))
    elif len(task.space.variables) == 1:
        words.append("one gauge: the least feasible thickness, found to the last bit without samples")
    if winner.relaxed and task.space.wholes.any():
        gap = winner.best.mass / winner.relaxed[0].mass - 1
        words.append(f"whole counts cost {100 * max(gap, 0.0):.2g} % over real-valued ones")
    return words


def slack_words(required: float, verdict: str) -> str:
    """What it means that margins may be negative; empty where they may not, or where none is."""
    if required >= 0 or verdict == "holds":
        return ""
    return (
        f"margins down to {required:+.2f} are allowed: the sized case has NEGATIVE margins; the skin "
        "between ribs must still have none, because general loads on unbuckled stiffness are withheld once it buckles"
    )


def bent_words(bent: Mapping[str, float]) -> list[str]:
    """What edge bending took from the search, by load case; nothing where it left everything."""
    taken = {name: share for name, share in bent.items() if share < 1}
    if not taken:
        return []
    shares = "; ".join(f"{name} {share:.2f}" for name, share in taken.items())
    return [
        "edge bending: the nonlinear prebuckled load limits this wall, so the search used a share of the "
        f"general capacity ({shares}); the wall has no negative margin, and a lighter one with less bending is not "
        "excluded; give load_height and edges in [barrel] if the load does not enter at the skin middle, between SS3 "
        "supports"
    ]


def seed_words(runs: tuple[Found, ...], agree: bool) -> str:
    """Whether the seeds that were run agree; at least one found a design."""
    masses = [r.best.mass for r in runs if r.best is not None]
    apart = f"{100 * (max(masses) / min(masses) - 1):.2g} %"
    if agree:
        return f"{len(runs)} seeds agree to {apart}"
    trouble = []
    if len(masses) < len(runs):
        trouble.append(f"{len(runs) - len(masses)} of {len(runs)} found no feasible design")
    if not masses_agree(masses):
        trouble.append(f"masses differ by {apart}")
    return f"the seeds do NOT agree: {', '.join(trouble)}; raise --samples"


def masses_agree(masses: Sequence[float]) -> bool:
    """Whether searches that ended at these masses agree."""
    return max(masses) <= min(masses) * (1 + AGREE)


def nothing_words(task: Task, runs: tuple[Found, ...], attempt: tuple[str, ...], nearest: Found | None) -> list[str]:
    """Why no seed found a design: what the nearest fails, or that only whole counts are missing."""
    words = []
    if nearest is not None:
        values = ", ".join(value_text(task, i, x) for i, x in enumerate(nearest.nearest))
        words.append(
            f"no design inside the limits is feasible; the nearest found ({values}) fails: {'; '.join(attempt)}"
        )
        pairs = zip(task.space.variables, nearest.nearest, strict=True)
        at_top = [v.name for v, x in pairs if x >= v.high * (1 - 1e-9)]
        if at_top:
            words.append(f"at its upper limit: {', '.join(words_of(n) for n in at_top)}; widen it")
    if any(r.sketch is not None for r in runs):
        words.append(
            "designs with counts as real numbers are feasible, but none with whole counts near them was found; raise "
            "--samples, or widen the limits on spacings"
        )
    if len(runs) > 1 and all(r.complete for r in runs):
        words.append(f"none of {len(runs)} seeds found a feasible design")
    return words


def threshold_words(task: Task, best: Polished) -> str:
    """Whether the optimum lies on a threshold of the knockdown rule."""
    (levels,) = task.evaluate(best.design).levels
    for s, (name, level) in enumerate(zip(("the wall", "the panel between rings"), levels, strict=True)):
        for limit in THRESHOLDS[s]:
            if level > 0 and abs(math.log(level / limit)) < _AT_THRESHOLD:
                return (
                    f"the optimum lies on a threshold: t_e of {name} is {limit:g} t, where the knockdown rule jumps; "
                    "the threshold is an own rule, and a slightly different wall has another factor"
                )
    return ""
