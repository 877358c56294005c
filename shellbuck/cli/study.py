"""The study command: read, compute what is missing, sum up; a map is a study of one case that asks one question."""

from __future__ import annotations

import contextlib
import re
import signal
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..core.errors import EXIT_HOLDS, EXIT_INCOMPLETE, EXIT_INTERRUPTED, Problem, Refusal
from ..core.workers import LocalWorkers
from .commands import WORKERS, units, user_command
from .output import printable
from .reproduction import command_line

if TYPE_CHECKING:
    from ..io.language.study_plan import StudyPlan
    from ..study.maps import Map
    from ..study.run import Progress

MAPS = ("loads", "pressure", "thickness", "ribs", "sides")
"""As `shellbuck.study.maps.KINDS`, without its imports."""

_EVERY = 2.0
"""Seconds between two lines of progress."""

_OF_MAPS = {
    "load_case": click.option(
        "--load-case", help="Map: name of the load case.  [default: the governing one; of thickness, ribs, sides: all]"
    ),
    "points": click.option(
        "--points", type=click.IntRange(2, 500), nargs=2, help="Map: points across and up.  [default: 21 21]"
    ),
    "x": click.option("--x", nargs=2, help="Map: ends of the axis across: --x '0 kN' '3 MN'; plain numbers: a factor."),
    "y": click.option("--y", nargs=2, help="Map: ends of the axis up: --y '1 mm' '4 mm'."),
    "pressure": click.option(
        "--pressure", multiple=True, help="Map of loads: a panel at this pressure; repeat for several."
    ),
}


@dataclass(frozen=True)
class StudyOptions:
    """Where a study goes, who computes it, how it is shown, and the command to repeat it."""

    target: str
    workers: int | None
    scheduler: str | None
    units: str
    command: str


def _of_maps(command: click.Command) -> click.Command:
    for option in reversed(_OF_MAPS.values()):
        command = option(command)
    return command


@user_command(
    "study",
    """FILE is a study file; with --map it is a case file, and the map is one of:

    loads: axial force against moment. pressure: axial force against pressure, with the safe window. thickness, ribs:
    skin thickness or rib depth against a factor on all loads. sides: thickness, ribs inside against outside.

    The same command resumes a study that was interrupted. Any point is run in full by: shellbuck run FOLDER --point N.
    """,
)
@click.argument("file", type=click.Path())
@click.option("--to", "target", type=click.Path(), required=True, help="Folder of the study; resumed if begun.")
@click.option("--map", "kind", type=click.Choice(MAPS), help="Draw a map of the margins of a case.")
@_of_maps
@WORKERS
@click.option("--scheduler", help="Address of a Dask scheduler that does the work instead.")
@units("page and figures (data are SI)")
@click.pass_context
def command(context: click.Context, file: str, kind: str | None, **options: object) -> None:
    """Work a study or a map out."""
    from ..io.language.study_file import read_study

    axes = {name: options.pop(name) for name in _OF_MAPS}
    wanted = StudyOptions(**options, command=command_line())
    if kind is not None:
        context.exit(_map(file, kind, wanted, axes))
    if given := [name for name, value in axes.items() if value not in (None, ())]:
        option = f"--{given[0].replace('_', '-')}"
        what = "this option belongs to a map"
        raise Refusal.of("command-line", what, option, "no --map", "", "add --map, or give it in the study file")
    context.exit(run_plan(read_study(file), wanted))


def _map(case: str, kind: str, options: StudyOptions, axes: dict) -> int:
    from ..io.language.case_file import case_from_text, read_alone
    from ..study.maps import map_of

    text, digest = read_alone(Path(case))
    file = case_from_text(text, Path(case).name, digest)
    across, up = axes.pop("points") or (21, 21)
    try:
        found = map_of(file, kind, across=across, up=up, pressures=axes.pop("pressure"), text=text, **axes)
    except Refusal as refusal:
        raise Refusal([_as_option(p) for p in refusal.problems]) from None
    return run_plan(found.plan, options, found)


def _as_option(problem: Problem) -> Problem:
    """A problem of the plan at the option that it came from: a map varies x, y, and pressures as panels."""
    if (axis := re.fullmatch(r"vary\.([01])\.(from|to)", problem.where)) is not None:
        end = "first" if axis[2] == "from" else "second"
        way_out = "give two different ends" if "values = " in problem.way_out else problem.way_out
        return replace(problem, where=f"--{'xy'[int(axis[1])]}, {end} end", way_out=way_out)
    if problem.where.startswith("vary.2.values"):
        return replace(problem, where="--pressure")
    return problem


def run_plan(plan: StudyPlan, options: StudyOptions, found: Map | None = None) -> int:
    """Run a plan into its folder: 0 when every point is an answer, 3 when one could not be computed."""
    from ..report.text.display import DISPLAYS
    from ..study.run import Study, open_folder, run_study
    from ..study.scheduler import DaskWorkers
    from ..study.summary import refuse_empty, summarise

    target = options.target
    study = Study.of(plan)
    click.echo(f"{len(study.design)} points, {len(study.columns)} columns, to {printable(target)}", err=True)
    with open_folder(study, target) as folder:
        address, count = options.scheduler, options.workers
        try:
            with _stopped_by_term(), DaskWorkers(address) if address else LocalWorkers(count) as workers:
                table = run_study(study, folder, workers, _Teller())
        except KeyboardInterrupt:
            kept = folder.points - sum(len(folder.numbers(k)) for k in folder.missing())
            click.echo(
                f"interrupted: {kept} of {folder.points} points are kept in {printable(target)}; the same command "
                "resumes",
                err=True,
            )
            return EXIT_INTERRUPTED
        from ..report.pages.study_page import write_findings

        summary = summarise(study, folder)
        page = write_findings(study, folder, summary, DISPLAYS[options.units], found, options.command)
        for line in summary.words:
            click.echo(printable(line))
        click.echo(f"table: {printable(str(table))}")
        click.echo(f"page: {printable(str(page))}")
        refuse_empty(folder)
    bad = {"incomplete", "failed"} & set(summary.by_status)
    return EXIT_INCOMPLETE if bad else EXIT_HOLDS


class _Teller:
    """Prints how far a study is, now and then."""

    def __init__(self) -> None:
        self.last = time.monotonic()

    def __call__(self, progress: Progress) -> None:
        now = time.monotonic()
        if progress.done == progress.found and progress.found:
            click.echo(f"  {progress.found} of {progress.points} points are there already", err=True)
        elif now - self.last >= _EVERY and progress.rate is not None:
            self.last = now
            click.echo(
                f"  {progress.done} of {progress.points} points, {progress.rate:.3g} a second, "
                f"about {_duration(progress.left)} left",
                err=True,
            )


def _duration(seconds: float) -> str:
    if seconds < 100:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"


@contextlib.contextmanager
def _stopped_by_term() -> Iterator[None]:
    """Let the termination signal end the study as Ctrl-C does."""
    if threading.current_thread() is not threading.main_thread() or sys.platform == "win32":
        yield
        return

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
