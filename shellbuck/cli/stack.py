"""The stack command: barrels at stations under tables of section forces, to margins by station."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .commands import FORCE, units, user_command
from .output import keep_apart, name_files, print_json, printable, refuse_existing, try_places, write_bytes, write_text
from .reproduction import command_line, run_time
from .targeting import claim, written
from .targets import JSON_OR_SCREEN, PAGE, SHEET

if TYPE_CHECKING:
    from ..core.records import Result
    from ..io.language.stack_file import StackFile
    from ..io.stacks import EarlierStack
    from ..report.text.display import Display

_ORDER = (2, 1, 3, 0)
"""Statuses by what decides the whole: refused, a negative margin, incomplete, holds."""


@user_command(
    "stack",
    """
    FILE names the case files of the barrels with their stations, and events with tables of section forces, ullage
    pressures and liquids. The load cases of the case files are left to their own runs.
    """,
)
@click.argument("file", type=click.Path())
@click.option("--page", "page_target", type=PAGE, help="Write the page with the plot by station (HTML).")
@click.option("--margins", "margins_target", type=SHEET, help="Write every margin by station (CSV or XLSX).")
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the results as JSON; - prints only that.")
@click.option("--against", type=click.Path(), help="JSON of an earlier run: show what has changed since.")
@click.option(
    "--cases", "folder", type=click.Path(), help="Folder for the barrels as case files with their load cases."
)
@units("table and page")
@FORCE
@click.pass_context
def command(
    context: click.Context,
    file: str,
    page_target: str | None,
    margins_target: str | None,
    json_target: str | None,
    against: str | None,
    folder: str | None,
    units: str,
    force: bool,
) -> None:
    """Run every barrel; the worst verdict is the exit status."""
    from ..io.language.case_text import case_text
    from ..io.language.stack_file import read_stack
    from ..margins import assess
    from ..report.text.display import DISPLAYS

    display = DISPLAYS[units]
    keep_apart(file, page_target, margins_target, json_target, what="the stack file")
    if against is not None:
        keep_apart(against, page_target, margins_target, json_target, what="the earlier result")
    claim(page_target, json_target, force=force)
    claim(margins_target, force=force, always=True)
    if Path(margins_target or "").suffix.lower() == ".xlsx":
        from ..io.sheets import need_workbooks

        need_workbooks("--margins")
    earlier = None
    if against is not None:
        from ..io.stacks import read_earlier_stack

        earlier = read_earlier_stack(against)
    stack = read_stack(file)
    targets = (page_target, margins_target, json_target)
    for name in (*(one.barrel.case for one in stack.barrels), *(name for name, _ in stack.tables)):
        keep_apart(str(Path(file).parent / name), *targets, what="an input of the stack")
    written_cases = []
    if folder is not None:
        written_cases = [Path(folder) / f"{i}-{Path(one.barrel.case).name}" for i, one in enumerate(stack.barrels, 1)]
        for place in written_cases:
            refuse_existing(str(place), force)
        Path(folder).mkdir(parents=True, exist_ok=True)
    try_places(*targets, *map(str, written_cases))
    results = [assess(one.file.case) for one in stack.barrels]
    status = next(s for s in _ORDER if any(r.verdict.exit_status == s for r in results))
    word = next(r.verdict.word for r in results if r.verdict.exit_status == status)
    for place, one in zip(written_cases, stack.barrels, strict=False):
        write_text(place, case_text(one.file.case, f"Barrel of {stack.name} under its loads by station."))
    if page_target is not None:
        from ..report.pages.stack_page import stack_page

        write_text(Path(page_target), stack_page(stack, results, display, word, command_line(), run_time()))
    if margins_target is not None:
        write_bytes(Path(margins_target), _sheet(margins_target, stack, results, display, earlier))
    if json_target is not None:
        from ..io.results import json_text
        from ..io.stacks import stack_object

        document = stack_object(stack, results, status, word)
        if json_target == "-":
            print_json(document)
            written(page_target, margins_target)
            context.exit(status)
        write_text(Path(json_target), json_text(document) + "\n")
    written(*targets)
    _print(stack, results, word)
    if earlier is not None:
        from .differences import print_stack_differences

        print_stack_differences(stack, results, (word, status), earlier)
    name_files(page=page_target, margins=margins_target, json=json_target, cases=folder)
    context.exit(status)


def _print(stack: StackFile, results: Sequence[Result], word: str) -> None:
    from rich.table import Table
    from rich.text import Text

    from ..core.records import shown_margin
    from ..report.pages.stack_page import least_row
    from ..report.text.display import STATUS_MARK
    from .screen import Screen

    console = Screen()
    console.print(Text(printable(stack.title), style="bold"))
    console.print(f"the stack {word}" if word in ("holds", "does not hold") else f"the stack: {word}")
    for one, result in zip(stack.barrels, results, strict=True):
        console.print()
        low, high = one.ends
        console.print(Text(printable(f"{one.barrel.case}, {low:.4g} to {high:.4g} m"), style="bold"))
        console.print(Text(printable(result.verdict.text)))
        table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
        for name in ("event", "station m", "margin", "failure mode"):
            table.add_column(name, overflow="fold", justify="right" if name == "station m" else "left")
        for cut, case in zip(one.cuts, result.load_cases, strict=True):
            row = least_row(case)
            shown = "-"
            if row is not None:
                mark = STATUS_MARK[row.status]
                shown = mark if row.margin is None else f"{mark[0]} {shown_margin(row.margin)}"
            mode = "" if row is None else row.mode
            table.add_row(Text(printable(cut.event)), f"{cut.station:.4g}", shown, mode)
        console.print(table)
    for caution in results[0].cautions:
        console.print(Text(f"caution: {caution}"))


def _sheet(
    target: str, stack: StackFile, results: Sequence[Result], display: Display, earlier: EarlierStack | None
) -> bytes:
    """Every margin with barrel, event and station before it."""
    from ..io.sheets import csv_bytes, xlsx_bytes
    from ..io.stacks import NEW, by_turn
    from ..report.text.margin_rows import margin_table

    head, rows = [], []
    keys = by_turn([one.barrel.case for one in stack.barrels])
    for key, one, result in zip(keys, stack.barrels, results, strict=True):
        first, found = margin_table(result, display, None if earlier is None else earlier.barrels.get(key, NEW))
        head = ["barrel", "event", "station [m]", *first]
        at = {cut.load.name: cut for cut in one.cuts}
        rows += [[one.barrel.case, at[row[0]].event, at[row[0]].station, *row] for row in found]
    return xlsx_bytes("margins", head, rows) if Path(target).suffix.lower() == ".xlsx" else csv_bytes(head, rows)
