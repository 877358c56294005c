"""Still figures of a mode: what the interactive part of the page shows, for print and for readers without scripts."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from matplotlib.figure import Figure

from ..review.fields import Field, Fields
from ..review.shapes import amplitude, shape_of
from .barrel import draw_barrel
from .canvas import INK, SKIN, VectorFigure, svg
from .skin_map import close_up, cuts, draw_close_up, draw_cuts, draw_map, paper, signs_fit, strip

WIDTH, CUTS, BARS = 7.0, 4.9, 2.05
"""Width of a figure on the page [in], of the cuts and of the bars: these two stand side by side."""
LARGEST = 100_000
"""Bytes that the pictures of the barrel may take; they become coarser until they do."""
_PIXELS = 560
"""Width of each of them."""

_BARS = 6
"""Waves that are shown by their share."""

Columns = tuple[tuple[str, tuple[Any, ...]], ...]


@dataclass(frozen=True)
class Still:
    """One figure: a short name, its drawing, a sentence that says the same, its data as columns (header, values)."""

    name: str
    figure: VectorFigure
    alt: str
    columns: Callable[[], Columns]


@dataclass(frozen=True, eq=False)
class StillFigures:
    """The figures of one mode, each drawn when it is first asked for.

    `field` is its displacement on the skin, `name` what it is called, `waves` the sentence about its waves, `unit` the
    SI value and name of the unit of length, `shares` rows (m, n, share of w^2), the largest first.
    """

    field: Field
    name: str
    waves: str
    unit: tuple[float, str]
    shares: tuple[tuple[int, int, float], ...]

    @cached_property
    def barrel(self) -> Still:
        """The barrel in space, from outside and cut open."""
        return _barrel(self.field, self.name, self.waves)

    @cached_property
    def map(self) -> Still:
        """w over the unrolled skin at equal scale."""
        return _map(self.field, self.name, self.waves, self.unit)

    @cached_property
    def cuts(self) -> Still:
        """w along the axis and around, through the peak."""
        return _cuts(self.field, self.name, self.waves, self.unit)

    @cached_property
    def content(self) -> Still | None:
        """Shares of w^2 of the leading waves; None where they are not known."""
        return _content(self.shares, self.name) if self.shares else None

    @property
    def all(self) -> tuple[Still, ...]:
        """Those that there are, in the order of the page."""
        return tuple(s for s in (self.barrel, self.map, self.cuts, self.content) if s is not None)


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


def length_unit(data: Mapping[str, Any]) -> tuple[float, str]:
    """SI value and name of the unit of length that is shown."""
    unit = data["units"]["length"]
    return float(unit["factor"]), str(unit["name"])


def _barrel(field: Field, name: str, waves: str) -> Still:
    panel = 0.5 * WIDTH - 0.6
    height = min(6.5, 0.3 + panel * (0.92 * field.length / field.radius + 0.95) / 2.25)

    def draw(figure: Figure) -> None:
        figure.set_layout_engine("none")
        shape = shape_of(field)
        for left, cut_open in ((0.0, False), (0.5, True)):
            axes = figure.add_axes((left, 0, 0.495, 1 - 0.27 / height), anchor="SW")
            draw_barrel(axes, field, shape, _PIXELS, cut_open=cut_open)
            words = "cut open" if cut_open else "from outside"
            figure.text(left, 1 - 0.2 / height, words, fontsize=8)
        strip(figure, WIDTH, height - 0.2)

    alt = (
        f"The barrel in space, {name}: {waves}. The largest displacement is drawn as "
        f"{100 * amplitude(field):.2g} % of the radius, the amplitude is arbitrary; plus marks outward, minus inward, "
        "grey lines the undeformed outline."
    )

    def columns() -> Columns:
        around, along = field.enough(8)
        grid = field.grid(min(around, 720), min(along, 241))
        theta, x = (a.ravel() for a in np.meshgrid(grid.theta, grid.x))
        u, v, w = field.at(theta, x).T
        places = (("theta [deg]", rounded(np.degrees(theta))), ("x [m]", rounded(x)))
        return (*places, *((f"{k} over peak of w [-]", rounded(v)) for k, v in (("u", u), ("v", v), ("w", w))))

    return Still("barrel", svg(draw, WIDTH, height, LARGEST), alt, columns)


def _map(field: Field, name: str, waves: str, unit: tuple[float, str]) -> Still:
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

    peak = field.peak
    alt = (
        f"Unrolled map of w over the skin at equal scale, {name}: {waves}; the largest displacement is "
        f"{'outward' if peak.w > 0 else 'inward'} at theta = {math.degrees(peak.theta):.1f} degrees, x = "
        f"{peak.x / unit[0]:.4g} {unit[1]}. Solid lines and plus are outward, dashed lines and minus inward."
        + ("" if box is None else " The waves are short: a close-up about the peak stands below.")
    )

    def columns() -> Columns:
        grid = field.grid(*field.enough(8))
        theta, x = (a.ravel() for a in np.meshgrid(grid.theta, grid.x))
        return (
            ("theta [deg]", rounded(np.degrees(theta))),
            ("x [m]", rounded(x)),
            ("w over its peak [-]", rounded(grid.w.ravel())),
        )

    return Still("map", svg(draw, WIDTH, full), alt, columns)


def _cuts(field: Field, name: str, waves: str, unit: tuple[float, str]) -> Still:
    peak = field.peak
    alt = (
        f"Cuts of {name} through the peak: w along the axis at theta = {math.degrees(peak.theta):.1f} degrees and "
        f"around at x = {peak.x / unit[0]:.4g} {unit[1]}; {waves}."
    )

    def columns() -> Columns:
        axial, hoop = cuts(field)
        rows = max(len(axial[0]), len(hoop[0]))
        return tuple(
            (header, rounded(values) + ("",) * (rows - len(values)))
            for header, values in (
                ("x [m]", axial[0]),
                ("w over its peak at the peak's theta [-]", axial[1]),
                ("theta [deg]", np.degrees(hoop[0])),
                ("w over its peak at the peak's x [-]", hoop[1]),
            )
        )

    return Still("cuts", svg(lambda figure: draw_cuts(figure, field, unit), CUTS, 1.6), alt, columns)


def _content(rows: tuple[tuple[int, int, float], ...], name: str) -> Still:
    words = [f"({m}, {n})" for m, n, _ in rows]

    def draw(figure: Figure) -> None:
        figure.set_layout_engine("none")
        axes = figure.add_axes((0.31, 0.225, 0.61, 0.65))
        place = np.arange(len(rows))[::-1] + max(0, _BARS - len(rows))
        axes.barh(place, [100 * s for *_, s in rows], height=0.62, color=SKIN)
        for y, (*_, s) in zip(place, rows, strict=True):
            axes.text(
                100 * s if s < 0.7 else 2,
                y,
                f" {100 * s:.3g} %",
                va="center_baseline",
                fontsize=7,
                color=INK if s < 0.7 else "white",
            )
        axes.set_yticks(place, words)
        axes.set_xlim(0, 100)
        axes.set_xticks([0, 50, 100])
        axes.set_ylim(-0.6, _BARS - 0.4)
        axes.set_xlabel("share of w², %", fontsize=8)
        axes.set_title("(m, n) it holds", fontsize=8, loc="left")
        axes.tick_params(labelsize=7, length=2)
        axes.spines[["top", "right"]].set_visible(False)

    listed = ", ".join(f"{w} {100 * s:.3g} %" for w, (*_, s) in zip(words, rows, strict=True))
    alt = f"Shares of w squared of {name} by axial half-waves m and full waves around n: {listed}."
    columns = tuple(zip(("m", "n", "share of w^2 [-]"), zip(*rows, strict=True), strict=True))
    return Still("content", svg(draw, BARS, 1.6), alt, lambda: columns)


def rounded(values: np.ndarray) -> tuple[float, ...]:
    """Values to six digits, what the samples hold."""
    return tuple(float(f"{v:.6g}") for v in values)


__all__ = ["Columns", "Still", "StillFigures", "still"]
