"""Sizing files: TOML text -> Demand. A case file serves too: its wall and its skin are left out."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ..errors import Problem, Refusal
from ..model import Identity, Material, Policy
from ..model.case import load_problems
from ..model.sizing import BareBarrel, Demand, Heat, Limits, Prices
from .casefile import _load_cases, _parse, read_text
from .library import material
from .locate import find_line, line_map
from .schema import read_table, shortened, suggestion

_TABLES = {"identity": Identity, "barrel": BareBarrel, "material": Material, "policy": Policy, "limits": Limits,
           "prices": Prices, "heat": Heat}  # fmt: skip
_SECTIONS = (*_TABLES, "materials", "load_cases")
_REQUIRED = ("identity", "barrel", "material", "load_cases")
_SKIN_KEYS = ("skin_thickness", "skin_thickness_minimum")
_EDGE_KEYS = ("edges", "edges_far", "edge_springs", "edge_springs_far", "single_rings")


@dataclass(frozen=True, eq=False)
class SizingFile:
    """A demand with the text it came from. `left_out` names what a case file holds that a sizing does not use."""

    demand: Demand
    raw: dict[str, Any]
    name: str
    digest: str
    left_out: tuple[str, ...] = ()


def read_sizing(path: str | Path) -> SizingFile:
    """Read a sizing file, or a case file to be sized anew.

    Parameters
    ----------
    path : str or Path
        A TOML file in UTF-8.

    Raises
    ------
    Refusal
        With every problem found, or why the file cannot be read.
    """
    path = Path(path)
    text, digest = read_text(path)
    return sizing_from_text(text, path.name, digest)


def sizing_from_text(text: str, name: str = "sizing", digest: str | None = None) -> SizingFile:
    """Read a demand from TOML text.

    Raises
    ------
    Refusal
        With every problem found, each with its line.
    """
    raw = _parse(text)
    lines = line_map(text)
    try:
        demand, left_out = _demand(raw)
    except Refusal as refusal:
        placed = [replace(p, line=find_line(lines, p.where)) for p in refusal.problems]
        raise Refusal(sorted(placed, key=lambda p: (p.line is None, p.line or 0))) from None
    return SizingFile(demand, raw, name, digest or hashlib.sha256(text.encode("utf-8")).hexdigest(), left_out)


def _demand(raw: dict[str, Any]) -> tuple[Demand, tuple[str, ...]]:
    tables = dict(raw)
    left_out = []
    if "wall" in tables:  # a case: what stands in the place of the answer is put aside
        left_out += ["wall"]
        del tables["wall"]
        if isinstance(barrel := tables.get("barrel"), dict):
            left_out += [f"barrel.{k}" for k in (*_SKIN_KEYS, *_EDGE_KEYS) if k in barrel]
            tables["barrel"] = {k: v for k, v in barrel.items() if k not in (*_SKIN_KEYS, *_EDGE_KEYS)}
    problems = list(_section_problems(tables))
    parts: dict[str, Any] = {}
    for key, cls in _TABLES.items():
        if key in tables:
            try:
                parts[key] = read_table(cls, tables[key], key, material)
            except Refusal as refusal:
                problems += refusal.problems
    more, found = _materials(tables.get("materials", []))
    problems += found
    if "load_cases" in tables:
        loads, found = _load_cases(tables["load_cases"])
        problems += found
        if problems and loads:
            metals = [("material", parts["material"])] if "material" in parts else []
            ends = getattr(parts.get("barrel"), "ends", None)
            problems += load_problems(loads, None if ends is None else ends == "closed", metals)
    if problems:
        raise Refusal(problems)
    return Demand(materials=(parts.pop("material"), *more), load_cases=loads, **parts), tuple(left_out)


def _section_problems(tables: dict[str, Any]) -> Iterator[Problem]:
    for key in tables:
        if key not in _SECTIONS:
            yield Problem(
                "key-unknown", "unknown section", shortened(key), "", ", ".join(_SECTIONS),
                suggestion(key, list(_SECTIONS)),
            )
    for key in _REQUIRED:
        if key not in tables:
            yield Problem(
                "key-missing", "a section is missing", key, "nothing",
                "at least one [[load_cases]]" if key == "load_cases" else f"[{key}]",
                "shellbuck start sizing writes a complete file",
            )
    if isinstance(barrel := tables.get("barrel"), dict):
        for key in _SKIN_KEYS:
            if key in barrel:
                yield Problem(
                    "key-unknown", "the skin is what a sizing finds", f"barrel.{key}", "", "",
                    "leave it out; its tolerance is skin_tolerance in [limits]",
                )


def _materials(tables: Any) -> tuple[tuple[Material, ...], list[Problem]]:
    if not isinstance(tables, list):
        return (), [Problem(
            "value-kind", "a list of tables is needed", "materials", repr(tables)[:60], "[[materials]]",
            "double the brackets; the first metal stands in [material]",
        )]  # fmt: skip
    metals, problems = [], []
    for i, table in enumerate(tables):
        try:
            metals.append(read_table(Material, table, f"materials.{i}", material))
        except Refusal as refusal:
            problems += refusal.problems
    return tuple(metals), problems
