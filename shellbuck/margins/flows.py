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
    if not wall.ribs:
        return _elements(s, wall, s.R / s.t, [])
    plane, direct = membrane_stresses(wall, _per_pressure(s))
    skin = strength.von_mises_stress(*np.moveaxis(plane, -1, 0))
    return _elements(s, wall, skin, [np.maximum(-x, 0.0) for x in direct])


def skin_shear(wall: SmearedWall) -> Number:
    """Shear stress of the skin per shear flow [1/m]."""
    return np.abs(membrane_stresses(wall, SHEAR_FLOW)[0][..., 2])


def skin_compression(s: State, wall: SmearedWall) -> tuple[Number, Number]:
    """Axial and hoop compression of the skin per external pressure; 0 for a tension."""
    plane, _ = membrane_stresses(wall, _per_pressure(s))
    return np.maximum(-plane[..., 0], 0.0), np.maximum(-plane[..., 1], 0.0)


def _per_pressure(s: State) -> np.ndarray:
    """Line loads of an external pressure of 1 [m], with the thrust of closed ends, tension positive."""
    return -np.asarray(s.R, float)[..., None] * (HOOP + (AXIAL / 2 if s.case.barrel.closed else 0.0))


def _elements(s: State, wall: SmearedWall, skin: Number, ribs: list[Number]) -> tuple[Proportional, ...]:
    metal = curve_of(s.case.material, s.load.temperature)
    found = [Proportional("skin", metal, skin)]
    for rib, rate in zip(wall.ribs, ribs, strict=True):
        if np.any(rate > LEAST_RATE * skin):
            own = rib_metal(s.case, rib)
            curve = metal if own is s.case.material else curve_of(own, s.load.temperature)
            found.append(Proportional(rib.name, curve, np.maximum(rate, LEAST_RATE * skin)))
    return tuple(found)
