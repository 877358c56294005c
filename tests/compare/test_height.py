"""The work of the ribs' force at their height: against an exact solution of its own, limits, and signs."""

from __future__ import annotations

import numpy as np
import pytest
from fe import fe_fourier

from shellbuck.compare.height import height_effect
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

E, NU, R, T = 70e9, 0.3, 1.0, 4e-3
G = E / (2 * (1 + NU))


def blades(side: int, depth: float, angle: float = 0.0, name: str = "stringers") -> RibFamily:
    """Blades from the skin's middle, 25 mm apart, on one side."""
    b, d = 2e-3, depth + T / 2
    return RibFamily(name, angle, 0.025, E, G, b * d, b * d**3 / 12, d * b**3 / 3, side * d / 2, NU)


def wall(*ribs: RibFamily) -> SmearedWall:
    return SmearedWall.of(Skin(E, NU, T), ribs)


@pytest.mark.parametrize("depth", [0.012, 0.03])
@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("m", "n"), [(1, 11), (2, 7), (4, 0)])
def test_against_an_exact_solution(m, n, side, depth):
    """Shear-flexible and with the mode free to change; a tenth of the effect, or 3e-4 of the load, is second order and
    shear. The effects are -2.6 to +.1 %."""
    rib = blades(side, depth)
    walled = wall(rib)
    C, S = walled.matrix, 1e3 * walled.A[2, 2]
    e_x = np.linalg.solve(walled.A, [-1.0, 0, 0])[0]
    ribs = (-E * rib.area / rib.spacing * e_x, rib.z, rib.z**2 + rib.inertia / rib.area)
    before = fe_fourier.loads(C, S, R, 0.6, m, n)
    after = fe_fourier.loads(C, S, R, 0.6, m, n, ribs=ribs)
    found = height_effect(walled, R, 0.6, m, n, before)
    assert found == pytest.approx(after / before - 1, rel=0.1, abs=3e-4)


def test_inside_stringers_lose_more_than_outside_ones():
    """Hoop motion at the rib: v + z q; q and v have opposite signs with w, so that an inside rib moves farther."""
    inside, outside = (height_effect(wall(blades(side, 0.012)), R, 0.6, 1, 11, 1e6) for side in (-1, 1))
    assert inside < -3e-3 < outside


def test_no_ribs_no_effect_and_mirror_sides_of_a_flat_wall():
    assert height_effect(wall(), R, 0.6, 2, 5, 1e6) == 0.0
    # on a nearly flat wall, n/R kept, the side makes no difference
    big = 1e4
    both = [height_effect(wall(blades(side, 0.02)), big, 0.6, 1, 11 * 10**4, 1e6) for side in (1, -1)]
    assert both[0] == pytest.approx(both[1], rel=1e-2)
    assert both[0] < 0


def test_rings_in_tension_stiffen_where_pressure_blows_them():
    """Rings on both sides of a nearly flat wall: the force F that p R leaves in them at height z adds F z^2 b^2
    (a^2 + b^2) to N a^2, by hand; 1 %: membrane motion."""
    walled = wall(*(blades(side, 0.03, 90.0, "rings") for side in (1, -1)))
    without, with_pressure = (height_effect(walled, 1e4, 0.6, 1, 11 * 10**4, 1e6, p) for p in (0.0, 1.0))
    a, b, rib = np.pi / 0.6, 11.0, walled.ribs[0]
    force = 2 * E * rib.area / rib.spacing * np.linalg.solve(walled.A, [0.0, 1e4, 0.0])[1]
    square = rib.z**2 + rib.inertia / rib.area
    by_hand = force * square * b * b * (a * a + b * b) / (1e6 * a * a)
    assert with_pressure - without == pytest.approx(by_hand * (1 + without), rel=0.01)
