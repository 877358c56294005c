"""How pydantic reads the values of a file: text with a unit, whole numbers, blocks of stiffness."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from ...core.errors import Problem
from ...model.checked import Quantity, number_problems
from .units import UnitError, in_written_unit, parse_quantity


def custom(problem: Problem) -> PydanticCustomError:
    """A problem as pydantic carries it."""
    return PydanticCustomError("problem", "{what}", {"what": problem.what, "problem": problem})


def quantity(mark: Quantity) -> BeforeValidator:
    """Reads a number with its unit, or one of the words of its declaration."""

    def read(value: Any) -> float | str:
        if isinstance(value, str) and value in mark.words:
            return value
        try:
            number = parse_quantity(value, mark.kind, mark.low, mark.high)
        except UnitError as error:
            raise custom(_or_words(error.problem, mark)) from None
        for problem in number_problems("", number, mark):
            raise custom(_as_written(problem, value, mark) if isinstance(value, str) else problem)
        return number

    return BeforeValidator(read)


def _or_words(problem: Problem, mark: Quantity) -> Problem:
    """A problem of a quantity that may be a word too."""
    words = " or ".join(f'"{word}"' for word in mark.words)
    return replace(problem, allowed=f"{problem.allowed}, or {words}".removeprefix(", or ")) if words else problem


def _as_written(problem: Problem, text: str, mark: Quantity) -> Problem:
    """A problem of a range with the text of the file; temperatures have a zero of their own in every unit."""
    allowed = problem.allowed
    if mark.kind == "temperature":
        low, high = (in_written_unit(x, text, mark.kind) for x in (mark.low, mark.high))
        allowed += "" if low.endswith(" K") else f" ({low} to {high})"
    return replace(problem, got=text[:60], allowed=allowed)


def whole(value: Any) -> int:
    """A whole number; True is none."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise custom(Problem("value-kind", "a whole number is needed", "", repr(value)[:60]))
    return value


def matrix(kind: str) -> BeforeValidator:
    """Reads three rows of three numbers with their unit."""

    def read(value: Any) -> tuple[tuple[float, ...], ...]:
        shape = 'three rows of three numbers with their unit: { unit = "MN/m", rows = [[..], [..], [..]] }'
        if not isinstance(value, dict) or set(value) != {"unit", "rows"}:
            raise custom(Problem("stiffness-shape", "a block of stiffness is needed", "", repr(value)[:60], shape))
        rows = value["rows"]
        good = isinstance(rows, list) and len(rows) == 3
        good = good and all(isinstance(r, list) and len(r) == 3 for r in rows)
        good = good and all(isinstance(x, int | float) and not isinstance(x, bool) for r in rows for x in r)
        if not good or not isinstance(value["unit"], str):
            raise custom(Problem("stiffness-shape", "a block of stiffness is needed", "", repr(rows)[:60], shape))
        try:
            return tuple(tuple(parse_quantity(f"{float(x)!r} {value['unit']}", kind) for x in r) for r in rows)
        except UnitError as error:
            raise custom(error.problem) from None
        except OverflowError:
            raise custom(Problem("value-range", "the value is not finite", "", repr(rows)[:60])) from None

    return BeforeValidator(read)
