"""The chain: case -> walls -> loads -> factors -> margins -> verdict."""

from __future__ import annotations

from ..errors import EXIT_HOLDS, EXIT_NEGATIVE_MARGIN, EXIT_REFUSED
from ..model import Case, GivenStiffness, LoadCase, PlainWall
from ..model.case import ring_spacing
from ..records import UNKNOWN, Check, LoadCaseResult, MarginRow, Result, Verdict, WallFigures, shown_margin
from ..walls import weigh
from . import local, plain_wall, stiffened_wall
from .column import column
from .edges import edge_loads
from .knockdown import equivalent_thickness
from .state import Engines, Part, State
from .strength import strength_rows
from .validity import CAUTIONS, case_checks, not_covered, smallest, state_checks, unique


def assess(case: Case) -> Result:
    """Margins of every load case and failure mode of a barrel.

    Parameters
    ----------
    case : Case
        Checked and in SI.

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
    engines = Engines(case)
    wall = engines.wall(case.reference_temperature)
    checks = list(case_checks(case, wall))
    results = []
    for load in case.load_cases:
        state = State(case, load, engines)
        part = _load_case(state)
        found = [*part.checks, *state_checks(state, part)]
        checks += found
        results.append(_record(state, part, tuple(c for c in found if c.status != "passed")))
    cases = tuple(results)
    return Result(
        verdict=_verdict(cases, checks), wall=_figures(case, engines), load_cases=cases,
        validity=unique(checks, len(cases)),
        departures=case.policy.reasons(), not_covered=not_covered(case), cautions=CAUTIONS,
    )  # fmt: skip


def _load_case(state: State) -> Part:
    """Every failure mode of one load case, in the order in which a reader looks for them."""
    pockets = local.pockets(state)
    withheld = _withheld(pockets)
    edges = Part() if withheld else edge_loads(state)
    general = _general(state, withheld) + edges + column(state)
    part = general + _panel(state, withheld) + pockets + local.ribs(state)
    return part if isinstance(state.case.wall, GivenStiffness) else part + strength_rows(state)


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
        name=load.name, temperature=state.temperature, external_axial_force=state.P,
        bending_moment=load.bending_moment, axial_line_load=state.N_a, bending_line_load=state.N_b,
        pressure_minimum=load.p_min, pressure_maximum=load.p_max, relief=state.relief,
        ultimate_factor=load.factors.ultimate_factor, yield_factor=load.factors.yield_factor,
        factor_source=f"{load.factors.name}: {load.factors.source}", pressure_gain=part.pressure_gain,
        loads=part.loads, knockdowns=part.knockdowns, margins=part.rows, warnings=warnings,
    )  # fmt: skip


def _figures(case: Case, engines: Engines) -> WallFigures:
    wall, mass, barrel = engines.wall(case.reference_temperature), weigh(case), case.barrel
    rows = {k: tuple(tuple(float(x) for x in r) for r in getattr(wall, k)) for k in "ABD"}
    return WallFigures(
        kind=case.wall.kind, temperature=case.reference_temperature,
        middle_radius=barrel.middle_radius, length=barrel.length,
        skin_thickness=barrel.skin_thickness, stability_thickness=case.stability_thickness, **rows,
        equivalent_thickness=equivalent_thickness(wall).value, mass_per_area=mass.per_area, mass=mass.total,
        mean_thickness=mass.mean_thickness, raw_to_finished=mass.raw_to_finished,
    )  # fmt: skip


def _verdict(cases: tuple[LoadCaseResult, ...], checks: list[Check]) -> Verdict:
    least = smallest(cases)
    rows: list[MarginRow] = [row for case in cases for row in case.margins]
    refused = [row for row in rows if row.status == "refused"]
    failing = [row for row in rows if row.status == "fails"]
    tail, signs = "", ""
    if any(c.code == "signs-differ" for c in checks):
        signs = "; where total and net margin differ in sign it rests on the credit for pressure"
    if least is not None:
        tail = f"smallest margin {shown_margin(least.margin)} ({least.mode}, load case {least.load_case})"
    unknown = least is None or any(row.status in UNKNOWN for row in rows)
    common = dict(
        smallest_margin=None if unknown else least.margin,
        governing_load_case=None if unknown else least.load_case,
        governing_mode=None if unknown else least.mode,
    )
    if unknown:
        tail = tail.replace("smallest margin", "smallest of the other margins", 1)
    if refused:
        mode = refused[0].mode
        text = f"refused: {mode} has no margin ({refused[0].note.removeprefix(f'{mode}: ')})"
        return Verdict(EXIT_REFUSED, "refused", "; ".join(filter(None, (text, tail))) + signs, **common)
    if failing:
        count = f"{len(failing)} of {len(rows)} margins negative"
        return Verdict(EXIT_NEGATIVE_MARGIN, "does not hold", f"does not hold: {count}; {tail}{signs}", **common)
    if least is None:
        return Verdict(EXIT_HOLDS, "holds", "holds: nothing is loaded", **common)
    return Verdict(EXIT_HOLDS, "holds", f"holds: {tail}{signs}", **common)
