"""The whole search: seeded samples everywhere, polish from several of them, then whole counts.

No start value comes from the user. Counts are real numbers first; the relaxed mass of a region bounds its whole-number
masses from below, so regions that cannot win are left out.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.stats import qmc

from .linear import lightest_in_model
from .polish import Polished, polish, take_cut
from .scaling import Asking, alone, gather, least_scale
from .space import Space
from .task import Task

Progress = Callable[[str], None]

_SLOPE = 2.2
"""A constraint's usual slope over the logarithm of the scale: loads go with thickness to about its square."""

_FIRST_STEPS = 8
_APART = 0.05
"""Designs nearer than this, in shares of the ranges' logarithms, are one region."""
_FAR = 0.3
"""Designs farther apart than this, in the same shares, may lie in different valleys."""
_INSETS = (1e-9, 1e-4, 3e-3)
"""How far inside the borders of its rules a model puts whole counts (logarithm), good to the square of the step."""


@dataclass(frozen=True)
class Effort:
    """How hard to search: samples (a power of two), how many of them are scaled, starts that take a few steps, regions
    that are polished, region bests that get whole counts."""

    samples: int = 512
    scaled: int = 64
    starts: int = 18
    regions: int = 5
    rounded: int = 3


USUAL = Effort()


@dataclass
class Found:
    """Outcome of one search; it grows while the search runs, so that a stop leaves the best so far.

    `best` is None where none is feasible; `nearest` is then the design that comes nearest, and `nearest_worst` its
    smallest constraint. `relaxed` are the regions' bests with counts as real numbers, the lightest first;
    `sketch` is the lightest such design so far.
    """

    seed: int
    best: Polished | None = None
    nearest: np.ndarray | None = None
    nearest_worst: float = -np.inf
    relaxed: list[Polished] = field(default_factory=list)
    sketch: np.ndarray | None = None
    evaluations: int = 0
    complete: bool = False
    tried: dict[tuple, Polished | None] = field(default_factory=dict)

    def offer(self, polished: Polished) -> None:
        """Keep a design if it is the lightest yet."""
        if self.best is None or polished.mass < self.best.mass:
            self.best = polished

    @property
    def beneath(self) -> Polished:
        """The design with real-valued counts that lies nearest to the best: its slopes are not broken by steps."""
        logs = np.log(self.best.design)
        return min(self.relaxed, key=lambda p: float(np.abs(np.log(p.design) - logs).max()), default=self.best)


def search(
    task: Task,
    seeds: Sequence[int],
    effort: Effort = USUAL,
    progress: Progress = lambda _: None,
    *,
    warm: Sequence[Sequence[float]] = (),
) -> tuple[Found, ...]:
    """The lightest design of a task, one search for every seed.

    Parameters
    ----------
    task : Task
    seeds : sequence of int
        Of the samples; the same seeds give the same bits.
    effort : Effort
    progress : callable
        Gets what is done.
    warm : sequence of sequence of float
        Designs to start from beside the samples; none are needed.

    Returns
    -------
    tuple of Found
        One a seed; also when stopped by KeyboardInterrupt: then `complete` is False.
    """
    found = tuple(Found(seed) for seed in seeds)
    with contextlib.suppress(KeyboardInterrupt):
        alone(task, gather([_counted(_search(task, f, effort, progress, np.array(warm)), f) for f in found]))
    for f in found:
        if f.best is None and f.sketch is not None:  # stopped early: a sketch is worth its whole counts
            rows = np.array(list(task.space.rounded(f.sketch)))
            scaled, _, holds = alone(task, least_scale(task.space, rows, rounds=2))
            masses = np.where(holds, task.mass(scaled), np.inf)
            if holds.any():
                k = int(np.argmin(masses))
                side = task.side(task.evaluate(scaled[k]).levels[0])
                f.offer(Polished(scaled[k], float(masses[k]), side, (), np.ones(scaled.shape[1], dtype=bool)))
    return found


def _counted(asking: Asking, found: Found) -> Asking:
    """The same search, its designs counted."""
    answer = None
    while True:
        try:
            designs = asking.send(answer)
        except StopIteration:
            found.complete = True
            return
        found.evaluations += len(designs)
        answer = yield designs


def _search(task: Task, found: Found, effort: Effort, progress: Progress, warm: np.ndarray) -> Asking:
    space = task.space
    if len(space.variables) == 1:
        yield from _one_gauge(task, found)
        return
    starts = yield from _samples(task, effort, found, warm)
    if not len(starts):
        return
    progress(f"seed {found.seed}: {len(starts)} starts")
    begun = yield from gather([polish(task, start, radius=0.4, rounds=_FIRST_STEPS, crossings=0) for start in starts])
    found.sketch = min(begun, key=lambda p: p.mass).design
    regions = _apart(space, begun, effort.regions)
    progress(f"seed {found.seed}: {len(regions)} regions")
    relaxed = yield from gather([polish(task, p.design, radius=0.1) for p in regions])
    found.relaxed = relaxed = _apart(space, relaxed, effort.regions)  # some ran into one another
    if not space.wholes.any():
        found.offer(relaxed[0])
        return
    progress(f"seed {found.seed}: whole counts near {_counts_text(task, relaxed[0].design)}")
    yield from _whole_counts(task, relaxed[: effort.rounded], found)


def _one_gauge(task: Task, found: Found) -> Asking:
    """One gauge alone: the least feasible one, to the last bit."""
    design, worst, holds = yield from least_scale(task.space, task.space.low[None], coarse=400, rounds=60)
    if not holds[0]:
        found.nearest, found.nearest_worst = design[0], float(worst[0])
        return
    free = np.ones(1, dtype=bool)
    side = task.side((yield design).levels[0])
    cut = yield from take_cut(task, design[0], free)
    found.offer(Polished(design[0], float(task.mass(design)[0]), side, () if cut is None else (cut,), free))
    found.relaxed = [found.best]


def _samples(task: Task, effort: Effort, found: Found, warm: np.ndarray) -> Asking:
    """Feasible scaled samples, the lightest first."""
    space = task.space
    unit = qmc.Sobol(len(space.variables), seed=found.seed).random(effort.samples)
    low, high = np.log(space.low), np.log(space.high)
    designs = np.exp(low + unit * (high - low))
    answer = yield designs
    likely = space.scaled(designs, np.clip(-answer.worst / _SLOPE, -2.5, 2.5))
    # a third of the picks are the likeliest, a third the likeliest of every side of the thresholds, a third are spread
    third = max(1, min(effort.scaled, len(designs)) // 3)
    order = np.argsort(task.mass(likely), kind="stable")
    picks = np.unique(
        np.concatenate(
            [
                order[:third],
                _shared_out(task, likely, task.side(answer.levels), third),
                order[:: max(1, order.size // third)],
            ]
        )
    )
    picked = np.vstack([designs[picks], warm.reshape(-1, low.size)])
    scaled, worst, holds = yield from least_scale(space, picked)
    if not holds.any():
        at = int(np.argmax(worst))
        found.nearest, found.nearest_worst = scaled[at], float(worst[at])
        return scaled[:0]
    scaled = scaled[holds]
    found.sketch = scaled[int(np.argmin(task.mass(scaled)))]
    sides = task.side((yield scaled).levels)
    return scaled[_shared_out(task, scaled, sides, effort.starts)]


def _shared_out(task: Task, designs: np.ndarray, sides: np.ndarray, most: int) -> np.ndarray:
    """Indices of the lightest, about `most` of them, as many on every side of the thresholds as on any other.

    On a side those come first that are far apart: many thin ribs and few heavy ones are different minima.
    """
    places = np.log(designs) / _widths(task.space)
    _, group = np.unique(sides, axis=0, return_inverse=True)
    group = group.reshape(-1)
    order = np.argsort(task.mass(designs), kind="stable")
    groups = [order[group[order] == g] for g in range(int(group.max(initial=0)) + 1)]
    each = max(2, -(-most // len(groups)))
    picks: list[int] = []
    for own in groups:
        far: list[int] = []
        for i in own:
            if len(far) < each and all(np.abs(places[i] - places[j]).max() > _FAR for j in far):
                far.append(i)
        picks += [*far, *(i for i in own if i not in far)][:each]
    return np.array(picks, dtype=int)


def _widths(space: Space) -> np.ndarray:
    """(V,) widths of the ranges in logarithms."""
    return np.maximum(np.log(space.high / space.low), 1e-12)


def _apart(space: Space, found: list[Polished], most: int) -> list[Polished]:
    """The lightest that lie apart from one another, `most` of them and the lightest of every side of the thresholds."""
    widths = _widths(space)
    kept: list[Polished] = []
    seen: set[tuple[int, ...]] = set()
    for p in sorted(found, key=lambda p: p.mass):
        side = tuple(p.side)
        apart = all(np.abs(np.log(p.design / k.design) / widths).max() > _APART for k in kept)
        if (apart and len(kept) < most) or side not in seen:
            kept.append(p)
        seen.add(side)
    return kept


def _whole_counts(task: Task, relaxed: list[Polished], found: Found) -> Asking:
    """Whole counts around relaxed designs, then downhill over their neighbours."""
    space = task.space
    here: Polished | None = None
    # the same counts are tried from every region: a region is a side of a threshold, or another kind of wall
    wanted = {(i, *d[space.wholes]): d for i, r in enumerate(relaxed) for d in space.rounded(r.design)}
    while wanted:
        new = {key: design for key, design in wanted.items() if key not in found.tried}
        results = yield from gather([_held(task, design, relaxed[key[0]]) for key, design in new.items()])
        found.tried.update(zip(new, results, strict=True))
        known = [(found.tried[key], key[0]) for key in wanted if found.tried[key] is not None]
        best, region = min(known, key=lambda k: k[0].mass, default=(None, 0))
        if best is None or (here is not None and best.mass >= here.mass):
            return
        here = best
        found.offer(here)
        wanted = {(region, *d[space.wholes]): d for d in space.neighbours(here.design)}


def _held(task: Task, design: np.ndarray, region: Polished) -> Asking:
    """The lightest design with the counts of this one; None where none is found.

    Starts are the design itself and where the model of the region puts these counts: no scale of the design may hold
    where walls must be stiff enough and not too stiff, or only across the threshold that the region rests on.
    """
    wholes, starts = task.space.wholes, [design]
    own = [cut for cut in region.cuts if (task.side(cut.levels) == region.side).all()]
    if own:
        aims = [lightest_in_model(task, np.log(design), own, ~wholes, 0.2, inset) for inset in _INSETS]
        starts += [np.where(wholes, design, np.exp(aim)) for aim in aims if aim is not None]
    starts = np.array(starts)
    scaled, _, holds = yield from least_scale(task.space, starts, near=0.7, tolerance=1e-4)
    if not holds.any():
        scaled, _, holds = yield from least_scale(task.space, starts, tolerance=1e-4)
    if not holds.any():
        return None
    scaled = scaled[holds]
    same = (task.side((yield scaled).levels) == region.side).all(axis=1)
    scaled = scaled[same] if same.any() else scaled
    return (yield from polish(task, scaled[int(np.argmin(task.mass(scaled)))], fixed=wholes, radius=0.08))


def _counts_text(task: Task, design: np.ndarray) -> str:
    return ", ".join(f"{v.name} {x:.1f}" for v, x in zip(task.space.variables, design, strict=True) if v.whole)
