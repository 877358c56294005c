"""Tables that a case file names: CSV or XLSX to rows of text under headings with units. The only door to openpyxl."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any
from zipfile import BadZipFile

from ...core.errors import Problem, Refusal, install_words
from ..file_bytes import regular_bytes
from .units import UnitError, parse_quantity

LARGEST = 20_000_000
"""Bytes of a table."""

MOST_ROWS = 100_000

_HEAD = re.compile(r"\s*(.*?)\s*(?:\[([^\[\]]*)\])?\s*")


@dataclass(frozen=True)
class Column:
    """A heading: the key as it stands there, and its unit, empty without one."""

    head: str
    key: str
    unit: str


@dataclass(frozen=True, eq=False)
class Sheet:
    """A table as read: file name, SHA-256 of its bytes, columns, and the rows with their numbers in the file (from 1,
    the headings included)."""

    name: str
    digest: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]

    def place(self, row: int | None = None, column: Column | None = None) -> str:
        """Where something stands, for a message."""
        parts = [f"table {self.name}"]
        parts += [] if row is None else [f"row {row}"]
        parts += [] if column is None else [f'column "{column.head}"']
        return ", ".join(parts)


def confined(folder: Path, name: str, where: str) -> Path:
    """The path of a table named in a file of `folder`: beside it or below, nowhere else.

    Raises
    ------
    Refusal
    """
    posix, windows = PurePosixPath(name), PureWindowsPath(name)
    if (
        not name.strip()
        or posix.is_absolute()
        or windows.drive
        or windows.root
        or ".." in (*posix.parts, *windows.parts)
    ):
        allowed = "a file beside the case file or in a folder below it"
        raise Refusal.of("table-place", "a table stands beside the file that names it", where, repr(name)[:80], allowed)
    return folder / name


def read_sheet(path: Path) -> Sheet:
    """A table of a CSV or XLSX file: the first sheet of a workbook.

    Raises
    ------
    Refusal
        With every problem of headings and lines.
    """
    kind = path.suffix.lower()
    if kind not in (".csv", ".xlsx"):
        what, way_out = "a table is read from CSV or XLSX", "save it as CSV (UTF-8) or XLSX"
        raise Refusal.of("table-kind", what, path.name[:200], path.suffix[:20] or "no ending", ".csv, .xlsx", way_out)
    data = regular_bytes(path, LARGEST, "a table", "check the path: it is relative to the file that names it")
    lines = _csv_lines(data, path.name) if kind == ".csv" else _xlsx_lines(data, path.name)
    filled = [(i, row) for i, row in enumerate(lines, 1) if any(row)]
    if len(filled) < 2:
        allowed = "a line of headings and one line or more below it"
        raise Refusal.of("table-empty", "the table has no line", path.name[:200], f"{len(filled)} lines", allowed)
    if len(filled) > MOST_ROWS:
        raise Refusal.of("file-too-large", "too many rows", path.name[:200], str(len(filled)), str(MOST_ROWS))
    (_, head), *body = filled
    columns = tuple(_column(cell) for cell in head)
    while columns and not columns[-1].head:  # a spreadsheet leaves empty cells at the right
        columns = columns[:-1]
    sheet = Sheet(path.name, hashlib.sha256(data).hexdigest(), columns, ())
    problems = list(_head_problems(sheet))
    rows = []
    for number, row in body:
        cells = (*row, *[""] * (len(columns) - len(row)))
        if any(cells[len(columns) :]) or (kind == ".csv" and len(row) < len(columns)):
            what = "the line has another number of cells than the headings"
            place = sheet.place(number)
            problems.append(Problem("table-cells", what, place, f"{len(row)} cells", f"{len(columns)} cells"))
        rows.append((number, cells[: len(columns)]))
    if problems:
        raise Refusal(problems)
    return Sheet(sheet.name, sheet.digest, columns, tuple(rows))


def _column(cell: str) -> Column:
    key, unit = _HEAD.fullmatch(cell).groups()
    return Column(cell, re.sub(r"[\s-]+", "_", key.strip().lower()), (unit or "").strip())


def _head_problems(sheet: Sheet):
    seen = set()
    for i, column in enumerate(sheet.columns, 1):
        if not column.key:
            yield Problem("table-heading", f"column {i} has no heading", sheet.place(), "", "a key with its unit")
        elif column.key in seen:
            yield Problem("table-heading", "two columns have the same heading", sheet.place(None, column))
        seen.add(column.key)


def _csv_lines(data: bytes, name: str) -> list[list[str]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        what, got = "the table is not UTF-8 text", f"byte {data[error.start]:#04x} at {error.start}"
        raise Refusal.of("file-encoding", what, name[:200], got, "UTF-8", "save it as CSV UTF-8") from None
    first = re.sub(r'"[^"]*"', "", next((line for line in text.splitlines() if line.strip()), ""))
    separator = max(",;\t", key=first.count)
    try:
        return [
            [cell.strip() for cell in row] for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        ]
    except csv.Error as error:
        raise Refusal.of("table-cells", f"the table cannot be read ({error})", name[:200]) from None


def _xlsx_lines(data: bytes, name: str) -> list[list[str]]:
    try:
        from openpyxl import load_workbook
    except ImportError:
        what = "XLSX needs the openpyxl library"
        way_out = f"{install_words('openpyxl')}, or save the table as CSV"
        raise Refusal.of("library-missing", what, name[:200], "", "", way_out) from None
    try:
        values, formulas = (
            load_workbook(io.BytesIO(data), read_only=True, data_only=only).worksheets[0] for only in (True, False)
        )
        found = [list(row) for row in values.iter_rows(max_row=MOST_ROWS + 2, values_only=True)]
        written = [list(row) for row in formulas.iter_rows(max_row=MOST_ROWS + 2, values_only=True)]
    except (BadZipFile, OSError, KeyError, ValueError, IndexError, TypeError, AttributeError) as error:
        what = f"the workbook cannot be read ({type(error).__name__})"
        raise Refusal.of("file-unreadable", what, name[:200], "", "an XLSX workbook", "save it as CSV") from None
    problems = []
    for i, (row, line) in enumerate(zip(found, written, strict=True), 1):
        for cell, text in zip(row, line, strict=True):
            if cell is None and isinstance(text, str) and text.startswith("="):
                what, way_out = "a formula without a saved value", "open the workbook, let it calculate, and save it"
                problems.append(Problem("table-cells", what, f"table {name}, row {i}", text[:60], "", way_out))
    if problems:
        raise Refusal(problems[:50])
    return [[_cell(cell) for cell in row] for row in found]


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    return str(value).strip()


@cache
def _line(unit: str, kind: str) -> tuple[float, float]:
    zero = parse_quantity(f"0 {unit}", kind)
    return zero, parse_quantity(f"1 {unit}", kind) - zero


def in_si(cell: str, column: Column, kind: str, low: float, high: float) -> float:
    """A cell in SI: a number in the unit of its heading, or with its own unit where the heading has none.

    Raises
    ------
    UnitError
    """
    if not column.unit:
        return parse_quantity(cell, kind, low, high)
    number = parse_quantity(cell, "number")
    if kind == "number":
        return number
    if kind == "temperature":  # a zero of its own
        return parse_quantity(f"{cell} {column.unit}", kind, low, high)
    zero, slope = _line(column.unit, kind)
    return zero + slope * number


def unit_problem(sheet: Sheet, column: Column, kind: str) -> Problem | None:
    """What is wrong with the unit of a heading; None where it can be read."""
    unit = column.unit
    try:
        if not unit or (kind == "number" and unit in ("-", "1")):
            return None
        if kind == "number":
            return Problem("unit-dimension", "this column has no unit", sheet.place(None, column), unit, "no unit")
        parse_quantity(f"1 {unit}", kind)
    except UnitError as error:
        found = error.problem
        return Problem(found.code, found.what, sheet.place(None, column), unit[:60], found.allowed, found.way_out)
    return None
