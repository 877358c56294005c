"""How fine a mesh must be: elements per half-wave, per pocket and per web, chosen, reported, or refused."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ...core.errors import Refusal
from .build import Size, mesh_size
from .shapes import END_LAYER, WHOLE, Divisions, Extent, Shape, StraightRibs
from .stations import axial_stations

LEAST = {1: 8.0, 2: 4.0, 3: 1.5, 4: 0.75, 5: 0.55, 6: 0.4, 7: 0.35, 8: 0.3}
"""Fewest elements of each order per half-wave (own values: the load of a bare simply supported barrel, R/t 100 to 1000,
to .02 % from order 2 on, .8 % at order 1; at order 4 the next loads, of nearly axisymmetric modes, to .07 %, and a
clamped one to .02 %)."""

_SLACK = 1.05
"""Elements over a pocket may be so much fewer: a nearly square pocket takes the same number both ways."""
_END_LAYER = END_LAYER / 1.728
"""Length of an end layer, 2.5 sqrt(R t), in half-waves of 1.728 sqrt(R t)."""


@dataclass(frozen=True)
class Plan:
    """Divisions and what they amount to.

    Parameters
    ----------
    divisions : Divisions
    size : Size
    half_wave : float
        Half-wave that was asked for [m].
    per_half_wave : float
        Elements per half-wave, along or around, where there are fewest.
    per_half_wave_at_ends : float
        The same along the axis in the end layers.
    per_pocket : float or None
        Elements over the shorter side of a pocket between ribs; None without ribs.
    per_depth : int or None
        Elements over the depth of a web, apart from its thin layers; None without ribs.
    stretch : float
        Axial stretch of a triangular grid that makes its rows fit the length; 1 without one.
    """

    divisions: Divisions
    size: Size
    half_wave: float
    per_half_wave: float
    per_half_wave_at_ends: float
    per_pocket: float | None
    per_depth: int | None
    stretch: float = 1.0

    def sentence(self) -> str:
        """The plan in words."""
        parts = [
            f"order {self.divisions.order}",
            f"{self.per_half_wave:.3g} elements per half-wave of {self.half_wave:.4g} m "
            f"({self.per_half_wave_at_ends:.3g} at the ends)",
        ]
        if self.per_pocket is not None:
            parts += [f"{self.per_pocket:.3g} per pocket", f"{self.per_depth} per web depth"]
        return ", ".join([*parts, str(self.size)])


def choose_divisions(
    shape: Shape,
    half_wave: float,
    *,
    per_half_wave: float | None = None,
    per_pocket: float | None = None,
    per_depth: int | None = None,
    end_refinement: float = 2.0,
    order: int = 4,
    extent: Extent = WHOLE,
) -> Plan:
    """Divisions that give as many elements as are asked for.

    Parameters
    ----------
    shape : StraightRibs or TriangularRibs
    half_wave : float
        Shortest half-wave to resolve along and around [m], e.g. the axisymmetric one, 1.728 sqrt(R t) with the
        thickness that stands for the wall.
    per_half_wave : float or None
        Elements per half-wave; None takes a third more than the least, which is 1 at order 4.
    per_pocket : float or None
        Elements over the shorter side of a pocket, to a twentieth; None takes the least, but 2 or more.
    per_depth : int or None
        Elements over the depth of a web, apart from its thin layers; None takes the least.
    end_refinement : float
        How many times as many elements per half-wave the layers at the ends take along the axis, 1 for no more.
    order : int
    extent : Extent
        For the size, and for a cut between stringers.

    Raises
    ------
    Refusal
        When less is asked for than can resolve the waves (the message holds the size needed), or the mesh is too large.

    Examples
    --------
    >>> choose_divisions(StraightRibs(1.0, 1.0, 1e-3), 1.728 * 1e-3**0.5).sentence()
    'order 4, 1 elements per half-wave of 0.05464 m (2.07 at the ends), 2530 elements, 40940 nodes, 245640 unknowns'
    """
    _check_wave(half_wave)
    start = Divisions(order=order)
    least = LEAST[order]
    asked = (
        4 / 3 * least if per_half_wave is None else per_half_wave,
        max(2.0, math.ceil(least)) if per_pocket is None else per_pocket,
        math.ceil(least / 2) if per_depth is None else per_depth,
    )
    for key, value in zip(("per_half_wave", "per_pocket", "per_depth"), asked, strict=True):
        if not 0 < value <= 1000:
            raise Refusal.of("value-range", "no such number of elements", key, f"{value:g}", "above 0, to 1000")
    if not 1 <= end_refinement <= 1000:
        raise Refusal.of("value-range", "no such refinement", "end_refinement", f"{end_refinement:g}", "1 to 1000")
    return review_divisions(shape, _divide(shape, half_wave, *asked, end_refinement, start, extent), half_wave, extent)


def review_divisions(shape: Shape, divisions: Divisions, half_wave: float, extent: Extent = WHOLE) -> Plan:
    """What given divisions amount to.

    Parameters
    ----------
    shape : StraightRibs or TriangularRibs
    divisions : Divisions
    half_wave : float
        [m], as in `choose_divisions`.
    extent : Extent

    Raises
    ------
    Refusal
        When they are too coarse; the message says which size is needed.
    """
    _check_wave(half_wave)
    size = mesh_size(shape, divisions, extent)
    plan = Plan(divisions, size, half_wave, *_figures(shape, divisions, half_wave, extent))
    least = LEAST[divisions.order]
    found = (
        ("elements per half-wave", plan.per_half_wave, least, 1.0),
        ("elements over a pocket", plan.per_pocket, math.ceil(least), _SLACK),
        ("elements over the depth of a web", plan.per_depth, math.ceil(least / 2), 1.0),
    )
    short = [(what, got, need) for what, got, need, slack in found if got is not None and got * slack < need - 1e-9]
    if short:
        needed = _divide(shape, half_wave, least, math.ceil(least), math.ceil(least / 2), 1.0, divisions, extent)
        try:
            cost = str(mesh_size(shape, needed, extent))
        except Refusal as refusal:
            cost = refusal.problems[0].got
        along = f", along = {needed.along}" if isinstance(shape, StraightRibs) else ""
        raise Refusal.of(
            "mesh-too-coarse",
            f"the mesh is too coarse for elements of order {divisions.order}",
            "mesh",
            ", ".join(f"{got:.3g} {what}" for what, got, _ in short),
            ", ".join(f"{need:g} {what} or more" for what, _, need in short),
            f"it takes around = {needed.around}{along}, depth = {needed.depth}: {cost}",
        )
    return plan


def _check_wave(half_wave: float) -> None:
    if not (math.isfinite(half_wave) and half_wave > 0):
        raise Refusal.of("value-range", "a half-wave is a positive length", "half_wave", f"{half_wave:g} m")


def _divide(
    shape: Shape,
    half_wave: float,
    per_half_wave: float,
    per_pocket: float,
    per_depth: float,
    end_refinement: float,
    start: Divisions,
    extent: Extent,
) -> Divisions:
    """The coarsest divisions with this many elements; order and layers as at the start."""
    size = half_wave / per_half_wave
    depth = math.ceil(per_depth)
    if not isinstance(shape, StraightRibs):
        side = shape.longest_side
        n = _up(max(side / size, per_pocket) / 2)
        rows = shape.row_count // 2 if extent.half else shape.row_count
        cut = side / (2 * n) > size / end_refinement * (1 + 1e-9) and (shape.family == "hoop" or rows >= 3)
        return replace(start, around=n, depth=depth, ends=int(cut and end_refinement > 1))
    around = _up(max(shape.bay / size, per_pocket if shape.stringers is not None else 0.0))
    bays = extent.sector or shape.around
    around = max(around, math.ceil(math.ceil(3 * bays / shape.around) / bays))
    if extent.sector is not None and extent.cut == "between":
        around += around % 2
    pocket = _pocket(shape)
    along = size if pocket is None else min(size, _SLACK * pocket / per_pocket)
    panels = shape.rings.count + 1 if shape.rings is not None else 1
    layer = _END_LAYER * half_wave
    end = size / end_refinement
    ends = _up(layer / end) if end < along * (1 - 1e-9) else 0
    count = panels * _up(shape.panel / along)
    return replace(start, around=around, along=count, depth=depth, ends=ends, end_length=layer)


def _figures(
    shape: Shape, divisions: Divisions, half_wave: float, extent: Extent
) -> tuple[float, float, float | None, int | None, float]:
    """Elements per half-wave, the same at the ends, per pocket, per web depth; stretch."""
    if not isinstance(shape, StraightRibs):
        n = divisions.around
        size = shape.longest_side / (2 * n)
        end = shape.row / (4 * n) if divisions.ends else size
        return half_wave / size, half_wave / end, 2.0 * n, divisions.depth, shape.stretch
    x, _ = axial_stations(shape, divisions, extent.half)
    steps = np.diff(x)
    size = float(steps.max())
    end = float(steps[x[:-1] < 0.99 * min(divisions.layer(shape), shape.length / 2)].max())
    around = shape.bay / divisions.around
    pocket = _pocket(shape)
    per_pocket = None if pocket is None else pocket / size
    if shape.stringers is not None:
        per_pocket = min(per_pocket, float(divisions.around))
    depth = None if pocket is None else divisions.depth
    return half_wave / max(size, around), half_wave / end, per_pocket, depth, 1.0


def _pocket(shape: StraightRibs) -> float | None:
    """Shorter side of a pocket between ribs [m]."""
    sides = [shape.bay] if shape.stringers is not None else []
    if shape.rings is not None:
        sides.append(shape.panel)
    return min(sides, default=None)


def _up(number: float) -> int:
    return max(1, math.ceil(number - 1e-9))
