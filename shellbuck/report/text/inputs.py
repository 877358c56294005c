"""Inputs as read and as used, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

from ...io import CaseFile
from ...model.checked import SI_UNIT, Checked, Quantity, declared, marker, without_none
from .display import plain_number

_SKIPPED = {"standings", "library"}
_SECTIONS = ("identity", "barrel", "wall", "material", "load_cases", "policy", "checked_elsewhere")


@dataclass(frozen=True)
class InputRow:
    """One input: dotted key, text as read (empty for a default), value as used with its SI unit."""

    key: str
    read: str
    used: str


def input_rows(file: CaseFile) -> tuple[InputRow, ...]:
    """Every input of a case, in the order of the model."""
    rows: list[InputRow] = []
    for section in _SECTIONS:
        value = getattr(file.case, section)
        if value is not None:
            rows += _rows(value, section, file.raw.get(section))
    return tuple(rows)


def _rows(value: Any, path: str, raw: Any) -> Iterator[InputRow]:
    if isinstance(value, Checked):
        if isinstance(raw, str):  # looked up by name
            yield InputRow(path, raw, "looked up by name")
        for f in fields(value):
            part = getattr(value, f.name)
            if f.name in _SKIPPED or part is None or part == "":
                continue
            hint, _ = without_none(declared(type(value))[f.name])
            inner = raw.get(f.name) if isinstance(raw, dict) else None
            mark = marker(hint)
            if isinstance(part, Checked) or (isinstance(part, tuple) and part and isinstance(part[0], Checked)):
                yield from _rows(part, f"{path}.{f.name}", inner)
            elif isinstance(mark, Quantity) and not isinstance(part, str):
                used = f"{plain_number(part, 6)} {SI_UNIT[mark.kind]}".strip()
                yield InputRow(f"{path}.{f.name}", "" if inner is None else str(inner), used)
            else:
                yield InputRow(f"{path}.{f.name}", "" if inner is None else _text(inner), _text(part))
    elif isinstance(value, tuple):
        for i, item in enumerate(value):
            yield from _rows(item, f"{path}.{i}", raw[i] if isinstance(raw, list) and i < len(raw) else None)


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " | ".join(", ".join(plain_number(x, 6) for x in row) for row in value)
    if isinstance(value, dict) and "rows" in value:
        rows = " | ".join(", ".join(str(x) for x in row) for row in value["rows"])
        return f"{rows} {value.get('unit', '')}"
    return str(value)
