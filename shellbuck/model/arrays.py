"""A case whose numbers are arrays: the model's own classes with (N,) arrays in the varied fields.

The classes are filled without their checks, which judge single numbers; `refusals` gives their rules as masks. What
only calculates (`middle_radius`, `Material.at`, `build_wall`, `weigh`) then works on all designs at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from ..core.errors import Problem, Refusal
from .case import Case, load_rules, metals, skin_rules
from .checked import Checked, Quantity, Whole, declared, marker, unchecked, without_none
from .material import Material
from .post_buckled import post_buckled_rules
from .rules import Rule, Rules
from .walls import WALLS


class BadArrays(Refusal, ValueError):
    """Arrays that are no designs."""


class Varied(NamedTuple):
    """A varied field: its dotted name, its declared range and its values (N,)."""

    name: str
    mark: Quantity | Whole
    values: np.ndarray


def read(case: Case, varied: Mapping[str, Any]) -> tuple[list[Varied], int]:
    """The varied fields of a case, and the number of designs.

    Raises
    ------
    Refusal
        For a name that is no number of the case, or arrays that are no numbers, empty or of unequal length.
    """
    if not case.wall.has_dimensions:
        raise Refusal.of(
            "value-choice",
            "many designs at once need a wall with dimensions",
            "wall",
            case.wall.kind,
            ", ".join(kind for kind, cls in WALLS.items() if cls.has_dimensions),
        )
    if case.barrel.edge_strength:
        raise Refusal.of(
            "edge-strength-arrays",
            "many designs at once do not work out the stress near held edges",
            "barrel.edge_strength",
            way_out='leave it out and run the chosen design with it, or study with engine = "one by one"',
        )
    found = [Varied(name, _mark(case, name), _numbers(name, values)) for name, values in varied.items()]
    sizes = {v.values.shape for v in found}
    if len(sizes) > 1 or any(len(s) != 1 for s in sizes):
        raise BadArrays.of(
            "array-shape",
            "varied fields must be one-dimensional and of equal length",
            ", ".join(varied)[:200],
            ", ".join(f"{v.name}: {v.values.shape}" for v in found)[:200],
            "one shape (N,)",
        )
    if (0,) in sizes:
        raise BadArrays.of(
            "array-shape",
            "the arrays are empty: there is no design",
            ", ".join(varied)[:200],
            "0 values",
            "one value or more",
        )
    return found, sizes.pop()[0] if sizes else 1


def _numbers(name: str, values: Any) -> np.ndarray:
    """Values of a field as an array of numbers; lists of unequal rows and words are none."""
    try:
        found = np.asarray(values)
    except ValueError:
        found = np.empty(0, dtype=object)
    if found.dtype.kind not in "iuf":
        raise BadArrays.of(
            "value-kind", "an array of numbers in SI is needed", name, repr(values)[:60], "numbers, one for each design"
        )
    return found


def _mark(case: Case, name: str) -> Quantity | Whole:
    """The declared range of a number of the case."""
    owner: Any = case
    *path, last = name.split(".")
    for key in path:
        owner = _step(owner, key, name)
    hint = declared(type(owner)).get(last) if isinstance(owner, Checked) else None
    mark = None if hint is None else marker(without_none(hint)[0])
    fixed = last == "temperature" and "points" in path  # the order of the data is the material's own
    ends = ("barrel.edge", "barrel.load_height", "barrel.single_rings")  # arrays know no edge bending
    if not isinstance(mark, Quantity | Whole) or fixed or name.startswith(ends):
        raise Refusal(_unknown(name))
    return mark


def _step(owner: Any, key: str, name: str) -> Any:
    if isinstance(owner, tuple) and key.isdigit() and int(key) < len(owner):
        return owner[int(key)]
    if is_dataclass(owner) and key in {f.name for f in fields(owner)}:
        return getattr(owner, key)
    raise Refusal(_unknown(name))


def _unknown(name: str) -> Problem:
    return Problem("key-unknown", "not a number of this case that can be varied", name)


def put(owner: Any, name: str, value: Any) -> Any:
    """A copy of a nested frozen dataclass with one field changed, without checks."""
    key, _, rest = name.partition(".")
    if isinstance(owner, tuple):
        i = int(key)
        return (*owner[:i], put(owner[i], rest, value), *owner[i + 1 :])
    return unchecked(type(owner), **{**vars(owner), key: put(getattr(owner, key), rest, value) if rest else value})


def design(case: Case, varied: Mapping[str, Any], i: int) -> Case:
    """Design i as a checked case.

    Raises
    ------
    Refusal
        When the model refuses it.
    """
    made = case
    for v in read(case, varied)[0]:
        value = v.values[i]
        whole = isinstance(v.mark, Whole) and float(value).is_integer()
        made = put(made, v.name, int(value) if whole else float(value))
    return _checked(made)


def _checked(owner: Any) -> Any:
    """The same object made anew through its checks, innermost first."""
    if isinstance(owner, tuple):
        return tuple(_checked(x) for x in owner)
    if not isinstance(owner, Checked):
        return owner
    return replace(owner, **{f.name: _checked(getattr(owner, f.name)) for f in fields(owner)})


def arrayed(case: Case, varied: list[Varied], keep: np.ndarray | None = None) -> Case:
    """The case with arrays in its varied fields, cut to the designs `keep`."""
    made = case
    for v in varied:
        made = put(made, v.name, np.asarray(v.values if keep is None else v.values[keep], dtype=float))
    return made


def refusals(case: Case, varied: list[Varied]) -> Iterator[Rule]:
    """What the model refuses of the designs of an `arrayed` case, in the order in which it looks.

    Raises
    ------
    Refusal
        When the pattern itself is refused, e.g. a count and a spacing together.
    """
    for owner in _tables(case.wall):
        if problems := list(owner.cross_problems()):
            raise Refusal(problems)
    for rule in _rules(case, varied):
        if isinstance(rule, Problem):
            raise Refusal(rule)
        yield rule


def _rules(case: Case, varied: list[Varied]) -> Rules:
    for v in varied:
        yield from _range_rules(v)
    barrel, every = case.barrel, metals(case.material, case.wall)
    for _, material in every:
        for part in (*material.points, material):
            yield from part.rules()
    yield from barrel.rules()
    yield from skin_rules(barrel, case.wall, case.policy)
    for load in case.load_cases:
        yield from load.rules()
        yield from load_rules(load, barrel.closed, every)
    yield from case.wall.limits(barrel.middle_radius, barrel.length)
    yield from post_buckled_rules(barrel, case.wall, case.policy, case.load_cases)


def _tables(wall: Checked) -> list[Checked]:
    """A wall and its families of stiffeners; a metal is judged by its values."""
    return [wall, *(x for x in vars(wall).values() if isinstance(x, Checked) and not isinstance(x, Material))]


def _range_rules(v: Varied) -> Rules:
    values = np.asarray(v.values, dtype=float)
    yield Rule("value-kind", np.isnan(values), tuple)
    if isinstance(v.mark, Whole):
        yield Rule("value-kind", np.isfinite(values) & (values != np.round(values)), tuple)
    yield Rule("value-range", ~((values >= v.mark.low) & (values <= v.mark.high)) | np.isinf(values), tuple)
