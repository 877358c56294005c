"""Where a wall kind says that its ribs stand too far apart or reach too far, in a given barrel and in a sizing."""

from __future__ import annotations

import math
from dataclasses import replace

import builders
import pytest

import shellbuck as sb
from shellbuck.model.shop import Setting
from shellbuck.model.walls.doors import check_barrel
from shellbuck.model.walls.stiffness import RibFamily, Skin, SmearedWall
from shellbuck.model.walls.triangular import TriangularGrid

R, L = 1.5, 2.0


@pytest.mark.parametrize(
    ("family", "spacing", "broken"),
    [
        ("rings", 1.0, False),
        ("rings", 1.001, True),
        ("stringers", 1.5708, True),
        ("stringers", 1.5707, False),
        ("stringers", 4.0, True),
    ],
)
def test_one_ring_or_six_stringers_at_least(family, spacing, broken):
    """Supports 2 m apart: a single ring in the middle leaves 1 m on either side. Six stringers around 2 pi 1.5 m stand
    1.570796 m apart."""
    ribs = replace(getattr(builders, family.upper()), count=None, spacing=spacing)
    wall = sb.StiffenedWall(**{family: ribs})
    assert {rule.code for rule in wall.limits(R, L) if rule.broken} == ({"spacing-too-wide"} if broken else set())


@pytest.mark.parametrize(("z", "sound"), [(-1.2, False), (-1.0, False), (-0.99, True), (0.99, True), (1.2, True)])
def test_centroids_of_inside_ribs_lie_before_the_axis(z, sound):
    """On a radius of 1 m the axis lies at z = -1 m; outside ribs have no such end."""
    rib = RibFamily("rings", 90.0, 0.1, 1.0, 0.4, 1e-4, 1e-8, 0.0, z, 0.3)
    wall = SmearedWall.of(Skin(1.0, 0.3, 0.01), (rib,))
    if sound:
        check_barrel(wall, 1.0, 1.0)
        return
    with pytest.raises(sb.Refusal, match=r"the centroid of a rib lies on the axis of the barrel or beyond it"):
        check_barrel(wall, 1.0, 1.0)


@pytest.mark.parametrize(("family", "fewest"), [("hoop", 41), ("axial", 48)])
def test_triangles_of_a_short_barrel_are_no_higher_than_it_is_long(family, fewest):
    """L 0.2 m, 2 pi R = 9.425 m. Hoop family: sides of 2 h/sqrt(3), 9.425 sqrt(3)/2/0.2 = 40.8. Axial family: heights
    lie around, 9.425/0.2 = 47.1; what is counted comes in pairs."""
    pattern = next(p for p in TriangularGrid.patterns() if p.name.endswith(f"{'axial-' * (family == 'axial')}inside"))
    count = pattern.variables(Setting(sb.BareBarrel(R, 0.2, "closed"), sb.Limits(spacing_most=0.5)))[-1]
    assert (count.name, count.low) == ("count", fewest)
    assert 2 * math.pi * R / (fewest - 1) * (math.sqrt(3) / 2 if family == "hoop" else 1.0) > 0.2
