"""The identity that a margin row carries: the load it names gives back the row's own capacity.

The capacity is worked out here from the identified load, its factors and the relief p R/2; a row that named another
load (that at pressure, say) would not give it.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, GRID, ORTHOGRID, PLAIN, STIFFENED, STRONG, WALLS, case, load, pressed, row

import shellbuck as sb
from shellbuck.core import records
from shellbuck.engines import closed_form
from shellbuck.model.walls import build_wall

R = 1.5
TIGHT = 1e-12  # the same arithmetic in another order


def pair(demand: float, limits: tuple[float, float], relief: float) -> float:
    """Sum of the line loads at which the linear interaction of axial compression and bending is 1 [N/m]."""
    N_a, N_b = 400e3 / (2 * math.pi * R), 100e3 / (math.pi * R**2)
    assert demand == pytest.approx(N_a + N_b)
    return (N_a + N_b) / (N_a / (limits[0] + relief) + N_b / (limits[1] + relief))


def named(result, basis) -> records.Load:
    (found,) = [ld for ld in result.load_cases[0].loads if ld.name == basis.load]
    return found


@pytest.mark.parametrize("gain", [None, sb.Reason("test")])
@pytest.mark.parametrize("p", [0.0, 60e3])
@pytest.mark.parametrize("wall", [GRID, STIFFENED, ORTHOGRID])
def test_general_mode_of_a_stiffened_wall(wall, p, gain):
    result = sb.run(case(wall, pressed(p), material=STRONG, computed_pressure_gain=gain))
    got = row(result, "general instability")
    basis = got.basis
    relief = p * R / 2
    assert basis.pressure == (p if gain else 0.0)
    limits = got.knockdown("axial") * basis.line_load, got.knockdown("bending") * basis.line_load
    assert got.capacity == pytest.approx(pair(got.demand, limits, relief), rel=TIGHT)
    found = named(result, basis)
    assert (found.m, found.n, found.theory, found.line_load) == (basis.m, basis.n, basis.theory, basis.line_load)
    # its (m, n), theory and pressure put into the closed form give the load back
    again = closed_form.line_loads(
        build_wall(case(wall), None),
        R,
        basis.length,
        np.array([basis.m]),
        np.array([basis.n]),
        N_theta=basis.pressure * R,
        theory=basis.theory,
    )
    assert basis.line_load == pytest.approx(float(np.ravel(again)[0]), rel=1e-9)
    assert (basis.kind, basis.region, basis.length, basis.load_case) == ("mode", "barrel", 2.0, "case")


def test_pressure_moves_the_mode_and_the_row_stays_with_its_own():
    """A grid under pressure: the mode at pressure is another one; the margin rests on that without."""
    result = sb.run(case(GRID, pressed(400e3)))
    basis = row(result, "general instability").basis
    pressed_ones = [ld for ld in result.load_cases[0].loads if ld.name.endswith("at minimum pressure")]
    assert min(ld.line_load for ld in pressed_ones) > 1.02 * basis.line_load
    assert (basis.m, basis.n) not in {(ld.m, ld.n) for ld in pressed_ones}
    assert basis.load.endswith("without pressure")


def test_plain_wall_rests_on_the_letter_which_has_no_mode():
    """The standard's equations are a formula; the mode beside is that of the same theory at the same pressure."""
    for p in (0.0, 60e3):
        result = sb.run(case(PLAIN, pressed(p)))
        basis = row(result, "general instability").basis
        assert (basis.kind, basis.m, basis.n, basis.load) == (
            "equation",
            None,
            None,
            "general instability, classical equation",
        )
        E, t, nu = 72e9, 2.5e-3, 0.33
        assert basis.line_load == pytest.approx(E * t**2 / (R * math.sqrt(3 * (1 - nu**2))), rel=TIGHT)
        assert basis.pressure == p  # the increment is credited at it
        assert basis.beside == f"general instability, Donnell, {'at minimum' if p else 'without'} pressure"
        assert basis.beside in [ld.name for ld in result.load_cases[0].loads]
    own = sb.OwnKnockdown(0.3, 0.4, "test")
    basis = row(sb.run(case(PLAIN, pressed(60e3), own_knockdown=own)), "general instability").basis
    assert basis.pressure == 0.0  # no increment, so no hoop tension in it
    assert basis.beside.endswith("without pressure")


def test_long_plain_wall_rests_on_the_sanders_mode():
    barrel = replace(BARREL, length=15.0)
    result = sb.run(case(PLAIN, barrel=barrel))
    basis = row(result, "general instability").basis
    assert (basis.kind, basis.theory, basis.m) == ("mode", "Sanders", 1)
    got = row(result, "general instability")
    limits = got.knockdown("axial") * basis.line_load, got.knockdown("bending") * basis.line_load
    assert got.capacity == pytest.approx(pair(got.demand, limits, 0.0), rel=TIGHT)


@pytest.mark.parametrize("wall", ["stiffened", "rings"])
def test_panel_rests_on_its_bay(wall):
    result = sb.run(case(WALLS[wall]))
    basis = row(result, "panel between rings").basis
    assert basis.region == "bay between rings"
    assert basis.length == pytest.approx(0.4)  # 4 rings leave 5 bays of a length of 2 m
    assert basis.kind == ("mode" if wall == "stiffened" else "equation")
    assert named(result, basis).line_load == basis.line_load


def test_column_local_and_strength_rows():
    result = sb.run(case(STIFFENED))
    column = row(result, "column (n = 1)")
    assert (column.basis.kind, column.basis.m, column.basis.n) == ("column", 1, 1)
    if not column.basis.limited:
        assert column.capacity == pytest.approx(2 * math.pi * R * column.basis.line_load, rel=TIGHT)
    strip, web = row(result, "skin pocket"), row(result, "stringer web")
    assert strip.basis.kind == web.basis.kind == "plate"
    assert "width 0.08" in strip.basis.field
    assert "depth 0.02 m" in web.basis.field
    assert all(r.basis is None for r in result.margins if r.kind == "strength")


def test_a_load_above_yield_does_not_set_the_capacity():
    """A column of 2 m is far above yield: its row says so, and so does that of short bays."""
    result = sb.run(case(STIFFENED))
    assert row(result, "column (n = 1)").basis.limited == "compressive yield"
    assert row(result, "general instability").basis.limited == ""


def test_a_wall_without_compression_rests_on_nothing():
    result = sb.run(case(GRID, load(axial_force=-400e3, bending_moment=0.0)))
    # but for the hoop ribs: axial tension compresses them through the Poisson effect of the grid
    assert all(r.basis is None for r in result.margins if r.mode != "rib crippling")
    assert "ribs at 90 deg, compressed generator" in row(result, "rib crippling").note
