"""The model's own refusals on arrays: (code, mask) of every rule, in the order in which the model looks.

A rule here is the rule of `model/` with the same code; tests compare both on random designs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from ...core.errors import Refusal
from ...model import Case, Orthogrid, PlainWall, TriangularGrid
from ...model.case import LEAST_RADIUS_TO_THICKNESS, metals, orthogrid_pocket_widths, ring_spacing, stringer_spacing
from ...model.checked import Whole
from ...model.loads import outside_pressures
from ...model.material import _FAMILY_E, moduli_agree
from ...model.plausible import most_blade_torsion, most_given_torsion, most_inertia
from .arrays import Metal, Varied

Found = tuple[str, np.ndarray]

IMPLAUSIBLE = "section-implausible"


def model_refusals(case: Case, varied: list[Varied]) -> Iterator[Found]:
    """What the model refuses; `case` is `arrays.arrayed`.

    Raises
    ------
    Refusal
        When the pattern itself is refused, e.g. a count and a spacing together.
    """
    for owner in (case.wall, getattr(case.wall, "stringers", None), getattr(case.wall, "rings", None)):
        if owner is not None and (problems := list(owner.cross_problems())):
            raise Refusal(problems)
    for v in varied:
        yield from _range(v)
    yield from _metal(case)
    yield from _skin(case)
    for load in case.load_cases:
        yield from _load(case, load)
    yield from _wall(case)


def _range(v: Varied) -> Iterator[Found]:
    values = np.asarray(v.values, dtype=float)
    yield "value-kind", np.isnan(values)
    if isinstance(v.mark, Whole):
        yield "value-kind", np.isfinite(values) & (values != np.round(values))
    yield "value-range", ~((values >= v.mark.low) & (values <= v.mark.high)) | np.isinf(values)


def _metal(case: Case) -> Iterator[Found]:
    for _, material in metals(case.material, case.wall):
        low, high = _FAMILY_E.get(material.family or "", (5e9, 500e9))
        for point in material.points:
            yield "strength-order", np.less(point.ultimate, point.tension_yield)
            if point.compression_yield is not None and not isinstance(point.compression_yield, str):
                yield "strength-order", np.greater(point.compression_yield, point.ultimate)
            if point.compression_modulus is not None:
                yield "modulus-implausible", ~np.asarray(moduli_agree(point.compression_modulus, point.youngs_modulus))
            for E in (point.youngs_modulus, point.compression_modulus):
                if E is not None:
                    yield "modulus-implausible", ~(np.greater_equal(E, low) & np.less_equal(E, high))


def _skin(case: Case) -> Iterator[Found]:
    barrel = case.barrel
    yield "skin-thickness-order", np.greater(barrel.skin_thickness_minimum, barrel.skin_thickness)
    for ring in barrel.single_rings:
        yield "ring-outside", np.greater(ring.station, barrel.length)
    if isinstance(barrel.load_height, float | int):
        yield "load-height-far", np.greater(abs(barrel.load_height), barrel.radius / 5)
    yield "radius-to-thickness-low", barrel.middle_radius / case.stability_thickness < LEAST_RADIUS_TO_THICKNESS


def _load(case: Case, load) -> Iterator[Found]:
    low, high = load.p_min, load.pressure_maximum
    most = np.maximum(0.0 if high is None else high, low)
    includes, stated = load.axial_force_includes_thrust, load.thrust_pressure is not None
    yield "external-pressure", np.less(low, 0)
    if high is not None:
        yield "pressure-order", np.less(high, low) & np.greater_equal(low, 0)
    else:
        yield "pressure-maximum-missing", np.greater(low, 0)
    if includes and not stated:
        yield "thrust-pressure-missing", np.not_equal(low, most)
    if stated and not includes:
        yield "thrust-pressure-idle", np.array(True)
    elif stated:
        yield "thrust-pressure-outside", outside_pressures(load.thrust_pressure, low, most)
    if case.barrel.closed and includes is None:
        yield "thrust-unstated", np.greater(most, 0)
    for _, material in metals(case.material, case.wall):
        yield "temperature-outside-data", ~Metal(material).covers(load.temperature)


def _wall(case: Case) -> Iterator[Found]:
    wall, R, L = case.wall, case.barrel.middle_radius, case.barrel.length
    if isinstance(wall, PlainWall):
        return
    if isinstance(wall, TriangularGrid):
        h = wall.height(R)
        yield "ribs-overlap", np.greater_equal(wall.rib_thickness, 2 * h / 3)
        yield "grid-too-coarse", np.greater(h, np.minimum(L, math.pi * R / 3))
        yield "ribs-too-deep", np.greater(wall.rib_depth, 0.2 * R)
        if wall.torsion_constant is not None:
            most = most_blade_torsion(wall.rib_depth, wall.rib_thickness)
            yield IMPLAUSIBLE, np.greater(wall.torsion_constant, most)
        yield from _corner(wall, wall.pocket_radius(R))
        return
    if isinstance(wall, Orthogrid):
        yield from _corner(wall, np.minimum(*orthogrid_pocket_widths(wall, R, L)) / 2)
    for family, axial in ((wall.stringers, True), (wall.rings, False)):
        if family is None:
            continue
        spacing = stringer_spacing(family, R) if axial else ring_spacing(family, L)
        yield "spacing-too-wide", np.greater(spacing, math.pi * R / 3 if axial else L / 2 * (1 + 1e-9))
        if family.section == "blade":
            yield "ribs-overlap", np.greater_equal(family.thickness, spacing)
        offset = family.depth if family.section == "blade" else family.eccentricity
        yield "ribs-too-deep", np.greater(offset, 0.2 * R)
        if family.section == "blade":
            most = most_blade_torsion(family.depth, family.thickness)
        else:
            yield IMPLAUSIBLE, np.greater(family.inertia, most_inertia(family.area, R))
            most = most_given_torsion(family.area, family.inertia, family.eccentricity)
        if family.torsion_constant is not None:
            yield IMPLAUSIBLE, np.greater(family.torsion_constant, most)


def _corner(wall, room) -> Iterator[Found]:
    if wall.corner_radius is not None:
        yield "corner-radius-too-large", np.greater(wall.corner_radius, np.maximum(room, 0.0))
