"""The data of the review: every engine's modes with their shapes, spectra, likeness and margins, ready for JSON.

The page's script and the static figures both draw from this one object, so that they cannot differ. A margin's mode is
the one that its row names (`MarginRow.basis`); every other mode stands beside and carries no allowable.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ... import __version__
from ...core.records import Agreement, Load, LoadCaseResult, MarginRow, ModeBasis, Result
from ...core.style import DISPLACEMENT
from ...io import CaseFile
from ...margins.keys import GENERAL, PANEL
from ..text.display import Display, margin_text
from ..text.inputs import input_rows
from ..text.resting import allowable, opening, rests_on, rows_in_words
from .edges import edge_pair
from .entries import COLUMN, Collection, Role, State, closed, column, mesh_modes, ritz_modes, state_of
from .waves import alike

VERSION = 1

GOVERNING_SHAPES, OTHER_SHAPES = 5, 1
"""Ritz membrane modes shown of the governing load case, and of every other."""


def review_data(result: Result, file: CaseFile, display: Display) -> dict[str, Any]:
    """Everything that the review page draws.

    Parameters
    ----------
    result : Result
    file : CaseFile
        The case file the result belongs to.
    display : Display
        Units of the texts; numbers are SI.

    Returns
    -------
    dict
        JSON-ready; arrays are `shellbuck.core.samples.Samples` as dictionaries.
    """
    review = Collection(file, display)
    agreed = {item.load_case: item for item in result.agreements}
    least = next((row.load_case for row in result.margins), result.load_cases[0].name)
    main = next(iter(agreed), least)
    states: set[State] = set()
    for case in sorted(result.load_cases, key=lambda c: c.name != main):
        if state_of(case, file.case) not in states:
            _case_modes(review, case, agreed.get(case.name), case.name == main)
        states.add(state_of(case, file.case))
        for row in case.margins:
            _row_mode(review, case, row)
    review.renumber()
    margins = [_margin(review, row) for row in result.margins]
    identity = file.case.identity
    return {
        "version": VERSION,
        "title": identity.title,
        "part": identity.part or "",
        "revision": identity.revision or "",
        "digest": file.digest,
        "program": __version__,
        "verdict": result.verdict.text,
        "inputs": [[r.key, r.read, r.used] for r in input_rows(file)],
        "barrel": {"radius": result.wall.middle_radius, "length": result.wall.length},
        "mass_per_area": result.wall.mass_per_area,
        "mass_text": display.shown(result.wall.mass_per_area, "area density"),
        "units": {
            name: dict(zip(("factor", "name"), display.units[name], strict=True)) for name in ("length", "line load")
        },
        "palette": list(DISPLACEMENT),
        "surfaces": review.surfaces,
        "modes": _with_rows(_with_ratio(review.modes), margins),
        "spectra": review.spectra,
        "likeness": _likeness(review),
        "prebuckled": _prebuckled(result),
        "margins": margins,
        **opening(margins),
    }


def _row_mode(review: Collection, case: LoadCaseResult, row: MarginRow) -> None:
    """Find the mode that a row names, or draw it."""
    basis = row.basis
    if basis is None or basis.kind in ("plate", "path") or (basis.kind == "equation" and not basis.beside):
        return
    role: Role = "beside" if basis.kind == "equation" else "limited" if basis.limited else "rests"
    if basis.kind == "column":
        found = review.by_load.get((state_of(case, review.file.case), COLUMN, 1)) or column(review, case, row)
    else:
        load = _named(case, basis)
        found = review.by_load.get((state_of(case, review.file.case), load.name, load.n)) or _lowest(review, case, load)
    review.margins[case.name, row.mode] = found, role


def _named(case: LoadCaseResult, basis: ModeBasis) -> Load:
    """The load whose mode is shown for a basis: its own, by name and waves around, or the one beside it."""
    if basis.kind == "equation":
        return next(one for one in case.loads if one.name == basis.beside)
    return next(one for one in case.loads if (one.name, one.n) == (basis.load, basis.n))


def _lowest(review: Collection, case: LoadCaseResult, load: Load) -> str:
    """The lowest mode of a load."""
    if load.shapes:
        return next(iter(ritz_modes(review, case, load, load.shapes[:1], _engine(load)).values()))
    return closed(review, case, load)


def _engine(load: Load) -> str:
    return "Ritz, membrane" if load.prestress.startswith("membrane") else "Ritz, edge bending"


def _case_modes(review: Collection, case: LoadCaseResult, agreement: Agreement | None, main: bool) -> None:
    """Modes of one state: all that there are of the `main` load case; of another those of its margins and the lowest
    of each kind."""
    series, marks, shapes = [], [], GOVERNING_SHAPES if main else OTHER_SHAPES
    general = [x for x in case.loads if x.mode == GENERAL and x.m is not None and not x.component]
    named = {name for row in case.margins if row.basis for name in (row.basis.load, row.basis.beside)}
    lowest = min(_at_pressure(case, GENERAL), key=lambda x: x.line_load, default=None)
    for load in general:
        wanted = main or load is lowest or load.name in named
        series.append(_series(load, "closed form", {(load.m, load.n): closed(review, case, load)} if wanted else {}))
    if not any(row.basis for row in case.margins if row.key == PANEL):
        for load in sorted(_at_pressure(case, PANEL), key=lambda x: x.line_load)[:1]:
            closed(review, case, load)
    for load, engine, count in _edge_loads(case, shapes):
        series.append(_series(load, engine, ritz_modes(review, case, load, load.shapes[:count], engine)))
    if agreement is not None:
        marks = mesh_modes(review, case, agreement)
        by_ritz = agreement.loads["Ritz"]
        names = ritz_modes(review, case, by_ritz, by_ritz.shapes[:shapes], "Ritz, membrane")
        series.append(_series(by_ritz, "Ritz, membrane", names))
    loads = [p[1] for s in series for p in s["points"]] + [m[1] for m in marks]
    if loads:
        review.spectra.append({"case": case.name, "series": series, "marks": marks, "lowest": min(loads)})


def _at_pressure(case: LoadCaseResult, what: str) -> list[Load]:
    """Closed-form loads of a failure mode at the load case's own pressure, those without where there are none with."""
    found = [x for x in case.loads if x.mode == what and x.m is not None and not x.component]
    pressed = [x for x in found if x.name.endswith("at minimum pressure")]
    return pressed or found


def _edge_loads(case: LoadCaseResult, shapes: int) -> list[tuple[Load, str, int]]:
    pair = edge_pair(case)
    if pair is None:
        return []
    wanted = ((pair[0], "Ritz, membrane", shapes), (pair[1], "Ritz, edge bending", 1))
    return [(load, engine, count) for load, engine, count in wanted if load is not None]


def _series(load: Load, engine: str, names: dict[tuple[int | None, int], str]) -> dict[str, Any]:
    """One engine's lowest load of every n; the points whose mode is on the page carry its name."""

    def name_of(m: int, n: int) -> str | None:
        return names.get((m, n)) or names.get((None, n))

    points = [[p.n, p.line_load, name_of(p.m, p.n)] for p in load.lowest_by_n]
    return {"engine": engine, "name": load.name, "points": points}


def _with_ratio(modes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    lowest: dict[str, float] = {}
    for mode in modes:
        lowest[mode["case"]] = min(mode["line_load"], lowest.get(mode["case"], np.inf))
    return [mode | {"ratio": mode["line_load"] / lowest[mode["case"]]} for mode in modes]


def _likeness(review: Collection) -> list[dict[str, Any]]:
    """Every mode of a load case against every other, subspace MAC."""
    found = []
    for case in dict.fromkeys(mode["case"] for mode in review.modes):
        names = [mode["id"] for mode in review.modes if mode["case"] == case]
        values = [[round(alike(review.fields[a], review.fields[b]), 4) for b in names] for a in names]
        found.append({"case": case, "rows": names, "columns": names, "values": values})
    return found


def _prebuckled(result: Result) -> list[dict[str, Any]]:
    found = []
    for case in result.load_cases:
        pair = edge_pair(case)
        state = None if pair is None or pair[1] is None else pair[1].prebuckled
        if state is not None:
            found.append(
                {
                    "case": case.name,
                    "x": list(state.x),
                    "deflection": list(state.deflection),
                    "hoop_force": list(state.hoop_force),
                }
            )
    return found


def _margin(review: Collection, row: MarginRow) -> dict[str, Any]:
    """A margin as the page's script needs it: `basis` is the mode to show, `role` what it is to the row, `words` say it
    and why where there is none."""
    basis, role = review.margins.get((row.load_case, row.mode), (None, None))
    return {
        "case": row.load_case,
        "mode": row.mode,
        "margin": row.margin,
        "text": margin_text(row),
        "status": row.status,
        "basis": basis,
        "role": role,
        "words": rests_on(row, review.display),
        "allowable": allowable(row, review.display) if role == "rests" else "",
    }


def _with_rows(modes: list[dict[str, Any]], margins: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Modes with the margins that name them; an allowable stands only with the mode that a margin rests on."""
    found = []
    for mode in modes:
        rows = [row for row in margins if row["basis"] == mode["id"]]
        named = [{key: row[key] for key in ("case", "mode", "text", "role")} for row in rows]
        words = "; ".join(dict.fromkeys(row["allowable"] for row in rows if row["allowable"]))
        found.append(mode | {"rows": named, "margins": rows_in_words(named), "design_text": words})
    return found
