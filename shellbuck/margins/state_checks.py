"""Checks of one load case, beyond the margins themselves."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from ..core.records import Check, Load, MarginRow
from ..handbook import plain
from ..model.case import metals
from ..model.material import ROOM_TEMPERATURE, SAME_TEMPERATURE
from .findings import Story
from .keys import GENERAL
from .state import MOST_AMPLIFIED, SLENDER_BARREL, State

NEAR = 0.15
"""Two modes nearer than this before any factor may interact (practice)."""

_LEAST_CELLS_PER_HALF_WAVE = 2.0
_SMALL_MARGIN = 0.05
_ZERO_MARGIN = 0.005
"""Margins nearer to zero than half of their last printed digit are zero (own choice)."""


def state_checks(state: State, rows: Sequence[MarginRow], told: Story) -> Iterator[Check]:
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
    if load.around is not None:
        yield load.around.check(where, state.case.barrel.middle_radius)
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
    factors = load.factors
    if factors.on_buckling < factors.ultimate_factor:
        text = (
            f"the factor on buckling, {factors.on_buckling:g}, is below that on ultimate, {factors.ultimate_factor:g}"
        )
        yield Check("buckling-factor-low", "warned", text, where, factors.source)
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
    if state.further:
        yield Check(
            "closed-forms-only",
            "warned",
            f"{' and '.join(state.further)}: judged by closed forms and ratios; the spectra, edge effects and meshes "
            "shown are those of axial compression alone",
            where,
            "own rule",
        )
    yield from _ovalisation(state, where)
    yield from _two_metals(state, where)
    yield from _mode_checks(where, told.elastic)
    yield from _sway_checks(state, where, rows)
    yield from _cell_checks(state, where, rows, told.loads)
    for row in rows:
        yield from _row_checks(state, row)


def _sway_checks(state: State, where: str, rows: Sequence[MarginRow]) -> Iterator[Check]:
    """What is left of the torsion of hat stringers, and whether a mode twists them in shorter waves than counted."""
    hats = next((r for r in state.case.ribs if r.name == "stringers" and r.section.closed), None)
    if hats is None or hats.section.torsion_constant is not None:
        return
    rib = next(rib for rib in state.wall.ribs if rib.name == "stringers")
    skin, length = state.wall.skin, state.case.ring_bay or state.L
    kept = hats.section.torsion_on(skin.t, skin.E / (2 * (1 + skin.nu)) / rib.G)
    waves = {row.mode: row.basis.length / row.basis.m for row in rows if row.basis and row.basis.m}
    short = [f"{mode}: {wave:.3g} m" for mode, wave in waves.items() if wave < (1 - 1e-9) * length]
    text = (
        f"hat stringers twist with {rib.torsion / kept:.2f} of the torsion of a cell that keeps its shape, for "
        f"half-waves of {length:.3g} m"
    )
    if short:
        text += f"; overstated for the shorter half-waves of {', '.join(short)}: give torsion_constant"
    yield Check("cell-sway", "warned" if short else "passed", text, where, "own derivation")


def _ovalisation(state: State, where: str) -> Iterator[Check]:
    """Whether the moment exceeds that at which a very long plain tube flattens; no row judges it."""
    if not state.case.wall.plain or state.L / state.R <= SLENDER_BARREL or not state.M:
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


def _mode_checks(where: str, elastic: tuple[tuple[str, str, float], ...]) -> Iterator[Check]:
    """Modes that lie close together, and local ones below the general; `elastic` has (key, title, line load)."""
    for (_, one, N_1), (_, two, N_2) in itertools.combinations(elastic, 2):
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
    general = next(((title, N) for key, title, N in elastic if key == GENERAL), None)
    for key, mode, N in elastic:
        if general is not None and key != GENERAL and general[1] > N:
            yield Check(
                "local-below-general",
                "warned",
                f"{mode} is more critical than {general[0]} ({N / general[1]:.2f} of its load, before any factor)",
                where,
                "NASA SP-8007 Rev 2, 4.1.2.7.1",
            )


def _cell_checks(state: State, where: str, rows: Sequence[MarginRow], loads: Sequence[Load]) -> Iterator[Check]:
    """Spacings of ribs in a half-wave of the very mode on which general instability rests, else of the lowest."""
    if not state.wall.ribs:
        return
    bases = (row.basis for row in rows if row.key == GENERAL and row.basis is not None)
    general = [basis for basis in bases if basis.n is not None] or [
        ld for ld in loads if ld.mode == GENERAL and ld.n is not None and not ld.component
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
        f"a half-wave of general instability spans {cells:.1f} spacings of {name}; smeared theory requires at least "
        f"{_LEAST_CELLS_PER_HALF_WAVE:g}",
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
    if state.case.wall.plain and row.key == GENERAL:
        return "the standard's empirical terms for pressurised plain walls, which the net margin leaves out"
    return (
        "the axial relief p R/2 (statics, no empirical increment), which the total margin adds to the capacity of each "
        "load and the net margin takes off their sum"
    )
