"""Whether ring blades are stout enough to hold the skin round: their slenderness, for one design or for many.

The smeared wall counts a ring with its whole inertia. A blade too slender for that folds sideways first; a flat bar is
taken to stay straight up to d/t = 0.4 sqrt(E/F_cy). Twice that is the end: beyond it no ring is believed.
"""

from __future__ import annotations

from ..core.records import Check
from ..handbook import plates
from ..model import Orthogrid
from ..model.walls import RibFamily
from .state import Part, State

REFUSED_FROM = 2.0
"""Multiple of the flat-bar slenderness from which a ring is refused without a reason (own rule)."""

_SOURCE = "DNV-RP-C202 (from memory); twice as an own rule"


def ring_blade(state: State) -> RibFamily | None:
    """The ring blades of a wall; None without rings or with a given section."""
    rings = next((rib for rib in state.wall.ribs if rib.name == "rings"), None)
    return None if rings is None or rings.depth is None else rings


def slenderness(state: State, ring: RibFamily) -> tuple[float, float]:
    """Depth over thickness of ring blades, and the flat-bar limit of their metal; numbers or (N,) arrays."""
    return ring.depth / ring.thickness, plates.flat_bar_slenderness(ring.E, state.rib_point(ring).compressive_yield)


def may_be_refused(state: State) -> bool:
    """Whether slender rings are refused here: those of an orthogrid are held by the crossing ribs and only warned, and
    a written reason lets others pass."""
    return not isinstance(state.case.wall, Orthogrid) and state.case.policy.slender_rings is None


def ring_checks(state: State) -> Part:
    """What there is to say about the ring blades of a load case."""
    ring = ring_blade(state)
    if ring is None:
        return Part()
    ratio, limit = (float(x) for x in slenderness(state, ring))
    k = plates.one_edge_free_coefficient(ring.nu)
    plate = float(plates.plate_stress(k, ring.E, ring.nu, ring.thickness, ring.depth))
    text = (
        f"ring blades: d/t = {ratio:.3g}, flat-bar limit 0.4 sqrt(E/F_cy) = {limit:.3g}; as a plate with a hinged root "
        f"and a free edge a ring cripples at {plate / 1e6:.3g} MPa"
    )
    status, tail, headline = "passed", "", ""
    if ratio > limit:
        status, tail, headline = (
            "warned",
            "; a ring so slender may fold sideways before it supports the skin",
            ("slender ring blades"),
        )
    if ratio > REFUSED_FROM * limit:
        if may_be_refused(state):
            status, headline = "refused", ""
            tail = (
                f"; beyond {REFUSED_FROM:g} times the limit rings are not counted as support: make them stouter, or "
                "give a reason in [policy.slender_rings]"
            )
        elif isinstance(state.case.wall, Orthogrid):
            tail += " unless the crossing ribs hold it"
    return Part(checks=(Check("ring-slenderness", status, text + tail, state.load.name, _SOURCE, headline),))
