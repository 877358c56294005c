"""Small demands that the sizing tests build on; plain SI numbers, invented."""

from __future__ import annotations

from dataclasses import replace

from builders import METAL, load, pressed

import shellbuck as sb
from shellbuck.sizing import Effort, SearchOptions

BARE = sb.BareBarrel(1.5, 2.0, "closed")
DEMAND = sb.Demand(BARE, (load(),), (METAL,))
QUICK = SearchOptions(seeds=1, effort=Effort(samples=64, scaled=15, starts=4, regions=1, rounded=1), ritz=False)


def demand(*loads, limits=None, **policy) -> sb.Demand:
    """A demand of these load cases; `limits` is a dict, other keywords go to the policy."""
    return replace(
        DEMAND, load_cases=loads or DEMAND.load_cases, limits=sb.Limits(**(limits or {})), policy=sb.Policy(**policy)
    )


def own(factor: float) -> sb.OwnKnockdown:
    """The same own factor everywhere."""
    return sb.OwnKnockdown(factor, factor, "test", panel_axial=factor, panel_bending=factor)


__all__ = ["BARE", "DEMAND", "METAL", "QUICK", "demand", "load", "own", "pressed"]
