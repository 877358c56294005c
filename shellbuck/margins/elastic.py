"""The elastic range of general instability: a load beyond first yield of the wall is refused."""

from __future__ import annotations

import numpy as np

from ..core.records import Check, Worked
from .engines import Number
from .state import State
from .yielding import first_yield

NO_ELASTIC_RANGE = 1e6
"""Use of the elastic range where pressure alone is beyond yield: more than any, and finite for a search."""


def elastic_use(state: State, net: Number) -> Number:
    """A general net capacity (elastic load with its factor) [N/m] over the line load of first yield; 0 without a
    metal."""
    limit = first_yield(state, state.wall)
    if limit is None:
        return np.float64(0.0)
    most = limit.load
    # pressure alone beyond yield leaves no elastic range at all
    return np.where(most > 0, net / np.where(most > 0, most, 1.0), NO_ELASTIC_RANGE)[()]


def elastic_check(state: State, title: str, net: float) -> tuple[Check, tuple[Worked, ...]]:
    """Whether a general net capacity [N/m] of a single design lies in the elastic range; status "refused" and the
    worked limit where it does not."""
    limit = first_yield(state, state.wall)
    if limit is None:
        text = f"{title}: no metal is known for this wall; the elastic range is not checked"
        return Check("elastic-limit", "warned", text, "material"), ()
    use = net / limit.load if limit.load > 0 else NO_ELASTIC_RANGE
    if net <= limit.load:
        text = (
            f"{title}: the wall's elastic buckling load with its factor is {use:.2f} of its compressive "
            f"yield load ({limit.where})"
        )
        return Check("elastic-limit", "passed", text, "material"), ()
    times = (
        f"{use:.2f} times its compressive yield load"
        if limit.load > 0
        else "beyond yield, which the pressure reaches by itself"
    )
    text = (
        f"{title}: the wall's elastic buckling load with its factor is {times} ({limit.where}): it yields before it "
        "buckles, an elastic load says nothing there and plasticity is not built; make it buckle elastically (thinner "
        "skin, thinner or fewer ribs), or judge it by a plasticity method outside this program"
    )
    source = "NASA SP-8007 Rev 2, Eqs 8, 11-12 (not built)"
    return Check("elastic-limit", "refused", text, "material", source), limit.worked
