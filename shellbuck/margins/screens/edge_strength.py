"""Stress near the edges that a case names: shown beside the margins unless edge_strength makes it rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...core.records import Comparison, MarginRow
from ...model import Case
from ..edge_stress import SOURCE, edge_stresses
from ..membrane import LEAST_STRESS
from ..modes.edge_strength import EQUATION
from ..post_buckled import acting
from ..state import State
from .screen import Compared, Screen

_NOTE = "elastic, discontinuity bending counted in full; a margin only with edge_strength = true in [barrel]"


def compare(s: State, _rows: Sequence[MarginRow]) -> Iterator[Compared]:
    """Stress of skin and ribs near the held edges over their allowables."""
    base = dict(load_case=s.load.name, key="edge-strength", quantity="stress", source=SOURCE)
    if acting(s) is not None:
        note = "not known for post-buckled skin"
        yield Compared(Comparison(**base, title="stress near held edges", outcome="outside its scope", note=note))
        return
    for found in edge_stresses(s):
        base["title"] = found.title
        if found.stress is None:
            outcome = "below" if found.lost else "outside its scope"
            yield Compared(Comparison(**base, outcome=outcome, note=found.where or found.reason))
        elif found.stress >= LEAST_STRESS:
            yield Compared(
                Comparison(
                    **base,
                    outcome="above" if found.margin >= 0 else "below",
                    demand=found.stress,
                    capacity=found.allowable,
                    excess=found.margin,
                    equation=f"{EQUATION}; {found.where}",
                    note=_NOTE,
                )
            )


def _shown(case: Case) -> bool:
    return case.barrel.edges is not None and case.wall.has_dimensions and not case.barrel.edge_strength


SCREENS = (
    Screen(
        "edge-strength",
        "stress near held edges",
        40,
        _shown,
        compare,
        walls="walls with dimensions whose edges are named",
        capacity="yield and ultimate over the elastic stress of skin and ribs in the axisymmetric state before "
        "buckling at the factored loads",
        source=SOURCE,
        formulas=("von-mises-stress",),
    ),
)
