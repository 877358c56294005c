"""Many load cases at once: margins as arrays, equal to those one by one; in full only what decides or is asked for."""

from dataclasses import replace

import numpy as np
import pytest
from builders import barrel, case, load, pressed

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.margins import assess, prebuckled
from shellbuck.margins.many import MOST_IN_FULL

ROUNDING = 1e-12
"""Of a margin, or of 1 where it is smaller: the order of a sum differs between one number and many."""

WALLS = {
    "plain": sb.PlainWall(),
    "triangles": sb.TriangularGrid(
        family="hoop", side="inside", rib_depth=14e-3, rib_thickness=2.5e-3, count_around=72
    ),
    "stringers and rings": sb.StiffenedWall(
        sb.Stiffeners("outside", "blade", depth=16e-3, thickness=2.2e-3, count=96),
        sb.Stiffeners("inside", "blade", depth=28e-3, thickness=5e-3, count=9),
    ),
}


def loads(count: int, kind: str = "plain", **more) -> tuple[sb.LoadCase, ...]:
    """Load cases of several shapes: with and without pressure, thrust inside, temperature, tension, nothing loaded."""
    rng = np.random.default_rng(3)
    found = []
    for i in range(count):
        force, moment = float(rng.uniform(-2e5, 9e5)), float(rng.uniform(0, 3e5))
        low = float(rng.uniform(0, 2e5))
        one = load(axial_force=force, bending_moment=moment)
        if i % 4 == 1:
            one = replace(one, pressure_minimum=low, pressure_maximum=1.4 * low, axial_force_includes_thrust=False)
        if i % 4 == 2:
            one = replace(one, pressure_minimum=low, pressure_maximum=low, axial_force_includes_thrust=True)
        if i % 8 == 5:
            one = replace(one, factors=sb.FACTOR_SETS["expendable vehicle"])
        if i % 4 == 3:
            one = replace(one, torque=moment / 2, shear_force=force / 3)
        if i % 8 == 0:
            one = replace(one, pressure_minimum=-low / 20, pressure_maximum=0.0, axial_force_includes_thrust=False)
        if kind != "plain" and i % 8 == 2:
            one = replace(one, thermal=sb.model.thermal.Thermal("invented", 2.2e-5, 5.0 + i))
        if i == 7:
            one = replace(one, axial_force=0.0, bending_moment=0.0, torque=0.0, shear_force=0.0)
        found.append(replace(one, name=f"case {i}", **more))
    return tuple(found)


@pytest.mark.parametrize("kind", WALLS)
def test_margins_are_those_one_by_one(kind):
    given = case(WALLS[kind], *loads(MOST_IN_FULL + 8, kind))
    many, each = (assess(given, edge_bending=False, full=full) for full in ((), None))
    brief = [one for one in many.load_cases if not one.in_full]
    assert len(brief) >= MOST_IN_FULL
    assert all(one.in_full for one in each.load_cases)
    for got, want in zip(many.load_cases, each.load_cases, strict=True):
        assert got.components == want.components
        for a, b in zip(got.margins, want.margins, strict=True):
            same = ("load_case", "mode", "kind", "status", "quantity", "temperature", "factor", "key")
            assert [getattr(a, name) for name in same] == [getattr(b, name) for name in same]
            assert (a.margin is None) == (b.margin is None)
            assert a.margin is None or abs(a.margin - b.margin) <= ROUNDING * max(1.0, abs(b.margin))
    numbers = (
        "exit_status",
        "word",
        "governing_load_case",
        "governing_mode",
        "modes_checked",
        "not_checked",
        "withheld",
    )
    assert [getattr(many.verdict, n) for n in numbers] == [getattr(each.verdict, n) for n in numbers]
    assert f"{len(brief)} of {MOST_IN_FULL + 8} load cases in numbers only" in many.verdict.text


def test_temperatures_by_the_dozen_are_one_batch():
    points = tuple(sb.MaterialPoint(T, E, 3e8, 4e8, None, 3e8) for T, E in ((90.0, 79e9), (294.0, 73e9), (400.0, 68e9)))
    metal = sb.Material("metal", "invented", 2800.0, 0.33, points)
    given = [replace(one, temperature=90.0 + 10 * i) for i, one in enumerate(loads(30))]
    given = case(WALLS["stringers and rings"], *given, material=metal)
    many, each = (assess(given, edge_bending=False, full=full) for full in ((), None))
    for a, b in zip(many.margins, each.margins, strict=True):
        assert (a.load_case, a.mode, a.status) == (b.load_case, b.mode, b.status)
        # above yield the plastic root moves with the last digits of a modulus between two points
        assert a.margin is None or a.margin == pytest.approx(b.margin, rel=1e-11, abs=1e-11)


def test_in_full_are_the_smallest_of_each_kind_and_those_asked_for():
    given = case(WALLS["stringers and rings"], *loads(40))
    result = assess(given, edge_bending=False, full=("case 7", "case 11"))
    full = {one.name for one in result.load_cases if one.in_full}
    for kind in ("stability", "local", "strength"):
        assert next(row for row in result.margins if row.kind == kind and row.margin is not None).load_case in full
    assert {"case 7", "case 11"} <= full
    assert len(full) <= 6
    shown = next(one for one in result.load_cases if one.name == "case 11")
    assert shown.loads
    assert all(row.worked or row.margin is None for row in shown.margins)
    brief = next(one for one in result.load_cases if not one.in_full)
    assert brief.loads == ()
    assert {(row.demand, row.capacity, row.worked) for row in brief.margins} == {(None, None, ())}


def test_up_to_a_number_all_are_in_full():
    result = assess(case(WALLS["plain"], *loads(MOST_IN_FULL)))
    assert all(one.in_full for one in result.load_cases)
    assert "in numbers only" not in result.verdict.text


def test_checks_of_a_load_case_need_no_words_of_its_modes():
    given = loads(40)
    odd = replace(given[12], name="tension", axial_force=-1e5, pressure_minimum=None)
    result = assess(case(WALLS["plain"], *given[:39], odd))
    found = next(one for one in result.load_cases if one.name == "tension")
    assert not found.in_full
    assert {"axial-tension", "pressure-minimum-missing"} <= {check.code for check in found.warnings}
    idle = next(one for one in result.load_cases if one.name == "case 7")
    assert not any(one.line_load for one in idle.components)
    assert "load case case 7: nothing is loaded" in result.verdict.not_checked
    assert result.verdict.exit_status != 0


def test_a_refused_row_is_shown_in_full():
    thin = barrel(skin_thickness=0.7e-3, skin_thickness_minimum=0.65e-3)  # R/t beyond 1500
    result = assess(case(WALLS["plain"], *loads(30), barrel=thin))
    assert result.verdict.exit_status == 2
    assert "R/t =" in result.verdict.text


def test_a_slender_ring_is_refused_in_numbers_too():
    rings = sb.Stiffeners("inside", "blade", depth=60e-3, thickness=1.5e-3, count=9)
    wall = replace(WALLS["stringers and rings"], rings=rings)
    result = assess(case(wall, *loads(30)), edge_bending=False)
    refused = next(check for check in result.validity if check.code == "ring-slenderness")
    assert (refused.status, refused.where) == ("refused", "every load case")


# --- edge bending


def eccentric(count: int) -> sb.Case:
    given = [
        replace(pressed(1e5 * i / count, 2e5, axial_force_includes_thrust=False), name=f"p {i}", axial_force=6e5)
        for i in range(count)
    ]
    return case(WALLS["stringers and rings"], *given)


def solved(monkeypatch, loads_by_pressure) -> list[float]:
    """Pressures that are solved, with a stand-in for the nonlinear loads [N/m]."""
    asked = []

    def state(s, pressure):
        asked.append(pressure)
        line = loads_by_pressure(pressure)
        words = {} if line is not None else {"reason": "no reason"}
        return prebuckled.EdgeBending("not available" if line is None else "computed", line, **words)

    monkeypatch.setattr(prebuckled, "_state", state)
    return asked


def brief(given: sb.Case, name: str):
    """General row of a load case in numbers, and its edge bending."""
    from shellbuck.margins.chain import found_rows
    from shellbuck.margins.engines import Engines
    from shellbuck.margins.many import numbers

    one = next(one for one in numbers(given, Engines(given), found_rows) if one.load.name == name)
    return dict(zip(one.titles, one.margins, strict=True))["general instability"], one


def test_where_both_neighbours_are_clear_nothing_between_is_solved(monkeypatch):
    given = eccentric(60)
    free = brief(replace(given, load_cases=given.load_cases), "p 30")[0]
    asked = solved(monkeypatch, lambda _: 1e9)
    margin, one = brief(given, "p 30")
    assert (margin, one.edge_bending, len(set(asked))) == (free, "not limiting", 2)


def test_what_may_limit_is_solved_and_counts(monkeypatch):
    given = eccentric(60)
    asked = solved(monkeypatch, lambda p: 3e4 + p)
    margin, one = brief(given, "p 30")
    assert (len(set(asked)), one.edge_bending) == (60, "computed")
    # N_a at the peak fibre, factor 1 and p R/2 of closed ends
    R = given.barrel.middle_radius
    p = given.load_cases[30].p_min
    N_a = 6e5 / (2 * np.pi * R)
    N_b = given.load_cases[30].bending_moment / (np.pi * R**2)
    f = given.load_cases[30].factors.ultimate_factor
    assert margin == pytest.approx((3e4 + p + p * R / 2) / (f * (N_a + N_b)) - 1, rel=1e-9)


def test_a_dip_near_the_cap_is_found(monkeypatch):
    """Ends within the clear share of factor times classical leave nothing unsolved."""
    given = eccentric(60)
    cap = _classical(given)
    for clear, count in ((1.12, 2), (1.10, 60)):  # times .9: above and below 1
        asked = solved(monkeypatch, lambda _, line=clear * cap: line)
        brief(given, "p 30")
        assert len(set(asked)) == count


def _classical(given: sb.Case) -> float:
    """Largest factor times classical of the load cases [N/m]."""
    row = next(
        r
        for r in assess(replace(given, load_cases=given.load_cases[:1]), edge_bending=False).margins
        if r.mode == "general instability"
    )
    return max(use.capacity for use in row.components)


def test_what_is_not_available_withholds(monkeypatch):
    given = eccentric(30)
    solved(monkeypatch, lambda _: None)
    margin, one = brief(given, "p 12")
    assert np.isnan(margin)
    assert one.edge_bending == "not available"


def test_a_load_case_that_is_not_there_is_refused(tmp_path):
    from shellbuck.cli.selection import load_case_named

    with pytest.raises(Refusal, match="no such load case"):
        load_case_named(eccentric(3), "p 9")
