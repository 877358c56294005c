"""What the published loss of buckling load by weld lands would leave: shown and warned, counted only by request."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...core.records import Check, Comparison, MarginRow, shown_margin
from ...handbook import welds, work
from ...model import Case
from ..keys import GENERAL, PANEL
from ..state import State
from .screen import Compared, Screen

SHARE = 0.25
"""Least published loss of buckling load by axial weld lands (SP-8007 Rev 2, 4.1.5.1: 25 % or more)."""

_SOURCE = "NASA SP-8007 Rev 2, 2.3.4 and 4.1.5.1"


def compare(s: State, rows: Sequence[MarginRow]) -> Iterator[Compared]:
    """General instability and panel with a quarter of the load at buckling lost."""
    for row in rows:
        if row.key not in (GENERAL, PANEL):
            continue
        base = dict(
            load_case=s.load.name,
            key="weld-lands",
            title=f"{row.mode}, less 25 % for weld lands",
            quantity=row.quantity,
            source=_SOURCE,
        )
        if row.margin is None or row.capacity is None:
            idle = row.status == "not compressed"
            outcome = "not compressed" if idle else "outside its scope"
            yield Compared(
                Comparison(**base, outcome=outcome, note=f"{row.mode} has no margin: {row.note or row.status}")
            )
            continue
        line = work(welds.margin_less_share, margin=row.margin, share=SHARE)
        text = (
            f"{row.mode}: axial weld lands may cost 25 % of the buckling load or more, which its margin does not "
            f"count; 25 % less would leave {shown_margin(line.value)}"
        )
        below = line.value < 0
        headline = "a loss of 25 % by weld lands would not hold" if below and row.margin >= 0 else ""
        yield Compared(
            Comparison(
                **base,
                outcome="below" if below else "above",
                demand=None if row.demand is None else row.factor * row.demand,
                capacity=(1 - SHARE) * row.capacity,
                excess=line.value,
                equation="75 % of the load at buckling, pressure relief included, over the factored load, less 1",
                note="25 % or more is lost; counted only by [policy.weld_land_loss]",
                worked=(line,),
            ),
            (Check("weld-land-loss", "warned", text, s.load.name, _SOURCE, headline),),
        )


def _uncounted(case: Case) -> bool:
    return case.barrel.weld_lands is not None and case.policy.weld_land_loss is None


SCREENS = (
    Screen(
        "weld-lands",
        "loss of buckling load by weld lands",
        30,
        _uncounted,
        compare,
        walls="walls with weld lands whose loss no row counts",
        capacity="three quarters of the load at buckling of general instability and of the panel between rings",
        source=_SOURCE + " (25 % or more)",
        formulas=("margin-less-share",),
    ),
)
