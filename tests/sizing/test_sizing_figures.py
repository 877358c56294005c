"""Plate, chips, pockets, welds, money and heat against sums made here."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import GRID, METAL, ORTHOGRID, STIFFENED, case
from scipy.integrate import quad
from sizing_builders import DEMAND

import shellbuck as sb
from shellbuck.margins import assess
from shellbuck.sizing.production import CONDUCTED, conducted, production

R, L, T = 1.5, 2.0, 2.6e-3
SURFACE = 2 * math.pi * R * L


def of(wall, **more):
    asked = replace(DEMAND, **more)
    barrel_case = case(wall)
    return production(asked, barrel_case, assess(barrel_case))


def test_triangular_grid():
    f = of(replace(GRID, corner_radius=6e-3))
    h, d, b = 0.09, 0.013, 0.0025
    # inside ribs at R - (d + t)/2: one family around is shorter by that ratio, two at 30 degrees by their helix
    near = 1 - (d + T) / 2 / R
    ribs = b * d / h * (near + 2 * math.sqrt(0.75 + 0.25 * near**2))
    corners = f.corner_mass / METAL.density / SURFACE
    assert f.buy_to_fly == pytest.approx((T + d * near) / (T + ribs + corners))
    assert f.chip_fraction == pytest.approx(1 - 1 / f.buy_to_fly)
    assert f.milled_volume == pytest.approx(SURFACE * (d * near - ribs - corners))
    assert f.pockets == round(SURFACE / (h * h / math.sqrt(3)))  # a triangle of height h has the area h^2/sqrt 3
    # corner of 60 degrees: between its sides and the cutter's circle, integrated
    r = 6e-3
    half, _ = quad(
        lambda x: x * math.tan(math.pi / 6) - (math.sqrt(max(r * r - (x - 2 * r) ** 2, 0.0)) if x > r else 0.0),
        0,
        1.5 * r,
        points=[r],
    )
    # pockets are counted whole in the figures and as they come in the mass: one in 4000
    assert f.corner_mass == pytest.approx(f.pockets * 3 * 2 * half * d * METAL.density, rel=2e-4)


def test_orthogrid_pockets_and_corners():
    f = of(replace(ORTHOGRID, corner_radius=6e-3))
    assert f.pockets == round(2 * math.pi * R / 0.08 * L / 0.1)
    corners = (4 - math.pi) * 36e-6 * 0.012 * METAL.density
    assert f.corner_mass == pytest.approx(f.pockets * corners, rel=3e-4)  # half a pocket of 2356
    assert of(ORTHOGRID).corner_mass == 0


def test_built_up_wall_counts_parts_and_joints():
    f = of(STIFFENED)
    stringers = round(2 * math.pi * R / 0.08)
    assert f.parts == 4 + stringers + 4  # panels 2.5 m wide around 9.42 m, rings between the supports
    assert f.joint_length == pytest.approx(stringers * L + 4 * 2 * math.pi * R)
    assert f.weld_length == pytest.approx(4 * L)
    assert (f.chip_mass, f.buy_to_fly) == (0, 1)


def test_cost_is_the_sum_of_its_parts_and_none_without_a_price():
    prices = sb.Prices("2026-11", "test", "EUR", (sb.PlatePrice(METAL.name, 10.0),), 15.0, 200.0, 50.0)
    f = of(GRID, prices=prices)
    assert f.cost == pytest.approx(10 * f.raw_mass + 15 * f.chip_mass + 200 * f.weld_length + 50 * f.parts)
    other = replace(prices, plates=())
    assert of(GRID, prices=other).cost is None
    assert of(GRID).cost is None


def test_heat_of_a_grid_flows_through_skin_and_ribs():
    """Ribs at 90 and +-30 degrees carry cos^2 of their share: 0 + 3/4 + 3/4 of b d/h."""
    heat = sb.Heat(90.0, (sb.Conductivity(METAL.name, 100.0, "test"),))
    f = of(GRID, heat=heat)
    through = T + 1.5 * 0.0025 * 0.013 / 0.09
    assert f.heat == pytest.approx(2 * math.pi * R * through * 100 * 204 / L, rel=1e-9)


def test_known_conductivities_are_those_of_the_fits_and_no_others():
    """Integrals to 294 K in W/m (read: NIST fits at 20, 77, 90, 111 K); straight between them, none outside."""
    assert CONDUCTED["304 annealed"][20.0] == 2920.0
    assert conducted(sb.Heat(90.0), "6061-T6") == 26600.0
    assert conducted(sb.Heat(100.5), "304 annealed") == pytest.approx(2410.0)
    assert conducted(sb.Heat(150.0), "304 annealed") is None
    assert conducted(sb.Heat(90.0), "2219-T87") is None


def test_local_to_general_ratio_and_load_index():
    f = of(GRID)
    result = assess(case(GRID))
    general = min(ld.line_load for ld in result.load_cases[0].loads if ld.name.startswith("general instability"))
    local = min(r.capacity for r in result.margins if r.kind == "local")  # no pressure: no relief in it
    assert f.local_to_general == pytest.approx(local / general)
    N = 1.4 * (400e3 / (2 * math.pi * R) + 100e3 / (math.pi * R**2))
    assert f.load_index == pytest.approx(N / R)
    assert f.specific_load == pytest.approx(N / f.mass_per_area)
