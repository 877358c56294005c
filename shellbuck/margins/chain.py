"""The chain: case -> walls -> loads -> factors -> margins -> verdict."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

import numpy as np

from ..core.records import Check, LoadCaseResult, MarginRow, Result, Verdict, WallFigures
from ..io.language.case_file import CaseFile, as_case
from ..model import Case
from ..model.allowables import with_allowables
from ..model.walls import weigh
from .edges import edge_loads
from .engines import Engines
from .findings import Findings, Story
from .keys import GENERAL
from .knockdown import equivalent_thickness
from .many import MOST_IN_FULL, chosen, numbers
from .modes import MODES
from .modes.ribs import ring_checks
from .post_buckled import acting
from .prebuckled import with_edge_bending
from .screens import compared
from .state import State
from .state_checks import state_checks
from .validity import CAUTIONS, case_checks, not_covered, unique
from .verdict import verdict
from .worked_modes import stiffness_lines


def assess(case: Case | CaseFile, *, edge_bending: bool = True, full: Collection[str] | None = ()) -> Result:
    """Margins of every load case and failure mode of a barrel.

    Beyond `many.MOST_IN_FULL` load cases the margins of all are worked out as arrays, and in full only those that
    decide: the smallest margin and the smallest of each kind of mode.

    Parameters
    ----------
    case : Case or CaseFile
        Checked and in SI; of a file that was read, its case.
    edge_bending : bool
        False leaves out the nonlinear prebuckled loads of eccentric walls, for comparison with many designs at once:
        the general margins are then flagged "edge bending not checked".
    full : collection of str or None
        Names of load cases that are worked out in full whatever their number; None for all.

    Returns
    -------
    Result
        Frozen record: verdict, wall, loads, knockdowns, margins, validity list, what is not covered, cautions.

    Raises
    ------
    Refusal
        For an indefinite stiffness or one that couples shear with stretching.
    Incomplete
        When the lowest mode could not be proved.
    """
    case = with_allowables(as_case(case))
    engines = Engines(case, edge_bending)
    checks = list(case_checks(case, engines.wall(case.reference_temperature)))
    results = []
    for result, found in _load_cases(case, engines, full):
        results.append(result)
        checks += found
    cases, validity, left = tuple(results), unique(checks, len(results)), not_covered(case)
    return Result(
        verdict=concluded(case, engines, cases, validity, len(left)),
        wall=_figures(case, engines),
        load_cases=cases,
        validity=validity,
        departures=case.policy.reasons(),
        not_covered=left,
        cautions=CAUTIONS,
    )


def concluded(
    case: Case, engines: Engines, cases: tuple[LoadCaseResult, ...], validity: tuple[Check, ...], left: int
) -> Verdict:
    """The verdict, with what it says about edge bending; `left` counts the effects listed as not covered."""
    found = verdict(case, cases, validity, left)
    if brief := sum(not one.in_full for one in cases):
        words = f"{brief} of {len(cases)} load cases in numbers only, without the checks of their modes"
        found = replace(found, text=f"{found.text}; {words}")
    return with_edge_bending(found, State(case, case.load_cases[0], engines), cases)


def found_rows(state: State) -> Findings:
    """The rows of every failure mode of a load case, of one design or of many."""
    found = Findings(state)
    with np.errstate(all="ignore"):  # a branch that does not count may divide by anything
        for mode in sorted(MODES, key=lambda mode: mode.order):
            if mode.applies(state.case):
                found.rows += ((mode, row) for row in mode.rows(state, found))
    found.rows.sort(key=lambda row: row[0].place)
    return found


def _load_cases(
    case: Case, engines: Engines, full: Collection[str] | None
) -> Iterator[tuple[LoadCaseResult, list[Check]]]:
    """Records and checks of every load case; of many in full only those that decide or are asked for."""
    # stress near held edges and of plies is worked out for one state at a time
    alone = case.barrel.edge_strength or case.wall.layered
    if full is None or len(case.load_cases) <= MOST_IN_FULL or alone:
        yield from (_load_case(State(case, load, engines)) for load in case.load_cases)
        return
    found = numbers(case, engines, found_rows)
    names = chosen(found, full)
    words = {one.load.name: _load_case(State(case, one.load, engines)) for one in found if one.load.name in names}
    like = {row.mode: row for result, _ in words.values() for row in result.margins}
    for one in found:
        if one.load.name in words:
            yield words[one.load.name]
            continue
        state = State(case, one.load, engines)
        rows = one.rows(state, like)
        checks = list(one.checks(state, rows))
        warnings = tuple(check for check in checks if check.status != "passed")
        told = Story(edge_bending=one.edge_bending)
        yield replace(_record(state, rows, told, warnings), in_full=False), checks


def _load_case(state: State) -> tuple[LoadCaseResult, list[Check]]:
    """Record and checks of a load case of a single design."""
    found = found_rows(state)
    rows: list[MarginRow] = []
    told = Story()
    for mode, row in found.rows:
        story = row.story()
        rows.append(row.record(state, mode, story))
        told = _joined(told, _signed(story, mode.key))
        if mode.key == GENERAL and not found.skin_buckles and acting(state) is None:
            told = _joined(told, edge_loads(state))
    told = told.more(checks=ring_checks(state))
    beside, more = compared(state, rows)
    checks = [*told.checks, *state_checks(state, rows, told), *more]
    record = _record(state, tuple(rows), told, tuple(c for c in checks if c.status != "passed"))
    return replace(record, comparisons=beside), checks


def _signed(story: Story, key: str) -> Story:
    """A story whose loads and comparisons name the mode; a load on the nonlinear path belongs to the edges."""
    loads = tuple(load if load.path is not None else replace(load, mode=key) for load in story.loads)
    return replace(story, loads=loads, elastic=tuple((key, *one) for one in story.elastic))


def _joined(one: Story, other: Story) -> Story:
    """What both say; fields of rows left out."""
    return one.more(
        checks=other.checks,
        loads=other.loads,
        knockdowns=other.knockdowns,
        elastic=other.elastic,
        pressure_gain=one.pressure_gain if other.pressure_gain is None else other.pressure_gain,
        edge_bending=one.edge_bending or other.edge_bending,
    )


def _record(state: State, rows: tuple[MarginRow, ...], told: Story, warnings: tuple[Check, ...]) -> LoadCaseResult:
    load = state.load
    return LoadCaseResult(
        name=load.name,
        temperature=state.temperature,
        components=state.components,
        pressure_minimum=load.p_min,
        pressure_maximum=load.p_max,
        relief=float(state.relief),
        ultimate_factor=load.factors.ultimate_factor,
        yield_factor=load.factors.yield_factor,
        buckling_factor=load.factors.on_buckling,
        factor_source=f"{load.factors.name}: {load.factors.source}",
        pressure_gain=told.pressure_gain,
        loads=told.loads,
        knockdowns=told.knockdowns,
        margins=rows,
        warnings=warnings,
        edge_bending=told.edge_bending,
    )


def _figures(case: Case, engines: Engines) -> WallFigures:
    wall, mass, barrel = engines.wall(case.reference_temperature), weigh(case), case.barrel
    rows = {k: tuple(tuple(float(x) for x in r) for r in getattr(wall, k)) for k in "ABD"}
    return WallFigures(
        kind=case.wall.kind,
        temperature=case.reference_temperature,
        middle_radius=barrel.middle_radius,
        length=barrel.length,
        skin_thickness=barrel.skin_thickness,
        stability_thickness=case.stability_thickness,
        **rows,
        equivalent_thickness=float(equivalent_thickness(wall)),
        mass_per_area=mass.per_area,
        mass=mass.total,
        mean_thickness=mass.mean_thickness,
        raw_to_finished=mass.raw_to_finished,
        rib_families=tuple(rib.name for rib in wall.ribs),
        worked=stiffness_lines(wall),
    )
