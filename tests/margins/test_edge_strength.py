"""Stress near held edges, against the exact solution of a long cylinder and the textbook's edge moment.

D w'''' + N w'' + E t w/R^2 = p + nu N/R (N compression): beside one end of a long cylinder
w = w_f (1 - exp(-a x) (cos b x + c sin b x)), a^2, b^2 = beta^2 -+ N/(4 D), 4 beta^4 = E t/(R^2 D), w_f = (p + nu N/R)
R^2/(E t); c = a/b clamped, (a^2 - b^2)/(2 a b) hinged (own; at N = 0 the textbook's, with M = p/(2 beta^2) clamped).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, METAL, PLAIN, STIFFENED, STRONG, case, load, pressed, row

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.engines.problem import BucklingProblem
from shellbuck.engines.ritz.edge_state import EdgeStates
from shellbuck.engines.supports import Edges
from shellbuck.margins.batch import evaluate
from shellbuck.model.walls import Skin, SmearedWall

E, NU, R, T = 70e9, 0.33, 1.5, 2.5e-3
D = E * T**3 / (12 * (1 - NU**2))
BETA = (E * T / (4 * R**2 * D)) ** 0.25


def pressure_of(p):
    return dict(pressure_minimum=p, pressure_maximum=p, axial_force_includes_thrust=False)


def held(edges, **more):
    return replace(BARREL, edges=edges, **more)


def exact(x, N, p, clamped):
    """w and w'' beside one end of a long cylinder under the compression N [N/m] and the pressure p [Pa]."""
    a, b = math.sqrt(BETA**2 - N / (4 * D)), math.sqrt(BETA**2 + N / (4 * D))
    far = (p + NU * N / R) * R**2 / (E * T)
    c = a / b if clamped else (a * a - b * b) / (2 * a * b)
    root, amount = complex(-a, b), complex(1.0, -c)
    wave = amount * np.exp(root * x)
    return far * (1 - wave.real), -far * (root**2 * wave).real


@pytest.mark.parametrize("edges", ["SS3", "C4"])
@pytest.mark.parametrize("share", [0.0, 0.5, -0.8])
def test_state_is_the_exact_one(edges, share):
    states = EdgeStates(BucklingProblem(SmearedWall.of(Skin(E, NU, T)), R, 2.0, Edges(edges, edges)))
    N = share * states.most
    bent = states.at(N, 1e5)
    near = bent.x < 1.0
    w, curvature = exact(bent.x[near], N, 1e5, edges == "C4")
    assert bent.deflection[near] == pytest.approx(w, abs=1e-5 * np.abs(w).max())
    # the second derivative of the trial functions is two orders less exact
    assert bent.curvature[near] == pytest.approx(curvature, abs=1e-4 * np.abs(curvature).max())


def test_the_state_is_lost_at_the_classical_axisymmetric_load():
    states = EdgeStates(BucklingProblem(SmearedWall.of(Skin(E, NU, T)), R, 2.0, Edges("SS3", "SS3")))
    # 2 sqrt(D E t)/R, from which a whole number of half-waves over the length departs by less than .2 %
    assert states.most == pytest.approx(2 * math.sqrt(D * E * T) / R, rel=2e-3)
    assert states.at(states.most, 0.0) is None


def test_textbook_moment_of_a_clamped_cylinder_under_pressure():
    # open ends, no axial load: M = p/(2 beta^2), stress 6 M/t^2 along and nu times that around at the edge
    barrel = held("C4", ends="open", edge_strength=True)
    alone = sb.LoadCase("p", pressed(0.0).factors, pressure_minimum=0.2e6, pressure_maximum=0.2e6)
    result = sb.run(case(PLAIN, alone, barrel=barrel, material=STRONG))
    found = row(result, "skin near held edges, yield")
    sigma = 6 * 1.1 * 0.2e6 / (2 * BETA**2) / T**2
    assert found.demand == pytest.approx(sigma * math.sqrt(1 - NU + NU**2), rel=1e-5)
    assert "x = 0 mm" in found.note


@pytest.mark.parametrize("edges", ["SS3", "C4"])
@pytest.mark.parametrize(("what", "factor", "allowable"), [("yield", 1.1, 380e6), ("ultimate", 1.4, 450e6)])
def test_worst_fibre_of_the_worst_state(edges, what, factor, allowable):
    made = case(PLAIN, pressed(0.05e6, 0.15e6), barrel=held(edges, edge_strength=True))
    N_a, N_b = 400e3 / (2 * math.pi * R), 100e3 / (math.pi * R**2)
    x, worst = np.linspace(0, 1.0, 200001), 0.0
    for p in (factor * 0.15e6, 0.05e6):
        for sign in (1, -1):
            N = factor * (N_a + sign * N_b) - p * R / 2
            w, curvature = exact(x, N, p, edges == "C4")
            e_theta = w / R
            e_x = -N * (1 - NU**2) / (E * T) - NU * e_theta
            for z in (T / 2, -T / 2):
                a, b = e_x - z * curvature, e_theta
                s_x, s_y = E / (1 - NU**2) * (a + NU * b), E / (1 - NU**2) * (b + NU * a)
                worst = max(worst, float(np.sqrt(s_x**2 - s_x * s_y + s_y**2).max()))
    found = row(sb.run(made), f"skin near held edges, {what}")
    # the worst point is the best of some 30 stations to a half-wave
    assert found.demand == pytest.approx(worst, rel=2e-3)
    assert found.margin == pytest.approx(allowable / found.demand - 1)


def test_far_from_the_edges_it_is_the_membrane_stress():
    # a free edge with no bending moment and no pressure: only the axial stress is there
    barrel = held("C3", edge_strength=True)
    light = load(axial_force=1e3, bending_moment=0.0)
    result = sb.run(case(PLAIN, light, barrel=barrel))
    plain = row(result, "skin, yield").demand
    assert row(result, "skin near held edges, yield").demand >= plain * (1 - 1e-9)


def test_ribs_are_judged_at_both_ends_of_their_section():
    result = sb.run(case(STIFFENED, pressed(0.1e6), barrel=held("C4", edge_strength=True)))
    found = row(result, "stringers near held edges, yield")
    assert found.demand > row(result, "stringers, yield").demand
    assert "outer end" in found.note or "root" in found.note
    # rings of a given section have no known fibres
    assert not [r for r in result.margins if r.mode.startswith("rings near")]


@pytest.mark.parametrize("side", ["outside", "inside"])
def test_both_ends_of_stringers_by_the_exact_state(side):
    """Stringers couple: D_r w'''' + (2 B11 A12/(A11 R) - N_x) w'' + A_r w/R^2 = p - A12 N_x/(A11 R), N_x tension, with
    D_r = D11 - B11^2/A11 and A_r = A22 - A12^2/A11, from equilibrium and e_x out of N_x (own)."""
    depth, thickness, spacing, p, factor = 0.02, 2.5e-3, 0.08, 0.15e6, 1.1
    wall = sb.StiffenedWall(sb.Stiffeners(side, "blade", depth, thickness, spacing=spacing))
    alone = load(axial_force=200e3, bending_moment=0.0, **pressure_of(p))
    found = row(sb.run(case(wall, alone, barrel=held("C4", edge_strength=True))), "stringers near held edges, yield")
    z = (1 if side == "outside" else -1) * (T + depth) / 2
    stretch, rib = E * T / (1 - NU**2), E * depth * thickness / spacing
    A11, A12, A22, B11 = stretch + rib, NU * stretch, stretch, rib * z
    D11 = D + E * thickness * depth**3 / 12 / spacing + rib * z**2
    D_r, A_r = D11 - B11**2 / A11, A22 - A12**2 / A11
    worst = 0.0
    for pressure in (factor * p, p):
        N_x = pressure * R / 2 - factor * 200e3 / (2 * math.pi * R)
        push = 2 * B11 * A12 / (A11 * R) - N_x
        beta = (A_r / (4 * R**2 * D_r)) ** 0.25
        a, b = np.emath.sqrt(beta**2 - push / (4 * D_r)), np.emath.sqrt(beta**2 + push / (4 * D_r))
        far = (pressure - A12 * N_x / (A11 * R)) * R**2 / A_r
        x = np.linspace(0, 1.0, 100001)
        root = complex(-a, b)
        wave = complex(1.0, -a / b) * np.exp(root * x)
        w, k_x = far * (1 - wave.real), far * (root**2 * wave).real
        e_x = (N_x - A12 * w / R - B11 * k_x) / A11
        for height in (T / 2, T / 2 + depth):
            stress = E * (e_x + (height if side == "outside" else -height) * k_x)
            worst = max(worst, float(np.where(stress < 0, -stress / 380e6, stress / 400e6).max()))
    assert found.demand / found.capacity == pytest.approx(worst, rel=2e-3)


def test_shear_counts_all_along():
    twisted = load(axial_force=0.0, bending_moment=0.0, torque=300e3)
    found = row(sb.run(case(PLAIN, twisted, barrel=held("C4", edge_strength=True))), "skin near held edges, yield")
    assert found.demand == pytest.approx(math.sqrt(3) * 1.1 * 300e3 / (2 * math.pi * R**2) / T, rel=1e-9)


def test_beside_the_margins_unless_asked_for():
    shown = sb.run(case(PLAIN, pressed(0.1e6), barrel=held("C4")))
    asked = sb.run(case(PLAIN, pressed(0.1e6), barrel=held("C4", edge_strength=True)))
    (one,) = [c for c in shown.load_cases[0].comparisons if c.title == "skin near held edges, yield"]
    official = row(asked, one.title)
    assert (one.demand, one.capacity, one.excess) == (official.demand, official.capacity, official.margin)
    assert not [r for r in shown.margins if "held" in r.mode]
    assert not [c for c in asked.load_cases[0].comparisons if "held" in c.title]
    assert any("edge_strength" in item for item in shown.not_covered)
    assert not any("edge_strength" in item for item in asked.not_covered)
    assert not [c for c in sb.run(case(PLAIN, pressed(0.1e6))).load_cases[0].comparisons if "held" in c.title]


def test_beyond_the_axisymmetric_load_the_margin_is_minus_one():
    heavy = load(axial_force=6e6, bending_moment=0.0)
    found = row(sb.run(case(PLAIN, heavy, barrel=held("SS3", edge_strength=True))), "skin near held edges, ultimate")
    assert found.status == "fails"
    assert found.margin == -1.0
    assert "loses its axisymmetric state" in found.note


def test_refused_without_edges_and_for_given_stiffness_and_arrays():
    with pytest.raises(Refusal, match="edge_strength without edges"):
        replace(BARREL, edge_strength=True)
    blocks = {k: tuple(map(tuple, np.eye(3) * v)) for k, v in (("A", 1e8), ("B", 0.0), ("D", 1e3))}
    with pytest.raises(Refusal, match="needs a wall with dimensions"):
        case(sb.GivenStiffness(**blocks, mass_per_area=8.0), barrel=held("C4", edge_strength=True), material=METAL)
    with pytest.raises(Refusal, match="one by one"):
        evaluate(case(PLAIN, barrel=held("C4", edge_strength=True)), {"barrel.length": np.array([2.0])})
