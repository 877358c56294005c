"""Columns: any number or word of a result by a short name or by its dotted path, with its unit.

Short names: ``smallest_margin``, ``governing_mode``, ``governing_load_case``, ``verdict``, ``mass_per_area``, ``mass``,
``edge_bending`` (whether the bending near the edges counts in the general margins; always there for eccentric walls),
``margin of MODE`` (the smallest over the load cases), ``margin of MODE in LOAD CASE``, ``load of NAME in LOAD CASE``,
and ``margins`` (one column for every margin of the base case). Beside a margin stands ``status of`` the same, which
says why a cell is empty; ``smallest_known_margin`` is the smallest of the margins that there are, which bounds the
smallest margin where a row is unknown. Everything else is a path into the JSON of a run:
``wall.equivalent_thickness``, ``load_cases.pad.pressure_gain``, ``load_cases.pad.margins.yield.capacity``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from ..core.errors import Problem, Refusal
from ..core.records import UNKNOWN, MarginRow, Result

SHORT = {
    "smallest_margin": "verdict.smallest_margin",
    "governing_mode": "verdict.governing_mode",
    "governing_load_case": "verdict.governing_load_case",
    "verdict": "verdict.word",
    "edge_bending": "verdict.edge_bending",
    "mass_per_area": "wall.mass_per_area",
    "mass": "wall.mass",
    "mean_thickness": "wall.mean_thickness",
    "raw_to_finished": "wall.raw_to_finished",
}

UNITS = {
    "line_load": "N/m",
    "relief": "N/m",
    "temperature": "K",
    "pressure_minimum": "Pa",
    "pressure_maximum": "Pa",
    "middle_radius": "m",
    "length": "m",
    "skin_thickness": "m",
    "stability_thickness": "m",
    "mean_thickness": "m",
    "equivalent_thickness": "m",
    "mass_per_area": "kg/m^2",
    "mass": "kg",
    "A": "N/m",
    "B": "N",
    "D": "N m",
    "deflection": "m",
    "hoop_force": "N/m",
    "x": "m",
}
"""SI unit of a result by the last word of its path; a number without an entry has none."""

KNOWN = "smallest_known_margin"

_OF_QUANTITY = {
    "line load": "N/m",
    "shear flow": "N/m",
    "pressure": "Pa",
    "force": "N",
    "stress": "Pa",
    "strain": "",
    "bending stiffness of a ring": "N m^2",
}


@dataclass(frozen=True)
class Column:
    """One output: its heading, unit (empty for a plain number), whether it is a number, and the path that it reads."""

    name: str
    path: str
    unit: str
    numeric: bool

    @property
    def header(self) -> str:
        return f"{self.name} [{self.unit or '-'}]" if self.numeric else self.name

    @property
    def without_edges(self) -> bool:
        """Whether the value is the same without the edges of the case."""
        return self.path.startswith(("verdict.", "wall.", "margin of ", "status of ", KNOWN)) or (
            ".margins." in self.path
        )

    def value(self, result: Result) -> Any:
        """Its value in a result; None where the result has none."""
        if self.path == KNOWN:
            return smallest_known((r.status, _number(r)) for r in result.margins)
        if self.path.startswith("margin of "):
            return least_margin(_rows(result, self.path.removeprefix("margin of ")))
        if self.path.startswith("status of "):
            return joint_status(_rows(result, self.path.removeprefix("status of ")))
        found = _follow(result, self.path)
        return None if isinstance(found, _Nothing) else found[0]


def columns(names: tuple[str, ...], result: Result) -> tuple[Column, ...]:
    """The columns that names mean, found in the result of the base case.

    Parameters
    ----------
    names : tuple of str
        Short names or dotted paths.
    result : Result
        Of the base case: defines which modes, loads and load cases there are.

    Raises
    ------
    Refusal
        For a name that means nothing in this result; the message lists what there is.
    """
    # first columns of any table
    first = ("smallest_margin", KNOWN, "governing_mode")
    if result.verdict.edge_bending != "not needed":
        first = (*first, "edge_bending")
    found = [_column(name, result, "outputs") for name in first]
    problems: list[Problem] = []
    for i, name in enumerate(names):
        if name == "margins":
            for row in (r for c in result.load_cases for r in c.margins):
                found += _with_status(f"{row.mode} in {row.load_case}")
            continue
        try:
            column = _column(name, result, f"outputs.{i}")
            found += [column] if not name.startswith("margin of ") else _with_status(name.removeprefix("margin of "))
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    return tuple({c.name: c for c in found}.values())


def _column(name: str, result: Result, where: str) -> Column:
    kind = next((k for k in ("margin of ", "status of ") if name.startswith(k)), None)
    if kind is not None:
        modes = dict.fromkeys(r.mode for r in result.margins)
        names = [c.name for c in result.load_cases]
        good = [f"{kind}{m}" for m in modes] + [f"{kind}{m} in {n}" for m in modes for n in names]
        if name not in good:
            allowed = "; ".join([*modes, *(f"... in {n}" for n in names)])
            raise Refusal.of("study-output-unknown", "no such margin", where, name[:80], allowed)
        return Column(name, name, "", kind == "margin of ")
    if name == KNOWN:
        return Column(KNOWN, KNOWN, "", True)
    path = SHORT.get(name, name)
    if name.startswith("load of ") and " in " in name:
        load, _, case = name.removeprefix("load of ").rpartition(" in ")
        path = f"load_cases.{case}.loads.{load}.line_load"
    got = _follow(result, path)
    if isinstance(got, _Nothing):
        what = "the result has no such value"
        way_out = "short names: " + ", ".join([*SHORT, "margins", "margin of MODE", "margin of MODE in LOAD CASE"])
        raise Refusal.of("study-output-unknown", what, where, name[:80], "; ".join(got.known)[:400], way_out)
    value, owners, words = got
    if is_dataclass(value) or isinstance(value, tuple):
        inner = [f.name for f in fields(value)] if is_dataclass(value) else _names(value)
        raise Refusal.of(
            "study-output-unknown",
            "this is a group of values",
            where,
            name[:80],
            "; ".join(f"{name}.{x}" for x in inner)[:400],
        )
    numeric = not isinstance(value, str) and not _is_text(owners[-1], words[-1])
    return Column(name, path, _unit(owners, words) if numeric else "", numeric)


def _with_status(row: str) -> list[Column]:
    return [
        Column(f"margin of {row}", f"margin of {row}", "", True),
        Column(f"status of {row}", f"status of {row}", "", False),
    ]


Rows = Iterable[tuple[str, float]]
"""Rows as (status, margin or nan)."""


def _rows(result: Result, words: str) -> Rows:
    """Rows of a mode, in one load case where it is named."""
    return ((r.status, _number(r)) for r in result.margins if words in (r.mode, f"{r.mode} in {r.load_case}"))


def _number(row: MarginRow) -> float:
    return math.nan if row.margin is None else row.margin


def least_margin(rows: Rows) -> float | None:
    """Smallest margin of rows; None where there is none, and where a row is unknown."""
    found = list(rows)
    return None if any(status in UNKNOWN for status, _ in found) else smallest_known(found)


def smallest_known(rows: Rows) -> float | None:
    """Smallest of the margins that there are."""
    return min((margin for _, margin in rows if not math.isnan(margin)), default=None)


def joint_status(rows: Rows) -> str:
    """Status of rows that count as one: one that fails decides, then one that is unknown, then one that holds."""
    found = {status for status, _ in rows}
    order = ("fails", *UNKNOWN, "buckles, allowed", "holds", "not compressed")
    return next((status for status in order if status in found), "")


def unknown_words(rows: Iterable[tuple[str, str, str]]) -> str:
    """Why the smallest margin of a point that fails is not known: its rows (load case, mode, status) in words; empty
    where every row is known."""
    open_rows = [f"{mode} in {load} is {status}" for load, mode, status in rows if status in UNKNOWN]
    return f"the smallest margin is not known: {'; '.join(open_rows)}" if open_rows else ""


@dataclass(frozen=True)
class _Nothing:
    """A path that leads nowhere, and what there is where it broke off."""

    known: tuple[str, ...]


def _names(items: tuple) -> list[str]:
    """Names of a list's items, else their positions."""
    keys = ("name", "mode", "component")
    named = [str(next((getattr(x, k) for k in keys if hasattr(x, k)), i)) for i, x in enumerate(items)]
    return named if len(set(named)) == len(named) else [str(i) for i in range(len(items))]


def _follow(value: Any, rest: str) -> tuple[Any, list[Any], list[str]] | _Nothing:
    """(value, the records around it, outermost first, the words of the path), or where the path ends early."""
    owners, words = [value], []
    while rest:
        if isinstance(value, tuple):
            names = _names(value)
            known = {n: i for i, n in enumerate(names)} | {str(i): i for i in range(len(value))}
        elif is_dataclass(value):
            known = {f.name: f.name for f in fields(value)}
        else:
            return _Nothing(())
        # a name may hold dots: the longest that fits is meant
        word = next((w for w in sorted(known, key=len, reverse=True) if rest == w or rest.startswith(f"{w}.")), None)
        if word is None:
            return _Nothing(tuple(known))
        owners += [value] if is_dataclass(value) else []
        value = value[known[word]] if isinstance(value, tuple) else getattr(value, word)
        words.append(word)
        rest = rest[len(word) + 1 :]
    return value, owners, words


def _is_text(owner: Any, word: str) -> bool:
    """Whether a field that is empty now holds text."""
    kind = next((f.type for f in fields(owner) if f.name == word), "") if is_dataclass(owner) else ""
    return str(kind).startswith(("str", "Literal", "Status"))


def _unit(owners: list[Any], words: list[str]) -> str:
    named = [w for w in words if not w.isdigit()][-1]
    if named in ("demand", "capacity"):
        return _OF_QUANTITY[next(o.quantity for o in reversed(owners) if hasattr(o, "quantity"))]
    if named == "applied":
        return owners[-1].unit
    return UNITS.get(named, "")
