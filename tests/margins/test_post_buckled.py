"""Skin between stringers that buckles by choice: own arithmetic of widths, stiffness, stresses; limits; words."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, METAL, STRONG, case, codes, load, row
from scipy.optimize import brentq

import shellbuck as sb
from shellbuck.margins import prebuckled
from shellbuck.margins.batch import evaluate
from shellbuck.margins.chain import found_rows
from shellbuck.margins.engines import Engines
from shellbuck.margins.many import numbers
from shellbuck.margins.post_buckled import post_buckled_skin, shed_wall, stable_wall
from shellbuck.margins.state import State
from shellbuck.margins.statuses import ALLOWED

E, NU, T, B = 72e9, 0.33, 1.5e-3, 0.15
TEE = dict(depth=0.04, thickness=0.003, flange_width=0.03, flange_thickness=0.003, attached="web", joint="integral")
STRINGERS = sb.Stiffeners("outside", "tee", spacing=B, **TEE)
RINGS = sb.Stiffeners("inside", "blade", 0.03, 0.006, count=4)
WALL = sb.StiffenedWall(STRINGERS, RINGS)
ALONE = sb.StiffenedWall(
    replace(STRINGERS, section="blade", **{**dict.fromkeys(TEE), "depth": 0.03, "thickness": 4e-3})
)
SKIN = replace(BARREL, ends="open", skin_thickness=1.6e-3, skin_thickness_minimum=T)
LOAD = load(axial_force=1.2e6, bending_moment=0.3e6)
CHOICES = [(formula, stiffness) for formula in ("Winter", "von Karman") for stiffness in ("tangent", "secant")]
SIGMA = 4 * math.pi**2 * E / (12 * (1 - NU**2)) * (T / B) ** 2
AREA = 0.04 * 0.003 + 0.027 * 0.003
"""Of the tee: the flange without the web under it."""


def chosen(formula="Winter", stiffness="tangent", wall=WALL, loads=(LOAD,), barrel=SKIN, **more) -> sb.Case:
    choice = sb.PostBuckledSkin("a test of it", formula, stiffness)
    return case(wall, *loads, barrel=barrel, material=more.pop("material", METAL), post_buckled_skin=choice, **more)


def margins_of(result) -> dict[str, float | None]:
    return {r.mode: r.margin for r in result.load_cases[0].margins}


def state_of(made: sb.Case) -> State:
    return State(made, made.load_cases[0], Engines(made))


def peak(P: float, M: float) -> float:
    """Factored line load of the peak fibre."""
    return 1.4 * (P / (2 * math.pi * 1.5) + M / (math.pi * 1.5**2))


def ratio(formula: str, sigma: float) -> float:
    s = math.sqrt(SIGMA / sigma)
    return min(1.0, s * (1 - 0.22 * s) if formula == "Winter" and s < 1.4 else s)


def edge_stress(formula: str, N: float, a: float) -> float:
    """Edge stress by bisection of N = sigma (rho t + a)."""
    return brentq(lambda sigma: sigma * (ratio(formula, sigma) * T + a) - N, 1e3, 1e10, xtol=1e-3)


@pytest.mark.parametrize("formula", ["Winter", "von Karman"])
def test_edge_stress_and_width_by_bisection(formula):
    a = AREA / B
    found = post_buckled_skin(state_of(chosen(formula)))
    N = peak(1.2e6, 0.3e6)
    sigma = edge_stress(formula, N, a)
    assert float(found.sigma_cr) == pytest.approx(SIGMA, rel=1e-6)  # elastic to the metal's curve
    assert float(found.edge_stress(N)) == pytest.approx(sigma, rel=1e-6)
    assert float(found.rho) == pytest.approx(ratio(formula, sigma), rel=1e-6)
    assert float(found.phi) == pytest.approx(0.5 * math.sqrt(SIGMA / sigma), rel=1e-6)


@pytest.mark.parametrize("formula", ["Winter", "von Karman"])
def test_width_falls_with_load_and_never_exceeds_the_whole(formula):
    found = post_buckled_skin(state_of(chosen(formula)))
    N = np.geomspace(1e2, 1e7, 4001)
    rho = found.width(N)
    assert rho.max() == 1.0
    assert np.all(np.diff(rho) <= 0)
    assert rho[-1] < 0.2
    # what the edges carry rises with the load without a step: one stress to every load
    stress = np.where(rho < 1, found.edge_stress(N), N / (T + AREA / B))
    assert np.all(np.diff(stress) > 0)
    np.testing.assert_allclose(stress * (rho * T + AREA / B), N, rtol=1e-9)


def test_the_reduced_walls_by_hand():
    s = state_of(chosen("von Karman", "secant"))
    rho = float(post_buckled_skin(s).rho)
    S, S_D = E * T / (1 - NU**2), E * T**3 / (12 * (1 - NU**2))
    unit = np.array([[1, NU, 0], [NU, 1, 0], [0, 0, (1 - NU) / 2]])
    soft, whole = stable_wall(s), s.wall
    np.testing.assert_allclose(whole.A - soft.A, (1 - rho) * S * unit, rtol=1e-9, atol=1e-3)
    np.testing.assert_allclose(whole.D - soft.D, (1 - rho) * S_D * unit, rtol=1e-9, atol=1e-9)
    np.testing.assert_array_equal(whole.B, soft.B)  # eccentricity about the middle of the skin
    # of the sheet in `shed_wall` alone: axial modulus rho E, hoop modulus E
    flexible = np.linalg.inv((shed_wall(s).A - whole.A + S * unit)[:2, :2]) * E * T
    np.testing.assert_allclose(flexible, [[1 / rho, -NU], [-NU, 1]], rtol=1e-9)


def test_stringers_carry_what_the_skin_sheds():
    # no rings and no hoop load: statics alone give the stress, N = sigma (rho t + A_s/b)
    made = chosen("von Karman", wall=ALONE, material=STRONG)
    N, a = peak(1.2e6, 0.3e6), 0.03 * 4e-3 / B
    sigma = edge_stress("von Karman", N, a)
    found = row(sb.run(made, edge_bending=False), "stringer web")
    assert found.margin == pytest.approx(found.capacity / sigma - 1, rel=1e-6)
    # the strength row uses the tension modulus (70 of 72 GPa) in skin and stringers alike
    ultimate = row(sb.run(made, edge_bending=False), "stringers, ultimate")
    assert ultimate.capacity / (1 + ultimate.margin) == pytest.approx(sigma, rel=1e-6)


@pytest.mark.parametrize("choice", CHOICES)
def test_margins_do_not_exceed_those_of_unbuckled_skin(choice):
    result = sb.run(chosen(*choice), edge_bending=False)
    soft = margins_of(result)
    # the same loads on unbuckled stiffness: each row withheld today is worked out at a load at which the skin holds
    small = load(axial_force=1.2e5, bending_moment=0.3e5)
    whole = margins_of(sb.run(case(WALL, small, barrel=SKIN), edge_bending=False))
    assert soft["skin pocket"] is None
    for mode in ("general instability", "panel between rings", "stringer column between rings", "stringer crippling"):
        assert soft[mode] < (1 + whole[mode]) / 10 - 1 + 1e-9, mode


def test_general_load_by_the_closed_form_of_the_softened_wall():
    made = chosen(material=STRONG)
    found = row(sb.run(made, edge_bending=False), "general instability")
    soft = stable_wall(state_of(made))
    loads = [sb.closed_form.lowest(soft, 1.5, 2.0, theory=theory).line_load for theory in ("Donnell", "Sanders")]
    axial, bending = (1.2e6 / (2 * math.pi * 1.5), 0.3e6 / (math.pi * 1.5**2))
    gammas = found.knockdown("axial"), found.knockdown("bending")
    share = axial / (gammas[0] * min(loads)) + bending / (gammas[1] * min(loads))
    assert found.margin == pytest.approx(1 / (1.4 * share) - 1, rel=1e-9)
    assert found.basis.line_load == pytest.approx(min(loads), rel=1e-9)
    assert "post-buckled skin, effective width 0.421 b (Winter)" in found.note
    assert {"edge-stress", "winter-effective-width", "tangent-ratio", "softened-stretching", "softened-bending"} <= {
        w.formula for w in found.worked
    }


def test_the_lower_knockdown_of_both_walls_counts():
    from shellbuck.margins.knockdown import skin_factors, stiffened_factors

    light = replace(ALONE, stringers=replace(ALONE.stringers, depth=0.009, thickness=2e-3))
    s = state_of(chosen(wall=light))
    whole, left = (stiffened_factors(w, 1.5, T).factors for w in (s.wall, stable_wall(s)))
    both = skin_factors(s.wall, stable_wall(s), 1.5, T).factors
    assert whole != left
    assert both == {key: min(whole[key], left[key]) for key in whole}


@pytest.mark.parametrize("formula", ["Winter", "von Karman"])
def test_with_the_secant_margins_tend_to_those_of_unbuckled_skin(formula):
    # from where the width falls below the whole: at buckling (von Karman), at .453 of it (Winter: s (1 - .22 s) = 1)
    start = 1.0 if formula == "von Karman" else ((1 - math.sqrt(1 - 0.88)) / 0.44) ** -2
    N = start * SIGMA * (T + AREA / B)
    for part in (1 + 1e-7, 1 - 1e-7):
        at = load(axial_force=part * N / 1.4 * 2 * math.pi * 1.5, bending_moment=0.0)
        soft = margins_of(sb.run(chosen(formula, "secant", loads=(at,)), edge_bending=False))
        # an allowed buckling just below ultimate has no unbuckled margin; just above it there is
        whole = margins_of(
            sb.run(case(WALL, replace(at, axial_force=at.axial_force * (1 - 3e-7)), barrel=SKIN), edge_bending=False)
        )
        for mode, margin in whole.items():
            if margin is not None and mode != "skin pocket":
                assert soft[mode] == pytest.approx(margin, rel=2e-5), mode


def test_the_tangent_steps_down_where_the_skin_buckles_and_never_up():
    N = SIGMA * (T + AREA / B) / 1.4 * 2 * math.pi * 1.5
    found = evaluate(
        chosen(loads=(load(axial_force=N, bending_moment=0.0),)),
        {"load_cases.0.axial_force": N * np.linspace(0.3, 4, 60)},
    )
    for key in ("general", "panel", "rib-crippling"):
        margins = found.margins[:, 0, found.keys.index(key)]
        assert np.all(np.diff(margins) < 0), key


def test_one_physics_for_one_design_and_for_many():
    made = chosen()
    varied = {
        "load_cases.0.axial_force": np.array([1.2e6, 0.2e6, 0.02e6, 2.4e6]),
        "barrel.skin_thickness_minimum": np.array([1.5e-3, 1.4e-3, 1.5e-3, 1.3e-3]),
    }
    found = evaluate(made, varied)
    for i in range(4):
        t, P = varied["barrel.skin_thickness_minimum"][i], varied["load_cases.0.axial_force"][i]
        one = chosen(loads=(replace(LOAD, axial_force=P),), barrel=replace(SKIN, skin_thickness_minimum=t))
        result = sb.run(one, edge_bending=False)
        assert found.holds[i] == (result.verdict.exit_status == 0)
        for k, r in enumerate(result.load_cases[0].margins):
            margin = np.nan if r.margin is None else r.margin
            assert found.margins[i, 0, k] == pytest.approx(margin, rel=1e-9, nan_ok=True), r.mode
    skin = found.keys.index("skin-field")
    assert list(found.statuses[:, 0, skin] == ALLOWED) == [True, True, False, True]


def test_many_load_cases_are_those_of_one():
    loads = tuple(load(name=f"{i}", axial_force=4e4 * i + 1e4, bending_moment=0.0) for i in range(30))
    many = sb.run(chosen(loads=loads), edge_bending=False)
    for i in (0, 3, 17, 29):
        one = sb.run(chosen(loads=(loads[i],)), edge_bending=False).load_cases[0]
        for a, b in zip(many.load_cases[i].margins, one.margins, strict=True):
            assert (a.status, a.margin or 0) == (b.status, pytest.approx(b.margin or 0, rel=1e-9)), a.mode
    assert "BELOW LIMIT LOAD" in many.verdict.text


def test_nonlinear_loads_of_buckled_skins_are_solved_where_they_may_limit(monkeypatch):
    """Invented nonlinear loads: far above factor times classical the softest and the stiffest buckled skin are enough,
    with the one wall whose skin holds; far below each is solved and is the capacity, factor 1."""
    given = chosen(loads=tuple(load(name=f"{i}", axial_force=6e4 * i + 6e4, bending_moment=0.0) for i in range(30)))
    for line, count in ((1e9, 3), (1e3, 30)):
        asked = []

        def state(s, pressure, line=line, asked=asked):
            asked.append((s.load.name, pressure))
            return prebuckled.EdgeBending("computed", line)

        monkeypatch.setattr(prebuckled, "_state", state)
        found = numbers(given, Engines(given), found_rows)
        soft = [one for one in found if post_buckled_skin(State(given, one.load, Engines(given))).acts]
        assert 20 < len(soft) < 30
        assert len(asked) == (count if line > 1e6 else len(soft) + 1)
        for one in found if line < 1e6 else ():
            margin = dict(zip(one.titles, one.margins, strict=True))["general instability"]
            N = one.load.axial_force / (2 * math.pi * 1.5)
            assert margin == pytest.approx(1e3 / (1.4 * N) - 1, rel=1e-9)


def test_honest_words():
    result = sb.run(chosen(), edge_bending=False)
    skin = row(result, "skin pocket")
    share = SIGMA * (T + AREA / B) / peak(1.2e6, 0.3e6)
    assert skin.status == "buckles, allowed"
    assert skin.margin is None
    assert skin.note == f"buckles at {share:.2f} of the ultimate loads, below limit load; allowed by choice"
    text = "the skin pocket buckles BELOW LIMIT LOAD by choice, fatigue and tightness are not judged"
    assert text in result.verdict.text
    assert "skin between stringers may buckle" in result.departures[0][0]
    assert any("diagonal tension" in item for item in result.not_covered)
    # above limit load: 1 below share times 1.4
    some = load(axial_force=0.85 * SIGMA * (T + AREA / B) * 2 * math.pi * 1.5, bending_moment=0.0)
    above = sb.run(chosen(loads=(some,)), edge_bending=False)
    assert "above limit load" in row(above, "skin pocket").note
    assert "BELOW" not in above.verdict.text


def test_without_the_choice_rows_are_withheld():
    result = sb.run(case(WALL, LOAD, barrel=SKIN), edge_bending=False)
    assert row(result, "general instability").status == "withheld"
    assert row(result, "skin pocket").status == "fails"


def test_an_intertank_whose_skin_buckles_at_40_per_cent_gets_margins():
    N = SIGMA * (T + AREA / B) / 0.4 / 1.4
    made = chosen(loads=(load(axial_force=N * 2 * math.pi * 1.5, bending_moment=0.0),))
    result = sb.run(made)
    assert result.verdict.exit_status in (0, 1)
    assert result.verdict.withheld == 0
    assert "buckles at 0.40 of the ultimate loads" in row(result, "skin pocket").note
    general = row(result, "general instability")
    assert general.margin is not None
    assert result.load_cases[0].edge_bending in ("computed", "followed")
    # the nonlinear prebuckled load is that of the softened wall: below that of the whole one
    whole = sb.run(case(WALL, load(axial_force=1e4, bending_moment=0.0), barrel=SKIN))
    beside = [
        next(b.line_load for b in row(r, "general instability").beside if b.name.startswith("nonlinear"))
        for r in (result, whole)
    ]
    assert beside[0] < 0.9 * beside[1]


@pytest.mark.parametrize(
    "more", [dict(torque=1e5), dict(shear_force=1e5), dict(pressure_minimum=-2e3)], ids=lambda m: next(iter(m))
)
def test_buckled_skin_with_shear_or_external_pressure_is_refused(more):
    result = sb.run(chosen(loads=(load(axial_force=1.2e6, bending_moment=0.3e6, **more),)), edge_bending=False)
    assert result.verdict.exit_status == 2
    assert "diagonal tension is not covered" in result.verdict.text
    assert row(result, "skin pocket").status == "refused"
    assert row(result, "general instability").status == "withheld"
    assert "post-buckled-skin-flow" in codes(result, "refused")
    found = evaluate(chosen(loads=(load(axial_force=1.2e6, **more),)), {"load_cases.0.bending_moment": np.array([3e5])})
    assert not found.holds[0]
    assert found.reasons[0] == "post-buckled-skin-flow"
    # what does not buckle is judged as without the choice, but for Winter's early reduction
    small = load(axial_force=1e4, bending_moment=0.0, **{key: x / 1e3 for key, x in more.items()})
    one, other = (sb.run(c, edge_bending=False) for c in (chosen(loads=(small,)), case(WALL, small, barrel=SKIN)))
    assert margins_of(one) == margins_of(other)


GIVEN = sb.Stiffeners("outside", "given", area=AREA, inertia=3e-8, eccentricity=0.02, torsion_constant=6e-10, spacing=B)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (dict(wall=sb.PlainWall()), "between straight stringers only"),
        (
            dict(wall=sb.TriangularGrid("hoop", "inside", 0.013, 0.0025, triangle_height=0.09)),
            "straight stringers only",
        ),
        (dict(wall=sb.StiffenedWall(None, RINGS)), "straight stringers only"),
        (dict(wall=sb.StiffenedWall(GIVEN, RINGS)), "crippling of these stringers is not judged"),
        (dict(wall=replace(WALL, rings=replace(RINGS, count=18))), "fields shorter than wide"),
        (dict(barrel=replace(SKIN, length=16.0)), "amplifies the moment"),
        (dict(computed_pressure_gain=sb.Reason("gain")), "computed_pressure_gain is not known for buckled skin"),
        (dict(barrel=replace(SKIN, edges="SS3", edge_strength=True)), "edge_strength in .barrel. is not known"),
    ],
)
def test_where_the_choice_is_refused(changes, words):
    with pytest.raises(sb.Refusal, match=words):
        chosen(**changes)


def test_arrays_refuse_the_same():
    found = evaluate(chosen(), {"barrel.length": np.array([2.0, 0.4, 16.0])})
    assert list(found.reasons) == ["", "post-buckled-skin", "post-buckled-skin"]


def test_the_tensioned_side_of_a_softer_barrel():
    # exact: a thin tube whose compressed side is softer by eta, neutral axis at the angle a from the tensioned fibre
    from shellbuck.handbook.post_buckled import tension_side_growth

    for eta in (1.0, 0.8, 0.5, 0.2, 0.03):

        def force(a, eta=eta):
            return math.sin(a) - a * math.cos(a) - eta * ((math.pi - a) * math.cos(a) + math.sin(a))

        a = brentq(force, 1e-6, math.pi - 1e-6)
        phi = np.linspace(0, math.pi, 20001)
        moment = (np.cos(phi) - math.cos(a)) * np.cos(phi) * np.where(phi < a, 1, eta)
        exact = math.pi * (1 - math.cos(a)) / (2 * np.trapezoid(moment, phi))
        assert exact <= float(tension_side_growth(eta)) * (1 + 1e-6)
        # the compressed fibre carries no more than M/(pi R^2)
        assert exact * eta * (1 + math.cos(a)) / (1 - math.cos(a)) <= 1 + 1e-6
    assert float(tension_side_growth(1.0)) == 1.0
    s = state_of(chosen())
    found = post_buckled_skin(s)
    eta = (float(found.rho) * T + AREA / B) / (T + AREA / B)
    assert float(found.growth) == pytest.approx((1 + eta**-0.5) / 2, rel=1e-9)


def test_the_tensioned_side_is_judged_with_its_growth():
    from shellbuck.margins.modes.strength import factored_states

    made = chosen(loads=(load(axial_force=0.0, bending_moment=1e6),))
    s = state_of(made)
    names, states = factored_states(s, 1.4)
    N = 1.4 * 1e6 / (math.pi * 1.5**2)
    growth = float(post_buckled_skin(s).growth)
    assert growth > 1.05
    for name, (axial, _, _) in zip(names, states, strict=True):
        assert axial == pytest.approx(-N if name.startswith("compressed") else N * growth, rel=1e-9)


def test_pictures_draw_the_softened_wall():
    from shellbuck.margins.post_buckled import mode_wall

    made = chosen()
    s = state_of(made)
    np.testing.assert_array_equal(mode_wall(made, "case", panel=False).A, stable_wall(s).A)
    panel = mode_wall(made, "case", panel=True)
    rings = s.wall.A[1, 1] - s.engines.panel(s.temperature).A[1, 1]
    assert panel.A[1, 1] == pytest.approx(stable_wall(s).A[1, 1] - rings, rel=1e-12)
    assert panel.A[1, 1] < s.engines.panel(s.temperature).A[1, 1]


def test_a_sizing_refuses_the_choice():
    limits = dict(barrel=sb.BareBarrel(radius=1.5, length=2.0, ends="open"), load_cases=(LOAD,), materials=(METAL,))
    with pytest.raises(sb.Refusal, match="keeps the skin between stringers unbuckled"):
        sb.Demand(**limits, policy=sb.Policy(post_buckled_skin=sb.PostBuckledSkin("why")))
