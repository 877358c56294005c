"""The wall drawn to scale."""

from __future__ import annotations

import math

from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from ...model import Case, GivenStiffness, PlainWall, TriangularGrid
from ...model.case import ring_spacing, stringer_spacing
from ..text.display import Display
from .canvas import PALE, RIB, SKIN, VectorFigure, svg


def wall_figure(case: Case, display: Display) -> VectorFigure | None:
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
