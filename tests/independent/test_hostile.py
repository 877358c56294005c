"""Barrels that do not hold, made to read "holds": each was tried by hand, and each must stay caught."""

from __future__ import annotations

import math
from dataclasses import replace

import barrel_margins as own
import designs
import numpy as np
import pytest
import smeared

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.margins import evaluate
from shellbuck.model import CheckedElsewhere

E, NU, YIELD = 74e9, 0.33, 350e6
METAL = sb.Material(
    "aluminium",
    "invented",
    2800.0,
    NU,
    (sb.MaterialPoint(294.0, 73e9, YIELD, 440e6, compression_modulus=E, compression_yield=YIELD),),
)
STRONG = replace(METAL, points=(replace(METAL.points[0], compression_yield=2.9e9, tension_yield=2.9e9, ultimate=3e9),))
FACTORS = sb.FACTOR_SETS["agency prototype"]  # 1.4 ultimate


def barrel(R=1.6, L=2.4, t=2e-3, ends="open", **more):
    return sb.Barrel(radius=R, length=L, ends=ends, skin_thickness=t, skin_thickness_minimum=t, **more)


def run(barrel, wall, axial, metal=METAL, moment=0.0, **more):
    pressures = {k: more.pop(k) for k in ("pressure_minimum", "pressure_maximum") if k in more}
    load = sb.LoadCase("a", FACTORS, axial_force=axial, bending_moment=moment, **pressures)
    return sb.run(sb.Case(barrel, wall, (load,), metal, **more))


def margin(result, mode):
    return next(row.margin for row in result.margins if row.mode == mode)


def test_ends_that_leave_the_hoop_motion_free():
    """SS1 (v free) halves the classical load of a perfect tube (Ohira 1961; Hoff & Rehfield 1965); R/t 60 earns a
    factor of .65: at f_s N = .6 N_cl the barrel is lost. The short tube may lie a few per cent above the half."""
    t = 1 / 60
    classical = E * t**2 / math.sqrt(3 * (1 - NU**2))
    axial = 2 * math.pi * 0.6 * classical / 1.4
    assert run(barrel(1.0, 1.5, t), sb.PlainWall(), axial, STRONG).verdict.exit_status == 0
    held = run(barrel(1.0, 1.5, t, edges="SS1"), sb.PlainWall(), axial, STRONG)
    assert held.verdict.exit_status == 1
    assert margin(held, "general instability") == pytest.approx(0.5 / 0.6 - 1, abs=0.03)


def test_cantilever():
    """C4 at one end, nothing at the other: a quarter of the pinned column, pi^2 E I/(4 L^2); shear and the wall's own
    deformation take .2 % of it at L/R 40."""
    R, L, t = 0.5, 20.0, 12e-3
    euler = math.pi**2 * E * math.pi * R**3 * t / L**2
    found = run(barrel(R, L, t, edges="C4", edges_far="FREE"), sb.PlainWall(), 0.5 * euler / 1.4, STRONG)
    assert found.verdict.exit_status == 1
    assert min(row.margin for row in found.margins) == pytest.approx(0.25 / 0.5 - 1, abs=2e-3)


def test_stringers_crushed_by_hoop_tension():
    """Open ends, pressure alone: the Poisson strain of the hoop force shortens the stringers (2 x 2 membrane)."""
    R, t, d, b, count, p = 1.6, 2e-3, 0.03, 1e-3, 120, 0.4e6
    wall = sb.StiffenedWall(sb.Stiffeners("outside", "blade", depth=d, thickness=b, count=count))
    found = run(barrel(R, 2.4, t), wall, 0.0, STRONG, pressure_minimum=0.0, pressure_maximum=p)
    Q, ribs = E * t / (1 - NU**2), E * b * d / (2 * math.pi * R / count)
    strain = NU * Q * p * R / ((Q + ribs) * Q - (NU * Q) ** 2)  # shortening
    crippling = 6 * (1 - NU) / math.pi**2 * math.pi**2 * E / (12 * (1 - NU**2)) * (b / d) ** 2
    assert E * strain > 2 * crippling
    assert found.verdict.exit_status == 1
    assert margin(found, "stringer web") == pytest.approx(crippling / (E * strain) - 1, rel=1e-9)


@pytest.mark.parametrize(("share", "status"), [(0.99, 0), (1.99, 0), (2.01, 2)])
def test_thin_rings(share, status):
    """Flat bars beyond twice 0.4 sqrt(E/F_cy) (DNV-RP-C202, from memory) hold nothing up."""
    thickness = 4e-3
    depth = share * 0.4 * math.sqrt(E / YIELD) * thickness
    rings = sb.Stiffeners("outside", "blade", depth=depth, thickness=thickness, count=23)
    found = run(barrel(), sb.StiffenedWall(None, rings), 1e5)
    assert found.verdict.exit_status == status
    assert ("ring blades" in found.verdict.text) == (share > 1)


def test_given_section_is_not_checked_by_silence():
    rings = sb.Stiffeners(
        "outside", "given", area=1e-4, inertia=1e-8, eccentricity=0.02, torsion_constant=1e-9, count=23
    )
    wall = sb.StiffenedWall(None, rings)
    assert run(barrel(), wall, 1e4).verdict.exit_status == 3
    named = tuple(CheckedElsewhere(mode, "note 12") for mode in ("ring crippling", "ring rolling"))
    assert run(barrel(), wall, 1e4, checked_elsewhere=named).verdict.exit_status == 0
    with pytest.raises(Refusal, match="not a failure mode that this wall leaves unchecked"):
        run(barrel(), wall, 1e6, checked_elsewhere=(CheckedElsewhere("general instability", "note 12"),))


def test_nothing_loaded_and_a_thrust_that_is_no_thrust():
    assert run(barrel(), sb.PlainWall(), 0.0).verdict.exit_status == 3
    for thrust in (-1e5, 1e6):
        with pytest.raises(Refusal, match="thrust pressure"):
            sb.LoadCase(
                "a",
                FACTORS,
                1e6,
                pressure_minimum=0.0,
                pressure_maximum=1e5,
                axial_force_includes_thrust=True,
                thrust_pressure=thrust,
            )


def _steps(case, varied, mode):
    found = evaluate(case, varied)
    values = found.margins[:, 0, found.modes.index(mode)]
    assert not np.isnan(values).any()
    return np.abs(np.diff(values))


def test_no_cliff_in_stringer_depth():
    """Blade depth through t_e = 1.5 t and 3 t in steps of .02 mm: no jump (there was one of .39 in the margin)."""
    wall = sb.StiffenedWall(sb.Stiffeners("outside", "blade", depth=4e-3, thickness=2e-3, count=400))
    case = sb.Case(barrel(), wall, (sb.LoadCase("a", FACTORS, axial_force=8e5),), STRONG)
    depths = np.arange(1e-3, 25e-3, 0.02e-3)
    ratios = [_thickness_ratio(case, depth) for depth in depths[[0, -1]]]
    assert ratios[0] < 1.5
    assert ratios[1] > 3
    assert _steps(case, {"wall.stringers.depth": depths}, "general instability").max() < 4e-3


def _thickness_ratio(case, depth):
    wall = replace(case.wall, stringers=replace(case.wall.stringers, depth=float(depth)))
    own_barrel = designs.barrel_of(replace(case, wall=wall), case.load_cases[0])
    return own.equivalent_thickness(smeared.stiffness(own_barrel, own_barrel.t)) / own_barrel.t


def test_no_cliff_in_length():
    """Plain walls over L/R 2.9 to 5.2 in steps of .002: Sanders' load fades in (it came in at once, 16 % at L/R 5)."""
    case = sb.Case(barrel(), sb.PlainWall(), (sb.LoadCase("a", FACTORS, axial_force=1e5, bending_moment=1e4),), STRONG)
    steps = _steps(case, {"barrel.length": 1.6 * np.arange(2.9, 5.2, 0.002)}, "general instability")
    assert steps.max() < 2e-3
