"""Remarks of a reviewer beside the numbers of this run."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ...core.records import shown_margin
from ...io.pages.remarks import Place, Remark, Remarks
from ..text.display import Display
from .identity import Name, meant


@dataclass(frozen=True)
class RemarkRow:
    """A remark as it is printed: `on` what it is pinned to, `then` and `now` with what changed in `change`."""

    remark: Remark
    on: str
    then: str
    now: str
    change: str


def beside(remarks: Remarks, data: Mapping[str, Any]) -> Remarks:
    """The remarks with the values that the same modes and margin rows have in this run.

    A mode is found again by its title in its load case (`identity`), a margin by its row; None where there is none.

    Parameters
    ----------
    remarks : Remarks
    data : mapping
        The review data of this run.
    """
    modes = [Name(m["id"], m["case"], m["title"]) for m in data["modes"]]
    margins: dict[tuple[str, str], float | None] = {}
    for row in data["margins"]:  # smallest first: of rows with one name the smallest stands
        margins.setdefault((row["case"], row["mode"]), row["margin"])

    def value(on: Place) -> float | None:
        if on.kind == "margin":
            return margins.get((on.case, on.row))
        place = meant(modes, Name(on.mode, on.case, on.title))
        return None if place is None else data["modes"][place]["line_load"]

    return remarks.with_now({r.id: value(r.on) for r in remarks.remarks})


def remark_rows(remarks: Remarks, display: Display) -> list[RemarkRow]:
    """Rows of the table of remarks."""
    return [
        RemarkRow(r, _on(r.on, display), _value(r, r.then, display), _value(r, r.now, display), _change(r))
        for r in remarks.remarks
    ]


def _on(on: Place, display: Display) -> str:
    if on.kind == "page":
        return "the page"
    if on.kind == "margin":
        return f"margin: {on.row}, {on.case}"
    where = ""
    if on.kind == "place" and on.x is not None and on.theta is not None:
        where = f" at x = {display.shown(on.x, 'length')}, theta = {math.degrees(on.theta):.1f}°"
    return f"{on.title}, {on.case}{where}"


def _value(remark: Remark, value: float | None, display: Display) -> str:
    if value is None:
        return "" if remark.on.kind == "page" else "-"
    return shown_margin(value) if remark.on.kind == "margin" else display.shown(value, "line load", 5)


def _change(remark: Remark) -> str:
    then, now = remark.then, remark.now
    if remark.on.kind == "page":
        return ""
    if now is None:
        return "not in this run"
    if then is None:
        return "no value was written down"
    if math.isclose(then, now, rel_tol=1e-9, abs_tol=1e-12):
        return "unchanged"
    if remark.on.kind == "margin":
        return f"{now - then:+.2f}"
    return f"{100 * (now / then - 1):+.2f} %" if then else "changed"
