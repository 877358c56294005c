"""The validity list: what was checked about the case, beyond the margins themselves."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

from ..core.records import Check, LoadCaseResult, MarginRow
from ..handbook import plain
from ..model import Case, Orthogrid, PlainWall, StiffenedWall, TriangularGrid
from ..model.case import metals, ring_spacing, stringer_spacing
from ..model.material import ROOM_TEMPERATURE, SAME_TEMPERATURE
from ..model.walls import SmearedWall
from .plain_wall import LONG_RATIO, SHORT_RATIO
from .state import MOST_AMPLIFIED, SLENDER_BARREL, Part, State

NEAR = 0.15
"""Two modes nearer than this before any factor may interact (practice)."""

_LEAST_TESTED_RATIO = 80.0
_LEAST_CELLS_PER_HALF_WAVE = 2.0
_RING_PARAMETER = 0.3
_SMALL_MARGIN = 0.05
_NOT_WHOLE = 0.01
_ZERO_MARGIN = 0.005
"""Margins nearer to zero than half of their last printed digit are zero (own choice)."""


NOT_MESHED = "check by a shell mesh: not checked by mesh"


def case_checks(case: Case, wall: SmearedWall) -> Iterator[Check]:
    """Checks that do not depend on a load case."""
    yield from _geometry_checks(case)
    if case.policy.stability_thickness == "nominal":
        yield Check(
            "nominal-thickness",
            "warned",
            "stability uses the NOMINAL skin thickness, by request",
            "policy.stability_thickness",
            "own rule: the minimum is the default",
        )
    for what, reason in case.policy.reasons():
        yield Check("departure", "warned", f"{what}; reason given: {reason}", "policy")
    if case.material is not None and case.material.library:
        yield Check(
            "typical-properties",
            "warned",
            f"{case.material.name}: library values are typical values, not allowables",
            "material",
            case.material.source,
        )
    for where, metal in metals(case.material, case.wall):
        if caution := metal.yield_caution:
            yield Check(
                "compression-yield-as-tension",
                "warned",
                f"{metal.name}: {caution}",
                where,
                "own rule: a compressive yield is given or chosen",
            )
    yield from _fit_checks(case)
    ring = next((r for r in wall.ribs if r.name == "rings"), None)
    if ring is not None:
        ratio = ring.area / (ring.spacing * wall.skin.t)
        yield Check(
            "ring-area",
            "passed" if ratio >= _RING_PARAMETER else "warned",
            f"ring area parameter A_r/(b_r t) = {ratio:.3g}; below {_RING_PARAMETER:g} tests agree less well",
            "wall.rings",
            "NASA SP-8007 Rev 2, 4.1.2.1",
        )


def _geometry_checks(case: Case) -> Iterator[Check]:
    R, L = case.barrel.middle_radius, case.barrel.length
    if case.stability_thickness is not None:
        ratio = R / case.stability_thickness
        low = ratio < _LEAST_TESTED_RATIO
        yield Check(
            "radius-to-thickness",
            "warned" if low else "passed",
            f"R/t = {ratio:.1f} on the skin that decides stability; the tests behind the factors start at "
            f"{_LEAST_TESTED_RATIO:g}"
            + (
                ""
                if low or not isinstance(case.wall, PlainWall)
                else f", the plain-wall factor ends at {plain.MOST_RADIUS_TO_THICKNESS:g}"
            ),
            "barrel",
            "NASA SP-8007 Rev 2, 2.5.1",
        )
    outside = not SHORT_RATIO <= L / R <= LONG_RATIO
    yield Check(
        "length-to-radius",
        "warned" if outside else "passed",
        f"L/R = {L / R:.2f}; the tests behind the factors cover {SHORT_RATIO:g} to {LONG_RATIO:g}",
        "barrel.length",
        "NASA SP-8007 Rev 2, 2.5.1",
    )


def _fit_checks(case: Case) -> Iterator[Check]:
    """Whether a spacing closes around the circumference or divides the length."""
    wall, R, L = case.wall, case.barrel.middle_radius, case.barrel.length
    around = 2 * math.pi * R
    if isinstance(wall, TriangularGrid):
        h = wall.height(R)
        side = 2 * h / math.sqrt(3)
        pitch, row = (side, h) if wall.family == "hoop" else (2 * h, side / 2)
        names = ("triangle sides", "rows of triangles") if wall.family == "hoop" else ("column pairs", "half sides")
        yield _fit("grid", names[0], around / pitch, "around", "wall")
        yield _fit("grid", names[1], L / row, "over the length", "wall")
    elif isinstance(wall, StiffenedWall | Orthogrid):
        if wall.stringers is not None:
            yield _fit("stringers", "stringers", around / stringer_spacing(wall.stringers, R), "around", "wall")
        if wall.rings is not None:
            yield _fit("rings", "ring bays", L / ring_spacing(wall.rings, L), "over the length", "wall")


def _fit(what: str, unit: str, count: float, where: str, key: str) -> Check:
    whole = max(round(count), 1)
    good = abs(count - whole) <= _NOT_WHOLE
    return Check(
        "pattern-fit",
        "passed" if good else "warned",
        f"{what}: {whole} {unit} {where}"
        if good
        else f"{what}: {count:.2f} {unit} {where} is not a whole number; the nearest is {whole}",
        key,
    )


def state_checks(state: State, part: Part) -> Iterator[Check]:
    """Checks of one load case."""
    load = state.load
    where = load.name
    if load.pressure_minimum is None:
        yield Check(
            "pressure-minimum-missing",
            "warned",
            "minimum pressure missing: taken as 0; maximum pressure is never used for stability",
            where,
        )
    if load.temperature is not None and state.case.material is not None:
        first = state.case.material.points[0].temperature
        if load.temperature < first - 10:
            yield Check(
                "clamped-below-range",
                "warned",
                f"{load.temperature:g} K lies below the range of the data; values of {first:g} K are used "
                "(colder is usually stronger)",
                where,
                "common practice",
            )
    if state.N_a < 0:
        yield Check(
            "axial-tension",
            "warned",
            "the axial force without thrust is a tension; it relieves bending unfactored and held fixed",
            where,
            "NASA SP-8007 Rev 2, 3.0 (stabilising loads carry no factor)",
        )
    grown = state.amplification(state.factor)
    if grown > 1 and state.M:
        yield Check(
            "moment-amplified",
            "warned",
            f"L/R beyond {SLENDER_BARREL:g}: the factored axial force amplifies the bending moment by {grown:.4g} "
            "(1/cos form of the pinned column)"
            if grown < MOST_AMPLIFIED
            else f"L/R beyond {SLENDER_BARREL:g}: the factored axial force reaches the column load; no moment is "
            "carried",
            where,
            "common practice",
        )
    yield from _ovalisation(state, where)
    yield from _two_metals(state, where)
    yield from _mode_checks(where, part.elastic)
    yield from _cell_checks(state, where, part)
    for row in part.rows:
        yield from _row_checks(state, row)


def _ovalisation(state: State, where: str) -> Iterator[Check]:
    """Whether the moment exceeds that at which a very long plain tube flattens; no row judges it."""
    if not isinstance(state.case.wall, PlainWall) or state.L / state.R <= SLENDER_BARREL or not state.M:
        return
    skin = state.wall.skin
    most = float(plain.ovalisation_moment(skin.E, skin.nu, state.t, state.R))
    factored = state.factor * state.M * state.amplification(state.factor)
    beyond = factored > most
    yield Check(
        "ovalisation",
        "warned" if beyond else "passed",
        f"the factored moment is {factored / most:.3g} of the collapse moment of a very long tube that flattens "
        "(perfect tube, ends without effect); no row judges it",
        where,
        "NASA SP-8007 Rev 2, Eq 16",
        headline="the factored moment exceeds the ovalisation moment of a long tube" if beyond else "",
    )


def _two_metals(state: State, where: str) -> Iterator[Check]:
    """Whether two metals meet at another temperature than room: their mismatch is not computed."""
    if len(metals(state.case.material, state.case.wall)) < 2 or state.load.temperature is None:
        return
    if abs(state.load.temperature - ROOM_TEMPERATURE) > SAME_TEMPERATURE:
        yield Check(
            "thermal-mismatch",
            "warned",
            f"skin and ribs of different metals at {state.load.temperature:g} K: the stress of their different "
            "expansion is not computed",
            where,
            "own rule",
            headline="thermal stress of two metals not checked",
        )


def _mode_checks(where: str, elastic: tuple[tuple[str, float], ...]) -> Iterator[Check]:
    for (one, N_1), (two, N_2) in itertools.combinations(elastic, 2):
        apart = abs(N_1 - N_2) / min(N_1, N_2)
        if apart <= NEAR:
            yield Check(
                "mode-interaction",
                "warned",
                f"{one} and {two} lie within {100 * apart:.0f} % of each other before any "
                "factor; they may interact and lower the load",
                where,
                "common practice: 15 %",
            )
    general = next((N for mode, N in elastic if mode == "general instability"), None)
    for mode, N in elastic:
        if general is not None and mode != "general instability" and general > N:
            yield Check(
                "local-below-general",
                "warned",
                f"{mode} comes before general instability ({N / general:.2f} of it, before any factor)",
                where,
                "NASA SP-8007 Rev 2, 4.1.2.7.1",
            )


def _cell_checks(state: State, where: str, part: Part) -> Iterator[Check]:
    """Spacings of ribs in a half-wave of the very mode on which general instability rests, else of the lowest."""
    if not state.wall.ribs:
        return
    bases = (row.basis for row in part.rows if row.mode == "general instability" and row.basis is not None)
    general = [basis for basis in bases if basis.n is not None] or [
        ld for ld in part.loads if ld.name.startswith("general instability") and ld.n is not None
    ]
    if not general:  # withheld
        return
    lowest = min(general, key=lambda ld: ld.line_load)
    # a mode on the nonlinear path has no one number of half-waves along the axis
    axial = math.inf if lowest.m is None else state.L / lowest.m
    hoop = math.inf if lowest.n == 0 else math.pi * state.R / lowest.n
    spacings = {
        r.name: (axial if r.name == "rings" else hoop if r.name == "stringers" else min(axial, hoop)) / r.spacing
        for r in state.wall.ribs
    }
    name, cells = min(spacings.items(), key=lambda item: item[1])
    few = cells < _LEAST_CELLS_PER_HALF_WAVE
    yield Check(
        "cells-per-wave",
        "warned" if few else "passed",
        f"a half-wave of general instability holds {cells:.1f} spacings of {name}; smeared theory wants "
        f"{_LEAST_CELLS_PER_HALF_WAVE:g} or more",
        where,
        "own rule",
        headline=f"fewer than two {name} to a half-wave of general instability" if few else "",
    )


def _row_checks(state: State, row: MarginRow) -> Iterator[Check]:
    where = state.load.name
    if row.net_note:
        text = f"{row.mode}: the wall is in net tension at its factored load"
        yield Check("net-tension", "warned", text, where)
    if _signs_differ(row):
        yield Check(
            "signs-differ",
            "warned",
            f"{row.mode}: total and net margin differ in sign; the verdict rests on the credit for pressure: "
            f"{_credit(state, row)}",
            where,
            "own rule",
            headline="where total and net margin differ in sign it rests on the credit for pressure",
        )
    if row.margin is not None and abs(row.margin) < _SMALL_MARGIN:
        yield Check("small-margin", "warned", f"{row.mode}: margin within {_SMALL_MARGIN:g} of zero", where)


def _signs_differ(row: MarginRow) -> bool:
    """Whether one margin holds and the other does not, by more than both are zero to the last printed digit."""
    if row.margin is None or row.net_margin is None or (row.margin < 0) == (row.net_margin < 0):
        return False
    return max(abs(row.margin), abs(row.net_margin)) >= _ZERO_MARGIN


def _credit(state: State, row: MarginRow) -> str:
    """What pressure is credited with in the total margin of a row, and how the net margin counts it."""
    if isinstance(state.case.wall, PlainWall) and row.mode == "general instability":
        return "the standard's empirical terms for pressurised plain walls, which the net margin leaves out"
    return (
        "the axial relief p R/2 (statics, no empirical increment), which the total margin adds to the capacity of each "
        "load and the net margin takes off their sum"
    )


def not_covered(case: Case) -> tuple[str, ...]:
    """Failure modes and effects that the analysis names and does not cover."""
    items = [
        "strength, stiffness demand and mass of edge springs and single rings"
        if case.barrel.edges
        else "clamped edges, and the bending near held edges but in the general load of walls with ribs on one side "
        "(the classical load is simply supported; name the edges "
        "in [barrel] to see their effect), elastic supports",
        NOT_MESHED,
        "external pressure, torsion, shear force",
        "plastic buckling: loads beyond compressive yield are refused or cut off",
        "bulging at a held edge under axial load and pressure; ovalisation of a long tube",
        "weld lands and welded strength",
        "restrained thermal stress (temperature selects properties only)",
        "creep, fatigue, fracture, dynamics, domes, cut-outs, joints",
    ]
    wall = case.wall
    if isinstance(wall, StiffenedWall | Orthogrid):
        items.append("rolling (torsional) instability and column failure of single stringers; ring adequacy")
    if isinstance(wall, TriangularGrid):
        items.append("pockets with the rotational hold of their ribs; flanged ribs")
    return tuple(items)


CAUTIONS = (
    "Preliminary design aid, not certification: an independent check by a licensed practice and the governing code "
    "decide.",
    "The bifurcation load of a perfect shell is an upper-side estimate of what a real shell carries.",
    "Knockdown factors are empirical; they are no lower bound and hold only in the range of the tests behind them.",
    "Pressure is credited at its minimum and held fixed; loss of pressure is a load case of its own.",
    "Where buckling drives the design, test it or use a validated nonlinear analysis with measured imperfections.",
    "Library properties are typical values, not design allowables.",
)


def unique(checks: list[Check], load_cases: int) -> tuple[Check, ...]:
    """Checks without repeats: refused first, then warned, then passed, otherwise in order.

    The same finding in several load cases becomes one line that names them.
    """
    merged: dict[tuple[str, str, str], list[Check]] = {}
    for check in dict.fromkeys(checks):
        merged.setdefault((check.status, check.code, check.text), []).append(check)
    found = []
    for group in merged.values():
        places = list(dict.fromkeys(c.where for c in group))
        every = len(places) == load_cases > 1
        found.append(replace(group[0], where="every load case" if every else "; ".join(places)))
    order = {"refused": 0, "warned": 1, "passed": 2}
    return tuple(sorted(found, key=lambda c: order[c.status]))


def smallest(cases: tuple[LoadCaseResult, ...]) -> MarginRow | None:
    """The row with the smallest margin."""
    rows = [row for case in cases for row in case.margins if row.margin is not None]
    return min(rows, key=lambda row: row.margin, default=None)
