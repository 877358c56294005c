"""First yield of a ribbed wall under a fixed hoop load, by a root of the stress written out here."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from shellbuck.margins.membrane import Yield, rib_yields, skin_yield
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

E, NU, T = 72e9, 0.33, 2.5e-3
RIBS = {0.0: (2e-4, 0.08), 90.0: (1e-4, 0.1), 30.0: (3e-5, 0.09), -30.0: (3e-5, 0.09)}
"""Area and spacing of families at these angles."""


def strains(angles, N):
    """Membrane strains: skin in plane stress, bars along their angle."""
    C = E * T / (1 - NU**2)
    A = C * np.array([[1, NU, 0], [NU, 1, 0], [0, 0, (1 - NU) / 2]])
    for angle in angles:
        area, spacing = RIBS[angle]
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        A = A + E * area / spacing * np.outer([c * c, s * s, c * s], [c * c, s * s, c * s])
    return np.linalg.solve(A, N)


def wall(angles):
    ribs = tuple(RibFamily(f"at {a:g}", a, RIBS[a][1], E, 27e9, RIBS[a][0], 1e-9, 0.0, 0.0, NU) for a in angles)
    return SmearedWall.of(Skin(E, NU, T), ribs)


@pytest.mark.parametrize("hoop", [0.0, 150e3, 400e3])
@pytest.mark.parametrize("angles", [(0.0,), (90.0,), (0.0, 90.0), (90.0, 30.0, -30.0)])
def test_first_yield_of_the_skin(angles, hoop):
    """von Mises of Hooke's stresses reaches 300 MPa under growing compression beside the fixed hoop load."""

    def beyond(N):
        e_x, e_y, _ = strains(angles, [-N, hoop, 0.0])
        x, y = E / (1 - NU**2) * (e_x + NU * e_y), E / (1 - NU**2) * (e_y + NU * e_x)
        return math.sqrt(x * x - x * y + y * y) - 300e6

    expected = brentq(beyond, 0.0, 1e8, xtol=1e-3)
    assert float(skin_yield(wall(angles), hoop, 300e6).load) == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize("hoop", [0.0, 150e3])
@pytest.mark.parametrize("angles", [(0.0, 90.0), (90.0, 30.0, -30.0)])
def test_first_yield_of_every_rib(angles, hoop):
    """A compressed rib ends at 300 MPa of compression, one that the axial load stretches at 350 MPa of tension."""
    limits = [Yield(300e6, 350e6)] * len(angles)
    found = {rib.angle: float(load) for rib, _, load in rib_yields(wall(angles), hoop, limits)}
    for angle in angles:
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        stress = lambda N: E * strains(angles, [-N, hoop, 0.0]) @ [c * c, s * s, c * s]  # noqa: B023, E731
        limit = 350e6 if stress(1e6) > stress(0.0) else -300e6
        slope = (stress(1e6) - stress(0.0)) / 1e6
        assert found[angle] == pytest.approx((limit - stress(0.0)) / slope, rel=1e-8)
