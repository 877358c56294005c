"""One piece of a study: points to rows. Runs in a worker process, so it takes and gives plain data only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from .. import __version__
from ..core.errors import Incomplete, Refusal, ShellbuckError
from ..core.records import UNKNOWN
from ..io.language.keys import changed
from ..margins import assess
from ..model import Case
from ..model.walls import bends, build_wall
from .arrays import array_outcomes
from .outcome import Outcome
from .outputs import Column, unknown_words


@dataclass(frozen=True)
class Piece:
    """Points to compute together: the base case, the changes of every point, the columns, and whether the
    points are computed as arrays, which leaves edge bending out at every point."""

    case: Case
    changes: tuple[Mapping[tuple, Any], ...]
    columns: tuple[Column, ...]
    arrays: bool = False


def evaluate(piece: Piece) -> tuple[str, list[Outcome]]:
    """Outcome of every point of a piece, in order, with the version of the program that found them.

    A point that cannot be computed is an outcome with its reason: no point stops a study.
    """

    def alone(changes: Mapping[tuple, Any]) -> Outcome:
        return _outcome(piece, changes)

    if piece.arrays:
        return __version__, array_outcomes(piece.case, piece.changes, piece.columns, alone)
    return __version__, [alone(changes) for changes in piece.changes]


def asked_of(case: Case, columns: Sequence[Column], edge_bending: bool) -> Case:
    """The case without its edges where no column needs them, for their loads take a second: they move no margin unless
    edge bending counts or the stress beside them is judged."""
    if case.barrel.edges is None or not all(column.without_edges for column in columns):
        return case
    if case.barrel.edge_strength or (edge_bending and bends(case.barrel, build_wall(case, case.reference_temperature))):
        return case
    nothing = dict(edges=None, edges_far=None, edge_springs=None, edge_springs_far=None, single_rings=())
    return replace(case, barrel=replace(case.barrel, **nothing))


def _outcome(piece: Piece, changes: Mapping[tuple, Any]) -> Outcome:
    nothing = (None,) * len(piece.columns)
    try:
        bending = not piece.arrays
        result = assess(asked_of(changed(piece.case, changes), piece.columns, bending), edge_bending=bending, full=None)
        values = tuple(column.value(result) for column in piece.columns)
    except Refusal as refusal:
        return Outcome("refused", _sentence(refusal), nothing)
    except Incomplete as error:
        return Outcome("incomplete", _sentence(error), nothing)
    except Exception as error:  # an internal error at one point must not cost the others
        return Outcome("failed", f"{type(error).__name__}: {error}"[:300].replace("\n", " "), nothing)
    word, reason = result.verdict.word, result.verdict.text
    if word in ("holds", "does not hold"):
        reason = unknown_words((c.name, r.mode, r.status) for c in result.load_cases for r in c.margins)
    elif word == "incomplete" and all(r.margin is None and r.status not in UNKNOWN for r in result.margins):
        word = "not loaded"  # the corner of many a grid: neither an answer nor a fault
    return Outcome(word, reason, values)


def _sentence(error: ShellbuckError) -> str:
    first, rest = error.problems[0], len(error.problems) - 1
    more = f" (and {rest} more)" if rest else ""
    return (first.sentence() + more).replace("\n", " ")
