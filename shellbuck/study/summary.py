"""What a finished study says: points by status, the lightest that holds, sensitivity, probability."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from ..errors import Incomplete, Problem, Refusal
from ..files.studyfolder import StudyFolder
from .chance import Chance, chance
from .run import Study
from .sensitivity import Share, shares

_COUNTED = {"holds": "hold", "does not hold": "do not hold"}


@dataclass(frozen=True)
class Summary:
    """The findings of a study. `lightest` is the number of the lightest point that holds, None without a mass column;
    `words` are the findings as sentences."""

    points: int
    by_status: dict[str, int]
    smallest_margin: tuple[float, float] | None
    lightest: int | None
    lightest_mass: float | None
    negative_margin: tuple[Chance, ...]
    sensitivity: tuple[Share, ...]
    words: tuple[str, ...]


def refuse_empty(folder: StudyFolder) -> None:
    """Say so when no point could be worked out: the table stands, with a reason in every row.

    Raises
    ------
    Refusal, Incomplete
    """
    found = Counter(folder.columns(["status"])[0])
    if found["holds"] + found["does not hold"]:
        return
    most = Counter(folder.columns(["reason"])[0]).most_common(1)[0][0]
    kind = Refusal if found["refused"] else Incomplete
    raise kind(Problem(
        "study-nothing-feasible", "no point of the study has margins", str(folder.table)[:200],
        f"{folder.points} points, most of them: {most[:200]}", "", "every row of the table has its reason",
    ))  # fmt: skip


def summarise(study: Study, folder: StudyFolder) -> Summary:
    """The findings of a finished study."""
    plan = study.plan
    statuses, margin = folder.columns(study.looked_at)[:2]
    by_status = dict(sorted(Counter(statuses).items()))
    words = [f"{folder.points} points: " + ", ".join(f"{n} {_COUNTED.get(s, s)}" for s, n in by_status.items())]
    usable = np.isin(statuses, ["holds", "does not hold"])
    holds = statuses == "holds"
    span = None
    if usable.any() and not np.isnan(margin[usable]).all():
        span = (float(np.nanmin(margin[usable])), float(np.nanmax(margin[usable])))
        words.append(f"smallest margin from {span[0]:+.3f} to {span[1]:+.3f}")
    words += _edge_words(study, folder)
    lightest = mass = None  # asked only where every point carries the same loads
    under_load = any(place.path[0] == "load_cases" for v in plan.vary for place in v.places)
    weighed = study.weighed
    if holds.any() and weighed is not None and not under_load:
        (masses,) = folder.columns([weighed.header])
        if np.nanmax(masses) > np.nanmin(masses):  # else every point is the same wall
            lightest = int(np.nanargmin(np.where(holds, masses, np.inf)))
            mass = float(masses[lightest])
            words.append(f"lightest point that holds: {lightest}, {mass:.4g} {weighed.unit}")
    chances: tuple[Chance, ...] = ()
    if study.scattered:
        chances = tuple(_chances(study, folder, usable))
        words += _chance_words(chances[0], plan.method)
    found: tuple[Share, ...] = ()
    if plan.method == "sensitivity":
        found, more = _sensitivity(study, folder, [c.header for c in study.columns if c.numeric])
        words += more
    return Summary(
        folder.points, by_status, span, lightest, mass, chances, found, tuple(words)
    )


def _edge_words(study: Study, folder: StudyFolder) -> list[str]:
    """How many points lack the nonlinear prebuckled load of their eccentric wall."""
    column = next((c for c in study.columns if c.name == "edge_bending"), None)
    count = 0 if column is None else int((folder.columns([column.header])[0] == "not checked").sum())
    if not count:
        return []
    return [
        f"EDGE BENDING NOT CHECKED at {count} points: their general margins are those of factor times classical alone "
        'and may be too high; engine = "one by one" works the nonlinear prebuckled load out, and so does a run'
    ]


def _chances(study: Study, folder: StudyFolder, usable: np.ndarray):
    names = study.margins
    values = folder.columns([c.header for c in names])
    independent = study.plan.method == "random"
    for column, row in zip(names, values, strict=True):
        known = usable & ~np.isnan(row)
        if column.name != "smallest_margin" and not known.any():
            continue
        # a mode without compression has no margin and cannot be negative; a refused point could be anything
        unknown = int((~usable).sum())
        counted = int(usable.sum()) if column.name != "smallest_margin" else int(known.sum())
        yield chance(column.name, int((row[known] < 0).sum()), counted, unknown, independent=independent)


def _chance_words(c: Chance, method: str) -> list[str]:
    if c.probability is None:
        return ["no point has a margin: no probability"]
    text = f"share of points with a negative margin: {c.probability:.4g} ({c.negative} of {c.counted})"
    if c.low is not None:
        text = (
            f"probability of a negative margin: {c.probability:.4g} ({c.negative} of {c.counted}), 95 % interval of "
            f"the sampling {c.low:.3g} to {c.high:.3g}"
        )
    else:
        text += f"; no sampling error is stated, because points of method {method} are not independent"
    if c.unknown:
        text += f"; {c.unknown} points without a margin: with them between {c.least:.3g} and {c.most:.3g}"
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
