"""Curves, distributions and shares of a study, one figure each."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from ...io.store.tables import row_text
from ...study.summary import Summary
from .canvas import INK, svg
from .study_data import LINE, SECOND, StudyData, StudyFigure, axis_label, points_table, shown_value

_COLOURS = (LINE, SECOND, "#1D5C38", "#6A3D9A", "#7A5200", "#22303C", "#8E1F11", "#5C6B78")


def curves(data: StudyData, ix: int) -> StudyFigure:
    """Smallest margin against one input, a line for every combination of the others."""
    vary, shape = data.study.plan.vary, data.study.design.shape
    rest = [i for i in range(len(vary)) if i != ix]
    number = np.arange(len(data.study.design)).reshape(shape)
    sx, _ = data.scale(vary[ix])
    x = np.array(vary[ix].values, float) / sx
    combinations = list(product(*(range(shape[i]) for i in rest)))[: len(_COLOURS)]

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        for k, combination in enumerate(combinations):
            at: list[Any] = [slice(None)] * len(vary)
            for i, j in zip(rest, combination, strict=True):
                at[i] = j
            line = number[tuple(at)]
            name = "; ".join(
                str(shown_value(vary[i], vary[i].values[j], data.display))
                for i, j in zip(rest, combination, strict=True)
            )
            axes.plot(x, data.margin[line], lw=1.2, color=_COLOURS[k], label=name or None)
            dots = axes.scatter(x, data.margin[line], s=14, color=_COLOURS[k], zorder=3)
            dots.set_urls(data.urls(line))
        axes.axhline(0, color=INK, lw=1.6)
        axes.set_xlabel(axis_label(vary[ix], data.display))
        axes.set_ylabel("smallest margin")
        if rest:
            axes.legend()

    words = f"Smallest margin over all load cases and modes; a gap is a point without one. Points: {data.opens}."
    table = points_table(data, [int(k) for k in number.flat])
    return StudyFigure("curve", f"Smallest margin against {vary[ix].title}", words, svg(draw, 7.2, 3.6).text, table)


def distribution(data: StudyData) -> StudyFigure:
    """Every point's smallest margin, in order; two curves where some are not known, one for the least share at or
    below and one for the most."""
    order = [int(k) for k in np.argsort(data.margin, kind="stable") if data.known[k]]
    drawn = [k for k in order if k in data.linked]
    points = data.folder.points
    unknown = points - len(order)
    # unknown ones lie below every known margin at worst, at the smallest of their known margins at best
    bounds = np.sort(np.where(data.known, data.margin, np.where(np.isnan(data.bound), np.inf, data.bound)))
    bounds = bounds[np.isfinite(bounds)]
    most = {k: (unknown + i + 1) / points for i, k in enumerate(order)}

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        name = "at most" if unknown else None
        how = dict(where="post", lw=1.2)
        axes.step([data.margin[k] for k in order], [most[k] for k in order], color=LINE, label=name, **how)
        if unknown:
            axes.step(bounds, (np.arange(bounds.size) + 1) / points, color=SECOND, label="at least", **how)
            axes.legend()
        dots = axes.scatter([data.margin[k] for k in drawn], [most[k] for k in drawn], s=8, color=LINE, zorder=3)
        dots.set_urls(data.urls(drawn))
        axes.axvline(0, color=INK, lw=1.6)
        axes.set_ylim(0, 1.02)
        axes.set_xlabel("smallest margin")
        axes.set_ylabel("share of points at or below")

    title = "Distribution of the smallest margin"
    words = f"{title} over all points. Dots: {data.opens}."
    if unknown:
        words += (
            f" At {unknown} points it is not known (refused, withheld or not loaded): the share lies between the two "
            "lines."
        )
    return StudyFigure("distribution", title, words, svg(draw, 7.2, 3.2).text, points_table(data, order))


def share_bars(summary: Summary) -> StudyFigure:
    """First and total order of the smallest margin, or of the first output that has them."""
    outputs = list(dict.fromkeys(s.output for s in summary.sensitivity))
    output = next((o for o in outputs if o.startswith("smallest_margin")), outputs[0])
    mine = [s for s in summary.sensitivity if s.output == output][::-1]

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        for k, share in enumerate(mine):
            for shift, colour, value, low, high in (
                (0.18, LINE, share.first, share.first_low, share.first_high),
                (-0.18, SECOND, share.total, share.total_low, share.total_high),
            ):
                axes.barh(k + shift, value, height=0.32, color=colour)
                axes.plot([low, high], [k + shift] * 2, color=INK, lw=1.4, marker="|", ms=6)
        axes.set_yticks(range(len(mine)), [s.input for s in mine])
        axes.set_xlabel(f"share of the variance of {output.split(' [')[0].replace('_', ' ')}")
        axes.axvline(0, color=INK, lw=0.8)
        keys = [Patch(color=LINE, label="alone (first order)"), Patch(color=SECOND, label="with interactions (total)")]
        axes.legend(handles=keys)

    low_high = ("low 95 % [-]", "high 95 % [-]")
    head = ["output", "input", "first order [-]", *low_high, "total [-]", *low_high]
    rows = [
        [s.output, s.input, s.first, s.first_low, s.first_high, s.total, s.total_low, s.total_high]
        for s in summary.sensitivity
    ]
    words = "Sobol shares over the given ranges; the lines are 95 % bootstrap intervals of the sampling."
    table, text = "".join(map(row_text, [head, *rows])), svg(draw, 7.2, 1.2 + 0.55 * len(mine)).text
    return StudyFigure("sensitivity", "Sensitivity of the margin to each input", words, text, table)
