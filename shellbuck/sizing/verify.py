"""The winner before other engines: closed form, Ritz and, when asked for, the shell mesh."""

from __future__ import annotations

from collections.abc import Callable

from ..compare import refuse_yield
from ..core.records import UNKNOWN, Result, shown_margin
from ..engines import closed_form, ritz
from ..margins.meshed import governing_load_case
from ..model import Case, LoadCase
from ..model.walls import build_wall, load_height
from .records import EngineLoad

_HAIR = 1e-9
"""Margin that a design may fall short by rounding: arrays and single designs agree to some 1e-10."""


def shortfalls(result: Result, required: float) -> tuple[str, ...]:
    """What keeps a ready case from being an answer: rows that are unknown, or below the required margin.

    Parameters
    ----------
    result : Result
        Of the ready case by the full chain.
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
    barrel = case.barrel
    closed = closed_form.lowest(
        wall, barrel.middle_radius, barrel.length, N_theta=load.p_min * barrel.middle_radius, theory="Sanders"
    )
    # what the closed form stands for: without the springs and single rings that the case may have
    model = ritz.RitzBarrel(wall, barrel.middle_radius, barrel.length, ritz.Edges("SS3", "SS3"))
    found = [
        ("closed form, Sanders", closed.line_load),
        ("Rayleigh-Ritz, SS3, membrane", ritz.membrane(model, pressure=load.p_min).line_load),
    ]
    bent = ritz.nonlinear(model, pressure=load.p_min, z_load=load_height(barrel, wall))
    lost = "" if bent.path.status == "bifurcation" else ": nothing lost up to"
    found.append((f"Rayleigh-Ritz, SS3, with bending near the edges{lost}", bent.line_load))
    return _entries(load, found, closed.line_load)


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
    found = [(f"mesh check: {ld.name}", ld.line_load) for ld in agreed.loads if ld.role != "closed form as drawn"]
    return _entries(load, found, agreed.load("closed form as drawn").line_load)


def _governing(case: Case, result: Result) -> LoadCase:
    name = governing_load_case(result)
    return next(load for load in case.load_cases if load.name == name)


def _entries(load: LoadCase, found: list[tuple[str, float]], base: float) -> tuple[EngineLoad, ...]:
    return tuple(EngineLoad(engine, load.name, load.p_min, N, N / base) for engine, N in found)
