"""Yield and ultimate of skin and ribs near held edges, where the case asks that their bending is judged."""

from __future__ import annotations

from collections.abc import Iterator

from ...core.records import Check
from ...handbook import strength, work
from ...model import Case
from ..edge_stress import SOURCE, EdgeStress, edge_stresses
from ..findings import Findings, Row, Story
from ..membrane import LEAST_STRESS
from ..state import State
from .mode import FailureMode

EQUATION = "elastic stress of the nonlinear state before buckling at the factored loads"


def rows(s: State, _: Findings) -> Iterator[Row]:
    """Skin, then ribs with known dimensions, in their worst state, station and fibre."""
    for found in edge_stresses(s):
        loaded = found.stress is None or found.stress >= LEAST_STRESS
        refused = {"edge-stress-unavailable": bool(found.reason)}
        story = Story(*_told(s, found))
        yield Row(
            found.title,
            found.margin,
            loaded,
            refused,
            idle="holds",
            story=lambda story=story: story,
            factor=found.factor,
        )


def _told(s: State, found: EdgeStress) -> tuple[dict, tuple[Check, ...]]:
    row = dict(
        quantity="stress",
        demand=found.stress,
        capacity=found.allowable,
        equation=EQUATION,
        source=SOURCE,
        note=found.where,
    )
    if found.reason:
        text = f"{found.title}: {found.reason}"
        check = Check("edge-stress-unavailable", "refused", text, s.load.name, SOURCE)
        return row | {"note": text}, (check,)
    if found.stress is None or found.stress < LEAST_STRESS:
        return row, ()
    return row | {"worked": (work(strength.stress_margin, F=found.allowable, sigma=found.stress),)}, ()


def _asked(case: Case) -> bool:
    return case.barrel.edge_strength


MODES = (
    FailureMode(
        "edge-strength",
        "skin and ribs near held edges, yield, ultimate",
        64,
        "strength",
        _asked,
        rows,
        walls="walls with dimensions, where edges are named and edge_strength asks for it",
        capacity="yield and ultimate over the elastic stress of either face of the skin, and of the ends of a rib's "
        "section, in the axisymmetric state before buckling at the factored loads",
        knockdown="none",
        valid="below the axial load at which the axisymmetric state is lost; small strains; sections with dimensions",
        source=SOURCE,
        formulas=("von-mises-stress", "stress-margin"),
        shape="no buckling mode: the bulge of the barrel beside its held edges",
    ),
)
