"""The review part of the page: data, script, still figures of every mode, remarks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from markupsafe import Markup

from ...core.records import Result
from ...core.samples import Samples
from ...io import CaseFile
from ...io.pages.remarks import Remarks
from ..figures.overview import NEAR, Difference, differences, spectrum
from ..figures.stills import Still, still
from ..review.data import review_data
from ..review.fields import Fields
from ..review.remarks import RemarkRow, beside, remark_rows
from ..text.display import Display
from .html import json_block, own, script_policy

_LOOKED_AT = 401


@dataclass(frozen=True)
class ModeSection:
    """One mode as the static page shows it; without figures where it looks like the mode `same_as`."""

    mode: dict[str, Any]
    figures: tuple[Still, ...]
    same_as: str


@dataclass(frozen=True)
class Review:
    """What the template needs; `data` and `block` are JSON that is safe inside a script element."""

    data: Markup
    block: Markup
    script: Markup
    style: Markup
    policy: str
    sections: tuple[ModeSection, ...]
    remarks: Remarks | None
    rows: tuple[RemarkRow, ...]
    likeness: tuple[dict[str, Any], ...]
    spectra: tuple[tuple[str, Still], ...]
    differences: tuple[Difference, ...]
    first_words: str


def review(result: Result, file: CaseFile, display: Display, remarks: Remarks | None = None) -> Review:
    """Collect the review part of a result.

    Parameters
    ----------
    result : Result
    file : CaseFile
    display : Display
    remarks : Remarks or None
        Of an earlier page; shown beside the numbers of this run.
    """
    data = review_data(result, file, display)
    given = None if remarks is None else beside(remarks, data)
    fields, script = Fields(data), own("review/bundle/review.js")
    return Review(
        json_block(data),
        json_block(None if given is None else given.block()),
        Markup(script),
        Markup(own("pages/templates/review.css")),
        script_policy(script),
        tuple(sections(fields)),
        given,
        () if given is None else tuple(remark_rows(given, display)),
        tuple(data["likeness"]),
        tuple((entry["case"], spectrum(entry, data)) for entry in data["spectra"]),
        tuple(differences(fields)),
        data["first_words"],
    )


def sections(fields: Fields) -> list[ModeSection]:
    """Every mode: first that which the page opens with, then those that a margin rests on, then what stands beside;
    those that look like one before come last, without figures."""
    drawn: list[tuple[str, int, np.ndarray]] = []
    found, without = [], []
    for mode in sorted(fields.data["modes"], key=lambda mode: _weight(mode, fields.data["first"])):
        looks, same = _looks(mode), ""
        if looks is not None:
            same = next((name for name, n, w in drawn if n == mode["n"] and _apart(w, looks) < NEAR), "")
        if same:
            without.append(ModeSection(mode, (), same))
            continue
        if looks is not None:
            drawn.append((mode["id"], mode["n"], looks))
        found.append(ModeSection(mode, still(mode, fields).all, ""))
    return found + without


def _weight(mode: dict[str, Any], first: str | None) -> int:
    return 0 if mode["id"] == first else 2 - any(row["role"] != "beside" for row in mode["rows"])


def _looks(mode: dict[str, Any]) -> np.ndarray | None:
    """w along the axis where two waves of one n are compared; None for a mode of a mesh and for waves with a twin."""
    if mode["form"] != "waves" or "twin_w" in mode:
        return None
    x, w = (Samples(**mode[key]).array() for key in ("x", "w"))
    return np.interp(np.linspace(x[0], x[-1], _LOOKED_AT), x, w)


def _apart(w: np.ndarray, other: np.ndarray) -> float:
    """The largest difference of two waves over the peak, whichever sign each was given."""
    return min(float(np.abs(w - sign * other).max()) for sign in (1, -1))
