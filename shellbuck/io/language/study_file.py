"""Study files: TOML text -> StudyPlan, all problems at once.

A study file names a base case, a method, the inputs to vary by their dotted key in the case file, and the columns.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from ...core.errors import Problem, Refusal
from ...model import Case
from ..results import json_text, plain, used_values
from .case_file import CaseFile, case_from_text, case_of_tables, read_alone, read_text
from .hints import suggestion
from .kinds import refuse_other_kind
from .study_inputs import variation
from .study_places import placed, with_keys
from .study_plan import ARRAYS, CASE, METHODS, ONE_BY_ONE, SAMPLED, STUDY, TABLE, StudyPlan, Variation
from .study_table import table_text, variations_of
from .toml_text import toml_tables

MOST_POINTS = 1_000_000
"""Points of one study (own limit: eleven hours of a fast machine)."""

TOP = {
    "title": (str, "Title of the page."),
    "case": (str, "Base case: a case file, relative to the study file."),
    "method": (str, "How points are chosen."),
    "count": (int, "Number of points that a sampled method draws."),
    "seed": (int, "Of the samples."),
    "chunk": (int, "Points that are saved together: the most that an interruption can lose."),
    "engine": (str, "Many points at once by arrays, or each by a full run; arrays where they give every column."),
    "format": (str, "Of the table."),
    "outputs": (list, "Columns, see the page on columns; without it every margin."),
    "load_cases": (list, "Names of the load cases that are kept; without it all."),
    "table": (str, 'Method "table": a CSV file, headed by keys with units, one line a point.'),
    "add": (dict, "Tables that the base case lacks."),
    "vary": (list, "One table for every input that is varied."),
}
"""Keys of a study file, their kinds and meanings."""
CHOICES = {"method": METHODS, "engine": (ARRAYS, ONE_BY_ONE), "format": ("csv", "parquet")}
RANGES = {"chunk": (1, 100_000), "seed": (0, 2**63 - 1)}


def read_study(path: str | Path) -> StudyPlan:
    """Read a study file, its base case and its table.

    Parameters
    ----------
    path : str or Path
        TOML; `case` and `table` in it are relative to its folder.

    Raises
    ------
    Refusal
        With every problem found.
    """
    path = Path(path)
    texts = {STUDY: read_text(path)[0]}
    raw = toml_tables(texts[STUDY], str(path)[:200])
    refuse_other_kind(raw, str(path), "study")
    if not isinstance(raw.get("case"), str):
        raise Refusal.of(
            "key-missing", "a study needs its base case", "case", "nothing", 'case = "my.toml", beside the study file'
        )
    place = path.parent / raw["case"]
    texts[CASE], digest = read_alone(place)
    base = case_from_text(texts[CASE], place.name, digest)
    if isinstance(raw.get("table"), str):
        texts[TABLE] = table_text(path.parent / raw["table"])
    try:
        return plan_of(raw, base, table=texts.get(TABLE), texts=texts)
    except Refusal as refusal:
        raise Refusal(placed(refusal.problems, texts[STUDY], path.name)) from None


def plan_of(
    raw: Mapping[str, Any],
    base: CaseFile | Case,
    *,
    table: str | None = None,
    texts: dict[str, str] | None = None,
    si: bool = False,
) -> StudyPlan:
    """A study from the plain data of its file.

    Parameters
    ----------
    raw : mapping
        The tables and keys of a study file.
    base : CaseFile or Case
        The base case.
    table : str, optional
        Text of the table of points (CSV) for method "table".
    texts : mapping, optional
        Files to keep beside the table.
    si : bool
        Take bare numbers as SI.

    Raises
    ------
    Refusal
        With every problem found.
    """
    file = base if isinstance(base, CaseFile) else case_file(base)
    problems = list(_top_problems(raw))
    if problems:
        raise Refusal(problems)
    if raw.get("add") and not isinstance(base, CaseFile):
        raise Refusal.of("study-add", "tables are added to a case file, not to a case", "add")
    file = _kept(_with(file, raw.get("add")), raw.get("load_cases"))
    method = raw.get("method", "grid")
    vary: list[Variation] = []
    if method == "table":
        vary = variations_of(table, file.case)
    for i, entry in enumerate(raw.get("vary", [])):
        try:
            vary.append(variation(entry, file.case, method, f"vary.{i}", si))
        except Refusal as refusal:
            problems += [with_keys(p, file.case) for p in refusal.problems]
    if problems:
        raise Refusal(problems)
    plan = StudyPlan(
        file,
        tuple(vary),
        method,
        tuple(raw.get("outputs", ())) or ("margins",),
        raw.get("title", ""),
        raw.get("count", 0),
        raw.get("seed", 1),
        raw.get("chunk", 0),
        raw.get("engine", ""),
        raw.get("format", "csv"),
        texts or {},
    )
    problems = list(_plan_problems(plan))
    if problems:
        raise Refusal(problems)
    return plan


def case_file(case: Case) -> CaseFile:
    """A case that came from no file, as one that did: the values as read are those in SI."""
    import hashlib

    raw = plain(used_values(case))
    return CaseFile(case, raw, "case", hashlib.sha256(json_text(raw).encode()).hexdigest())


def _top_problems(raw: Mapping[str, Any]):
    for key, value in raw.items():
        if key not in TOP:
            yield Problem("key-unknown", "unknown key", str(key)[:40], "", ", ".join(TOP), suggestion(key, list(TOP)))
        elif not isinstance(value, TOP[key][0]) or isinstance(value, bool):
            words = {str: "text in quotes", int: "a whole number", list: "a list", dict: "a table"}[TOP[key][0]]
            yield Problem("value-kind", f"{words} is needed", key, repr(value)[:60])
    for key, choices in CHOICES.items():
        if isinstance(raw.get(key, choices[0]), str) and raw.get(key, choices[0]) not in choices:
            allowed = ", ".join(f'"{c}"' for c in choices)
            near = suggestion(raw[key], list(choices))
            yield Problem("value-choice", f"no such {key}", key, raw[key][:60], allowed, near)
    for key in ("outputs", "load_cases"):
        if isinstance(raw.get(key), list) and not all(isinstance(x, str) for x in raw[key]):
            yield Problem("value-kind", "a list of texts is needed", key, repr(raw[key])[:60])
    for key, (low, high) in RANGES.items():
        if isinstance(raw.get(key), int) and not low <= raw[key] <= high:
            allowed = f"{low} to {high}"
            yield Problem("value-range", "outside the range shellbuck accepts", key, str(raw[key])[:40], allowed)


def _with(file: CaseFile, more: dict[str, Any] | None) -> CaseFile:
    """The base case with the tables of ``[add]`` that it lacks."""
    if not more:
        return file
    raw = copy.deepcopy(file.raw)
    _merge(raw, more, "add")
    try:
        return replace(file, raw=raw, case=case_of_tables(raw))
    except Refusal as refusal:
        raise Refusal([p.below("add, with the base case") for p in refusal.problems]) from None


def _merge(into: dict[str, Any], more: dict[str, Any], where: str) -> None:
    for key, value in more.items():
        at = f"{where}.{key}"
        if key not in into:
            into[key] = value
        elif isinstance(value, dict) and isinstance(into[key], dict):
            _merge(into[key], value, at)
        else:
            raise Refusal.of(
                "study-add", "the base case has this already", at, str(value)[:60], "", "vary it, or change the case"
            )


def _kept(file: CaseFile, names: list[str] | None) -> CaseFile:
    """The base case with the named load cases only."""
    if names is None:
        return file
    known = {load.name: load for load in file.case.load_cases}
    for i, name in enumerate(names):
        if name not in known:
            what, way_out = "no such load case", suggestion(name, list(known))
            raise Refusal.of("load-case-unknown", what, f"load_cases.{i}", name[:80], "; ".join(known), way_out)
    if not names:
        raise Refusal.of("load-case-missing", "no load case", "load_cases", "an empty list", "; ".join(known))
    kept = tuple(known[name] for name in dict.fromkeys(names))
    tables = {t.get("name"): t for t in file.raw.get("load_cases", []) if isinstance(t, dict)}
    raw = {**file.raw, "load_cases": [tables.get(load.name, {}) for load in kept]}
    return replace(file, case=replace(file.case, load_cases=kept), raw=raw)


def _plan_problems(plan: StudyPlan):
    if not plan.vary:
        yield Problem("key-missing", "nothing is varied", "vary", "nothing", "at least one [[vary]]")
        return
    seen: dict[tuple, str] = {}
    for i, v in enumerate(plan.vary):
        for path in (p.path for group in (v, *v.follow) for p in group.places):
            if path in seen:
                yield Problem(
                    "study-twice",
                    "two entries vary the same input",
                    f"vary.{i}.key",
                    v.key,
                    "",
                    f"it is also set by {seen[path]}",
                )
                return
            seen[path] = v.key
    sizes = [len(v.values) for v in plan.vary]
    if plan.method in ("list", "table") and len(set(sizes)) > 1:
        yield Problem(
            "study-table",
            "a list needs as many values of every input",
            "vary",
            ", ".join(map(str, sizes)),
            "equal numbers, taken line by line",
        )
    if plan.method in SAMPLED:
        if not 1 <= plan.count <= MOST_POINTS:
            yield Problem("study-range", "how many points?", "count", str(plan.count), f"1 to {MOST_POINTS}")
        elif plan.method in ("sobol", "sensitivity") and plan.count & (plan.count - 1):
            yield Problem(
                "study-range",
                "a Sobol sequence is balanced only in powers of two",
                "count",
                str(plan.count),
                "powers of two",
                f"take {1 << plan.count.bit_length()}",
            )
        if plan.method == "sensitivity" and len(plan.vary) < 2:
            yield Problem("study-range", "sensitivity shares need two or more inputs", "vary", "1", "2 or more")
        if len(plan.vary) > 100:
            yield Problem("study-range", "too many sampled inputs", "vary", str(len(plan.vary)), "100")
    elif plan.method == "grid" and math.prod(sizes) > MOST_POINTS:
        yield Problem("study-range", "too many points", "vary", str(math.prod(sizes)), f"{MOST_POINTS}")
