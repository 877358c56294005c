"""The table of points of a study: CSV text to variations, one a column."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import Any

from ...core.errors import Refusal
from ...model import Case
from ..file_bytes import regular_bytes
from .keys import Place, places
from .study_places import with_keys
from .study_plan import Variation

_LARGEST = 100_000_000
"""Bytes of a table of points."""


def table_text(path: Path) -> str:
    """Text of a table of points."""
    data = regular_bytes(path, _LARGEST, "a table of points", "check the path")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Refusal.of(
            "file-unreadable", f"the file cannot be read ({error})"[:120], str(path)[:200], way_out="save it as UTF-8"
        ) from None


_HEAD = re.compile(r"\s*(.*?)\s*(?:\[([^\[\]]*)\])?\s*")


def variations_of(text: str | None, case: Case) -> list[Variation]:
    """Variations of a table of points: a column each, headed ``key [unit]``."""
    if text is None:
        allowed = 'table = "points.csv", headed "barrel.skin_thickness [mm]"'
        raise Refusal.of("key-missing", "the method needs a table of points", "table", "nothing", allowed)
    rows = [row for row in csv.reader(io.StringIO(text)) if any(cell.strip() for cell in row)]
    if len(rows) < 2:
        allowed = "a line of headings and one line per point"
        raise Refusal.of("study-range", "the table has no point", "table", f"{len(rows)} lines", allowed)
    head, body = rows[0], rows[1:]
    problems, vary = [], []
    ragged = [i for i, row in enumerate(body, 2) if len(row) != len(head)]
    if ragged:
        what, where = "a line of the table has another number of cells", f"table, line {ragged[0]}"
        raise Refusal.of("study-table", what, where, "", f"{len(head)} cells")
    for j, title in enumerate(head):
        key, unit = _HEAD.fullmatch(title).groups()
        where = f"table, column {key[:60]}"
        try:
            found = places(case, key, where)
            values = tuple(_cell(row[j], found[0], unit, f"{where}, line {i}") for i, row in enumerate(body, 2))
            vary.append(Variation(key, found, values))
        except Refusal as refusal:
            problems += [with_keys(p, case) for p in refusal.problems]
    if problems:
        raise Refusal(problems[:20])
    return vary


def _cell(cell: str, place: Place, unit: str | None, where: str) -> Any:
    cell = cell.strip()
    if place.kind == "quantity":
        text = f"{cell} {unit}" if unit and unit != "-" else cell
        return place.read(text, where)
    if place.kind == "whole":
        return place.read(int(cell) if re.fullmatch(r"[+-]?\d+", cell) else cell, where)
    if place.kind == "choice" and True in place.choices:
        return place.read({"true": True, "false": False}.get(cell.lower(), cell), where)
    return place.read(cell, where)
