"""The review part of the page: data, script, still figures of every mode, remarks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from markupsafe import Markup

from ..files import CaseFile
from ..files.remarks import Remarks
from ..records import Result
from ..samples import Samples
from .html import json_block, own, script_policy
from .remarks import RemarkRow, beside, remark_rows
from .scene import review_data
from .still_field import Fields
from .still_overview import differences, spectrum
from .stills import Still, still
from .wording import Display

_LOOK, _LOOKED_AT = 0.01, 401


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
    spectra: tuple[Still, ...]
    differences: tuple[Still, ...]


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
    fields, script = Fields(data), own("data/review.js")
    return Review(
        json_block(data), json_block(None if given is None else given.block()), Markup(script),
        Markup(own("templates/review.css")), script_policy(script),
        tuple(_sections(fields)), given,
        () if given is None else tuple(remark_rows(given, display)),
        tuple(data["likeness"]), tuple(spectrum(entry, data) for entry in data["spectra"]),
        tuple(one for _, one in differences(fields)),
    )  # fmt: skip


def _sections(fields: Fields) -> Iterator[ModeSection]:
    """Every mode; waves whose w agrees to a hundredth of the peak share their figures."""
    seen: dict[object, str] = {}
    for mode in fields.data["modes"]:
        looks = _looks(mode)
        first = seen.setdefault(looks, mode["id"]) if looks is not None else mode["id"]
        same = first != mode["id"]
        yield ModeSection(mode, () if same else still(mode, fields).all, first if same else "")


def _looks(mode: dict[str, Any]) -> object:
    """What two waves of one look share; None for a mode of a mesh and for waves with a twin."""
    if mode["form"] != "waves" or "twin_w" in mode:
        return None
    x, w = (Samples(**mode[key]).array() for key in ("x", "w"))
    at = np.interp(np.linspace(x[0], x[-1], _LOOKED_AT), x, w)
    at *= np.sign(at[np.argmax(np.abs(at) > _LOOK)])
    return mode["n"], tuple(np.rint(at / _LOOK).astype(int).tolist())
