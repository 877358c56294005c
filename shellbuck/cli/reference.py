"""The reference pages, generated from the registers of the program: nothing in them is written a second time."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

import click

from ..core.catalogue import EDGE_SETS, MESSAGES
from ..core.sources import SOURCES
from ..handbook import FORMULAS
from ..handbook.formula import Formula
from ..model import FACTOR_SETS
from ..model.barrel import HELD
from ..model.checked import SI_UNIT, Checked, Matrix, Quantity, Text, Whole, declared, marker, without_none
from .commands import GROUPS, Commands
from .symbols import described, symbol_lines, symbols

if TYPE_CHECKING:
    from ..margins.modes import FailureMode
    from ..margins.screens import Screen


@dataclass(frozen=True)
class Page:
    """One page: its title, what it is, and the text after that (Markdown)."""

    title: str
    purpose: str
    text: Callable[[], str]


def page_text(page: Page) -> str:
    """A page as Markdown."""
    return f"# {page.title}\n\n{page.purpose}\n\n{page.text().strip()}\n"


def _list(entries: Iterable[tuple[str, str]]) -> str:
    return "\n".join(f"- `{name}`: {words}" for name, words in entries)


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table with aligned columns, so that it also reads well as plain text."""
    cells = [list(head), *([str(cell) for cell in row] for row in rows)]
    width = [max(len(row[i]) for row in cells) for i in range(len(head))]
    cells.insert(1, ["-" * w for w in width])
    return "\n".join(f"| {' | '.join(c.ljust(w) for c, w in zip(row, width, strict=True))} |" for row in cells)


def _commands() -> str:
    group = Commands("shellbuck")
    parts = []
    for user, commands in GROUPS.items():
        parts.append(f"## {user}")
        for name in commands:
            with click.Context(group.get_command(None, name), info_name=f"shellbuck {name}") as context:
                parts.append(f"### {name}\n\n```text\n{context.command.get_help(context)}\n```")
    return "\n\n".join(parts)


def metal_table() -> str:
    """One line a metal."""
    from ..io.language.library import material, material_names

    head = ("metal", "E GPa", "nu", "kg/m3", "yield MPa", "ultimate MPa", "data at")
    rows = []
    for name in material_names():
        metal = material(name)
        point = metal.at(None)
        rows.append(
            (
                name,
                f"{point.youngs_modulus / 1e9:.1f}",
                f"{metal.poissons_ratio:.2f}",
                f"{metal.density:.0f}",
                f"{point.tension_yield / 1e6:.0f}",
                f"{point.ultimate / 1e6:.0f}",
                ", ".join(f"{p.temperature:g}" for p in metal.points) + " K",
            )
        )
    return _table(head, rows)


def metal_lines(name: str) -> list[str]:
    """One metal with the standing of every value."""
    from ..io.language.library import material

    metal = material(name)
    lines = [f"{metal.name}: {metal.source}", "typical values, NOT design allowables"]
    lines.append(f"density {metal.density:g} kg/m3, Poisson's ratio {metal.poissons_ratio:g}")
    for p in metal.points:
        chosen = p.compression_yield
        compression = chosen if isinstance(chosen, str) else f"{chosen / 1e6:g}"
        lines.append(
            f"- {p.temperature:g} K: E {p.youngs_modulus / 1e9:g} GPa (compression {p.compressive_modulus / 1e9:g}), "
            f"yield {p.tension_yield / 1e6:g} MPa (compression {compression}), ultimate {p.ultimate / 1e6:g} MPa"
        )
    return [*lines, "standing of the values:", *(f"- {key}: {standing}" for key, standing in metal.standings)]


def _materials() -> str:
    from ..io.language.library import material_names

    return "\n\n".join([metal_table(), *("\n".join((f"## {n}\n", *metal_lines(n)[1:])) for n in material_names())])


def _factors() -> str:
    sets = [
        (n, f"ultimate {f.ultimate_factor:g} (buckling too), yield {f.yield_factor:g}. {f.source}")
        for n, f in FACTOR_SETS.items()
    ]
    own = (
        'factors = { ultimate_factor = 1.4, yield_factor = 1.1, source = "..." }, with buckling_factor, proof_factor '
        "and burst_factor by choice"
    )
    return f"{_list(sets)}\n\nOwn factors: `{own}`"


_MOTIONS = {"u": "u (along the axis)", "v": "v (around)", "w": "w (radial)", "w'": "w' (the slope, a rotation)"}


def edge_lines(name: str) -> list[str]:
    """One edge set: what it fixes and leaves free, and the practice that it represents."""
    fixed = [words for key, words in _MOTIONS.items() if key in HELD[name]]
    free = [words for key, words in _MOTIONS.items() if key not in HELD[name]]
    return [
        f"{name}: an edge set, given as edges in [barrel] or by --edges",
        f"  fixed: {', '.join(fixed) or 'nothing'}; free: {', '.join(free) or 'nothing'}",
        f"  {EDGE_SETS[name]}",
        "  Some authors number the sets in another order: compare what is fixed.",
    ]


def mode_names(mode: FailureMode) -> set[str]:
    """Names by which a mode is explained: its key, and the names of its rows."""
    rows = {"yield", "ultimate"} if mode.kind == "strength" else mode.title.replace(" (n = 1)", "").split(", ")
    return {mode.key, *(name.replace(" ", "-") for name in rows)}


def mode_lines(mode: FailureMode) -> list[str]:
    """One failure mode: what buckles, its capacity, factor, range, source and formulas."""
    entries = {
        "walls": mode.walls,
        "shape": mode.shape,
        "capacity": mode.capacity,
        "knockdown": mode.knockdown,
        "range": mode.valid,
        "source": mode.source,
        "formulas": ", ".join(mode.formulas),
        "load components": ", ".join(mode.components),
    }
    return [f"{mode.title} ({mode.kind})", *(f"- {name}: {words}" for name, words in entries.items() if words)]


def screen_lines(screen: Screen) -> list[str]:
    """One second opinion or screen: what is compared, in which range, by which source."""
    entries = {
        "walls": screen.walls,
        "compared": screen.capacity,
        "range": screen.valid,
        "source": screen.source,
        "formulas": ", ".join(screen.formulas),
    }
    head = f"{screen.title} (beside the margins, never counted)"
    return [head, *(f"- {name}: {words}" for name, words in entries.items() if words)]


def _modes() -> str:
    from ..margins.modes import MODES
    from ..margins.screens import SCREENS

    table = _table(("failure mode", "walls", "source"), ((m.title, m.walls, m.source) for m in MODES))
    parts = ["\n".join(mode_lines(m)) for m in MODES] + ["\n".join(screen_lines(one)) for one in SCREENS]
    return "\n\n".join([table, *("## " + part.replace("\n", "\n\n", 1) for part in parts)])


def formula_lines(key: str, entry: Formula) -> list[str]:
    """One formula: its description, its expression, its source, standing and range."""
    source = SOURCES[entry.source]
    body = inspect.getsource(entry.function).rsplit('"""', 1)[1].strip()
    return [
        f"{key}: {entry.symbol}" + (f" [{entry.unit}]" if entry.unit else ""),
        inspect.cleandoc(entry.function.__doc__),
        f"\nFormula\n-------\n{body.replace('return ', entry.symbol + ' = ')}",
        f"\nSource: {source.text}" + (f" {entry.place}." if entry.place else ""),
        f"Standing: {source.standing}." + (f" Range: {entry.valid}." if entry.valid else ""),
    ]


def _formulas() -> str:
    parts = []
    for key, entry in sorted(FORMULAS.items()):
        parts.append(f"## {key}\n\n```text\n" + "\n".join(formula_lines(key, entry)) + "\n```")
    return "\n\n".join(parts)


def _keys() -> str:
    """Keys of case, sizing, stack and study files, every table of the model once."""
    from ..io.language.case_file import BESIDE, SECTIONS
    from ..io.language.sizing_file import LISTS, TABLES
    from ..io.language.study_file import CHOICES, TOP
    from ..io.language.study_inputs import ALSO, VARY
    from ..model.walls import WALLS

    parts, seen = [], {}
    walls = {f'wall (kind = "{kind}")': cls for kind, cls in WALLS.items()}
    case = {**{k: c for k, c in SECTIONS.items() if c is not None}, **walls}
    beside = {key: f"{words.partition('.')[0]}. As in a case file." for key, words in BESIDE.items()}
    for title, tables in (("Case file", case), ("Sizing file", {**TABLES, **LISTS})):
        parts.append(f"## {title}")
        parts.append(_list(BESIDE.items() if title == "Case file" else beside.items()))
        parts += [text for key, cls in tables.items() for text in _section(key, cls, seen)]
    from ..io.language.stack_file import TOP as STACK
    from ..model.stations import StackBarrel, StationEvent

    parts.append(f"## Stack file\n\n{_list(STACK.items())}")
    parts += [
        text for key, cls in (("barrels", StackBarrel), ("events", StationEvent)) for text in _section(key, cls, seen)
    ]
    study = [(k, words + (f" ({', '.join(CHOICES[k])})" if k in CHOICES else "")) for k, (_, words) in TOP.items()]
    parts.append(f"## Study file\n\n{_list(study)}")
    parts.append(f"### `[[vary]]`\n\n{_list(VARY.items())}")
    parts.append(f"### `also` of `[[vary]]`\n\n{_list(ALSO.items())}")
    return "\n\n".join(parts)


def _section(key: str, cls: type[Checked], seen: dict[type, str]) -> Iterator[str]:
    """The keys of one table and of the tables inside it."""
    from ..io.language.schema import INTERNAL
    from ..model.demand import LIMIT_WORDS
    from ..model.sections import SECTIONS

    if cls in seen:
        yield f"### `{key}`\n\nAs `{seen[cls]}`."
        return
    seen[cls] = key
    words = LIMIT_WORDS | described(cls)
    if "section" in words:  # its keys are those of the sections
        for section in SECTIONS.values():
            words = described(section) | words
    entries, inner = [], []
    for field in fields(cls):
        if field.name in INTERNAL:
            continue
        hint, _ = without_none(declared(cls)[field.name])
        entries.append((field.name, f"{_kind(hint)}. {words.get(field.name, '')}".strip()))
        table = get_args(hint)[0] if get_origin(hint) is tuple else hint
        if isinstance(table, type) and issubclass(table, Checked):
            inner.append((f"{key.partition(' ')[0]}.{field.name}", table))
    yield f"### `{key}`\n\n{_list(entries)}"
    for name, table in inner:
        yield from _section(name, table, seen)


def _kind(hint: Any) -> str:
    """What a key takes, in words."""
    from ..io.language.units import example

    mark = marker(hint)
    if isinstance(mark, Quantity):
        unit = SI_UNIT[mark.kind]
        words = "".join(f', or "{word}"' for word in mark.words)
        span = f"{mark.low:g} to {mark.high:g} {unit}".strip()
        return f"{mark.kind}, {span}{words}; such as {example(mark.kind, mark.low)}"
    if isinstance(mark, Whole):
        return f"whole number, {mark.low} to {mark.high}"
    if get_origin(hint) is Literal:
        return " or ".join(f'"{choice}"' for choice in get_args(hint))
    if hint is bool:
        return "true or false"
    if isinstance(mark, Text):
        return "text in quotes"
    if isinstance(mark, Matrix):
        return f"block of {mark.kind}: {{ unit = ..., rows = three rows of three numbers }}"
    return "list of tables" if get_origin(hint) is tuple else "table"


def _columns() -> str:
    from ..study import outputs

    return f"{inspect.cleandoc(outputs.__doc__)}\n\n{_list((n, f'`{path}`') for n, path in outputs.SHORT.items())}"


def _patterns() -> str:
    from ..sizing.patterns import COMPARED, PATTERNS

    rows = [(n, p.title, p.made, "yes" if n in COMPARED else "") for n, p in PATTERNS.items()]
    return _table(("pattern", "wall", "made", "compared by default"), rows)


def _sections() -> str:
    from ..model.sections import SECTIONS, keys_of
    from .symbols import described

    parts = []
    for name, cls in SECTIONS.items():
        words, needed = described(cls), keys_of(name, needed=True)
        keys = _list(
            (key, words.get(key, "") + ("" if key in needed else " May be left out.")) for key in keys_of(name)
        )
        parts.append(f"## {name}\n\n{(cls.__doc__ or '').splitlines()[0]}\n\n{keys}")
    return "\n\n".join(parts)


def _symbols() -> str:
    return "\n\n".join("\n".join(symbol_lines(s)).replace("\n  ", "\n- ") for s in sorted(symbols(), key=str.lower))


def _written(name: str) -> Callable[[], str]:
    return lambda: files("shellbuck").joinpath(f"cli/pages/{name}.md").read_text(encoding="utf-8")


PAGES: dict[str, Page] = {
    "commands": Page("Commands", "Every command with its options, by the user it serves.", _commands),
    "keys": Page("Keys of input files", "What each key means, its kind, and the range that is accepted (SI).", _keys),
    "failure-modes": Page("Failure modes", "The rows of a run: walls, capacity, knockdown, range and source.", _modes),
    "checks": Page("Checks and messages", "Every code in square brackets.", lambda: _list(sorted(MESSAGES.items()))),
    "formulas": Page("Formulas", "Every formula with its inputs, source, standing and range.", _formulas),
    "symbols": Page("Symbols", "Symbols of the formulas.", _symbols),
    "sources": Page(
        "Sources",
        "Publications and their standing.",
        lambda: _list((k, f"{s.text} Standing: {s.standing}.") for k, s in sorted(SOURCES.items())),
    ),
    "edge-sets": Page(
        "Edge sets",
        "Boundary conditions by name.",
        lambda: "\n\n".join("\n".join(edge_lines(n)).replace("\n  ", "\n- ") for n in EDGE_SETS),
    ),
    "materials": Page("Metals", "Typical values, NOT design allowables. E, yield and ultimate at 294 K.", _materials),
    "sections": Page("Sections", "Sections of stringers and rings, with their drawing dimensions.", _sections),
    "factors": Page("Factors of safety", "Named sets of factors.", _factors),
    "patterns": Page("Patterns", "Patterns for `size` and `patterns`.", _patterns),
    "columns": Page("Columns of a study", "What `outputs` of a study file may name.", _columns),
    "methods": Page("Methods", "What is computed, how, and by which source.", _written("methods")),
    "results": Page("Results", "Exit status, files, JSON and the report page.", _written("results")),
    "limits": Page("Limits", "What is not done, and measured limits.", _written("limits")),
    "python": Page("Python", "The same without files: plain SI numbers.", _written("python")),
}
"""Topic -> its page."""
