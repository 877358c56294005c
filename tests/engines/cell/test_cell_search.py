"""The lowest load over both phases: known minima, the count, waves that are left to general instability."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.engines.cell import CellRib, Fineness, LineLoads, LoadedCell, StringerCell, TriangleCell, mesh_cell
from shellbuck.engines.cell.search import lowest_over_phases

E, NU, T, B = 70e9, 0.3, 2e-4, 0.1
WEAK = CellRib(2e-5, 2e-4, youngs_modulus=1e-4 * E)
UNIT = math.pi**2 * E * T**3 / (12 * (1 - NU**2)) / B**2
ONE = Fineness(along=1)


def strip(rib: CellRib, load: LineLoads, length: float = B / 2) -> LoadedCell:
    return LoadedCell(mesh_cell(StringerCell(T, E, NU, B, length, rib), fineness=ONE), load, held_lines=True)


def test_strip_on_held_lines_finds_half_waves_of_its_width():
    """k = 4 at half-waves of b, strips alternately in and out (Timoshenko & Gere)."""
    found = lowest_over_phases(strip(WEAK, LineLoads(1.0)))
    assert found.load.factor / UNIT == pytest.approx(4.0, rel=1e-3)
    assert found.half_wave * B / 2 == pytest.approx(B, rel=0.02)
    assert abs(math.remainder(found.phases[1], 2 * math.pi)) == pytest.approx(math.pi, abs=0.02)
    assert found.skin_share > 0.99
    assert found.counted > 20


def test_strip_across_buckles_in_waves_without_end():
    """k = 1: a wide plate from line to line."""
    found = lowest_over_phases(strip(WEAK, LineLoads(hoop=1.0)), proof=False)
    assert found.load.factor / UNIT == pytest.approx(1.0, rel=1e-3)
    assert found.half_wave == math.inf


def test_strip_in_shear():
    """Between clamped and simply supported edges lies what a skin over many held lines has; alone k = 5.34 at
    half-waves of 1.25 b, clamped 8.98 (Timoshenko & Gere)."""
    found = lowest_over_phases(strip(WEAK, LineLoads(shear=1.0)), proof=False)
    assert 5.33 < found.load.factor / UNIT < 8.98


def coarse(load: LineLoads, *, held: bool) -> LoadedCell:
    cell = TriangleCell(1e-3, E, 1 / 3, "hoop", 0.1, CellRib(0.01, 1e-3))
    return LoadedCell(mesh_cell(cell, fineness=Fineness(half=1, layers=False)), load, held_lines=held)


def test_nothing_lies_below_at_any_phases():
    """Random phases, solved each by itself."""
    loaded = coarse(LineLoads(1.0, 0.4, 0.6), held=True)
    found = lowest_over_phases(loaded, proof=False)
    rng = np.random.default_rng(16)
    for x, y in rng.uniform(-math.pi, math.pi, (6, 2)):
        assert loaded.count((x, y), 0.999 * found.load.factor) == 0


@pytest.mark.slow  # long waves take many factorisations
def test_without_held_lines_the_longest_waves_allowed_are_lowest():
    """The global branch: load proportional to the square of the wave number, so that twice the length takes away more
    than half."""
    loaded = coarse(LineLoads(1.0), held=False)
    short, long = (lowest_over_phases(loaded, cells=n, proof=False) for n in (8.0, 16.0))
    assert long.load.factor < 0.5 * short.load.factor
    assert long.skin_share < 0.5
    assert (short.cells, long.cells) == (8.0, 16.0)
