"""The stringer with its skin as a column between rings, and the clear width of the skin."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from builders import BARREL, METAL, STRINGERS, STRONG, case, load, row
from finite_strips import lowest_stress
from test_rolling import FRAMES, TEES

import shellbuck as sb
from shellbuck.handbook import sections
from shellbuck.model.sections import Angle, Tee, Zee

E, NU, F_CY, T = 72e9, 0.33, 380e6, 2.5e-3
TITLE = "stringer column between rings"


def gyration(b: float, n: float = 1.0) -> float:
    """40 deep tee, web 38 x 2, flange 16 x 2, with a width of skin of 2.5 mm [mm]."""
    A, up = 108.0, (76 * 19 + 32 * 39) / 108
    own = 2 * 38**3 / 12 + 76 * (up - 19) ** 2 + 16 * 8 / 12 + 32 * (39 - up) ** 2
    skin, z = n * b * 2.5, up + 1.25
    middle = A * z / (A + skin)
    I = own + A * (z - middle) ** 2 + n * b * 2.5**3 / 12 + skin * middle**2  # noqa: E741
    return math.sqrt(I / (A + skin))


def test_johnson_and_euler_by_hand():
    """check-values: F_cc 40 ksi, E 10.3e6 psi, L/rho 40: 33 704 psi; the curves meet at 71.29 (textbook)."""
    assert sections.johnson_stress(40e3, 10.3e6, 40.0) == pytest.approx(33704, abs=1)
    assert sections.johnson_switch(40e3, 10.3e6) == pytest.approx(71.29, abs=0.01)
    at = sections.johnson_switch(40e3, 10.3e6)
    assert sections.johnson_stress(40e3, 10.3e6, at) == pytest.approx(20e3, rel=1e-12)
    assert sections.euler_stress(10.3e6, at) == pytest.approx(20e3, rel=1e-12)


def test_a_short_column_by_hand():
    """Crippling .8 of yield (Gerard's cut-off of tees; web and flange reach more); bay 400 mm; the skin of 80 mm, or
    80 sqrt(sigma_skin/F_cc) of it, whichever gives the lesser radius."""
    wall = sb.StiffenedWall(replace(TEES, thickness=2e-3), FRAMES)
    result = sb.run(case(wall))
    crippling = row(result, "stringer crippling").capacity
    skin = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / 0.08) ** 2
    rho = min(gyration(80.0), gyration(min(80.0, 80 * math.sqrt(skin / crippling))))
    expected = crippling - crippling**2 * (400 / rho) ** 2 / (4 * math.pi**2 * E)
    got = row(result, TITLE)
    assert 400 / rho < math.pi * math.sqrt(2 * E / crippling)
    assert got.capacity == pytest.approx(expected, rel=1e-9)
    assert got.note.startswith("Johnson's parabola from the crippling stress")
    assert {"stringer-gyration", "johnson-stress", "johnson-switch"} <= {line.formula for line in got.worked}


def test_a_long_column_is_eulers():
    """One ring: the bay is 1000 mm, and without yield the crippling stress lies above twice Euler's."""
    frames = replace(FRAMES, count=1)
    thick = replace(TEES, thickness=4e-3, flange_width=0.03, depth=0.03)
    got = row(sb.run(case(sb.StiffenedWall(thick, frames), material=STRONG)), TITLE)
    lines = {line.formula: line for line in got.worked}
    rho = lines["stringer-gyration"].value
    assert got.capacity == pytest.approx(math.pi**2 * E / (1.0 / rho) ** 2, rel=1e-9)
    assert "johnson-stress" not in lines


def test_a_round_curve_reduces_euler_too():
    """Johnson's parabola leaves half the crippling stress alone; a metal with a round curve is softer there."""
    frames = replace(FRAMES, count=1)
    soft = replace(METAL, hardening_exponent=4.0)
    sharp, round_ = (
        row(sb.run(case(sb.StiffenedWall(TEES, frames), material=m)), TITLE).capacity for m in (METAL, soft)
    )
    assert round_ < 0.97 * sharp


def test_it_is_withheld_where_the_skin_buckles_first():
    result = sb.run(case(sb.StiffenedWall(replace(TEES, spacing=0.3), FRAMES), load(axial_force=4e6)))
    assert row(result, "skin pocket").status == "fails"
    got = row(result, TITLE)
    assert got.status == "withheld"
    assert got.margin is None
    assert "skin pocket buckles below the ultimate line load" in got.note


def test_blades_and_walls_without_rings_have_none():
    for wall in (sb.StiffenedWall(STRINGERS, FRAMES), sb.StiffenedWall(TEES)):
        assert TITLE not in {r.mode for r in sb.run(case(wall)).margins}


@pytest.mark.parametrize("length", [0.4, 0.7])
@pytest.mark.parametrize("t", [0.002, 0.004])
@pytest.mark.parametrize(
    "section",
    [
        Zee(0.03, 0.0016, 0.014, 0.014, "welded"),
        Angle(0.03, 0.002, 0.016, "flange", "welded"),
        Tee(0.03, 0.002, 0.02, "web", "integral"),
    ],
    ids=lambda s: s.name,
)
def test_column_and_rolling_together_lie_below_the_strips(section, t, length):
    """Stringer and skin to mid-bay as one assembly of plates: an unsymmetric section bends sideways too, and the lowest
    mode of a zee lies up to 17 % below Euler's stress about the axis along the skin. Its rolling row is lower still."""
    s, line = 0.08, section.middle_line
    at = {name: (y, z + t / 2) for name, (y, z) in line.points.items()} | {"root": (0.0, 0.0)}
    feet = {line.points[b][0]: thick for _, b, thick in line.walls if b.startswith("foot")}
    walls = [(at[a], at[b], thick) for a, b, thick in line.walls if not b.startswith("foot")]
    stops = sorted({-s / 2, 0.0, s / 2, *feet})
    for left, right in pairwise(stops):
        under = sum(thick for y, thick in feet.items() if min(0, y) <= left and right <= max(0, y))
        walls.append(((left, 0.0), (right, 0.0), t + under))
    found = lowest_stress(walls, length, [], mirrors=((-s / 2, 0.0), (s / 2, 0.0)))
    rho = sections.stringer_gyration(section.area, section.inertia, section.height(t), 1.0, s, t)
    euler = sections.euler_stress(72e9, length / rho)
    across, up, _ = section.moments_about(section.hinge)
    terms = dict(G=72e9 / 2.6, J=section.torsion, E=72e9, C_w=section.warping_about(section.hinge), I_p=across + up)
    rolling = sections.rolling_stress(**terms, L=length)
    assert found > 0.99 * min(euler, rolling)
    assert min(found, 450e6) > 0.8 * min(euler, 450e6)


# --- clear width of the skin


def test_the_clear_width_counts_with_a_reason():
    """Hats at 100 mm with rivets 44 mm apart: 56 mm of skin are left; centre to centre stays the default."""
    hats = sb.Stiffeners(
        "outside",
        "hat",
        depth=0.03,
        thickness=1.6e-3,
        crown_width=0.02,
        base_width=0.03,
        foot_width=0.014,
        joint="riveted",
        spacing=0.1,
    )
    wall, barrel = sb.StiffenedWall(hats), replace(BARREL, ends="open")
    default = row(sb.run(case(wall, barrel=barrel, material=STRONG)), "skin strip")
    result = sb.run(case(wall, barrel=barrel, material=STRONG, clear_width=sb.Reason("rivets hold the skin, test P-3")))
    clear = row(result, "skin strip")
    sigma = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / 0.1) ** 2
    assert default.capacity == pytest.approx(sigma * (T + hats.profile.area / 0.1), rel=1e-9)
    assert clear.capacity == pytest.approx(default.capacity * (100 / 56) ** 2, rel=1e-9)
    assert default.beside[-1].line_load == pytest.approx(clear.capacity)
    assert clear.beside[-1].line_load == pytest.approx(default.capacity)
    assert "clear width" in clear.equation
    assert (
        "clear width of the skin between its lines of attachment",
        "rivets hold the skin, test P-3",
    ) in result.departures
    narrow = replace(hats, spacing=0.07)
    got = row(
        sb.run(case(sb.StiffenedWall(narrow), barrel=barrel, material=STRONG, clear_width=sb.Reason("x"))), "skin strip"
    )
    assert got.capacity == pytest.approx(
        4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / 0.044) ** 2 * (T + hats.profile.area / 0.07)
    )
