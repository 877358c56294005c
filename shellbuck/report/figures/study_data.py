"""What the figures of a study share: its columns, axes and units, links of points, data as CSV."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ...io.language.study_plan import Variation
from ...io.store.folder import StudyFolder
from ...io.store.tables import row_text
from ...model.checked import Quantity
from ...study.run import Study
from ...study.summary import Summary
from ..text.display import Display, plain_number

LINE, SECOND = "#0055A9", "#903A03"
MOST_LINKED = 1000
"""Points that get a row on the page; of more, every k-th and the lightest."""


@dataclass(frozen=True)
class StudyFigure:
    """A figure: file name without ending, title, what it shows in words, SVG text, its data as CSV text."""

    name: str
    title: str
    words: str
    svg: str
    data: str


def linked_points(folder: StudyFolder, summary: Summary) -> tuple[int, ...]:
    """Numbers of the points that have a row on the page."""
    step = -(-folder.points // MOST_LINKED)
    found = set(range(0, folder.points, step))
    return tuple(sorted(found | ({summary.lightest} if summary.lightest is not None else set())))


class StudyData:
    """The columns that figures need."""

    def __init__(self, study: Study, folder: StudyFolder, display: Display, linked: set[int]):
        self.study, self.folder, self.display, self.linked = study, folder, display, linked
        self.status, margin, bound, self.mode = folder.columns(study.looked_at)[:4]
        judged = np.isin(self.status, ["holds", "does not hold"])
        self.margin = np.where(judged, margin, np.nan)
        self.known = ~np.isnan(self.margin)
        self.bound = bound
        """Smallest of the margins that there are: the smallest margin is this or less where it is not known."""
        self.fails = (self.status == "does not hold") & ~self.known
        """Points that fail for certain, though a row is unknown."""

    @property
    def opens(self) -> str:
        """Which points have a link, in words."""
        if len(self.linked) == self.folder.points:
            return "each opens its row"
        return f"{len(self.linked)} of the {self.folder.points} points open their rows"

    def scale(self, v: Variation) -> tuple[float, str]:
        """SI value of one unit of an axis, and the unit."""
        return axis_unit(v, self.display)

    def urls(self, points: Sequence[int]) -> list[str | None]:
        return [f"#point-{k}" if k in self.linked else None for k in points]


def axis_unit(v: Variation, display: Display) -> tuple[float, str]:
    """SI value of one unit of an input on an axis or in a table, and the unit; (1, "") for a plain number."""
    mark = v.places[0].mark
    if v.factor or not isinstance(mark, Quantity):
        return 1.0, ""
    return display.units.get(mark.kind, (1.0, v.unit))


def shown_value(v: Variation, value: Any, display: Display) -> str:
    """A value of an input with its unit."""
    if not v.numeric or not isinstance(value, int | float) or isinstance(value, bool):
        return str(value)
    scale, unit = axis_unit(v, display)
    return f"{plain_number(value / scale, 4)} {unit}".strip()


def meant(v: Variation) -> str:
    """Which keys of the case a named input stands for; empty where it is called by its key."""
    if not v.name:
        return ""
    return f"{v.name} multiplies {v.key}" if v.factor else f"{v.name} is {v.key}"


def axis_label(v: Variation, display: Display) -> str:
    unit = axis_unit(v, display)[1]
    return f"{v.title}, {unit}" if unit else v.title


def points_table(data: StudyData, points: list[int]) -> str:
    """Inputs, smallest margin, governing mode and status of points as CSV."""
    heads = (v.header for v in data.study.plan.vary)
    lines = [row_text(["point", *heads, "smallest_margin [-]", "governing_mode", "status"])]
    for k in points:
        margin = None if np.isnan(data.margin[k]) else float(data.margin[k])
        lines.append(row_text([k, *data.study.design.values(k), margin, data.mode[k], data.status[k]]))
    return "".join(lines)


def inline(text: str, prefix: str) -> str:
    """SVG text for the inside of a page: its ids made unique, links to points left as they are."""
    text = re.sub(r'\bid="', f'id="{prefix}-', text)
    text = re.sub(r"url\(#", f"url(#{prefix}-", text)
    return re.sub(r'href="#(?!point-)', f'href="#{prefix}-', text)
