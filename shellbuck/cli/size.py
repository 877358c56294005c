"""The size command: the lightest wall of one pattern, as a table, as JSON and as a case that can be run."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.table import Table
from rich.text import Text

from ..core.errors import EXIT_HOLDS, EXIT_INTERRUPTED, EXIT_NEGATIVE_MARGIN
from .commands import FORCE, units, user_command
from .output import keep_apart, name_files, print_json, printable, tell, try_places, write_text
from .screen import Screen
from .targeting import claim, put_aside, written
from .targets import CASE, JSON_OR_SCREEN

if TYPE_CHECKING:
    from ..io.language.sizing_file import SizingFile
    from ..report.text.display import Display
    from ..sizing.records import Comparison, Sized

_LEFT_OUT = "a case file: its {} are left out, the sizing finds them"


@dataclass(frozen=True)
class WallOptions:
    """Options of the command."""

    pattern: str
    material: str | None
    seed: int
    seeds: int
    samples: int
    ritz: bool
    by_mesh: bool
    json_target: str | None
    case_target: str | None
    force: bool
    units: str


@user_command("size", "FILE is a sizing file; a case file serves too, without its wall and skin.")
@click.argument("file", type=click.Path())
@click.option("--pattern", required=True, help="E.g. plain, triangular-grid-inside; see: shellbuck patterns --list.")
@click.option("--material", help="Metal of the file, by the start of its name.  [default: the first]")
@click.option("--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, help="Of the samples.")
@click.option("--seeds", type=click.IntRange(1, 20), default=3, show_default=True, help="Searches to compare.")
@click.option("--samples", type=click.IntRange(16, 65536), default=512, show_default=True, help="Per search.")
@click.option("--ritz/--no-ritz", default=True, show_default=True, help="Check the sized case by the Ritz engine.")
@click.option("--mesh", "by_mesh", is_flag=True, help="Check the sized case by shell meshes (minutes).")
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the sizing as JSON; - prints only that.")
@click.option("--case", "case_target", type=CASE, help="Write the sized case (TOML).")
@units("the table (JSON is SI)")
@FORCE
@click.pass_context
def command(context: click.Context, file: str, **options: object) -> None:
    """Size, print, write."""
    context.exit(run_size(file, WallOptions(**options)))


def run_size(path: str, options: WallOptions) -> int:
    """Size, print, write; the exit status."""
    from ..io.language.sizing_file import read_sizing
    from ..report.text.display import DISPLAYS

    keep_apart(path, options.json_target, options.case_target)
    claim(options.json_target, force=options.force)
    claim(options.case_target, force=options.force, always=True)
    file = read_sizing(path)
    keep_tables(path, file, options.json_target, options.case_target)
    try_places(options.json_target, options.case_target)
    from ..sizing.front import SearchOptions, size
    from ..sizing.search import Effort

    search = SearchOptions(options.seed, options.seeds, Effort(samples=options.samples), options.ritz, options.by_mesh)
    found = size(file.demand, options.pattern, options.material, options=search, progress=tell)
    status = {"found": EXIT_HOLDS, "none feasible": EXIT_NEGATIVE_MARGIN, "stopped": EXIT_INTERRUPTED}[found.status]
    document = sizing_object(file, status, sized=found)
    if options.json_target not in (None, "-"):
        from ..io.results import json_text

        write_text(Path(options.json_target), json_text(document) + "\n")
    if options.case_target is not None and found.case_text:
        write_text(Path(options.case_target), found.case_text)
        written(options.case_target)
    for words in put_aside(options.case_target):
        click.echo(words, err=True)
    written(options.json_target)
    if options.json_target == "-":
        print_json(document)
        return status
    print_sized(found, file, DISPLAYS[options.units])
    name_files(json=options.json_target, case=options.case_target if found.case_text else None)
    if found.case_text and options.case_target is None:
        click.echo("save the sized case with --case sized.toml, then: shellbuck run sized.toml")
    return status


def keep_tables(path: str, file: SizingFile, *targets: str | None) -> None:
    """Refuse to write over a table of load cases of the file.

    Raises
    ------
    Refusal
    """
    for name, _ in file.tables:
        keep_apart(str(Path(path).parent / name), *targets, what="a table of the file")


def sizing_object(file: SizingFile, status: int, **found: Sized | Comparison) -> dict:
    """A sizing or a comparison as a JSON-ready dictionary."""
    from .. import __version__
    from ..io.results import UNITS, Source, plain, versions

    head = {
        "program": "shellbuck",
        "version": __version__,
        "exit_status": status,
        "units": UNITS,
        "source": Source(file.name, file.digest, file.tables),
        "limits": file.demand.limits,
    }
    return plain({**head, **found, "versions": versions()})


def print_sized(found: Sized, file: SizingFile, display: Display) -> None:
    """Print what was found."""
    console = Screen()
    console.print(Text(printable(file.demand.identity.title), style="bold"))
    if file.left_out:
        console.print(_LEFT_OUT.format(", ".join(file.left_out)))
    console.print(Text(printable(f"{found.title}, {found.material}")))
    style = {"found": "bold green", "none feasible": "bold red", "stopped": "bold yellow"}[found.status]
    console.print(Text(headline(found, display), style=style))
    for words in found.words:
        console.print(Text(printable(words)))
    if found.dimensions:
        console.print(_dimension_table(found, display))
        if found.active:
            console.print(_active_table(found, display))
        _print_production(console, found, display, file)
    for check in found.warnings:
        console.print(Text(printable(f"warned: {check.text} ({check.where}) [{check.code}]")))
    console.print(
        Text(
            "caution: preliminary design aid, not certification; an optimum drives critical margins to zero, and "
            "coincident modes may interact"
        )
    )


def headline(found: Sized, display: Display) -> str:
    """The outcome in one line."""
    if found.mass_per_area is None:
        return f"{found.status}"
    place = "so far" if found.status == "stopped" else "at the optimum"
    text = f"{display.shown(found.mass_per_area, 'area density', 5)} {place}"
    if found.production is not None:
        text += f", {display.shown(found.production.mass_per_area, 'area density', 5)} with rounded dimensions"
        text += f", barrel {display.shown(found.production.mass, 'mass')}"
    if found.status == "stopped":
        text = f"stopped; {text}"
    return text


def _dimension_table(found: Sized, display: Display) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    table.add_column("dimension", overflow="fold")
    for name in ("optimum", "rounded", "allowed"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("limit", overflow="fold")
    for d in found.dimensions:
        if d.whole:
            cells = [f"{d.value:.0f}", f"{d.rounded:.0f}", f"{d.low:.0f} to {d.high:.0f}"]
        else:
            low, high = (display.number(x, "length", 3) for x in (d.low, d.high))
            cells = [display.shown(d.value, "length", 4), display.shown(d.rounded, "length", 4), f"{low} to {high}"]
        note = {"low": "at its lower limit", "high": "at its upper limit", "": ""}[d.at]
        if d.low == d.high:
            note = "fixed by its limits"
        if d.price is not None and d.price > 0:
            note += f"; 0.1 mm of it adds {display.shown(d.price, 'area density', 2)}"
        table.add_row(d.words, *cells, note)
    return table


def _active_table(found: Sized, display: Display) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    table.add_column("active constraints", overflow="fold")
    table.add_column("mass sensitivity per 1 %", justify="right", no_wrap=True)
    for a in found.active:
        table.add_row(
            printable(a.words) + (" (rule of the shop)" if a.rule else ""), display.shown(a.price, "area density", 2)
        )
    return table


def _print_production(console: Screen, found: Sized, display: Display, file: SizingFile) -> None:
    from ..report.text.display import plain_number

    f = found.production
    if found.price_line_load is not None:
        mass = display.shown(found.price_line_load, "area density", 3)
        console.print(f"one more N/mm of axial compression in every load case adds {mass}")
    parts = [f"t_bar {display.shown(f.mean_thickness, 'length')}", f"N/R {plain_number(f.load_index / 1e3)} kPa"]
    if f.equivalent_ratio > 1.001:
        parts.append(f"t_e {f.equivalent_ratio:.2f} t")
    if f.local_to_general is not None:
        parts.append(f"local over general elastic load {f.local_to_general:.2f}")
    if f.pressure_gain is not None and f.pressure_gain > 1.0005:
        parts.append(f"computed gain by pressure {f.pressure_gain:.3f}")
    console.print(", ".join(parts))
    parts = [f"raw metal {display.shown(f.raw_mass, 'mass')}, {f.buy_to_fly:.2f} times the finished wall"]
    if f.chip_mass > 0:
        parts.append(f"{100 * f.chip_fraction:.0f} % is cut to chips, {f.pockets} pockets")
        parts.append(f"{display.shown(f.corner_mass, 'mass', 2)} of the mass are fillets in their corners")
    parts.append(f"welds {plain_number(f.weld_length, 3)} m")
    if f.joint_length > 0:
        parts.append(f"joints of stiffeners {plain_number(f.joint_length, 3)} m")
    parts.append(f"{f.parts} parts")
    if f.cost is not None:
        parts.append(f"cost {f.cost:.0f} {printable(file.demand.prices.currency)}")
    if f.heat is not None:
        parts.append(f"heat along the wall {plain_number(f.heat, 3)} W")
    console.print(Text(", ".join(parts)))
    for load in found.engines:
        console.print(
            f"{load.engine}: {display.shown(load.line_load, 'line load', 5)}, {load.over_closed_form:.5f} of closed "
            f"form ({printable(load.load_case)}, rounded dimensions)"
        )
