"""The unrolled skin at equal scale: filled palette, contour lines and signs; cuts through the peak."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from contourpy import contour_generator
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.markers import TICKUP
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path

from ...core.style import colour_of
from ..review.fields import Field, Grid
from .canvas import INK

STEPS = 33
"""Colours of the map from inward to outward; the middle one holds zero."""
LEVELS = (-0.75, -0.5, -0.25, 0.25, 0.5, 0.75)
_DOTS = 150
"""Pixels to an inch of the map's picture, or more where its grid is finer."""
_FEW = 160
"""Hills and valleys up to which all contour lines are drawn."""
_CLOSE = 0.075
"""Least distance of hills and valleys on the paper [in] at which signs can be read; lines need more."""


def paper(field: Field, width: float, most: float) -> tuple[float, float]:
    """Width and height [in] of the unrolled skin at equal scale within a width and a height."""
    around = 2 * math.pi * field.radius
    scale = min(width / around, most / field.length)
    return around * scale, field.length * scale


def signs_fit(field: Field, inches: float) -> bool:
    """Whether hills and valleys stand far enough apart on a map so wide."""
    return field.spacing * inches / (2 * math.pi * field.radius) >= _CLOSE


def draw_map(axes: Axes, field: Field, grid: Grid, unit: tuple[float, str], inches: float) -> None:
    """Draw the map of a grid; `unit` is the SI value and name of the unit of length, `inches` the width of the map."""
    R, factor = field.radius, unit[0]
    closed = np.concatenate([grid.w, grid.w[:, :1]], axis=1)
    picture_of(axes, field, closed, unit, inches)
    apart = field.spacing * inches / (2 * math.pi * R)
    if apart >= _CLOSE:
        draw_signs(axes, field, field.extrema, unit, inches / (2 * math.pi * R), (0, 2 * math.pi))
    if apart >= 1.6 * _CLOSE:
        hoop = np.append(grid.theta, 2 * math.pi) * R / factor
        levels = LEVELS if len(field.extrema) <= _FEW and apart >= 2.5 * _CLOSE else (-0.5, 0.5)
        draw_contours(axes, hoop, grid.x / factor, closed, levels, hoop[-1] / inches / 72 * 0.12)
    map_axes(axes, field, unit)


def picture_of(axes: Axes, field: Field, closed: np.ndarray, unit: tuple[float, str], inches: float) -> None:
    """The palette over the whole map; `closed` (along, around + 1) repeats theta = 0 at its end."""
    extent = (0, 2 * math.pi * field.radius / unit[0], 0, field.length / unit[0])
    fine = finer(closed, round(_DOTS * inches), field.length / (2 * math.pi * field.radius))
    axes.imshow(
        (255 * colour_of(fine, STEPS)).round().astype(np.uint8),
        extent=extent,
        origin="lower",
        interpolation="none",
        aspect="equal",
        zorder=1,
    )


def draw_signs(
    axes: Axes, field: Field, extrema: np.ndarray, unit: tuple[float, str], scale: float, ends: tuple[float, float]
) -> None:
    """Plus and minus at hills and valleys (k, 3); `scale` is paper [in] over skin [m], `ends` of theta in view."""
    size = float(np.clip(72 * 0.55 * field.spacing * scale, 3, 5))
    aside = 0.6 * size / 72 / scale / field.radius
    theta = np.clip(extrema[:, 0], ends[0] + aside, ends[1] - aside)
    plot_signs(axes, np.column_stack([theta * field.radius, extrema[:, 1]]) / unit[0], extrema[:, 2], size)


def plot_signs(axes: Axes, places: np.ndarray, w: np.ndarray, size: float) -> None:
    """Plus and minus of w (k,) at places (k, 2), white on a dark ground and ink on a pale one."""
    for marker, side in (("+", w > 0), ("_", w < 0)):
        for colour, some in (("white", side & (np.abs(w) > 0.6)), (INK, side & (np.abs(w) <= 0.6))):
            if some.any():
                axes.plot(*places[some].T, ls="none", marker=marker, ms=size, mew=1.1, color=colour, zorder=3)


def map_axes(axes: Axes, field: Field, unit: tuple[float, str]) -> None:
    """Scales of the map: hoop arc below, degrees above, x to the left."""
    (factor, name), R = unit, field.radius
    axes.set_xlim(0, 2 * math.pi * R / factor)
    axes.set_ylim(0, field.length / factor)
    axes.set_xlabel(f"hoop arc R θ, {name} (seen from outside)", fontsize=8, loc="left")
    axes.set_ylabel(f"x, {name}", fontsize=8)
    axes.tick_params(labelsize=7)
    degrees = np.arange(0, 361, 60)
    places = np.radians(degrees) * R / factor
    axes.plot(
        places,
        np.ones(len(places)),
        ls="none",
        marker=TICKUP,
        ms=2.5,
        color=INK,
        clip_on=False,
        transform=axes.get_xaxis_transform(),
    )
    for place, word in zip(places, degrees, strict=True):
        axes.annotate(
            f"{word}°",
            (place, 1),
            (0, 4),
            xycoords=axes.get_xaxis_transform(),
            textcoords="offset points",
            fontsize=7,
            ha="center",
        )


class CloseUp(NamedTuple):
    """A part of the map about the peak: hoop angles and stations from and to, width and height on the paper [in]."""

    theta: tuple[float, float]
    x: tuple[float, float]
    width: float
    height: float


def close_up(field: Field, width: float, most: float) -> CloseUp:
    """The part that shows hills and valleys three times as far apart as signs can be read, as large as fits."""
    peak, R, L = field.peak, field.radius, field.length
    scale = 3 * _CLOSE / field.spacing
    wide, high = min(width, 2 * math.pi * R * scale), min(most, L * scale)
    low = min(max(peak.x - high / scale / 2, 0.0), L - high / scale)
    half = wide / scale / R / 2
    return CloseUp((peak.theta - half, peak.theta + half), (low, low + high / scale), wide, high)


def draw_close_up(axes: Axes, whole: Axes, field: Field, box: CloseUp, unit: tuple[float, str]) -> None:
    """Draw a part of the map larger, and its frame on the whole."""
    R, factor = field.radius, unit[0]
    scale = box.width / ((box.theta[1] - box.theta[0]) * R)
    pixels = (round(_DOTS * box.width), round(_DOTS * box.height))
    theta, x = np.linspace(*box.theta, pixels[0]), np.linspace(*box.x, pixels[1])
    at = np.meshgrid(theta, x)
    w = field.at(at[0].ravel(), at[1].ravel())[:, 2].reshape(at[0].shape)
    extent = (box.theta[0] * R / factor, box.theta[1] * R / factor, box.x[0] / factor, box.x[1] / factor)
    axes.imshow(
        (255 * colour_of(w, STEPS)).round().astype(np.uint8),
        extent=extent,
        origin="lower",
        interpolation="none",
        aspect="auto",
        zorder=1,
    )
    draw_contours(axes, theta * R / factor, x / factor, w, (-0.5, 0.5), 0.12 / 72 / scale / factor)
    hills = np.concatenate([field.extrema + np.array([turn, 0, 0]) for turn in (-2 * math.pi, 0, 2 * math.pi)])
    aside = 0.06 / scale
    inside = (np.abs(hills[:, 0] - sum(box.theta) / 2) * R < (box.theta[1] - box.theta[0]) * R / 2 - aside) & (
        np.abs(hills[:, 1] - sum(box.x) / 2) < (box.x[1] - box.x[0]) / 2 - aside
    )
    draw_signs(axes, field, hills[inside], unit, scale, box.theta)
    axes.set_xlim(extent[:2])
    axes.set_ylim(extent[2:])
    axes.set_title("close-up about the peak, framed above", fontsize=8, loc="left", pad=3)
    axes.set_xlabel(f"hoop arc R θ, {unit[1]}", fontsize=8, loc="left")
    axes.set_ylabel(f"x, {unit[1]}", fontsize=8)
    axes.tick_params(labelsize=7)
    for turn in (-2 * math.pi, 0.0, 2 * math.pi):
        left = extent[0] + turn * R / factor
        whole.add_patch(
            Rectangle(
                (left, extent[2]),
                extent[1] - extent[0],
                extent[3] - extent[2],
                fill=False,
                ec=INK,
                lw=1,
                zorder=4,
                clip_on=True,
            )
        )


def draw_contours(
    axes: Axes, x: np.ndarray, y: np.ndarray, w: np.ndarray, levels: tuple[float, ...], tolerance: float
) -> None:
    """Contour lines, solid outward and dashed inward, without points that move them by less than the tolerance."""
    found = contour_generator(x, y, w)
    for level in levels:
        lines = [thinned(line, tolerance) for line in found.lines(level)]
        if lines:
            path = Path.make_compound_path(*(Path(line) for line in lines))
            style = "solid" if level > 0 else (0, (3, 1.6))
            axes.add_artist(PathPatch(path, fill=False, ec=INK, lw=0.3 + 0.4 * abs(level), ls=style, zorder=2))


def thinned(line: np.ndarray, tolerance: float) -> np.ndarray:
    """A line (k, 2) without points that lie closer than the tolerance to the chord of their neighbours.

    Examples
    --------
    >>> import numpy as np
    >>> thinned(np.array([[0.0, 0], [1, 0], [2, 0.01], [3, 0], [4, 1]]), 0.1).tolist()
    [[0.0, 0.0], [1.0, 0.0], [3.0, 0.0], [4.0, 1.0]]
    """
    for turn in range(6):
        if len(line) < 6 and turn:
            break
        a, b, c = line[:-2], line[1:-1], line[2:]
        chord, arm = c - a, b - a
        away = np.abs(chord[:, 0] * arm[:, 1] - chord[:, 1] * arm[:, 0]) / np.maximum(np.hypot(*chord.T), 1e-300)
        drop = away < tolerance
        drop[turn % 2 :: 2] = False  # neighbours never go together
        if not drop.any() and turn > 1:
            break
        line = np.concatenate([line[:1], b[~drop], line[-1:]])
    return line


def finer(w: np.ndarray, wide: int, aspect: float) -> np.ndarray:
    """Values in the middles of the pixels of a picture so wide, between those of a grid that includes its borders."""
    wide = max(w.shape[1] - 1, wide)
    high = max(w.shape[0] - 1, round(wide * aspect))
    for axis, count in ((0, high), (1, wide)):
        at = (np.arange(count) + 0.5) / count * (w.shape[axis] - 1)
        low = np.minimum(at.astype(int), w.shape[axis] - 2)
        share = (at - low).reshape((-1, 1) if axis == 0 else (1, -1))
        w = np.take(w, low, axis) * (1 - share) + np.take(w, low + 1, axis) * share
    return w


def strip(figure: Figure, right: float, low: float) -> None:
    """A level strip of the colours between its two words, its right end and its height on the figure [in]."""
    width, height = figure.get_size_inches()
    left, wide, low, high = (right - 2.0) / width, 1.3 / width, low / height, 0.1 / height
    for i, colour in enumerate(colour_of(np.linspace(-1, 1, STEPS), STEPS)):
        figure.add_artist(Rectangle((left + i * wide / STEPS, low), wide / STEPS, high, fc=colour, ec=colour, lw=0.3))
    figure.add_artist(Rectangle((left, low), wide, high, fill=False, ec=INK, lw=0.5))
    figure.add_artist(Rectangle((left + wide / 2, low - 0.3 * high), 0, 1.6 * high, ec=INK, lw=0.6))
    aside = 0.05 / width
    for word, x, side in (("−1 inward", left - aside, "right"), ("outward 1", left + wide + aside, "left")):
        figure.text(x, low + high / 2, word, ha=side, va="center_baseline", fontsize=7.5)


def draw_cuts(figure: Figure, field: Field, unit: tuple[float, str]) -> None:
    """w along the axis and around, both through the peak."""
    factor, name = unit
    axial, hoop = cuts(field)
    figure.set_layout_engine("none")
    along, round_ = figure.add_axes((0.115, 0.225, 0.315, 0.65)), figure.add_axes((0.485, 0.225, 0.495, 0.65))
    along.plot(axial[0] / factor, axial[1], color=INK, lw=1)
    along.set_xlabel(f"x, {name}", fontsize=8)
    along.set_ylabel("w over its peak", fontsize=8)
    along.set_title(f"axial cut, θ = {math.degrees(field.peak.theta):.1f}°", fontsize=8, loc="left")
    round_.plot(np.degrees(hoop[0]), hoop[1], color=INK, lw=1)
    round_.set_xlabel("θ, degrees", fontsize=8)
    round_.set_xticks(range(0, 361, 60))
    round_.set_xlim(0, 360)
    round_.tick_params(labelleft=False)
    along.set_xlim(0, field.length / factor)
    round_.set_title(f"hoop cut, x = {field.peak.x / factor:.4g} {name}", fontsize=8, loc="left")
    for axes, values in ((along, axial), (round_, hoop)):
        axes.axhline(0, color=INK, lw=0.4)
        axes.set_ylim(-1.12, 1.12)
        axes.set_yticks([-1, -0.5, 0, 0.5, 1])
        axes.tick_params(labelsize=7)
        axes.spines[["top", "right"]].set_visible(False)
        place = np.degrees(values[0]) if axes is round_ else values[0] / factor
        for side in (1, -1):
            lobes = np.clip(values[1], *((0, None) if side > 0 else (None, 0)))
            axes.fill_between(place, 0, lobes, lw=0, color=colour_of(np.array(0.5 * side)))


def cuts(field: Field) -> tuple[tuple[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]:
    """(x, w) at the peak's theta and (theta, w) at the peak's x, once around with both ends."""
    around, along = field.enough(24)
    x, theta = np.linspace(0, field.length, along), np.linspace(0, 2 * math.pi, around + 1)
    peak = field.peak
    axial = field.at(np.full(along, peak.theta), x)[:, 2]
    return (x, axial), (theta, field.at(theta, np.full(around + 1, peak.x))[:, 2])
