"""A sizing: one pattern in one metal, searched, priced, rounded to a drawing and verified."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from ..core.errors import Incomplete, Refusal
from ..core.records import Result
from ..handbook.interaction import axial_line_load, bending_line_load
from ..io.language.case_text import case_text
from ..io.language.sizing_file import as_demand
from ..model import Case, Material
from ..model.demand import Demand
from ..model.shop import Pattern
from .evaluate import make_task
from .explanations import (
    bent_words,
    general_words,
    masses_agree,
    nothing_words,
    short_of,
    slack_words,
    threshold_words,
    words_of,
)
from .patterns import fitted, pattern_named
from .polish import Polished
from .prices import Multipliers, multipliers
from .production import production
from .records import Active, Dimension, EngineLoad, RowOf, SeedRun, Sized
from .search import USUAL, Effort, Found, search
from .task import Task
from .verified import Answered, answered
from .verify import by_mesh, by_ritz

Progress = Callable[[str], None]

_ACTIVE = 1e-4
"""Slack (logarithm) below which a row is an active constraint."""

_MILLIMETRE = 1e-3


@dataclass(frozen=True)
class SearchOptions:
    """What a sizing is to do beside finding the optimum: seeds to compare, effort, engines that check the winner."""

    seed: int = 1
    seeds: int = 3
    effort: Effort = USUAL
    ritz: bool = True
    mesh: bool = False


THREE_SEEDS = SearchOptions()


def size(
    demand: Demand,
    pattern: str | Pattern,
    material: str | Material | None = None,
    *,
    options: SearchOptions = THREE_SEEDS,
    progress: Progress = lambda _: None,
) -> Sized:
    """The lightest wall of a pattern without a negative margin in any load case.

    Parameters
    ----------
    demand : Demand
    pattern : str or Pattern
        See `shellbuck.sizing.PATTERNS`.
    material : str, Material or None
        One of the demand's metals by name, or any; None takes the first.
    options : SearchOptions
    progress : callable
        Gets what is being done.

    Returns
    -------
    Sized
        Also when none is feasible, and when stopped by KeyboardInterrupt: `status` says so.

    Raises
    ------
    Refusal
        When the limits leave nothing to choose, or the names are unknown.

    Examples
    --------
    >>> import shellbuck as sb
    >>> load = sb.LoadCase("pad", sb.FACTOR_SETS["agency prototype"], axial_force=0.5e6, bending_moment=0.14e6)
    >>> demand = sb.Demand(sb.BareBarrel(1.2, 1.5, "closed"), (load,), (sb.material("2219-T87"),))
    >>> found = sb.size(demand, "plain")
    >>> found.status, round(found.mass_per_area, 3)
    ('found', 8.926)
    """
    demand = as_demand(demand)
    pattern = fitted(pattern_named(pattern) if isinstance(pattern, str) else pattern, demand)
    metal = metal_of(demand, material)
    task = make_task(demand, pattern, metal)
    repeats = options.seeds if len(task.space.variables) > 1 else 1  # one gauge has no samples
    runs = search(task, range(options.seed, options.seed + repeats), options.effort, progress)
    winners = [r for r in runs if r.best is not None]
    if not winners:
        return _nothing(task, pattern, metal, runs)
    progress("the sized case")
    answer = answered(demand, pattern, metal, task, runs, progress)
    if answer.winner is None:
        return _nothing(task, pattern, metal, runs, answer.failed)
    return _sized(demand, pattern, metal, answer, options, progress)


def metal_of(demand: Demand, material: str | Material | None) -> Material:
    """A metal of the demand by its name, or by the beginning that only one has; a Material is taken as it is, None is
    the first.

    Raises
    ------
    Refusal
    """
    if isinstance(material, Material):
        return material
    if material is None:
        return demand.materials[0]
    exact = [m for m in demand.materials if m.name == material]
    begun = exact or [m for m in demand.materials if m.name.lower().startswith(material.lower())]
    if material and len(begun) == 1:
        return begun[0]
    names = "; ".join(m.name for m in demand.materials)
    raise Refusal.of("material-unknown", "no metal of this sizing has this name", "--material", material[:60], names)


def _nothing(
    task: Task, pattern: Pattern, metal: Material, runs: tuple[Found, ...], failed: tuple[str, ...] = ()
) -> Sized:
    """The answer where none is feasible, or where the designs found fail (`failed`) once they are run."""
    stopped = not all(r.complete for r in runs)
    tried = [r for r in runs if r.nearest is not None]
    nearest = max(tried, key=lambda r: r.nearest_worst, default=None)
    attempt: tuple[str, ...] = ()
    if nearest is not None:
        found = task.evaluate(nearest.nearest[None])
        attempt = short_of(task, found.constraints[0], bool(found.refused[0]))
    words = nothing_words(task, runs, attempt, nearest)
    if failed:
        attempt = failed
        words = [f"the search found designs, but none passes the full run; the lightest fails: {'; '.join(failed)}"]
    if stopped:
        words.append("stopped before a feasible design was found")
    return Sized(
        pattern.name,
        pattern.title,
        metal.name,
        "stopped" if stopped else "none feasible",
        tuple(words),
        None,
        None,
        (),
        (),
        None,
        "",
        _seed_runs(task, runs),
        False,
        attempt,
        None,
        None,
        (),
        (),
        (),
        "",
    )


def _seed_runs(task: Task, runs: tuple[Found, ...]) -> tuple[SeedRun, ...]:
    return tuple(
        SeedRun(
            r.seed,
            None if r.best is None else r.best.mass,
            () if r.best is None else tuple(task.space.values(r.best.design).items()),
            r.evaluations,
        )
        for r in runs
    )


def _sized(
    demand: Demand, pattern: Pattern, metal: Material, answer: Answered, options: SearchOptions, progress: Progress
) -> Sized:
    task, runs, winner, made = answer.task, answer.runs, answer.winner, answer.ready
    best, ready, result = winner.best, made.case, made.result
    progress("prices")
    price = multipliers(task, winner.beneath)
    complete = all(r.complete for r in runs)
    engines: tuple[EngineLoad, ...] = ()
    words = []
    if complete:
        engines, refusals = _checked(ready, result, options, progress)
        words += refusals
    # a seed that finds nothing disagrees
    agree = masses_agree([r.best.mass if r.best is not None else math.inf for r in runs])
    threshold = threshold_words(task, best)
    words = [*general_words(task, runs, winner, agree, complete), *words]
    if threshold:
        words.append(threshold)
    words += bent_words(answer.bent)
    if not made.stepped:
        words.append("no rounded design is feasible: the sized case has the dimensions of the optimum")
    if slack := slack_words(demand.limits.margin_required, result.verdict.word):
        words.insert(0, slack)
    return Sized(
        pattern.name,
        pattern.title,
        metal.name,
        "found" if complete else "stopped",
        tuple(words),
        best.mass,
        winner.relaxed[0].mass if winner.relaxed else None,
        _dimensions(task, best, made.design, price),
        _active(task, best, price),
        _price_line_load(demand, pattern, metal, winner.beneath, price),
        threshold,
        _seed_runs(task, runs),
        agree if len(runs) > 1 else None,
        (),
        production(demand, ready, result),
        result.verdict,
        tuple(RowOf(r.load_case, r.mode, r.status, r.margin) for r in result.margins),
        tuple(c for c in result.validity if c.status != "passed"),
        engines,
        _ready_text(demand, pattern, ready),
    )


def _checked(
    ready: Case, result: Result, options: SearchOptions, progress: Progress
) -> tuple[tuple[EngineLoad, ...], list[str]]:
    """Loads by the engines of the options, and why there are none."""
    engines: tuple[EngineLoad, ...] = ()
    words = []
    checks = (
        (options.ritz or options.mesh, "Ritz", lambda: by_ritz(ready, result)),
        (options.mesh, "mesh", lambda: by_mesh(ready, result, progress)),
    )
    for asked, name, check in checks:
        if not asked:
            continue
        try:
            progress(f"check by {name}")
            engines += check()
        except (Refusal, Incomplete) as error:
            words.append(f"no check by {name}: {error.problems[0].sentence()}")
    return engines, words


def _active(task: Task, best: Polished, price: Multipliers) -> tuple[Active, ...]:
    """Rows near zero, and rows with a price, dearest first; prices are slopes with counts as real numbers."""
    slack = task.evaluate(best.design).constraints[0]
    rows = len(task.labels) - task.rules
    found = [
        Active(task.labels[k], k >= rows, float(slack[k]), best.mass * 0.01 * float(price.constraints[k]))
        for k in range(len(task.labels))
        if slack[k] < _ACTIVE or price.constraints[k] > 1e-6
    ]
    return tuple(sorted(found, key=lambda a: (-a.price, a.slack)))


def _dimensions(task: Task, best: Polished, drawing: np.ndarray, price: Multipliers) -> tuple[Dimension, ...]:
    found = []
    for i, v in enumerate(task.space.variables):
        value = float(best.design[i])
        at = "low" if value <= v.low * (1 + 1e-6) else "high" if value >= v.high * (1 - 1e-6) else ""
        cost = None
        if at and v.gauge:
            relative, end = (price.low[i], v.low) if at == "low" else (price.high[i], v.high)
            cost = float(best.mass * relative * 0.1 * _MILLIMETRE / end)
        found.append(Dimension(v.name, words_of(v.name), value, float(drawing[i]), v.low, v.high, v.whole, at, cost))
    return tuple(found)


def _price_line_load(
    demand: Demand, pattern: Pattern, metal: Material, best: Polished, price: Multipliers
) -> float | None:
    """Mass of one more N/mm of axial compression in every load case [kg/m^2], by the multipliers."""
    if not best.cuts or not price.constraints.any():
        return None
    step = 1e-3 * max(demand_line_load(demand), 1.0)
    task, loaded = (make_task(d, pattern, metal) for d in (demand, heavier(demand, step)))
    # a little heavier, so that no row is withheld on either side
    at = task.space.scaled(best.design[None], np.array([0.01]))
    lost = task.evaluate(at).constraints[0] - loaded.evaluate(at).constraints[0]
    return float(best.mass * (price.constraints @ lost) * 1000.0 / step)


def demand_line_load(demand: Demand) -> float:
    """Largest line load of axial force and bending [N/m], factors and pressure left out, at the given radius."""
    R = demand.barrel.radius
    loads = demand.load_cases
    return max(axial_line_load(abs(ld.axial_force), R) + bending_line_load(abs(ld.bending_moment), R) for ld in loads)


def heavier(demand: Demand, line_load: float) -> Demand:
    """The demand with more axial compression in every load case [N/m at the given radius]."""
    force = 2 * math.pi * demand.barrel.radius * line_load
    return replace(
        demand, load_cases=tuple(replace(ld, axial_force=ld.axial_force + force) for ld in demand.load_cases)
    )


def _ready_text(demand: Demand, pattern: Pattern, case: Case) -> str:
    lines = [f"Sized by shellbuck: {pattern.title}, {case.material.name}.", "Dimensions are rounded up to the step."]
    if not pattern.credits_pressure:
        lines.append("Every minimum pressure is set to zero: this pattern takes no credit for pressure.")
    if pattern.pressurised and demand.limits.standby_pressure:
        lines.append(f"Never below {demand.limits.standby_pressure / 1e3:g} kPa: the barrel is pressure-stabilised.")
    return case_text(case, "\n".join(lines))
