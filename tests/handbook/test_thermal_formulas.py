"""Restrained thermal stress: the strip between rings against its solution by exponentials, limits, the textbook's
gradient (own; Timoshenko for the gradient and its free edge, from memory)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.handbook import thermal

E_Y, D, R = 70e9 * 2.5e-3, 100.0, 1.5
BETA = thermal.decay_number(E_Y, D, R)


def strip(s: float) -> tuple[float, float]:
    """Line load and curvature at rings s apart that lift the skin by 1: D w'''' + E_y w/R^2 = 0, w = 1 and w' = 0 at
    both rings, as a sum of four exponentials that decay from either of them."""
    decay = BETA * np.array([complex(-1, 1), complex(-1, -1)])
    roots, shift = np.concatenate([decay, -decay]), np.array([0, 0, s, s])
    rows = [roots**k * np.exp(roots * (x - shift)) for x in (0.0, s) for k in (0, 1)]
    c = np.linalg.solve(np.array(rows), np.array([1, 0, 1, 0]))
    second, third = ((c * roots**k * np.exp(-roots * shift)).sum().real for k in (2, 3))
    return 2 * D * abs(third), -second


@pytest.mark.parametrize("times", [0.05, 0.3, 1.0, 2.0, 4.0, 12.0])
def test_skin_between_rings(times):
    s = times / BETA
    load, curvature = strip(s)
    # 1e-6: closely spaced rings leave the exponentials nearly dependent
    assert thermal.skin_radial_stiffness(D, BETA, s) == pytest.approx(load, rel=1e-6)
    assert thermal.ring_curvature(1 / R, R, BETA, s) == pytest.approx(curvature, rel=1e-6)


def test_rings_close_together_stretch_the_skin_between_them():
    s = 0.01 / BETA
    assert thermal.skin_radial_stiffness(D, BETA, s) == pytest.approx(E_Y * s / R**2, rel=1e-6)


def test_a_rigid_ring_far_from_others_bends_the_skin_by_the_known_share():
    # M = 2 beta^2 D w: bending stress 6 M/t^2 = sqrt(3/(1 - nu^2)) E w/R, 1.816 at nu .3, of the hoop stress
    E, nu, t = 70e9, 0.3, 2e-3
    stiff = E * t**3 / (12 * (1 - nu**2))
    beta = thermal.decay_number(E * t, stiff, R)
    e_w = thermal.ring_strain(1e-5, 100.0, 1e9, 1.0)
    moment = stiff * thermal.ring_curvature(e_w, R, beta, 50 / beta)
    assert 6 * moment / t**2 / (E * e_w) == pytest.approx(math.sqrt(3 / 0.91), rel=1e-9)
    assert e_w == pytest.approx(1e-3, rel=1e-6)


def test_ring_and_skin_balance():
    # smeared: ring E A = 2, skin E t s = 3: common strain .4 of the free one, forces 2 (.4 - 1) + 3 .4 = 0
    e_w = thermal.ring_strain(1.0, 1.0, 2.0, 3.0)
    assert 2 * thermal.ring_thermal_stress(1.0, e_w, 1.0, 1.0) + 3 * e_w == pytest.approx(0.0, abs=1e-15)


def test_gradient_by_hand():
    # E 70 GPa, nu .3, 22e-6/K, 40 K: 70e9 22e-6 40/1.4 = 44 MPa; beside a free end 25 % more
    assert thermal.gradient_stress(70e9, 0.3, 22e-6, 40.0) == pytest.approx(44e6)
    assert thermal.free_edge_share(0.3) == pytest.approx(1.25, abs=2e-3)
