"""One point of a study or map as a case of its own."""

from __future__ import annotations

import copy
from dataclasses import replace
from pathlib import Path
from typing import Any

from ..core.errors import Refusal
from ..io.language.case_file import CaseFile
from ..io.language.keys import changed
from ..io.language.study_plan import StudyPlan, Variation
from ..io.store.kept import refuse_edited
from .design import Design
from .maps import kept_plan


def point_of(folder: str | Path, number: int) -> tuple[CaseFile, tuple[tuple[Variation, Any], ...]]:
    """The case of a point, and the value of every input that is varied.

    Parameters
    ----------
    folder : str or Path
        Of the study or map.
    number : int
        Of the point, from 0.

    Raises
    ------
    Refusal
        When the folder holds no study, was edited since, or has no such point.
    """
    plan = kept_plan(folder)
    refuse_edited(Path(folder), plan)
    design = Design(plan)
    if not 0 <= number < len(design):
        allowed = f"0 to {len(design) - 1}, as in the first column of the table"
        raise Refusal.of("value-range", "there is no such point", "--point", str(number), allowed)
    file = _point_file(plan, design, number, Path(folder).name)
    return file, tuple(zip(plan.vary, design.values(number), strict=True))


def _point_file(plan: StudyPlan, design: Design, number: int, name: str) -> CaseFile:
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
