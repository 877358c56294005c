"""Small cases that tests build on; plain SI numbers, invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import shellbuck as sb

FACTORS = sb.Factors(ultimate_factor=1.4, yield_factor=1.1, source="test")
METAL = sb.Material(
    "test metal",
    "test",
    2800.0,
    0.33,
    (sb.MaterialPoint(294.0, 70e9, 400e6, 450e6, compression_modulus=72e9, compression_yield=380e6),),
    hardening_exponent=60.0,
    hardening_source="a sharp yield point: stresses up to .6 of yield are elastic to 1e-13, so that tests of elastic "
    "loads are plain arithmetic",
)
STRONG = replace(METAL, points=(replace(METAL.points[0], tension_yield=3e9, ultimate=3.5e9, compression_yield=3e9),))
"""The same stiffness without yield: every load is elastic."""

BARREL = sb.Barrel(radius=1.5, length=2.0, ends="closed", skin_thickness=2.6e-3, skin_thickness_minimum=2.5e-3)


def slow(*values: Any) -> list[Any]:
    """Values of a parameter that only the slow tests take: `[1, 2, *slow(3, 4)]`; a tuple is a row of several."""
    return [pytest.param(*(v if isinstance(v, tuple) else (v,)), marks=pytest.mark.slow) for v in values]


def load(**more) -> sb.LoadCase:
    """A load case of 400 kN and 100 kN m without pressure, changed by `more`."""
    base = dict(name="case", factors=FACTORS, axial_force=400e3, bending_moment=100e3)
    return sb.LoadCase(**{**base, **more})


def pressed(low: float, high: float | None = None, **more) -> sb.LoadCase:
    """The load case under pressure, its axial force without thrust."""
    thrust = {"axial_force_includes_thrust": False} if "axial_force_includes_thrust" not in more else {}
    return load(pressure_minimum=low, pressure_maximum=low if high is None else high, **thrust, **more)


def case(wall, *loads, barrel=BARREL, material=METAL, **policy) -> sb.Case:
    """A case of a wall; keyword arguments go to the policy. Modes that the wall leaves open are checked elsewhere."""
    open_modes = tuple(sb.CheckedElsewhere(mode, "test") for mode in wall.open_modes)
    return sb.Case(barrel, wall, loads or (load(),), material, sb.Policy(**policy), checked_elsewhere=open_modes)


def barrel(**more) -> sb.Barrel:
    """The test barrel with changes."""
    return replace(BARREL, **more)


PLAIN = sb.PlainWall()
GRID = sb.TriangularGrid("hoop", "inside", 0.013, 0.0025, triangle_height=0.09)
STRINGERS = sb.Stiffeners("outside", "blade", 0.02, 0.0025, spacing=0.08)
RINGS = sb.Stiffeners("inside", "given", area=200e-6, inertia=5e-8, eccentricity=0.03, torsion_constant=4e-10, count=4)
STIFFENED = sb.StiffenedWall(STRINGERS, RINGS)
ORTHOGRID = sb.Orthogrid("inside", 0.012, 0.0025, 0.0025, stringer_spacing=0.08, ring_spacing=0.1)
WALLS = {
    "plain": PLAIN,
    "grid": GRID,
    "stiffened": STIFFENED,
    "stringers": sb.StiffenedWall(STRINGERS),
    "rings": sb.StiffenedWall(None, RINGS),
    "orthogrid": ORTHOGRID,
}


def row(result, mode: str, load_case: int = 0):
    """The margin row of a failure mode."""
    return next(r for r in result.load_cases[load_case].margins if r.mode == mode)


def codes(result, status: str = "warned") -> set[str]:
    """Codes of the validity list with this status."""
    return {c.code for c in result.validity if c.status == status}
