"""Field declarations that carry their own dimension and range, and the base class that enforces them.

A field written ``Annotated[float, Quantity("length", 1e-5, 0.5)]`` says in one place what the file reader must
parse, what the checker must enforce and what the report must print.
"""

from __future__ import annotations

import math
import numbers
import types
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Annotated, Any, ClassVar, Literal, Union, get_args, get_origin, get_type_hints

from ..core.errors import Problem, Refusal
from .rules import Rules, worded

SI_UNIT = {
    "length": "m",
    "force": "N",
    "moment": "N m",
    "pressure": "Pa",
    "stress": "Pa",
    "density": "kg/m^3",
    "area density": "kg/m^2",
    "area": "m^2",
    "second moment of area": "m^4",
    "temperature": "K",
    "temperature difference": "K",
    "expansion": "1/K",
    "angle": "rad",
    "membrane stiffness": "N/m",
    "coupling stiffness": "N",
    "bending stiffness": "N m",
    "line load": "N/m",
    "mass": "kg",
    "number": "",
    "acceleration": "m/s^2",
    "line spring": "N/m^2",
    "rotation spring": "N",
    "conductivity": "W/(m K)",
}


@dataclass(frozen=True)
class Quantity:
    """A float in SI with its dimension `kind` (a key of SI_UNIT) and its allowed closed range, or one of `words`."""

    kind: str
    low: float = -math.inf
    high: float = math.inf
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Whole:
    """A whole number and its allowed closed range."""

    low: int
    high: int


@dataclass(frozen=True)
class Text:
    """A line of user text; `required` refuses an empty one."""

    required: bool = False
    longest: int = 300


@dataclass(frozen=True)
class Matrix:
    """A 3x3 block of stiffness in SI, rows and columns x, theta, x-theta."""

    kind: str


@cache
def declared(cls: type) -> dict[str, Any]:
    """Type hints of a model class, annotations kept."""
    return get_type_hints(cls, include_extras=True)


def without_none(hint: Any) -> tuple[Any, bool]:
    """Split ``X | None`` into (X, True); any other hint gives (hint, False)."""
    if get_origin(hint) in (Union, types.UnionType):
        rest = [a for a in get_args(hint) if a is not type(None)]
        if len(rest) < len(get_args(hint)):
            # the annotation travels with the first member: Annotated[...] | None
            return (rest[0] if len(rest) == 1 else Union[tuple(rest)]), True  # noqa: UP007
    return hint, False


def marker(hint: Any) -> Any:
    """The Quantity, Whole, Text or Matrix of an annotated hint, else None."""
    if get_origin(hint) is Annotated:
        for extra in get_args(hint)[1:]:
            if isinstance(extra, Quantity | Whole | Text | Matrix):
                return extra
    return None


class Checked:
    """Base of the model's frozen dataclasses: enforces declared ranges, then `cross_problems`."""

    CALLED: ClassVar[str] = ""
    """What a message calls an object of this class before its name; empty where it has none."""

    def __post_init__(self) -> None:
        self._to_plain()
        problems = [p for f in fields(self) for p in _field_problems(type(self), f.name, getattr(self, f.name))]
        if not problems:
            problems = list(self.cross_problems())
        if problems:
            name = getattr(self, "name", "")
            called = f'{self.CALLED} "{name[:40]}"' if self.CALLED and isinstance(name, str) and name else ""
            raise Refusal([replace(p, called=p.called or called) for p in problems])

    def _to_plain(self) -> None:
        """Numbers of other libraries become Python's own, lists tuples: a record is compared, hashed and written."""
        for f in fields(self):
            value = getattr(self, f.name)
            if isinstance(value, list):
                object.__setattr__(self, f.name, tuple(value))
            elif isinstance(value, numbers.Number) and type(value) not in (bool, int, float):
                plain = int(value) if isinstance(value, numbers.Integral) else value
                if isinstance(value, numbers.Real):
                    object.__setattr__(self, f.name, plain if isinstance(plain, int) else float(value))

    def cross_problems(self) -> Iterator[Problem]:
        """Problems that concern several fields together."""
        return worded(self.rules())

    def rules(self) -> Rules:
        """What is refused of several fields together, for numbers or arrays (N,)."""
        return iter(())


def unchecked(cls: type, **values: Any) -> Any:
    """A model object whose fields may be arrays."""
    made = object.__new__(cls)
    for f in fields(cls):
        object.__setattr__(made, f.name, values.get(f.name, f.default))
    return made


def _field_problems(cls: type, name: str, value: Any) -> Iterator[Problem]:
    hint, optional = without_none(declared(cls)[name])
    if value is None:
        if not optional:
            yield Problem("value-missing", "a value is needed", name, way_out=f"give {name}")
        return
    mark = marker(hint)
    if isinstance(mark, Quantity):
        if not (isinstance(value, str) and value in mark.words):
            yield from number_problems(name, value, mark)
    elif isinstance(mark, Whole):
        if isinstance(value, bool) or not isinstance(value, int):
            yield Problem("value-kind", "a whole number is needed", name, repr(value)[:60])
        else:
            yield from number_problems(name, value, mark)
    elif isinstance(mark, Text):
        if not isinstance(value, str):
            yield Problem("value-kind", "text is needed", name, repr(value)[:60])
        elif mark.required and not value.strip():
            yield Problem("value-missing", "text must not be empty", name, way_out=f"write the {name}")
        elif len(value) > mark.longest:
            yield Problem("value-range", "text is too long", name, f"{len(value)} characters", f"{mark.longest}")
    elif get_origin(hint) is Literal:
        if value not in get_args(hint):
            allowed = ", ".join(map(str, get_args(hint)))
            yield Problem("value-choice", "not one of the choices", name, repr(value)[:60], allowed)
    elif hint is bool and not isinstance(value, bool):
        yield Problem("value-kind", "True or False is needed", name, repr(value)[:60])
    elif isinstance(hint, type) and issubclass(hint, Checked) and not isinstance(value, hint):
        yield Problem("value-kind", f"a {hint.__name__} is needed", name, repr(value)[:60], "", _made_of(hint, value))
    elif get_origin(hint) is tuple and isinstance(get_args(hint)[0], type) and issubclass(get_args(hint)[0], Checked):
        yield from _items_problems(name, value, get_args(hint)[0])


def _items_problems(name: str, values: Any, cls: type) -> Iterator[Problem]:
    if not isinstance(values, tuple):
        way_out = f"write {name}=({name.removesuffix('s')},) with its comma" if isinstance(values, cls) else ""
        what = f"a tuple of {cls.__name__} is needed"
        yield Problem("value-kind", what, name, repr(values)[:60], "", way_out)
        return
    for i, value in enumerate(values):
        if not isinstance(value, cls):
            yield Problem("value-kind", f"a {cls.__name__} is needed", f"{name}.{i}", repr(value)[:60])


def _made_of(cls: type, value: Any) -> str:
    """The way out for a text in place of an object that a file may give by its name."""
    if not isinstance(value, str):
        return ""
    return {
        "Material": "shellbuck.material(name) finds a library metal",
        "Factors": "shellbuck.FACTOR_SETS[name] is a named set of factors",
    }.get(cls.__name__, "")


def number_problems(name: str, value: Any, mark: Quantity | Whole) -> Iterator[Problem]:
    """What is wrong with a number for this declaration; nothing when it is right."""
    unit = SI_UNIT[mark.kind] if isinstance(mark, Quantity) else ""
    try:
        number = math.nan if isinstance(value, bool | str) else float(value)
    except OverflowError:
        number = math.inf
    except (TypeError, ValueError):
        number = math.nan
    if math.isnan(number):
        words = "" if isinstance(mark, Whole) else " or ".join(f'"{word}"' for word in mark.words)
        allowed = words and f"a number, or {words}"
        yield Problem("value-kind", "a number in SI is needed", name, repr(value)[:60], allowed)
    elif not mark.low <= number <= mark.high or math.isinf(number):
        shown = f"{number:g} {unit}".strip()
        allowed = f"{mark.low:g} to {mark.high:g} {unit}".strip()
        yield Problem("value-range", "outside the range shellbuck accepts", name, shown, allowed)
