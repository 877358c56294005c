"""JSON schemas of the files a user writes, for editors: generated from the tables that read them.

What concerns several keys together is left to the reader.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from pydantic import TypeAdapter

from ..model import Factors
from ..model.walls import WALLS
from .language.case_file import FACTOR_SETS_KEY
from .language.case_file import LISTS as CASE_LISTS
from .language.case_file import REQUIRED as CASE_REQUIRED
from .language.case_file import SECTIONS as CASE_SECTIONS
from .language.line_load import KEY as LINE_LOADS
from .language.load_table import KEY as LOAD_TABLE
from .language.schema import file_type
from .language.sizing_file import LISTS
from .language.sizing_file import REQUIRED as SIZING_REQUIRED
from .language.sizing_file import TABLES as SIZING_TABLES
from .language.study_file import CHOICES, RANGES, TOP
from .language.study_inputs import ALSO, VARY

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TYPES = {str: "string", int: "integer", list: "array", dict: "object"}


def file_schema(kind: Literal["case", "sizing", "study"]) -> dict[str, Any]:
    """JSON schema of a case file, a sizing file or a study file.

    Parameters
    ----------
    kind : {"case", "sizing", "study"}
    """
    return {"case": _case, "sizing": _sizing, "study": _study}[kind]()


def _case() -> dict[str, Any]:
    types = {key: file_type(cls) for key, cls in CASE_SECTIONS.items() if cls is not None and key not in CASE_LISTS}
    wall: Any = None
    for cls in WALLS.values():
        wall = file_type(cls) if wall is None else wall | file_type(cls)
    types |= {"wall": wall, **{key: list[file_type(CASE_SECTIONS[key])] for key in CASE_LISTS}}
    types |= {LOAD_TABLE: str, FACTOR_SETS_KEY: dict[str, file_type(Factors)]}
    found = _tables("case file of shellbuck", types, [key for key in CASE_REQUIRED if key != "load_cases"])
    found["anyOf"] = [{"required": [key]} for key in ("load_cases", LOAD_TABLE)]
    found["$defs"]["LoadCase"]["properties"][LINE_LOADS] = {"type": "string"}
    for cls in WALLS.values():  # the kind tells the walls apart, so a file gives it
        found["$defs"][cls.__name__].setdefault("required", []).append("kind")
    return found


def _sizing() -> dict[str, Any]:
    types = {key: file_type(cls) for key, cls in SIZING_TABLES.items()}
    types |= {key: list[file_type(cls)] for key, cls in LISTS.items()}
    types |= {LOAD_TABLE: str, FACTOR_SETS_KEY: dict[str, file_type(Factors)]}
    found = _tables("sizing file of shellbuck", types, [key for key in SIZING_REQUIRED if key != "load_cases"])
    return {**found, "anyOf": [{"required": [key]} for key in ("load_cases", LOAD_TABLE)]}


def _tables(title: str, types: Mapping[str, Any], required: Sequence[str]) -> dict[str, Any]:
    """The object of a file with one table, or list of tables, for each key."""
    found, rest = TypeAdapter.json_schemas([(key, "validation", TypeAdapter(kind)) for key, kind in types.items()])
    return _without_null(
        {
            "$schema": _DIALECT,
            "title": title,
            "type": "object",
            "properties": {key: found[key, "validation"] for key in types},
            "required": list(required),
            "additionalProperties": False,
            "$defs": rest["$defs"],
        }
    )


def _without_null(part: Any) -> Any:
    """A schema without null: a TOML file leaves a key out."""
    if isinstance(part, list):
        return [_without_null(x) for x in part]
    if not isinstance(part, dict):
        return part
    out = {key: _without_null(x) for key, x in part.items() if not (key == "default" and x is None)}
    kinds = [x for x in out.get("anyOf", ()) if x != {"type": "null"}]
    if "anyOf" in out and len(kinds) == 1:
        del out["anyOf"]
        return {**kinds[0], **out}
    return {**out, "anyOf": kinds} if kinds else out


def _study() -> dict[str, Any]:
    """The keys of a study file and their kinds; which values an input takes depends on the case."""
    keys: dict[str, Any] = {key: {"type": _TYPES[kind]} for key, (kind, _) in TOP.items()}
    for key, choices in CHOICES.items():
        keys[key]["enum"] = list(choices)
    for key, (low, high) in RANGES.items():
        keys[key] |= {"minimum": low, "maximum": high}
    for key in ("outputs", "load_cases"):
        keys[key]["items"] = {"type": "string"}
    also = {
        "type": "object",
        "properties": {key: {} for key in ALSO},
        "required": ["key"],
        "additionalProperties": False,
    }
    keys["vary"]["items"] = {
        "type": "object",
        "properties": {
            **{key: {} for key in VARY},
            "also": {"type": "array", "items": {"anyOf": [{"type": "string"}, also]}},
        },
        "required": ["key"],
        "additionalProperties": False,
    }
    return {
        "$schema": _DIALECT,
        "title": "study file of shellbuck",
        "type": "object",
        "properties": keys,
        "required": ["case"],
        "additionalProperties": False,
    }
