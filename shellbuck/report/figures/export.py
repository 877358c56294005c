"""Every figure of a result as a file of its own, with its data beside it."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from ...core.records import LoadCaseResult, Result
from ...io import CaseFile
from ..review.data import review_data
from ..review.edges import edge_pair, edge_shapes
from ..review.fields import Fields
from ..text.display import Display
from ..text.inputs import input_rows
from ..text.resting import rows_in_words
from .canvas import VectorFigure
from .evidence import axial_tests, evidence_figure
from .loads import prebuckled_figure, profile_figure, spectrum_figure
from .overview import differences, likeness, spectrum
from .stills import Columns, Still, rounded, still
from .wall import wall_figure

Form = Literal["svg", "pdf"]


@dataclass(frozen=True)
class Exported:
    """A figure: name of its files without ending, where it belongs, words in its place, the figure, its data."""

    name: str
    title: str
    alt: str
    figure: VectorFigure
    columns: Callable[[], Columns]

    def content(self, form: Form) -> bytes:
        """The figure's file."""
        if form == "pdf":
            return self.figure.pdf()
        return f'<?xml version="1.0" encoding="utf-8"?>\n{self.figure.text}'.encode()

    def table(self) -> str:
        """Its data as CSV, the unit of every column in its header."""
        columns = self.columns()
        rows = zip(*(values for _, values in columns), strict=True)
        return csv_text([header for header, _ in columns], rows)


def exported(result: Result, file: CaseFile, display: Display) -> list[Exported]:
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
        found.append(_still(f"spectrum-{slug(row['case'])}", f"spectrum, {row['case']}", spectrum(row, data)))
    for mode in data["modes"]:
        number = mode["id"].removeprefix("mode ")
        title = f"{mode['id']}, {mode['case']}: {mode['title']}; {rows_in_words(mode)}"
        found += [_still(f"mode-{number:0>2}-{one.name}", title, one) for one in still(mode, fields).all]
    for table in data["likeness"]:
        if len(table["rows"]) > 1:
            found.append(_still(f"likeness-{slug(table['case'])}", f"likeness, {table['case']}", likeness(table)))
    for one in differences(fields):
        found.append(_still(one.map.name, f"difference, {one.case}", one.map))
    return found


def index_text(figures: list[Exported], form: Form) -> str:
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


def csv_text(header: list[str], rows: Any) -> str:
    """CSV in UTF-8; a text that a spreadsheet would take for a formula is led by an apostrophe."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([_cell(h) for h in header])
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return text.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, float):
        return f"{value:.9g}" if math.isfinite(value) else ""
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return "'" + value
    return value


def _still(name: str, title: str, one: Still) -> Exported:
    return Exported(name, title, one.alt, one.figure, one.columns)


def _wall(file: CaseFile, display: Display) -> Iterator[Exported]:
    wall = wall_figure(file.case, display)
    if wall is not None:
        rows = [(r.key, r.used) for r in input_rows(file) if r.key.startswith(("barrel.", "wall."))]
        yield Exported(
            "wall",
            "wall",
            f"The {file.case.wall.kind} wall drawn to scale.",
            wall,
            lambda: _columns(("key", "value, SI"), rows),
        )
    tests = evidence_figure(file.case)
    if tests is not None:
        found = axial_tests()
        yield Exported(
            "evidence",
            "what tests gave",
            f"{len(found.ratio)} tests of plain cylinders in axial compression with the "
            "standard's factor and this wall's R/t.",
            tests,
            lambda: (("R/t [-]", found.R_over_t), ("load over classical load [-]", found.ratio)),
        )


def _loads(case: LoadCaseResult, display: Display) -> Iterator[Exported]:
    name = slug(case.name)
    closed = spectrum_figure(case, display)
    if closed is not None:
        yield Exported(
            f"spectrum-closed-form-{name}",
            f"spectrum of the closed forms, {case.name}",
            f"Lowest closed-form load of every number of waves around, {case.name}.",
            closed,
            lambda: _spectrum([x for x in case.loads if x.name.startswith("general instability")]),
        )
    pair = edge_pair(case)
    if pair is None:
        return
    profiles = profile_figure(case, display)
    if profiles is not None:
        yield Exported(
            f"edges-profiles-{name}",
            f"axial profiles, {case.name}",
            f"Axial profiles of the lowest modes for the edges of the case, {case.name}.",
            profiles,
            lambda: _profiles(case),
        )
    state = prebuckled_figure(case, display)
    if state is not None:
        found = pair[1].prebuckled
        yield Exported(
            f"prebuckled-{name}",
            f"prebuckled state, {case.name}",
            f"Axisymmetric deflection and hoop force at the critical load, {case.name}.",
            state,
            lambda: (
                ("x [m]", found.x),
                ("outward deflection [m]", found.deflection),
                ("hoop force, tension [N/m]", found.hoop_force),
            ),
        )


def _spectrum(loads: list[Any]) -> Columns:
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
