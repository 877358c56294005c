"""The patterns command: every pattern at its own optimum, side by side."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.table import Table
from rich.text import Text

from ..core.errors import EXIT_HOLDS, EXIT_INCOMPLETE, EXIT_INTERRUPTED, EXIT_NEGATIVE_MARGIN
from .commands import FORCE, WORKERS, units, user_command
from .output import keep_apart, name_files, print_json, printable, tell, try_places, write_text
from .screen import Screen
from .size import keep_tables, sizing_object
from .targeting import claim, written
from .targets import JSON_OR_SCREEN, PAGE

if TYPE_CHECKING:
    from ..io.language.sizing_file import SizingFile
    from ..report.text.display import Display
    from ..sizing.records import Comparison


@dataclass(frozen=True)
class ComparisonOptions:
    """Options of the command."""

    patterns: tuple[str, ...]
    materials: tuple[str, ...]
    seed: int
    seeds: int
    samples: int
    ritz: bool
    workers: int | None
    page_target: str | None
    json_target: str | None
    units: str
    force: bool = False


@user_command("patterns", "FILE is a sizing file.")
@click.argument("file", type=click.Path(), required=False)
@click.option("--pattern", "patterns", multiple=True, help="Compare this one; repeat for several.")
@click.option("--material", "materials", multiple=True, help="Only in this metal of the file; repeat for several.")
@click.option("--list", "only_list", is_flag=True, help="List the patterns and stop.")
@click.option("--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, help="Of the samples.")
@click.option("--seeds", type=click.IntRange(1, 20), default=2, show_default=True, help="Searches to compare.")
@click.option("--samples", type=click.IntRange(16, 65536), default=512, show_default=True, help="Per search.")
@click.option("--ritz/--no-ritz", default=True, show_default=True, help="Check every design by the Ritz engine.")
@WORKERS
@click.option("--page", "page_target", type=PAGE, help="Write the comparison as a page (HTML).")
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the comparison as JSON; - prints only that.")
@units("table and page (JSON is SI)")
@FORCE
@click.pass_context
def command(context: click.Context, file: str | None, only_list: bool, **options: object) -> None:
    """Compare, print, write, or list the patterns."""
    if only_list:
        list_patterns()
    elif file is None:
        raise click.UsageError("name a sizing file, or add --list")
    else:
        context.exit(run_patterns(file, ComparisonOptions(**options)))


def list_patterns() -> None:
    """One line a pattern."""
    from ..sizing.patterns import COMPARED, PATTERNS

    for name, pattern in PATTERNS.items():
        star = "*" if name in COMPARED else " "
        click.echo(f"{star} {name:30} {pattern.title} ({pattern.made})")
    click.echo("\n* compared when no pattern is named")


def run_patterns(path: str, options: ComparisonOptions) -> int:
    """Compare, print, write; the exit status: 0 when a pattern was sized, 1 when none, 3 when workers were lost for
    good, 130 when interrupted."""
    from ..io.language.sizing_file import read_sizing
    from ..report.text.display import DISPLAYS
    from ..sizing.patterns import COMPARED

    keep_apart(path, options.json_target, options.page_target)
    claim(options.json_target, options.page_target, force=options.force)
    file = read_sizing(path)
    keep_tables(path, file, options.json_target, options.page_target)
    try_places(options.json_target, options.page_target)
    from ..sizing.compare import compare
    from ..sizing.front import SearchOptions
    from ..sizing.search import Effort

    found = compare(
        file.demand,
        options.patterns or COMPARED,
        options.materials or None,
        workers=options.workers,
        progress=tell,
        options=SearchOptions(options.seed, options.seeds, Effort(samples=options.samples), options.ritz),
    )
    holds = any(e.sized.mass_per_area is not None for e in found.entries)
    status = EXIT_HOLDS if holds else EXIT_NEGATIVE_MARGIN
    if not found.complete:
        status = EXIT_INCOMPLETE if found.trouble else EXIT_INTERRUPTED
    display = DISPLAYS[options.units]
    document = sizing_object(file, status, comparison=found)
    if options.page_target is not None:
        from ..report.pages.patterns import patterns_page

        write_text(Path(options.page_target), patterns_page(found, file, display, _command(path, options)))
    if options.json_target not in (None, "-"):
        from ..io.results import json_text

        write_text(Path(options.json_target), json_text(document) + "\n")
    written(options.json_target, options.page_target)
    if options.json_target == "-":
        print_json(document)
        return status
    print_comparison(found, file, display)
    name_files(page=options.page_target, json=options.json_target)
    return status


def _command(path: str, options: ComparisonOptions) -> str:
    words = ["shellbuck", "patterns", Path(path).name]
    for flag, values in (("--pattern", options.patterns), ("--material", options.materials)):
        for value in values:
            words += [flag, value]
    words += ["--seed", str(options.seed), "--seeds", str(options.seeds), "--samples", str(options.samples)]
    words += [] if options.ritz else ["--no-ritz"]
    return shlex.join(words)


def print_comparison(found: Comparison, file: SizingFile, display: Display) -> None:
    """Print the ranking and the answer in words."""
    console = Screen()
    console.print(Text(printable(file.demand.identity.title), style="bold"))
    if not found.complete:
        done = len(found.entries) + len(found.missing)
        how = "not complete" if found.trouble else "stopped"
        words = f"{how}: {done} of {found.asked} were finished; this is the best so far"
        console.print(Text(words, style="bold yellow"))
        if found.trouble:
            console.print(Text(printable(found.trouble)))
    unit = display.unit("area density")
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    table.add_column("pattern", overflow="fold")
    table.add_column("metal", overflow="fold")
    cost = f"cost, {printable(file.demand.prices.currency)}" if file.demand.prices is not None else "cost"
    for name in (unit, "knockdown 1", "no p credit", "chips", "parts", cost):
        table.add_column(name, justify="right", no_wrap=True)
    for e in found.entries:
        f = e.sized.production
        if f is None:
            table.add_row(e.sized.title, Text(printable(e.metal)), e.sized.status)
            continue
        beside = ["-" if m is None else display.number(m, "area density") for m in (e.perfect, e.unpressed)]
        table.add_row(
            e.sized.title,
            Text(printable(e.metal)),
            display.number(e.sized.mass_per_area, "area density"),
            *beside,
            f"{100 * f.chip_fraction:.0f} %",
            str(f.parts),
            "-" if f.cost is None else f"{f.cost:.0f}",
        )
    console.print(table)
    for name, metal in {e.material: e.metal for e in found.entries if e.metal != e.material}.items():
        console.print(Text(printable(f"{metal}: {name}"), style="dim"))
    for e in found.entries:
        if e.sized.production is None:
            console.print(Text(printable(f"{e.sized.title}, {e.material}: {'; '.join(e.sized.words)}")))
    for m in found.missing:
        console.print(Text(printable(f"{m.pattern}, {m.material}: refused: {m.reason}")))
    answer = found.answer
    for title, words in (
        ("answer", answer.answer),
        ("reasons", answer.reasons),
        ("cautions", answer.cautions),
        ("what would change it", answer.changes),
    ):
        if words:
            console.print()
            console.print(Text(title, style="bold"))
            for text in words:
                console.print(Text(printable(f"- {text}")))
