"""Crippling of ribs against their own stress, and ring blades too slender to support the skin. Factor 1."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from ...core.records import Beside, Check, ComponentUse, Worked
from ...handbook import grid, interaction, plates, strength, work
from ...model import Orthogrid, TriangularGrid
from ...model.walls import RibFamily
from ..basis import plate_basis
from ..components import AXIAL, BENDING
from ..crippling import RibState, most_compressed, rib_states
from ..engines import Number
from ..findings import Findings, Row, Story
from ..membrane import AXIAL as ALONG
from ..membrane import LEAST_STRESS, rib_strain
from ..state import State
from ..yielding import CUT_NOTE, LIMIT, cut_check
from .mode import FailureMode
from .skin_field import FACTOR_ONE, grid_terms
from .wording import joined

REFUSED_FROM = 2.0
"""Multiple of the flat-bar slenderness from which a ring is refused without a reason (own rule)."""

_RINGS_SOURCE = "DNV-RP-C202 (from memory); twice as an own rule"


def blades(s: State) -> Iterator[Row]:
    """Every blade family as a plate with a hinged root and a free edge."""
    for rib in s.wall.ribs:
        if rib.depth is not None:
            yield _blade(s, rib)


def _blade(s: State, rib: RibFamily) -> Row:
    title = f"{rib.name.removesuffix('s')} web"
    plate = dict(E=rib.E, nu=rib.nu, t=rib.thickness, b=rib.depth)
    sigma = plates.plate_stress(plates.one_edge_free_coefficient(rib.nu), **plate)

    def story() -> tuple[tuple[Worked, ...], str, dict]:
        k = work(plates.one_edge_free_coefficient, nu=rib.nu)
        field = (
            f"{title} as a plate, depth {rib.depth:.4g} m, thickness {rib.thickness:.4g} m: its free "
            "edge waves sideways, the skin stays"
        )
        return (
            (k, work(plates.plate_stress, k=k.value, **plate)),
            field,
            dict(
                equation="hinged root, long plate with one edge free, over the rib's own stress",
                source="own exact limit (textbook value 0.4255 at nu = 0.3)",
            ),
        )

    return _row(s, title, (rib,), sigma, story)


def grid_ribs(s: State, _: Findings) -> Iterator[Row]:
    """Ribs of a triangular grid: the stress of the most compressed one under the handbook's load."""
    wall, skin, t = s.case.wall, s.wall.skin, s.t
    _, ratio = grid_terms(s)
    b, d, c = wall.rib_thickness, wall.rib_depth, grid.HANDBOOK_CRIPPLING[wall.family]
    alpha = grid.rib_ratio(**ratio)
    terms = dict(c=c, E=skin.E, t=t, alpha=alpha, b=b, d=d)
    handbook = grid.rib_crippling_line_load(**terms)
    rib, per_load = most_compressed(s.wall)
    unit = _unit(s, rib) | {"N_x": -handbook}
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
                f"c = {c:g} ({wall.family} family), over every rib's own stress",
                source="NASA CR-124075 Rev A (second-hand)",
                beside=(Beside("hinged rib root, long plate with one edge free", sigma.value / float(per_load)),),
            ),
        )

    yield _row(s, "rib crippling", s.wall.ribs, crippling, story)


def _unit(s: State, rib: RibFamily) -> dict[str, Number]:
    """Terms of the stress of a rib under an axial line load of 1 N/m."""
    return dict(E=rib.E, a_x=rib_strain(s.wall, rib, ALONG), a_theta=0.0, N_x=-1.0, N_theta=0.0)


def _row(
    s: State,
    title: str,
    ribs: Sequence[RibFamily],
    crippling: Number,
    story: Callable[[], tuple[tuple[Worked, ...], str, dict]],
) -> Row:
    """Row of ribs with this crippling stress [Pa], none above yield, against their own stress in the worst of every
    state."""
    at_yield = s.rib_point(ribs[0]).compressive_yield
    limit = np.minimum(crippling, at_yield)
    states = list(rib_states(s, ribs, limit))
    least, loaded = np.inf, np.False_
    for one in states:
        least = np.where(one.loaded, np.minimum(least, one.margin), least)
        loaded = loaded | one.loaded

    def told() -> Story:
        worked, field, fields = story()
        cut = bool(crippling > at_yield)
        note = CUT_NOTE if cut else ""
        axial = max(float(strength.rib_stress(**_unit(s, rib))) for rib in ribs)
        elastic = ((title, float(crippling) / axial),) if axial > 0 else ()
        fields = {
            "quantity": "stress",
            "demand": max(float(one.limit) for one in states),
            "capacity": float(limit),
            "knockdown_source": FACTOR_ONE,
            "worked": worked,
            "note": note,
            "components": (ComponentUse(AXIAL, 1.0), ComponentUse(BENDING, 1.0)),
            **fields,
        }
        checks = (cut_check(title),) if cut else ()
        judged = [one for one in states if one.loaded]
        if not judged:
            return Story(fields | {"note": joined(note, "no rib is compressed")}, checks, elastic=elastic)
        worst = min(judged, key=lambda one: float(one.margin))
        basis = plate_basis(s, elastic[0][1] if elastic else 0.0, "rib", field, LIMIT if cut else "")
        return Story(fields | _judged(s, worst, float(limit), note, worked) | {"basis": basis}, checks, elastic=elastic)

    return Row(title, least, loaded, story=told)


def _judged(s: State, worst: RibState, limit: float, note: str, worked: tuple[Worked, ...]) -> dict:
    """Fields of the worst state of a single design."""
    fixed, scaled = (work(strength.rib_stress, **terms) for terms in (worst.fixed_terms, worst.limit_terms))
    where = ", ".join(filter(None, (worst.rib.name, worst.generator, worst.pressure)))
    if worst.limit > LEAST_STRESS:
        room = limit - fixed.value
        total = work(interaction.rib_margin, s_c=limit, s_p=fixed.value, f_s=s.factor, s_L=scaled.value)
        axial = strength.rib_stress(**worst.limit_terms | {"N_x": worst.held - s.N_a})
        parts = {AXIAL: axial, BENDING: worst.limit - axial}
        uses = tuple(ComponentUse(key, 1.0, float(x), room, float(s.factor * x / room)) for key, x in parts.items())
        return dict(
            demand=scaled.value,
            capacity=room,
            components=uses,
            note=joined(note, where),
            worked=(*worked, *s.worked_loads, fixed, scaled, total),
        )
    total = work(strength.stress_margin, F=limit, sigma=fixed.value)
    note = joined(note, f"{where}: cripples under the fixed loads alone")
    return dict(demand=fixed.value, capacity=limit, note=note, worked=(*worked, fixed, total))


# --- ring blades


def ring_blade(s: State) -> RibFamily | None:
    """The ring blades of a wall; None without rings or with a given section."""
    rings = next((rib for rib in s.wall.ribs if rib.name == "rings"), None)
    return None if rings is None or rings.depth is None else rings


def held_by_ribs(s: State) -> bool:
    """Whether the rings are held by crossing ribs: then slender ones are only warned."""
    return isinstance(s.case.wall, Orthogrid)


def _slenderness(s: State, ring: RibFamily) -> tuple[Number, Number]:
    """Depth over thickness of ring blades, and the flat-bar limit of their metal."""
    return ring.depth / ring.thickness, plates.flat_bar_slenderness(ring.E, s.rib_point(ring).compressive_yield)


def slender_rings(s: State) -> np.ndarray:
    """Where rings are refused as support: beyond twice the flat-bar limit, without a written reason."""
    ring = ring_blade(s)
    if ring is None or held_by_ribs(s) or s.case.policy.slender_rings is not None:
        return np.False_
    ratio, limit = _slenderness(s, ring)
    return np.asarray(ratio > REFUSED_FROM * limit)


def ring_checks(s: State) -> Iterator[Check]:
    """What there is to say about the ring blades of a single design."""
    ring = ring_blade(s)
    if ring is None:
        return
    ratio, limit = (float(x) for x in _slenderness(s, ring))
    k = plates.one_edge_free_coefficient(ring.nu)
    plate = float(plates.plate_stress(k, ring.E, ring.nu, ring.thickness, ring.depth))
    text = (
        f"ring blades: d/t = {ratio:.3g}, flat-bar limit 0.4 sqrt(E/F_cy) = {limit:.3g}; as a plate with a hinged root "
        f"and a free edge a ring cripples at {plate / 1e6:.3g} MPa"
    )
    status, tail, headline = "passed", "", ""
    if ratio > limit:
        status, headline = "warned", "slender ring blades"
        tail = "; a ring so slender may fold sideways before it supports the skin"
    if slender_rings(s):
        status, headline = "refused", ""
        tail = (
            f"; beyond {REFUSED_FROM:g} times the limit rings are not counted as support: make them stouter, or "
            "give a reason in [policy.slender_rings]"
        )
    elif ratio > REFUSED_FROM * limit and held_by_ribs(s):
        tail += " unless the crossing ribs hold it"
    yield Check("ring-slenderness", status, text + tail, s.load.name, _RINGS_SOURCE, headline)


_PLATE = "its crippling stress, none above compressive yield, less the stress of pressure"
_OWN_STRESS = "the free edge of the rib waves sideways, the skin stays"

MODES = (
    FailureMode(
        "rib-crippling",
        "stringer web, ring web",
        50,
        "local",
        lambda case: any(getattr(case.wall, name, None) is not None for name in ("stringers", "rings")),
        lambda s, _: blades(s),
        walls="walls with blade stringers or rings, orthogrids",
        capacity=_PLATE,
        knockdown="1",
        source="own exact limit (textbook value 0.4255 at nu = 0.3)",
        shape=_OWN_STRESS,
        formulas=("one-edge-free-coefficient", "plate-stress", "rib-stress", "rib-margin"),
    ),
    FailureMode(
        "rib-crippling",
        "rib crippling",
        51,
        "local",
        lambda case: isinstance(case.wall, TriangularGrid),
        grid_ribs,
        walls="triangular grids",
        capacity=_PLATE,
        knockdown="1",
        source="NASA CR-124075 Rev A (second-hand)",
        formulas=("rib-crippling-line-load", "rib-stress", "rib-margin"),
        shape=_OWN_STRESS,
    ),
)
