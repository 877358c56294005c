"""Stresses of every ply of a laminate, beside the margins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...core.records import Comparison, MarginRow
from ...model import Case
from ..membrane import LEAST_STRESS
from ..ply_stress import ply_stresses
from ..state import State
from .screen import Compared, Screen

_SOURCE = "classical lamination theory"


def compare(s: State, _rows: Sequence[MarginRow]) -> Iterator[Compared]:
    """Every ply in the state in which it uses most of its strength, or has its largest stress."""
    strained = s.case.wall.criterion == "maximum strain"
    for one in ply_stresses(s):
        known = one.allowable is not None and abs(one.stress).max() >= LEAST_STRESS
        yield Compared(
            Comparison(
                load_case=s.load.name,
                key="plies",
                title=f"{one.title} {one.component}",
                outcome="for scale" if not known else "above" if one.share <= 1 else "below",
                quantity="strain" if strained else "stress",
                demand=one.value,
                capacity=one.allowable,
                excess=1 / one.share - 1 if known else None,
                equation=f"{s.case.wall.criterion} at the factored loads",
                source=_SOURCE,
                note=one.words,
            )
        )


def _laminated(case: Case) -> bool:
    return case.wall.layered


SCREENS = (
    Screen(
        "plies",
        "stresses of plies",
        50,
        _laminated,
        compare,
        walls="laminates",
        capacity="every ply's stresses in its own axes in its worst state, with its strength where that is given",
        source=_SOURCE,
        formulas=("strain-along", "strain-sheared"),
    ),
)
