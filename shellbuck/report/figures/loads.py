"""Figures of the loads of a load case: spectrum of the closed forms, axial profiles, the prebuckled state."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from ...core.records import LoadCaseResult
from ...margins.keys import GENERAL
from ..review.edges import edge_pair, edge_shapes
from ..review.waves import leading_m
from ..text.display import Display
from .canvas import INK, PALE, VectorFigure, panels, svg

BAND = 1.2
"""The band of modes that are named beside the lowest."""
_SERIES = {"Donnell": ("#0055A9", "o"), "Sanders": ("#903A03", "s")}
MEMBRANE, BENT = "#0055A9", "#903A03"
_DRAWN = 6
_APART = 3.2
"""Between the middles of two profiles, in peaks."""


Line = tuple[Sequence[tuple[int, float]], dict[str, object]]
"""Points (waves around, load as shown) of a line of a spectrum, and how it is plotted."""


def draw_spectrum(axes: Axes, lines: Sequence[Line], top: float, x: str, y: str) -> None:
    """Lines of loads over the number of waves around up to `top`, with the band of what lies near the lowest."""
    for points, how in lines:
        axes.plot(*zip(*points, strict=True), **how)
    shown = [(n, load) for points, _ in lines for n, load in points if load <= top]
    least = min((load for _, load in shown), default=0.0)
    axes.axhspan(least, BAND * least, color=PALE, zorder=0)
    axes.set_xlim(-0.5, max((n for n, _ in shown), default=1) + 1)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    axes.set_ylim(0, top)
    axes.set_xlabel(x)
    axes.set_ylabel(y)


def spectrum_figure(case: LoadCaseResult, display: Display) -> VectorFigure | None:
    """Lowest load of every n, both theories, with and without the minimum pressure."""
    loads = [ld for ld in case.loads if ld.mode == GENERAL and ld.lowest_by_n and not ld.component]
    if not loads:
        return None
    scale, unit = display.units["line load"]
    lines: list[Line] = []
    for load in loads:
        colour, marker = _SERIES[load.theory]
        pressed = not load.pressure_treatment.startswith("no pressure")
        how = dict(marker=marker, ms=3.5, lw=1, color=colour, ls="--" if pressed else "-")
        how["mfc"] = "white" if pressed else colour
        how["label"] = (
            f"{load.theory}, {'minimum pressure' if pressed else 'no pressure'}: "
            f"{display.shown(load.line_load, 'line load')} at ({load.m}, {load.n})"
        )
        lines.append(([(p.n, p.line_load / scale) for p in load.lowest_by_n], how))
    # a pressure may lift its curve far above the other: both lowest loads stay on the paper
    lows = [ld.line_load / scale for ld in loads]
    top = max(2.5 * min(lows), 1.3 * max(lows))

    def draw(figure: Figure) -> None:
        (axes,) = panels(figure)
        x = "full waves around, n (n = 1 is the column and has its own row)"
        draw_spectrum(axes, lines, top, x, f"lowest net line load, {unit}")
        axes.legend()

    return svg(draw, 7.2, 3.4)


def profile_figure(case: LoadCaseResult, display: Display) -> VectorFigure | None:
    """Axial profiles w(x) of the lowest modes and of the critical mode with edge bending, one line each; None without
    modes."""
    scale, unit = display.units["length"]
    shapes = edge_shapes(case)
    lines = [(s, MEMBRANE, words) for words, s in shapes if words == "membrane"][:_DRAWN]
    lines += [(s, BENT, words) for words, s in shapes if words != "membrane"]
    if not lines:
        return None

    def draw(figure: Figure) -> None:
        (axes,) = panels(figure, left=0.5, low=0.45, high=0.12)
        for i, (shape, colour, words) in enumerate(lines):
            x, middle = np.array(shape.x) / scale, -_APART * i
            axes.axhline(middle, color=INK, lw=0.4)
            axes.plot(x, middle + np.array(shape.w), color=colour, lw=1)
            if shape.twin_w:
                axes.plot(x, middle + np.array(shape.twin_w), color=colour, lw=1, ls=":")
            axes.text(
                0,
                middle + 1.2,
                f"{words}: n = {shape.n}, {display.shown(shape.line_load, 'line load', 5)}, m: "
                f"{leading_m(shape)} of w²",
                fontsize=7.5,
                transform=axes.get_yaxis_transform(),
            )
        rows = [-_APART * i for i in range(len(lines))]
        axes.set_yticks([row + w for row in rows for w in (-1, 0, 1)], ["−1", "0", "1"] * len(rows))
        axes.set_ylim(rows[-1] - 1.3, 2.2)
        axes.tick_params(labelsize=7)
        axes.margins(x=0.02)
        axes.set_xlabel(f"x, {unit} (w over its peak, outward positive)")
        axes.spines["left"].set_visible(False)

    return svg(draw, 7.2, 0.6 + 0.62 * len(lines))


def prebuckled_figure(case: LoadCaseResult, display: Display) -> VectorFigure | None:
    """Deflection and hoop force of the axisymmetric state at the critical load; None without one."""
    _, bent = edge_pair(case) or (None, None)
    if bent is None or bent.prebuckled is None:
        return None
    state = bent.prebuckled
    length, length_unit = display.units["length"]
    force, force_unit = display.units["line load"]

    def draw(figure: Figure) -> None:
        left, right = panels(figure, 2, between=0.72)
        x = [v / length for v in state.x]
        left.plot(x, [v / length for v in state.deflection], color=BENT, lw=1)
        left.set_ylabel(f"outward deflection, {length_unit}")
        right.plot(x, [v / force for v in state.hoop_force], color=BENT, lw=1)
        right.set_ylabel(f"hoop force (tension), {force_unit}")
        for ax in (left, right):
            ax.axhline(0, color=INK, lw=0.4)
            ax.set_xlabel(f"x, {length_unit}")
            ax.tick_params(labelsize=7)

    return svg(draw, 7.2, 2.2)
