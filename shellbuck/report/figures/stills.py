"""Still figures of a mode: what the interactive part of the page shows, for print and for readers without scripts."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

import numpy as np
from matplotlib.figure import Figure

from ..review.fields import Field, Fields
from ..review.shapes import amplitude, shape_of
from .barrel import draw_barrel
from .canvas import INK, SKIN, VectorFigure, svg
from .skin_map import Unit, close_up, cuts, draw_close_up, draw_cuts, draw_map, paper, signs_fit, strip

WIDTH, CUTS, BARS = 7.0, 4.9, 2.05
"""Width of a figure on the page [in], of the cuts and of the bars: these two stand side by side."""
LARGEST = 100_000
"""Bytes that the pictures of the barrel may take; they become coarser until they do."""
_PIXELS = 560
"""Width of each of them."""

_BARS = 6
"""Waves that are shown by their share."""

Columns = tuple[tuple[str, tuple[Any, ...]], ...]
Form = Literal["svg", "pdf"]


@dataclass(frozen=True)
class Still:
    """One figure: a short name, its drawing, a sentence that says the same, its data as columns (header, values); where
    it belongs."""

    name: str
    figure: VectorFigure
    alt: str
    columns: Callable[[], Columns]
    title: str = ""

    def content(self, form: Form) -> bytes:
        """The figure's file."""
        if form == "pdf":
            return self.figure.pdf()
        return f'<?xml version="1.0" encoding="utf-8"?>\n{self.figure.text}'.encode()

    def table(self) -> str:
        """Its data as CSV, the unit of every column in its header."""
        columns = self.columns()
        rows = zip(*(values for _, values in columns), strict=True)
        return csv_text([header for header, _ in columns], rows)


def csv_text(header: list[str], rows: Any) -> str:
    """CSV in UTF-8; a text that a spreadsheet would take for a formula is led by an apostrophe."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([_cell(value) for value in row] for row in (header, *rows))
    return text.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, float):
        return f"{value:.9g}" if math.isfinite(value) else ""
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return "'" + value
    return value


def grid_columns(theta: np.ndarray, x: np.ndarray, **values: np.ndarray) -> Columns:
    """Columns of values (x, theta) on a grid, by their headers."""
    tt, xx = np.meshgrid(np.degrees(theta), x)
    named = {"theta [deg]": tt, "x [m]": xx, **values}
    return tuple((header, rounded(array.ravel())) for header, array in named.items())


def rounded(values: np.ndarray) -> tuple[float, ...]:
    """Values to six digits, what the samples hold."""
    return tuple(float(f"{v:.6g}") for v in values)


@dataclass(frozen=True, eq=False)
class StillFigures:
    """The figures of one mode, each drawn when it is first asked for.

    `field` is its displacement on the skin, `name` what it is called, `waves` the sentence about its waves, `unit` the
    SI value and name of the unit of length, `shares` rows (m, n, share of w^2), the largest first.
    """

    field: Field
    name: str
    waves: str
    unit: Unit
    shares: tuple[tuple[int, int, float], ...]

    @property
    def all(self) -> tuple[Still, ...]:
        """Those that there are, in the order of the page."""
        return tuple(s for s in (self.barrel, self.map, self.cuts, self.content) if s is not None)

    @cached_property
    def barrel(self) -> Still:
        """The barrel in space, from outside and cut open."""
        field = self.field
        panel = 0.5 * WIDTH - 0.6
        height = min(6.5, 0.3 + panel * (0.92 * field.length / field.radius + 0.95) / 2.25)

        def draw(figure: Figure) -> None:
            figure.set_layout_engine("none")
            shape = shape_of(field)
            for left, cut_open in ((0.0, False), (0.5, True)):
                axes = figure.add_axes((left, 0, 0.495, 1 - 0.27 / height), anchor="SW")
                draw_barrel(axes, field, shape, _PIXELS, cut_open=cut_open)
                figure.text(left, 1 - 0.2 / height, "cut open" if cut_open else "from outside", fontsize=8)
            strip(figure, WIDTH, height - 0.2)

        def columns() -> Columns:
            around, along = field.enough(8)
            grid = field.grid(min(around, 720), min(along, 241))
            theta, x = (a.ravel() for a in np.meshgrid(grid.theta, grid.x))
            moves = field.at(theta, x).T
            named = {f"{k} over peak of w [-]": v for k, v in zip("uvw", moves, strict=True)}
            return grid_columns(grid.theta, grid.x, **named)

        alt = (
            f"The barrel in space, {self.name}: {self.waves}. The largest displacement is drawn as "
            f"{100 * amplitude(field):.2g} % of the radius, the amplitude is arbitrary; plus marks outward, minus "
            "inward, grey lines the undeformed outline."
        )
        return Still("barrel", svg(draw, WIDTH, height, LARGEST), alt, columns)

    @cached_property
    def map(self) -> Still:
        """w over the unrolled skin at equal scale."""
        field, unit = self.field, self.unit
        width, height = paper(field, WIDTH - 0.92, 5.5)
        box = None if signs_fit(field, width) else close_up(field, WIDTH - 0.92, 1.7)
        below = 0.0 if box is None else box.height + 0.75
        full = height + 0.72 + below

        def draw(figure: Figure) -> None:
            figure.set_layout_engine("none")
            axes = figure.add_axes((0.62 / WIDTH, (0.45 + below) / full, width / WIDTH, height / full))
            draw_map(axes, field, field.fine, unit, width)
            if box is not None:
                part = figure.add_axes((0.62 / WIDTH, 0.45 / full, box.width / WIDTH, box.height / full))
                draw_close_up(part, axes, field, box, unit)
            strip(figure, 0.62 + max(width, 5.0), 0.08)

        def columns() -> Columns:
            grid = field.grid(*field.enough(8))
            return grid_columns(grid.theta, grid.x, **{"w over its peak [-]": grid.w})

        peak = field.peak
        alt = (
            f"Unrolled map of w over the skin at equal scale, {self.name}: {self.waves}; the largest displacement is "
            f"{'outward' if peak.w > 0 else 'inward'} at theta = {math.degrees(peak.theta):.1f} degrees, x = "
            f"{peak.x / unit[0]:.4g} {unit[1]}. Solid lines and plus are outward, dashed lines and minus inward."
            + ("" if box is None else " The waves are short: a close-up about the peak stands below.")
        )
        return Still("map", svg(draw, WIDTH, full), alt, columns)

    @cached_property
    def cuts(self) -> Still:
        """w along the axis and around, through the peak."""
        field, unit = self.field, self.unit

        def columns() -> Columns:
            (x, axial), (theta, hoop) = cuts(field)
            rows = max(len(x), len(theta))
            named = {
                "x [m]": x,
                "w over its peak at the peak's theta [-]": axial,
                "theta [deg]": np.degrees(theta),
                "w over its peak at the peak's x [-]": hoop,
            }
            return tuple((header, rounded(v) + ("",) * (rows - len(v))) for header, v in named.items())

        peak = field.peak
        alt = (
            f"Cuts of {self.name} through the peak: w along the axis at theta = {math.degrees(peak.theta):.1f} degrees "
            f"and around at x = {peak.x / unit[0]:.4g} {unit[1]}; {self.waves}."
        )
        return Still("cuts", svg(lambda figure: draw_cuts(figure, field, unit), CUTS, 1.6), alt, columns)

    @cached_property
    def content(self) -> Still | None:
        """Shares of w^2 of the leading waves; None where they are not known."""
        rows, words = self.shares, [f"({m}, {n})" for m, n, _ in self.shares]
        if not rows:
            return None

        def draw(figure: Figure) -> None:
            figure.set_layout_engine("none")
            axes = figure.add_axes((0.31, 0.225, 0.61, 0.65))
            place = np.arange(len(rows))[::-1] + max(0, _BARS - len(rows))
            axes.barh(place, [100 * s for *_, s in rows], height=0.62, color=SKIN)
            for y, (*_, s) in zip(place, rows, strict=True):
                x, colour = (100 * s, INK) if s < 0.7 else (2, "white")
                axes.text(x, y, f" {100 * s:.3g} %", va="center_baseline", fontsize=7, color=colour)
            axes.set_yticks(place, words)
            axes.set_xlim(0, 100)
            axes.set_xticks([0, 50, 100])
            axes.set_ylim(-0.6, _BARS - 0.4)
            axes.set_xlabel("share of w², %", fontsize=8)
            axes.set_title("leading (m, n)", fontsize=8, loc="left")
            axes.tick_params(labelsize=7, length=2)

        listed = ", ".join(f"{w} {100 * s:.3g} %" for w, (*_, s) in zip(words, rows, strict=True))
        alt = f"Shares of w squared of {self.name} by axial half-waves m and full waves around n: {listed}."
        columns = tuple(zip(("m", "n", "share of w^2 [-]"), zip(*rows, strict=True), strict=True))
        return Still("content", svg(draw, BARS, 1.6), alt, lambda: columns)


def still(mode: Mapping[str, Any], fields: Fields) -> StillFigures:
    """Figures of one mode of the review data.

    Parameters
    ----------
    mode : mapping
        One of ``data["modes"]``.
    fields : Fields
        Of the review data; the unit of length is taken from them.
    """
    shares = tuple((int(m), int(n), float(share)) for m, n, share in mode["content"])[:_BARS]
    name = f"{mode['id']}, {mode['title']}"
    return StillFigures(fields.of(mode), name, mode["waves"], length_unit(fields.data), shares)


def length_unit(data: Mapping[str, Any]) -> Unit:
    """SI value and name of the unit of length that is shown."""
    unit = data["units"]["length"]
    return float(unit["factor"]), str(unit["name"])
