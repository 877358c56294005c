"""Stack files: barrels at stations, events with section forces from tables; all problems at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

import numpy as np

from ...core.errors import Problem, Refusal
from ...model.checked import SI_UNIT
from ...model.stations import FORCES, Cut, StackBarrel, StationEvent, StationTable, cuts_of, overlaps
from .case_file import CaseFile, built, read_case, read_list, read_text, section_problems
from .hints import suggestion
from .table_file import Sheet, confined, in_si, read_sheet, unit_problem
from .units import UnitError

KINDS = {"station": "length", **dict(zip(FORCES, ("force", "moment", "force", "moment"), strict=True))}
DIRECTIONS = ("forward", "aft")
TOP = {
    "title": "text. Of table and page.",
    "direction": 'text. Where stations grow to: "forward" (towards the nose) or "aft".',
    "barrels": "tables. The barrels.",
    "events": "tables. Events with their tables of section forces.",
}


@dataclass(frozen=True, eq=False)
class BarrelAt:
    """A barrel of a stack with its case under the loads of the stack, and where each of its load cases cuts it."""

    barrel: StackBarrel
    file: CaseFile
    cuts: tuple[Cut, ...]

    @property
    def ends(self) -> tuple[float, float]:
        """Stations of both ends [m]."""
        return self.barrel.station, self.barrel.station + self.file.case.barrel.length


@dataclass(frozen=True, eq=False)
class StackFile:
    """A stack as read, its barrels by station; `tables` are name and SHA-256 of its tables."""

    title: str
    direction: Literal["forward", "aft"]
    barrels: tuple[BarrelAt, ...]
    name: str
    digest: str
    tables: tuple[tuple[str, str], ...]


def read_stack(path: str | Path) -> StackFile:
    """Read a stack file with its case files and tables.

    Raises
    ------
    Refusal
        With every problem found.
    """
    path = Path(path)
    text, digest = read_text(path)
    _, found = built(text, lambda raw: _stack_of(raw, path), path.name, "case")
    return replace(found, digest=digest)


def _stack_of(raw: dict[str, Any], path: Path) -> StackFile:
    way_out = "a stack file has title, direction, [[barrels]] and [[events]]"
    problems = list(section_problems(raw, tuple(TOP), tuple(TOP), way_out))
    barrels, events = (), ()
    for key, cls in (("barrels", StackBarrel), ("events", StationEvent)):
        if key in raw:
            entries, found = read_list(cls, raw[key], key)
            problems += found
            barrels, events = (entries, events) if key == "barrels" else (barrels, entries)
            if not entries and not found:
                problems.append(Problem("value-missing", "the list is empty", key, "nothing", f"[[{key}]]"))
    for key in ("title", "direction"):
        if key in raw and not isinstance(raw[key], str):
            problems.append(Problem("value-kind", "text in quotes is needed", key, repr(raw[key])[:60]))
    if isinstance(raw.get("direction"), str) and raw["direction"] not in DIRECTIONS:
        allowed, near = '"forward" or "aft"', suggestion(raw["direction"], list(DIRECTIONS))
        problems.append(
            Problem("value-choice", "where do stations grow to?", "direction", raw["direction"][:60], allowed, near)
        )
    names = [event.name for event in events if event is not None]
    for i, event in enumerate(events):
        if event is not None and names.index(event.name) < sum(e is not None for e in events[:i]):
            problems.append(Problem("load-case-name", "two events have the same name", f"events.{i}.name", event.name))
    files, tables = {}, {}
    for part, entries, read in (("barrels", barrels, _case), ("events", events, _table)):
        for i, entry in enumerate(entries):
            if entry is None:
                continue
            try:
                (files if part == "barrels" else tables)[i] = read(path.parent, entry, f"{part}.{i}")
            except Refusal as refusal:
                problems += refusal.problems
    if problems:
        raise Refusal(problems)
    spans = [(barrel, files[i].case.barrel.length) for i, barrel in enumerate(barrels)]
    for i, k in overlaps(spans):
        end = barrels[i].station + spans[i][1]
        what = f"the barrel begins before {barrels[i].case} ends at {end:.6g} m"
        problems.append(Problem("station-overlap", what, f"barrels.{k}.station", f"{barrels[k].station:.6g} m"))
    made = []
    for i, barrel in enumerate(barrels):
        try:
            made.append(
                _placed(barrel, files[i], [(e, tables[k][1]) for k, e in enumerate(events)], raw["direction"], i)
            )
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    digests = tuple((events[k].table, sheet.digest) for k, (sheet, _) in tables.items())
    made.sort(key=lambda one: one.barrel.station)
    return StackFile(raw["title"], raw["direction"], tuple(made), path.name, "", digests)


def _case(folder: Path, barrel: StackBarrel, where: str) -> CaseFile:
    try:
        return read_case(confined(folder, barrel.case, f"{where}.case"))
    except Refusal as refusal:
        raise Refusal(
            [replace(p, where=f"{barrel.case}: {p.where}", called=p.called) for p in refusal.problems]
        ) from None


def _placed(barrel: StackBarrel, file: CaseFile, events: list, direction: str, i: int) -> BarrelAt:
    """A barrel under the loads of the stack."""
    low, length = barrel.station, file.case.barrel.length
    for event, table in events:
        if not table.covers(low, low + length):
            span = f"{table.stations[0]:.6g} m to {table.stations[-1]:.6g} m"
            what = f"the barrel reaches outside the table of {event.name}"
            got = f"{low:.6g} m to {low + length:.6g} m"
            raise Refusal.of("station-outside", what, f"barrels.{i}.station", got, span, "nothing is extrapolated")
    try:
        cuts = tuple(cuts_of(barrel, length, file.case.barrel.closed, events, direction))
        case = replace(file.case, load_cases=tuple(cut.load for cut in cuts))
    except Refusal as refusal:
        raise Refusal([replace(p, where=f"barrels.{i} ({barrel.case}), {p.where}") for p in refusal.problems]) from None
    raw = {**file.raw, "load_cases": []}
    return BarrelAt(barrel, replace(file, case=case, raw=raw), cuts)


def _table(folder: Path, event: StationEvent, where: str) -> tuple[Sheet, StationTable]:
    sheet = read_sheet(confined(folder, event.table, f"{where}.table"))
    problems = list(_column_problems(sheet))
    if problems:
        raise Refusal(problems)
    values: dict[str, list[float]] = {column.key: [] for column in sheet.columns}
    for number, cells in sheet.rows:
        for column, cell in zip(sheet.columns, cells, strict=True):
            try:
                values[column.key].append(in_si(cell, column, KINDS[column.key], -np.inf, np.inf))
            except UnitError as error:
                values[column.key].append(np.nan)
                problems.append(replace(error.problem, where=sheet.place(number, column)))
    stations = np.array(values.pop("station"))
    for i in np.nonzero(np.diff(stations) <= 0)[0]:
        place, got = sheet.place(sheet.rows[i + 1][0]), f"{stations[i + 1]:.6g} m after {stations[i]:.6g} m"
        problems.append(
            Problem("station-order", "stations must rise from line to line", place, got, "", "sort the table")
        )
    if stations.size < 2:
        problems.append(Problem("table-empty", "a table of stations needs two lines", sheet.place()))
    if problems:
        raise Refusal(problems)
    return sheet, StationTable(stations, {key: np.array(column) for key, column in values.items()})


def _column_problems(sheet: Sheet) -> Iterator[Problem]:
    keys = [column.key for column in sheet.columns]
    for column in sheet.columns:
        if column.key not in KINDS:
            near = suggestion(column.key, list(KINDS))
            yield Problem(
                "key-unknown", "no column of a table of stations", sheet.place(None, column), "", ", ".join(KINDS), near
            )
        elif found := unit_problem(sheet, column, KINDS[column.key]):
            yield found
    for key in ("station", *FORCES[:2]):
        if key not in keys:
            allowed = f"{key} [{SI_UNIT[KINDS[key]]}]"
            yield Problem(
                "key-missing", "a column is missing", sheet.place(), "nothing", allowed, "write 0 where there is none"
            )
