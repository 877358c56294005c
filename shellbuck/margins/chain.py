"""The chain: case -> walls -> loads -> factors -> margins -> verdict."""

from __future__ import annotations

from ..core.records import Check, LoadCaseResult, Result, Verdict, WallFigures
from ..io.language.case_file import CaseFile, as_case
from ..model import Case, GivenStiffness, LoadCase, PlainWall
from ..model.case import ring_spacing
from ..model.walls import weigh
from . import local, plain_wall, stiffened_wall
from .column import column
from .edges import edge_loads
from .knockdown import equivalent_thickness
from .prebuckled import with_edge_bending
from .ring_blades import ring_checks
from .rows import blank_row
from .state import Engines, Part, State
from .strength import strength_rows
from .validity import CAUTIONS, case_checks, not_covered, state_checks, unique
from .verdict import unchecked_modes, verdict
from .worked_modes import stiffness_lines


def assess(case: Case | CaseFile, *, edge_bending: bool = True) -> Result:
    """Margins of every load case and failure mode of a barrel.

    Parameters
    ----------
    case : Case or CaseFile
        Checked and in SI; of a file that was read, its case.
    edge_bending : bool
        False leaves out the nonlinear prebuckled loads of eccentric walls, for comparison with many designs at once:
        the general margins are then flagged "edge bending not checked".

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
    case = as_case(case)
    engines = Engines(case, edge_bending)
    wall = engines.wall(case.reference_temperature)
    checks = list(case_checks(case, wall))
    results = []
    for load in case.load_cases:
        state = State(case, load, engines)
        part = _load_case(state)
        found = [*part.checks, *state_checks(state, part)]
        checks += found
        results.append(_record(state, part, tuple(c for c in found if c.status != "passed")))
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
    return with_edge_bending(verdict(case, cases, validity, left), State(case, case.load_cases[0], engines), cases)


def _load_case(state: State) -> Part:
    """Every failure mode of one load case, in the order in which a reader looks for them."""
    pockets = local.pockets(state)
    withheld = _withheld(pockets)
    edges = Part() if withheld else edge_loads(state)
    general = _general(state, withheld) + edges + column(state)
    part = general + _panel(state, withheld) + pockets + local.ribs(state) + ring_checks(state)
    if not isinstance(state.case.wall, GivenStiffness):
        part += strength_rows(state)
    return part + _unchecked(state)


def _unchecked(state: State) -> Part:
    """Rows of the modes that the wall leaves open: no answer, so the barrel does not count as held."""
    note = "shellbuck cannot check it without dimensions; name where it was checked in [[checked_elsewhere]]"
    kinds = {"strength": "strength"}
    return Part(
        tuple(
            blank_row(state, mode, kinds.get(mode, "local"), status="not covered", note=note, demand=None)
            for mode in unchecked_modes(state.case)
        )
    )


def _general(state: State, withheld: str) -> Part:
    if isinstance(state.case.wall, PlainWall):
        return plain_wall.general(state)
    return stiffened_wall.general(state, withheld)


def _panel(state: State, withheld: str) -> Part:
    rings = getattr(state.case.wall, "rings", None)
    if rings is None:
        return Part()
    bay = ring_spacing(rings, state.L)
    if state.case.wall.stringers is None:
        return plain_wall.bare_bay(state, bay)
    return stiffened_wall.panel(state, bay, withheld)


def _withheld(pockets: Part) -> str:
    """Why loads on unbuckled stiffness are withheld: the skin between ribs buckles below the ultimate load."""
    for row in pockets.rows:
        if row.margin is not None and row.margin < 0:
            return (
                f"withheld: the {row.mode} buckles below the ultimate line load, and loads on unbuckled stiffness do "
                "not hold after that"
            )
    return ""


def _record(state: State, part: Part, warnings: tuple[Check, ...]) -> LoadCaseResult:
    load: LoadCase = state.load
    return LoadCaseResult(
        name=load.name,
        temperature=state.temperature,
        external_axial_force=state.P,
        bending_moment=load.bending_moment,
        axial_line_load=state.N_a,
        bending_line_load=state.N_b,
        pressure_minimum=load.p_min,
        pressure_maximum=load.p_max,
        relief=state.relief,
        ultimate_factor=load.factors.ultimate_factor,
        yield_factor=load.factors.yield_factor,
        factor_source=f"{load.factors.name}: {load.factors.source}",
        pressure_gain=part.pressure_gain,
        loads=part.loads,
        knockdowns=part.knockdowns,
        margins=part.rows,
        warnings=warnings,
        edge_bending=part.edge_bending,
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
        equivalent_thickness=equivalent_thickness(wall).value,
        mass_per_area=mass.per_area,
        mass=mass.total,
        mean_thickness=mass.mean_thickness,
        raw_to_finished=mass.raw_to_finished,
        rib_families=tuple(rib.name for rib in wall.ribs),
        worked=stiffness_lines(wall),
    )
