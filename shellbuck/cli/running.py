"""The run command: read, assess, print, write."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from ..core.errors import Refusal
from ..io import read_case, result_object
from ..io.pages.remarks import read_remarks
from ..io.results import json_text
from ..margins import assess
from ..report.text.display import DISPLAYS
from .again import command_line, run_time
from .output import keep_apart, print_json, printable, tell, try_places, write_bytes, write_text
from .targeting import claim, written


@dataclass(frozen=True)
class Wanted:
    """What is asked for beside the table on the screen."""

    json_target: str | None
    page_target: str | None
    pdf_target: str | None
    units: str
    by_mesh: bool
    remarks: str | None
    brief: bool
    force: bool = False


def run_case(case: str, wanted: Wanted) -> int:
    """Run a case and return its exit status."""
    json_target, page_target = wanted.json_target, wanted.page_target
    keep_apart(case, json_target, page_target, wanted.pdf_target)
    if wanted.remarks is not None:
        keep_apart(wanted.remarks, json_target, page_target, wanted.pdf_target, what="the remarks")
    claim(json_target, page_target, wanted.pdf_target, force=wanted.force, remarks=wanted.remarks)
    if wanted.pdf_target is not None:
        from ..report.pages.printing import ready

        ready()
    display = DISPLAYS[wanted.units]
    file = read_case(case)
    given = None
    if wanted.remarks is not None:
        if page_target is None and wanted.pdf_target is None:
            raise Refusal.of(
                "remarks-without-page",
                "remarks are shown on the page only",
                "--remarks",
                "no --page",
                way_out="add --page FILE",
            )
        given = read_remarks(wanted.remarks)
    try_places(json_target, page_target, wanted.pdf_target)
    result = assess(file.case)
    if wanted.by_mesh:
        from ..margins.meshed import checked_by_mesh

        result, _ = checked_by_mesh(result, file.case, progress=tell)
    document = result_object(result, file)
    if page_target is not None or wanted.pdf_target is not None:
        from ..report.pages.page import filled_page, page_parts

        parts = page_parts(result, file, display, given, command_line(), run_time())
        if page_target is not None:
            write_text(Path(page_target), filled_page(parts))
        if wanted.pdf_target is not None:
            from ..report.pages.printing import pdf

            write_bytes(Path(wanted.pdf_target), pdf(filled_page(parts, scripted=False)))
    if json_target is not None and json_target != "-":
        write_text(Path(json_target), json_text(document) + "\n")
    written(json_target, page_target, wanted.pdf_target)
    if json_target == "-":
        print_json(document)
        return result.verdict.exit_status
    from .table import print_result

    print_result(result, file.case, display, brief=wanted.brief)
    if page_target is not None:
        click.echo(f"page: {printable(page_target)}")
    if wanted.pdf_target is not None:
        click.echo(f"pdf: {printable(wanted.pdf_target)}")
    if json_target is not None:
        click.echo(f"json: {printable(json_target)}")
    return result.verdict.exit_status
