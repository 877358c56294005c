"""What the Ritz engine cannot be given is refused in words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.core.errors import Refusal
from shellbuck.engines.ritz import Edges, HoopRing, RitzBarrel
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

WALL, SS3 = SmearedWall.of(Skin(1.0, 0.3, 0.01)), Edges("SS3", "SS3")


@pytest.mark.parametrize("theory", ["sanders", "donnell", "Love", None])
def test_a_theory_is_one_of_two(theory):
    with pytest.raises(Refusal, match=r"theory: no such theory.*allowed: Donnell, Sanders"):
        RitzBarrel(WALL, 1.0, 1.0, SS3, theory)


@pytest.mark.parametrize(
    ("R", "L", "said"),
    [
        (0.0, 1.0, "R: the middle radius is no length"),
        (-1.0, 1.0, "R: the middle radius"),
        (1.0, -2.0, "L: the length is no length"),
        (1.0, math.nan, "L: the length"),
        (math.inf, 1.0, "R: the middle radius"),
    ],
)
def test_lengths_are_lengths(R, L, said):
    with pytest.raises(Refusal, match=said):
        RitzBarrel(WALL, R, L, SS3)


@pytest.mark.parametrize("more", [{"degree": 3}, {"degree": 8.5}, {"piece": 0.0}, {"piece": math.nan}])
def test_resolution(more):
    with pytest.raises(Refusal, match="no resolution of trial functions"):
        RitzBarrel(WALL, 1.0, 1.0, SS3, **more)


def test_rings_and_ribs_end_before_the_axis():
    ring = HoopRing(0.5, 1.0, 0.4, 1e-4, 1e-8, z=-1.0)
    with pytest.raises(Refusal, match=r"rings: the centroid of a ring lies on the axis.*R \+ z above 0"):
        RitzBarrel(WALL, 1.0, 1.0, SS3, rings=(ring,))
    rib = RibFamily("rings", 90.0, 0.1, 1.0, 0.4, 1e-4, 1e-8, 0.0, -1.2, 0.3)
    with pytest.raises(Refusal, match="rings: the centroid of a rib lies on the axis"):
        RitzBarrel(SmearedWall.of(WALL.skin, (rib,)), 1.0, 1.0, SS3)


@pytest.mark.parametrize(("name", "value"), [("E", -1.0), ("area", math.nan), ("inertia_out", -1e-9), ("z", math.inf)])
def test_rings_are_rings(name, value):
    sizes = {"at": 0.5, "E": 1.0, "G": 0.4, "area": 1e-4, "inertia": 1e-8, name: value}
    with pytest.raises(Refusal, match=rf"ring\.{name}: the value is outside its range"):
        HoopRing(**sizes)


def test_an_asymmetric_stiffness_never_arrives():
    D = np.array(WALL.D)
    D[0, 1] *= 2
    with pytest.raises(Refusal, match="D: the block is not symmetric"):
        RitzBarrel(SmearedWall(WALL.A, WALL.B, D), 1.0, 1.0, SS3)
