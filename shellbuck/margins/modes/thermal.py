"""Strength of skin and rings with restrained thermal stress on top of the stress of the loads.

Thermal stress is a load like others (SP-8007 Rev 2, 3.0). It carries the factor where that is worse and none where it
relieves (own rule: both are tried for every part of it, the worse counts). Two places of the skin are judged, at a ring
and away from rings, at both faces. A part of the wall that only the gradient strains has no ring term.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from ...core.errors import Refusal
from ...core.records import Check, Worked
from ...handbook import strength, thermal, work
from ...model import Case
from ...model.barrel import HELD
from ...model.walls import RibFamily
from ...model.walls.stiffness import plane_stress_stiffness
from ..engines import Number
from ..findings import Findings, Row, Story
from ..membrane import LEAST_STRESS, membrane_stresses
from ..state import State
from .mode import FailureMode
from .strength import factored_states

_SOURCE = "plane stress; ring and skin as a strip on its hoop stiffness (own); gradient by Timoshenko (memory)"
FACES = (("outer face", 1.0), ("inner face", -1.0))


@dataclass(frozen=True, eq=False)
class Parts:
    """Thermal stresses of a load case without any factor [Pa]: of the gradient at the outer face, along and around; of
    the rings in the skin's middle and at its outer face less that, (..., 3); in the ring itself."""

    gradient: np.ndarray
    membrane: np.ndarray
    bending: np.ndarray
    ring: Number
    lines: tuple[tuple[Any, dict[str, Number]], ...]
    """Formulas with their inputs."""


def parts(s: State) -> Parts:
    """Thermal stresses of a load case, of one design or of many."""
    given, wall = s.load.thermal, s.engines.strength_wall(s.temperature)
    skin = wall.skin
    terms = dict(E=skin.E, nu=skin.nu, alpha_T=given.expansion, dT=given.gradient)
    lines = [(thermal.gradient_stress, terms)]
    # the hot face is compressed; a free end raises the hoop stress
    face = -thermal.gradient_stress(**terms)
    free = any(end is not None and not HELD[end] for end in (s.case.barrel.edges, s.case.barrel.edges_far))
    share = thermal.free_edge_share(skin.nu) if free else 1.0
    if free:
        lines.append((thermal.free_edge_share, dict(nu=skin.nu)))
    zero = 0.0 * face
    gradient = np.stack(np.broadcast_arrays(face, face * share, zero), axis=-1)
    ring = _ring(s)
    if ring is None:
        nothing = np.zeros_like(gradient)
        return Parts(gradient, nothing, nothing, 0.0, tuple(lines))
    bare = wall.without("rings")
    F, D = bare.flexibility, np.asarray(bare.reduced_bending)[..., 0, 0]
    of_decay = dict(E_y=1 / F[..., 1, 1], D_x=D, R=s.R)
    beta = thermal.decay_number(**of_decay)
    of_ring, of_skin = dict(E=ring.E, A=ring.area, R=s.R), dict(D_x=D, beta_s=beta, s=ring.spacing)
    k_r, k_s = thermal.ring_radial_stiffness(**of_ring), thermal.skin_radial_stiffness(**of_skin)
    of_strain = dict(alpha_r=given.of_rings, dT=given.ring_difference, k_r=k_r, k_s=k_s)
    e_w = thermal.ring_strain(**of_strain)
    of_bend = dict(e_w=e_w, R=s.R, beta_s=beta, s=ring.spacing)
    kappa = thermal.ring_curvature(**of_bend)
    of_stress = dict(E=ring.E, e_w=e_w, alpha_r=given.of_rings, dT=given.ring_difference)
    lines += [
        (thermal.decay_number, of_decay),
        (thermal.ring_radial_stiffness, of_ring),
        (thermal.skin_radial_stiffness, of_skin),
        (thermal.ring_strain, of_strain),
        (thermal.ring_curvature, of_bend),
        (thermal.ring_thermal_stress, of_stress),
    ]
    plane = plane_stress_stiffness(skin.E, skin.nu)
    stretch = F[..., :, 1] / F[..., 1, 1, None] * np.asarray(e_w)[..., None]
    bend = np.asarray(skin.t / 2 * kappa)[..., None] * np.array([1.0, 0.0, 0.0])
    return Parts(
        gradient,
        (plane @ stretch[..., None])[..., 0],
        (plane @ bend[..., None])[..., 0],
        thermal.ring_thermal_stress(**of_stress),
        tuple(lines),
    )


def _ring(s: State) -> RibFamily | None:
    """The rings of the strength wall where they have a temperature of their own."""
    if not np.any(s.load.thermal.ring_difference):
        return None
    ring = next((rib for rib in s.engines.strength_wall(s.temperature).ribs if rib.name == "rings"), None)
    if ring is None:  # many designs: the base case may have no difference
        what, where = "this wall has no rings", "thermal.ring_difference"
        raise Refusal.of("thermal-wall", what, where, way_out="leave it out")
    return ring


def rows(s: State, _: Findings) -> Iterator[Row]:
    """Skin, then rings, at yield and ultimate; idle in a load case without temperature differences."""
    rings = any(rib.name == "rings" for rib in s.wall.ribs)
    factors = s.load.factors
    for part in ("skin", "rings") if rings else ("skin",):
        for what, factor in (("yield", factors.yield_factor), ("ultimate", factors.ultimate_factor)):
            title = f"{part} with thermal stress, {what}"
            if s.load.thermal is None:
                story = Story(dict(quantity="stress", demand=None, note="no temperature difference"))
                yield Row(title, np.nan, False, idle="holds", story=lambda story=story: story, factor=factor)
            elif part == "skin":
                yield _skin_row(s, title, what, factor)
            else:
                yield _ring_row(s, title, what, factor)


def _skin_row(s: State, title: str, what: str, factor: Number) -> Row:
    names, loads = factored_states(s, factor)
    wall, heat, point = s.engines.strength_wall(s.temperature), parts(s), s.point
    plane = membrane_stresses(wall, loads)[0]
    if (
        max(heat.gradient.ndim, heat.membrane.ndim) > 1 and plane.ndim == 2
    ):  # designs that differ in their temperatures alone
        plane = plane[:, None]
    found, where = [], []
    for (k, of_k), (g, of_g) in itertools.product(((factor, "factored"), (1.0, "unfactored")), repeat=2):
        for place, at_ring in (("at a ring", 1.0), ("away from rings", 0.0)):
            for face, z in FACES:
                more = at_ring * k * (heat.membrane + z * heat.bending) + g * z * heat.gradient
                found.append(strength.von_mises_stress(*np.moveaxis(plane + more, -1, 0)))
                where += [f"{name}; {place} ({of_k}), {face}, gradient {of_g}" for name in names]
    stress = np.concatenate(np.broadcast_arrays(*found), axis=0)
    F = np.minimum(point.tension_yield, point.compressive_yield) if what == "yield" else point.ultimate
    return _row(s, title, factor, stress, np.broadcast_to(F, stress.shape), where, heat, "von Mises")


def _ring_row(s: State, title: str, what: str, factor: Number) -> Row:
    names, loads = factored_states(s, factor)
    wall, heat = s.engines.strength_wall(s.temperature), parts(s)
    k = next(i for i, rib in enumerate(wall.ribs) if rib.name == "rings")
    own, direct = s.rib_point(wall.ribs[k]), membrane_stresses(wall, loads)[1][k]
    if np.ndim(heat.ring) and direct.ndim == 1:
        direct = direct[:, None]
    both = [direct + times * heat.ring for times in (factor, 1.0)]
    signed = np.concatenate(np.broadcast_arrays(*both), axis=0)
    at_yield = np.where(signed < 0, own.compressive_yield, own.tension_yield)
    F = at_yield if what == "yield" else np.broadcast_to(own.ultimate, signed.shape)
    where = [f"{name}; thermal stress {word}" for word in ("factored", "unfactored") for name in names]
    return _row(s, title, factor, np.abs(signed), F, where, heat, "direct stress")


def _row(
    s: State, title: str, factor: Number, stress: np.ndarray, F: np.ndarray, where: list[str], heat: Parts, how: str
) -> Row:
    at = np.argmax(stress / F, axis=0)[None]
    sigma, limit = (np.take_along_axis(x, at, axis=0)[0] for x in (stress, F))

    def story() -> Story:
        lines = tuple(work(function, **inputs) for function, inputs in heat.lines)
        loaded = bool(sigma >= LEAST_STRESS)
        margin: tuple[Worked, ...] = (work(strength.stress_margin, F=limit, sigma=sigma),) if loaded else ()
        row = dict(
            quantity="stress",
            demand=float(sigma),
            capacity=float(limit),
            equation=f"{how} of the loads and of the temperature differences: {where[int(at[0])]}",
            source=_SOURCE,
            note=f"expansion: {s.load.thermal.source}",
            worked=(*lines, *margin),
        )
        return Story(row, tuple(_checks(s, heat)) if title.startswith("skin") else ())

    return Row(
        title, strength.stress_margin(limit, sigma), sigma >= LEAST_STRESS, idle="holds", story=story, factor=factor
    )


def _checks(s: State, heat: Parts) -> Iterator[Check]:
    """What is not judged: buckling under the hoop compression that cold rings leave in the skin."""
    hoop = float(heat.membrane[..., 1])
    if hoop < 0:
        text = (
            f"rings colder than the skin compress it around by {-hoop / 1e6:.4g} MPa beside them; buckling under this "
            "local compression is not judged"
        )
        headline = "buckling of the skin beside cold rings not checked"
        yield Check("thermal-compression", "warned", text, s.load.name, "own rule", headline)


def _heated(case: Case) -> bool:
    return any(load.thermal is not None for load in case.load_cases)


MODES = (
    FailureMode(
        "thermal-strength",
        "skin and rings with thermal stress, yield, ultimate",
        66,
        "strength",
        _heated,
        rows,
        walls="walls with dimensions, in load cases with temperature differences",
        capacity="yield and ultimate over the stress of the factored loads with the restrained thermal stress on top, "
        "with its factor or without, whichever is worse",
        knockdown="none",
        valid="elastic; rings alike and evenly spaced; properties at the temperature of the load case",
        source=_SOURCE,
        formulas=("gradient-stress", "ring-strain", "ring-curvature", "ring-thermal-stress"),
        shape="no buckling mode",
    ),
)
