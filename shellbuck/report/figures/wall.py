"""The wall drawn to scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from ...model import Case
from ...model.walls import Ribs, SkinField
from ..text.display import Display
from .canvas import PALE, RIB, SKIN, VectorFigure, svg

_LINE, _LONGEST = 0.17, 100
"""Height of a further line of a title [in], and letters from which a title has two lines."""


def wall_figure(case: Case, display: Display) -> VectorFigure | None:
    """The wall drawn to scale; None for a given stiffness, which has no dimensions."""
    wall, R, L = case.wall, case.barrel.middle_radius, case.barrel.length
    if not wall.has_dimensions:
        return None
    t, every, field = case.barrel.skin_thickness, wall.ribs(R, L), wall.skin_field(R, L)
    if not every:
        return svg(lambda f: _plain(f, t * 1e3, display), 7.2, 1.5)
    if field is not None and field.shape == "triangle":
        return svg(lambda f: _grid(f, every, field, t * 1e3, display), 7.2, 3.6)
    titles = [_cut_title(ribs, display) for ribs in every]
    heights = [
        _cut_height(ribs, t * 1e3) + _LINE * title.count("\n") for ribs, title in zip(every, titles, strict=True)
    ]
    return svg(lambda f: _stiffened(f, every, titles, heights, t * 1e3), 7.2, sum(heights))


def _size(display: Display, *millimetres: float) -> str:
    """Dimensions as they are written beside the drawing."""
    return " x ".join(display.number(x / 1e3, "length") for x in millimetres) + f" {display.unit('length')}"


def _frame(axes, title: str) -> None:
    axes.set_aspect("equal", adjustable="box")
    axes.set_title(title, fontsize=9, loc="left")
    axes.axis("off")


def _sheet(axes, width: float, t: float) -> None:
    axes.add_patch(Rectangle((0, -t / 2), width, t, facecolor=SKIN, edgecolor="none"))


def _plain(figure: Figure, t: float, display: Display) -> None:
    axes = figure.subplots()
    _sheet(axes, 25 * t, t)
    axes.set_xlim(-t, 26 * t)
    axes.set_ylim(-t, 3 * t)
    axes.text(12.5 * t, t, f"skin {_size(display, t)} (outside up)", ha="center", va="bottom")
    _frame(axes, "Section of the skin, to scale")


def _outlines(ribs: Ribs, t: float) -> list[list[tuple[float, float]]]:
    """Polygons of a rib on a skin of thickness `t`, outside up [mm]."""
    up = ribs.outward * 1e3
    return [[(x * 1e3, y * up) for x, y in points] for points in ribs.section.outline(t / 1e3)]


def _reach(ribs: Ribs, t: float) -> float:
    """How far a rib's drawing stands off the skin middle [mm]."""
    return max(abs(y) for points in _outlines(ribs, t) for _, y in points)


def _cut_height(ribs: Ribs, t: float) -> float:
    """Height of a cut's drawing [in] that keeps its scale over the width of the figure, title included."""
    return 0.45 + 7.0 * (_reach(ribs, t) + 4 * t) / (3.1e3 * ribs.spacing)


def _cut(axes: Axes, ribs: Ribs, count: int, t: float) -> None:
    """The skin with some ribs, cut across them [mm]."""
    s, up = ribs.spacing * 1e3, ribs.outward
    _sheet(axes, count * s, t)
    for i in range(count):
        x = (i + 0.5) * s
        if not ribs.section.elements:  # nothing is known between the skin and the centroid
            axes.plot([x, x], [0, ribs.height(t / 1e3) * 1e3], color=RIB, lw=1, ls=":")
        for points in _outlines(ribs, t):
            axes.add_patch(Polygon([(x + dx, y) for dx, y in points], facecolor=RIB, edgecolor="none"))
    axes.set_xlim(-0.05 * s, (count + 0.05) * s)
    axes.set_ylim(*sorted((-up * 2 * t, up * (_reach(ribs, t) + 2 * t))))


def _called(ribs: Ribs, display: Display) -> str:
    sizes = [x * 1e3 for x in ribs.section.sizes]
    return f"{ribs.section.called} {_size(display, *sizes)}" if sizes else ribs.section.called


def _cut_title(ribs: Ribs, display: Display) -> str:
    """What stands above a cut, on two lines where it is long."""
    direction = "hoop cut" if ribs.angle == 0.0 else "axial cut"
    what = f"{direction}, to scale, outside up: {ribs.name} {ribs.side},"
    size = f"{_called(ribs, display)} at {_size(display, ribs.spacing * 1e3)}"
    return f"{what} {size}" if len(what) + len(size) < _LONGEST else f"{what}\n{size}"


def _stiffened(figure: Figure, every: Sequence[Ribs], titles: list[str], heights: list[float], t: float) -> None:
    rows = figure.subplots(len(every), 1, squeeze=False, height_ratios=heights)[:, 0]
    for axes, ribs, title in zip(rows, every, titles, strict=True):
        _cut(axes, ribs, 3, t)
        _frame(axes, title)


def _grid(figure: Figure, every: Sequence[Ribs], field: SkinField, t: float, display: Display) -> None:
    h, b = field.b * 1e3, every[0].section.thickness
    a, half = 2 * h / math.sqrt(3), b * 500
    plan, cut = figure.subplots(1, 2, width_ratios=[1.2, 1])
    plan.add_patch(Rectangle((-1.5 * a, -1.5 * a), 3 * a, 3 * a, facecolor=PALE, edgecolor="none"))
    for ribs in every:
        c, q = math.cos(math.radians(ribs.angle)), math.sin(math.radians(ribs.angle))
        for k in range(-5, 6):
            # axis to the right: a rib at `angle` from the axis runs along (c, q)
            x, y, reach = -q * k * h, c * k * h, 4 * a
            corners = [
                (x + sx * reach * c - sy * half * q, y + sx * reach * q + sy * half * c)
                for sx, sy in ((1, 1), (1, -1), (-1, -1), (-1, 1))
            ]
            rib = Polygon(corners, facecolor=RIB, edgecolor="none")
            plan.add_patch(rib)
            rib.set_clip_path(Rectangle((-1.5 * a, -1.5 * a), 3 * a, 3 * a, transform=plan.transData))
    plan.set_xlim(-1.5 * a, 1.5 * a)
    plan.set_ylim(-1.5 * a, 1.5 * a)
    _frame(plan, f"plan, axis to the right; {field.family} family, side {_size(display, a)}")
    _cut(cut, every[0], 2, t)
    sizes = _size(display, *(x * 1e3 for x in every[0].section.sizes))
    _frame(cut, f"cut, outside up: ribs {sizes}\n{every[0].side}, skin {_size(display, t)}")
