"""A study from its plan to the rows of its table: begun, gone on with, or found finished."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from .. import __version__
from ..core.errors import Refusal
from ..core.workers import PIECES_PER_WORKER, LocalWorkers, Workers, map_chunks
from ..io.language.study_plan import ARRAYS, ONE_BY_ONE, SAMPLED, StudyPlan
from ..io.store.folder import StudyFolder
from ..io.store.tables import Field, need_parquet
from ..margins import assess
from .arrays import why_not
from .design import Design
from .evaluate import Piece, evaluate
from .outcome import Outcome
from .outputs import KNOWN, Column, columns

_CHUNK = {False: 64, True: 2048}
"""Points saved together where the plan has no number: a second or two of two cores."""

_ARRAY_PIECE = 256

_MASSES = ("mass_per_area", "mass")


@dataclass(frozen=True)
class Progress:
    """How far a study is: points done (`found` of them from an earlier run), of `points`; rate [points/s] and time left
    [s] once they are known."""

    done: int
    points: int
    found: int
    rate: float | None
    left: float | None


@dataclass(frozen=True, eq=False)
class Study:
    """A plan made ready: its design and its columns.

    The result of the base case defines the modes and loads; a base case that is refused is refused here.
    """

    plan: StudyPlan
    design: Design
    columns: tuple[Column, ...]

    @classmethod
    def of(cls, plan: StudyPlan) -> Study:
        """Make a plan ready.

        Raises
        ------
        Refusal
            For an output that the base case does not have, or a base case that cannot be assessed.
        """
        if plan.form == "parquet":
            need_parquet()
        found = columns(plan.outputs, assess(plan.case, full=None))
        hindrance = "" if plan.engine == ONE_BY_ONE else why_not(plan, found)
        if plan.engine == ARRAYS and hindrance:
            what = f"this study cannot be computed by arrays: {hindrance}"
            allowed = f'"{ONE_BY_ONE}", or no engine: arrays where possible'
            raise Refusal.of("study-no-arrays", what, "engine", ARRAYS, allowed)
        arrays = plan.engine != ONE_BY_ONE and not hindrance
        plan = replace(plan, engine=ARRAYS if arrays else ONE_BY_ONE, chunk=plan.chunk or _CHUNK[arrays])
        return cls(plan, Design(plan), found)

    @property
    def fields(self) -> tuple[Field, ...]:
        """Columns of the table: number, inputs, status, outputs, reason."""
        inputs = [Field(v.header, _kind(v)) for v in self.plan.vary]
        outputs = [Field(c.header, "number" if c.numeric else "text") for c in self.columns]
        return (Field("point", "whole"), *inputs, Field("status", "text"), *outputs, Field("reason", "text"))

    @property
    def scattered(self) -> bool:
        """Whether the points are a sample, so that a share of them is a probability."""
        return self.plan.method in SAMPLED and self.plan.method != "sensitivity"

    @property
    def weighed(self) -> Column | None:
        """The column that decides which point is the lightest."""
        return next((c for name in _MASSES for c in self.columns if c.name == name), None)

    @property
    def margins(self) -> tuple[Column, ...]:
        """The columns of the margins of rows."""
        return tuple(c for c in self.columns if c.name.startswith("margin of "))

    @property
    def responses(self) -> tuple[Column, ...]:
        """The columns whose sensitivity is computed: numbers, without the bound of the smallest margin."""
        return tuple(c for c in self.columns if c.numeric and c.name != KNOWN)

    @property
    def looked_at(self) -> tuple[str, ...]:
        """Headings of what findings and figures read: status, smallest margin, its bound and the mode first."""
        found = [self.weighed] if self.weighed is not None else []
        if self.scattered:
            found += self.margins
            found += [c for c in self.columns if c.name.startswith("status of ")]
        found += self.responses if self.plan.method == "sensitivity" else ()
        first = ("status", "smallest_margin [-]", f"{KNOWN} [-]", "governing_mode")
        return tuple(dict.fromkeys((*first, *(c.header for c in found))))

    def row(self, number: int, outcome: Outcome) -> list[Any]:
        """A line of the table."""
        return [number, *self.design.values(number), outcome.status, *outcome.values, outcome.reason]

    def pieces(self, numbers: range, workers: int) -> list[Piece]:
        """Points of a chunk shared out to the workers."""
        arrays = self.plan.engine == ARRAYS
        # the parts of arrays are the same whoever works, so that the last digit is
        size = _ARRAY_PIECE if arrays else max(1, len(numbers) // (PIECES_PER_WORKER * workers))
        return [
            Piece(self.plan.case, tuple(self.design.changes(k) for k in numbers[i : i + size]), self.columns, arrays)
            for i in range(0, len(numbers), size)
        ]


def _kind(variation: Any) -> str:
    if not variation.numeric:
        return "text"
    return "whole" if variation.places[0].kind == "whole" and not variation.factor else "number"


def open_folder(study: Study, path: str | Path) -> StudyFolder:
    """The folder of a study, to be entered with ``with``."""
    return StudyFolder(Path(path), study.plan, len(study.design), study.fields)


def run_study(
    study: Study,
    folder: StudyFolder,
    workers: Workers | int | None = None,
    tell: Callable[[Progress], None] | None = None,
) -> Path:
    """Compute every point that the folder does not have yet, and write the table.

    Parameters
    ----------
    study : Study
    folder : StudyFolder
        Entered; finished chunks are kept.
    workers : Workers or int, optional
        Entered, or a number of processes; None takes one process per core.
    tell : callable
        Told how far the study is, after every piece.

    Returns
    -------
    Path
        Of the table: CSV or Parquet, the same bytes whether or not the study was stopped in between.

    Raises
    ------
    Incomplete
        When the workers are lost again and again; what is finished is kept.
    Refusal
        When a worker is of another version.
    """
    if workers is None or not hasattr(workers, "executor"):
        with LocalWorkers(workers) as own:
            return run_study(study, folder, own, tell)
    missing = folder.missing()
    todo = sum(len(folder.numbers(k)) for k in missing)
    clock = _Clock(folder.points, folder.points - todo, tell)
    clock.say(0)

    def chunks() -> Iterator[list[Piece]]:
        for k in missing:
            pieces = study.pieces(folder.numbers(k), workers.count)
            clock.sizes = [len(piece.changes) for piece in pieces]
            yield pieces

    for k, answers in zip(missing, map_chunks(evaluate, chunks(), workers, clock.piece), strict=True):
        _same_version(answers)
        outcomes = [o for _, some in answers for o in some]
        folder.save(k, [study.row(i, o) for i, o in zip(folder.numbers(k), outcomes, strict=True)])
        clock.chunk(len(outcomes))
    return folder.assemble(study.looked_at)


def _same_version(answers: list[tuple[str, list[Outcome]]]) -> None:
    other = sorted({version for version, _ in answers} - {__version__})
    if other:
        what = "a worker runs another version of shellbuck"
        way_out = "install the same version everywhere; finished chunks are kept"
        raise Refusal.of("study-worker-version", what, "", ", ".join(other), __version__, way_out)


class _Clock:
    """Counts points and seconds."""

    def __init__(self, points: int, found: int, tell: Callable[[Progress], None] | None):
        self.points, self.found, self.tell = points, found, tell
        self.first: tuple[float, int] | None = None
        self.kept = 0
        self.sizes: list[int] = []

    def piece(self, done: int) -> None:
        """So many pieces of the chunk are done (whichever they are: they are about equal)."""
        self.say(self.kept + sum(self.sizes[:done]))

    def chunk(self, size: int) -> None:
        self.kept += size
        self.say(self.kept)

    def say(self, now: int) -> None:
        # counted from the first answer on: the workers' start is no part of the rate
        moment, rate = time.monotonic(), None
        if now and self.first is None:
            self.first = (moment, now)
        elif self.first is not None and now > self.first[1] and moment > self.first[0]:
            rate = (now - self.first[1]) / (moment - self.first[0])
        left = (self.points - self.found - now) / rate if rate else None
        if self.tell is not None:
            self.tell(Progress(self.found + now, self.points, self.found, rate, left))
