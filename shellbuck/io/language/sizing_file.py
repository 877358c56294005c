"""Sizing files: TOML text -> Demand. A case file serves too: its wall and its skin are left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ...core.errors import Problem, Refusal
from ...model import Identity, LoadCase, Material, Policy
from ...model.case import load_problems
from ...model.demand import BareBarrel, Demand, Heat, Limits, Prices
from ...model.sized_section import SizedSection
from .case_file import (
    BESIDE,
    LOAD_TABLE,
    built,
    digest_of,
    load_table_of,
    read_list,
    read_text,
    section_problems,
    with_factor_sets,
)
from .library import material
from .load_table import LoadTable
from .schema import read_table

TABLES = {
    "identity": Identity,
    "barrel": BareBarrel,
    "material": Material,
    "policy": Policy,
    "limits": Limits,
    "prices": Prices,
    "heat": Heat,
    "stringers": SizedSection,
    "rings": SizedSection,
}
LISTS = {"materials": Material, "load_cases": LoadCase}
_SECTIONS = (*TABLES, *LISTS, *BESIDE)
REQUIRED = ("identity", "barrel", "material", "load_cases")
_SKIN_KEYS = ("skin_thickness", "skin_thickness_minimum")
_EDGE_KEYS = ("edge_springs", "edge_springs_far", "single_rings", "edge_strength")


@dataclass(frozen=True, eq=False)
class SizingFile:
    """A demand with the text it came from. `left_out` names the keys of a case file that a sizing does not use,
    `tables` name and SHA-256 of the tables that it names."""

    demand: Demand
    raw: dict[str, Any]
    name: str
    digest: str
    left_out: tuple[str, ...] = ()
    tables: tuple[tuple[str, str], ...] = ()


def as_demand(given: Demand | SizingFile) -> Demand:
    """The demand itself, or that of a file that was read.

    Raises
    ------
    Refusal
        "value-kind", for anything else.
    """
    if isinstance(given, SizingFile):
        return given.demand
    if not isinstance(given, Demand):
        allowed, way_out = "a Demand, or what read_sizing returns", "for a file: shellbuck.read_sizing(path)"
        raise Refusal.of("value-kind", "a demand is needed", "demand", repr(given)[:60], allowed, way_out)
    return given


def read_sizing(path: str | Path) -> SizingFile:
    """Read a sizing file, or a case file to be sized again.

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
    return sizing_from_text(text, path.name, digest, path.parent)


def sizing_from_text(
    text: str, name: str = "sizing", digest: str | None = None, folder: Path | None = None
) -> SizingFile:
    """Read a demand from TOML text; a table of load cases is looked for in `folder`.

    Raises
    ------
    Refusal
        With every problem found, each with its line.
    """
    raw, (demand, left_out, tables) = built(text, lambda raw: _with_table(raw, folder), name, "sizing", "case")
    return SizingFile(demand, raw, name, digest or digest_of(text), left_out, tables)


def _with_table(raw: dict[str, Any], folder: Path | None) -> tuple[Demand, tuple[str, ...], tuple]:
    """The demand with the lines of a load table among its load cases, the keys left out, and the tables."""
    if LOAD_TABLE not in raw:
        return *_demand(raw, None), ()
    table = load_table_of(raw, folder)
    listed = raw.get("load_cases")
    first = len(listed) if isinstance(listed, list) else 0
    try:
        return *_demand(raw, table), ((raw[LOAD_TABLE], table.sheet.digest),)
    except Refusal as refusal:
        raise Refusal([table.placed(p, first) for p in refusal.problems]) from None


def _demand(raw: dict[str, Any], table: LoadTable | None) -> tuple[Demand, tuple[str, ...]]:
    tables = dict(raw)
    left_out = []
    if "wall" in tables:  # a case: what the sizing determines is left out
        left_out += ["wall"]
        del tables["wall"]
        if isinstance(barrel := tables.get("barrel"), dict):
            left_out += [f"barrel.{k}" for k in (*_SKIN_KEYS, *_EDGE_KEYS) if k in barrel]
            tables["barrel"] = {k: v for k, v in barrel.items() if k not in (*_SKIN_KEYS, *_EDGE_KEYS)}
    if isinstance(tables.get("barrel"), dict) and "weld_lands" in tables["barrel"]:
        what, way_out = "a sizing knows no weld lands", "leave them out; run the sized case with them afterwards"
        raise Refusal.of("key-unknown", what, "barrel.weld_lands", way_out=way_out)
    required = REQUIRED if table is None else tuple(key for key in REQUIRED if key != "load_cases")
    problems = [
        *section_problems(tables, _SECTIONS, required, "shellbuck start sizing writes a complete file"),
        *_skin_problems(tables),
    ]
    try:
        tables = with_factor_sets(tables)
    except Refusal as refusal:
        problems += refusal.problems
    parts: dict[str, Any] = {}
    for key, cls in TABLES.items():
        if key in tables:
            try:
                parts[key] = read_table(cls, tables[key], key, material)
            except Refusal as refusal:
                problems += refusal.problems
    way_out = "double the brackets; the first metal is given in [material]"
    more, found = read_list(Material, tables.get("materials", []), "materials", way_out)
    problems += found
    loads, found = read_list(LoadCase, tables.get("load_cases", []), "load_cases")
    problems += found
    if table is not None:
        loads, problems = (*loads, *table.loads), [*problems, *table.problems]
    if problems:
        if loads:
            metals = [("material", parts["material"])] if "material" in parts else []
            ends = getattr(parts.get("barrel"), "ends", None)
            problems += load_problems(loads, None if ends is None else ends == "closed", metals)
        raise Refusal(problems)
    return Demand(materials=(parts.pop("material"), *more), load_cases=loads, **parts), tuple(left_out)


def _skin_problems(tables: dict[str, Any]) -> Iterator[Problem]:
    if isinstance(barrel := tables.get("barrel"), dict):
        for key in _SKIN_KEYS:
            if key in barrel:
                yield Problem(
                    "key-unknown",
                    "the skin is what a sizing finds",
                    f"barrel.{key}",
                    "",
                    "",
                    "leave it out; its tolerance is skin_tolerance in [limits]",
                )
