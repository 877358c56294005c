"""Stresses of skin and ribs in proportion to a shear flow or to an external pressure, for their elastic range."""

from __future__ import annotations

import numpy as np

from ..handbook import strength
from ..model.walls import SmearedWall
from .engines import Number
from .membrane import AXIAL, HOOP, SHEAR_FLOW, membrane_stresses
from .plasticity import Proportional, curve_of, rib_metal
from .state import State

LEAST_RATE = 1e-9
"""Share of the largest stress below which that of another element is rounding."""


def flow_elements(s: State, wall: SmearedWall) -> tuple[Proportional, ...]:
    """Skin (twice its shear stress, as the standard has it) and ribs under a shear flow; none without a metal."""
    if wall.skin is None:
        return ()
    plane, direct = membrane_stresses(wall, SHEAR_FLOW)
    return _elements(s, wall, 2 * np.abs(plane[..., 2]), [np.abs(x) for x in direct])


def pressure_elements(s: State, wall: SmearedWall) -> tuple[Proportional, ...]:
    """Skin and ribs under an external pressure, with the thrust of closed ends; none without a metal.

    Of a plain wall the hoop stress p R/t counts, of a stiffened one the effective stress of the skin and the
    compression of its ribs.
    """
    if wall.skin is None:
        return ()
    R = np.asarray(s.R, float)[..., None]
    plane, direct = membrane_stresses(wall, -R * (HOOP + (AXIAL / 2 if s.case.barrel.closed else 0.0)))
    if not wall.ribs:
        return _elements(s, wall, s.R / s.t, [])
    skin = strength.von_mises_stress(*np.moveaxis(plane, -1, 0))
    return _elements(s, wall, skin, [np.maximum(-x, 0.0) for x in direct])


def skin_rates(s: State, wall: SmearedWall) -> tuple[Number, Number, Number]:
    """Stresses of the skin: axial and hoop compression per external pressure, 0 for a tension, and shear stress per
    shear flow [1/m]."""
    R = np.asarray(s.R, float)[..., None]
    plane, _ = membrane_stresses(wall, -R * (HOOP + (AXIAL / 2 if s.case.barrel.closed else 0.0)))
    sheared, _ = membrane_stresses(wall, SHEAR_FLOW)
    return np.maximum(-plane[..., 0], 0.0), np.maximum(-plane[..., 1], 0.0), np.abs(sheared[..., 2])


def _elements(s: State, wall: SmearedWall, skin: Number, ribs: list[Number]) -> tuple[Proportional, ...]:
    metal = curve_of(s.case.material, s.load.temperature)
    found = [Proportional("skin", metal, skin)]
    for rib, rate in zip(wall.ribs, ribs, strict=True):
        if np.any(rate > LEAST_RATE * skin):
            own = rib_metal(s.case, rib)
            curve = metal if own is s.case.material else curve_of(own, s.load.temperature)
            found.append(Proportional(rib.name, curve, np.maximum(rate, LEAST_RATE * skin)))
    return tuple(found)
