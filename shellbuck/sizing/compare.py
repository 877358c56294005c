"""Patterns side by side, each at its own optimum under one policy, once more with knockdown 1 and without pressure."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from ..core.errors import Incomplete, Refusal
from ..core.workers import LocalWorkers, answers, whole_from_one
from ..io.language.sizing_file import as_demand
from ..model import Material
from ..model.demand import Demand
from ..model.shop import Pattern
from .answer import answer
from .evaluate import make_task, with_factor_one, without_credit
from .explanations import short_metals
from .front import SearchOptions, metal_of, size
from .patterns import COMPARED, pattern_named
from .records import Comparison, Entry, NotSized, Sized
from .search import Effort, search

Progress = Callable[[str], None]

LIGHT = Effort(samples=256, scaled=32, starts=8, regions=2, rounded=1)
"""Effort of the searches beside the main one; they also start from its optimum."""


TWO_SEEDS = SearchOptions(seeds=2)
"""Default options of every sizing of a comparison."""


@dataclass(frozen=True)
class Job:
    """One pattern in one metal."""

    demand: Demand
    pattern: str
    material: Material
    options: SearchOptions


def compare(
    demand: Demand,
    patterns: Sequence[str] = COMPARED,
    materials: Sequence[str] | None = None,
    *,
    options: SearchOptions = TWO_SEEDS,
    workers: int | None = 1,
    progress: Progress = lambda _: None,
) -> Comparison:
    """Every pattern in every metal at its own optimum.

    Parameters
    ----------
    demand : Demand
    patterns : sequence of str
    materials : sequence of str or None
        Names of metals of the demand; None takes all.
    options : SearchOptions
        Of every single sizing.
    workers : int or None
        Processes, None for one per core; the numbers do not depend on it.
    progress : callable

    Returns
    -------
    Comparison
        Also when stopped by KeyboardInterrupt or when workers are lost for good: then with what was finished, and
        `complete` False.

    Raises
    ------
    Refusal
        For an unknown pattern or metal. A pattern that the limits forbid is named in the comparison instead.
    """
    if workers is not None:
        whole_from_one("workers", workers)
    demand = as_demand(demand)
    chosen = [pattern_named(name) for name in dict.fromkeys(patterns)]
    metals = [metal_of(demand, name) for name in (materials or [m.name for m in demand.materials])]
    jobs = [Job(demand, p.name, metal, options) for p in chosen for metal in metals]
    by_job: dict[int, Entry | NotSized] = {}
    trouble = ""
    try:
        for i, entry in _worked(jobs, workers, progress):
            by_job[i] = entry
            progress(f"{len(by_job)} of {len(jobs)}: {entry.pattern}, {entry.material}: {_outcome(entry)}")
    except KeyboardInterrupt:
        pass
    except Incomplete as error:
        trouble = error.problems[0].sentence()
    done = [by_job[i] for i in sorted(by_job)]  # whoever was ready first
    entries = tuple(e for e in done if isinstance(e, Entry))
    missing = tuple(e for e in done if isinstance(e, NotSized))
    complete = len(done) == len(jobs) and all(e.sized.status != "stopped" for e in entries)
    ranked = tuple(sorted(entries, key=lambda e: (e.sized.mass_per_area is None, e.sized.mass_per_area or 0.0)))
    return Comparison(ranked, missing, answer(demand, ranked), complete, len(jobs), trouble)


def _outcome(entry: Entry | NotSized) -> str:
    if isinstance(entry, NotSized):
        return entry.reason
    mass = entry.sized.mass_per_area
    return entry.sized.status if mass is None else f"{mass:.4g} kg/m2"


def _worked(jobs: list[Job], workers: int | None, progress: Progress) -> Iterator[tuple[int, Entry | NotSized]]:
    """Position and outcome of every job, as they come."""
    if workers == 1 or len(jobs) == 1:
        yield from ((i, work(job, progress)) for i, job in enumerate(jobs))
        return
    with LocalWorkers(workers) as local:  # ends its processes when it is left
        yield from answers(work, jobs, local)


def work(job: Job, progress: Progress = lambda _: None) -> Entry | NotSized:
    """One pattern in one metal: the optimum, that with knockdown 1, and that without credit for pressure."""
    try:
        pattern = pattern_named(job.pattern)
        metal = short_metals(job.demand.materials)[job.material.name]
        sized = size(job.demand, pattern, job.material, options=job.options, progress=progress)
        if sized.status == "stopped":
            return Entry(pattern.name, job.material.name, sized, None, None, pattern.made, metal)
        perfect = _beside(replace(job.demand, policy=with_factor_one(job.demand.policy)), pattern, job, sized)
        bare = None
        if pattern.credits_pressure and any(load.p_min > 0 for load in job.demand.load_cases):
            bare = _beside(job.demand, without_credit(pattern), job, sized)
        return Entry(pattern.name, job.material.name, sized, perfect, bare, pattern.made, metal)
    except (Refusal, Incomplete) as error:
        return NotSized(job.pattern, job.material.name, error.problems[0].sentence())


def _beside(demand: Demand, pattern: Pattern, job: Job, sized: Sized) -> float | None:
    """Mass of a sizing beside the main one [kg/m^2]; None where none is feasible."""
    task = make_task(demand, pattern, job.material)
    start = {d.name: d.value for d in sized.dimensions}
    warm = [[start[name] for name in task.space.names]] if start else []
    found = search(task, [job.options.seed], LIGHT, warm=warm)[0]
    if not found.complete:
        raise KeyboardInterrupt
    return None if found.best is None else found.best.mass
