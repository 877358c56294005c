"""The table of many load cases on the page: a line a load case, a column a failure mode, with a filter and a sort."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ...core.records import UNKNOWN, LoadCaseResult, MarginRow, Result
from ...io import CaseFile
from .html import own, script_policy

SCRIPT = "pages/templates/matrix.js"


@dataclass(frozen=True)
class CaseLine:
    """A load case with its rows in the order of the columns, None where it has no such row."""

    case: LoadCaseResult
    rows: tuple[MarginRow | None, ...]
    least: MarginRow | None
    unknown: bool
    negative: bool


@dataclass(frozen=True)
class EveryCase:
    """All load cases, smallest margin first; `modes` are the columns."""

    modes: tuple[str, ...]
    lines: tuple[CaseLine, ...]
    in_full: int
    script: str

    @property
    def policy(self) -> str:
        """The content policy of its script, beside that of another."""
        return script_policy(self.script).removeprefix("script-src ")


def in_full(result: Result, file: CaseFile) -> tuple[Result, CaseFile]:
    """The result and the case without the load cases that are given in numbers only."""
    shown = {case.name for case in result.load_cases if case.in_full}
    loads = tuple(load for load in file.case.load_cases if load.name in shown)
    listed = file.raw.get("load_cases")
    raw = file.raw
    if isinstance(listed, list) and len(listed) == len(file.case.load_cases):
        kept = [text for text, load in zip(listed, file.case.load_cases, strict=True) if load.name in shown]
        raw = {**raw, "load_cases": kept}
    cases = tuple(case for case in result.load_cases if case.in_full)
    return replace(result, load_cases=cases), replace(file, case=replace(file.case, load_cases=loads), raw=raw)


def every_case(result: Result) -> EveryCase | None:
    """The table; None where every load case is in full."""
    full = sum(case.in_full for case in result.load_cases)
    if full == len(result.load_cases):
        return None
    modes = tuple(dict.fromkeys(row.mode for row in result.margins))
    lines = sorted((_line(case, modes) for case in result.load_cases), key=_weight)
    return EveryCase(modes, tuple(lines), full, own(SCRIPT))


def _line(case: LoadCaseResult, modes: tuple[str, ...]) -> CaseLine:
    rows = {row.mode: row for row in case.margins}
    known = [row for row in case.margins if row.margin is not None]
    return CaseLine(
        case,
        tuple(rows.get(mode) for mode in modes),
        min(known, key=lambda row: row.margin, default=None),
        any(row.status in UNKNOWN for row in case.margins),
        any(row.status == "fails" for row in case.margins),
    )


def _weight(line: CaseLine) -> float:
    return float("inf") if line.least is None else line.least.margin
