"""Crippling of ribs against their own stress, and ring blades too slender to support the skin. Factor 1."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import reduce

import numpy as np

from ...core.records import Beside, Check, ComponentUse, Worked
from ...handbook import grid, interaction, plasticity, plates, strength, work
from ...model import Case
from ...model.walls import RibFamily
from ..basis import plate_basis
from ..components import AXIAL, BENDING
from ..crippling import RibState, most_compressed, rib_states
from ..engines import Number
from ..findings import Findings, Row, Story
from ..inelastic import PLASTIC, note_of, reduction_lines, said
from ..membrane import AXIAL as ALONG
from ..membrane import LEAST_STRESS, rib_strain
from ..plasticity import ONE_EDGE_FREE, curve_of, plastic_stress, rib_metal
from ..state import State
from ..yielding import LIMIT
from .mode import FailureMode
from .skin_field import FACTOR_ONE, grid_terms
from .wording import joined

REFUSED_FROM = 2.0
"""Multiple of the flat-bar slenderness from which a ring is refused without a reason (own rule)."""

_RINGS_SOURCE = "DNV-RP-C202 (from memory); twice as an own rule"


def of_elements(case: Case) -> bool:
    """Whether ribs are judged by the flat elements of their sections; those of triangles have a rule of their own."""
    return not of_triangles(case) and any(ribs.section.elements for ribs in case.ribs)


def of_triangles(case: Case) -> bool:
    """Whether ribs enclose triangles."""
    return case.skin_field is not None and case.skin_field.shape == "triangle"


def flat_ribs(s: State) -> Iterator[Row]:
    """Every family by the flat element of its section that buckles first, hinged where elements meet."""
    for rib in s.wall.ribs:
        if rib.elements:
            yield _flat(s, rib)


def _flat(s: State, rib: RibFamily) -> Row:
    title = f"{rib.name.removesuffix('s')} {'crippling' if rib.elements[1:] else 'web'}"
    plate = [dict(E=rib.E, nu=rib.nu, t=e.thickness, b=e.width) for e in rib.elements]
    free = plates.one_edge_free_coefficient(rib.nu)
    k = [free if e.free else plates.LONG_SIMPLY_SUPPORTED for e in rib.elements]
    stresses = [plates.plate_stress(k_e, **terms) for k_e, terms in zip(k, plate, strict=True)]

    def story() -> tuple[tuple[Worked, ...], str, dict]:
        i = int(np.argmin(stresses))
        e, lines = rib.elements[i], (work(plates.plate_stress, k=float(k[i]), **plate[i]),)
        if not e.free:
            field = (
                f"{e.name} of {title.removesuffix(' crippling')}, width {e.width:.4g} m, thickness {e.thickness:.4g} m"
            )
            fields = dict(
                equation=f"lowest of its flat elements ({e.name}), long plate hinged along both edges, over the rib's "
                "own stress",
                source="Timoshenko & Gere (memory)",
            )
            return lines, f"{field}: it buckles by itself, the skin stays", fields
        field = (
            f"{title} as a plate, depth {e.width:.4g} m, thickness {e.thickness:.4g} m: its free "
            "edge waves sideways, the skin stays"
        )
        fields = dict(
            equation="hinged root, long plate with one edge free, over the rib's own stress",
            source="own exact limit (textbook value 0.4255 at nu = 0.3)",
        )
        return (work(plates.one_edge_free_coefficient, nu=rib.nu), *lines), field, fields

    return _row(s, title, (rib,), reduce(np.minimum, stresses), story)


def grid_ribs(s: State, _: Findings) -> Iterator[Row]:
    """Ribs of a triangular grid: the stress of the most compressed one under the handbook's load."""
    skin, t, family = s.wall.skin, s.t, s.case.skin_field.family
    _, ratio = grid_terms(s)
    b, d, c = ratio["b"], ratio["d"], grid.HANDBOOK_CRIPPLING[family]
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
                f"c = {c:g} ({family} family), over every rib's own stress",
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
    curve = curve_of(rib_metal(s.case, ribs[0]), s.load.temperature)
    left = plastic_stress(crippling, curve, ONE_EDGE_FREE, title)
    limit = np.minimum(left.load, at_yield)
    states = list(rib_states(s, ribs, limit))
    least, loaded = np.inf, np.False_
    for one in states:
        least = np.where(one.loaded, np.minimum(least, one.margin), least)
        loaded = loaded | one.loaded

    def told() -> Story:
        worked, field, fields = story()
        cut = bool(left.load > at_yield or left.limited)
        limited = LIMIT if cut else PLASTIC if said(left) else ""
        note = note_of(limited, left.eta, "") if limited else ""
        if not cut:
            worked = (*worked, *reduction_lines(left, plasticity.plastic_stress, sigma_el=crippling))
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
        text = f"{title}: the elastic stress lies above compressive yield and is cut off there"
        checks = (Check("yield-cut-off", "warned", text, "material", "own rule"),) if cut else ()
        judged = [one for one in states if one.loaded]
        if not judged:
            return Story(fields | {"note": joined(note, "no rib is compressed")}, checks, elastic=elastic)
        worst = min(judged, key=lambda one: float(one.margin))
        basis = plate_basis(s, elastic[0][1] if elastic else 0.0, "rib", field, limited)
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


def _slenderness(s: State, ring: RibFamily) -> tuple[Number, Number]:
    """Depth over thickness of ring blades, and the flat-bar limit of their metal."""
    return ring.depth / ring.thickness, plates.flat_bar_slenderness(ring.E, s.rib_point(ring).compressive_yield)


def slender_rings(s: State) -> np.ndarray:
    """Where rings are refused as support: beyond twice the flat-bar limit, without a written reason."""
    ring = ring_blade(s)
    if ring is None or s.case.wall.held_rings or s.case.policy.slender_rings is not None:
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
    elif ratio > REFUSED_FROM * limit and s.case.wall.held_rings:
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
        of_elements,
        lambda s, _: flat_ribs(s),
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
