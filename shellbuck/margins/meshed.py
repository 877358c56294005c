"""The check by a shell mesh: the state on which the smallest stability margin rests by every engine, beside the margins
and never in their place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..core.errors import ShellbuckError
from ..core.records import Agreement, Check, Finding, MarginRow, Result
from ..io.language.case_file import as_case
from ..model import Case
from .chain import concluded
from .state import Engines
from .validity import NOT_MESHED

_SOURCE = "own shell-mesh solver"
_LOWER = 0.01
"""By how much the mesh may lie below the load on which the margin rests before the verdict repeats it: what resolution
and the difference of thin and shear-flexible shells explain (own limit)."""


def checked_by_mesh(
    result: Result,
    case: Case,
    *,
    load_case: str | None = None,
    progress: Callable[[str], None] = lambda _: None,
    **options: int,
) -> tuple[Result, object | None]:
    """A result with one state solved by closed form, Ritz and meshes.

    Parameters
    ----------
    result : Result
    case : Case
    load_case : str or None
        Name of the load case, at its minimum pressure; None takes the state (load case and pressure) on which the
        smallest stability margin rests.
    progress : callable
        Is told what is being solved.
    **options
        `want`, `most`, `meshes` of `agree.agreement`.

    Returns
    -------
    Result
        With the agreement, or with a warning that says why there is no mesh; its verdict counts the warnings, and
        repeats that the mesh lies below the load on which the margin rests.
    object or None
        The finest mesh with its modes, for pictures and files.
    """
    from ..compare.engines import agreement  # the mesh solver loads only when asked for

    if as_case(case).policy.post_buckled_skin is not None:
        text = "not checked by mesh: meshes have no post-buckled skin"
        return _with_checks(result, case, (Check("mesh-check", "warned", text, "policy", _SOURCE),)), None
    row = governing_row(result)
    name = load_case or governing_load_case(result)
    load = next(one for one in case.load_cases if one.name == name)
    own = load_case is None and row is not None and row.basis is not None and not row.basis.component
    pressure = row.basis.pressure if own else load.p_min
    try:
        found, solved = agreement(case, load, pressure=pressure, progress=progress, **options)
    except ShellbuckError as error:
        text = f"not checked by mesh: {error.problems[0].sentence()}"
        return _with_checks(result, case, (Check("mesh-check", "warned", text, name, _SOURCE),)), None
    rests = lower_than_margin(found, row) if own else None
    checks = [
        Check("mesh-check", "passed" if one.passed else "warned", one.text, name, _SOURCE, headline)
        for one, headline in (*((one, "") for one in found.findings), *([(rests, _headline(rests))] if rests else []))
    ]
    if left := not_meshed(result, found.temperature, pressure):
        text = f"states not meshed, so not compared: {', '.join(left)}"
        checks.append(Check("mesh-check", "warned", text, name, _SOURCE))
    left_out = tuple(item for item in result.not_covered if item != NOT_MESHED)
    result = replace(result, agreements=(*result.agreements, found), not_covered=left_out)
    return _with_checks(result, case, tuple(checks)), solved


def _with_checks(result: Result, case: Case, checks: tuple[Check, ...]) -> Result:
    case = as_case(case)
    validity = (*result.validity, *checks)
    verdict = concluded(case, Engines(case), result.load_cases, validity, len(result.not_covered))
    return replace(result, validity=validity, verdict=verdict)


def lower_than_margin(found: Agreement, row: MarginRow) -> Finding:
    """How the lowest load of the mesh with ribs stands to the load on which a margin rests, in the same state."""
    lowest, basis = found.loads["mesh with ribs"], row.basis
    change = lowest.line_load / basis.line_load - 1
    kind = "general" if found.modes[0].general else "local"
    text = (
        f"the lowest load of the mesh with ribs, {lowest.line_load / 1e3:.4g} kN/m ({kind}), lies "
        f"{100 * change:+.2f} % from the {basis.line_load / 1e3:.4g} kN/m on which the margin of {row.mode} rests"
    )
    return Finding("mesh load from that of the margin", change, -_LOWER, change >= -_LOWER, text)


def _headline(rests: Finding) -> str:
    return "" if rests.passed else f"mesh warns: {rests.text}"


def not_meshed(result: Result, temperature: float, pressure: float) -> list[str]:
    """States (load case and pressure) on which a stability margin rests and that differ from the meshed one in
    temperature or pressure."""
    meshed, found = (round(temperature, 6), round(pressure, 3)), {}
    brief = sum(not one.in_full for one in result.load_cases)
    for one in result.load_cases:
        if not one.in_full:
            continue
        rows = [row.basis for row in one.margins if row.kind == "stability" and row.basis is not None]
        pressures = [basis.pressure for basis in rows] or [one.pressure_minimum]
        for p in pressures:
            if (round(one.temperature, 6), round(p, 3)) != meshed:
                found[f"{one.name} at {p:.4g} Pa, {one.temperature:.4g} K"] = None
    return [*found, *([f"{brief} load cases in numbers only"] if brief else [])]


def governing_row(result: Result) -> MarginRow | None:
    """The row of the smallest stability margin."""
    rows = (row for row in result.margins if row.kind == "stability" and row.margin is not None)
    return next(rows, None)


def governing_load_case(result: Result) -> str:
    """Load case of the smallest stability margin, else the first."""
    row = governing_row(result)
    return row.load_case if row else result.load_cases[0].name
