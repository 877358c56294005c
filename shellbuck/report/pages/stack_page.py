"""The page of a stack: margins by station as a plot and as a table."""

from __future__ import annotations

from ... import __version__
from ...core.records import UNKNOWN, LoadCaseResult, MarginRow, Result
from ...io.language.stack_file import StackFile
from ..figures.stations import margins_by_station
from ..text.display import STATUS_MARK, Display, margin_text
from .html import data_uri, filled


def least_row(case: LoadCaseResult) -> MarginRow | None:
    """The row that decides a cut: an unknown one, else that of the smallest margin."""
    unknown = [row for row in case.margins if row.status in UNKNOWN]
    known = sorted((row for row in case.margins if row.margin is not None), key=lambda row: row.margin)
    fails = [row for row in known if row.margin < 0]
    return next(iter([*fails, *unknown, *known]), None)


def stack_page(stack: StackFile, results: list[Result], display: Display, word: str, command: str, when: str) -> str:
    """The page as HTML text; `word` is the verdict of the whole stack."""
    curves: dict[str, list] = {}
    for one, result in zip(stack.barrels, results, strict=True):
        parts: dict[str, tuple[list[float], list[float]]] = {}
        for cut, case in zip(one.cuts, result.load_cases, strict=True):
            row, (stations, margins) = least_row(case), parts.setdefault(cut.event, ([], []))
            stations.append(cut.station)
            margins.append(float("nan") if row is None or row.margin is None else row.margin)
        for event, part in parts.items():
            curves.setdefault(event, []).append(part)
    spans = [(one.file.case.identity.title[:24], *one.ends) for one in stack.barrels]
    return filled(
        "stack.html",
        dict(shown=display.shown, margin=margin_text),
        stack=stack,
        results=results,
        pairs=list(zip(stack.barrels, results, strict=True)),
        least=least_row,
        figure=data_uri(margins_by_station(curves, spans)),
        mark=STATUS_MARK,
        word=word,
        version=__version__,
        command=command,
        when=when,
    )
