"""Membrane stresses of skin and ribs, and the line load of first yield: for one wall or for a stack of walls.

Strains A^-1 N without curvature. Numbers may be floats or (N,) arrays, so that one design and many share them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from ..handbook import strength
from ..model.walls import RibFamily, SmearedWall
from ..model.walls.stiffness import plane_stress_stiffness

AXIAL, HOOP, SHEAR_FLOW = np.eye(3)
"""Unit line loads, tension positive, and a unit shear flow."""

LEAST_STRESS = 1e-3
"""[Pa]; below this there is no stress to judge."""

ROUNDING = 1e-9
"""Share of the wall's largest strain below which the strain along a rib is rounding."""


class Yield(NamedTuple):
    """Yield strengths [Pa] in compression and tension."""

    compression: float | np.ndarray
    tension: float | np.ndarray


def membrane_stresses(wall: SmearedWall, N: np.ndarray) -> tuple[np.ndarray, list[np.ndarray]]:
    """Skin stresses (..., 3) and rib stresses (...) [Pa] of line loads N (x, theta, x-theta) (..., 3) [N/m], tension
    positive, curvature left out."""
    strain = (wall.flexibility @ N[..., None])[..., 0]
    plane = plane_stress_stiffness(wall.skin.E, wall.skin.nu)
    return (plane @ strain[..., None])[..., 0], [rib.E * (strain @ rib.direction) for rib in wall.ribs]


def rib_strain(wall: SmearedWall, rib: RibFamily, N: np.ndarray) -> np.ndarray:
    """Strain along a rib per line load N (3,) [m/N]; exactly 0 where it is rounding."""
    strain = wall.flexibility @ N
    along = strain @ rib.direction
    return np.where(np.abs(along) > ROUNDING * np.abs(strain).max(axis=-1), along, 0.0)


class SkinYield(NamedTuple):
    """Terms of `strength.skin_yield_line_load`, and the net line load [N/m]: -inf where hoop tension alone is beyond
    yield at every axial load."""

    terms: dict[str, float | np.ndarray]
    load: float | np.ndarray


def skin_yield(wall: SmearedWall, N_theta: float | np.ndarray, F: float | np.ndarray) -> SkinYield:
    """Net axial line load, compression positive, at which the skin yields under a fixed hoop line load [N/m]."""
    push, pull = (membrane_stresses(wall, N)[0] for N in (-AXIAL, HOOP))
    s_x, s_y, q_x, q_y = push[..., 0], push[..., 1], pull[..., 0] * N_theta, pull[..., 1] * N_theta
    terms = dict(
        s=strength.von_mises_stress(s_x, s_y, 0.0),
        k=s_x * q_x + s_y * q_y - (s_x * q_y + s_y * q_x) / 2,
        q=strength.von_mises_stress(q_x, q_y, 0.0),
        F=F,
    )
    with np.errstate(invalid="ignore"):
        load = strength.skin_yield_line_load(**terms)
    return SkinYield(terms, np.where(np.isnan(load), -np.inf, load))


def rib_yields(
    wall: SmearedWall, N_theta: float | np.ndarray, limits: Sequence[Yield]
) -> Iterator[tuple[RibFamily, dict[str, float | np.ndarray], float | np.ndarray]]:
    """Every rib family with the terms of `strength.rib_yield_line_load` and its net line load [N/m]."""
    for rib, limit in zip(wall.ribs, limits, strict=True):
        push, pull = (rib.E * rib_strain(wall, rib, N) for N in (-AXIAL, HOOP))
        tension = push > 0  # the axial compression stretches this rib
        s = np.abs(push)
        q = np.where(tension, -1.0, 1.0) * pull * N_theta
        terms = dict(s=s, q=q, F=np.where(tension, limit.tension, limit.compression))
        with np.errstate(divide="ignore", invalid="ignore"):
            load = strength.rib_yield_line_load(**terms)
        yield rib, terms, np.where(s > 0, load, np.inf)
