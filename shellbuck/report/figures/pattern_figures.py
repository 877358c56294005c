"""Figures of a comparison of patterns."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import LogLocator, NullFormatter

from ...io.language.sizing_file import SizingFile
from ...sizing.records import Entry
from ...sizing.reference import LINES, handbook_line
from ..text.display import Display
from .canvas import INK, PALE, RIB, SKIN, VectorFigure, svg

_WIDTH = 7.2
_NEAR = 1.06
"""Ratio of heights in a figure below which labels would lie on each other."""
_METALS = ("o", "s", "^", "D", "v", "P")


def short(entry: Entry) -> str:
    """Pattern and metal, short enough for a figure."""
    metal = entry.metal if len(entry.metal) <= 22 else entry.metal[:20].rstrip(" (") + "..."
    return f"{entry.sized.title}, {metal}"


def _bars(
    entries: list[Entry], label: str, draw: Callable[[Axes, np.ndarray], None], each: float = 0.3, columns: int = 3
) -> VectorFigure | None:
    """A figure with a row for every entry, filled by `draw(axes, places)`; None without entries."""
    if not entries:
        return None

    def whole(figure: Figure) -> None:
        axes = figure.subplots()
        axes.margins(y=0.02)
        places = np.arange(len(entries))[::-1]
        axes.set_yticks(places, [short(e) for e in entries], fontsize=8)
        axes.set_xlabel(label)
        draw(axes, places)
        figure.legend(loc="outside upper right", ncols=columns)

    return svg(whole, _WIDTH, 1.1 + each * len(entries))


def _mass_figure(holding: list[Entry], file: SizingFile, display: Display) -> VectorFigure | None:  # noqa: ARG001
    scale, unit = display.units["area density"]

    def draw(axes: Axes, at: np.ndarray) -> None:
        axes.barh(at, [e.sized.mass_per_area / scale for e in holding], 0.5, color=SKIN, label="under the policy")
        for key, marker, colour, name in (
            ("perfect", "D", RIB, "with knockdown 1"),
            ("unpressed", "x", INK, "without credit for pressure"),
        ):
            masses = [(getattr(e, key), y) for e, y in zip(holding, at, strict=True)]
            points = [(m / scale, y) for m, y in masses if m is not None]
            if points:
                axes.plot(*zip(*points, strict=True), marker, ms=5, ls="", color=colour, label=name)
        axes.set_xlim(left=0)

    return _bars(holding, f"mass per area of the optimum, {unit}", draw)


def _index_figure(holding: list[Entry], file: SizingFile, display: Display) -> VectorFigure | None:  # noqa: ARG001
    if not holding:
        return None
    d = 2 * file.demand.barrel.radius
    metals = {m.name: m for m in file.demand.materials}
    points = []
    for e in holding:
        metal = metals[e.material]
        E = metal.points[-1].compressive_modulus
        f = e.sized.production
        points.append((f.line_load / (E * d), 4 * f.mean_thickness / d, e))
    low, high = min(p[0] for p in points) / 4, max(p[0] for p in points) * 4

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        x = np.geomspace(low, high, 30)
        for line, style in zip(LINES, ("-", "--", "-.", ":"), strict=True):
            axes.plot(x, line.solidity(x), style, color=INK, lw=1, label=f"{line.name} (1966, second-hand)")
        grid = np.array([low, high])  # a power law but for 2 parts in a thousand
        own = "triangular grid, handbook's modes, factor 1 (own)"
        axes.plot(grid, handbook_line(grid), "-", color=SKIN, lw=1.5, label=own)
        short_of = {e.material: e.metal for e in holding}
        for k, name in enumerate(metals):
            here = [(px, py, i) for i, (px, py, e) in enumerate(points, 1) if e.material == name]
            if not here:
                continue
            x_of, y_of, _ = zip(*here, strict=True)
            axes.plot(x_of, y_of, _METALS[k % len(_METALS)], color=RIB, ms=5, mec="white", label=short_of[name])
            for px, py, numbers in _together(here):
                axes.annotate(numbers, (px, py), textcoords="offset points", xytext=(6, -3), fontsize=7)
        axes.set_xscale("log")
        axes.set_yscale("log")
        axes.xaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
        axes.xaxis.set_minor_formatter(NullFormatter())
        axes.set_xlabel("load index N/(E d); N the largest factored line load, d the diameter")
        axes.set_ylabel("solidity 4 t_bar/d")
        axes.legend(fontsize=7, loc="upper left")

    return svg(draw, _WIDTH, 4.2)


def _together(points: list[tuple[float, float, int]]) -> list[tuple[float, float, str]]:
    """Places and numbers of points, those of one place by height in one label."""
    groups: list[list[tuple[float, float, int]]] = []
    for point in sorted(points, key=lambda p: p[1]):
        if groups and point[1] < groups[-1][-1][1] * _NEAR:
            groups[-1].append(point)
        else:
            groups.append([point])
    return [
        (g[0][0], float(np.sqrt(g[0][1] * g[-1][1])), ", ".join(str(i) for i in sorted(p[2] for p in g)))
        for g in groups
    ]


def _metal_figure(holding: list[Entry], file: SizingFile, display: Display) -> VectorFigure | None:  # noqa: ARG001
    scale, unit = display.units["mass"]

    def draw(axes: Axes, at: np.ndarray) -> None:
        wall = np.array([e.sized.production.mass for e in holding]) / scale
        chips = np.array([e.sized.production.chip_mass for e in holding]) / scale
        axes.barh(at, wall, 0.5, color=SKIN, label="finished wall")
        axes.barh(at, chips, 0.5, left=wall, color=PALE, edgecolor=INK, lw=0.5, label="chips")
        for y, e, end in zip(at, holding, wall + chips, strict=True):
            words = f"{e.sized.production.buy_to_fly:.1f}x, {e.sized.production.parts} parts"
            axes.annotate(words, (end, y), textcoords="offset points", xytext=(4, -3), fontsize=7)
        axes.set_xlim(0, 1.2 * float((wall + chips).max()))

    return _bars(holding, f"metal bought for the barrel, {unit}", draw)


def _ratio_figure(holding: list[Entry], file: SizingFile, display: Display) -> VectorFigure | None:  # noqa: ARG001
    ribbed = [e for e in holding if e.sized.production.local_to_general is not None]

    def draw(axes: Axes, at: np.ndarray) -> None:
        axes.axvspan(0.85, 1.15, color=PALE, zorder=0, label="within 15 %: may interact")
        axes.axvline(1.0, color=INK, lw=0.8)
        axes.barh(at, [e.sized.production.local_to_general for e in ribbed], 0.5, color=SKIN)

    return _bars(ribbed, "lowest local over general elastic load, before any factor", draw)


def _engine_figure(holding: list[Entry], file: SizingFile, display: Display) -> VectorFigure | None:  # noqa: ARG001
    checked = [e for e in holding if len(e.sized.engines) > 1]
    names = list(dict.fromkeys(ld.engine for e in checked for ld in e.sized.engines[1:]))
    colours = [SKIN, RIB, INK, "#93A2CF", "#CF9778", "#0055A9", "#903A03"]

    def draw(axes: Axes, at: np.ndarray) -> None:
        width = 0.7 / len(names)
        for k, name in enumerate(names):
            pairs = [
                (y + 0.35 - (k + 0.5) * width, 100 * (ld.over_closed_form - 1))
                for y, e in zip(at, checked, strict=True)
                for ld in e.sized.engines
                if ld.engine == name
            ]
            axes.barh([p[0] for p in pairs], [p[1] for p in pairs], width, color=colours[k % len(colours)], label=name)
        axes.axvline(0, color=INK, lw=0.8)
        reach = max(0.01, *(1.15 * abs(v) for v in axes.get_xlim()))
        axes.set_xlim(-reach, reach)

    label = "net load over the closed form's (Sanders), less 1, %"
    return _bars(checked, label, draw, 0.22 + 0.1 * len(names), columns=1)


FIGURES = (
    (
        _mass_figure,
        "Mass per area of every pattern at its optimum",
        "Each pattern at its own optimum: under the policy, with knockdown 1, and without credit for pressure.",
    ),
    (
        _index_figure,
        "Solidity against load index with published lines",
        "The designs among published lines of optimum shells (Gerard & Lakshmikantham 1966, second-hand; no "
        "check). Numbers are the rows of the mass table. Designs carry factors, gauges and pressure, the lines do not.",
    ),
    (
        _metal_figure,
        "Metal bought: finished wall and chips",
        "Metal bought for one barrel before trim: what stays and what becomes chips.",
    ),
    (
        _ratio_figure,
        "Lowest local load over general load",
        "Below 1 a part of the wall buckles before the wall as a whole, before any factor.",
    ),
    (
        _engine_figure,
        "Differences between engines",
        "Other engines against the closed form, governing load case, perfect wall as drawn, simply supported, and what "
        "bending near the edges does (nonlinear prebuckling); no factor belongs to any of them but the closed form.",
    ),
)
