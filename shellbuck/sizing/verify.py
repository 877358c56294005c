"""The winner before other engines: closed form, Ritz and, when asked for, the shell mesh."""

from __future__ import annotations

from collections.abc import Callable

from .. import closed_form, ritz
from ..agree import refuse_yield, ritz_barrel
from ..model import Case
from ..records import Result
from ..walls import build_wall
from .records import EngineLoad


def governing_load(case: Case, result: Result) -> str:
    """Name of the load case with the smallest margin of stability, else the first."""
    rows = [r for r in result.margins if r.kind == "stability" and r.margin is not None]
    return rows[0].load_case if rows else case.load_cases[0].name


def by_engines(case: Case, result: Result, *, mesh: bool = False, progress: Callable[[str], None] = lambda _: None
               ) -> tuple[EngineLoad, ...]:  # fmt: skip
    """Net loads of the governing load case by every engine, simply supported (SS3).

    Closed form and Ritz with membrane prestress, Ritz with bending near the edges too.

    Parameters
    ----------
    case : Case
    result : Result
        Of `case`.
    mesh : bool
        Solve the shell mesh too (minutes).
    progress : callable

    Raises
    ------
    Refusal
        When the mesh would be too large, or the pressure alone is beyond yield.
    Incomplete
    """
    name = governing_load(case, result)
    load = next(ld for ld in case.load_cases if ld.name == name)
    wall = build_wall(case, load.temperature)
    refuse_yield(case, wall, load)
    barrel = case.barrel
    closed = closed_form.lowest(
        wall, barrel.middle_radius, barrel.length, N_theta=load.p_min * barrel.middle_radius, theory="Sanders"
    )
    model = ritz_barrel(case, wall, load.temperature, held="SS3")
    by_ritz = ritz.membrane(model, pressure=load.p_min)

    def entry(engine: str, line_load: float, base: float) -> EngineLoad:
        return EngineLoad(engine, name, load.p_min, line_load, line_load / base)

    found = [
        entry("closed form, Sanders", closed.line_load, closed.line_load),
        entry("Rayleigh-Ritz, SS3, membrane", by_ritz.line_load, closed.line_load),
    ]
    if (bent := ritz.nonlinear(model, pressure=load.p_min)) is not None:
        found.append(entry("Rayleigh-Ritz, SS3, with bending near the edges", bent.line_load, closed.line_load))
    if mesh:
        from ..agree.engines import agreement

        agreed, _ = agreement(case, load, progress=progress)
        base = agreed.loads[0].line_load
        found += [entry(f"mesh check: {ld.name}", ld.line_load, base) for ld in agreed.loads[1:]]
    return tuple(found)
