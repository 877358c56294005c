"""Dotted keys into a case: the value, its unit, and the same case with other values.

``barrel.skin_thickness``, ``wall.rings.count``, ``material.points.0.youngs_modulus``; a list is addressed by position,
by name (``load_cases.pad, empty.axial_force``) or as a whole (``load_cases.*.axial_force``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Literal, get_args, get_origin

from ...core.errors import Refusal
from ...model import Case, Material
from ...model.checked import SI_UNIT, Checked, Quantity, Text, Whole, declared, marker, number_problems, without_none
from .hints import suggestion
from .library import material
from .schema import shortened
from .units import UnitError, example, parse_quantity

_FIXED = {"identity", "kind", "library", "standings"}
"""What a study cannot vary: it changes no number, or it is another wall altogether."""

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Place:
    """One place of a case: `path` to it, its declaration `mark` (Quantity, Whole or None), the words it may take
    (`choices`), and the `base` value it has."""

    path: Path
    mark: Quantity | Whole | None
    choices: tuple[Any, ...]
    base: Any

    @property
    def kind(self) -> Literal["quantity", "whole", "choice", "metal"]:
        if isinstance(self.mark, Quantity):
            return "quantity"
        if isinstance(self.mark, Whole):
            return "whole"
        return "choice" if self.choices else "metal"

    @property
    def unit(self) -> str:
        """SI unit of the value; empty for a plain number or a word."""
        return SI_UNIT[self.mark.kind] if isinstance(self.mark, Quantity) else ""

    def read(self, value: Any, where: str, *, si: bool = False) -> Any:
        """The SI value of the entry of a file; with `si` a bare number is taken as SI.

        Raises
        ------
        Refusal
            For a clashing unit, a word that is no choice, a value out of range; placed at `where`.
        """
        if self.kind == "quantity" and not (si and isinstance(value, int | float)):
            try:
                value = parse_quantity(value, self.mark.kind, self.mark.low, self.mark.high)
            except UnitError as error:
                raise Refusal(error.problem.below(where)) from None
        elif self.kind == "whole" and (isinstance(value, bool) or not isinstance(value, int)):
            raise Refusal.of("value-kind", "a whole number is needed", where, repr(value)[:60])
        elif self.kind == "choice":
            if not any(value is c or (isinstance(c, str) and value == c) for c in self.choices):
                allowed = ", ".join(str(c).lower() if isinstance(c, bool) else f'"{c}"' for c in self.choices)
                near = suggestion(str(value), [str(c) for c in self.choices])
                raise Refusal.of("value-choice", "not one of the choices", where, repr(value)[:60], allowed, near)
            return value
        elif self.kind == "metal":
            try:
                return material(value).name
            except Refusal as refusal:
                raise Refusal([p.below(where) for p in refusal.problems]) from None
        self.inside(value, where)
        return value

    def inside(self, value: float, where: str) -> None:
        """Refuse a number out of the range that is declared here.

        Raises
        ------
        Refusal
        """
        problems = list(number_problems(where, value, self.mark))
        if problems:
            raise Refusal(problems)

    def example(self) -> str:
        """A value as written in a file."""
        if self.kind == "quantity":
            return example(self.mark.kind, self.mark.low)
        if self.kind == "choice":
            return f'"{self.choices[0]}"' if isinstance(self.choices[0], str) else "true"
        return "12" if self.kind == "whole" else '"2219-T87"'


def places(case: Case, key: str, where: str = "") -> tuple[Place, ...]:
    """The places of a case that a dotted key means.

    Parameters
    ----------
    case : Case
    key : str
        Dotted key as in the case file; ``*`` stands for every item of a list.
    where : str
        Where the key was written, for messages.

    Returns
    -------
    tuple of Place
        One, or several where the key holds a ``*``; all of one declaration.

    Raises
    ------
    Refusal
        When the key leads nowhere; the message lists what there is.
    """
    return tuple(_walk(case, Case, key, (), key, where))


def _walk(owner: Any, cls: type, rest: str, path: Path, key: str, where: str):
    name, _, tail = rest.partition(".")
    known = [f.name for f in fields(cls) if f.name not in _FIXED]
    if name not in known:
        raise Refusal.of(
            "study-key-unknown",
            "the case has no such key",
            where,
            shortened(key),
            ", ".join(_dotted((*path, k)) for k in known),
            suggestion(name, known),
        )
    hint, _ = without_none(declared(cls)[name])
    value, here = getattr(owner, name), (*path, name)
    if isinstance(value, tuple) and value and isinstance(value[0], Checked):
        yield from _items(value, tail, here, key, where)
        return
    mark = marker(hint)
    choices = get_args(hint) if get_origin(hint) is Literal else (True, False) if hint is bool else ()
    leaf = isinstance(mark, Quantity | Whole) or choices or hint is Material
    if tail or not leaf:
        if isinstance(value, Checked):
            if not tail:
                inner = ", ".join(_dotted((*here, f.name)) for f in fields(value) if f.name not in _FIXED)
                what = "this is a table, not a value"
                raise Refusal.of("study-key-unknown", what, where, shortened(key), inner)
            yield from _walk(value, type(value), tail, here, key, where)
            return
        if value is None or (isinstance(value, tuple) and not value):
            raise Refusal.of(
                "study-key-absent",
                "the base case does not have this table",
                where,
                _dotted(here),
                "",
                "write it into the case first, with its other keys",
            )
        what = "text cannot be varied" if isinstance(mark, Text) else "this cannot be varied"
        raise Refusal.of("study-key-unknown", what, where, shortened(key), "numbers, quantities, choices, metals")
    yield Place(here, mark if isinstance(mark, Quantity | Whole) else None, tuple(choices), value)


def _items(items: tuple[Checked, ...], tail: str, path: Path, key: str, where: str):
    names = [str(getattr(item, "name", i)) for i, item in enumerate(items)]
    if tail.startswith("*."):
        for i, item in enumerate(items):
            yield from _walk(item, type(item), tail[2:], (*path, i), key, where)
        return
    # a name may hold dots: the longest that fits is meant
    for i in sorted(range(len(items)), key=lambda i: -len(names[i])):
        for word in (names[i], str(i)):
            if tail.startswith(f"{word}."):
                yield from _walk(items[i], type(items[i]), tail[len(word) + 1 :], (*path, i), key, where)
                return
    allowed = ", ".join([f"{_dotted(path)}.*", *(f"{_dotted(path)}.{n}" for n in names)])
    raise Refusal.of("study-key-unknown", "no such item in the list", where, shortened(key), allowed)


def _dotted(path: Path) -> str:
    return ".".join(map(str, path))


def changed(case: Case, values: Mapping[Path, Any]) -> Case:
    """The case with other values at some paths, checked as a whole.

    Parameters
    ----------
    case : Case
    values : mapping
        Path of a `Place` to its value in SI (a metal by its name).

    Raises
    ------
    Refusal
        When the changed case is not accepted, as for a case file.
    """
    return _changed(case, [(p, v) for p, v in values.items()], ())


def _metal(name: str, before: Material | None) -> Material:
    """A metal of the library, clamped below its range where the one before it was."""
    return replace(material(name), clamp_below_range=before is not None and before.clamp_below_range)


def _changed(owner: Any, changes: list[tuple[Path, Any]], here: Path) -> Any:
    groups: dict[str | int, list[tuple[Path, Any]]] = {}
    for path, value in changes:
        groups.setdefault(path[0], []).append((path[1:], value))
    if isinstance(owner, tuple):
        return tuple(_changed(x, groups[i], (*here, i)) if i in groups else x for i, x in enumerate(owner))
    new, problems = {}, []
    for name, below in groups.items():
        try:
            value = getattr(owner, name)
            for path, whole in below:
                if not path:
                    metal = isinstance(whole, str) and without_none(declared(type(owner))[name])[0] is Material
                    value = _metal(whole, value) if metal else whole
            inner = [(path, part) for path, part in below if path]  # within what was just put there
            new[name] = _changed(value, inner, (*here, name)) if inner else value
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    try:
        return replace(owner, **new)
    except Refusal as refusal:
        raise Refusal([p.below(_dotted(here)) for p in refusal.problems]) from None
