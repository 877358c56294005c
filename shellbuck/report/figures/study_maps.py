"""Figures of a study: maps with regions of the governing mode, curves, distributions, shares. Data beside each as CSV.

Points carry links to their row on the page (``#point-12``).
"""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from ...io.store.folder import StudyFolder
from ...io.store.tables import row_text
from ...study.maps import Map
from ...study.run import Study
from ...study.summary import Summary
from ...study.windows import Window
from ..text.display import Display
from .canvas import INK, svg
from .study_curves import curves, distribution, share_bars
from .study_data import (
    LINE,
    SECOND,
    StudyData,
    StudyFigure,
    axis_label,
    axis_unit,
    linked_points,
    meant,
    points_table,
    shown_value,
)

REGIONS = ("#BFD7EE", "#F5D6BA", "#CFE6CB", "#E3D3EA", "#F6EDB5", "#CDE8E8", "#EBCBD3", "#DADDE2")
NONE, FAILS = "#FFFFFF", "#C4C4C4"
_FAILS = "does not hold; by how much is not known"

_LEVELS = (-0.75, -0.5, -0.25, 0.25, 0.5, 1.0, 2.0, 4.0)
_MOST_PANELS = 6


def draw_all(
    study: Study,
    folder: StudyFolder,
    summary: Summary,
    display: Display,
    found: Map | None = None,
    stretches: tuple[Window, ...] = (),
) -> list[StudyFigure]:
    """Every figure that the method of a study allows."""
    linked = set(linked_points(folder, summary))
    data = StudyData(study, folder, display, linked)
    drawn: list[StudyFigure] = []
    if study.plan.method == "grid":
        long = [i for i, v in enumerate(study.plan.vary) if v.numeric and len(v.values) > 1]
        if len(long) >= 2:
            drawn.append(_maps(data, long[0], long[1], found, stretches))
        elif len(long) == 1:
            drawn.append(curves(data, long[0]))
    elif summary.smallest_margin is not None:
        drawn.append(distribution(data))
    if stretches and found is not None:
        drawn.append(_edges(study, found, stretches, display))
    if summary.sensitivity:
        drawn.append(share_bars(summary))
    return drawn


def _maps(data: StudyData, ix: int, iy: int, found: Map | None, stretches: tuple[Window, ...]) -> StudyFigure:
    study, display = data.study, data.display
    vary, shape = study.plan.vary, study.design.shape
    rest = [i for i in range(len(vary)) if i not in (ix, iy)]
    panels = list(product(*(range(shape[i]) for i in rest)))
    shown, more = panels[:_MOST_PANELS], len(panels) - _MOST_PANELS
    number = np.arange(len(study.design)).reshape(shape)
    modes = [m for m in dict.fromkeys(data.mode[data.known]) if m]
    modes.sort(key=lambda m: -int((data.mode[data.known] == m).sum()))
    columns = min(len(shown), 2)
    rows = -(-len(shown) // columns)

    def draw(figure: Figure) -> None:
        every = figure.subplots(rows, columns, squeeze=False, sharex=True, sharey=True)
        for axes, panel in zip(every.flat, shown, strict=False):
            at: list[Any] = [slice(None)] * len(vary)
            for i, k in zip(rest, panel, strict=True):
                at[i] = k
            plane = number[tuple(at)]
            plane = plane if ix < iy else plane.T  # rows are x
            _map(axes, data, plane, ix, iy, modes)
            fixed = tuple(vary[i].values[k] for i, k in zip(rest, panel, strict=True))
            _overlay(axes, data, ix, iy, fixed, found, stretches)
            if rest:
                axes.set_title(
                    "; ".join(
                        f"{vary[i].title} {shown_value(vary[i], v, display)}" for i, v in zip(rest, fixed, strict=True)
                    ),
                    fontsize=9,
                    loc="left",
                )
        for axes in every[-1]:
            axes.set_xlabel(axis_label(vary[ix], display))
        for axes in every[:, 0]:
            axes.set_ylabel(axis_label(vary[iy], display))
        for axes in list(every.flat)[len(shown) :]:
            axes.axis("off")
        keys = [Patch(facecolor=_colour(k), label=m) for k, m in enumerate(modes)]
        if data.fails.any():
            keys.append(Patch(facecolor=FAILS, edgecolor="#8A95A0", label=_FAILS))
        if not (data.known | data.fails).all():
            keys.append(Patch(facecolor=NONE, edgecolor="#8A95A0", hatch="////", label="no margin (see its row)"))
        figure.legend(handles=keys, loc="outside upper center", ncols=3)

    words = (
        "Regions: the failure mode with the smallest margin; a gap where it is not known, because a row is refused or "
        "withheld. Lines: the smallest margin; 0 is bold, dashed below it. "
        f"Dots are the points worked out; {data.opens}."
    )
    if found is not None and found.markers:
        names = "; ".join(f"{k} {m.label}" for k, m in enumerate(found.markers, 1))
        hollow = ", hollow where another pressure belongs to them" if found.markers[0].panel is not None else ""
        words += f" Diamonds are the load cases{hollow}: {names}."
    if said := [m for m in map(meant, vary) if m]:
        words += " ".join(["", *(f"{m[0].upper()}{m[1:]}." for m in said)])
    if found is not None and found.kind == "pressure":
        moment = display.shown(study.plan.case.load_cases[0].bending_moment, "moment")
        words += f" The bending moment is {moment} all over the map."
    if more > 0:
        words += f" {more} more panels are in the table only."
    title = f"{vary[iy].title} against {vary[ix].title}"
    picked = [int(k) for k in number.flat]
    size = (8.8, 0.7 + 3.9 * rows) if columns == 2 else (7.4, 5.4)
    return StudyFigure("map", title, words, svg(draw, *size).text, points_table(data, picked))


def _colour(k: int) -> str:
    return REGIONS[min(k, len(REGIONS) - 1)]


def _code(data: StudyData, k: int, modes: list[str]) -> int:
    """Region of a point: its mode, one more for a failure of unknown size, -1 for a gap."""
    if data.fails[k]:
        return len(modes)
    return modes.index(data.mode[k]) if data.known[k] and data.mode[k] in modes else -1


def _map(axes: Any, data: StudyData, plane: np.ndarray, ix: int, iy: int, modes: list[str]) -> None:
    """One panel: `plane` holds point numbers, rows along x."""
    axes.spines[:].set_visible(True)
    vary = data.study.plan.vary
    (sx, _), (sy, _) = data.scale(vary[ix]), data.scale(vary[iy])
    x, y = np.array(vary[ix].values, float) / sx, np.array(vary[iy].values, float) / sy
    known = data.known[plane]
    code = np.array([[_code(data, k, modes) for k in row] for row in plane])
    colours = ListedColormap([*(_colour(k) for k in range(len(modes))), FAILS])
    norm = BoundaryNorm(np.arange(-0.5, len(modes) + 1), len(modes) + 1)
    axes.pcolormesh(x, y, np.ma.masked_less(code.T, 0), cmap=colours, norm=norm, shading="nearest", zorder=0)
    if not (known | data.fails[plane]).all():
        axes.patch.set(hatch="////", edgecolor="#8A95A0", facecolor=NONE, linewidth=0)
    margin = np.ma.masked_invalid(data.margin[plane])
    if margin.count() and not margin.mask.all() and min(margin.shape) > 1:
        low, high = float(margin.min()), float(margin.max())
        thin = [v for v in _LEVELS if low < v < high]
        if thin:
            lines = axes.contour(x, y, margin.T, levels=thin, colors=INK, linewidths=0.7)
            axes.clabel(lines, fmt=lambda v: f"{v:+g}", fontsize=7)
    # the line between what holds and what fails needs the sign only, which a failing row gives
    sign = np.ma.masked_invalid(np.where(known | data.fails[plane], data.bound[plane], np.nan))
    if sign.count() and min(sign.shape) > 1 and sign.min() < 0 < sign.max():
        axes.contour(x, y, sign.T, levels=[0.0], colors=INK, linewidths=2.2)
    points = plane.ravel()
    xs, ys = np.repeat(x, len(y)), np.tile(y, len(x))
    dots = axes.scatter(xs, ys, s=7, color=INK, alpha=0.45, linewidths=0, zorder=3)
    dots.set_urls(data.urls(points))


def _overlay(
    axes: Any,
    data: StudyData,
    ix: int,
    iy: int,
    fixed: tuple[Any, ...],
    found: Map | None,
    stretches: tuple[Window, ...],
) -> None:
    """Load cases and edges of windows on a panel."""
    if found is None:
        return
    vary = data.study.plan.vary
    (sx, _), (sy, _) = data.scale(vary[ix]), data.scale(vary[iy])
    places: dict[tuple[float, float], list[int]] = {}
    for k, marker in enumerate(found.markers, 1):
        own = marker.panel is None or (fixed and abs(float(fixed[0]) - marker.panel) < 1.0)
        axes.plot([marker.x / sx], [marker.y / sy], "D", ms=5, mec=SECOND, mfc=SECOND if own else "none", zorder=5)
        places.setdefault((marker.x, marker.y), []).append(k)
    for (x, y), which in places.items():
        how = dict(fontsize=9, color=SECOND, fontweight="bold", zorder=5)
        axes.annotate(", ".join(map(str, which)), (x / sx, y / sy), (5, 4), textcoords="offset points", **how)
    here = [w for w in stretches if w.at[1:] == fixed]
    for pick in ("low", "high"):
        edges = [(w.at[0] / sx, getattr(w, pick).value / sy) for w in here if not getattr(w, pick).open]
        if edges:
            axes.plot(*zip(*edges, strict=True), ".", color=LINE, ms=5, zorder=4)


def _edges(study: Study, found: Map, stretches: tuple[Window, ...], display: Display) -> StudyFigure:
    """Edges of the windows against load, one line a panel; with the mass where a size is swept."""
    vary = study.plan.vary
    swept, across = vary[found.sweep], vary[0]
    (sx, _), (sy, _) = axis_unit(across, display), axis_unit(swept, display)
    sizes = found.kind != "pressure"
    groups = list(dict.fromkeys(w.at[1:] for w in stretches))

    def draw(figure: Figure) -> None:
        every = figure.subplots(1, 2 if sizes else 1, squeeze=False)[0]
        for k, group in enumerate(groups):
            colour = (LINE, SECOND)[k % 2]
            mine = [w for w in stretches if w.at[1:] == group]
            if sizes:  # the least of each load; what lies above a gap stands in the data
                mine = list({w.at[0]: w for w in reversed(mine)}.values())[::-1]
            name = "; ".join(str(g) for g in group) or ("least that holds" if sizes else "lowest")
            x = [w.at[0] / sx for w in mine]
            every[0].plot(x, [w.low.value / sy for w in mine], "-o", ms=3, lw=1.2, color=colour, label=name)
            if sizes:
                mass = [w.low.mass_per_area / display.units["area density"][0] for w in mine]
                every[1].plot(x, mass, "-o", ms=3, lw=1.2, color=colour, label=name)
            else:
                low, high = ([getattr(w, end).value / sy for w in mine] for end in ("low", "high"))
                every[0].plot(x, high, "-s", ms=3, lw=1.2, color=SECOND, label="highest")
                every[0].vlines(x, low, high, color="#C9D2DC", lw=3, zorder=0)
        every[0].set_ylabel(axis_label(swept, display))
        if sizes:
            every[1].set_ylabel(f"mass per area, {display.unit('area density')}")
        for axes in every:
            axes.set_xlabel(axis_label(across, display))
        if len(groups) > 1 or not sizes:
            every[0].legend()

    head = [v.header for i, v in enumerate(vary) if i != found.sweep] + [
        f"lowest {swept.header}",
        "lowest is the end of the range",
        "below it",
        "mass per area there [kg/m^2]",
        f"highest {swept.header}",
        "highest is the end of the range",
        "above it",
    ]
    lines = [row_text(head)] + [
        row_text(
            [*w.at, w.low.value, w.low.open, w.low.stops, w.low.mass_per_area, w.high.value, w.high.open, w.high.stops]
        )
        for w in stretches
    ]
    gaps = sizes and any(not w.high.open for w in stretches)
    what = "Safe pressure window" if not sizes else f"Least {swept.title} that holds"
    words = (
        "Found between the grid's points by assessing again, to a thousandth of a step. A line that ends at the range "
        "may go on beyond it. Loads without a point have no value in the range that holds."
        + (" At some loads more is not always better: a larger size fails again, see the data." if gaps else "")
    )
    name, title = "least" if sizes else "window", f"{what}, against {across.title}"
    return StudyFigure(name, title, words, svg(draw, 7.4, 3.2).text, "".join(lines))
