"""Figures as SVG text or PDF. The only door to matplotlib."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle
from matplotlib.ticker import MaxNLocator

from ..core.records import LoadCaseResult
from ..core.style import INK
from ..model import Case
from ..model.walls import Ribs, SkinField
from .compact import compact
from .wording import Display

SKIN, RIB, PALE = "#5A7ABC", "#B26940", "#E9EDF4"
_SERIES = {"Donnell": ("#0055A9", "o"), "Sanders": ("#903A03", "s")}
_STYLE = {
    "svg.fonttype": "none",
    "svg.hashsalt": "shellbuck",
    "font.family": "sans-serif",
    "font.size": 9,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
}


@dataclass(frozen=True, eq=False)
class Drawing:
    """A figure of a size [in] that `draw(figure)` draws, once its text or its PDF is asked for."""

    draw: Callable[[Figure], None]
    size: tuple[float, float]
    most: int | None
    style: dict[str, object]

    @cached_property
    def text(self) -> str:
        """The figure as SVG text, the same bytes for the same input."""
        with _drawn(self) as figure:
            dots, figure.dpi = figure.dpi, 72
            text = io.StringIO()
            renderer = _Gathering(*(72 * figure.get_size_inches()), text, image_dpi=dots, metadata={"Date": None})
            figure.draw(renderer)
            renderer.finalize()
        whole = text.getvalue()
        return compact(whole[whole.index("<svg") :], renderer.pictures, self.most)

    def pdf(self) -> bytes:
        """The figure as a PDF of one page, the same bytes for the same input."""
        buffer = io.BytesIO()
        with _drawn(self) as figure:
            # straight to the canvas: savefig would draw everything twice
            FigureCanvasPdf(figure).print_pdf(buffer, metadata={"CreationDate": None, "Producer": None})
        return buffer.getvalue()


def svg(
    draw: Callable[[Figure], None],
    width: float,
    height: float,
    most: int | None = None,
    style: dict[str, object] | None = None,
) -> Drawing:
    """A figure [in] drawn by `draw(figure)`.

    With `most` bytes, pictures inside its SVG text are kept only as fine as that allows; without it, every pixel.
    `style` replaces entries of the house style.
    """
    return Drawing(draw, (width, height), most, style or {})


@contextmanager
def _drawn(drawing: Drawing) -> Iterator[Figure]:
    """The figure with its style, which a renderer needs too."""
    with rc_context(_STYLE | drawing.style):
        figure = Figure(figsize=drawing.size, layout="constrained")
        drawing.draw(figure)
        yield figure


class _Gathering(RendererSVG):
    """Hands its pictures over as arrays and writes blanks of their size: each is packed once, in the end."""

    def __init__(self, *args: object, **named: object) -> None:
        self.pictures: list[np.ndarray] = []
        super().__init__(*args, **named)

    def draw_image(self, gc: object, x: float, y: float, im: np.ndarray, transform: object = None) -> None:
        self.pictures.append(np.array(im))
        super().draw_image(gc, x, y, np.full_like(im, len(self.pictures)), transform)


def panels(
    figure: Figure,
    columns: int = 1,
    *,
    left: float = 0.62,
    right: float = 0.12,
    low: float = 0.48,
    high: float = 0.08,
    between: float = 0.62,
) -> list[Axes]:
    """Axes side by side inside margins [in], and so far apart; nothing is measured, which takes longer than drawing."""
    figure.set_layout_engine("none")
    width, height = figure.get_size_inches()
    each, tall = (width - left - right - (columns - 1) * between) / columns, (height - low - high) / height
    starts = [left + i * (each + between) for i in range(columns)]
    return [figure.add_axes((start / width, low / height, each / width, tall)) for start in starts]


def wall_figure(case: Case, display: Display) -> Drawing | None:
    """The wall drawn to scale; None for a given stiffness, which has no dimensions."""
    wall, R, L = case.wall, case.barrel.middle_radius, case.barrel.length
    if not wall.has_dimensions:
        return None
    t, every, field = case.barrel.skin_thickness, wall.ribs(R, L), wall.skin_field(R, L)
    if not every:
        return svg(lambda f: _plain(f, t * 1e3, display), 7.2, 1.5)
    if field is not None and field.shape == "triangle":
        return svg(lambda f: _grid(f, every, field, t * 1e3, display), 7.2, 3.6)
    heights = [_cut_height(ribs, t * 1e3) for ribs in every]
    return svg(lambda f: _stiffened(f, every, heights, t * 1e3, display), 7.2, sum(heights))


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


def _stiffened(figure: Figure, every: Sequence[Ribs], heights: list[float], t: float, display: Display) -> None:
    rows = figure.subplots(len(every), 1, squeeze=False, height_ratios=heights)[:, 0]
    for axes, ribs in zip(rows, every, strict=True):
        _cut(axes, ribs, 3, t)
        direction = "hoop cut" if ribs.angle == 0.0 else "axial cut"
        size = f"{_called(ribs, display)} at {_size(display, ribs.spacing * 1e3)}"
        _frame(axes, f"{direction}, to scale, outside up: {ribs.name} {ribs.side}, {size}")


def _grid(figure: Figure, every: Sequence[Ribs], field: SkinField, t: float, display: Display) -> None:
    h, (_, b) = field.b * 1e3, every[0].section.blade
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


def spectrum_figure(case: LoadCaseResult, display: Display) -> Drawing | None:
    """Lowest load of every n, both theories, with and without the minimum pressure."""
    loads = [ld for ld in case.loads if ld.name.startswith("general instability") and ld.lowest_by_n]
    if not loads:
        return None

    scale, unit = display.units["line load"]

    def draw(figure: Figure) -> None:
        (axes,) = panels(figure)
        least = min(ld.line_load for ld in loads) / scale
        for load in loads:
            colour, marker = _SERIES[load.theory]
            pressed = not load.pressure_treatment.startswith("no pressure")
            axes.plot(
                [p.n for p in load.lowest_by_n],
                [p.line_load / scale for p in load.lowest_by_n],
                marker=marker,
                ms=3.5,
                lw=1,
                color=colour,
                ls="--" if pressed else "-",
                mfc="white" if pressed else colour,
                label=f"{load.theory}, {'minimum pressure' if pressed else 'no pressure'}: "
                f"{display.shown(load.line_load, 'line load')} at ({load.m}, {load.n})",
            )
        # a pressure may lift its curve far above the other: both lowest loads stay on the paper
        top = max(2.5 * min(ld.line_load for ld in loads), 1.3 * max(ld.line_load for ld in loads)) / scale
        widest = max(max(p.n for p in ld.lowest_by_n if p.line_load / scale <= top) for ld in loads)
        axes.set_xlim(-0.5, widest + 1)
        axes.xaxis.set_major_locator(MaxNLocator(integer=True))
        axes.set_ylim(0, top)
        axes.axhspan(least, 1.2 * least, color=PALE, zorder=0)
        axes.set_xlabel("full waves around, n (n = 1 is the column and has its own row)")
        axes.set_ylabel(f"lowest net line load, {unit}")
        axes.legend(frameon=False, fontsize=8)
        axes.spines[["top", "right"]].set_visible(False)

    return svg(draw, 7.2, 3.4)
