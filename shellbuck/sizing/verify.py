"""The winner by other engines: closed form, Ritz and optionally the shell mesh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..compare import problem_of, refuse_yield
from ..core.records import UNKNOWN, Result, shown_margin
from ..engines.registry import engine
from ..margins.meshed import governing_load_case
from ..model import Case, LoadCase
from ..model.walls import build_wall
from .records import EngineLoad

_HAIR = 1e-9
"""Margin that a design may fall short by rounding: arrays and single designs agree to some 1e-10."""


def shortfalls(result: Result, required: float) -> tuple[str, ...]:
    """What keeps a sized case from being an answer: rows that are unknown, or below the required margin.

    Parameters
    ----------
    result : Result
        Of the sized case by the full chain.
    required : float
        Margin that every row must reach.
    """
    found = [f"{row.mode}, {row.load_case}: {row.status}" for row in result.margins if row.status in UNKNOWN]
    for row in result.margins:
        least = required if required == 0 else required - _HAIR  # a margin below 0 is no matter of rounding: it fails
        if row.margin is not None and not row.margin >= least:
            found.append(f"{row.mode}, {row.load_case}: margin {shown_margin(row.margin)}")
    return tuple(found)


def by_ritz(case: Case, result: Result) -> tuple[EngineLoad, ...]:
    """Net loads of the governing load case, simply supported (SS3): closed form, Ritz with and without edge bending.

    Parameters
    ----------
    case : Case
    result : Result
        Of `case`.

    Raises
    ------
    Refusal
        When the pressure alone is beyond yield.
    Incomplete
    """
    load = _governing(case, result)
    wall = build_wall(case, load.temperature)
    refuse_yield(case, wall, load)
    # the problem of the closed form: without the springs and single rings that the case may have
    problem = problem_of(case, wall, load.temperature, pressure=load.p_min).classical
    found = {
        name: engine(name).ready(of)()
        for name, of in (
            ("closed form", problem),
            ("Ritz", problem),
            ("Ritz with edge bending", replace(problem, prestress="edge bending")),
        )
    }
    lost = "" if found["Ritz with edge bending"].status == "bifurcation" else ": no buckling up to"
    names = {
        "closed form": "closed form, Sanders",
        "Ritz": "Rayleigh-Ritz, SS3, membrane",
        "Ritz with edge bending": f"Rayleigh-Ritz, SS3, with bending near the edges{lost}",
    }
    loads = [(names[name], one.load.line_load) for name, one in found.items()]
    return _entries(load, loads, found["closed form"].load.line_load)


def by_mesh(case: Case, result: Result, progress: Callable[[str], None] = lambda _: None) -> tuple[EngineLoad, ...]:
    """Net loads of the governing load case by the engines of an agreement, meshes among them (minutes).

    Raises
    ------
    Refusal
        When the mesh would be too large, or the pressure alone is beyond yield.
    Incomplete
    """
    from ..compare.engines import agreement

    load = _governing(case, result)
    agreed, _ = agreement(case, load, progress=progress)
    base = agreed.loads["closed form as drawn"]
    found = [(f"mesh check: {ld.name}", ld.line_load) for ld in agreed.loads.values() if ld is not base]
    return _entries(load, found, base.line_load)


def _governing(case: Case, result: Result) -> LoadCase:
    name = governing_load_case(result)
    return next(load for load in case.load_cases if load.name == name)


def _entries(load: LoadCase, found: list[tuple[str, float]], base: float) -> tuple[EngineLoad, ...]:
    return tuple(EngineLoad(engine, load.name, load.p_min, N, N / base) for engine, N in found)
