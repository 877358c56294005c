"""The check by a shell mesh: the governing load case by every engine, beside the margins and never in their place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..errors import ShellbuckError
from ..model import Case
from ..records import Check, Result
from .validity import NOT_MESHED

_SOURCE = "own shell-mesh solver"


def checked_by_mesh(
    result: Result, case: Case, *, load_case: str | None = None, progress: Callable[[str], None] = lambda _: None,
    **options: int,
) -> tuple[Result, object | None]:  # fmt: skip
    """A result with one load case solved by closed form, Ritz and meshes.

    Parameters
    ----------
    result : Result
    case : Case
    load_case : str or None
        Name of the load case; None takes the one with the smallest stability margin.
    progress : callable
        Is told what is being solved.
    **options
        `want`, `most`, `meshes` of `agree.agreement`.

    Returns
    -------
    Result
        With the agreement, or with a warning that says why there is no mesh.
    object or None
        The finest mesh with its modes, for pictures and files.
    """
    from ..agree.engines import agreement  # the mesh solver loads only when asked for

    name = load_case or governing_load_case(result)
    load = next(one for one in case.load_cases if one.name == name)
    try:
        found, solved = agreement(case, load, progress=progress, **options)
    except ShellbuckError as error:
        text = f"not checked by mesh: {error.problems[0].sentence()}"
        return replace(result, validity=(*result.validity, Check("mesh-check", "warned", text, name, _SOURCE))), None
    checks = tuple(
        Check("mesh-check", "warned" if "do not trust" in words or "local" in words else "passed", words, name, _SOURCE)
        for words in found.words
    )
    left = tuple(item for item in result.not_covered if item != NOT_MESHED)
    return replace(
        result, agreements=(*result.agreements, found), validity=(*result.validity, *checks), not_covered=left
    ), solved


def governing_load_case(result: Result) -> str:
    """Load case of the smallest stability margin, else the first."""
    rows = [row for row in result.margins if row.kind == "stability" and row.margin is not None]
    return rows[0].load_case if rows else result.load_cases[0].name
