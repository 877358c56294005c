"""The run command: a case, or one point of a study, to margins, table, page and JSON."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..core.errors import Refusal
from .commands import CASE_FILE, FORCE, units, user_command
from .output import keep_apart, name_files, print_json, printable, tell, try_places, write_bytes, write_text
from .reproduction import command_line, run_time
from .selection import load_case_named
from .targeting import claim, written
from .targets import CASE, JSON_OR_SCREEN, PAGE, PDF, SHEET

if TYPE_CHECKING:
    from ..core.records import Result
    from ..io import CaseFile
    from ..io.earlier import Earlier
    from ..report.text.display import Display


@dataclass(frozen=True)
class RunOptions:
    """Options of the command."""

    point: int | None
    json_target: str | None
    page_target: str | None
    pdf_target: str | None
    case_target: str | None
    units: str
    by_mesh: bool
    remarks: str | None
    brief: bool
    force: bool = False
    load_cases: tuple[str, ...] = ()
    margins_target: str | None = None
    against: str | None = None


@user_command("run", "CASE is a case file, or with --point the folder of a study or map.")
@CASE_FILE
@click.option("--point", type=int, help="Number of a point of the study whose folder is given.")
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the result as JSON; - prints only that.")
@click.option("--page", "page_target", type=PAGE, help="Write the report page (HTML).")
@click.option("--pdf", "pdf_target", type=PDF, help="Write the report as PDF (needs weasyprint).")
@click.option("--case", "case_target", type=CASE, help="Write the point as a case file (TOML).")
@units("table and page (JSON is SI)")
@click.option("--mesh", "by_mesh", is_flag=True, help="Check the governing load case by shell meshes (minutes).")
@click.option(
    "--remarks", type=click.Path(), help="A reviewed page, or its saved remarks (JSON), to show beside the new numbers."
)
@click.option(
    "--load-case",
    "load_cases",
    multiple=True,
    help="Of many load cases show this one in full too, beside those that decide; may be repeated.",
)
@click.option(
    "--margins", "margins_target", type=SHEET, help="Write every margin, one line a load case and mode (CSV or XLSX)."
)
@click.option("--against", type=click.Path(), help="JSON of an earlier run: show what has changed since.")
@click.option("--brief", is_flag=True, help="Smallest margins and warnings only.")
@FORCE
@click.pass_context
def command(context: click.Context, case: str, **options: object) -> None:
    """Run, print, write; the verdict is the exit status."""
    context.exit(run_case(case, RunOptions(**options)))


def run_case(case: str, options: RunOptions) -> int:
    """Run a case or a point and return the exit status."""
    from ..io import read_case, result_object
    from ..io.pages.remarks import read_remarks
    from ..io.results import json_text
    from ..margins import assess
    from ..report.text.display import DISPLAYS

    targets = (options.page_target, options.pdf_target, options.json_target)
    single = (options.case_target, options.margins_target)
    display = DISPLAYS[options.units]
    _refuse_options(case, options)
    keep_apart(case if options.point is None else str(Path(case) / "case.toml"), *targets, *single)
    if options.against is not None:
        keep_apart(options.against, *targets, *single, what="the earlier result")
    if options.remarks is not None:
        keep_apart(options.remarks, *targets, what="the remarks")
    claim(*targets, force=options.force, remarks=options.remarks)
    claim(*single, force=options.force, always=True)
    if options.pdf_target is not None:
        from ..report.pages.printing import ready

        ready()
    if Path(options.margins_target or "").suffix.lower() == ".xlsx":
        from ..io.sheets import need_workbooks

        need_workbooks("--margins")
    earlier = None
    if options.against is not None:
        from ..io.earlier import read_earlier

        earlier = read_earlier(options.against)
    file, head = (read_case(case), []) if options.point is None else _point(case, options.point, display)
    for name, _ in file.tables:
        keep_apart(str(Path(case).parent / name), *targets, *single, what="a table of the case")
    given = None if options.remarks is None else read_remarks(options.remarks)
    try_places(*targets, *single)
    if options.case_target is not None:
        from ..io.language.case_text import case_text

        write_text(Path(options.case_target), case_text(file.case, f"{head[0].capitalize()}."))
    for name in options.load_cases:
        load_case_named(file.case, name)
    result = assess(file.case, full=options.load_cases)
    if options.by_mesh:
        from ..margins.meshed import checked_by_mesh

        result, _ = checked_by_mesh(result, file.case, progress=tell)
    document = result_object(result, file)
    if options.page_target is not None or options.pdf_target is not None:
        from ..report.pages.page import filled_page, page_parts

        parts = page_parts(result, file, display, given, command_line(), run_time())
        if options.page_target is not None:
            write_text(Path(options.page_target), filled_page(parts))
        if options.pdf_target is not None:
            from ..report.pages.printing import pdf

            write_bytes(Path(options.pdf_target), pdf(filled_page(parts, scripted=False)))
    if options.json_target not in (None, "-"):
        write_text(Path(options.json_target), json_text(document) + "\n")
    if options.margins_target is not None:
        write_bytes(Path(options.margins_target), _sheet(options.margins_target, result, display, earlier))
    written(*targets, *single)
    if options.json_target == "-":
        print_json(document)
        return result.verdict.exit_status
    from .table import print_result

    for line in head:
        click.echo(line)
    print_result(result, file.case, display, brief=options.brief)
    if earlier is not None:
        from .differences import print_differences

        print_differences(result, earlier)
    name_files(
        page=options.page_target,
        pdf=options.pdf_target,
        json=options.json_target,
        case=options.case_target,
        margins=options.margins_target,
    )
    return result.verdict.exit_status


def _sheet(target: str, result: Result, display: Display, earlier: Earlier | None) -> bytes:
    """Every margin as the bytes of the file that its name asks for."""
    from ..io.sheets import csv_bytes, xlsx_bytes
    from ..report.text.margin_rows import margin_table

    head, rows = margin_table(result, display, earlier)
    if Path(target).suffix.lower() == ".xlsx":
        return xlsx_bytes("margins", head, rows)
    return csv_bytes(head, rows)


def _refuse_options(case: str, options: RunOptions) -> None:
    """Refuse options that do not belong together."""
    if options.point is None and options.case_target is not None:
        raise Refusal.of("command-line", "only a point is written as a case file", "--case", way_out="add --point")
    if options.point is None and Path(case).is_dir():
        what = "this is a folder, not a case file"
        raise Refusal.of("command-line", what, case[:200], "", "", "for a point of a study add --point NUMBER")
    if options.remarks is not None and options.page_target is None and options.pdf_target is None:
        what = "remarks are shown on the page only"
        raise Refusal.of("remarks-without-page", what, "--remarks", "no --page", way_out="add --page FILE")
    if options.point is None:
        return
    each = (options.json_target, options.page_target, options.pdf_target, options.case_target, options.margins_target)
    for target in each:
        if target not in (None, "-") and Path(target).resolve().parent == Path(case).resolve():
            what = "the folder of a study takes no other files"
            raise Refusal.of("file-exists", what, target, way_out="write it somewhere else")


def _point(folder: str, number: int, display: Display) -> tuple[CaseFile, list[str]]:
    """The case of a point, and the lines that name it and its values."""
    from ..report.figures.study_data import shown_value
    from ..study.point import point_of

    file, values = point_of(folder, number)
    head = [f"point {number} of {Path(folder).name}"]
    head += [f"{variation.title}: {shown_value(variation, value, display)}" for variation, value in values]
    return file, [printable(line) for line in head]
