"""Bending by coupled harmonics, isotropic, nu = 0.3, simply supported, peak load over the classical load.

Own values (one program, written before this engine), to their digits; Seide & Weingarten 1961 (memory): about 1.
"""

from __future__ import annotations

import math

import pytest

from shellbuck.engines.ritz import Edges, RitzBarrel, membrane, pure_bending
from shellbuck.model.walls import Skin, SmearedWall

PEAK = {(50, 1): 1.0246, (100, 1): 1.0234, (200, 1): 1.0095, (50, 3): 1.0246, (100, 3): 1.0153, (200, 3): 1.0095}


def barrel(ratio: float, length: float, theory: str = "Donnell") -> tuple[RitzBarrel, float]:
    wall = SmearedWall.of(Skin(1.0, 0.3, 1 / ratio))
    return RitzBarrel(wall, 1.0, length, Edges("SS3", "SS3"), theory), ratio**-2 / math.sqrt(3 * 0.91)


@pytest.mark.parametrize(("key", "value"), PEAK.items())
def test_peak_load(key, value):
    shell, classical = barrel(*key)
    assert pure_bending(shell).line_load / classical == pytest.approx(value, abs=5.1e-5)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_bending_lies_between_the_axial_load_and_it_falls_to_it(theory):
    """The peak of a varying load is never below the uniform load; a large axial share leaves the axial load."""
    shell, _ = barrel(100, 1.0, theory)
    axial = membrane(shell).line_load
    peaks = [pure_bending(shell, axial_share=s).line_load for s in (0.0, 1.0, 10.0, 1000.0)]
    assert all(p >= axial * (1 - 1e-9) for p in peaks)
    assert peaks == sorted(peaks, reverse=True)
    # the bending part is a thousandth of the load
    assert peaks[-1] == pytest.approx(axial, rel=1e-3)


def test_pressure_never_lowers_it():
    shell, _ = barrel(200, 1.0)
    loads = [pure_bending(shell, pressure=p).line_load for p in (0.0, 2e-7, 2e-6)]
    assert loads == sorted(loads)
