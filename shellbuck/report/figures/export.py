"""Every figure of a result as a file of its own, with its data beside it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from ...core.records import LoadCaseResult, Result
from ...io import CaseFile
from ...margins.keys import GENERAL
from ..review.data import review_data
from ..review.edges import edge_pair, edge_shapes
from ..review.fields import Fields
from ..text.display import Display
from ..text.inputs import input_rows
from .evidence import axial_tests, evidence_figure
from .loads import prebuckled_figure, profile_figure, spectrum_figure
from .overview import differences, likeness, spectrum
from .stills import Columns, Form, Still, csv_text, rounded, still
from .wall import wall_figure


def exported(result: Result, file: CaseFile, display: Display) -> list[Still]:
    """Every figure of a result, in the order of the page.

    Parameters
    ----------
    result : Result
    file : CaseFile
        The case file the result belongs to.
    display : Display
        Units of axes and words; data are SI.
    """
    data = review_data(result, file, display)
    fields = Fields(data)
    found = [*_wall(file, display)]
    for case in result.load_cases:
        found += _loads(case, display)
    for row in data["spectra"]:
        found.append(
            replace(spectrum(row, data), name=f"spectrum-{slug(row['case'])}", title=f"spectrum, {row['case']}")
        )
    for mode in data["modes"]:
        number = mode["id"].removeprefix("mode ")
        title = f"{mode['id']}, {mode['case']}: {mode['title']}; {mode['margins']}"
        found += [replace(one, name=f"mode-{number:0>2}-{one.name}", title=title) for one in still(mode, fields).all]
    for table in data["likeness"]:
        if len(table["rows"]) > 1:
            name, title = f"likeness-{slug(table['case'])}", f"likeness, {table['case']}"
            found.append(replace(likeness(table), name=name, title=title))
    return found + [replace(one.map, title=f"difference, {one.case}") for one in differences(fields)]


def index_text(figures: list[Still], form: Form) -> str:
    """The list of all files as CSV."""
    rows = [(f"{f.name}.{form}", f"{f.name}.csv", f.title, f.alt) for f in figures]
    return csv_text(["figure", "data", "title", "what it shows"], rows)


def slug(text: str) -> str:
    """Words as part of a file name: small letters, figures and dashes.

    Examples
    --------
    >>> slug("pad, empty / wind"), slug("../..")
    ('pad-empty-wind', 'unnamed')
    """
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60] or "unnamed"


def _wall(file: CaseFile, display: Display) -> Iterator[Still]:
    wall = wall_figure(file.case, display)
    if wall is not None:
        rows = [(r.key, r.used) for r in input_rows(file) if r.key.startswith(("barrel.", "wall."))]
        alt = f"The {file.case.wall.kind} wall drawn to scale."
        yield Still("wall", wall, alt, lambda: _columns(("key", "value, SI"), rows), "wall")
    tests = evidence_figure(file.case)
    if tests is not None:
        found = axial_tests()
        words = "tests of plain cylinders in axial compression with the standard's factor and this wall's R/t."
        columns = (("R/t [-]", found.R_over_t), ("load over classical load [-]", found.ratio))
        yield Still("evidence", tests, f"{len(found.ratio)} {words}", lambda: columns, "test results")


def _loads(case: LoadCaseResult, display: Display) -> Iterator[Still]:
    name, words = slug(case.name), case.name
    closed = spectrum_figure(case, display)
    if closed is not None:
        alt = f"Lowest closed-form load of every number of waves around, {words}."
        title = f"spectrum of the closed forms, {words}"
        yield Still(f"spectrum-closed-form-{name}", closed, alt, lambda: _spectrum(case), title)
    profiles = profile_figure(case, display)
    if profiles is not None:
        alt = f"Axial profiles of the lowest modes for the edges of the case, {words}."
        yield Still(f"edges-profiles-{name}", profiles, alt, lambda: _profiles(case), f"axial profiles, {words}")
    figure = prebuckled_figure(case, display)
    if figure is not None:
        state = edge_pair(case)[1].prebuckled
        headers = ("x [m]", "outward deflection [m]", "hoop force, tension [N/m]")
        columns = tuple(zip(headers, (state.x, state.deflection, state.hoop_force), strict=True))
        alt = f"Axisymmetric deflection and hoop force at the critical load, {words}."
        yield Still(f"prebuckled-{name}", figure, alt, lambda: columns, f"prebuckled state, {words}")


def _spectrum(case: LoadCaseResult) -> Columns:
    loads = [x for x in case.loads if x.mode == GENERAL and not x.component]
    rows = [(x.name, p.n, p.m or "", float(p.line_load)) for x in loads for p in x.lowest_by_n]
    return _columns(("load", "n", "m", "line load [N/m]"), rows)


def _profiles(case: LoadCaseResult) -> Columns:
    shapes = edge_shapes(case)
    rows = [
        (words, i, s.n, float(s.line_load), x, w, t)
        for i, (words, s) in enumerate(shapes, 1)
        for x, w, t in zip(s.x, rounded(s.w), rounded(s.twin_w) or ("",) * len(s.x), strict=True)
    ]
    header = ("prebuckling", "mode", "n", "line load [N/m]", "x [m]", "w over its peak [-]", "twin of w [-]")
    return _columns(header, rows)


def _columns(header: tuple[str, ...], rows: list[tuple[Any, ...]]) -> Columns:
    return tuple(zip(header, zip(*rows, strict=True), strict=True)) if rows else tuple((h, ()) for h in header)
