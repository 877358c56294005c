"""Figures as SVG text or PDF. The only door to matplotlib."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterator
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
from ..model import Case, GivenStiffness, PlainWall, TriangularGrid
from ..model.case import ring_spacing, stringer_spacing
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
    wall = case.wall
    if isinstance(wall, GivenStiffness):
        return None
    if isinstance(wall, PlainWall):
        return svg(lambda f: _plain(f, case, display), 7.2, 1.5)
    if isinstance(wall, TriangularGrid):
        return svg(lambda f: _grid(f, case, wall, display), 7.2, 3.6)
    cuts = [k for k in ("stringers", "rings") if getattr(wall, k) is not None]
    heights = [_cut_height(case, key) for key in cuts]
    return svg(lambda f: _stiffened(f, case, cuts, heights, display), 7.2, sum(heights))


def _size(display: Display, *millimetres: float) -> str:
    """Dimensions as they are written beside the drawing."""
    return " x ".join(display.number(x / 1e3, "length") for x in millimetres) + f" {display.unit('length')}"


def _frame(axes, title: str) -> None:
    axes.set_aspect("equal", adjustable="box")
    axes.set_title(title, fontsize=9, loc="left")
    axes.axis("off")


def _sheet(axes, width: float, t: float) -> None:
    axes.add_patch(Rectangle((0, -t / 2), width, t, facecolor=SKIN, edgecolor="none"))


def _plain(figure: Figure, case: Case, display: Display) -> None:
    t = case.barrel.skin_thickness * 1e3
    axes = figure.subplots()
    _sheet(axes, 25 * t, t)
    axes.set_xlim(-t, 26 * t)
    axes.set_ylim(-t, 3 * t)
    axes.text(12.5 * t, t, f"skin {_size(display, t)} (outside up)", ha="center", va="bottom")
    _frame(axes, "Section of the skin, to scale")


def _spacing(case: Case, key: str) -> float:
    """Spacing of stringers or rings [mm]."""
    family = getattr(case.wall, key)
    if key == "stringers":
        return stringer_spacing(family, case.barrel.middle_radius) * 1e3
    return ring_spacing(family, case.barrel.length) * 1e3


def _reach(case: Case, key: str) -> float:
    """How far a stiffener's drawing stands off the skin middle [mm]."""
    family = getattr(case.wall, key)
    if family.section == "blade":
        return family.depth * 1e3 + case.barrel.skin_thickness * 500
    return family.eccentricity * 1e3 + math.sqrt(family.area * 1e6 / math.pi)


def _cut_height(case: Case, key: str) -> float:
    """Height of a cut's drawing [in] that keeps its scale over the width of the figure, title included."""
    return 0.45 + 7.0 * (_reach(case, key) + 4e3 * case.barrel.skin_thickness) / (3.1 * _spacing(case, key))


def _stiffened(figure: Figure, case: Case, cuts: list[str], heights: list[float], display: Display) -> None:
    wall, t = case.wall, case.barrel.skin_thickness * 1e3
    every = figure.subplots(len(cuts), 1, squeeze=False, height_ratios=heights)[:, 0]
    for axes, key in zip(every, cuts, strict=True):
        family = getattr(wall, key)
        hoop, s = key == "stringers", _spacing(case, key)
        up = 1 if family.side == "outside" else -1
        _sheet(axes, 3 * s, t)
        for i in range(3):
            x = (i + 0.5) * s
            if family.section == "blade":
                d, b = family.depth * 1e3, family.thickness * 1e3
                y = t / 2 if up > 0 else -t / 2 - d
                axes.add_patch(Rectangle((x - b / 2, y), b, d, facecolor=RIB, edgecolor="none"))
            else:
                r = math.sqrt(family.area * 1e6 / math.pi)
                axes.plot([x, x], [0, up * family.eccentricity * 1e3], color=RIB, lw=1, ls=":")
                axes.add_patch(Polygon(_disc(x, up * family.eccentricity * 1e3, r), facecolor=RIB, edgecolor="none"))
        size = (
            f"blades {_size(display, family.depth * 1e3, family.thickness * 1e3)}"
            if family.section == "blade"
            else "given section (drawn as a disc of its area at its centroid)"
        )
        axes.set_xlim(-0.05 * s, 3.05 * s)
        axes.set_ylim(*sorted((-up * 2 * t, up * (_reach(case, key) + 2 * t))))
        direction = "hoop cut" if hoop else "axial cut"
        _frame(axes, f"{direction}, to scale, outside up: {key} {family.side}, {size} at {_size(display, s)}")


def _disc(x: float, y: float, r: float) -> list[tuple[float, float]]:
    return [(x + r * math.cos(k * math.pi / 18), y + r * math.sin(k * math.pi / 18)) for k in range(36)]


def _grid(figure: Figure, case: Case, wall: TriangularGrid, display: Display) -> None:
    h = wall.height(case.barrel.middle_radius) * 1e3
    a, b, d, t = 2 * h / math.sqrt(3), wall.rib_thickness * 1e3, wall.rib_depth * 1e3, case.barrel.skin_thickness * 1e3
    plan, cut = figure.subplots(1, 2, width_ratios=[1.2, 1])
    plan.add_patch(Rectangle((-1.5 * a, -1.5 * a), 3 * a, 3 * a, facecolor=PALE, edgecolor="none"))
    base = (90.0, 30.0, -30.0) if wall.family == "hoop" else (0.0, 60.0, -60.0)
    for angle in base:
        c, q = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        for k in range(-5, 6):
            # axis to the right: a rib at `angle` from the axis runs along (c, q)
            x, y = -q * k * h, c * k * h
            half, reach = b / 2, 4 * a
            corners = [
                (x + sx * reach * c - sy * half * q, y + sx * reach * q + sy * half * c)
                for sx, sy in ((1, 1), (1, -1), (-1, -1), (-1, 1))
            ]
            rib = Polygon(corners, facecolor=RIB, edgecolor="none")
            plan.add_patch(rib)
            rib.set_clip_path(Rectangle((-1.5 * a, -1.5 * a), 3 * a, 3 * a, transform=plan.transData))
    plan.set_xlim(-1.5 * a, 1.5 * a)
    plan.set_ylim(-1.5 * a, 1.5 * a)
    _frame(plan, f"plan, axis to the right; {wall.family} family, side {_size(display, a)}")
    up = 1 if wall.side == "outside" else -1
    _sheet(cut, 2 * h, t)
    for x in (0.5 * h, 1.5 * h):
        y = t / 2 if up > 0 else -t / 2 - d
        cut.add_patch(Rectangle((x - b / 2, y), b, d, facecolor=RIB, edgecolor="none"))
    cut.set_xlim(-0.05 * h, 2.05 * h)
    cut.set_ylim(*sorted((-up * 2 * t, up * (d + 2 * t))))
    ribs = f"ribs {_size(display, d, b)}"
    _frame(cut, f"cut, outside up: {ribs}\n{wall.side}, skin {_size(display, t)}")


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
