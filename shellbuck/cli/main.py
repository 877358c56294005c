"""Commands, and the one place where errors become exit statuses."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import shlex
import sys
from pathlib import Path
from typing import get_args

import click

from .. import __version__
from ..core.errors import EXIT_INTERRUPTED, Problem, Refusal, ShellbuckError
from ..model.barrel import EdgeSet
from .drawing import beside, figures, look, picture
from .failing import LOST, json_target, no_more_output, output_lost, own_fault, report
from .output import printable, refuse_existing, write_text
from .sizing import patterns, size
from .studies import map_, point, study
from .targeting import claim, fresh, written
from .targets import CASE, CSV, JSON, JSON_OR_SCREEN, MESH, PAGE, PDF

EDGE_NAMES = tuple(name for name in get_args(EdgeSet) if name != "FREE")  # both ends alike: one must hold
WALL_STARTS = ("plain", "triangular-grid", "stiffened", "orthogrid", "given-stiffness")
OTHER_STARTS = {"sizing": ("barrel.sizing", "patterns"), "study": ("triangular-grid.study", "study")}


class EdgeSets(click.Choice):
    """Edge sets by name, small letters too; help and messages name them as the trade does."""

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        return super().convert(value.upper(), param, ctx)


EDGES = EdgeSets(EDGE_NAMES)


class Commands(click.Group):
    """The commands, each with the whole of its first sentence."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list; click itself cuts sentences off."""
        with formatter.section("Commands"):
            names = self.list_commands(ctx)
            formatter.write_dl([(name, self.commands[name].get_short_help_str(200)) for name in names])


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Preliminary design aid, not certification. Start with:  shellbuck start plain > my.toml",
)
@click.version_option(__version__, prog_name="shellbuck")
def shellbuck() -> None:
    """Buckling and strength margins of a tank barrel.

    Exit status: 0 all margins hold, 1 a margin is negative, 2 the input is refused, 3 not complete, 4 own fault,
    130 stopped by the user.
    """


@shellbuck.command()
@click.argument("what", metavar="WALL|sizing|study", type=click.Choice((*WALL_STARTS, *OTHER_STARTS)))
@click.option("--to", "target", type=CASE, help="File to write; without it the case goes to the screen.")
@click.option("--force", is_flag=True, help="Overwrite an existing file.")
def start(what: str, target: str | None, force: bool) -> None:
    """Write a commented case to start from, or a sizing or study file.

    WALL is plain, triangular-grid, stiffened, orthogrid or given-stiffness.
    """
    from importlib.resources import files

    name, command = OTHER_STARTS.get(what, (what, "run"))
    text = files("shellbuck").joinpath(f"io/starts/{name}.toml").read_text(encoding="utf-8")
    if target is None:
        click.echo(text, nl=False)
        return
    path = Path(target)
    refuse_existing(target, force)
    write_text(path, text)
    shown, page = (shlex.quote(printable(str(p))) for p in (target, path.with_suffix(".html")))
    options = "--to a-folder" if what == "study" else f"--page {page}"
    click.echo(f"written: {printable(target)}\nnext:    shellbuck {command} {shown} {options}")
    if what == "study":
        click.echo("         with the case that it names beside it: shellbuck start triangular-grid --to my.toml")


@shellbuck.command()
@click.argument("case", type=click.Path())
def check(case: str) -> None:
    """Read a case and say everything that is wrong with it, without running it."""
    from ..io import read_case

    found = read_case(case).case
    count = len(found.load_cases)
    plural = "s" if count != 1 else ""
    article = "an" if found.wall.kind[0] in "aeiou" else "a"
    click.echo(f"{printable(case)}: {article} {found.wall.kind} wall with {count} load case{plural}; nothing to refuse")


@shellbuck.command()
@click.argument("case", type=click.Path())
@click.option("--json", "json_target", type=JSON_OR_SCREEN, help="Write the result as JSON; - prints only that.")
@click.option("--page", "page_target", type=PAGE, help="Write the report page (HTML).")
@click.option("--pdf", "pdf_target", type=PDF, help="Write the report as PDF (needs weasyprint).")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of table and page (JSON is SI).")
@click.option("--mesh", "by_mesh", is_flag=True, help="Check the governing load case by shell meshes (minutes).")
@click.option(
    "--remarks", type=click.Path(), help="A reviewed page, or its saved remarks (JSON), to show beside the new numbers."
)
@click.option("--brief", is_flag=True, help="Smallest margins and warnings only.")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
@click.pass_context
def run(context: click.Context, case: str, **wanted: object) -> None:
    """Work out the margins of a case."""
    from .running import Wanted, run_case

    context.exit(run_case(case, Wanted(**wanted)))


@shellbuck.command()
@click.argument("case", type=click.Path())
@click.option(
    "--held",
    multiple=True,
    type=EDGES,
    default=("SS3", "C4"),
    show_default=True,
    help="Edge set at both ends; repeat for several.",
)
@click.option("--theory", type=click.Choice(["Sanders", "Donnell"]), default="Sanders", show_default=True)
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of the lines.")
def edges(case: str, held: tuple[str, ...], theory: str, units: str) -> None:
    """What the edges, and bending near them, do to the load of a perfect barrel."""
    from .edge_table import print_edges

    print_edges(case, held, theory, units)


@shellbuck.command()
@click.argument("case", type=click.Path())
@click.option("--load-case", help="Name of the load case; the first without it.")
@click.option("--held", type=EDGES, help="Edge set at both ends (springs and rings stay); else the case's, else SS3.")
@click.option("--theory", type=click.Choice(["Sanders", "Donnell"]), default="Sanders", show_default=True)
@click.option("--count", type=click.IntRange(1, 200), default=10, show_default=True, help="How many to list.")
@click.option("--every", type=CSV, help="Write every mode below 1.2 of the lowest to this file (CSV).")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of the lines.")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
def modes(
    case: str,
    load_case: str | None,
    held: str | None,
    theory: str,
    count: int,
    every: str | None,
    units: str,
    force: bool,
) -> None:
    """List the lowest modes of the perfect barrel, with the energy in skin and ribs."""
    from .mode_list import print_modes

    claim(every, force=force)
    print_modes(case, load_case, held, theory, count, every, units)
    written(every)


@shellbuck.command()
@click.argument("case", type=click.Path())
@click.option("--load-case", help="Name of the load case; the first without it.")
@click.option("--modes", type=click.IntRange(1, 60), default=6, show_default=True, help="Modes of every mesh.")
@click.option(
    "--meshes", type=click.IntRange(1, 3), default=3, show_default=True, help="With 3 the loads are extrapolated."
)
@click.option(
    "--most",
    type=click.IntRange(5000, 2_000_000),
    default=150_000,
    show_default=True,
    help="Unknowns of the largest mesh.",
)
@click.option(
    "--platens", is_flag=True, help="The finest mesh also with prestress by linear statics between flat rigid platens."
)
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of the lines.")
@click.option("--json", "json_target", type=JSON, help="Write the agreement as JSON.")
@click.option("--save-mesh", "mesh_target", type=MESH, help="Write the finest mesh with its modes (VTU).")
@click.option("--pictures", type=click.Path(), help="Folder for one picture (PNG) a mode.")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
def agree(case: str, **wanted: object) -> None:
    """Solve a load case by closed form, Ritz and shell meshes, and say where and why they part."""
    from .mesh_check import Wanted, print_agreement

    print_agreement(case, Wanted(**wanted))


@shellbuck.command()
@click.argument("name", required=False)
def materials(name: str | None) -> None:
    """List the built-in metals, or one with the standing of every value."""
    from .listing import list_materials, show_material

    show_material(name) if name else list_materials()


@shellbuck.command()
def factors() -> None:
    """List the named sets of factors of safety."""
    from .listing import list_factors

    list_factors()


@shellbuck.command()
@click.argument("name", nargs=-1)
def explain(name: tuple[str, ...]) -> None:
    """Explain a failure mode, edge set, message, formula, symbol or source; without a name, list them."""
    from .listing import explain_all, explain_one

    explain_one(" ".join(name)) if name else explain_all()


shellbuck.add_command(study)
shellbuck.add_command(map_)
shellbuck.add_command(point)
shellbuck.add_command(size)
shellbuck.add_command(patterns)
shellbuck.add_command(figures)
shellbuck.add_command(picture)
shellbuck.add_command(look)
shellbuck.add_command(beside)


def entry(arguments: list[str] | None = None) -> None:
    """Console entry point: run the command and exit with its status."""
    sys.exit(main(arguments))


def main(arguments: list[str] | None = None) -> int:
    """Run the command line and return its exit status; nothing escapes as a traceback."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    _never_fail_on_a_character()
    with fresh():
        try:
            return _run(given)
        except BrokenPipeError as error:
            if json_target(given) == "-":
                return output_lost(error)
            no_more_output()
            return 141  # the reader closed the pipe; 128 + SIGPIPE, as a shell would say
        except OSError as error:  # the output failed, or the words about a failure could not be written
            return output_lost(error)


def _run(given: list[str]) -> int:
    try:
        status = shellbuck.main(args=given, prog_name="shellbuck", standalone_mode=False, obj=tuple(given))
        if sys.stdout is not None:
            sys.stdout.flush()
    except SystemExit:  # click leaves with status 1, that of a negative margin, where the reader has closed the pipe
        raise BrokenPipeError(errno.EPIPE, os.strerror(errno.EPIPE)) from None
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.ctx.get_help())
        return 0
    except click.ClickException as error:
        return report(Refusal(_command_line(error, given)), given)
    except ShellbuckError as error:
        return report(error, given)
    except (KeyboardInterrupt, click.Abort):
        click.echo("interrupted", err=True)
        return EXIT_INTERRUPTED
    except Exception as error:
        if isinstance(error, BrokenPipeError) or (isinstance(error, OSError) and error.errno in LOST):
            raise
        return report(own_fault(error), given)
    return status if isinstance(status, int) else 0


def _command_line(error: click.ClickException, given: list[str]) -> Problem:
    """What is wrong with the command line, and whose help says how it is right."""
    context = getattr(error, "ctx", None)
    known = given[:1] if given[:1] and given[0] in shellbuck.commands else []
    path = " ".join(["shellbuck", *known]) if context is None else context.command_path
    way_out = f"{path} --help lists {'commands and options' if path == 'shellbuck' else 'its options'}"
    what = " ".join(error.format_message().split()).rstrip(".")
    if isinstance(error, click.NoSuchOption) and re.fullmatch(r"-\d+", error.option_name):
        what = f"{error.option_name} reads as an option, not as a number"
        if path == "shellbuck point":
            way_out = "points are numbered from 0, as in the first column of the table"
    if path == "shellbuck size" and "'--pattern'" in what:
        way_out = "shellbuck patterns --list lists them"
    if path in ("shellbuck study", "shellbuck map") and "'--to'" in what:
        way_out = "name a folder for it, such as --to a-folder"
    return Problem("command-line", what, "", "", "", way_out)


def _never_fail_on_a_character() -> None:
    """Let a terminal without a character show a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(errors="replace")
