"""Crippling of ribs against their own membrane stress: for one design or for many.

The stress of a rib comes from A^-1 (N_x, N_theta) of its wall. Pressure is fixed and unfactored: the thrust of closed
ends, the hoop line load p R, and with it the compression that the Poisson effect of hoop tension puts into axial ribs.
The external loads scale, on both generators. An axial tension that relieves the rib is held fixed. External pressure
scales in a state of its own: it relieves ribs along the axis of open barrels, and never acts beside internal pressure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from ..handbook import interaction, strength
from ..model.walls import RibFamily, SmearedWall
from .components import EXTERNAL
from .membrane import AXIAL, HOOP, LEAST_STRESS, SHEAR_FLOW, rib_strain
from .post_buckled import shed_wall, tension_growth
from .state import State


@dataclass(frozen=True)
class RibState:
    """A rib in one state: stresses compression positive [Pa], of what is held fixed and of the limit loads that scale,
    the strain along it per shear flow [m/N], the axial tension held fixed [N/m], and whether external pressure is among
    the limit loads; `loaded` where the rib is compressed by either, `margin` there."""

    rib: RibFamily
    generator: str
    pressure: str
    fixed: float | np.ndarray
    fixed_terms: dict[str, float | np.ndarray]
    limit: float | np.ndarray
    limit_terms: dict[str, float | np.ndarray]
    a_xy: float | np.ndarray
    held: float | np.ndarray
    external: bool
    margin: np.ndarray
    loaded: np.ndarray


def rib_states(state: State, ribs: Iterable[RibFamily], crippling: float | np.ndarray) -> Iterator[RibState]:
    """Every state in which ribs of one crippling stress [Pa] are judged.

    Parameters
    ----------
    state : State
    ribs : iterable of RibFamily
        Of the stability wall.
    crippling : float or numpy.ndarray
        Crippling stress, none above yield [Pa].
    """
    wall, R = shed_wall(state), state.R
    tensioned = tension_growth(state)
    outside = state.external_line_loads
    tried = [(name, p, False) for name, p in state.pressures.items()]
    if EXTERNAL in state.further:
        tried.insert(0, ("external pressure", state.p_min, True))
    for rib in ribs:
        flow = dict(E=rib.E, a_x=rib_strain(wall, rib, AXIAL), a_theta=rib_strain(wall, rib, HOOP))
        # a shear flow compresses an inclined rib one way round and its mirror image the other
        a_xy = np.abs(rib_strain(wall, rib, SHEAR_FLOW))
        for generator, sign in (("compressed generator", 1.0), ("tensioned generator", -tensioned)):
            of_force = strength.rib_stress(**flow, N_x=-state.N_a, N_theta=0.0)
            # an axial tension that relieves the rib is a stabilising load: fixed and unfactored
            held = np.where(np.less(state.N_a, 0) & (of_force < 0), np.minimum(state.N_a, 0.0), 0.0)
            for name, p, external in tried:
                thrust_load, hoop_load = outside if external else (0.0, 0.0)
                N_x = -(state.N_a - held + sign * state.N_b) - thrust_load
                limit_terms = dict(**flow, N_x=N_x, N_theta=-hoop_load)
                limit = strength.sheared_rib_stress(strength.rib_stress(**limit_terms), rib.E, a_xy, state.flow)
                thrust = p * R / 2 if state.case.barrel.closed else 0.0
                fixed_terms = dict(**flow, N_x=thrust - held, N_theta=p * R)
                fixed = strength.rib_stress(**fixed_terms)
                scaled = limit > LEAST_STRESS
                alone = ~scaled & (fixed > crippling)
                with np.errstate(divide="ignore", invalid="ignore"):
                    margin = np.where(
                        scaled,
                        interaction.rib_margin(crippling, fixed, state.factor, np.where(scaled, limit, 1.0)),
                        strength.stress_margin(crippling, np.where(alone, fixed, 1.0)),
                    )
                yield RibState(
                    rib,
                    generator,
                    name,
                    fixed,
                    fixed_terms,
                    limit,
                    limit_terms,
                    a_xy,
                    held,
                    external,
                    margin,
                    scaled | alone,
                )


def most_compressed(wall: SmearedWall) -> tuple[RibFamily, np.ndarray]:
    """The family that axial compression alone compresses most, and its stress per compressive line load [1/m].

    The families of a grid keep their order by direction, so one answer serves a stack of walls of one pattern.
    """
    stresses = [(rib, rib.E * rib_strain(wall, rib, AXIAL)) for rib in wall.ribs]
    return max(stresses, key=lambda one: float(np.max(one[1])))
