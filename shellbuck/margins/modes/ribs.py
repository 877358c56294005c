"""Crippling of ribs against their own stress, and rings too slender to support the skin. Factor 1."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

import numpy as np

from ...core.records import Beside, Check, Worked
from ...handbook import grid, plates, strength, work
from ...model import Case
from ...model.sections import Element
from ...model.walls import RibFamily
from ..crippling import most_compressed
from ..engines import Number
from ..findings import Findings, Row
from ..plasticity import ONE_EDGE_FREE, SUPPORTED_PLATE, curve_of, plastic_stress, rib_metal
from ..state import State
from .mode import FailureMode
from .rib_row import Way, rib_row, unit_terms
from .section_crippling import section_cap
from .skin_field import grid_terms

REFUSED_FROM = 2.0
"""Multiple of the flat-bar slenderness from which a ring is refused without a reason (own rule)."""

_RINGS_SOURCE = "DNV-RP-C202 (from memory); twice as an own rule"


def of_elements(case: Case) -> bool:
    """Whether ribs are judged by the flat elements of their sections; blades of triangles have a rule of their own."""
    return not of_triangles(case) and any(ribs.section.elements for ribs in case.ribs)


def of_triangles(case: Case) -> bool:
    """Whether blades enclose triangles."""
    field = case.skin_field
    return field is not None and field.shape == "triangle" and case.ribs[0].section.blade[0] is not None


def flat_ribs(s: State) -> Iterator[Row]:
    """Every family by the flat element of its section that buckles first, hinged where elements meet, and no stronger
    than the published crippling of its section."""
    for rib in s.wall.ribs:
        if rib.elements:
            yield rib_row(s, crippling_title(rib), (rib,), element_ways(s, rib), section_cap(s, rib))


def crippling_title(rib: RibFamily) -> str:
    """Name of the row."""
    return f"{rib.name.removesuffix('s')} {'crippling' if rib.elements[1:] else 'web'}"


def element_ways(s: State, rib: RibFamily) -> tuple[Way, ...]:
    """Buckling of every flat element of a section."""
    curve, title = curve_of(rib_metal(s.case, rib), s.load.temperature), crippling_title(rib)

    def way(e: Element) -> Way:
        plate = dict(E=rib.E, nu=rib.nu, t=e.thickness, b=e.width)
        k = plates.one_edge_free_coefficient(rib.nu) if e.free else plates.LONG_SIMPLY_SUPPORTED
        left = plastic_stress(
            plates.plate_stress(k, **plate), curve, ONE_EDGE_FREE if e.free else SUPPORTED_PLATE, title
        )
        edges = "" if e.free else "both long edges hinged"
        return Way(left, lambda: _plate_story(rib, e, title, work(plates.plate_stress, k=float(k), **plate)), edges)

    return tuple(way(e) for e in rib.elements)


def _plate_story(rib: RibFamily, e: Element, title: str, line: Worked) -> tuple[tuple[Worked, ...], str, dict]:
    size = f"{e.width:.4g} m, thickness {e.thickness:.4g} m"
    if not e.free:
        fields = dict(
            equation=f"lowest of its flat elements ({e.name}), long plate hinged along both edges, over the rib's "
            "own stress",
            source="Timoshenko & Gere (memory)",
        )
        field = f"{e.name} of {title.removesuffix(' crippling')}, width {size}: it buckles by itself, the skin stays"
        return (line,), field, fields
    if rib.elements[1:]:
        which = f"lowest of its flat elements ({e.name}), hinged where it meets the next, "
        field = f"{e.name} of {title.removesuffix(' crippling')}, width {size}: its free edge waves, the skin stays"
    else:
        which = "hinged root, "
        field = f"{title} as a plate, depth {size}: its free edge waves sideways, the skin stays"
    fields = dict(
        equation=f"{which}long plate with one edge free, over the rib's own stress",
        source="own exact limit (textbook value 0.4255 at nu = 0.3)",
    )
    return (work(plates.one_edge_free_coefficient, nu=rib.nu), line), field, fields


def grid_ribs(s: State, _: Findings) -> Iterator[Row]:
    """Ribs of a triangular grid: the stress of the most compressed one under the handbook's load."""
    skin, t, family = s.wall.skin, s.t, s.case.skin_field.family
    _, _, ratio = grid_terms(s)
    b, d, c = ratio["b"], ratio["d"], grid.HANDBOOK_CRIPPLING[family]
    alpha = grid.rib_ratio(**ratio)
    terms = dict(c=c, E=skin.E, t=t, alpha=alpha, b=b, d=d)
    handbook = grid.rib_crippling_line_load(**terms)
    rib, per_load = most_compressed(s.wall)
    unit = unit_terms(s, rib) | {"N_x": -handbook}
    crippling = strength.rib_stress(**unit)

    def story() -> tuple[tuple[Worked, ...], str, dict]:
        k = work(plates.one_edge_free_coefficient, nu=skin.nu)
        sigma = work(plates.plate_stress, k=k.value, E=skin.E, nu=skin.nu, t=b, b=d)
        lines = (
            work(grid.rib_ratio, **ratio),
            work(grid.rib_crippling_line_load, **terms),
            work(strength.rib_stress, **unit),
        )
        field = (
            f"grid rib as a plate, depth {d:.4g} m, thickness {b:.4g} m: its free edge waves sideways, the skin stays"
        )
        return (
            lines,
            field,
            dict(
                equation=f"stress of the most compressed rib ({rib.name}) at N = c E t (1 + alpha) (b/d)^2, "
                f"c = {c:g} ({family} family), over every rib's own stress",
                source="NASA CR-124075 Rev A (second-hand)",
                beside=(Beside("hinged rib root, long plate with one edge free", sigma.value / float(per_load)),),
            ),
        )

    curve = curve_of(rib_metal(s.case, s.wall.ribs[0]), s.load.temperature)
    left = plastic_stress(crippling, curve, ONE_EDGE_FREE, "rib crippling")
    yield rib_row(s, "rib crippling", s.wall.ribs, (Way(left, story),))


# --- slender rings


def outstanding_ring(s: State) -> RibFamily | None:
    """The rings of a wall, if they have a flat element with a free edge; None for given sections too."""
    rings = next((rib for rib in s.wall.ribs if rib.name == "rings"), None)
    return None if rings is None or not any(e.free for e in rings.elements) else rings


def _slenderness(s: State, ring: RibFamily) -> tuple[Number, Number]:
    """Largest width over thickness of what stands out with a free edge, and the flat-bar limit of its metal."""
    ratio = reduce(np.maximum, (e.width / e.thickness for e in ring.elements if e.free))
    F_cy = s.rib_point(ring).compressive_yield
    if (cut := s.case.policy.allowable_knockdown) is not None:
        F_cy = F_cy / cut.yield_strength  # less strength makes no ring stouter
    return ratio, plates.flat_bar_slenderness(ring.E, F_cy)


def slender_rings(s: State) -> np.ndarray:
    """Where rings are refused as support: beyond twice the flat-bar limit, without a written reason."""
    ring = outstanding_ring(s)
    if ring is None or s.case.wall.held_rings or s.case.policy.slender_rings is not None:
        return np.False_
    ratio, limit = _slenderness(s, ring)
    return np.asarray(ratio > REFUSED_FROM * limit)


def ring_checks(s: State) -> Iterator[Check]:
    """What there is to say about the rings of a single design."""
    ring = outstanding_ring(s)
    if ring is None:
        return
    ratio, limit = (float(x) for x in _slenderness(s, ring))
    widest = max((e for e in ring.elements if e.free), key=lambda e: e.width / e.thickness)
    k = plates.one_edge_free_coefficient(ring.nu)
    plate = float(plates.plate_stress(k, ring.E, ring.nu, widest.thickness, widest.width))
    what = "ring blades" if ring.depth is not None else f"ring {widest.name}"
    text = (
        f"{what}: d/t = {ratio:.3g}, flat-bar limit 0.4 sqrt(E/F_cy) = {limit:.3g}; as a plate with a hinged root "
        f"and a free edge a ring cripples at {plate / 1e6:.3g} MPa"
    )
    status, tail, headline = "passed", "", ""
    if ratio > limit:
        status, headline = "warned", "slender ring blades" if ring.depth is not None else f"slender {what}"
        tail = "; a ring so slender may fold sideways before it supports the skin"
    if slender_rings(s):
        status, headline = "refused", ""
        tail = (
            f"; beyond {REFUSED_FROM:g} times the limit rings are not counted as support: make them stouter, or "
            "give a reason in [policy.slender_rings]"
        )
    elif ratio > REFUSED_FROM * limit and s.case.wall.held_rings:
        tail += " unless the crossing ribs hold it"
    yield Check("ring-slenderness", status, text + tail, s.load.name, _RINGS_SOURCE, headline)


_PLATE = "its crippling stress, none above compressive yield, less the stress of pressure"
_OWN_STRESS = "the free edge of the rib waves sideways, the skin stays"

MODES = (
    FailureMode(
        "rib-crippling",
        "stringer and ring crippling (blades: web)",
        50,
        "local",
        of_elements,
        lambda s, _: flat_ribs(s),
        walls="walls with dimensioned stringers or rings, orthogrids",
        capacity="the lowest buckling stress of its flat elements, no more than Gerard's crippling of the section (or "
        "that of a chosen formula alone), none above compressive yield, less the stress of pressure",
        knockdown="1",
        source="own exact limit (textbook value 0.4255 at nu = 0.3); Timoshenko & Gere, Gerard, Needham",
        shape=_OWN_STRESS,
        formulas=(
            "one-edge-free-coefficient",
            "plate-stress",
            "gerard-crippling",
            "gerard-tee-crippling",
            "gerard-two-corner-crippling",
            "crippling-cut-off",
            "needham-crippling",
            "mean-crippling",
            "rib-stress",
            "rib-margin",
        ),
    ),
    FailureMode(
        "rib-crippling",
        "rib crippling",
        51,
        "local",
        of_triangles,
        grid_ribs,
        walls="triangular grids",
        capacity=_PLATE,
        knockdown="1",
        source="NASA CR-124075 Rev A (second-hand)",
        formulas=("rib-crippling-line-load", "rib-stress", "rib-margin"),
        shape=_OWN_STRESS,
    ),
)
