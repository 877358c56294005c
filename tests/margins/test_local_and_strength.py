"""Local modes and strength, each written out again here; sources named beside the check."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import (
    BARREL,
    GRID,
    METAL,
    ORTHOGRID,
    PLAIN,
    RINGS,
    STIFFENED,
    STRINGERS,
    STRONG,
    case,
    codes,
    load,
    pressed,
    row,
)

import shellbuck as sb
from shellbuck.margins.engines import Engines
from shellbuck.margins.modes.ribs import flat_ribs
from shellbuck.margins.state import State
from shellbuck.model.sections import Element

R, T, E, NU, FS = 1.5, 2.5e-3, 72e9, 0.33, 1.4
RINGED = sb.StiffenedWall(None, RINGS)
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
    result = sb.run(case(wall, material=STRONG, handbook_pocket=sb.Reason("stout ribs, test T-2")))
    expected = 10.2 * E * T * (1 + grid_alpha(h=0.12)) * (T / 0.12) ** 2
    assert row(result, "skin pocket").capacity == pytest.approx(expected, rel=TIGHT)
    assert result.departures == (("handbook pocket coefficient made official", "stout ribs, test T-2"),)


def in_plane(*ribs: tuple[float, float, float, float]) -> np.ndarray:
    """A (3, 3) of the test skin and of ribs (degrees, E, area, spacing), written out again."""
    C = E * T / (1 - NU**2)
    A = C * np.array([[1, NU, 0], [NU, 1, 0], [0, 0, (1 - NU) / 2]])
    for degrees, modulus, area, spacing in ribs:
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        along = np.array([c * c, s * s, c * s])
        A = A + modulus * area / spacing * np.outer(along, along)
    return A


def rib_stress(A: np.ndarray, degrees: float, modulus: float, Nx: float, Nt: float) -> float:
    """Stress along a rib, compression positive, of line loads (tension positive)."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return -modulus * float(np.linalg.solve(A, [Nx, Nt, 0.0]) @ [c * c, s * s, c * s])


@pytest.mark.parametrize(
    ("family", "c", "angles", "worst"), [("hoop", 0.616, (90, 30, -30), 30), ("axial", 0.411, (0, 60, -60), 0)]
)
def test_rib_crippling_depends_on_orientation(family, c, angles, worst):
    """NASA CR-124075 (second-hand): 0.616 with a hoop family, 0.411 with an axial one. The handbook's load becomes the
    stress of its most compressed rib; without pressure the margin is then that of the load."""
    b, d, h = 0.0008, 0.013, 0.09
    got = row(sb.run(case(replace(GRID, family=family, rib_thickness=b))), "rib crippling")
    handbook = c * E * T * (1 + grid_alpha(b=b)) * (b / d) ** 2
    A = in_plane(*((a, E, b * d, h) for a in angles))
    assert got.capacity == pytest.approx(rib_stress(A, worst, E, -handbook, 0.0), rel=1e-10)
    assert got.margin == pytest.approx(handbook / (FS * N) - 1, rel=1e-10)
    assert got.quantity == "stress"
    stout = row(sb.run(case(replace(GRID, family=family))), "rib crippling")
    assert stout.capacity == pytest.approx(380e6, rel=TIGHT)
    assert "limited to compressive yield" in stout.note


@pytest.mark.parametrize("ends", ["closed", "open"])
def test_pressure_compresses_axial_ribs_through_the_skin(ends):
    """Hoop tension shrinks the barrel along its axis: p R on an axial rib outweighs its share of the thrust where the
    hoop direction is soft. Pressure is fixed and unfactored, the worse of both counts (all own arithmetic)."""
    p_min, p_max, b, d, spacing = 100e3, 500e3, 0.0012, 0.02, 0.08
    wall = sb.StiffenedWall(replace(STRINGERS, thickness=b))
    given = dict(pressure_minimum=p_min, pressure_maximum=p_max)
    thrust = {"axial_force_includes_thrust": False} if ends == "closed" else {}
    got = row(sb.run(case(wall, load(**given, **thrust), barrel=replace(BARREL, ends=ends))), "stringer web")
    A = in_plane((0, E, b * d, spacing))
    crippling = 6 * (1 - NU) / 12 * E / (1 - NU**2) * (b / d) ** 2
    s_L = rib_stress(A, 0, E, -N, 0.0)
    margins = []
    for p in (p_min, p_max):
        s_p = rib_stress(A, 0, E, p * R / 2 if ends == "closed" else 0.0, p * R)
        margins.append((crippling - s_p) / (FS * s_L) - 1)
    assert got.margin == pytest.approx(min(margins), rel=1e-9, abs=1e-9)
    pressure = "minimum pressure" if margins[0] < margins[1] else "maximum pressure"
    assert pressure == ("maximum pressure" if ends == "open" else "minimum pressure")
    assert f"stringers, compressed generator, {pressure}" in got.note
    # force and bending moment share it as they share the line load
    axial = 400e3 / (2 * math.pi * R) / N / (1 + min(margins))
    shares = [pytest.approx(x, rel=1e-9) for x in (axial, 1 / (1 + min(margins)) - axial)]
    assert [use.ratio for use in got.components] == shares


def test_ribs_that_pressure_alone_cripples_fail_without_any_other_load():
    """Open ends, no external load: the axial ribs are compressed by hoop tension alone."""
    b, p = 0.0004, 900e3
    wall = sb.StiffenedWall(replace(STRINGERS, thickness=b))
    given = load(axial_force=0.0, bending_moment=0.0, pressure_minimum=0.0, pressure_maximum=p)
    got = row(sb.run(case(wall, given, barrel=replace(BARREL, ends="open"))), "stringer web")
    crippling = 6 * (1 - NU) / 12 * E / (1 - NU**2) * (b / 0.02) ** 2
    s_p = rib_stress(in_plane((0, E, b * 0.02, 0.08)), 0, E, 0.0, p * R)
    assert s_p > crippling
    assert got.status == "fails"
    assert got.margin == pytest.approx(crippling / s_p - 1, rel=1e-9)
    assert "cripples under the fixed loads alone" in got.note


def test_axial_tension_that_relieves_a_rib_is_held_fixed():
    """Bending compresses the stringers of the compressed generator, an axial tension relieves them: unfactored."""
    b, P = 0.001, -300e3
    got = row(sb.run(case(sb.StiffenedWall(replace(STRINGERS, thickness=b)), load(axial_force=P))), "stringer web")
    A = in_plane((0, E, b * 0.02, 0.08))
    crippling = 6 * (1 - NU) / 12 * E / (1 - NU**2) * (b / 0.02) ** 2
    fixed = rib_stress(A, 0, E, -P / (2 * math.pi * R), 0.0)
    scaled = rib_stress(A, 0, E, -100e3 / (math.pi * R**2), 0.0)
    assert got.margin == pytest.approx((crippling - fixed) / (FS * scaled) - 1, rel=1e-9)


def test_stringers_of_another_metal_are_judged_by_their_own_stress():
    """Steel blades on an aluminium skin: same strain, 200/72 of the stress, crippling by steel's own modulus."""
    point = sb.MaterialPoint(294.0, 200e9, 3000e6, 3500e6, compression_yield=3000e6)
    steel = sb.Material("steel", "test", 7900.0, 0.28, (point,), hardening_exponent=60.0)
    b, d = 0.0008, 0.02
    wall = sb.StiffenedWall(replace(STRINGERS, thickness=b, material=steel))
    got = row(sb.run(case(wall)), "stringer web")
    crippling = 6 * (1 - 0.28) / 12 * 200e9 / (1 - 0.28**2) * (b / d) ** 2
    s_L = rib_stress(in_plane((0, 200e9, b * d, 0.08)), 0, 200e9, -N, 0.0)
    assert got.margin == pytest.approx(crippling / (FS * s_L) - 1, rel=1e-9)


def test_skin_strip_flat_is_official_curved_beside():
    """k = 4 over the centre-to-centre width (textbook), skin share t/(t + A_s/b); curved strip of Z_b beside."""
    b = 0.08
    got = row(sb.run(case(sb.StiffenedWall(STRINGERS), material=STRONG)), "skin strip")
    sigma = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / b) ** 2
    share = T / (T + 0.02 * 0.0025 / b)
    assert got.capacity == pytest.approx(sigma * T / share, rel=TIGHT)
    Z = b**2 * math.sqrt(1 - NU**2) / (R * T)
    assert got.beside[0].line_load == pytest.approx(got.capacity * (1 + 3 * Z**2 / math.pi**4 / 4), rel=TIGHT)


def test_a_wide_strip_buckles_at_the_stress_of_the_cylinder_beside():
    """Stringers .5 m apart, Z_b = 63: the skin is at E t/(R sqrt(3 (1 - nu^2))), the wall's share as above."""
    got = row(sb.run(case(sb.StiffenedWall(replace(STRINGERS, spacing=0.5)))), "skin strip")
    share = T / (T + 0.02 * 0.0025 / 0.5)
    expected = E * T / (R * math.sqrt(3 * (1 - NU**2))) * T / share
    assert got.beside[0].line_load == pytest.approx(expected, rel=TIGHT)


@pytest.mark.parametrize(
    ("wall", "mode"), [(STIFFENED, "panel between rings"), (RINGED, "panel between rings"), (STIFFENED, "general")]
)
def test_loads_are_shown_where_nothing_compresses(wall, mode):
    """Tension alone: the margin is not asked for, the buckling loads of both theories stand all the same."""
    result = sb.run(case(wall, load(axial_force=-400e3, bending_moment=0.0)))
    names = [ld.name for ld in result.load_cases[0].loads if ld.name.startswith(mode)]
    assert all(any(theory in name for name in names) for theory in ("Donnell", "Sanders"))
    assert {r.status for r in result.margins if r.mode.startswith(mode)} == {"not compressed"}


def test_nothing_is_left_where_pressure_alone_is_beyond_yield():
    """No axial stress brings a hoop stress above 2/sqrt(3) of yield back inside von Mises' ellipse: the capacity with
    relief is none, the margin -1."""
    p = 1.3 * 380e6 * T / R
    got = row(sb.run(case(sb.StiffenedWall(STRINGERS), pressed(p))), "skin strip")
    assert got.margin == pytest.approx(-1.0, abs=1e-9)


def test_rectangular_pocket_has_the_finite_value_beside():
    got = row(sb.run(case(ORTHOGRID, material=STRONG)), "skin pocket")
    k = min((m * 0.08 / 0.1 + 0.1 / (m * 0.08)) ** 2 for m in range(1, 6))
    finite = next(b for b in got.beside if b.name == "flat pocket of finite length")
    assert finite.line_load == pytest.approx(got.capacity * k / 4, rel=TIGHT)


def test_strip_share_weighs_the_stringers_by_their_modulus():
    strong = sb.MaterialPoint(294.0, 200e9, 3000e6, 3500e6, compression_yield=3000e6)
    steel = sb.Material("steel", "test", 7900.0, 0.28, (strong,), hardening_exponent=60.0)
    got = row(sb.run(case(sb.StiffenedWall(replace(STRINGERS, material=steel)), material=STRONG)), "skin strip")
    sigma = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / 0.08) ** 2
    assert got.capacity == pytest.approx(sigma * (T + 0.02 * 0.0025 / 0.08 * 200 / 72), rel=TIGHT)


def test_a_pocket_is_cut_off_at_first_yield_of_the_wall():
    """Steel stringers, whose hardening exponent is assumed, yield before the strip buckles: at their yield strain the
    wall carries E_skin e (t + A_b), which no stress above yield is credited beyond."""
    soft = sb.MaterialPoint(294.0, 200e9, 60e6, 800e6, compression_yield=60e6)
    steel = sb.Material("steel", "test", 7900.0, 0.28, (soft,))
    got = row(sb.run(case(sb.StiffenedWall(replace(STRINGERS, material=steel)))), "skin strip")
    assert got.capacity == pytest.approx(60e6 * 72 / 200 * (T + 0.02 * 0.0025 / 0.08 * 200 / 72), rel=1e-10)
    assert "limited to compressive yield (stringers" in got.note


def test_stringer_web():
    """Hinged root, one edge free: k = 6 (1 - nu)/pi^2 (exact long-plate limit; 0.4255 at nu = 0.3, textbook)."""
    slender = replace(STRINGERS, thickness=0.001)
    got = row(sb.run(case(sb.StiffenedWall(slender))), "stringer web")
    sigma = 6 * (1 - NU) / math.pi**2 * math.pi**2 * E / (12 * (1 - NU**2)) * (0.001 / 0.02) ** 2
    assert got.capacity == pytest.approx(sigma, rel=TIGHT)
    assert got.demand == pytest.approx(N / (T + 0.02 * 0.001 / 0.08), rel=1e-10)


def test_a_reduction_too_small_for_a_word_is_worked_all_the_same():
    """A web of 68 MPa with n = 5 loses .04 %: s = E_s/E s_e, solved by repeated substitution; the lines end in the very
    stress that the row allows."""
    metal = replace(METAL, hardening_exponent=None, hardening_source="")
    got = row(sb.run(case(sb.StiffenedWall(replace(STRINGERS, thickness=0.001)), material=metal)), "stringer web")
    elastic = left = 6 * (1 - NU) / 12 * E / (1 - NU**2) * (0.001 / 0.02) ** 2
    for _ in range(50):
        left = elastic * left / (left + E * 0.002 * (left / 380e6) ** 5)
    assert 0.9995 < left / elastic < 0.9997
    (line,) = (w for w in got.worked if w.formula == "plastic-stress")
    assert got.capacity == pytest.approx(left, rel=1e-12)
    assert line.value == pytest.approx(left, rel=1e-12)
    assert "plastic" not in got.note


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
    wide = replace(GRID, triangle_height=0.15)  # buckles far below yield
    opened = sb.run(case(wide, given, barrel=replace(BARREL, ends="open")))
    assert row(opened, "skin pocket").margin == row(sb.run(case(wide)), "skin pocket").margin


@pytest.mark.parametrize("ends", ["closed", "open"])
@pytest.mark.parametrize(("p_min", "p_max"), [(50e3, 400e3), (0.0, 0.0), (200e3, 250e3)])
@pytest.mark.parametrize("force", [400e3, -900e3, 3e6])
def test_plain_skin_strength_on_both_generators(ends, p_min, p_max, force):
    """Equilibrium: s_x = (-N + p R/2)/t, s_y = p R/t; von Mises. The factor is on the external loads and on maximum
    pressure; minimum pressure, which may relieve, has none; both generators."""
    given = dict(pressure_minimum=p_min, pressure_maximum=p_max, axial_force=force)
    thrust = {"axial_force_includes_thrust": False} if ends == "closed" else {}
    result = sb.run(case(PLAIN, load(**given, **thrust), barrel=replace(BARREL, ends=ends)))
    Na, Nb = force / (2 * math.pi * R), 100e3 / (math.pi * R**2)

    def worst(f):
        found = []
        for N_external in (-Na - Nb, -Na + Nb):
            for p in (f * p_max, p_min):
                x, y = (f * N_external + (p * R / 2 if ends == "closed" else 0.0)) / T, p * R / T
                found.append(math.sqrt(x * x - x * y + y * y))
        return max(found)

    for what, allowable, f in (("yield", 380e6, 1.1), ("ultimate", 450e6, 1.4)):
        got = row(result, f"skin, {what}")
        assert got.margin == pytest.approx(allowable / worst(f) - 1, rel=1e-10)
        assert got.demand == pytest.approx(worst(f), rel=1e-10)


def test_relieving_pressure_is_not_factored():
    """Stringers of a closed barrel: the thrust relieves them by more than hoop tension compresses them. With the factor
    on that pressure too their stress would be smaller and the margin too good."""
    p, d, b = 300e3, 0.02, 0.0025
    wall = sb.StiffenedWall(STRINGERS)
    result = sb.run(case(wall, pressed(p, p, axial_force=4e6, bending_moment=0.0)))
    modulus = 70e9  # strength uses the tension modulus
    A = in_plane((0, E, b * d, 0.08)) * 70 / 72
    stresses = [
        rib_stress(A, 0, modulus, -1.4 * 4e6 / (2 * math.pi * R) + f * p * R / 2, f * p * R) for f in (1.0, 1.4)
    ]
    assert stresses[0] > stresses[1] > 0
    got = row(result, "stringers, ultimate")
    assert got.margin == pytest.approx(450e6 / stresses[0] - 1, rel=1e-9)
    assert "compressed generator, minimum pressure" in got.equation


def test_rib_stress_of_a_uniaxial_grid():
    """Isotropic nu = 1/3 state (own): inclined ribs +2/3, hoop rib -1/3 of N/(t (1 + alpha)); rings share no shear."""
    metal = replace(METAL, poissons_ratio=1 / 3)
    result = sb.run(case(GRID, load(bending_moment=0.0), material=metal))
    smeared = 1.1 * 400e3 / (2 * math.pi * R) / (T * (1 + grid_alpha()))
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
    from shellbuck.margins.membrane import membrane_stresses

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
    assert any(
        "minimum pressure missing: taken as 0; maximum pressure is never used for stability" in c.text
        for c in result.validity
    )
    assert row(result, "general instability").margin == row(sb.run(case(PLAIN)), "general instability").margin


def test_pattern_that_does_not_close_is_warned():
    assert "pattern-fit" in codes(sb.run(case(GRID)))
    closing = replace(STRINGERS, spacing=None, count=118)
    assert "pattern-fit" not in codes(sb.run(case(sb.StiffenedWall(closing))))


def test_typical_properties_are_warned():
    assert "typical-properties" in codes(sb.run(case(PLAIN, material=sb.material("2195-T8"))))


def test_a_withheld_load_is_shown_on_request_and_stays_withheld():
    """Wide strips buckle first. The loads on unbuckled stiffness are those of the same wall under a load that its
    strips hold; they stand beside, flagged, and make no margin."""
    wall = sb.StiffenedWall(sb.Stiffeners("outside", "blade", 0.03, 0.003, count=36))
    heavy, light = (load(axial_force=F, bending_moment=0.0) for F in (4e6, 1e5))
    why = sb.Reason("to see how far the wall itself is")
    shown = row(sb.run(case(wall, heavy, withheld_loads=why)), "general instability")
    plain = row(sb.run(case(wall, heavy)), "general instability")
    assert (
        (shown.status, shown.margin, shown.capacity)
        == ("withheld", None, None)
        == (plain.status, plain.margin, plain.capacity)
    )
    assert plain.beside == ()
    unbuckled = sb.run(case(wall, light)).load_cases[0].loads
    right = {ld.name: ld.line_load for ld in unbuckled if ld.name.startswith("general")}
    assert {b.name: b.line_load for b in shown.beside} == {
        f"{name}, on unbuckled stiffness": value for name, value in right.items()
    }
    assert all("no allowable" in b.note for b in shown.beside)
    result = sb.run(case(wall, heavy, withheld_loads=why))
    assert result.departures == (("withheld loads shown, on unbuckled stiffness", why.reason),)
    assert result.verdict.smallest_margin is None


def test_ribs_of_several_flat_elements_are_judged_by_the_weakest():
    """A wide cap hinged along both edges, k = 4, buckles before the short lip with its free edge and the web."""
    barrel = case(sb.StiffenedWall(STRINGERS))
    engines = Engines(barrel)
    smeared = engines.wall(None)
    at = {"web": (0.02, 2e-3, False), "cap": (0.05, 1e-3, False), "lip": (0.004, 1e-3, True)}
    elements = tuple(Element(name, (0.0, 0.0), (0.0, b), t, free) for name, (b, t, free) in at.items())
    wall = replace(smeared, ribs=(replace(smeared.ribs[0], depth=None, thickness=None, elements=elements),))
    state = State(barrel, barrel.load_cases[0], engines)
    vars(state)["wall"] = wall
    (found,) = flat_ribs(state)
    told = found.story()
    assert found.title == "stringer crippling"
    assert told.row["worked"][0].value == pytest.approx(4 * math.pi**2 * E / (12 * (1 - NU**2)) * (1e-3 / 0.05) ** 2)
    assert "cap" in told.row["equation"]
