"""The unrolled skin at equal scale: filled palette, contour lines and signs; cuts through the peak."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from contourpy import contour_generator
from matplotlib.axes import Axes
from matplotlib.colors import ListedColormap
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path

from ...core.style import INK, colour_of
from ..review.fields import Field, Grid

STEPS = 33
"""Colours of the map from inward to outward; the middle one holds zero."""
LEVELS = (-0.75, -0.5, -0.25, 0.25, 0.5, 0.75)
PALETTE = ListedColormap(colour_of(np.linspace(-1, 1, STEPS), STEPS))
_FEW = 160
"""Hills and valleys up to which all contour lines are drawn."""
_CLOSE = 0.075
"""Least distance of hills and valleys on the paper [in] at which signs can be read; lines need more."""

Unit = tuple[float, str]
"""SI value and name of the unit of length."""


def paper(field: Field, width: float, most: float) -> tuple[float, float]:
    """Width and height [in] of the unrolled skin at equal scale within a width and a height."""
    around = 2 * math.pi * field.radius
    scale = min(width / around, most / field.length)
    return around * scale, field.length * scale


def signs_fit(field: Field, inches: float) -> bool:
    """Whether hills and valleys stand far enough apart on a map so wide."""
    return field.spacing * inches / (2 * math.pi * field.radius) >= _CLOSE


def draw_map(axes: Axes, field: Field, grid: Grid, unit: Unit, inches: float) -> None:
    """Draw the map of a grid, `inches` wide."""
    scale = inches / (2 * math.pi * field.radius)
    apart = field.spacing * scale
    levels: tuple[float, ...] = ()
    if apart >= 1.6 * _CLOSE:
        levels = LEVELS if len(field.extrema) <= _FEW and apart >= 2.5 * _CLOSE else (-0.5, 0.5)
    draw_whole(axes, field, grid, grid.w, levels, unit)
    if apart >= _CLOSE:
        _draw_signs(axes, field, field.extrema, unit, scale, (0, 2 * math.pi))


def draw_whole(axes: Axes, field: Field, grid: Grid, w: np.ndarray, levels: tuple[float, ...], unit: Unit) -> None:
    """Palette and contour lines of w on a grid once around, with the map's scales: hoop arc below, degrees above."""
    (factor, name), R = unit, field.radius
    closed = np.concatenate([w, w[:, :1]], axis=1)
    _draw_field(axes, np.append(grid.theta, 2 * math.pi) * R / factor, grid.x / factor, closed, levels)
    axes.set_aspect("equal")
    axes.set_xlabel(f"hoop arc R θ, {name} (seen from outside)", fontsize=8, loc="left")
    axes.set_ylabel(f"x, {name}", fontsize=8)
    axes.tick_params(labelsize=7)
    degrees = np.arange(0, 361, 60)
    above = axes.secondary_xaxis("top", functions=(lambda v: np.degrees(v * factor / R), lambda v: np.radians(v) * R))
    above.set_xticks(degrees, [f"{d}°" for d in degrees], fontsize=7)
    above.tick_params(length=2.5, pad=1)


def _draw_field(axes: Axes, x: np.ndarray, y: np.ndarray, w: np.ndarray, levels: tuple[float, ...]) -> None:
    """Palette and contour lines of samples w (y, x); lines are solid outward and dashed inward."""
    half = 1 + 1 / (STEPS - 1)
    dx, dy = (x[1] - x[0]) / 2, (y[1] - y[0]) / 2
    axes.imshow(
        w,
        cmap=PALETTE,
        vmin=-half,
        vmax=half,
        extent=(x[0] - dx, x[-1] + dx, y[0] - dy, y[-1] + dy),
        origin="lower",
        interpolation="bilinear",
        interpolation_stage="data",
        aspect="auto",
        zorder=1,
    )
    axes.set_xlim(x[0], x[-1])
    axes.set_ylim(y[0], y[-1])
    axes.spines[:].set_visible(True)
    found = contour_generator(x, y, w)
    for level in levels:
        lines = [Path(line) for line in found.lines(level)]
        if lines:
            style = "solid" if level > 0 else (0, (3, 1.6))
            path = Path.make_compound_path(*lines)
            axes.add_artist(PathPatch(path, fill=False, ec=INK, lw=0.3 + 0.4 * abs(level), ls=style, zorder=2))


def _draw_signs(
    axes: Axes, field: Field, extrema: np.ndarray, unit: Unit, scale: float, ends: tuple[float, float]
) -> None:
    """Plus and minus at hills and valleys (k, 3); `scale` is paper [in] over skin [m], `ends` of theta in view."""
    reach = float(np.clip(72 * 0.55 * field.spacing * scale, 3, 5)) / 72 / scale / 2
    aside = 1.2 * reach / field.radius
    theta = np.clip(extrema[:, 0], ends[0] + aside, ends[1] - aside)
    plot_signs(axes, np.column_stack([theta * field.radius, extrema[:, 1]]) / unit[0], extrema[:, 2], reach / unit[0])


def plot_signs(axes: Axes, places: np.ndarray, w: np.ndarray, reach: float) -> None:
    """Plus and minus of w (k,) at places (k, 2), so far to each side; white on a dark ground and ink on a pale one."""
    level, upright = np.array([[-1, 0], [1, 0]]), np.array([[0, -1], [0, 1]])
    dark = np.abs(w) > 0.6
    for some, colour in ((dark, "white"), (~dark, INK)):
        strokes = [(level, some), (upright, some & (w > 0))]
        lines = np.concatenate([(places[on][:, None] + reach * ends).reshape(-1, 2) for ends, on in strokes])
        if len(lines):
            path = Path(lines, np.tile([Path.MOVETO, Path.LINETO], len(lines) // 2))
            axes.add_artist(PathPatch(path, fill=False, ec=colour, lw=1.1, zorder=3))


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


def draw_close_up(axes: Axes, whole: Axes, field: Field, box: CloseUp, unit: Unit) -> None:
    """Draw a part of the map larger, and its frame on the whole."""
    R, factor = field.radius, unit[0]
    scale = box.width / ((box.theta[1] - box.theta[0]) * R)
    theta, x = np.linspace(*box.theta, round(75 * box.width)), np.linspace(*box.x, round(75 * box.height))
    at = np.meshgrid(theta, x)
    w = field.at(at[0].ravel(), at[1].ravel())[:, 2].reshape(at[0].shape)
    _draw_field(axes, theta * R / factor, x / factor, w, (-0.5, 0.5))
    turns = (-2 * math.pi, 0.0, 2 * math.pi)
    hills = np.concatenate([field.extrema + np.array([turn, 0, 0]) for turn in turns])
    aside = np.array([0.06 / scale / R, 0.06 / scale])
    low, high = (np.array([box.theta[k], box.x[k]]) for k in (0, 1))
    inside = ((hills[:, :2] > low + aside) & (hills[:, :2] < high - aside)).all(axis=1)
    _draw_signs(axes, field, hills[inside], unit, scale, box.theta)
    axes.set_title("close-up about the peak, framed above", fontsize=8, loc="left", pad=3)
    axes.set_xlabel(f"hoop arc R θ, {unit[1]}", fontsize=8, loc="left")
    axes.set_ylabel(f"x, {unit[1]}", fontsize=8)
    axes.tick_params(labelsize=7)
    (left, right), (below, above) = axes.get_xlim(), axes.get_ylim()
    for turn in turns:
        corner = (left + turn * R / factor, below)
        whole.add_patch(Rectangle(corner, right - left, above - below, fill=False, ec=INK, lw=1, zorder=4))


def strip(figure: Figure, right: float, low: float) -> None:
    """A level strip of the colours between its two words, its right end and its height on the figure [in]."""
    width, height = figure.get_size_inches()
    left, wide, low, high = (right - 2.0) / width, 1.3 / width, low / height, 0.1 / height
    for i, colour in enumerate(PALETTE.colors):
        figure.add_artist(Rectangle((left + i * wide / STEPS, low), wide / STEPS, high, fc=colour, ec=colour, lw=0.3))
    figure.add_artist(Rectangle((left, low), wide, high, fill=False, ec=INK, lw=0.5))
    figure.add_artist(Rectangle((left + wide / 2, low - 0.3 * high), 0, 1.6 * high, ec=INK, lw=0.6))
    aside = 0.05 / width
    for word, x, side in (("−1 inward", left - aside, "right"), ("outward 1", left + wide + aside, "left")):
        figure.text(x, low + high / 2, word, ha=side, va="center_baseline", fontsize=7.5)


def draw_cuts(figure: Figure, field: Field, unit: Unit) -> None:
    """w along the axis and around, both through the peak."""
    factor, name = unit
    axial, hoop = cuts(field)
    figure.set_layout_engine("none")
    along, around = figure.add_axes((0.115, 0.225, 0.315, 0.65)), figure.add_axes((0.485, 0.225, 0.495, 0.65))
    for axes, place, w in ((along, axial[0] / factor, axial[1]), (around, np.degrees(hoop[0]), hoop[1])):
        axes.plot(place, w, color=INK, lw=1)
        axes.axhline(0, color=INK, lw=0.4)
        axes.set_xlim(place[0], place[-1])
        axes.set_ylim(-1.12, 1.12)
        axes.set_yticks([-1, -0.5, 0, 0.5, 1])
        axes.tick_params(labelsize=7)
        for side in (1, -1):
            lobes = np.concatenate([[0], np.maximum(side * w, 0) * side, [0]])
            axes.fill(place[[0, *range(len(w)), -1]], lobes, lw=0, color=colour_of(np.array(0.5 * side)))
    along.set_xlabel(f"x, {name}", fontsize=8)
    along.set_ylabel("w over its peak", fontsize=8)
    along.set_title(f"axial cut, θ = {math.degrees(field.peak.theta):.1f}°", fontsize=8, loc="left")
    around.set_xlabel("θ, degrees", fontsize=8)
    around.set_xticks(range(0, 361, 60))
    around.tick_params(labelleft=False)
    around.set_title(f"hoop cut, x = {field.peak.x / factor:.4g} {name}", fontsize=8, loc="left")


def cuts(field: Field) -> tuple[tuple[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]:
    """(x, w) at the peak's theta and (theta, w) at the peak's x, once around with both ends."""
    around, along = field.enough(24)
    x, theta = np.linspace(0, field.length, along), np.linspace(0, 2 * math.pi, around + 1)
    peak = field.peak
    axial = field.at(np.full(along, peak.theta), x)[:, 2]
    return (x, axial), (theta, field.at(theta, np.full(around + 1, peak.x))[:, 2])
