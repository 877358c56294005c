"""The report page: one HTML file, no network, prints well."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from ... import __version__
from ...core.records import Check, Comparison, LoadCaseResult, MarginRow, Result
from ...io import CaseFile
from ...io.pages.remarks import Remarks
from ...io.results import versions
from ..figures.equations import drawn_equation
from ..figures.evidence import axial_tests, evidence_figure
from ..figures.loads import prebuckled_figure, profile_figure, spectrum_figure
from ..figures.wall import wall_figure
from ..review.edges import edge_pair, edge_shapes
from ..review.waves import leading_m, mesh_pair
from ..text.display import (
    OUTCOME,
    SI,
    STATUS_MARK,
    Display,
    excess_text,
    factors_text,
    knockdown_text,
    margin_text,
    net_text,
    plain_number,
)
from ..text.inputs import input_rows
from ..text.printed import PrintedLine, printed_line
from ..text.resting import rests_on
from .every_case import every_case, in_full
from .html import data_uri, filled
from .review import review


@dataclass(frozen=True)
class WorkedMode:
    """A failure mode of a load case with its printed lines."""

    row: MarginRow
    lines: tuple[PrintedLine, ...]


def page(
    result: Result,
    file: CaseFile,
    display: Display = SI,
    remarks: Remarks | None = None,
    *,
    scripted: bool = True,
    command: str = "",
    when: str = "",
) -> str:
    """The report page of a result as HTML text.

    Parameters
    ----------
    result : Result
    file : CaseFile
        The case file the result belongs to.
    display : Display
        Units of tables and figures; worked lines stay in SI.
    remarks : Remarks or None
        A reviewer's remarks on an earlier page, to be shown beside the numbers of this run.
    scripted : bool
        False leaves out the interactive part; nothing else changes.
    command, when : str
        The command that was given and the time of the run, for its reproduction; empty where there was none.
    """
    return filled_page(page_parts(result, file, display, remarks, command, when), scripted=scripted)


def page_parts(
    result: Result,
    file: CaseFile,
    display: Display = SI,
    remarks: Remarks | None = None,
    command: str = "",
    when: str = "",
) -> dict[str, object]:
    """What the page shows, gathered and drawn once for every form of it; arguments as for `page`."""
    every = every_case(result)
    result, file = in_full(result, file) if every is not None else (result, file)
    filters = dict(
        shown=display.shown,
        bare=display.number,
        number=plain_number,
        data_uri=data_uri,
        margin=margin_text,
        factors=factors_text,
        excess=excess_text,
        net=net_text,
        knockdown=knockdown_text,
        css=_css_string,
        rests=lambda row: rests_on(row, display),
        pair=mesh_pair,
        leading=leading_m,
    )
    return dict(
        filters=filters,
        result=result,
        unit=display.unit,
        case=file.case,
        file=file,
        identity=file.case.identity,
        inputs=input_rows(file),
        wall_image=data_uri(wall_figure(file.case, display)),
        mark=STATUS_MARK,
        outcome=OUTCOME,
        screens=[(one, tuple(map(printed_line, one.worked))) for one in _comparisons(result)],
        stiffness=tuple(printed_line(w) for w in result.wall.worked),
        matrix=_matrix(result),
        every=every,
        worked=[(case, _worked(case)) for case in result.load_cases],
        ordered=_ordered,
        verdict_mark={"holds": "✓", "does not hold": "✗"}.get(result.verdict.word, "⊘"),
        evidence=data_uri(evidence_figure(file.case)),
        tests=axial_tests(),
        spectra=[(case, uri) for case in result.load_cases if (uri := data_uri(spectrum_figure(case, display)))],
        edges=[_edge_section(case, display) for case in result.load_cases if edge_pair(case)],
        review=review(result, file, display, remarks),
        validity=_by_weight(result),
        told=_told(result),
        version=__version__,
        versions=versions(),
        command=command,
        when=when,
        materials=_materials(file),
    )


def filled_page(parts: dict[str, object], *, scripted: bool = True) -> str:
    """The page of `page_parts` as HTML text, with or without its interactive part."""
    every, policy = parts["every"], parts["review"].policy
    return filled(
        "page.html",
        scripted=scripted,
        policy=(policy if every is None else f"{policy} {every.policy}") if scripted else "script-src 'none'",
        equation=_typeset if scripted else _drawn,
        **parts,
    )


def _edge_section(case: LoadCaseResult, display: Display) -> dict[str, object]:
    """Loads and figures of a load case's edges."""
    figures = {"profiles": profile_figure, "prebuckled": prebuckled_figure}
    return {
        "case": case,
        "shapes": edge_shapes(case),
        **{name: data_uri(draw(case, display)) for name, draw in figures.items()},
    }


def _typeset(line: PrintedLine) -> Markup:
    return Markup(line.mathml)


def _drawn(line: PrintedLine) -> Markup:
    """The equation as a drawing, for readers that know no MathML."""
    image = Markup('<img class="equation" src="{}" alt="{} = {}">')
    return image.format(data_uri(drawn_equation(line.formula)), line.symbol, line.text)


def _css_string(text: str) -> Markup:
    """User text as the inside of a CSS string."""
    safe = "".join(c if c.isalnum() or c in " .,;:-_()%=" else f"\\{ord(c):x} " for c in text)
    return Markup(safe)


def _matrix(result: Result) -> list[tuple[str, list[MarginRow | None]]]:
    """(failure mode, its row in every load case), the mode with the smallest margin first."""
    modes: dict[str, list[MarginRow | None]] = {}
    for i, case in enumerate(result.load_cases):
        for row in case.margins:
            modes.setdefault(row.mode, [None] * len(result.load_cases))[i] = row

    def least(rows: list[MarginRow | None]) -> float:
        if any(r is not None and r.status in ("refused", "withheld") for r in rows):
            return float("-inf")
        return min((r.margin for r in rows if r is not None and r.margin is not None), default=float("inf"))

    return sorted(modes.items(), key=lambda item: least(item[1]))


def _worked(case: LoadCaseResult) -> list[WorkedMode]:
    modes = []
    for row in _ordered(case):
        modes.append(WorkedMode(row, tuple(printed_line(w) for w in dict.fromkeys(row.worked))))
    return modes


def _comparisons(result: Result) -> list[Comparison]:
    """What stands beside the margins of every load case."""
    return [one for case in result.load_cases for one in case.comparisons]


def _ordered(case: LoadCaseResult) -> list[MarginRow]:
    """Rows of a load case: those without a margin first, then the smallest margin first."""
    return sorted(case.margins, key=lambda r: (r.margin is not None, r.margin or 0.0))


def _by_weight(result: Result) -> list[Check]:
    """The validity list, what was refused first, then what was warned."""
    return sorted(result.validity, key=lambda check: ("refused", "warned", "passed").index(check.status))


def _told(result: Result) -> list[tuple[str, str]]:
    """What the banner counts, with the place on the page where it stands: modes with and without an answer, what was
    checked elsewhere, rows without a margin, refusals and warnings with their codes."""
    verdict, checks = result.verdict, _by_weight(result)
    found = [(_many(verdict.modes_checked, "mode", "checked"), "margins")]
    found += [(f"not checked: {mode}", "margins") for mode in verdict.not_checked]
    found += [(f"{mode}: checked elsewhere", "elsewhere") for mode, _ in verdict.checked_elsewhere]
    if verdict.withheld:
        found.append((_many(verdict.withheld, "row", "withheld"), "margins"))
    found.append((f"{len(result.not_covered)} effects not covered", "limits"))
    for status, words in (("refused", "refusal"), ("warned", "warning")):
        places = [i for i, check in enumerate(checks, 1) if check.status == status]
        if places:
            found.append((f"{_many(len(places), words)}:", f"check-{status}-{places[0]}"))
        codes: dict[str, int] = {}
        for i in places:
            codes.setdefault(checks[i - 1].code, i)
        found += [(code.replace("-", " "), f"check-{status}-{i}") for code, i in codes.items()]
    return found


def _many(count: int, what: str, tail: str = "") -> str:
    return f"{count} {what}{'s' if count != 1 else ''} {tail}".rstrip()


def _materials(file: CaseFile) -> list[tuple[str, object]]:
    case = file.case
    skin = [("skin", case.material)] if case.material is not None else []
    return skin + [(ribs.name, ribs.material) for ribs in case.ribs if ribs.material is not None]
