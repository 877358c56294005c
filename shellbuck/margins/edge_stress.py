"""Stress near held edges: the bending of skin and ribs in the nonlinear axisymmetric state before buckling.

A held edge keeps the wall from following its own bulge under pressure and axial load. The state of the Ritz engine
(edges, springs, single rings and load height of the case) at every factored state of strength gives strains at both
faces of the skin and at both ends of a rib's section; stresses are elastic. A line load of bending is judged as if that
of its generator stood all around (own rule, as for the buckling load with edge bending). Wall: minimum skin thickness,
tension modulus. N_x, which is the same all along, and the hoop strain w/R close the strains:
e_x = (N_x - A12 e_theta - B11 k_x)/A11 with k_x = -w''.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..core.errors import ShellbuckError
from ..handbook import strength
from ..model.walls.stiffness import plane_stress_stiffness
from .state import State

SOURCE = "own Rayleigh-Ritz engine: nonlinear axisymmetric state before buckling, elastic"

TIE = 1e-9
"""Relative difference of stresses that are the same: of both ends of a barrel the first is named."""


@dataclass(frozen=True)
class EdgeStress:
    """The worst stress of a part of the wall: title, factor, stress and allowable [Pa], and where it stands; no stress
    where the state does not exist (`lost`) or could not be computed (`reason`)."""

    title: str
    factor: float
    stress: float | None
    allowable: float | None
    where: str = ""
    lost: bool = False
    reason: str = ""

    @property
    def margin(self) -> float:
        """Margin of safety; -1 where the barrel loses its state before the factored loads."""
        if self.stress is None or self.allowable is None:
            return -1.0 if self.lost else float("nan")
        return float(strength.stress_margin(self.allowable, self.stress))


def edge_stresses(s: State) -> tuple[EdgeStress, ...]:
    """Skin, then every rib family with known dimensions, at yield and at ultimate, of a single design."""
    return s.kept.setdefault("edge stress", tuple(_found(s)))


def _found(s: State) -> Iterator[EdgeStress]:
    from ..engines.ritz.edge_state import EdgeStates  # the engine loads only when it is needed

    factors = s.load.factors
    for what, factor in (("yield", factors.yield_factor), ("ultimate", factors.ultimate_factor)):
        title = f"skin near held edges, {what}"
        try:
            states = s.engines.kept(("edge states", s.temperature), lambda: EdgeStates(_problem(s)))
            yield from _worst(s, states, what, factor)
        except ShellbuckError as error:
            yield EdgeStress(title, factor, None, None, reason=error.problems[0].sentence())
        except (ArithmeticError, ValueError, np.linalg.LinAlgError) as error:
            reason = f"the engine failed: {type(error).__name__}: {error}"[:300]
            yield EdgeStress(title, factor, None, None, reason=reason)


def _problem(s: State):
    from ..compare import problem_of

    return problem_of(s.case, s.engines.strength_wall(s.temperature), s.temperature)


def _worst(s: State, states, what: str, factor: float) -> Iterator[EdgeStress]:
    """The largest share of the allowable over states, stations and fibres, part by part."""
    from .modes.strength import factored_states

    wall = s.engines.strength_wall(s.temperature)
    names, loads = factored_states(s, factor)
    parts: dict[str, tuple[float, float, str]] = {}
    for name, N in zip(names, loads, strict=True):
        bent = states.at(float(-N[0]), float(N[1] / s.R))
        if bent is None:
            text = f"the factored load, {-N[0] / 1e3:.4g} kN/m, exceeds the {states.most / 1e3:.4g} kN/m at which the "
            text += f"barrel loses its axisymmetric state ({name})"
            yield EdgeStress(f"skin near held edges, {what}", factor, None, None, text, lost=True)
            return
        k_x, e_theta = -bent.curvature, bent.deflection / s.R
        e_x = (N[0] - wall.A[0, 1] * e_theta - wall.B[0, 0] * k_x) / wall.A[0, 0]
        g = np.full_like(e_x, float((wall.flexibility @ N)[2]))
        for part, height, sigma, allowable in _fibres(s, what, e_x, e_theta, k_x, g):
            use = sigma / allowable
            at = int(np.argmax(use))
            if part not in parts or use[at] > (1 + TIE) * parts[part][0] / parts[part][1]:
                place = bent.x[np.argmax(use >= (1 - TIE) * use[at])]
                where = f"{name}; x = {1e3 * place:.4g} mm, {height}"
                parts[part] = float(sigma[at]), float(allowable[at]), where
    for part, (sigma, allowable, where) in parts.items():
        yield EdgeStress(f"{part} near held edges, {what}", factor, sigma, allowable, where)


def _fibres(
    s: State, what: str, e_x: np.ndarray, e_theta: np.ndarray, k_x: np.ndarray, g: np.ndarray
) -> Iterator[tuple[str, str, np.ndarray, np.ndarray]]:
    """Part of the wall, where in it, size of the stress (s,) and its allowable [Pa]."""
    wall, point = s.engines.strength_wall(s.temperature), s.point
    t = wall.skin.t
    plane = plane_stress_stiffness(wall.skin.E, wall.skin.nu)
    F_y = min(point.tension_yield, point.compressive_yield)
    allowable = np.full_like(e_x, F_y if what == "yield" else point.ultimate)
    for face, z in (("outer face", t / 2), ("inner face", -t / 2)):
        stress = plane @ np.stack([e_x + z * k_x, e_theta, g])
        yield "skin", face, strength.von_mises_stress(*stress), allowable
    for rib, drawn in zip(wall.ribs, s.case.ribs, strict=True):
        elements = drawn.section.elements
        if not elements or rib.name.startswith("ribs at -"):
            continue
        own = s.rib_point(rib)
        beyond = 0.0 if drawn.section.blade[0] is not None else max(e.thickness for e in elements) / 2
        for end, z in (("root", t / 2), ("outer end", t / 2 + drawn.section.reach + beyond)):
            along = np.stack([e_x + drawn.outward * z * k_x, e_theta, 0 * e_x], axis=-1) @ rib.direction
            stress = rib.E * along
            at_yield = np.where(stress < 0, own.compressive_yield, own.tension_yield)
            limit = at_yield if what == "yield" else np.full_like(stress, own.ultimate)
            yield rib.name.replace("at +", "at +-"), end, np.abs(stress), limit
