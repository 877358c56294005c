"""Plain barrels against the standard's equations written out again here (NASA SP-8007 Rev 2, read).

Tolerance 1e-12 relative: the same arithmetic in another order.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from builders import BARREL, METAL, PLAIN, STRINGERS, STRONG, WALLS, case, codes, load, pressed, row

import shellbuck as sb

E, NU, T, R, L, FS = 72e9, 0.33, 2.5e-3, 1.5, 2.0, 1.4
NA, NB = 400e3 / (2 * math.pi * R), 100e3 / (math.pi * R**2)
PHI = math.sqrt(R / T) / 16
GA, GB = 1 - 0.901 * (1 - math.exp(-PHI)), 1 - 0.731 * (1 - math.exp(-PHI))
ROOT = math.sqrt(3 * (1 - NU**2))
TIGHT = 1e-12


def lower_increment(p_bar: float) -> float:
    """The fixed convention: points reduced by their scatter, then linear (values copied from the standard's figure)."""
    points = [
        (0, 0),
        (0.02, 0.028 * 0.9),
        (0.026, 0.035 * 0.9),
        (0.04, 0.048 * 0.9),
        (0.06, 0.065 * 0.9),
        (0.1, 0.092 * 0.95),
        (0.15, 0.117 * 0.95),
        (0.2, 0.134 * 0.95),
        (0.31, 0.164 * 0.95),
    ]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= p_bar <= x1:
            return y0 + (y1 - y0) * (p_bar - x0) / (x1 - x0)
    raise AssertionError(p_bar)


def test_empty_barrel_interaction():
    """Eqs 1-5, 9-10, 14-15 and 41: margin of the proportional multiplier, minimum thickness, compression modulus."""
    got = row(sb.run(case(PLAIN)), "general instability")
    a, b = GA * E * T**2 / (R * ROOT), GB * E * T**2 / (R * ROOT)
    assert got.knockdown("axial") == pytest.approx(GA, rel=TIGHT)
    assert got.knockdown("bending") == pytest.approx(GB, rel=TIGHT)
    assert got.margin == pytest.approx(1 / (FS * (NA / a + NB / b)) - 1, rel=TIGHT)
    assert got.net_margin == pytest.approx(got.margin, rel=TIGHT)


@pytest.mark.parametrize("closed", [True, False])
def test_pressurised_barrel(closed):
    """Eqs 48 and 50 with the reduced increment; open ends keep the increment and lose every thrust term."""
    p = 60e3
    barrel = BARREL if closed else replace(BARREL, ends="open")
    given = pressed(p) if closed else load(pressure_minimum=p, pressure_maximum=p)
    got = row(sb.run(case(PLAIN, given, barrel=barrel)), "general instability")
    d = lower_increment(p / E * (R / T) ** 2)
    a_net, b_net = (E * T**2 / R * (g / ROOT + d) for g in (GA, GB))
    a, b = (a_net + p * R / 2, b_net + 0.8 * p * R) if closed else (a_net, b_net)
    assert got.margin == pytest.approx(1 / (FS * (NA / a + NB / b)) - 1, rel=TIGHT)
    net = (NA + NB) / (NA / a_net + NB / b_net)
    relief = p * R / 2 if closed else 0.0
    assert got.net_margin == pytest.approx(net / (FS * (NA + NB) - relief) - 1, rel=TIGHT)


def test_thrust_is_credited_once():
    """A force that contains the thrust of a pressure gives the same answer as the force without it."""
    p = 80e3
    without = sb.run(case(PLAIN, pressed(p, 2 * p)))
    contained = load(
        pressure_minimum=p,
        pressure_maximum=2 * p,
        axial_force=400e3 - math.pi * R**2 * p,
        axial_force_includes_thrust=True,
        thrust_pressure=p,
    )
    with_thrust = sb.run(case(PLAIN, contained))
    for one, two in zip(without.load_cases[0].margins, with_thrust.load_cases[0].margins, strict=True):
        assert one.margin == pytest.approx(two.margin, rel=1e-10), one.mode  # the force is a difference: 1e-10


def test_stability_never_uses_the_maximum_pressure():
    low, high = (sb.run(case(PLAIN, pressed(50e3, p), material=STRONG)) for p in (50e3, 400e3))
    assert row(low, "general instability").margin == row(high, "general instability").margin
    assert row(low, "skin, yield").margin > row(high, "skin, yield").margin


def test_net_tension_is_said():
    got = row(sb.run(case(PLAIN, pressed(300e3))), "general instability")
    assert got.net_note == "net tension"
    assert got.net_margin is None


def test_axial_tension_relieves_unfactored():
    """SP-8007 3.0: stabilising loads carry no factor. Own form: (b + T)/(FS N_b) - 1."""
    result = sb.run(case(PLAIN, load(axial_force=-400e3, bending_moment=500e3)))
    b = GB * E * T**2 / (R * ROOT)
    expected = (b + NA) / (FS * 5 * NB) - 1
    assert row(result, "general instability").margin == pytest.approx(expected, rel=TIGHT)
    assert "axial-tension" in codes(result)


def test_no_compression_has_no_stability_margin():
    result = sb.run(case(PLAIN, load(axial_force=-1e5, bending_moment=0.0)))
    assert row(result, "general instability").status == "not compressed"
    assert result.verdict.exit_status == 0


def test_short_barrel_uses_the_short_form():
    """Eq 6 below gamma Z = 2.85, each factor inside its own Z; the warning says that no test covers it."""
    short = replace(BARREL, length=0.08)
    result = sb.run(case(PLAIN, barrel=short))
    Z = 0.08**2 * math.sqrt(1 - NU**2) / (R * T)
    assert GB * Z < 2.85
    a, b = (
        (1 + 12 * (g * Z) ** 2 / math.pi**4) * math.pi**2 * E * T**3 / (12 * (1 - NU**2) * 0.08**2) for g in (GA, GB)
    )
    assert row(result, "general instability").margin == pytest.approx(1 / (FS * (NA / a + NB / b)) - 1, rel=TIGHT)
    assert any("NO TEST" in c.text for c in result.validity)


def test_long_barrel_takes_the_lower_of_standard_and_sanders():
    """Beyond L/R 5 the factor times the Sanders load (n = 1 left out) limits the load; it does here."""
    long = replace(BARREL, length=30.0)
    result = sb.run(case(PLAIN, barrel=long))
    sanders = next(ld for ld in result.load_cases[0].loads if ld.theory == "Sanders")
    assert sanders.n != 1
    assert sanders.line_load < E * T**2 / (R * ROOT)
    a, b = GA * sanders.line_load, GB * sanders.line_load
    EI = math.pi * R**3 * E * T  # of the tube; L/R 20: the factored force amplifies the moment (secant form)
    grown = NB / math.cos(math.pi / 2 * math.sqrt(FS * 400e3 / (math.pi**2 * EI / 30.0**2)))
    assert row(result, "general instability").margin == pytest.approx(1 / (FS * (NA / a + grown / b)) - 1, rel=TIGHT)
    assert {"length-to-radius", "moment-amplified"} <= codes(result)


@pytest.mark.parametrize("ratio", [3.0, 3.5, 4.9, 5.0, 5.1])
@pytest.mark.parametrize("p", [0.0, 30e3])
def test_sanders_load_fades_in_between_three_and_five_radii(ratio, p):
    """From the standard's letter at L/R 3 to the lower of both at 5, linear, in total and net; no increment and no
    0.8 p R in the Sanders part. The Sanders load is taken from the result: it has its own tests."""
    thin = replace(BARREL, skin_thickness=7e-3, skin_thickness_minimum=7e-3, length=ratio * R)
    result = sb.run(case(PLAIN, pressed(p) if p else load(), barrel=thin))
    sanders = next(ld.line_load for ld in result.load_cases[0].loads if ld.theory == "Sanders")
    t = 7e-3
    phi = math.sqrt(R / t) / 16
    p_bar = p / E * (R / t) ** 2
    d_gamma = 0.9 * 0.028 * p_bar / 0.02  # first stretch of the curve, reduced by its scatter
    assert p_bar <= 0.02
    share = min((ratio - 3) / 2, 1.0)
    totals = []
    for c, pR in ((0.901, 0.5), (0.731, 0.8)):
        gamma = 1 - c * (1 - math.exp(-phi))
        letter = E * t**2 / R * (gamma / ROOT + d_gamma) + pR * p * R
        lower = gamma * sanders + 0.5 * p * R
        assert lower < letter  # or the check would be empty
        totals.append(letter - share * (letter - lower))
    got = row(result, "general instability")
    assert got.margin == pytest.approx(1 / (FS * (NA / totals[0] + NB / totals[1])) - 1, rel=TIGHT)
    assert any("standard's equation alone" in b.name for b in got.beside) == (ratio > 3)


def test_bending_of_a_pressurised_wall_says_where_wrinkles_begin():
    """Eq 50 is the collapse moment; the fibre reaches the axial capacity (Eq 48 over 2 pi R) earlier."""
    p = 60e3
    got = row(sb.run(case(PLAIN, pressed(p))), "general instability")
    assert "collapse; wrinkles earlier" in got.equation
    p_bar = p / E * (R / T) ** 2
    x, y = (0.2, 0.31), (0.134 * 0.95, 0.164 * 0.95)
    assert x[0] <= p_bar <= x[1]
    d_gamma = y[0] + (p_bar - x[0]) / (x[1] - x[0]) * (y[1] - y[0])
    first = E * T**2 / R * (GA / ROOT + d_gamma) + p * R / 2
    said = next(b for b in got.beside if b.name == "peak fibre reaches the axial capacity")
    assert said.line_load == pytest.approx(first, rel=TIGHT)
    dry = row(sb.run(case(PLAIN)), "general instability")
    assert "wrinkles" not in dry.equation


def test_few_waves_around_are_said_for_plain_walls_too():
    """A short thick barrel buckles in few waves around; Donnell's theory is poor there."""
    thick = replace(BARREL, skin_thickness=30e-3, skin_thickness_minimum=30e-3, length=6.0)
    result = sb.run(case(PLAIN, barrel=thick))
    lowest = min(result.load_cases[0].loads[1:3], key=lambda found: found.line_load)
    assert lowest.n <= 4
    assert "low-wave-number" in codes(result)


def test_a_long_tube_that_flattens_is_said():
    """SP-8007 Rev 2, Eq 16: M = 0.987 E R t^2/sqrt(1 - nu^2), perfect tube; beyond L/R 10 the headline says it."""
    tube = replace(BARREL, skin_thickness=15e-3, skin_thickness_minimum=15e-3, length=30.0)
    most = 0.987 * E * R * 15e-3**2 / math.sqrt(1 - NU**2)
    for share, said in ((0.99, False), (1.01, True)):
        given = load(axial_force=0.0, bending_moment=share * most / FS)
        result = sb.run(case(PLAIN, given, barrel=tube))
        assert ("exceeds the ovalisation moment of a long tube" in result.verdict.text) == said


def test_two_metals_in_the_cold_are_said():
    """Their mismatch is not computed; temperature selects properties only."""
    points = tuple(replace(METAL.points[0], temperature=T) for T in (90.0, 294.0))
    skin, ribs = (replace(METAL, name=name, points=points) for name in ("skin metal", "rib metal"))
    wall = sb.StiffenedWall(replace(STRINGERS, material=ribs))
    cold, warm = (sb.run(case(wall, load(temperature=T), material=skin)) for T in (90.0, 294.0))
    assert "thermal stress of two metals not checked" in cold.verdict.text
    assert "thermal stress" not in warm.verdict.text


def test_elastic_limit_is_biaxial():
    """Hoop tension lowers the axial load of first yield: von Mises of (-N/t, p R/t) with p the maximum pressure. The
    column of this short barrel is cut off there (all own arithmetic)."""
    p_min, p_max = 50e3, 400e3
    got = row(sb.run(case(PLAIN, pressed(p_min, p_max))), "column (n = 1)")
    hoop, F = p_max * R / T, 380e6
    N = T * (-hoop / 2 + math.sqrt(F**2 - 0.75 * hoop**2))  # root of x^2 + x h + h^2 = F^2
    assert got.capacity == pytest.approx(2 * math.pi * R * N, rel=1e-10)
    assert "limited to compressive yield (skin, maximum pressure)" in got.note


def test_a_cut_off_shows_the_thrust_of_its_own_pressure():
    """The bay between close rings is cut off at maximum pressure: N_y of (-N/t, p R/t) in the ringed wall plus its own
    p R/2 is what the row allows; the last worked line before the loads says that sum."""
    wall = sb.StiffenedWall(None, sb.Stiffeners("inside", "blade", 0.02, 0.004, count=30))
    thick = replace(BARREL, skin_thickness=8e-3, skin_thickness_minimum=8e-3)
    metal = replace(METAL, hardening_exponent=None, hardening_source="")  # no stress above yield is credited then
    given = case(wall, pressed(0.2e6, 1.2e6, bending_moment=0.0), barrel=thick, material=metal)
    got = row(sb.run(given), "panel between rings")
    assert "limited to compressive yield (skin, maximum pressure)" in got.note
    (said,) = (w for w in got.worked if w.formula == "relieved-line-load")
    assert dict(said.inputs)["p"] == 1.2e6
    assert said.value == pytest.approx(dict(said.inputs)["N_net"] + 1.2e6 * R / 2, rel=TIGHT)
    assert got.capacity == pytest.approx(said.value, rel=TIGHT)


def test_nothing_is_left_where_pressure_alone_yields():
    """At 1.3 MPa the hoop stress is beyond yield at every axial load: every row that rests on it fails by the whole."""
    thick = replace(BARREL, skin_thickness=2.5e-3)
    result = sb.run(case(PLAIN, pressed(0.0, 1.3e6), barrel=thick))
    assert 2 / math.sqrt(3) * 380e6 < 1.3e6 * R / T
    assert row(result, "general instability").margin == pytest.approx(-1.0)
    assert row(result, "column (n = 1)").margin == pytest.approx(-1.0)


def test_own_factor_drops_the_increment():
    """The standard's equations with the user's factor in them; the increment belongs to the standard's factor only."""
    p = 60e3
    own = sb.OwnKnockdown(0.5, 0.6, "test programme T-1")
    result = sb.run(case(PLAIN, pressed(p), own_knockdown=own))
    classical = E * T**2 / (R * ROOT)
    a, b = 0.5 * classical + p * R / 2, 0.6 * classical + 0.8 * p * R
    assert row(result, "general instability").margin == pytest.approx(1 / (FS * (NA / a + NB / b)) - 1, rel=TIGHT)
    assert result.departures[0][1] == "test programme T-1"


def test_too_thin_is_refused_and_an_own_factor_opens_it():
    thin = replace(BARREL, skin_thickness=0.9e-3, skin_thickness_minimum=0.9e-3)
    result = sb.run(case(PLAIN, barrel=thin))
    got = row(result, "general instability")
    assert got.status == "refused"
    assert "no axial knockdown above 1500; stiffen the wall or give an own factor with a reason" in got.note
    assert result.verdict.exit_status == 2
    own = sb.OwnKnockdown(0.15, 0.2, "test")
    assert row(sb.run(case(PLAIN, barrel=thin, own_knockdown=own)), "general instability").margin is not None


@pytest.mark.parametrize("n", [None, 8.0])
def test_a_general_load_beyond_yield_is_reduced(n):
    """R/t 40: factor times the elastic load is 1.05 kN/mm over 37.5 mm, far above 380 MPa. The root of
    s = sqrt(E_s E_t)/E s_e by bisection; with an assumed exponent (n = 5) none above yield."""
    thick = replace(BARREL, skin_thickness=37.5e-3, skin_thickness_minimum=37.5e-3)
    metal = replace(METAL, hardening_exponent=n, hardening_source="test" if n else "")
    result = sb.run(case(PLAIN, load(bending_moment=0.0), barrel=thick, material=metal))
    got = row(result, "general instability")
    elastic = (1 - 0.901 * (1 - math.exp(-math.sqrt(40) / 16))) * 72e9 / 40 / math.sqrt(3 * (1 - NU**2))

    def left(s):
        shape = 0.002 * (s / 380e6) ** (n or 5.0)
        return math.sqrt(s / (s / 72e9 + shape) * s / (s / 72e9 + (n or 5.0) * shape)) / 72e9 * elastic - s

    low, high = 1e6, elastic
    for _ in range(200):
        low, high = ((low + high) / 2, high) if left((low + high) / 2) > 0 else (low, (low + high) / 2)
    stress = low if n else min(low, 380e6)
    assert stress < 0.6 * elastic
    assert got.capacity == pytest.approx(stress * 37.5e-3, rel=1e-9)
    assert got.status == "holds"
    flow, deformation = (b.line_load for b in got.beside if b.name.startswith("axisymmetric plastic bifurcation"))
    assert stress * 37.5e-3 < deformation < flow  # of the perfect wall, without a knockdown
    assert ("plasticity" in codes(result, "passed")) is (n is not None or low < 380e6)


@pytest.mark.parametrize("t", [0.7e-3, 50e-3])
def test_no_compression_comes_before_any_refusal(t):
    """A pulled wall has no buckling row to refuse, however thin or thick it is."""
    shell = replace(BARREL, skin_thickness=t, skin_thickness_minimum=t)
    for wall in (PLAIN, WALLS["rings"]):
        result = sb.run(case(wall, load(axial_force=-1e5, bending_moment=0.0), barrel=shell))
        assert {r.status for r in result.margins if r.kind == "stability"} == {"not compressed"}
        assert result.verdict.exit_status == 0


def test_tiny_loads_are_no_loads():
    """A force of 5e-324 N would give an infinite margin; below 1 mN there is no load."""
    result = sb.run(case(PLAIN, load(axial_force=5e-324, bending_moment=0.0)))
    assert row(result, "general instability").status == "not compressed"
    assert all(r.margin is None or math.isfinite(r.margin) for r in result.margins)


@pytest.mark.parametrize(("size", "counts"), [(0.95e-3, False), (1.05e-3, True)])
def test_a_load_begins_at_a_millinewton(size, counts):
    for given in (dict(axial_force=size, bending_moment=0.0), dict(axial_force=0.0, bending_moment=size)):
        found = row(sb.run(case(PLAIN, load(**given))), "general instability")
        assert (found.status == "holds") is counts


def test_metal_known_only_at_its_own_temperature():
    """A metal with data at 90 K alone serves load cases at 90 K; nothing asks for room temperature."""
    metal = replace(METAL, points=(replace(METAL.points[0], temperature=90.0),))
    result = sb.run(case(PLAIN, load(temperature=90.0), material=metal))
    assert result.wall.temperature == 90.0
    assert row(result, "general instability").margin is not None


def test_few_waves_are_said_on_long_plain_barrels():
    result = sb.run(case(PLAIN, barrel=replace(BARREL, length=30.0)))
    assert "low-wave-number" in codes(result)


def test_column_row():
    """n = 1: P = pi^2 E I/L^2, E I = pi R^3 E t for a plain wall, force without thrust, factor 1."""
    slim = replace(BARREL, length=60.0)
    got = row(sb.run(case(PLAIN, pressed(60e3), barrel=slim)), "column (n = 1)")
    P = math.pi**2 * math.pi * R**3 * E * T / 60.0**2
    assert got.capacity == pytest.approx(P, rel=1e-9)  # E_x - E_xy^2/E_y = E t loses a few bits
    assert got.margin == pytest.approx(P / (FS * 400e3) - 1, rel=1e-9)
    squash = row(sb.run(case(PLAIN)), "column (n = 1)")
    assert squash.capacity == pytest.approx(380e6 * T * 2 * math.pi * R, rel=1e-9)
    assert "limited to compressive yield" in squash.note


def test_shell_theory_beside_the_column_is_one_wave_around():
    """Sanders, (m, n) = (1, 1), R/t 100, L/R 100: .998862 of Euler's pi^2 E t R^2/(2 L^2) (two independent programs; nu
    = .3). More waves around would lie far above."""
    metal = replace(METAL, poissons_ratio=0.3)
    tube = sb.Barrel(radius=1.0, length=100.0, ends="open", skin_thickness=0.01, skin_thickness_minimum=0.01)
    got = row(
        sb.run(case(PLAIN, load(bending_moment=0.0, axial_force=1e3), barrel=tube, material=metal)), "column (n = 1)"
    )
    euler = math.pi**2 * 72e9 * 0.01 / (2 * 100.0**2)
    (beside,) = got.beside
    assert beside.line_load / euler == pytest.approx(0.998862, abs=6e-7)
    assert got.basis.line_load / euler == pytest.approx(1.0, rel=1e-9)  # P/(2 pi R), what other modes are held against


def test_margin_properties():
    """Capacity rises with thickness at fixed pressure; margins fall with compression; pressure never hurts."""

    def margin(**more):
        given = pressed(more.pop("p", 50e3), axial_force=more.pop("P", 400e3))
        t = more.pop("t", 2.5e-3)
        shell = replace(BARREL, skin_thickness=t, skin_thickness_minimum=t)
        return row(sb.run(case(PLAIN, given, barrel=shell)), "general instability").margin

    thicker = [margin(t=t) for t in (1.2e-3, 1.6e-3, 2.0e-3, 2.5e-3, 3.2e-3, 4e-3)]
    assert thicker == sorted(thicker)
    heavier = [margin(P=P) for P in (1e5, 2e5, 4e5, 8e5)]
    assert heavier == sorted(heavier, reverse=True)
    pressurised = [margin(p=p) for p in (0.0, 1e4, 3e4, 1e5, 2e5)]
    assert pressurised == sorted(pressurised)


def test_nominal_thickness_only_when_asked():
    result = sb.run(case(PLAIN, stability_thickness="nominal"))
    assert "nominal-thickness" in codes(result)
    assert row(result, "general instability").margin > row(sb.run(case(PLAIN)), "general instability").margin
    assert row(result, "skin, yield").margin == row(sb.run(case(PLAIN)), "skin, yield").margin


def test_signs_that_differ_are_said():
    """A wall that holds only by the pressure terms of the standard: total margin positive, net negative."""
    thin = replace(BARREL, skin_thickness=1.2e-3, skin_thickness_minimum=1.2e-3)
    result = sb.run(case(PLAIN, pressed(150e3, axial_force=800e3, bending_moment=100e3), barrel=thin))
    got = row(result, "general instability")
    assert got.margin > 0 > got.net_margin
    (said,) = (c.text for c in result.validity if c.code == "signs-differ")
    assert "the standard's empirical terms for pressurised plain walls" in said
    assert "where total and net margin differ in sign it rests on the credit for pressure" in result.verdict.text


def test_temperature_selects_properties():
    metal = replace(METAL, points=(sb.MaterialPoint(90.0, 80e9, 450e6, 500e6, None, 450e6), METAL.points[0]))
    cold, room = (
        row(sb.run(case(PLAIN, load(temperature=T_), material=metal)), "general instability") for T_ in (90.0, 294.0)
    )
    assert (cold.margin + 1) / (room.margin + 1) == pytest.approx(80 / 72, rel=1e-12)
