"""Properties that no section has are refused: a thin strip twists with J = b t^3/3 (textbook bound of a solid blade),
and no area can lie farther from its own centroid than ribs may reach (a fifth of the radius, own bound)."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from builders import GRID, METAL, ORTHOGRID, RINGS, STRINGERS, case

import shellbuck as sb


def test_a_blade_that_twists_harder_than_a_strip_is_refused():
    most = 1.05 * 0.02 * 0.0025**3 / 3
    case(sb.StiffenedWall(replace(STRINGERS, torsion_constant=0.99 * most)))
    with pytest.raises(sb.Refusal, match=re.escape("no section has such a torsion constant of a blade")):
        case(sb.StiffenedWall(replace(STRINGERS, torsion_constant=1.01 * most)))
    with pytest.raises(sb.Refusal, match=r"wall\.torsion_constant"):
        case(replace(GRID, torsion_constant=1e-6))
    with pytest.raises(sb.Refusal, match=r"wall\.ring_torsion_constant"):
        case(replace(ORTHOGRID, ring_torsion_constant=1e-6))


def test_an_inertia_that_needs_area_beyond_the_reach_of_ribs_is_refused():
    most = 200e-6 * (1.5 / 5) ** 2
    case(sb.StiffenedWall(STRINGERS, replace(RINGS, inertia=0.99 * most)))
    with pytest.raises(sb.Refusal, match="second moment about the section's own centroid"):
        case(sb.StiffenedWall(STRINGERS, replace(RINGS, inertia=1.01 * most)))


def test_a_torsion_constant_beyond_the_section_is_refused():
    most = 4 * (5e-8 + 200e-6 * 0.03**2)
    case(sb.StiffenedWall(STRINGERS, replace(RINGS, torsion_constant=0.99 * most)))
    with pytest.raises(sb.Refusal, match=r"rings\.torsion_constant: no section has such a torsion constant"):
        case(sb.StiffenedWall(STRINGERS, replace(RINGS, torsion_constant=1.01 * most)))


def test_a_compressive_yield_above_the_ultimate_strength_is_refused():
    """It would switch off every cut-off at yield."""
    point = METAL.points[0]
    with pytest.raises(sb.Refusal, match="the compressive yield is above the ultimate strength"):
        replace(point, compression_yield=1.01 * point.ultimate)


@pytest.mark.parametrize("ratio", [0.79, 1.26, 2.0])
def test_a_compression_modulus_far_from_the_tension_modulus_is_refused(ratio):
    point = replace(METAL.points[0], compression_modulus=ratio * METAL.points[0].youngs_modulus)
    with pytest.raises(sb.Refusal, match="the compression modulus is far from the tension modulus"):
        replace(METAL, points=(point,))
