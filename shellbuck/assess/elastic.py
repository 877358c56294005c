"""Where the elastic range ends: refuse a general load beyond it, cut a local one off there."""

from __future__ import annotations

from ..records import Check
from ..walls import SmearedWall
from .state import State


def elastic_check(state: State, wall: SmearedWall, mode: str, net: float) -> Check:
    """Whether a general net capacity (elastic load with its factor) [N/m] lies in the elastic range; status "refused"
    where it does not."""
    limit = state.yield_line_load(wall)
    if limit is None:
        return Check(
            "elastic-limit", "warned", f"{mode}: no metal is known for this wall; the elastic range is not checked",
            "material",
        )
    if net <= limit:
        return Check(
            "elastic-limit", "passed",
            f"{mode}: the wall's elastic buckling load with its factor is {net / limit:.2f} of its compressive yield "
            "load",
            "material",
        )  # fmt: skip
    return Check(
        "elastic-limit", "refused",
        f"{mode}: the wall's elastic buckling load with its factor is {net / limit:.2f} times its compressive yield "
        "load: it yields before it buckles, an elastic load says nothing there and plasticity is not built; make it "
        "buckle elastically (thinner skin, thinner or fewer ribs), or judge it by a plasticity method outside this "
        "program", "material", "NASA SP-8007 Rev 2, Eqs 8, 11-12 (not built)",
    )  # fmt: skip


def cut_at_yield(
    state: State, wall: SmearedWall, mode: str, nets: tuple[float, ...]
) -> tuple[tuple[float, ...], str, tuple[Check, ...]]:
    """Net loads of a part of the barrel [N/m], none above compressive yield; the note and warning that say so."""
    limit = state.yield_line_load(wall)
    if limit is None or max(nets) <= limit:
        return nets, "", ()
    return tuple(min(n, limit) for n in nets), CUT_NOTE, (cut_check(mode),)


CUT_NOTE = "cut off at compressive yield"
LIMIT = "compressive yield"
"""What sets the capacity of a row whose elastic load lies above it."""


def cut_check(mode: str) -> Check:
    """The warning that a local elastic load was cut off."""
    return Check(
        "local-cut-off", "warned", f"{mode}: the elastic load lies above compressive yield and is cut off there",
        "material", "own rule",
    )  # fmt: skip
