"""The study command: read, work out what is missing, sum up."""

from __future__ import annotations

import contextlib
import signal
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass

import click

from ..core.errors import EXIT_HOLDS, EXIT_INCOMPLETE, EXIT_INTERRUPTED
from ..core.workers import LocalWorkers
from ..io.language.study_file import read_study
from ..io.language.study_plan import StudyPlan
from ..report.text.display import DISPLAYS
from ..study.maps import Map
from ..study.run import Progress, Study, open_folder, run_study
from ..study.scheduler import DaskWorkers
from ..study.summary import refuse_empty, summarise
from .output import printable

_EVERY = 2.0
"""Seconds between two lines of progress."""


@dataclass(frozen=True)
class Wanted:
    """Where a study goes, who works, how it is shown, and the command to repeat it."""

    target: str
    count: int | None
    scheduler: str | None
    units: str
    command: str


def study_file(file: str, wanted: Wanted) -> int:
    """Run a study file and return the exit status."""
    return run_plan(read_study(file), wanted)


def run_plan(plan: StudyPlan, wanted: Wanted, found: Map | None = None) -> int:
    """Run a plan into its folder: 0 when every point is an answer, 3 when one could not be worked out."""
    target, count, scheduler = wanted.target, wanted.count, wanted.scheduler
    study = Study.of(plan)
    click.echo(f"{len(study.design)} points, {len(study.columns)} columns, to {printable(target)}", err=True)
    with open_folder(study, target) as folder:
        teller = _Teller()
        try:
            with _stopped_by_term(), DaskWorkers(scheduler) if scheduler else LocalWorkers(count) as workers:
                table = run_study(study, folder, workers, teller)
        except KeyboardInterrupt:
            kept = folder.points - sum(len(folder.numbers(k)) for k in folder.missing())
            click.echo(
                f"interrupted: {kept} of {folder.points} points are kept in {printable(target)}; the same command goes "
                "on from there",
                err=True,
            )
            return EXIT_INTERRUPTED
        from ..report.pages.study_page import write_findings

        summary = summarise(study, folder)
        page = write_findings(study, folder, summary, DISPLAYS[wanted.units], found, wanted.command)
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
    """Let a polite kill end the study as Ctrl-C does."""
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
