"""The terminal's view of a result."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from ..core.records import Comparison, LoadCaseResult, MarginRow, Result
from ..model import Case
from ..report.text.display import (
    OUTCOME,
    STATUS_MARK,
    Display,
    excess_text,
    factors_text,
    knockdown_text,
    margin_text,
    net_text,
)
from .output import printable
from .screen import Screen

_WORD_STYLE = {
    "holds": "bold green",
    "does not hold": "bold red",
    "refused": "bold yellow",
    "incomplete": "bold yellow",
}
_BRIEF_ROWS = 5


def print_result(result: Result, case: Case, display: Display, *, brief: bool = False) -> None:
    """Print title, verdict, margins, what was warned, what is not covered, cautions."""
    console = Screen()
    identity, shown = case.identity, display.shown
    head = " · ".join(filter(None, (identity.title, identity.part, identity.revision and f"rev {identity.revision}")))
    console.print(Text(printable(head), style="bold"))
    wall = result.wall
    facts = [f"{wall.kind} wall", f"R {shown(wall.middle_radius, 'length')}", f"L {shown(wall.length, 'length')}"]
    if wall.stability_thickness is not None:
        facts.append(f"skin {shown(wall.stability_thickness, 'length')} for stability")
    facts.append(f"{shown(wall.mass_per_area, 'area density')}, barrel {shown(wall.mass, 'mass')}")
    if wall.mean_thickness is not None:
        facts.append(f"t_bar {shown(wall.mean_thickness, 'length')}")
    if wall.raw_to_finished is not None:
        facts.append(f"raw plate {wall.raw_to_finished:.2f} x finished")
    console.print(", ".join(facts))
    console.print(Text(printable(result.verdict.text), style=_WORD_STYLE[result.verdict.word]))
    for what, reason in result.departures:
        console.print(Text(f"departure: {what}. Reason: {printable(reason)}", style="yellow"))
    if brief:
        rows = result.margins[:_BRIEF_ROWS]
        console.print(_margin_table(rows, display, with_case=len(result.load_cases) > 1))
        if len(rows) < len(result.margins):
            console.print(f"{len(result.margins) - len(rows)} more rows without --brief")
    else:
        rows = result.margins
        for load in result.load_cases:
            if not load.in_full:
                continue
            console.print()
            console.print(Text(printable(load.name), style="bold"))
            console.print(Text(_load_line(load, display)))
            console.print(_margin_table(tuple(r for r in rows if r.load_case == load.name), display))
            for one in load.comparisons:
                console.print(Text(printable(_compared(one, display))))
        console.print()
        _print_many(console, result)
    full = {load.name for load in result.load_cases if load.in_full}
    for row in rows:
        if row.status in ("refused", "withheld") and row.load_case in full:
            console.print(Text(printable(f"{row.load_case}, {row.mode}: {row.note}")))
    for status in ("refused", "warned"):
        for check in result.validity:
            if check.status == status and not (status == "refused" and any(check.text in r.note for r in rows)):
                place = f" ({printable(check.where)})" if check.where else ""
                console.print(Text(f"{status}: {printable(check.text)}{place} [{check.code}]"))
    for check in result.validity:
        if check.code == "edge-effect":
            console.print(Text(f"{check.text} ({printable(check.where)})"))
    passed = sum(c.status == "passed" for c in result.validity)
    console.print(f"passed: {passed} checks (all on the page and in the JSON)")
    if not brief:
        console.print("loads: classical are Donnell and Sanders, simply supported, membrane prestress, n = 1 left out")
        console.print(Text("not covered: " + "; ".join(result.not_covered)))
    for caution in result.cautions:
        console.print(Text(f"caution: {caution}"))


def _compared(one: Comparison, display: Display) -> str:
    """A comparison in a line: it stands beside the margins and is never counted."""
    figures = "" if one.capacity is None else f" {display.shown(one.capacity, one.quantity)}"
    if one.demand is not None:
        figures += f" against {display.shown(one.demand, one.quantity)}"
    if one.excess is not None:
        figures += f" ({excess_text(one)})"
    return f"beside, never counted: {one.title}:{figures} {OUTCOME[one.outcome]}" + (
        f"; {one.note}" if one.note else ""
    )


def _print_many(console: Screen, result: Result) -> None:
    """Of many load cases the worst of every mode, and how many rows have which status."""
    brief = sum(not load.in_full for load in result.load_cases)
    if not brief:
        return
    total = len(result.load_cases)
    console.print(Text(f"all {total} load cases, {brief} of them in numbers only", style="bold"))
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    for name, more in (("failure mode", {}), ("worst", {}), ("load case", {}), ("rows by status", {})):
        table.add_column(name, overflow="fold", **more)
    for mode, rows in worst_by_mode(result):
        least = next((row for row in rows if row.margin is not None), None)
        counts: dict[str, int] = {}
        for row in rows:
            counts[row.status] = counts.get(row.status, 0) + 1
        words = ", ".join(f"{count} {STATUS_MARK[status]}" for status, count in counts.items())
        case = "" if least is None else printable(least.load_case)
        table.add_row(mode, "" if least is None else _margin_cell(least), Text(case), words)
    console.print(table)
    console.print("--margins FILE.csv writes every margin; --load-case NAME shows a load case in full")
    console.print()


def worst_by_mode(result: Result) -> list[tuple[str, list[MarginRow]]]:
    """(failure mode, its rows, smallest margin first), in the order of the smallest margins."""
    modes: dict[str, list[MarginRow]] = {}
    for row in result.margins:
        modes.setdefault(row.mode, []).append(row)
    return list(modes.items())


def _load_line(load: LoadCaseResult, display: Display) -> str:
    shown = display.shown
    parts = [
        " + ".join(
            f"{one.component} {shown(one.line_load, 'line load')}" for one in load.components if one.acts == "along"
        )
        + " at the peak fibre",
        *(
            f"external pressure {shown(one.applied, 'pressure')}"
            if one.acts == "pressure"
            else f"{one.component}: shear flow {shown(one.line_load, 'shear flow')}"
            for one in load.components
            if one.acts != "along"
        ),
        f"p {shown(load.pressure_minimum, 'pressure')} to {shown(load.pressure_maximum, 'pressure')}",
        f"relief p R/2 {shown(load.relief, 'line load')}",
        f"{load.temperature:g} K",
        f"FS {factors_text(load)}",
    ]
    return "; ".join(parts)


def _margin_table(rows: tuple[MarginRow, ...], display: Display, *, with_case: bool = False) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    table.add_column("failure mode", overflow="fold")
    for name in ("limit", "knockdown", "allowable"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("margin", no_wrap=True)
    table.add_column("net", no_wrap=True)
    if with_case:
        table.add_column("load case", overflow="fold")
    for row in rows:
        cells = [
            row.mode,
            display.shown(row.demand, row.quantity),
            knockdown_text(row) if row.kind == "stability" else "",
            display.shown(row.capacity, row.quantity),
            _margin_cell(row),
            net_text(row),
        ]
        style = "red" if row.status == "fails" else "yellow" if row.status in ("refused", "withheld") else ""
        table.add_row(*cells, *([Text(printable(row.load_case))] if with_case else []), style=style)
    return table


def _margin_cell(row: MarginRow) -> str:
    return STATUS_MARK[row.status] if row.margin is None else f"{STATUS_MARK[row.status][0]} {margin_text(row)}"
