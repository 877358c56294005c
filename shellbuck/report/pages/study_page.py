"""The page of a study: findings, figures whose points open their rows, inputs, how to repeat it. No network."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from markupsafe import Markup

from ... import __version__
from ...core.records import shown_margin
from ...io.results import json_text, plain, versions
from ...io.store.folder import StudyFolder
from ...model.case import metals
from ...study.design import Design
from ...study.maps import Map
from ...study.outputs import KNOWN, Column
from ...study.run import Study
from ...study.summary import Summary
from ...study.windows import windows
from ..figures.study_data import StudyFigure, inline, linked_points, meant, shown_value
from ..figures.study_maps import draw_all
from ..text.display import SI, Display, plain_number
from .html import filled

_WORD_UNITS = {"N/m": "line load", "N": "force", "Pa": "stress", "m": "length", "kg/m^2": "area density", "kg": "mass"}


@dataclass(frozen=True)
class PointRow:
    """A point on the page: its number, inputs with the columns asked for, status, smallest margin and governing mode,
    all other columns, reason."""

    number: int
    inputs: tuple[str, ...]
    status: str
    margin: str
    mode: str
    more: tuple[tuple[str, str], ...]
    reason: str


def study_page(
    study: Study,
    folder: StudyFolder,
    summary: Summary,
    drawn: Sequence[StudyFigure],
    display: Display,
    found: Map | None = None,
    command: str = "",
) -> str:
    """The page of a finished study as HTML text.

    Parameters
    ----------
    study : Study
    folder : StudyFolder
    summary : Summary
    drawn : sequence of StudyFigure
        Figures, see `shellbuck.report.figures.study_maps.draw_all`.
    display : Display
        Units of tables; the data files stay in SI.
    found : Map, optional
        The map that the study was made for.
    command : str
        How it was started.
    """
    plan, linked = study.plan, linked_points(folder, summary)
    return filled(
        "study.html",
        title=plan.title or f"Study of {plan.case.identity.title}",
        case=plan.case,
        file=plan.base,
        plan=plan,
        metals=[metal for _, metal in metals(plan.case.material, plan.case.wall)],
        summary=summary,
        words=summary.words,
        assumed=() if found is None else found.words,
        figures=[(d, Markup(inline(d.svg, f"f{i}"))) for i, d in enumerate(drawn)],
        points=folder.points,
        rows=_rows(study, folder, linked, display),
        heads=[*(v.title for v in plan.vary), *(c.name.replace("_", " ") for c in _asked(study))],
        varied=[_varied(study.design, i, display) for i in range(len(plan.vary))],
        table=folder.table.name,
        record=folder.record(),
        version=__version__,
        versions=versions(),
        command=command,
        mark={"holds": "✓", "does not hold": "✗"},
    )


def write_findings(
    study: Study,
    folder: StudyFolder,
    summary: Summary,
    display: Display = SI,
    found: Map | None = None,
    command: str = "",
) -> Path:
    """Write what is made of a finished table into its folder: summary, figures with their data, page.

    Returns
    -------
    Path
        Of the page.
    """
    folder.keep("summary.json", json_text(plain(summary)) + "\n")
    stretches = windows(study, folder, found.sweep) if found is not None and found.sweep is not None else ()
    drawn = draw_all(study, folder, summary, display, found, stretches)
    for figure in drawn:
        folder.keep(f"figures/{figure.name}.svg", figure.svg)
        folder.keep(f"figures/{figure.name}.csv", figure.data)
    return folder.keep("page.html", study_page(study, folder, summary, drawn, display, found, command))


def _asked(study: Study) -> list[Column]:
    """The columns that the study names one by one; all margins together stay under "all columns"."""
    own = ("smallest_margin", KNOWN, "governing_mode")
    return [c for c in study.columns if c.name in study.plan.outputs and c.name not in own]


def _varied(design: Design, i: int, display: Display) -> tuple[str, str, str]:
    """(name, values in words, what goes with it) of one varied input."""
    v = design.plan.vary[i]
    name = meant(v) or v.title
    also = "; ".join(f.key for f in v.follow)
    if v.spread is not None:
        s = v.spread
        log = " (logarithm)" if s.log else ""
        if s.normal:
            cut = [f"{w} {shown_value(v, x, display)}" for w, x in (("from", s.low), ("to", s.high)) if abs(x) < 1e300]
            spread = f"mean {shown_value(v, s.mean, display)}, deviation {shown_value(v, s.deviation, display)}"
            return name, f"normal{log}, {spread}" + (f"; cut off {' '.join(cut)}" if cut else ""), also
        return name, f"even{log} from {shown_value(v, s.low, display)} to {shown_value(v, s.high, display)}", also
    if len(v.values) > 6 and v.numeric:
        first, last = shown_value(v, v.values[0], display), shown_value(v, v.values[-1], display)
        return name, f"{len(v.values)} values, {first} to {last}", also
    return name, ", ".join(shown_value(v, x, display) for x in v.values), also


def _rows(study: Study, folder: StudyFolder, linked: Sequence[int], display: Display) -> list[PointRow]:
    rows, asked = [], _asked(study)
    first = 1 + len(study.plan.vary)
    for row in folder.rows(linked):
        cells = dict(zip((c.name for c in study.columns), islice(row, first + 1, None), strict=False))
        margin = cells.pop("smallest_margin", None)
        mode = cells.pop("governing_mode", "") or ""
        reason = row[-1]
        varied = [shown_value(v, x, display) for v, x in zip(study.plan.vary, row[1:first], strict=True)]
        rows.append(
            PointRow(
                row[0],
                (*varied, *(_shown(c, cells.get(c.name), display) for c in asked)),
                row[first],
                "-" if margin is None else shown_margin(margin),
                mode,
                tuple((c.name, _shown(c, cells[c.name], display)) for c in study.columns if c.name in cells),
                reason,
            )
        )
    return rows


def _shown(column: Column, value: Any, display: Display) -> str:
    if value is None or value == "":
        return "-"
    if not column.numeric:
        return str(value)
    if column.name == KNOWN or column.name.startswith("margin of "):
        return shown_margin(value)
    kind = "pressure" if "pressure" in column.path else _WORD_UNITS.get(column.unit)
    if kind is not None:
        return display.shown(value, kind)
    return f"{plain_number(value, 5)} {column.unit}".strip()
