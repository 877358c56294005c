"""Case files: TOML text -> Case, all problems at once, each with its line."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from ...core.errors import Problem, Refusal
from ...model import FACTOR_SETS, Barrel, Case, CheckedElsewhere, Factors, Identity, LoadCase, Material, Policy
from ...model.case import load_problems, metals, skin_rules
from ...model.policy import DEFAULT_POLICY
from ...model.post_buckled import post_buckled_rules
from ...model.rules import worded
from ...model.walls import WALLS
from ..file_bytes import regular_bytes
from .hints import choice_hint, suggestion
from .kinds import SIZING_ONLY, Kind, refuse_no_toml, refuse_other_kind
from .library import material
from .line_load import with_line_loads
from .lines import find_line, line_map
from .load_table import KEY as LOAD_TABLE
from .load_table import LoadTable, read_load_table, self_contained
from .schema import read_table, shortened
from .toml_text import toml_tables

_Built = TypeVar("_Built")

SECTIONS = {
    "identity": Identity,
    "barrel": Barrel,
    "wall": None,
    "material": Material,
    "policy": Policy,
    "load_cases": LoadCase,
    "checked_elsewhere": CheckedElsewhere,
}
LISTS = ("load_cases", "checked_elsewhere")
REQUIRED = ("identity", "barrel", "wall", "load_cases")
FACTOR_SETS_KEY = "factor_sets"
BESIDE = {
    LOAD_TABLE: 'text. A table of load cases beside the file, "loads.csv" or .xlsx: one line a load case, headed by '
    "the keys of `load_cases` with their units, such as axial_force [kN]. It adds to `[[load_cases]]`; factors names "
    "a set.",
    FACTOR_SETS_KEY: 'tables. Sets of factors by name, [factor_sets."programme A"], for load cases and their table; '
    "keys as in factors.",
}
"""Keys of a case or sizing file beside its sections, and their meanings."""
_LARGEST = 1_000_000
_MOST_PROBLEMS = 50


@dataclass(frozen=True, eq=False)
class CaseFile:
    """A case with the text it came from: `raw` the values as read, those of a load table among them, `digest` the
    SHA-256 of the bytes, `tables` name and SHA-256 of the tables that it names."""

    case: Case
    raw: dict[str, Any]
    name: str
    digest: str
    tables: tuple[tuple[str, str], ...] = ()


def as_case(given: Case | CaseFile) -> Case:
    """The case itself, of a case or of a file that was read.

    Raises
    ------
    Refusal
        "value-kind", for anything else.
    """
    if isinstance(given, CaseFile):
        return given.case
    if not isinstance(given, Case):
        allowed, way_out = "a Case, or what read_case returns", "for a file: shellbuck.run(shellbuck.read_case(path))"
        raise Refusal.of("value-kind", "a case is needed", "case", repr(given)[:60], allowed, way_out)
    return given


def read_case(path: str | Path) -> CaseFile:
    """Read a case file.

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
    return case_from_text(text, path.name, digest, path.parent)


def read_alone(path: Path) -> tuple[str, str]:
    """Text of a case file with the lines of its load table written out, for what keeps the case without its table; and
    the SHA-256 of the bytes of the file.

    Raises
    ------
    Refusal
    """
    text, digest = read_text(path)
    return self_contained(text, lambda: load_table_of(toml_tables(text), path.parent)), digest


def read_text(path: Path) -> tuple[str, str]:
    """Text of a case or sizing file, and the SHA-256 of its bytes.

    Raises
    ------
    Refusal
        When it cannot be read, is too large or is not UTF-8.
    """
    way_out = "check the path; shellbuck start writes a new case"
    data = regular_bytes(
        path, _LARGEST, "a case, sizing or study file", way_out, glance=lambda start: refuse_no_toml(start, str(path))
    )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        what, got = "the file is not UTF-8 text", f"byte {data[error.start]:#04x} at {error.start}"
        raise Refusal.of("file-encoding", what, str(path), got, "UTF-8", "save it as UTF-8") from None
    return text, hashlib.sha256(data).hexdigest()


def case_from_text(text: str, name: str = "case", digest: str | None = None, folder: Path | None = None) -> CaseFile:
    """Read a case from TOML text; a table of load cases is looked for in `folder`.

    Raises
    ------
    Refusal
        With every problem found.
    """
    _, (raw, case, tables) = built(text, lambda raw: _case_with_tables(raw, folder), name, "case")
    return CaseFile(case, raw, name, digest or digest_of(text), tables)


def _case_with_tables(raw: dict[str, Any], folder: Path | None) -> tuple[dict[str, Any], Case, tuple]:
    """Values as read with the lines of a load table among them, their case, and the tables."""
    raw, around = with_line_loads(raw, _middle_radius(raw.get("barrel")), folder)
    if LOAD_TABLE not in raw:
        return raw, case_of_tables(raw), around
    table = load_table_of(raw, folder)
    listed = raw.get("load_cases", [])
    listed = listed if isinstance(listed, list) else []
    case = case_of_tables(raw, table)
    rest = {key: value for key, value in raw.items() if key != LOAD_TABLE}
    return {**rest, "load_cases": [*listed, *table.texts]}, case, ((raw[LOAD_TABLE], table.sheet.digest), *around)


def _middle_radius(table: Any) -> float | None:
    """Radius of the middle of the skin [m]; None where the barrel cannot be read, or its wall says how thick it is."""
    try:
        return read_table(Barrel, table, "barrel", material).middle_radius
    except Refusal:
        return None


def load_table_of(raw: dict[str, Any], folder: Path | None) -> LoadTable:
    """The table of load cases that a file names.

    Raises
    ------
    Refusal
        Where the table as a whole cannot be read.
    """
    try:
        sets = read_factor_sets(raw.get(FACTOR_SETS_KEY, {}))
    except Refusal:  # told with the other problems of the file
        sets = {}
    return read_load_table(raw[LOAD_TABLE], folder, sets)


def read_factor_sets(tables: Any) -> dict[str, Factors]:
    """Sets of factors that a case file defines, by name.

    Raises
    ------
    Refusal
        With every problem found.
    """
    if not isinstance(tables, dict):
        what, allowed = "sets of factors by name are needed", '[factor_sets."programme A"]'
        raise Refusal.of("value-kind", what, FACTOR_SETS_KEY, repr(tables)[:60], allowed)
    found, problems = {}, []
    for name, table in tables.items():
        where = f"{FACTOR_SETS_KEY}.{name[:60]}"
        if name in FACTOR_SETS:
            what = "the program has a set of this name"
            problems.append(Problem("factor-set-name", what, where, name, "another name", "rename the set"))
        try:
            found[name] = read_table(Factors, {"name": name, **table} if isinstance(table, dict) else table, where)
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    return found


def digest_of(text: str) -> str:
    """SHA-256 of a text."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def built(
    text: str, build: Callable[[dict[str, Any]], _Built], name: str, *kinds: Kind
) -> tuple[dict[str, Any], _Built]:
    """The tables of a TOML text, and what `build` makes of them; a file that is of none of the `kinds` is refused.

    Raises
    ------
    Refusal
        With every problem found, each with its line, in the order of the lines.
    """
    raw = toml_tables(text)
    refuse_other_kind(raw, name, *kinds)
    try:
        return raw, build(raw)
    except Refusal as refusal:
        lines = line_map(text)
        placed = [
            replace(p, line=find_line(lines, p.where), called=p.called or _called(raw, p.where))
            for p in refusal.problems
        ]
        placed.sort(key=lambda p: (p.line is None, p.line or 0))
        if len(placed) > _MOST_PROBLEMS:
            more = Problem("more-problems", f"and {len(placed) - _MOST_PROBLEMS} more problems")
            placed = [*placed[:_MOST_PROBLEMS], more]
        raise Refusal(placed) from None


def _called(raw: dict[str, Any], where: str) -> str:
    """The name of the load case that a dotted key leads into."""
    word, _, rest = where.partition(".")
    number, tables = rest.partition(".")[0], raw.get(word)
    if word != "load_cases" or not number.isdigit() or not isinstance(tables, list) or int(number) >= len(tables):
        return ""
    table = tables[int(number)]
    name = table.get("name") if isinstance(table, dict) else None
    return f'{LoadCase.CALLED} "{name[:40]}"' if isinstance(name, str) and name else ""


def case_of_tables(raw: dict[str, Any], table: LoadTable | None = None) -> Case:
    """The case of the tables of a case file; problems without their lines."""
    listed = raw.get("load_cases")
    first = len(listed) if isinstance(listed, list) else 0
    try:
        return _case_of(raw, table)
    except Refusal as refusal:
        if table is None:
            raise
        raise Refusal([table.placed(p, first) for p in refusal.problems]) from None


def _case_of(raw: dict[str, Any], table: LoadTable | None) -> Case:
    required = REQUIRED if table is None else tuple(key for key in REQUIRED if key != "load_cases")
    way_out = "shellbuck start writes a complete case"
    problems = list(section_problems(raw, (*SECTIONS, *BESIDE), required, way_out))
    parts: dict[str, Any] = {}
    try:
        raw = with_factor_sets(raw)
    except Refusal as refusal:
        problems += refusal.problems
    for key, cls in SECTIONS.items():
        if key not in raw:
            continue
        if key in LISTS:
            parts[key], found = read_list(cls, raw[key], key)
            problems += found
            continue
        try:
            parts[key] = read_table(_wall_class(raw[key]) if key == "wall" else cls, raw[key], key, material)
        except Refusal as refusal:
            problems += refusal.problems
    if table is not None:
        parts["load_cases"] = (*parts.get("load_cases", ()), *table.loads)
        problems += table.problems
    if problems:
        raise Refusal([*problems, *_further(parts, raw)])
    return Case(**parts)


def with_factor_sets(raw: dict[str, Any]) -> dict[str, Any]:
    """The tables with the sets of factors of the file in the place of their names."""
    sets = read_factor_sets(raw.get(FACTOR_SETS_KEY, {}))
    listed = raw.get("load_cases")
    if not sets or not isinstance(listed, list):
        return raw
    known = {name: {"name": name, **raw[FACTOR_SETS_KEY][name]} for name in sets}
    # a name that is no text is told by the reader of load cases
    named = [isinstance(t, dict) and isinstance(t.get("factors"), str) and t["factors"] in known for t in listed]
    put = [{**t, "factors": known[t["factors"]]} if own else t for t, own in zip(listed, named, strict=True)]
    return {**raw, "load_cases": put}


def _further(parts: dict[str, Any], raw: dict[str, Any]) -> Iterator[Problem]:
    """Problems of the tables that were read although others could not be."""
    barrel, wall, policy = parts.get("barrel"), parts.get("wall"), parts.get("policy", DEFAULT_POLICY)
    if wall is not None and "material" not in raw and wall.has_dimensions:
        yield Problem("material-missing", "this wall needs a material", "material")
    if barrel is not None and wall is not None:
        yield from worded(skin_rules(barrel, wall, policy))
        yield from worded(wall.limits(barrel.middle_radius, barrel.length))
        loads = parts.get("load_cases") or ()
        yield from worded(post_buckled_rules(barrel, wall, policy, loads))
    table = raw.get("barrel")
    ends = table.get("ends") if isinstance(table, dict) else None
    closed = {"closed": True, "open": False}.get(ends) if isinstance(ends, str) else None
    loads = parts.get("load_cases")
    if loads:
        yield from load_problems(loads, closed, metals(parts.get("material"), wall))


def _wall_class(table: Any) -> type:
    kind = table.get("kind") if isinstance(table, dict) else None
    if isinstance(kind, str) and kind in WALLS:
        return WALLS[kind]
    where = "wall.kind" if isinstance(table, dict) else "wall"
    got = "nothing" if kind is None else repr(kind)[:60]
    near = choice_hint("kind", kind, list(WALLS)) if isinstance(kind, str) else ""
    raise Refusal.of("value-choice", "the wall needs a kind", where, got, ", ".join(f'"{k}"' for k in WALLS), near)


def section_problems(
    raw: dict[str, Any], known: tuple[str, ...], required: tuple[str, ...], way_out: str
) -> Iterator[Problem]:
    """Sections that are not known, and those that are missing."""
    for key in raw:
        if key not in known:
            near = "it belongs to a sizing file" if key in SIZING_ONLY else suggestion(key, list(known))
            yield Problem("key-unknown", "unknown section", shortened(key), "", ", ".join(known), near)
    for key in required:
        if key not in raw:
            wanted = "at least one [[load_cases]]" if key == "load_cases" else f"[{key}]"
            yield Problem("key-missing", "a section is missing", key, "nothing", wanted, way_out)


def read_list(
    cls: type[_Built], tables: Any, key: str, way_out: str = "double the brackets"
) -> tuple[tuple[_Built | None, ...], list[Problem]]:
    """The entries of a list of tables, None for one that could not be read, and the problems of those."""
    if not isinstance(tables, list):
        return (), [Problem("value-kind", "a list of tables is needed", key, repr(tables)[:60], f"[[{key}]]", way_out)]
    entries: list[_Built | None] = []
    problems: list[Problem] = []
    for i, table in enumerate(tables):
        try:
            entries.append(read_table(cls, table, f"{key}.{i}", material))
        except Refusal as refusal:
            entries.append(None)
            problems += refusal.problems
    return tuple(entries), problems
