"""Local modes and strength, each written out again here; sources named beside the check."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, GRID, METAL, ORTHOGRID, PLAIN, RINGS, STIFFENED, STRINGERS, case, codes, load, pressed, row

import shellbuck as sb

R, T, E, NU, FS = 1.5, 2.5e-3, 72e9, 0.33, 1.4
N = 400e3 / (2 * math.pi * R) + 100e3 / (math.pi * R**2)
TIGHT = 1e-12


def grid_alpha(h=0.09, b=0.0025, d=0.013):
    return b * d / (T * h)


@pytest.mark.parametrize(("family", "c"), [("hoop", 6.0136), ("axial", 6.0974)])
def test_triangular_pocket_official_and_beside(family, c):
    """Isolated simply supported triangle (own, converged) official; the handbook's 10.2 (second-hand) beside it."""
    p = 40e3
    wall = replace(GRID, family=family, triangle_height=0.12)
    got = row(sb.run(case(wall, pressed(p))), "skin pocket")
    a = grid_alpha(h=0.12)
    expected = c / (1 - NU**2) * E * T * (1 + a) * (T / 0.12) ** 2
    assert got.margin == pytest.approx((expected + p * R / 2) / (FS * N) - 1, rel=TIGHT)
    assert got.beside[0].line_load == pytest.approx(10.2 * E * T * (1 + a) * (T / 0.12) ** 2, rel=TIGHT)


def test_handbook_pocket_only_with_a_reason():
    wall = replace(GRID, triangle_height=0.12)
    result = sb.run(case(wall, handbook_pocket=sb.Reason("stout ribs, test T-2")))
    expected = 10.2 * E * T * (1 + grid_alpha(h=0.12)) * (T / 0.12) ** 2
    assert row(result, "skin pocket").capacity == pytest.approx(expected, rel=TIGHT)
    assert result.departures == (("handbook pocket coefficient made official", "stout ribs, test T-2"),)


def test_rib_crippling_depends_on_orientation():
    """NASA CR-124075 (second-hand): 0.616 with a hoop family, 0.411 with an axial one; the cut-off follows 2/3 : 1."""
    slender = replace(GRID, rib_thickness=0.0008)
    loads = {}
    for family, c in (("hoop", 0.616), ("axial", 0.411)):
        got = row(sb.run(case(replace(slender, family=family))), "rib crippling")
        loads[family] = got.capacity
        expected = c * E * T * (1 + grid_alpha(b=0.0008)) * (0.0008 / 0.013) ** 2
        assert got.capacity == pytest.approx(expected, rel=TIGHT)
    assert loads["hoop"] / loads["axial"] == pytest.approx(1.5, rel=2e-3)  # 0.616/0.411 as printed
    stout = row(sb.run(case(GRID)), "rib crippling")
    assert stout.capacity == pytest.approx(1.5 * 380e6 * T * (1 + grid_alpha()), rel=TIGHT)
    assert "cut off at compressive yield" in stout.note


def test_skin_strip_flat_is_official_curved_beside():
    """k = 4 over the centre-to-centre width (textbook), skin share t/(t + A_s/b); curved strip of Z_b beside."""
    b = 0.08
    got = row(sb.run(case(sb.StiffenedWall(STRINGERS))), "skin strip")
    sigma = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / b) ** 2
    share = T / (T + 0.02 * 0.0025 / b)
    assert got.capacity == pytest.approx(sigma * T / share, rel=TIGHT)
    Z = b**2 * math.sqrt(1 - NU**2) / (R * T)
    assert got.beside[0].line_load == pytest.approx(got.capacity * (1 + 3 * Z**2 / math.pi**4 / 4), rel=TIGHT)


def test_rectangular_pocket_has_the_finite_value_beside():
    got = row(sb.run(case(ORTHOGRID)), "skin pocket")
    k = min((m * 0.08 / 0.1 + 0.1 / (m * 0.08)) ** 2 for m in range(1, 6))
    finite = next(b for b in got.beside if b.name == "flat pocket of finite length")
    assert finite.line_load == pytest.approx(got.capacity * k / 4, rel=TIGHT)


def test_strip_share_weighs_the_stringers_by_their_modulus():
    steel = sb.Material("steel", "test", 7900.0, 0.28, (sb.MaterialPoint(294.0, 200e9, 600e6, 800e6, None, 600e6),))
    got = row(sb.run(case(sb.StiffenedWall(replace(STRINGERS, material=steel)))), "skin strip")
    sigma = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / 0.08) ** 2
    assert got.capacity == pytest.approx(sigma * (T + 0.02 * 0.0025 / 0.08 * 200 / 72), rel=TIGHT)


def test_stringer_web():
    """Hinged root, one edge free: k = 6 (1 - nu)/pi^2 (exact long-plate limit; 0.4255 at nu = 0.3, textbook)."""
    slender = replace(STRINGERS, thickness=0.001)
    got = row(sb.run(case(sb.StiffenedWall(slender))), "stringer web")
    sigma = 6 * (1 - NU) / math.pi**2 * math.pi**2 * E / (12 * (1 - NU**2)) * (0.001 / 0.02) ** 2
    assert got.capacity == pytest.approx(sigma * (T + 0.02 * 0.001 / 0.08), rel=TIGHT)


def test_given_sections_leave_crippling_and_rolling_unchecked():
    """Unknown is not satisfied: the run is incomplete (exit 3) until the case names where they were checked."""
    given = replace(case(STIFFENED), checked_elsewhere=())
    result = sb.run(given)
    assert result.verdict.exit_status == 3
    assert result.verdict.not_checked == ("ring crippling", "ring rolling")
    assert row(result, "ring crippling").status == "not covered"
    assert result.verdict.text.startswith("incomplete: 11 modes checked, none negative; smallest of the other margins")
    assert "not checked: ring crippling, ring rolling" in result.verdict.text
    named = tuple(sb.CheckedElsewhere(f"ring {mode}", "report T-7") for mode in ("crippling", "rolling"))
    held = sb.run(replace(given, checked_elsewhere=named)).verdict
    assert (held.exit_status, held.word, held.modes_checked, held.not_checked) == (0, "holds", 11, ())
    assert "checked elsewhere: ring crippling (report T-7), ring rolling (report T-7)" in held.text


def test_a_mode_checked_elsewhere_must_be_one_that_the_wall_leaves_open():
    entry = sb.CheckedElsewhere("ring cripling", "report T-7")
    with pytest.raises(sb.Refusal, match='allowed: "ring crippling", "ring rolling"'):
        replace(case(STIFFENED), checked_elsewhere=(entry,))
    with pytest.raises(sb.Refusal, match="every known mode of this wall has a row"):
        replace(case(GRID), checked_elsewhere=(entry,))


def test_negative_margins_come_before_what_is_unchecked():
    verdict = sb.run(replace(case(STIFFENED, load(axial_force=9e6)), checked_elsewhere=())).verdict
    assert (verdict.exit_status, verdict.word) == (1, "does not hold")
    assert {"ring crippling", "ring rolling"} <= set(verdict.not_checked)


def test_a_load_case_without_loads_is_incomplete():
    """Two load cases, one empty: its name is said, and the barrel does not count as held."""
    idle = load(name="transport", axial_force=0.0, bending_moment=0.0)
    verdict = sb.run(case(GRID, load(), idle)).verdict
    assert verdict.exit_status == 3
    assert "load case transport: nothing is loaded" in verdict.not_checked


def test_few_rings_to_a_half_wave_stand_in_the_headline():
    """Smeared theory needs closely spaced stiffeners: a half-wave L/m over the ring spacing below two is said."""
    wall = sb.StiffenedWall(STRINGERS, sb.Stiffeners("inside", "blade", 0.03, 0.003, count=2))
    result = sb.run(case(wall))
    governing = min(result.load_cases[0].loads[:2], key=lambda found: found.line_load)
    assert 2.0 / governing.m / (2.0 / 3) < 2  # the case is one that must be warned
    assert "fewer than two rings to a half-wave of general instability" in result.verdict.text


def test_local_mode_has_no_relief_with_open_ends():
    given = load(pressure_minimum=60e3, pressure_maximum=60e3)
    opened = sb.run(case(GRID, given, barrel=replace(BARREL, ends="open")))
    assert row(opened, "skin pocket").margin == row(sb.run(case(GRID)), "skin pocket").margin


def test_plain_skin_strength_on_both_generators():
    """Equilibrium: s_x = (-N + p R/2)/t compressed, (+) tensioned, s_y = p R/t; von Mises; factor on all loads."""
    p_min, p_max = 50e3, 400e3
    result = sb.run(case(PLAIN, pressed(p_min, p_max)))
    Na, Nb = 400e3 / (2 * math.pi * R), 100e3 / (math.pi * R**2)

    def vm(Nx, p):
        x, y = (Nx + p * R / 2) / T, p * R / T
        return math.sqrt(x * x - x * y + y * y)

    worst = max(vm(-Na - Nb, p_max), vm(-Na - Nb, p_min), vm(-Na + Nb, p_max))
    assert row(result, "skin, yield").margin == pytest.approx(380e6 / (1.1 * worst) - 1, rel=1e-10)
    assert row(result, "skin, ultimate").margin == pytest.approx(450e6 / (1.4 * worst) - 1, rel=1e-10)


def test_rib_stress_of_a_uniaxial_grid():
    """Isotropic nu = 1/3 state (own): inclined ribs +2/3, hoop rib -1/3 of N/(t (1 + alpha)); rings share no shear."""
    metal = replace(METAL, poissons_ratio=1 / 3)
    result = sb.run(case(GRID, load(bending_moment=0.0), material=metal))
    smeared = 400e3 / (2 * math.pi * R) / (T * (1 + grid_alpha()))
    assert row(result, "ribs at +-30 deg, yield").demand == pytest.approx(2 / 3 * smeared, rel=1e-10)
    assert row(result, "ribs at 90 deg, yield").demand == pytest.approx(1 / 3 * smeared, rel=1e-10)


def test_stress_of_rounding_size_has_no_margin():
    """Axial family, nu = 1/3, pure axial load: the inclined ribs carry nothing (own), and get no margin of 1e16."""
    metal = replace(METAL, poissons_ratio=1 / 3)
    result = sb.run(case(replace(GRID, family="axial"), load(bending_moment=0.0), material=metal))
    got = row(result, "ribs at +-60 deg, yield")
    assert (got.status, got.margin, got.note) == ("holds", None, "no stress")


def test_rib_yield_follows_the_sign():
    """Compressed stringers are judged by the compressive yield, tensioned ones by the tension yield."""
    squeezed = row(sb.run(case(STIFFENED, load(axial_force=9e5))), "stringers, yield")
    assert squeezed.capacity == 380e6
    pulled = row(sb.run(case(STIFFENED, load(axial_force=-9e5))), "stringers, yield")
    assert pulled.capacity == 400e6


def test_membrane_equilibrium_of_every_wall():
    """Skin and rib forces add up to the applied line loads (statics, to rounding)."""
    from shellbuck.assess.state import membrane_stresses

    for wall in (PLAIN, GRID, STIFFENED, ORTHOGRID):
        smeared = sb.build_wall(case(wall))
        N_given = np.array([-1.0e5, 6.0e4, 0.0])
        skin, ribs = membrane_stresses(smeared, N_given)
        total = skin * T + sum(
            s * rib.area / rib.spacing * rib.direction for s, rib in zip(ribs, smeared.ribs, strict=True)
        )
        assert total == pytest.approx(N_given, rel=1e-10, abs=1e-5)


def test_mode_warnings():
    result = sb.run(case(sb.StiffenedWall(replace(STRINGERS, spacing=0.12), replace(RINGS, area=60e-6))))
    assert "ring-area" in codes(result)
    assert "local-below-general" in codes(result)


def test_missing_minimum_pressure_is_taken_as_zero():
    result = sb.run(case(PLAIN, load(pressure_maximum=1e5, axial_force_includes_thrust=False)))
    assert any("minimum pressure missing: taken as 0; maximum pressure is never used for stability" in c.text
               for c in result.validity)  # fmt: skip
    assert row(result, "general instability").margin == row(sb.run(case(PLAIN)), "general instability").margin


def test_pattern_that_does_not_close_is_warned():
    assert "pattern-fit" in codes(sb.run(case(GRID)))
    closing = replace(STRINGERS, spacing=None, count=118)
    assert "pattern-fit" not in codes(sb.run(case(sb.StiffenedWall(closing))))


def test_typical_properties_are_warned():
    assert "typical-properties" in codes(sb.run(case(PLAIN, material=sb.material("2195-T8"))))
