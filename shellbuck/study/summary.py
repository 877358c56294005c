"""Findings of a finished study: points by status, the lightest feasible one, sensitivity, probability."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..core.errors import Incomplete, Problem, Refusal
from ..io.store.folder import StudyFolder
from ..margins.prebuckled import MODE as GENERAL
from .chance import Chance, chance
from .run import Study
from .sensitivity import Share, shares

_COUNTED = {"holds": "hold", "does not hold": "do not hold", "not loaded": "are not loaded"}


@dataclass(frozen=True)
class Summary:
    """The findings of a study. `smallest_margin` spans the points that have one (`with_margin` of them); `lightest` is
    the number of the lightest point without a negative margin, None without a mass column; `words` are the findings as
    sentences."""

    points: int
    by_status: dict[str, int]
    smallest_margin: tuple[float, float] | None
    with_margin: int
    lightest: int | None
    lightest_mass: float | None
    negative_margin: tuple[Chance, ...]
    sensitivity: tuple[Share, ...]
    words: tuple[str, ...]


def refuse_empty(folder: StudyFolder) -> None:
    """Refuse when no point could be computed: the table is complete, with a reason in every row.

    Raises
    ------
    Refusal, Incomplete
    """
    found = Counter(folder.columns(["status"])[0])
    if found["holds"] + found["does not hold"]:
        return
    most = Counter(folder.columns(["reason"])[0]).most_common(1)[0][0]
    kind = Refusal if found["refused"] else Incomplete
    raise kind(
        Problem(
            "study-nothing-feasible",
            "no point of the study has margins",
            str(folder.table)[:200],
            f"{folder.points} points, most of them: {most[:200]}",
            "",
            "every row of the table has its reason",
        )
    )


def summarise(study: Study, folder: StudyFolder) -> Summary:
    """The findings of a finished study."""
    plan = study.plan
    statuses, margin, known_margin = folder.columns(study.looked_at)[:3]
    by_status = dict(sorted(Counter(statuses).items()))
    words = [f"{folder.points} points: " + ", ".join(f"{n} {_COUNTED.get(s, s)}" for s, n in by_status.items())]
    holds = statuses == "holds"
    has = ~np.isnan(margin) & np.isin(statuses, ["holds", "does not hold"])
    span = None
    if has.any():
        span = (float(margin[has].min()), float(margin[has].max()))
        words.append(f"smallest margin from {span[0]:+.3f} to {span[1]:+.3f}")
        if not has.all():
            words[-1] += f" over the {int(has.sum())} points with a known margin"
    open_edges = _open_edges(study, folder)
    words += _edge_words(int(open_edges.sum()))
    lightest = mass = None  # asked only where every point carries the same loads
    under_load = any(place.path[0] == "load_cases" for v in plan.vary for place in v.places)
    weighed = study.weighed
    if holds.any() and weighed is not None and not under_load:
        (masses,) = folder.columns([weighed.header])
        if np.nanmax(masses) > np.nanmin(masses):  # else every point is the same wall
            lightest = int(np.nanargmin(np.where(holds, masses, np.inf)))
            mass = float(masses[lightest])
            words.append(f"lightest point without a negative margin: {lightest}, {mass:.4g} {weighed.unit}")
    chances: tuple[Chance, ...] = ()
    if study.scattered:
        chances = (_overall(study, statuses, known_margin, open_edges), *_chances(study, folder, open_edges))
        words += _chance_words(chances[0], plan.method)
    found: tuple[Share, ...] = ()
    if plan.method == "sensitivity":
        found, more = _sensitivity(study, folder, [c.header for c in study.responses])
        words += more
    return Summary(folder.points, by_status, span, int(has.sum()), lightest, mass, chances, found, tuple(words))


def _open_edges(study: Study, folder: StudyFolder) -> np.ndarray:
    """Points that lack the nonlinear prebuckled load of their eccentric wall."""
    column = next((c for c in study.columns if c.name == "edge_bending"), None)
    if column is None:
        return np.zeros(folder.points, dtype=bool)
    return folder.columns([column.header])[0] == "not checked"


def _edge_words(count: int) -> list[str]:
    if not count:
        return []
    return [
        f"EDGE BENDING NOT CHECKED at {count} points: their general margins are those of factor times classical alone "
        'and may be too high; engine = "one by one" computes the nonlinear prebuckled load, and so does a run'
    ]


def _overall(study: Study, statuses: np.ndarray, known_margin: np.ndarray, open_edges: np.ndarray) -> Chance:
    """Probability that any margin is negative: one that is known to be is enough, whatever else is unknown."""
    negative = (statuses == "does not hold") | (known_margin < 0)
    unknown = int((~negative & ((statuses != "holds") | open_edges)).sum())
    return chance(
        "smallest_margin", int(negative.sum()), len(statuses) - unknown, unknown, independent=_independent(study)
    )


def _chances(study: Study, folder: StudyFolder, open_edges: np.ndarray) -> Iterator[Chance]:
    """Probability of a negative margin row by row, of those that have one anywhere."""
    names = [c.name.removeprefix("margin of ") for c in study.margins]
    for name, row in zip(names, folder.columns([f"status of {name}" for name in names]), strict=True):
        if not np.isin(row, ["holds", "fails"]).any():
            continue
        # without compression a row cannot be negative; one that is refused, withheld or missing could be anything
        unknown = ~np.isin(row, ["holds", "fails", "not compressed", "buckles, allowed"])
        if name.startswith(GENERAL):  # edge bending lowers this load, and not the others
            unknown |= open_edges & (row == "holds")
        count = int(unknown.sum())
        yield chance(
            f"margin of {name}", int((row == "fails").sum()), len(row) - count, count, independent=_independent(study)
        )


def _independent(study: Study) -> bool:
    return study.plan.method == "random"


def _chance_words(c: Chance, method: str) -> list[str]:
    if c.least == 0.0 and c.most == 1.0:
        return [
            f"no probability of a negative margin: none of {c.counted + c.unknown} points is known (refused, "
            "withheld, or without the check of edge bending)"
        ]
    points = c.counted + c.unknown
    what = "probability of a negative margin" if c.low is not None else "share of points with a negative margin"
    if c.unknown:
        text = (
            f"{what}: between {c.least:.4g} and {c.most:.4g} ({c.negative} of {points} points have one, {c.unknown} "
            "are unknown: refused, withheld, or without the check of edge bending)"
        )
    else:
        text = f"{what}: {c.probability:.4g} ({c.negative} of {points})"
    if c.low is not None:
        text += f", 95 % interval of the sampling {c.low:.3g} to {c.high:.3g}"
    else:
        text += f"; no sampling error is stated, because points of method {method} are not independent"
    return [text]


def _sensitivity(study: Study, folder: StudyFolder, headers: list[str]) -> tuple[tuple[Share, ...], list[str]]:
    values, words = folder.columns(headers), []
    found: list[Share] = []
    inputs = tuple(v.title for v in study.plan.vary)
    for header, row in zip(headers, values, strict=True):
        empty = int(np.isnan(row).sum())
        if empty:
            words.append(
                f"{header}: no sensitivity, because {empty} of {len(row)} points have no value; narrow the ranges"
            )
            continue
        found += shares(header, inputs, row, study.plan.seed)
    for share in found:
        if share.output.startswith("smallest_margin"):
            words.append(
                f"smallest margin, {share.input}: first order {share.first:.3f} ({share.first_low:.3f} to "
                f"{share.first_high:.3f}), total {share.total:.3f} ({share.total_low:.3f} to {share.total_high:.3f})"
            )
    return tuple(found), words
