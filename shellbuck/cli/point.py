"""The point command: one point of a study or map as a full run."""

from __future__ import annotations

import copy
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from ..core.errors import Refusal
from ..io import CaseFile, result_object
from ..io.language.case_text import case_text
from ..io.language.keys import changed
from ..io.language.study_plan import StudyPlan
from ..io.results import json_text
from ..io.store.kept import refuse_edited
from ..margins import assess
from ..report.text.display import DISPLAYS
from ..study.design import Design
from ..study.maps import kept_plan
from .again import command_line, run_time
from .output import keep_apart, printable, write_text
from .targeting import claim, written


def open_point(
    folder: str,
    number: int,
    page_target: str | None,
    json_target: str | None,
    case_target: str | None,
    units: str,
    brief: bool,
    force: bool = False,
) -> int:
    """Run one point in full and return its exit status."""
    targets = [t for t in (page_target, json_target, case_target) if t is not None]
    keep_apart(str(Path(folder) / "case.toml"), *targets)
    for target in targets:
        if Path(target).resolve().parent == Path(folder).resolve():
            raise Refusal.of(
                "file-exists", "the folder of a study takes no other files", target, way_out="write it somewhere else"
            )
    claim(page_target, json_target, force=force)
    claim(case_target, force=force, always=True)
    plan = kept_plan(folder)
    refuse_edited(Path(folder), plan)
    design = Design(plan)
    if not 0 <= number < len(design):
        allowed = f"0 to {len(design) - 1}"
        raise Refusal.of("value-range", "there is no such point", "NUMBER", str(number), allowed)
    file = point_file(plan, design, number, Path(folder).name)
    if case_target is not None:
        write_text(Path(case_target), case_text(file.case, f"Point {number} of {printable(Path(folder).name)}."))
    result, display = assess(file.case), DISPLAYS[units]
    if page_target is not None:
        from ..report.pages.page import page

        write_text(Path(page_target), page(result, file, display, command=command_line(), when=run_time()))
    if json_target is not None:
        write_text(Path(json_target), json_text(result_object(result, file)) + "\n")
    written(page_target, json_target, case_target)
    from ..report.figures.study_data import shown_value
    from .table import print_result

    click.echo(printable(f"point {number} of {folder}"))
    for variation, value in zip(plan.vary, design.values(number), strict=True):
        click.echo(printable(f"{variation.title}: {shown_value(variation, value, display)}"))
    print_result(result, file.case, display, brief=brief)
    for word, target in (("page", page_target), ("json", json_target), ("case", case_target)):
        if target is not None:
            click.echo(f"{word}: {printable(target)}")
    return result.verdict.exit_status


def point_file(plan: StudyPlan, design: Design, number: int, name: str) -> CaseFile:
    """The case of a point; what the point changes is marked among the values as read."""
    changes = design.changes(number)
    raw = copy.deepcopy(plan.base.raw)
    for variation in plan.vary:
        for place in (*variation.places, *(p for f in variation.follow for p in f.places)):
            value = changes[place.path]
            text = f"{value:.9g} {place.unit}".strip() if isinstance(value, float) else str(value)
            _mark(raw, place.path, f"{text} (point {number})")
    name = f"{plan.base.name}, point {number} of {name}"
    return replace(plan.base, case=changed(plan.case, changes), raw=raw, name=name)


def _mark(raw: Any, path: tuple[str | int, ...], text: str) -> None:
    """Write text at a path of the values as read, where the path is there."""
    for word in path[:-1]:
        try:
            raw = raw[word]
        except (KeyError, IndexError, TypeError):
            return
    if isinstance(raw, dict):
        raw[path[-1]] = text
