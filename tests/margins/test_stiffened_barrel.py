"""Stiffened barrels: knockdown rule, pressure, withheld loads, panels, given stiffness (part of the fixed rules)."""

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
    RINGS,
    STIFFENED,
    STRINGERS,
    STRONG,
    WALLS,
    case,
    codes,
    load,
    pressed,
    row,
)

import shellbuck as sb

R, T, FS = 1.5, 2.5e-3, 1.4
NA, NB = 400e3 / (2 * math.pi * R), 100e3 / (math.pi * R**2)
TIGHT = 1e-12  # the same arithmetic in another order


def lower(result, start: str, pressure: str = "without pressure") -> float:
    """The lower of Donnell and Sanders [N/m] of the loads whose name starts so."""
    return min(
        ld.line_load for ld in result.load_cases[0].loads if ld.name.startswith(start) and ld.name.endswith(pressure)
    )


def test_general_instability_is_factor_times_lower_theory():
    result = sb.run(case(GRID))
    N = lower(result, "general")
    expected = 1 / (FS * (NA / (0.65 * N) + NB / (0.75 * N))) - 1
    got = row(result, "general instability")
    assert (got.knockdown("axial"), got.knockdown("bending")) == (0.65, 0.75)
    assert got.margin == pytest.approx(expected, rel=TIGHT)


def test_pressure_credits_only_the_axial_relief():
    """Official: factor times N(0) plus p R/2 for both loads; N(p) and its gain stand beside it."""
    p = 40e3
    result = sb.run(case(GRID, pressed(p)))
    N, relief = lower(result, "general"), p * R / 2
    got = row(result, "general instability")
    expected = 1 / (FS * (NA / (0.65 * N + relief) + NB / (0.75 * N + relief))) - 1
    assert got.margin == pytest.approx(expected, rel=TIGHT)
    net = (NA + NB) / (NA / (0.65 * N) + NB / (0.75 * N))
    assert got.net_margin == pytest.approx(net / (FS * (NA + NB) - relief) - 1, rel=1e-11)
    gain = lower(result, "general", "at minimum pressure") / N
    assert result.load_cases[0].pressure_gain == pytest.approx(gain, rel=TIGHT)
    assert gain > 1


@pytest.mark.parametrize(("scale", "said"), [(0.221, False), (0.38, True)])
def test_signs_differ_by_the_relief_of_a_stiffened_wall(scale, said):
    """A grid is credited p R/2 alone. With unlike factors the mix makes total and net part in sign: near zero (own
    choice: both within 0.005) nothing is said, beyond it the words speak of the relief and of no increment."""
    unlike = sb.OwnKnockdown(0.05, 0.5, "test") if said else sb.OwnKnockdown(0.05, 0.06, "test")
    result = sb.run(
        case(GRID, pressed(40e3, axial_force=scale * 1e6, bending_moment=scale * 1e6), own_knockdown=unlike)
    )
    got = row(result, "general instability")
    assert got.margin > 0 > got.net_margin
    assert (max(got.margin, -got.net_margin) >= 0.005) == said
    texts = [c.text for c in result.validity if c.code == "signs-differ"]
    assert bool(texts) == said
    assert all("axial relief p R/2 (statics, no empirical increment)" in t for t in texts)
    assert ("rests on the credit for pressure" in result.verdict.text) == said


def test_computed_gain_official_only_with_a_reason():
    p = 120e3
    result = sb.run(case(GRID, pressed(p), material=STRONG, computed_pressure_gain=sb.Reason("validated by test")))
    N = lower(result, "general", "at minimum pressure")
    expected = 1 / (FS * (NA / (0.65 * N + p * R / 2) + NB / (0.75 * N + p * R / 2))) - 1
    assert row(result, "general instability").margin == pytest.approx(expected, rel=TIGHT)
    assert ("computed pressure gain made official", "validated by test") in result.departures


def test_gain_above_limit_is_warned():
    result = sb.run(case(ORTHOGRID, pressed(400e3)))
    assert result.load_cases[0].pressure_gain > 1.2
    assert "pressure-gain" in codes(result)


def test_open_ends_have_no_relief():
    given = load(pressure_minimum=120e3, pressure_maximum=120e3)
    opened = sb.run(case(GRID, given, barrel=replace(BARREL, ends="open"), material=STRONG))
    assert (
        row(opened, "general instability").margin
        == row(sb.run(case(GRID, material=STRONG)), "general instability").margin
    )


@pytest.mark.parametrize(("depth", "rule"), [(0.002, "orthotropic"), (0.015, "between"), (0.03, "closely")])
def test_knockdown_follows_the_equivalent_thickness(depth, rule):
    """t_e and Eqs 60-63 written out again; thresholds 1.5 t and 3 t are the project's own and printed as such."""
    given = case(sb.StiffenedWall(replace(STRINGERS, depth=depth)))
    result = sb.run(given)
    w = sb.build_wall(given)
    A, B, D = w.A, w.B, w.D
    reduced = [(D[i, i] - B[i, i] ** 2 / A[i, i]) for i in (0, 1)]
    t_e = math.sqrt(12) * (reduced[0] * reduced[1] / (A[0, 0] * A[1, 1])) ** 0.25
    phi = math.sqrt(R / (t_e / math.sqrt(12))) / 29.8
    sheet = 1 - 0.901 * (1 - math.exp(-phi)), 1 - 0.731 * (1 - math.exp(-phi))
    share = (t_e / T - 1.5) / 1.5
    between = tuple(s + share * (c - s) for s, c in zip(sheet, (0.65, 0.75), strict=True))
    expected = {"orthotropic": sheet, "between": between, "closely": (0.65, 0.75)}
    assert {"orthotropic": t_e <= 1.5 * T, "between": 1.5 * T < t_e < 3 * T, "closely": t_e >= 3 * T}[rule]
    got = row(result, "general instability")
    assert (got.knockdown("axial"), got.knockdown("bending")) == pytest.approx(expected[rule], rel=TIGHT)
    assert "own rule" in got.knockdown_source
    assert ("stiffening" in codes(result)) == (rule != "closely")


def test_buckled_skin_withholds_loads_on_unbuckled_stiffness():
    """Pocket load plus relief below the ultimate line load: general load and stringer panel are withheld."""
    wide = sb.StiffenedWall(replace(STRINGERS, spacing=0.25), RINGS)
    result = sb.run(case(wide))
    assert row(result, "skin pocket").margin < 0
    for mode in ("general instability", "panel between rings"):
        assert row(result, mode).status == "withheld"
        assert "buckles below the ultimate line load" in row(result, mode).note
    assert row(result, "column (n = 1)").margin is not None
    assert result.verdict.exit_status == 1
    assert result.load_cases[0].loads == ()
    assert result.load_cases[0].pressure_gain is None


def test_stringer_panel_uses_the_wall_without_rings():
    given = case(STIFFENED)
    result = sb.run(given)
    wall = sb.build_wall(given).without("rings")
    N = min(sb.closed_form.lowest(wall, R, 2.0 / 5, theory=th).line_load for th in ("Donnell", "Sanders"))
    assert lower(result, "panel") == pytest.approx(N, rel=TIGHT)


def test_bare_bay_between_rings_is_a_plain_wall():
    """Plain factor at R/t, the bay's own length, relief p R/2 for both loads and no increment."""
    p = 50e3
    result = sb.run(case(WALLS["rings"], pressed(p)))
    got = row(result, "panel between rings")
    phi = math.sqrt(R / T) / 16
    g = 1 - 0.901 * (1 - math.exp(-phi)), 1 - 0.731 * (1 - math.exp(-phi))
    N = 72e9 * T**2 / (R * math.sqrt(3 * (1 - 0.33**2)))
    a, b = (x * N + p * R / 2 for x in g)
    assert got.margin == pytest.approx(1 / (FS * (NA / a + NB / b)) - 1, rel=TIGHT)
    assert (got.knockdown("axial"), got.knockdown("bending")) == pytest.approx(g, rel=TIGHT)


def test_bare_bay_is_cut_off_at_first_yield():
    """R/t 25, bays of .4 m: factor times elastic load, .6 E t/R x .76 = 1300 MPa, is far beyond yield. Rings keep the
    skin from growing around: with N_x alone, e_theta = -nu e_x C/(C + E A/s), Hooke, von Mises 380 MPa."""
    t = 0.06
    thick = replace(BARREL, skin_thickness=t, skin_thickness_minimum=t)
    metal = replace(METAL, hardening_exponent=None, hardening_source="")  # no stress above yield is credited then
    got = row(sb.run(case(WALLS["rings"], load(axial_force=60e6), barrel=thick, material=metal)), "panel between rings")
    C = 72e9 / (1 - 0.33**2)
    hoop = -0.33 * C * t / (C * t + 72e9 * 200e-6 / 0.4)  # per unit of e_x
    s_x, s_y = C * (1 + 0.33 * hoop), C * (hoop + 0.33)
    at_yield = 380e6 / math.sqrt(s_x**2 - s_x * s_y + s_y**2) * s_x * t
    N = 60e6 / (2 * math.pi * R) + 100e3 / (math.pi * R**2)
    assert got.margin == pytest.approx(at_yield / (FS * N) - 1, rel=1e-9)
    assert "limited to compressive yield (skin" in got.note


def test_long_bare_bay_follows_the_long_barrel_rule():
    """Beyond L/R 5 the bay too takes the lower of the standard's load and the factor times its Sanders load."""
    few = sb.StiffenedWall(None, replace(RINGS, count=1))
    result = sb.run(case(few, barrel=replace(BARREL, length=30.0)))
    sanders = next(ld for ld in result.load_cases[0].loads if ld.name.startswith("panel") and ld.theory == "Sanders")
    plain = 72e9 * T**2 / (R * math.sqrt(3 * (1 - 0.33**2)))
    assert sanders.line_load < plain
    phi = math.sqrt(R / T) / 16
    a, b = ((1 - c * (1 - math.exp(-phi))) * sanders.line_load for c in (0.901, 0.731))
    # L/R 20: the moment grows by the secant factor at the factored force, of the skin and ring as a pinned tube
    C = 72e9 / (1 - 0.33**2) * T
    EI = math.pi * R**3 * (C - (0.33 * C) ** 2 / (C + 72e9 * 200e-6 / 15.0))
    grown = NB / math.cos(math.pi / 2 * math.sqrt(FS * 400e3 / (math.pi**2 * EI / 30.0**2)))
    expected = 1 / (FS * (NA / a + grown / b)) - 1
    assert row(result, "panel between rings").margin == pytest.approx(expected, rel=TIGHT)
    assert any("panel between rings: L/R = 10.00" in c.text for c in result.validity)


def test_own_factor_leaves_the_panel_to_the_standard():
    own = sb.OwnKnockdown(0.9, 0.95, "test")
    result = sb.run(case(WALLS["rings"], own_knockdown=own))
    assert row(result, "general instability").knockdown("axial") == 0.9
    assert row(result, "panel between rings").knockdown("axial") < 0.5
    both = sb.OwnKnockdown(0.9, 0.95, "test", 0.5, 0.6)
    assert row(sb.run(case(WALLS["rings"], own_knockdown=both)), "panel between rings").knockdown("axial") == 0.5


def given_wall(**more):
    w = sb.build_wall(case(GRID))
    rows = {k: tuple(map(tuple, np.asarray(getattr(w, k)).tolist())) for k in "ABD"}
    return sb.GivenStiffness(**{**rows, "mass_per_area": 9.0, **more})


def test_given_stiffness_equals_the_wall_it_came_from():
    own = row(sb.run(case(GRID)), "general instability")
    result = sb.run(sb.Case(BARREL, given_wall(), (load(),)))
    assert row(result, "general instability").margin == pytest.approx(own.margin, rel=1e-10)
    assert result.verdict.exit_status == 3
    assert result.verdict.not_checked == ("local modes", "strength")
    assert {r.mode for r in result.margins if r.status != "not covered"} == {"general instability", "column (n = 1)"}


def test_given_stiffness_without_skin_has_no_automatic_factor():
    bare = replace(BARREL, skin_thickness=None, skin_thickness_minimum=None)
    result = sb.run(sb.Case(bare, given_wall(), (load(),)))
    assert row(result, "general instability").status == "refused"
    assert "no automatic knockdown" in row(result, "general instability").note
    own = sb.Policy(own_knockdown=sb.OwnKnockdown(0.6, 0.7, "test"))
    opened = sb.run(sb.Case(bare, given_wall(), (load(),), policy=own))
    assert row(opened, "general instability").margin is not None


def test_given_stiffness_refusals():
    D = ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    with pytest.raises(sb.Refusal, match="not positive definite"):
        sb.run(sb.Case(BARREL, given_wall(D=D, B=((0.0,) * 3,) * 3), (load(),)))
    B = ((0.0, 0.0, 100.0), (0.0, 0.0, 0.0), (100.0, 0.0, 0.0))
    with pytest.raises(sb.Refusal, match="couples shear with stretching or bending"):
        sb.run(sb.Case(BARREL, given_wall(B=B), (load(),)))


@pytest.mark.parametrize("name", WALLS)
def test_unit_scale_and_symmetry(name):
    """All lengths times k and loads times k^2 leave every stress and margin as it was (elastic theory, exact)."""
    wall, k = WALLS[name], 2.5
    given = pressed(60e3)
    lengths = {
        "rib_depth",
        "rib_thickness",
        "triangle_height",
        "depth",
        "thickness",
        "spacing",
        "eccentricity",
        "stringer_thickness",
        "ring_thickness",
        "stringer_spacing",
        "ring_spacing",
    }
    powers = {"area": 2, "inertia": 4, "torsion_constant": 4, **dict.fromkeys(lengths, 1)}

    def grown(part):
        if part is None:
            return None
        change = {f: getattr(part, f) * k**n for f, n in powers.items() if getattr(part, f, None) is not None}
        return replace(part, **change)

    if isinstance(wall, sb.StiffenedWall):
        bigger = sb.StiffenedWall(grown(wall.stringers), grown(wall.rings))
    else:
        bigger = grown(wall)
    shell = sb.Barrel(1.5 * k, 2.0 * k, "closed", 2.6e-3 * k, 2.5e-3 * k)
    loads = replace(given, axial_force=given.axial_force * k**2, bending_moment=given.bending_moment * k**3)
    one, two = sb.run(case(wall, given)), sb.run(case(bigger, loads, barrel=shell))
    for a, b in zip(one.load_cases[0].margins, two.load_cases[0].margins, strict=True):
        assert a.mode == b.mode
        assert a.status == b.status
        if a.margin is None:  # ring ribs that nothing compresses
            assert b.margin is None
        else:
            assert a.margin == pytest.approx(b.margin, rel=1e-9), a.mode


@pytest.mark.parametrize("name", WALLS)
def test_sign_of_moment_does_not_matter(name):
    one, two = (sb.run(case(WALLS[name], load(bending_moment=M))) for M in (1e5, -1e5))
    assert [r.margin for r in one.margins] == [r.margin for r in two.margins]
