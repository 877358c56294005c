"""Points of a study computed together as arrays, where arrays give every column.

The numbers are those of a run to rounding; the first point of every piece is compared with one. Points that arrays
refuse are assessed one by one, so that their rows have the words of a run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from ..core.errors import Incomplete, Refusal
from ..io.language.keys import changed
from ..io.language.study_plan import StudyPlan
from ..margins import Batch
from ..margins import evaluate as margins_of
from ..margins.statuses import STATUSES
from ..model import Case
from ..model.arrays import read
from .outcome import Outcome
from .outputs import KNOWN, Column, joint_status, least_margin, unknown_words

_GIVEN = {"smallest_margin", KNOWN, "governing_mode", "governing_load_case", "verdict", "mass_per_area", "edge_bending"}
_SAME = 1e-9
"""Largest relative difference of 1 + margin to a run (measured: some 1e-15)."""


def why_not(plan: StudyPlan, columns: Sequence[Column]) -> str:
    """Why a plan cannot be computed by arrays, in words; empty where it can."""
    other = [c.name for c in columns if c.name not in _GIVEN and not c.name.startswith(("margin of ", "status of "))]
    if other:
        return f"arrays do not give {other[0]}"
    names = {}
    for variation in plan.vary:
        for place in (*variation.places, *(p for f in variation.follow for p in f.places)):
            if place.kind == "metal":
                return f"a metal is varied ({variation.key})"
            if place.kind != "choice":
                names[_name(place.path)] = np.zeros(1)
    try:
        read(plan.case, names)
    except Refusal as refusal:
        return f"{refusal.problems[0].where}: {refusal.problems[0].what}"
    return ""


def _name(path: tuple[str | int, ...]) -> str:
    return ".".join(map(str, path))


def array_outcomes(
    case: Case,
    changes: Sequence[Mapping[tuple, Any]],
    columns: Sequence[Column],
    alone: Callable[[Mapping[tuple, Any]], Outcome],
) -> list[Outcome]:
    """Outcomes of points, in order.

    Parameters
    ----------
    case : Case
        The base case.
    changes : sequence of mappings
        Path -> value of every point.
    columns : sequence of Column
    alone : callable
        Computes one point by a full assessment, without edge bending as arrays do.

    Raises
    ------
    Incomplete
        When arrays and the full assessment differ.
    """
    found: list[Outcome | None] = [None] * len(changes)
    groups: dict[tuple, list[int]] = {}
    for k, change in enumerate(changes):
        words = tuple((p, v) for p, v in change.items() if isinstance(v, str | bool))
        groups.setdefault(words, []).append(k)
    for words, members in groups.items():
        try:
            base = changed(case, dict(words)) if words else case
        except Refusal:  # a word that only the other changes make possible
            for k in members:
                found[k] = alone(changes[k])
            continue
        _group(base, members, changes, columns, alone, found)
    return found


def _group(
    base: Case,
    members: list[int],
    changes: Sequence[Mapping[tuple, Any]],
    columns: Sequence[Column],
    alone: Callable[[Mapping[tuple, Any]], Outcome],
    found: list[Outcome | None],
) -> None:
    numeric = [p for p, v in changes[members[0]].items() if not isinstance(v, str | bool)]
    if not numeric:
        for k in members:
            found[k] = alone(changes[k])
        return
    try:
        batch = margins_of(base, {_name(p): np.array([changes[k][p] for k in members]) for p in numeric})
    except Exception:  # whatever arrays trip over, the full assessment has the answer or its reason
        for k in members:
            found[k] = alone(changes[k])
        return
    checked = False
    for i, k in enumerate(members):
        # what is refused, or unknown without a failure beside it, is left to the full assessment and its words
        clear = not batch.refused[i] and (batch.holds[i] or batch.fails[i])
        found[k] = _outcome(batch, i, columns) if clear else alone(changes[k])
        if not checked and clear:
            checked = True
            _compare(found[k], alone(changes[k]), columns)


def _outcome(batch: Batch, i: int, columns: Sequence[Column]) -> Outcome:
    row = batch.governing_row(i)
    word = "does not hold" if batch.fails[i] else "holds"
    given = {
        "smallest_margin": _number(batch.smallest[i]),
        KNOWN: _number(batch.smallest_known[i]),
        "verdict": word,
        "governing_load_case": None if row is None else row[0],
        "governing_mode": None if row is None else row[1],
        "mass_per_area": float(batch.mass_per_area[i]),
        "edge_bending": batch.edge_bending[i],
    }
    rows = {
        (load, mode): (STATUSES[batch.statuses[i, j, m]], float(batch.margins[i, j, m]))
        for j, load in enumerate(batch.load_cases)
        for m, mode in enumerate(batch.modes)
    }
    values = [given[c.name] if c.name in given else _of_rows(rows, c.name) for c in columns]
    return Outcome(word, unknown_words((*at, status) for at, (status, _) in rows.items()), tuple(values))


def _number(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _of_rows(rows: Mapping[tuple[str, str], tuple[str, float]], name: str) -> float | str | None:
    """Margin or status by its name: of a mode in one load case, or of all."""
    kind, words = name.split(" of ", 1)
    mine = [row for (load, mode), row in rows.items() if words in (mode, f"{mode} in {load}")]
    return least_margin(mine) if kind == "margin" else joint_status(mine)


def _compare(mine: Outcome, right: Outcome, columns: Sequence[Column]) -> None:
    if right.status not in ("holds", "does not hold"):
        raise _differ("status", mine.status, f"{right.status}: {right.reason}")
    for column, a, b in zip(columns, mine.values, right.values, strict=True):
        if column.numeric and (a is None or b is None):
            same = a is b
        else:
            # which of two equal margins governs is not worth a word; a status is
            same = (
                abs(a - b) <= _SAME * (1 + abs(b))
                if column.numeric
                else (a == b or not column.name.startswith("status of "))
            )
        if not same:
            raise _differ(column.name, repr(a), repr(b))


def _differ(where: str, got: str, right: str) -> Incomplete:
    return Incomplete.of(
        "study-arrays-differ",
        "arrays and a run differ",
        where,
        got,
        right,
        'set engine = "one by one", and report the study; finished chunks are kept',
    )
