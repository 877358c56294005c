"""The validity list: what was checked about the case, beyond the margins themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..core.records import Check, LoadCaseResult, MarginRow
from ..handbook import plain
from ..model import Case
from ..model.case import metals
from ..model.walls import SmearedWall
from .modes.plain import LONG_RATIO, SHORT_RATIO
from .plasticity import hardening_checks

_LEAST_TESTED_RATIO = 80.0
_RING_PARAMETER = 0.3
_NOT_WHOLE = 0.01
_MOST_NAMED, _FEW_NAMED = 24, 6
"""Of more load cases than this a check names a few."""


NOT_MESHED = "check by a shell mesh: not checked by mesh"


def case_checks(case: Case, wall: SmearedWall) -> Iterator[Check]:
    """Checks that do not depend on a load case."""
    yield from _geometry_checks(case)
    if case.wall.caution:
        headline = f"{case.wall.kind}: for comparing, not for certifying"
        yield Check("comparing-only", "warned", case.wall.caution, "wall", "own rule", headline)
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
    yield from hardening_checks(case)
    for ribs in case.ribs:
        for key, doubt in ribs.section.doubts():
            yield Check("section-doubtful", "warned", f"{ribs.name}: {doubt}", ribs.key(key), "own rule")
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
                if low or not case.wall.plain
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
    for fit in case.wall.fits(case.barrel.middle_radius, case.barrel.length):
        whole = max(round(fit.count), 1)
        good = abs(fit.count - whole) <= _NOT_WHOLE
        yield Check(
            "pattern-fit",
            "passed" if good else "warned",
            f"{fit.what}: {whole} {fit.unit} {fit.where}"
            if good
            else f"{fit.what}: {fit.count:.2f} {fit.unit} {fit.where} is not a whole number; the nearest is {whole}",
            "wall",
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
        "loads on a line or ring, uneven pressure around the barrel",
        "ovalisation of a long tube"
        if case.barrel.edge_strength
        else "stress of bulging and bending at a held edge under axial load and pressure (edge_strength in [barrel] "
        "judges it beside named edges); ovalisation of a long tube",
        "bending where weld lands meet the skin, circumferential welds; no engine has the lands in its wall"
        if case.barrel.weld_lands
        else "weld lands and welded strength",
        "buckling by restrained thermal stress, mismatch of two metals, thermal stress of stringers and at edges"
        if any(load.thermal for load in case.load_cases)
        else "restrained thermal stress (temperature selects properties only; [load_cases.thermal] adds it to "
        "strength)",
        "creep, fatigue, fracture, dynamics, domes, cut-outs, joints",
    ]
    if any(load.factors.proof_factor or load.factors.burst_factor for load in case.load_cases):
        items.append("proof and burst pressure of weld lands and near held edges")
    if case.policy.post_buckled_skin is not None:
        items.append(
            "of post-buckled skin: bending stress in its buckles, tension on its joints, diagonal tension, stress of "
            "rings that support it"
        )
    return (*items, *case.wall.not_covered)


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
        where = "every load case" if len(places) == load_cases > 1 else "; ".join(places)
        if len(places) > _MOST_NAMED and where[:5] != "every":
            where = f"{'; '.join(places[:_FEW_NAMED])}; and {len(places) - _FEW_NAMED} more of {load_cases} load cases"
        found.append(replace(group[0], where=where))
    order = {"refused": 0, "warned": 1, "passed": 2}
    return tuple(sorted(found, key=lambda c: order[c.status]))


def smallest(cases: tuple[LoadCaseResult, ...]) -> MarginRow | None:
    """The row with the smallest margin."""
    rows = [row for case in cases for row in case.margins if row.margin is not None]
    return min(rows, key=lambda row: row.margin, default=None)
