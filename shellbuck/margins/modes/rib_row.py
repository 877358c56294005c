"""A row of ribs that fail by their own membrane stress: crippling, rolling, column between rings. Factor 1."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

from ...core.records import Beside, Check, ComponentUse, Worked
from ...handbook import interaction, plasticity, strength, work
from ...model.sections import Section
from ...model.walls import RibFamily
from ..basis import plate_basis
from ..components import AXIAL, BENDING, EXTERNAL
from ..crippling import RibState, rib_states
from ..engines import Mask, Number
from ..findings import Row, Story
from ..inelastic import PLASTIC, note_of, reduction_lines, said
from ..membrane import AXIAL as ALONG
from ..membrane import LEAST_STRESS, rib_strain
from ..plasticity import Plastic
from ..post_buckled import acting, shed_wall
from ..state import State
from ..yielding import LIMIT
from .skin_field import FACTOR_ONE
from .wording import joined


@dataclass(frozen=True, eq=False)
class Way:
    """A way to fail: the stress left of the elastic one, and for a single design the worked lines of the elastic one,
    what it looks like, and further fields of the row."""

    left: Plastic
    story: Callable[[], tuple[tuple[Worked, ...], str, dict]]
    edges: str = ""


@dataclass(frozen=True, eq=False)
class Cap:
    """A published stress that no way exceeds, or that takes their place where the case asks for it (`alone`)."""

    stress: Number
    name: str
    worked: Callable[[], tuple[Worked, ...]]
    source: str
    alone: bool = False


def section_of(s: State, rib: RibFamily) -> Section:
    """The section of a rib family."""
    return next(ribs.section for ribs in s.case.ribs if ribs.name == rib.name)


def unit_terms(s: State, rib: RibFamily) -> dict[str, Number]:
    """Terms of the stress of a rib under an axial line load of 1 N/m."""
    return dict(E=rib.E, a_x=rib_strain(shed_wall(s), rib, ALONG), a_theta=0.0, N_x=-1.0, N_theta=0.0)


def allowed_stress(s: State, rib: RibFamily, ways: Sequence[Way], cap: Cap | None = None) -> Number:
    """Stress at which ribs fail [Pa], none above compressive yield."""
    limits = [s.rib_point(rib).compressive_yield]
    if cap is None or not cap.alone:
        limits += [way.left.load for way in ways]
    if cap is not None:
        limits.append(cap.stress)
    return reduce(np.minimum, limits)


def rib_row(
    s: State,
    title: str,
    ribs: Sequence[RibFamily],
    ways: Sequence[Way],
    cap: Cap | None = None,
    *,
    withheld: Mask = False,
    why: str = "",
    fails: str = "cripples",
) -> Row:
    """Row of ribs against their own stress in the worst of every state.

    Parameters
    ----------
    s : State
    title : str
    ribs : sequence of RibFamily
        Of one metal.
    ways : sequence of Way
        The one with the least stress counts.
    cap : Cap or None
    withheld : bool or numpy.ndarray
        Where the row is withheld; `why` says the reason.
    fails : str
        What the rib does, for the words.
    """
    at_yield = s.rib_point(ribs[0]).compressive_yield
    limit = allowed_stress(s, ribs[0], ways, cap)
    states = list(rib_states(s, ribs, limit))
    least, loaded = np.inf, np.False_
    for one in states:
        least = np.where(one.loaded, np.minimum(least, one.margin), least)
        loaded = loaded | one.loaded

    def told() -> Story:
        if withheld:
            return Story(dict(quantity="stress", demand=max(float(one.limit) for one in states), note=why))
        way = min(ways, key=lambda one: float(one.left.load))
        worked, field, fields = way.story()
        left, most = way.left, min(float(way.left.load), float(at_yield))
        axial = max(float(strength.rib_stress(**unit_terms(s, rib))) for rib in ribs)
        elastic = ((title, float(left.elastic) / axial),) if axial > 0 else ()
        capped = cap is not None and (cap.alone or float(cap.stress) < most)
        cut = bool(left.load > at_yield or left.limited) if not capped else float(cap.stress) > at_yield
        limited = cap.name if capped and not cut else LIMIT if cut else PLASTIC if said(left) else ""
        note = limited and (cap.name if capped and not cut else note_of(limited, left.eta, ""))
        if capped:
            worked = (*worked, *cap.worked())
            besides = (*fields.get("beside", ()), *_beside_cap(fields, left, axial)) if cap.alone else ()
            fields = dict(equation=f"{cap.name}, over the rib's own stress", source=cap.source, beside=besides)
        elif cap is not None:
            note_cap = f"{float(cap.stress) / 1e6:.4g} MPa, not below it"
            beside = (Beside(cap.name, float(cap.stress) / axial, note_cap),) if axial > 0 else ()
            fields = fields | dict(beside=(*fields.get("beside", ()), *beside))
        if soft := acting(s):
            worked = (*worked, *soft.shed_lines(s.wall, soft.load))
            note = joined(soft.shed_words, note)
        if not cut and not capped:
            worked = (*worked, *reduction_lines(left, plasticity.plastic_stress, sigma_el=left.elastic))
        fields = {
            "quantity": "stress",
            "demand": max(float(one.limit) for one in states),
            "capacity": float(limit),
            "knockdown_source": FACTOR_ONE,
            "worked": worked,
            "note": note,
            "components": tuple(ComponentUse(key, 1.0) for key in s.demands),
            **fields,
        }
        text = f"{title}: the elastic stress lies above compressive yield and is limited to it"
        checks = (Check("yield-cut-off", "warned", text, "material", "own rule"),) if cut else ()
        judged = [one for one in states if one.loaded]
        if not judged:
            return Story(fields | {"note": joined(note, "no rib is compressed")}, checks, elastic=elastic)
        worst = min(judged, key=lambda one: float(one.margin))
        basis = plate_basis(s, elastic[0][1] if elastic else 0.0, "rib", field, limited, way.edges)
        return Story(
            fields | _judged(s, worst, float(limit), note, worked, fails) | {"basis": basis}, checks, elastic=elastic
        )

    return Row(title, least, loaded, story=told, withheld=withheld)


def _beside_cap(fields: dict[str, Any], left: Plastic, axial: float) -> tuple[Beside, ...]:
    """The elements' own buckling beside a published crippling stress that takes its place."""
    if axial <= 0:
        return ()
    return (Beside(fields["equation"].split(",")[0], float(left.load) / axial, f"{float(left.load) / 1e6:.4g} MPa"),)


def _judged(s: State, worst: RibState, limit: float, note: str, worked: tuple[Worked, ...], fails: str) -> dict:
    """Fields of the worst state of a single design."""
    fixed, scaled = (work(strength.rib_stress, **terms) for terms in (worst.fixed_terms, worst.limit_terms))
    lines = [fixed, scaled]
    if worst.a_xy * s.flow:
        terms = dict(s_L=scaled.value, E=worst.rib.E, a_xy=worst.a_xy, q=s.flow)
        lines.append(work(strength.sheared_rib_stress, **terms))
    demand = lines[-1].value
    where = ", ".join(filter(None, (worst.rib.name, worst.generator, worst.pressure)))
    if worst.limit > LEAST_STRESS:
        room = limit - fixed.value
        total = work(interaction.rib_margin, s_c=limit, s_p=fixed.value, f_s=s.factor, s_L=demand)
        parts = _parts(s, worst)
        uses = tuple(ComponentUse(key, 1.0, float(x), room, float(s.factor * x / room)) for key, x in parts.items())
        return dict(
            demand=demand,
            capacity=room,
            components=uses,
            note=joined(note, where),
            worked=(*worked, *s.worked_loads, *lines, total),
        )
    total = work(strength.stress_margin, F=limit, sigma=fixed.value)
    note = joined(note, f"{where}: {fails} under the fixed loads alone")
    return dict(demand=fixed.value, capacity=limit, note=note, worked=(*worked, fixed, total))


def _parts(s: State, worst: RibState) -> dict[str, Number]:
    """What each load component adds to the stress of the limit loads [Pa]."""
    thrust, hoop = s.external_line_loads if worst.external else (0.0, 0.0)
    parts = {AXIAL: strength.rib_stress(**worst.limit_terms | {"N_x": worst.held - s.N_a, "N_theta": 0.0})}
    further = {key: worst.rib.E * worst.a_xy * x for key, x in s.further.items() if key != EXTERNAL}
    if EXTERNAL in s.further:
        further[EXTERNAL] = strength.rib_stress(**worst.limit_terms | {"N_x": -thrust, "N_theta": -hoop})
    return {**parts, BENDING: worst.limit - sum(further.values(), start=parts[AXIAL]), **further}
