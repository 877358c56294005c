"""File tables from the model's own declarations. The only door to pydantic, with `readers.py`.

The annotations of a model dataclass define its fields; this module turns that into a pydantic model that
reads quantities with units, and turns pydantic's errors into our problems. Nothing is declared twice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, fields, replace
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    StrictBool,
    StrictStr,
    TypeAdapter,
    ValidationError,
    ValidationInfo,
    WrapValidator,
    create_model,
)

from ...core.errors import Problem, Refusal
from ...model import FACTOR_SETS, Factors, Material, MaterialPoint
from ...model.checked import Checked, Matrix, Quantity, Text, Whole, declared, marker, without_none
from ...model.material import AS_TENSION
from .hints import RENAMED, choice_hint, key_hint, suggestion
from .json_schema import OR_NAMED_FACTORS, OR_NAMED_METAL, shown_matrix, shown_quantity, shown_text, shown_whole
from .readers import custom, matrix, quantity, whole

INTERNAL = {"library", "standings"}
"""Fields that a file may not set."""

_NAMED = {"name", "clamp_below_range", "hardening_exponent", "hardening_source", "compression_yield"}
"""A material table with these keys alone names a metal of the library."""


def _factors(value: Any, handler: Any) -> Any:
    if isinstance(value, str):
        if value in FACTOR_SETS:
            return FACTOR_SETS[value]
        raise custom(
            Problem(
                "factor-set-unknown",
                "no such set of factors",
                "",
                repr(value)[:60],
                ", ".join(FACTOR_SETS) + ", or a table with ultimate_factor, yield_factor and source",
                suggestion(value, list(FACTOR_SETS)),
            )
        )
    if not isinstance(value, dict):
        raise custom(
            Problem(
                "value-kind",
                "a set of factors is needed",
                "",
                repr(value)[:60],
                ", ".join(f'"{n}"' for n in FACTOR_SETS) + ", or a table with ultimate_factor, yield_factor and source",
            )
        )
    return handler(value)


def _material(value: Any, handler: Any, info: ValidationInfo) -> Any:
    named = isinstance(value, dict) and set(value) <= {*_NAMED, *RENAMED} and isinstance(value.get("name"), str)
    if not isinstance(value, str) and not named:
        return handler(value)
    if named and (old := RENAMED.keys() & set(value)):
        raise custom(_renamed(old.pop()))
    try:
        metal = info.context["look_up"](value["name"] if named else value)
    except Refusal as refusal:
        raise custom(refusal.problems[0]) from None
    return _as_chosen(metal, value) if named else metal


def _renamed(key: str) -> Problem:
    return Problem("key-renamed", "this key has a new name", key, "", RENAMED[key], f"write {RENAMED[key]}")


def _as_chosen(metal: Material, table: dict[str, Any]) -> Material:
    """A library metal with the keys beside its name."""
    said = {key: _beside(key, table[key]) for key in _NAMED - {"name"} if table.get(key) is not None}
    changed = dict(standings=metal.standings, **{key: said[key] for key in said if key != "compression_yield"})
    if (chosen := said.get("compression_yield")) is not None:
        changed["points"] = tuple(replace(p, compression_yield=chosen) for p in metal.points)
        given = ("compression_yield", "chosen in the case" if chosen == AS_TENSION else "given in the case")
        changed["standings"] = (*(s for s in metal.standings if s[0] != given[0]), given)
    if "hardening_exponent" in said:
        changed["standings"] += (("hardening_exponent", f"given in the case ({said.get('hardening_source', '')})"),)
    try:
        return replace(metal, **changed)
    except Refusal as refusal:
        raise custom(refusal.problems[0]) from None


def _beside(key: str, value: Any) -> Any:
    owner = MaterialPoint if key == "compression_yield" else Material
    hint, _ = without_none(declared(owner)[key])
    try:
        return _type_adapter(hint).validate_python(value)
    except ValidationError as error:
        raise custom(_problem(error.errors()[0], owner, key)) from None


@cache
def _type_adapter(hint: Any) -> TypeAdapter:
    return TypeAdapter(file_type(hint))


def shortened(key: str) -> str:
    """A key of the file, cut where it is longer than any key of ours."""
    return key if len(key) <= 40 else key[:40] + "..."


def file_type(hint: Any) -> Any:
    """Type that pydantic uses for a declared field."""
    mark = marker(hint)
    if isinstance(mark, Quantity):
        return Annotated[float | str if mark.words else float, quantity(mark), shown_quantity(mark)]
    if isinstance(mark, Whole):
        return Annotated[int, BeforeValidator(whole), shown_whole(mark)]
    if isinstance(mark, Text):
        return Annotated[StrictStr, shown_text(mark)]
    if isinstance(mark, Matrix):
        return Annotated[tuple[tuple[float, ...], ...], matrix(mark.kind), shown_matrix(mark)]
    if hint is bool:
        return StrictBool
    if get_origin(hint) is tuple and isinstance(get_args(hint)[0], type):
        return list[file_model(get_args(hint)[0])]
    if isinstance(hint, type) and issubclass(hint, Checked):
        model = file_model(hint)
        if hint is Factors:
            return Annotated[model, WrapValidator(_factors), OR_NAMED_FACTORS]
        if hint is Material:
            return Annotated[model, WrapValidator(_material), OR_NAMED_METAL]
        return model
    return hint


@cache
def file_model(cls: type[Checked]) -> type[BaseModel]:
    """Pydantic model of one table."""
    entries: dict[str, Any] = {}
    for f in fields(cls):
        if f.name in INTERNAL:
            continue
        hint, optional = without_none(declared(cls)[f.name])
        kind = file_type(hint)
        default = ... if f.default is MISSING and f.default_factory is MISSING else None
        entries[f.name] = (kind | None if optional or default is None else kind, default)
    return create_model(cls.__name__, __config__=ConfigDict(extra="forbid"), **entries)


@cache
def _adapter(cls: type[Checked]) -> TypeAdapter:
    return TypeAdapter(file_type(cls))


LookUp = Callable[[str], Material]


def _nothing_by_name(name: str) -> Material:
    raise Refusal.of("material-unknown", "a metal cannot be given by name here", "", repr(name)[:60])


def read_table(cls: type[Checked], table: Any, where: str, look_up: LookUp = _nothing_by_name) -> Checked:
    """A checked model object from one table of a file.

    Parameters
    ----------
    cls : type
        The model class that declares the table.
    table : object
        What the file holds under `where`.
    where : str
        Dotted key for messages.
    look_up : callable
        Finds a metal that is given by its name.

    Raises
    ------
    Refusal
        With every problem of the table, each under its dotted key.
    """
    try:
        entry = _adapter(cls).validate_python(table, context={"look_up": look_up})
    except ValidationError as error:
        raise Refusal([_problem(e, cls, where) for e in error.errors()]) from None
    return _build(cls, entry, where)


def _build(cls: type[Checked], entry: Any, where: str) -> Any:
    if isinstance(entry, cls):  # looked up, e.g. a library material
        return entry
    values, problems = {}, []
    for name in entry.model_fields_set:
        value = getattr(entry, name)
        try:
            values[name] = _built_value(declared(cls)[name], value, f"{where}.{name}")
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    try:
        return cls(**values)
    except Refusal as refusal:
        raise Refusal([_without_it(p, where).below(where) for p in refusal.problems]) from None


def _without_it(problem: Problem, where: str) -> Problem:
    """A count of none, with how to write none in a file."""
    if problem.code == "value-range" and (problem.where, problem.got) == ("count", "0"):
        return replace(problem, way_out=f"for none leave [{where}] out")
    return problem


def _built_value(hint: Any, value: Any, where: str) -> Any:
    hint, _ = without_none(hint)
    if isinstance(value, list):
        item = get_args(hint)[0]
        return tuple(_build(item, v, f"{where}.{i}") for i, v in enumerate(value))
    if isinstance(value, BaseModel):
        return _build(hint, value, where)
    return value


def _problem(error: dict[str, Any], cls: type[Checked], where: str) -> Problem:
    """Our problem out of one of pydantic's."""
    place = ".".join([where, *(shortened(str(p)) for p in error["loc"])])
    kind = error["type"]
    if kind == "problem":
        return error["ctx"]["problem"].below(place)
    got = repr(error.get("input"))[:60]
    if kind == "extra_forbidden":
        owner = _owner(cls, error["loc"][:-1])
        keys = [f.name for f in fields(owner) if f.name not in INTERNAL]
        name = str(error["loc"][-1])
        if RENAMED.get(name) in keys:
            return _renamed(name).below(place.rpartition(".")[0])
        return Problem("key-unknown", "unknown key", place, "", ", ".join(keys), key_hint(name, keys))
    if kind == "missing":
        return Problem("key-missing", "a key is missing", place, "nothing", _expected(cls, error["loc"]))
    if kind == "literal_error":
        expected = error["ctx"]["expected"].replace("'", '"')
        known = list(_choices(cls, error["loc"]))
        near = choice_hint(str(error["loc"][-1]), str(error.get("input")), known)
        return Problem("value-choice", "not one of the choices", place, got, expected, near)
    words = {
        "string_type": "text in quotes is needed",
        "bool_type": "true or false is needed",
        "list_type": "a list of tables is needed",
        "model_type": "a table is needed",
        "model_attributes_type": "a table is needed",
        "dict_type": "a table is needed",
    }
    return Problem("value-kind", words.get(kind, error["msg"]), place, got)


def _owner(cls: type[Checked], loc: tuple) -> type[Checked]:
    for part in loc:
        if isinstance(part, int):
            continue
        hint, _ = without_none(declared(cls)[part])
        cls = get_args(hint)[0] if get_origin(hint) is tuple else hint
    return cls


def _choices(cls: type[Checked], loc: tuple) -> tuple[str, ...]:
    hint, _ = without_none(declared(_owner(cls, loc[:-1]))[loc[-1]])
    return get_args(hint) if get_origin(hint) is Literal else ()


def _expected(cls: type[Checked], loc: tuple) -> str:
    from .units import example

    hint, _ = without_none(declared(_owner(cls, loc[:-1]))[loc[-1]])
    mark = marker(hint)
    if isinstance(mark, Quantity):
        return f"a {mark.kind}, for example {example(mark.kind, mark.low)}"
    if get_origin(hint) is Literal:
        return " or ".join(f'"{c}"' for c in get_args(hint))
    if isinstance(mark, Text):
        return "text in quotes"
    return {Factors: ", ".join(FACTOR_SETS)}.get(hint, "")
