"""Refusals of a study file in its reader's words: file, line, which [[vary]], and keys that can be varied."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, replace
from typing import Any

from ...core.errors import Problem, Refusal
from ...model import Case
from .keys import places
from .lines import find_line, line_map

_MOST_KEYS = 25


def placed(problems: tuple[Problem, ...], text: str, name: str) -> list[Problem]:
    """The problems of a study file with its name and their lines, items of lists counted from 1.

    Parameters
    ----------
    problems : tuple of Problem
    text : str
        Of the study file.
    name : str
        Of the study file.
    """
    lines = line_map(text)
    found = []
    for problem in problems:
        line = find_line(lines, problem.where)
        where = f"{name}, {_counted(problem.where)}" if line is not None else problem.where
        found.append(replace(problem, where=where, line=line))
    return found


def _counted(where: str) -> str:
    """``vary.0.values.2`` as a reader counts: [[vary]] number 1, values number 3."""
    head, *rest = where.split(".")
    if head != "vary":
        return where
    found = ["[[vary]]"]
    for word in rest:
        if word.isdigit():
            found[-1] += f" number {int(word) + 1}"
        else:
            found.append(word)
    return ", ".join(found)


def with_keys(problem: Problem, case: Case) -> Problem:
    """An unknown key's refusal, with keys of numbers and words where it names tables, and the nearest of them."""
    if problem.code != "study-key-unknown":
        return problem
    keys = tuple(_keys(case))
    roots = [a.strip() for a in problem.allowed.split(",")]
    allowed = [k for k in keys if any(k == r or k.startswith(f"{r}.") for r in roots)]
    more = [f"and {len(allowed) - _MOST_KEYS} more"] if len(allowed) > _MOST_KEYS else []
    words = ", ".join(allowed[:_MOST_KEYS] + more) or problem.allowed
    return replace(problem, allowed=words, way_out=_nearest(problem.got, keys) or problem.way_out)


def _nearest(got: str, keys: tuple[str, ...]) -> str:
    """The nearest whole key, else the one whose last word is nearest."""
    near = difflib.get_close_matches(got, keys, 1, 0.75)
    if not near:
        last = {k.rsplit(".", 1)[-1]: k for k in reversed(keys)}
        near = [last[w] for w in difflib.get_close_matches(got.rsplit(".", 1)[-1], last, 1, 0.75)]
    return f"did you mean {near[0]}?" if near else ""


def _keys(case: Case) -> Iterator[str]:
    """Every key of the case that can be varied, load cases taken together."""
    for key in dict.fromkeys(_nodes(asdict(case), "")):
        with suppress(Refusal):
            places(case, key)
            yield key


def _nodes(value: Any, key: str) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            at = f"{key}.{name}" if key else str(name)
            yield at
            yield from _nodes(inner, at)
    elif isinstance(value, list | tuple):
        for i, inner in enumerate(value):
            yield from _nodes(inner, f"{key}.*" if key == "load_cases" else f"{key}.{i}")
