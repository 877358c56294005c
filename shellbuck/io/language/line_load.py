"""Line loads around the barrel from a table of a load case: two load cases, its peak and its least all around."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np

from ...core.errors import Problem, Refusal
from ...model.around import WIDEST_GAP, LineLoadAround, parts_of
from .hints import suggestion
from .table_file import Sheet, confined, in_si, read_sheet, unit_problem
from .units import UnitError, parse_quantity

KEY = "line_load_table"
"""Key of a load case."""
KINDS = {"theta": "angle", "line_load": "line load"}
_PLACED = ("axial_force", "bending_moment", "around")
_PRESSURES = ("pressure_minimum", "pressure_maximum")


def with_line_loads(raw: dict[str, Any], radius: float | None, folder: Path | None) -> tuple[dict[str, Any], tuple]:
    """The tables of a case file whose load cases with a table of line loads are two each, the second at the end of the
    list; name and SHA-256 of every such table.

    Parameters
    ----------
    raw : dict
        As read.
    radius : float or None
        Of the middle of the skin [m]; None where the barrel cannot be read, which is told elsewhere.
    folder : Path or None
        Of the case file.

    Raises
    ------
    Refusal
        With every problem found.
    """
    listed = raw.get("load_cases")
    if not isinstance(listed, list) or not any(isinstance(table, dict) and KEY in table for table in listed):
        return raw, ()
    first, second, tables, problems = [], [], [], []
    for i, table in enumerate(listed):
        if not isinstance(table, dict) or KEY not in table:
            first.append(table)
            continue
        try:
            (peak, *least), sheet = _pair(table, radius, folder, f"load_cases.{i}")
            first.append(peak)
            second += least
            tables.append((str(table[KEY]), sheet.digest))
        except Refusal as refusal:
            problems += refusal.problems
            first.append({key: value for key, value in table.items() if key != KEY})
    if problems:
        raise Refusal(problems)
    return {**raw, "load_cases": [*first, *second]}, tuple(tables)


def _pair(table: dict[str, Any], radius: float | None, folder: Path | None, where: str) -> tuple[list[dict], Sheet]:
    for key in _PLACED:
        if key in table:
            what = f"the {key.replace('_', ' ')} of this load case is in its table"
            raise Refusal.of("value-foreign", what, f"{where}.{key}", way_out=f"drop {key}, or {KEY}")
    name, called = table[KEY], table.get("name")
    if not isinstance(name, str):
        raise Refusal.of(
            "value-kind", "text in quotes is needed", f"{where}.{KEY}", repr(name)[:60], f'{KEY} = "n.csv"'
        )
    if folder is None:
        what = "a case that is no file has no folder for its table"
        raise Refusal.of("table-place", what, f"{where}.{KEY}", name[:80], "", "read the case from its file")
    sheet = read_sheet(confined(folder, name, f"{where}.{KEY}"))
    found = _parts(sheet)
    rest = {key: value for key, value in table.items() if key != KEY}
    if radius is None or not isinstance(called, str):  # told where barrel and name are read
        return [rest], sheet
    around = {key: value if key == "table" else f"{value!r} N/m" for key, value in asdict(found).items()}
    each = [("peak", found.peak)]
    if found.least < 0 or (found.least < found.peak and any(_acts(table.get(key)) for key in _PRESSURES)):
        each.append(("least", found.least))  # else its stress lies between none and that of the peak
    return [
        {
            **rest,
            "name": f"{called}, {word} line load",
            "axial_force": f"{2 * math.pi * radius * N!r} N",
            "around": around,
        }
        for word, N in each
    ], sheet


def _acts(pressure: Any) -> bool:
    """Whether a pressure is given that is not zero; one that cannot be read is told elsewhere."""
    try:
        return pressure is not None and parse_quantity(pressure, "pressure") != 0
    except UnitError:
        return False


def _parts(sheet: Sheet) -> LineLoadAround:
    problems = list(_column_problems(sheet))
    if problems:
        raise Refusal(problems)
    values: dict[str, list[float]] = {column.key: [] for column in sheet.columns}
    for number, cells in sheet.rows:
        for column, cell in zip(sheet.columns, cells, strict=True):
            try:
                values[column.key].append(in_si(cell, column, KINDS[column.key], -np.inf, np.inf))
            except UnitError as error:
                problems.append(replace(error.problem, where=sheet.place(number, column)))
    if problems:
        raise Refusal(problems)
    angles, loads = values["theta"], values["line_load"]
    turn = 2 * math.pi
    if len(angles) > 1 and abs(angles[-1] - angles[0] - turn) < 1e-9 * turn:
        if abs(loads[-1] - loads[0]) > 1e-9 * max(map(abs, loads)):
            what, got = "the line load at 360 deg is not that at 0 deg", f"{loads[-1]:g} N/m and {loads[0]:g} N/m"
            raise Refusal.of("line-load-angles", what, sheet.place(sheet.rows[-1][0]), got, "the same")
        angles, loads = angles[:-1], loads[:-1]
    gaps = np.diff([*angles, angles[0] + turn])
    at = int(np.argmax((gaps <= 0) | (gaps > WIDEST_GAP * (1 + 1e-9))))
    if gaps[at] <= 0 or gaps[at] > WIDEST_GAP * (1 + 1e-9):
        what = "angles must rise once around, no two lines farther apart than a peak is wide"
        got, allowed = (
            f"{math.degrees(gaps[at]):.4g} deg to the next line",
            "0 to 30 deg, from the last to the first too",
        )
        raise Refusal.of(
            "line-load-angles", what, sheet.place(sheet.rows[at][0]), got, allowed, "give more lines, sorted"
        )
    return parts_of(sheet.name, angles, loads)


def _column_problems(sheet: Sheet) -> Iterator[Problem]:
    keys = [column.key for column in sheet.columns]
    for column in sheet.columns:
        if column.key not in KINDS:
            what, near = "no column of a table of line loads", suggestion(column.key, list(KINDS))
            yield Problem("key-unknown", what, sheet.place(None, column), "", ", ".join(KINDS), near)
        elif found := unit_problem(sheet, column, KINDS[column.key]):
            yield found
    for key, unit in (("theta", "deg"), ("line_load", "N/mm")):
        if key not in keys:
            yield Problem("key-missing", "a column is missing", sheet.place(), "nothing", f"{key} [{unit}]")
