"""Properties of sections against the area integrals of their outlines (Green's theorem)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest

import shellbuck as sb
from shellbuck.model.sections import SECTIONS, Blade, Element, GivenSection, keys_of
from shellbuck.model.sections.section import FlatSection

T = 2e-3


def integrals(outlines) -> tuple[float, float, float, float, float]:
    """Area, centroid (across, up) and second moments about it (up, across) of polygons that do not overlap."""
    A = Sx = Sy = Ixx = Iyy = 0.0
    for points in outlines:
        closed = [*points, points[0]]
        parts = [(x0 * y1 - x1 * y0, x0, y0, x1, y1) for (x0, y0), (x1, y1) in pairwise(closed)]
        turn = math.copysign(1.0, sum(part[0] for part in parts))
        for c, x0, y0, x1, y1 in parts:
            c *= turn
            A, Sx, Sy = A + c / 2, Sx + c * (x0 + x1) / 6, Sy + c * (y0 + y1) / 6
            Ixx += c * (x0**2 + x0 * x1 + x1**2) / 12
            Iyy += c * (y0**2 + y0 * y1 + y1**2) / 12
    return A, Sx / A, Sy / A, Iyy - Sy**2 / A, Ixx - Sx**2 / A


@dataclass(frozen=True)
class Slanted(FlatSection):
    """Three strips that meet at no common edge, one of them inclined: nothing is symmetric."""

    torsion_constant: float | None = None

    @property
    def elements(self) -> tuple[Element, ...]:
        return (
            Element("foot", (0.0, 0.001), (0.02, 0.001), 0.002, free=True),
            Element("web", (0.021, 0.003), (0.029, 0.033), 0.0015, free=False),
            Element("flange", (0.01, 0.04), (0.05, 0.04), 0.003, free=True),
        )


@pytest.mark.parametrize("section", [Blade(0.03, 0.0025), Slanted()], ids=["blade", "slanted"])
def test_area_centroid_and_second_moments_are_those_of_the_outline(section):
    A, across, up, inertia, lateral = integrals(section.outline(T))
    assert section.area == pytest.approx(A, rel=1e-12)
    assert section.centroid[0] == pytest.approx(across, abs=1e-15)
    assert section.height(T) == pytest.approx(up, rel=1e-12)
    assert section.inertia == pytest.approx(inertia, rel=1e-9)
    assert section.lateral_inertia == pytest.approx(lateral, rel=1e-9)


def test_a_thin_open_section_twists_as_its_strips_do():
    assert Slanted().torsion == pytest.approx(
        (0.02 * 0.002**3 + math.hypot(0.008, 0.03) * 0.0015**3 + 0.04 * 0.003**3) / 3
    )
    assert Slanted(7e-10).torsion == 7e-10
    assert Slanted().reach == 0.04


def test_a_blade_by_hand():
    """30 x 2.5 mm: A = 75 mm^2, I = 2.5 30^3/12 = 5625 mm^4, J of a strip less its ends, 2.5^3 30 (1 - .63/12)/3."""
    blade = Blade(0.03, 0.0025)
    assert blade.area == pytest.approx(75e-6)
    assert blade.inertia == pytest.approx(5625e-12)
    assert blade.torsion == pytest.approx(0.0025**3 * 0.03 * (1 - 0.63 / 12) / 3, rel=1e-6)
    assert blade.height(T) == pytest.approx(0.016)
    assert [(e.width, e.thickness, e.free) for e in blade.elements] == [(0.03, 0.0025, True)]


def test_a_given_section_is_what_it_was_given_as():
    given = GivenSection(2e-4, 5e-8, 0.02, 4e-10)
    A, _, up, *_ = integrals(given.outline(T))
    assert (given.area, given.inertia, given.torsion, given.height(T)) == (2e-4, 5e-8, 4e-10, 0.02)
    assert pytest.approx(2e-4, rel=6e-3) == A, "a disc of 36 sides"
    assert up == pytest.approx(0.02)
    assert given.elements == ()
    assert given.lateral_inertia is None


def test_sections_of_many_designs_are_those_of_each():
    depth, thickness = np.array([0.01, 0.02, 0.03]), np.array([0.002, 0.02, 0.04])
    many = Blade(depth, thickness)
    for i in range(3):
        one = Blade(float(depth[i]), float(thickness[i]))
        for name in ("area", "inertia", "lateral_inertia", "torsion", "reach"):
            assert getattr(many, name)[i] == pytest.approx(getattr(one, name), rel=1e-15), name
        masks = [rule.broken[i] for rule in many.limits(0.1, str)]
        assert masks == [bool(rule.broken) for rule in one.limits(0.1, str)]


@pytest.mark.parametrize("name", SECTIONS)
def test_stiffeners_take_the_keys_of_every_section(name):
    """Needed ones are missed, foreign ones are refused, and the profile holds what was given."""
    values = {key: _any(key) for key in keys_of(name)}
    family = sb.Stiffeners("inside", name, **values, count=4)
    assert vars(family.profile) == values
    assert family.profile.name == name
    for key in keys_of(name, needed=True):
        with pytest.raises(sb.Refusal, match=f"{key}: a {name} section needs it"):
            sb.Stiffeners("inside", name, **{k: v for k, v in values.items() if k != key}, count=4)
    others = {key for other in SECTIONS for key in keys_of(other)} - set(values)
    for key in others:
        with pytest.raises(sb.Refusal, match=f"{key}: does not belong to a {name} section"):
            sb.Stiffeners("inside", name, **values, **{key: _any(key)}, count=4)


def _any(key: str):
    return {"joint": "welded", "attached": "web"}.get(key, 0.01)
