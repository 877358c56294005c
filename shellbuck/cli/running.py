"""The run command: read, assess, print, write."""

from __future__ import annotations

from pathlib import Path

import click

from ..assess import assess
from ..files import read_case, result_object
from ..files.results import json_text
from ..report.wording import DISPLAYS
from .output import keep_apart, print_json, printable, try_places, write_text


def run_case(
    case: str, json_target: str | None, page_target: str | None, units: str, brief: bool, by_mesh: bool = False
) -> int:
    """Run a case and return its exit status."""
    keep_apart(case, json_target, page_target)
    display = DISPLAYS[units]
    file = read_case(case)
    result = assess(file.case)
    if by_mesh:
        try_places(json_target, page_target)
        from ..assess.meshed import checked_by_mesh
        from .mesh_check import tell

        result, _ = checked_by_mesh(result, file.case, progress=tell)
    document = result_object(result, file)
    if page_target is not None:
        from ..report.page import page

        write_text(Path(page_target), page(result, file, display))
    if json_target is not None and json_target != "-":
        write_text(Path(json_target), json_text(document) + "\n")
    if json_target == "-":
        print_json(document)
        return result.verdict.exit_status
    from .table import print_result

    print_result(result, file.case, display, brief=brief)
    if page_target is not None:
        click.echo(f"page: {printable(page_target)}")
    if json_target is not None:
        click.echo(f"json: {printable(json_target)}")
    return result.verdict.exit_status
