"""Mass of drawn walls: rib by rib, pocket by pocket, with lengths and areas integrated here."""

from __future__ import annotations

import math
from dataclasses import replace

import builders
import numpy as np
import pytest
from scipy.integrate import dblquad, quad

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.margins import assess, evaluate
from shellbuck.model.walls import weigh
from shellbuck.model.walls.mass import RECTANGLE_CORNER, TRIANGLE_CORNER, length_ratio

R, L, T, RHO = 1.5, 2.0, 2.6e-3, builders.METAL.density
SKIN = 2 * math.pi * R * L * T
"""Volume of the skin: the area of its middle times its thickness, exact for a cylinder."""

SIGN = {"outside": 1, "inside": -1}


def shell(inner: float, outer: float, width: float) -> float:
    """Volume of a ring of rectangular section, integrated over its radius."""
    return quad(lambda r: 2 * math.pi * r * width, inner, outer)[0]


def rib_faces(side: str, depth: float) -> tuple[float, float]:
    """Radii between which a rib stands."""
    root = R + SIGN[side] * T / 2
    return tuple(sorted((root, root + SIGN[side] * depth)))


def helix(angle: float, side: str, depth: float, width: float) -> float:
    """Volume of one blade along the barrel at an angle to its axis: width times the area of the helicoid
    (x, r) -> (x, r cos, r sin)(x tan(angle)/R), whose element is sqrt(1 + (r tan(angle)/R)^2) dr dx."""
    turn = math.tan(math.radians(angle)) / R
    low, high = rib_faces(side, depth)
    return width * dblquad(lambda r, _: math.sqrt(1 + (r * turn) ** 2), 0, L, low, high)[0]


@pytest.mark.parametrize("side", ["inside", "outside"])
@pytest.mark.parametrize("size", [dict(stringer_count=100, ring_count=19), dict(stringer_count=100, ring_spacing=0.1)])
def test_orthogrid_rib_by_rib(side, size):
    """100 stringers, 19 rings in 20 bays however they are given, 2000 pockets with four fillets of 6 mm each."""
    d, b_s, b_r, r = 0.04, 0.003, 0.0025, 0.006
    wall = sb.Orthogrid(side, d, b_s, b_r, corner_radius=r, **size)
    # between an edge and the cutter's quarter (r - r cos f, r - r sin f)
    corner = quad(lambda f: (r - r * math.sin(f)) * r * math.sin(f), 0, math.pi / 2)[0]
    volume = SKIN + 100 * d * b_s * L + 19 * shell(*rib_faces(side, d), b_r) + 2000 * 4 * corner * d
    mass = weigh(builders.case(wall))
    assert mass.total == pytest.approx(RHO * volume, rel=1e-9)  # the quadrature's own accuracy
    assert mass.corners == pytest.approx(2000 * 4 * corner * d, rel=1e-9)
    assert mass.per_area == pytest.approx(mass.total / (2 * math.pi * R * L), rel=1e-13)
    block = SKIN + shell(*rib_faces(side, d), L)  # skin and a layer as deep as the ribs
    assert mass.raw_to_finished == pytest.approx(block / volume, rel=1e-9)


@pytest.mark.parametrize("side", ["inside", "outside"])
@pytest.mark.parametrize(("family", "straight", "inclined"), [("hoop", 90, 30), ("axial", 0, 60)])
def test_triangular_grid_rib_by_rib(side, family, straight, inclined):
    """Ribs of a family are h apart across their direction: over a surface S they are S/h long on the skin middle, and
    one of them is L/cos(angle) long there (a hoop rib once around)."""
    d, b, h, r = 0.03, 0.0025, 0.09, 0.006
    wall = sb.TriangularGrid(family, side, d, b, triangle_height=h, corner_radius=r)
    surface = 2 * math.pi * R * L
    along = surface / h / (L / math.cos(math.radians(inclined)))  # ribs at one inclination
    own = surface / h * d * b if straight == 0 else surface / h / (2 * math.pi * R) * shell(*rib_faces(side, d), b)

    # a corner of 60 degrees: from its tip to the circle, which touches the edges sqrt(3) r away
    def between(x: float) -> float:
        circle = math.sqrt(max(r * r - (x - 2 * r) ** 2, 0.0)) if x > r else 0.0
        return x * math.tan(math.pi / 6) - circle

    half = quad(between, 0, 1.5 * r, points=[r])[0]
    pockets = surface / (h * 2 * h / math.sqrt(3) / 2)  # height h on a side of 2 h/sqrt(3)
    volume = SKIN + own + 2 * along * helix(inclined, side, d, b) + pockets * 3 * 2 * half * d
    # a helix at the centroid for all radii: the square of d/R, 4e-4, times an eighth of sin^2 cos^2
    assert weigh(builders.case(wall)).total == pytest.approx(RHO * volume, rel=2e-6)


@pytest.mark.parametrize("angle", [0.0, 30.0, 60.0, 90.0])
def test_length_of_a_rib_against_its_polygon(angle):
    """A rib of one turn or of the barrel's length as 20 000 straight pieces in space, over the same on the skin."""
    z, steps = 0.05, 20_000

    def polygon(radius: float) -> float:
        x = np.linspace(0, 0.0 if angle == 90 else L, steps + 1)
        turn = np.linspace(0, 2 * math.pi, steps + 1) if angle == 90 else x * math.tan(math.radians(angle)) / R
        points = np.stack([x, radius * np.cos(turn), radius * np.sin(turn)], axis=1)
        return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())

    # chords are shorter by (2 pi/steps)^2/24
    assert length_ratio(angle, z, R) == pytest.approx(polygon(R + z) / polygon(R), rel=1e-7)


def test_corners_are_what_cotangent_and_sector_leave():
    """cot(a/2) - (pi - a)/2 at 60 and 90 degrees."""
    for corner, a in ((TRIANGLE_CORNER, math.pi / 3), (RECTANGLE_CORNER, math.pi / 2)):
        assert corner == pytest.approx(1 / math.tan(a / 2) - (math.pi - a) / 2, rel=1e-15)


def test_rings_and_stringers_of_separate_sections():
    """Given sections weigh at their eccentricity: 100 of 2 cm^2 along, 3 of 1.5 cm^2 at R - 40 mm."""
    more = dict(inertia=5e-8, torsion_constant=4e-10)
    stringers = sb.Stiffeners("outside", "given", area=2e-4, eccentricity=0.02, count=100, **more)
    rings = sb.Stiffeners("inside", "given", area=1.5e-4, eccentricity=0.04, spacing=0.5, **more)
    volume = SKIN + 100 * 2e-4 * L + 3 * 1.5e-4 * 2 * math.pi * (R - 0.04)
    assert weigh(builders.case(sb.StiffenedWall(stringers, rings))).total == pytest.approx(RHO * volume, rel=1e-12)


def test_a_given_stiffness_weighs_what_is_given():
    """9 kg/m^2 on 2 pi 1.5 m 2 m of skin middle; nothing is known of its metal."""
    eye = ((1e8, 0.0, 0.0), (0.0, 1e8, 0.0), (0.0, 0.0, 3e7))
    bending = tuple(tuple(1e-5 * x for x in r) for r in eye)
    nothing = ((0.0,) * 3,) * 3
    mass = weigh(builders.case(sb.GivenStiffness(eye, nothing, bending, 9.0)))
    assert (mass.per_area, mass.mean_thickness, mass.raw_to_finished) == (9.0, None, None)
    assert mass.total == pytest.approx(9.0 * 2 * math.pi * 1.5 * 2.0, rel=1e-15)


def test_fillets_count_in_the_mass_alone():
    bare = builders.case(builders.ORTHOGRID)
    filled = replace(bare, wall=replace(bare.wall, corner_radius=0.006))
    a, b = assess(bare), assess(filled)
    assert b.wall.mass > a.wall.mass
    assert [r.margin for r in b.margins] == [r.margin for r in a.margins]
    assert weigh(bare).corners == 0


def test_fillets_larger_than_the_pocket_are_refused():
    """Pockets of 80 mm between middles less 2.5 mm admit 38.75 mm; a triangle of 90 mm 30 mm less half a rib."""
    case = builders.case(builders.ORTHOGRID)
    replace(case, wall=replace(case.wall, corner_radius=0.0387))
    with pytest.raises(Refusal, match=r"the corners fill more than the pocket.*38.8 mm.*at most 38.75 mm"):
        replace(case, wall=replace(case.wall, corner_radius=0.0388))
    grid = builders.case(builders.GRID)
    with pytest.raises(Refusal, match=r"at most 28.75 mm, the circle inside a pocket"):
        replace(grid, wall=replace(grid.wall, corner_radius=0.029))
    for one, wide in ((case, 0.0388), (grid, 0.029)):
        some = replace(one, wall=replace(one.wall, corner_radius=0.001))
        found = evaluate(some, {"wall.corner_radius": np.array([0.001, wide])})
        assert found.reasons.tolist() == ["", "corner-radius-too-large"]
        assert found.mass_per_area[0] == pytest.approx(weigh(some).per_area, rel=1e-13)
