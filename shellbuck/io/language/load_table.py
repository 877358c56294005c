"""A table of load cases beside a case file: one line a load case, a column a key, units in the headings."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import MISSING, dataclass, fields, replace
from pathlib import Path
from typing import Any

from ...core.errors import Problem, Refusal
from ...model import FACTOR_SETS, Factors, LoadCase
from ...model.checked import Checked, Quantity, declared, marker, without_none
from .hints import key_hint
from .schema import read_table
from .table_file import Column, Sheet, confined, in_si, read_sheet, unit_problem
from .units import UnitError

KEY = "load_table"
"""Key of a case file that names the table."""

_WORDS = {"true": True, "yes": True, "false": False, "no": False}


@dataclass(frozen=True, eq=False)
class LoadTable:
    """Load cases of a table.

    Parameters
    ----------
    sheet : Sheet
    texts : tuple of dict
        Every line as the table of a case file that it stands for.
    loads : tuple of LoadCase or None
        None for a line that could not be read.
    problems : tuple of Problem
        Placed by row and column.
    """

    sheet: Sheet
    texts: tuple[dict[str, Any], ...]
    loads: tuple[LoadCase | None, ...]
    problems: tuple[Problem, ...]

    def placed(self, problem: Problem, first: int) -> Problem:
        """A problem of ``load_cases.N``, of a case whose table starts at N = `first`, by row and column."""
        match = re.match(r"load_cases\.(\d+)(?:\.(\w+))?", problem.where)
        if match is None or int(match[1]) < first:
            return problem
        row = self.sheet.rows[int(match[1]) - first][0]
        column = next((c for c in self.sheet.columns if c.key == match[2]), None)
        place = self.sheet.place(row, column)
        rest = problem.where if column is None and match[2] else ""
        return replace(problem, where=f"{place}, {rest.partition('.')[2].partition('.')[2]}" if rest else place)


def read_load_table(name: Any, folder: Path | None, factor_sets: dict[str, Factors]) -> LoadTable:
    """Load cases of the table that a case file names.

    Parameters
    ----------
    name : object
        What the file gives: a name relative to its folder.
    folder : Path or None
        None for a text that came from no file.
    factor_sets : dict
        Sets of factors of the case file by name, beside the program's own.

    Raises
    ------
    Refusal
        Where the table as a whole cannot be read.
    """
    if not isinstance(name, str):
        raise Refusal.of("value-kind", "text in quotes is needed", KEY, repr(name)[:60], 'load_table = "loads.csv"')
    if folder is None:
        what = "a case that is no file has no folder for its table"
        raise Refusal.of("table-place", what, KEY, name[:80], "", "read the case from its file")
    sheet = read_sheet(confined(folder, name, KEY))
    hints = {f.name: without_none(declared(LoadCase)[f.name]) for f in fields(LoadCase)}
    # a table inside a load case has no column
    hints = {key: hint for key, hint in hints.items() if hint[0] is Factors or not _is_table(hint[0])}
    problems = list(_column_problems(sheet, hints))
    if problems:
        raise Refusal(problems)
    texts, loads = [], []
    for number, cells in sheet.rows:
        text, load, found = _line(sheet, number, cells, hints, factor_sets)
        texts.append(text)
        loads.append(load)
        problems += found
    return LoadTable(sheet, tuple(texts), tuple(loads), tuple(problems))


def _is_table(hint: Any) -> bool:
    """Whether a key holds a table of its own, which a cell cannot."""
    return isinstance(hint, type) and issubclass(hint, Checked)


def _column_problems(sheet: Sheet, hints: dict[str, Any]) -> Iterator[Problem]:
    known = list(hints)
    for column in sheet.columns:
        place = sheet.place(None, column)
        if column.key not in hints:
            near = key_hint(column.key, known)
            yield Problem("key-unknown", "no key of a load case", place, "", ", ".join(known), near)
        elif isinstance(mark := marker(hints[column.key][0]), Quantity):
            if found := unit_problem(sheet, column, mark.kind):
                yield found
        elif column.unit:
            yield Problem("unit-dimension", "this column has no unit", place, column.unit[:60], "no unit")
    for f in fields(LoadCase):
        if f.default is MISSING and f.name not in {column.key for column in sheet.columns}:
            what, way_out = "a column is missing", f'add a column headed "{f.name}"'
            yield Problem("key-missing", what, sheet.place(), "nothing", f.name, way_out)


def _line(
    sheet: Sheet, number: int, cells: tuple[str, ...], hints: dict[str, Any], sets: dict[str, Factors]
) -> tuple[dict[str, Any], LoadCase | None, list[Problem]]:
    """A line as the table of a case file, as a load case, and its problems."""
    texts: dict[str, Any] = {}
    values: dict[str, Any] = {}
    problems = []
    for column, cell in zip(sheet.columns, cells, strict=True):
        place = sheet.place(number, column)
        hint, optional = hints[column.key]
        mark = marker(hint)
        if not cell:
            if not optional:
                way_out = "write 0 where there is none" if isinstance(mark, Quantity) else f"write the {column.key}"
                problems.append(Problem("value-missing", "the cell is empty", place, "nothing", "", way_out))
            continue
        try:
            texts[column.key], values[column.key] = _value(cell, column, hint, mark, sets)
        except UnitError as error:
            found = error.problem
            problems.append(replace(found, where=place))
        except Refusal as refusal:
            problems += [replace(p, where=place) for p in refusal.problems]
    called = f'{LoadCase.CALLED} "{texts["name"][:40]}"' if "name" in texts else ""
    if not problems:
        try:
            return texts, LoadCase(**values), []
        except Refusal as refusal:
            problems = _as_in_file(texts, refusal, sets)
            by_key = {column.key: column for column in sheet.columns}
            keys = [(p, p.where.rpartition(".")[2]) for p in problems]
            problems = [replace(p, where=sheet.place(number, by_key.get(k)) + _left(k, by_key)) for p, k in keys]
    return texts, None, [replace(p, called=called) for p in problems]


def _left(key: str, columns: dict[str, Column]) -> str:
    """The key of a problem that has no column."""
    return "" if key in columns or not key else f", {key}"


def _as_in_file(texts: dict[str, Any], refusal: Refusal, sets: dict[str, Factors]) -> list[Problem]:
    """Problems of a line in the words of a case file, which name the number with its unit."""
    own = {key: value for key, value in texts.items() if not (key == "factors" and value in sets)}
    try:
        read_table(LoadCase, {"factors": next(iter(FACTOR_SETS)), **own}, "")
    except Refusal as found:
        return list(found.problems)
    return list(refusal.problems)


def _value(cell: str, column: Column, hint: Any, mark: Any, sets: dict[str, Factors]) -> tuple[Any, Any]:
    """The cell as a case file has it, and its value."""
    if isinstance(mark, Quantity):
        value = in_si(cell, column, mark.kind, mark.low, mark.high)
        return (f"{cell} {column.unit}".strip() if mark.kind != "number" else value), value
    if hint is bool:
        if cell.lower() not in _WORDS:
            raise Refusal.of("value-kind", "true or false is needed", "", repr(cell)[:60], "true, yes, false, no")
        return _WORDS[cell.lower()], _WORDS[cell.lower()]
    if hint is Factors:
        every = {**FACTOR_SETS, **sets}
        if cell not in every:
            way_out = "name a set of the program, or write the set into the case file as [factor_sets.NAME]"
            raise Refusal.of(
                "factor-set-unknown", "no such set of factors", "", repr(cell)[:60], ", ".join(every), way_out
            )
        return cell, every[cell]
    return cell, cell


def self_contained(text: str, read: Callable[[], LoadTable]) -> str:
    """The text of a case file with the lines of its table as load cases, for a folder that keeps the case alone."""
    found = re.compile(rf"^([ \t]*){KEY}([ \t]*=.*)$", re.MULTILINE)
    if not found.search(text):
        return text
    table = read()
    if table.problems:
        raise Refusal(table.problems)
    lines = [found.sub(rf"# \1{KEY}\2 (written out below)", text, count=1).rstrip("\n")]
    for entry in table.texts:
        lines += ["", "[[load_cases]]"]
        lines += [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in entry.items()]
    return "\n".join(lines).replace("\x7f", "\\u007f") + "\n"
