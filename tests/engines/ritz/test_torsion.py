"""Torsion, isotropic, nu = 0.3: k_s = tau L^2 t/(pi^2 D).

Own values (Donnell, to their digits); Batdorf et al., NACA TN 1344 (second-hand): .85 Z^.75 simply supported, .93 Z^.75
clamped for long-enough barrels, held to 5 %.
"""

from __future__ import annotations

import math

import pytest

from shellbuck.engines.ritz import Edges, RitzBarrel, torsion
from shellbuck.model.walls import Skin, SmearedWall


def coefficient(ratio: float, edges: str, theory: str = "Donnell", pressure: float = 0.0) -> float:
    shell = RitzBarrel(SmearedWall.of(Skin(1.0, 0.3, 1 / ratio)), 1.0, 1.0, Edges(edges, edges), theory)
    D = ratio**-3 / (12 * 0.91)
    return torsion(shell, pressure=pressure).line_load / (math.pi**2 * D)


VALUES = {
    (100, "SS3"): 26.632,
    (100, "SS4"): 28.264,
    (100, "C3"): 28.105,
    (100, "C4"): 29.347,
    (500, "SS3"): 86.217,
    (500, "SS4"): 91.743,
    (500, "C3"): 87.896,
    (500, "C4"): 92.650,
}


@pytest.mark.parametrize(("key", "value"), VALUES.items())
def test_coefficient(key, value):
    assert coefficient(*key) == pytest.approx(value, abs=6e-4)


def test_batdorf_limit():
    Z = 500 * math.sqrt(0.91)
    assert coefficient(500, "SS3") == pytest.approx(0.85 * Z**0.75, rel=0.05)
    assert coefficient(500, "C4") == pytest.approx(0.93 * Z**0.75, rel=0.05)


def test_pressure_helps_and_sanders_is_near():
    plain = coefficient(200, "SS3")
    assert coefficient(200, "SS3", pressure=1e-7) > plain
    # n = 8 or so: the theories part by terms of order 1/n^2
    assert coefficient(200, "SS3", "Sanders") == pytest.approx(plain, rel=0.04)
