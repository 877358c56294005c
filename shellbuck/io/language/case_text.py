"""A case as the text of a case file: what `read_case` reads back to the same case."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import MISSING, fields
from typing import Any

from ...model import FACTOR_SETS, Case, Factors, Material
from ...model.checked import Checked, Quantity, declared, marker, without_none
from .library import material

_WRITTEN = {
    "length": (1e-3, "mm"),
    "force": (1.0, "N"),
    "moment": (1.0, "N*m"),
    "pressure": (1e3, "kPa"),
    "stress": (1e6, "MPa"),
    "density": (1.0, "kg/m^3"),
    "area density": (1.0, "kg/m^2"),
    "area": (1e-6, "mm^2"),
    "second moment of area": (1e-12, "mm^4"),
    "temperature": (1.0, "K"),
    "temperature difference": (1.0, "K"),
    "expansion": (1e-6, "um/(m*K)"),
    "angle": (1.0, "rad"),
    "line spring": (1.0, "N/m^2"),
    "rotation spring": (1.0, "N"),
    "conductivity": (1.0, "W/(m*K)"),
}
_NOT_WRITTEN = {"library", "standings"}


def case_text(case: Case, comment: str = "") -> str:
    """The text of a case file.

    Parameters
    ----------
    case : Case
        Of any wall but one of given stiffness.
    comment : str
        Lines for the head of the file.
    """
    lines = [f"# {line}" for line in comment.splitlines()]
    for key in ("identity", "barrel", "wall", "material", "policy"):
        part = getattr(case, key)
        if part is not None and (written := list(_table(part, key))):
            lines += ["", *written]
    for load in case.load_cases:
        lines += ["", "[[load_cases]]", *_entries(load), *_nested(load, "load_cases")]
    for entry in case.checked_elsewhere:
        lines += ["", "[[checked_elsewhere]]", *_entries(entry)]
    return "\n".join(lines).lstrip("\n") + "\n"


def _table(part: Checked, path: str) -> Iterator[str]:
    if isinstance(part, Material) and part.library:
        beside = [
            f"{key} = {_value(Material, key, getattr(part, key))}"
            for key in ("clamp_below_range", "hardening_exponent", "hardening_source")
            if getattr(part, key) not in (None, False, "")
        ]
        if part.points != material(part.name).points:
            chosen = part.points[0]
            beside.append(f"compression_yield = {_value(type(chosen), 'compression_yield', chosen.compression_yield)}")
        yield from (f"[{path}]", f"name = {_text(part.name)}", *beside)
        return
    entries = list(_entries(part))
    if hasattr(type(part), "kind"):
        entries.insert(0, f"kind = {_text(part.kind)}")
    nested = list(_nested(part, path))
    if entries or nested:
        yield from (f"[{path}]", *entries, *nested)


def _entries(part: Checked) -> Iterator[str]:
    """Keys that differ from their default, or have none."""
    for f in fields(part):
        value = getattr(part, f.name)
        default = value is None or (f.default is not MISSING and value == f.default)
        if default or f.name in _NOT_WRITTEN or f.name == "kind":
            continue
        if isinstance(value, Factors):
            yield f"{f.name} = {_factors(value)}"
        elif not isinstance(value, Checked | tuple):
            yield f"{f.name} = {_value(type(part), f.name, value)}"


def _nested(part: Checked, path: str) -> Iterator[str]:
    for f in fields(part):
        value = getattr(part, f.name)
        if isinstance(value, Checked) and not isinstance(value, Factors):
            yield from _table(value, f"{path}.{f.name}")
        elif isinstance(value, tuple) and f.name not in _NOT_WRITTEN and value and isinstance(value[0], Checked):
            for item in value:
                yield from (f"[[{path}.{f.name}]]", *_entries(item))


def _factors(value: Factors) -> str:
    if FACTOR_SETS.get(value.name) == value:
        return _text(value.name)
    pairs = ", ".join(_entries(value))
    return f"{{ {pairs} }}"


def _value(cls: type, name: str, value: Any) -> str:
    hint, _ = without_none(declared(cls)[name])
    mark = marker(hint)
    if isinstance(mark, Quantity) and not isinstance(value, str):
        if mark.kind == "number":
            return repr(float(value))
        scale, unit = _WRITTEN[mark.kind]
        return f'"{float(value) / scale:.15g} {unit}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) if isinstance(value, int) else _text(value)


def _text(value: str) -> str:
    """A TOML basic string: JSON's escapes are a part of TOML's."""
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
