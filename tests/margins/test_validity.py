"""What is said about spacings and neighbouring modes: half-waves counted by hand, thresholds from both sides."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import BARREL, GRID, METAL, ORTHOGRID, PLAIN, RINGS, STIFFENED, STRINGERS, case, codes, load, row

import shellbuck as sb
from shellbuck.margins.engines import Engines
from shellbuck.margins.findings import Story
from shellbuck.margins.state import State
from shellbuck.margins.state_checks import state_checks

R, L = 1.5, 2.0


def said(wall, told: Story, *rows) -> dict[str, object]:
    """Checks of a load case by code, on a story and rows made up by the test."""
    given = case(wall)
    return {c.code: c for c in state_checks(State(given, given.load_cases[0], Engines(given)), rows, told)}


def general_mode(m: int, n: int) -> Story:
    """A general load in this mode."""
    given = case(STIFFENED)
    found, _ = Engines(given).lowest(sb.build_wall(given), L, "general instability").pair
    return Story(loads=(replace(found, mode="general", m=m, n=n),))


@pytest.mark.parametrize(
    ("wall", "m", "n", "cells", "name"),
    [
        (sb.StiffenedWall(None, RINGS), 3, 40, (L / 3) / (L / 5), "rings"),  # L/m; 4 rings, 5 bays
        (sb.StiffenedWall(None, RINGS), 2, 40, (L / 2) / (L / 5), "rings"),
        (sb.StiffenedWall(STRINGERS), 40, 7, (math.pi * R / 7) / 0.08, "stringers"),  # pi R/n
        (sb.StiffenedWall(STRINGERS), 40, 30, (math.pi * R / 30) / 0.08, "stringers"),
        (sb.StiffenedWall(STRINGERS), 40, 28, (math.pi * R / 28) / 0.08, "stringers"),
        (ORTHOGRID, 3, 30, (math.pi * R / 30) / 0.08, "stringers"),  # the fewer of the two directions
        (ORTHOGRID, 10, 6, (L / 10) / 0.1, "rings"),
        (GRID, 10, 6, (L / 10) / 0.09, "ribs at 90 deg"),  # a grid has ribs in both
        (GRID, 2, 30, (math.pi * R / 30) / 0.09, "ribs at 90 deg"),
        (GRID, 10, 0, (L / 10) / 0.09, "ribs at 90 deg"),  # rings of waves have no hoop length
    ],
)
def test_spacings_to_a_half_wave(wall, m, n, cells, name):
    """An axial half-wave is L/m long, a hoop half-wave pi R/n; fewer than two spacings of it are warned."""
    found = said(wall, general_mode(m, n))["cells-per-wave"]
    assert f"spans {cells:.1f} spacings of {name};" in found.text
    assert found.status == ("warned" if cells < 2 else "passed")
    assert bool(found.headline) is (cells < 2)


@pytest.mark.parametrize(
    ("one", "two", "warned"), [(100.0, 114.9, True), (114.9, 100.0, True), (100.0, 115.1, False), (115.1, 100.0, False)]
)
def test_neighbouring_modes_may_interact(one, two, warned):
    """Practice: within 15 % of the lower of both, before any factor."""
    found = said(PLAIN, Story(elastic=(("skin-field", "skin pocket", one), ("rib-crippling", "stringer web", two))))
    assert ("mode-interaction" in found) is warned
    if warned:
        assert "skin pocket and stringer web lie within 15 % of each other" in found["mode-interaction"].text


@pytest.mark.parametrize(("local", "warned"), [(99.0, True), (101.0, False)])
def test_local_below_general(local, warned):
    """SP-8007 Rev 2, 4.1.2.7.1: general instability should come first."""
    found = said(
        PLAIN, Story(elastic=(("skin-field", "skin pocket", local), ("general", "general instability", 100.0)))
    )
    assert ("local-below-general" in found) is warned
    if warned:
        assert (
            "skin pocket is more critical than general instability (0.99 of its load"
            in found["local-below-general"].text
        )


@pytest.mark.parametrize(("ratio", "low"), [(79.0, True), (81.0, False)])
def test_tests_start_at_a_radius_of_eighty_thicknesses(ratio, low):
    """SP-8007 Rev 2, 2.5.1: R/t from 80 on, L/R from .5 to 5."""
    t = R / ratio
    thick = replace(BARREL, skin_thickness=t, skin_thickness_minimum=t)
    assert ("radius-to-thickness" in codes(sb.run(case(PLAIN, barrel=thick)))) is low


@pytest.mark.parametrize(("aspect", "outside"), [(0.49, True), (0.51, False), (4.9, False), (5.1, True)])
def test_tests_cover_half_to_five_radii(aspect, outside):
    long = replace(BARREL, length=aspect * R)
    assert ("length-to-radius" in codes(sb.run(case(PLAIN, barrel=long)))) is outside


@pytest.mark.parametrize(("share", "warned"), [(0.29, True), (0.31, False)])
def test_ring_area_parameter(share, warned):
    """SP-8007 Rev 2, 4.1.2.1: A_r/(b_r t) from .3 on; b_r = L/5, t = 2.5 mm."""
    rings = replace(RINGS, area=share * L / 5 * 2.5e-3)
    assert ("ring-area" in codes(sb.run(case(sb.StiffenedWall(None, rings))))) is warned


@pytest.mark.parametrize(
    ("margin", "net", "differ"),
    [
        (0.0049, -0.0049, False),
        (-0.0049, 0.0049, False),
        (0.0051, -0.0049, True),
        (0.0049, -0.0051, True),
        (0.4, 0.3, False),
        (-0.4, -0.3, False),
        (0.4, None, False),
    ],
)
def test_margins_that_print_as_zero_have_no_sign(margin, net, differ):
    """Printed to two decimals, both within half of the last digit are zero (own choice)."""
    general = row(sb.run(case(PLAIN)), "general instability")
    found = said(PLAIN, Story(), replace(general, margin=margin, net_margin=net))
    assert ("signs-differ" in found) is differ


@pytest.mark.parametrize(("margin", "small"), [(0.049, True), (-0.049, True), (0.051, False), (-0.051, False)])
def test_margins_near_zero_are_warned(margin, small):
    general = row(sb.run(case(PLAIN)), "general instability")
    assert ("small-margin" in said(PLAIN, Story(), replace(general, margin=margin))) is small


@pytest.mark.parametrize(("off", "fits"), [(0.009, True), (-0.009, True), (0.011, False), (-0.011, False)])
def test_patterns_close_to_a_hundredth(off, fits):
    """118 stringers around, and a hundredth of one more or less (own choice)."""
    wall = sb.StiffenedWall(replace(STRINGERS, spacing=2 * math.pi * R / (118 + off)))
    assert ("pattern-fit" not in codes(sb.run(case(wall)))) is fits


def test_patterns_of_triangles_are_counted():
    """h = .09 m: hoop family, sides 2 h/sqrt 3 around and rows h along; axial family, column pairs 2 h around and half
    sides along."""
    side = 2 * 0.09 / math.sqrt(3)
    counts = {"hoop": (2 * math.pi * R / side, L / 0.09), "axial": (2 * math.pi * R / 0.18, L / (side / 2))}
    for family, both in counts.items():
        texts = [c.text for c in sb.run(case(replace(GRID, family=family))).validity if c.code == "pattern-fit"]
        for count in both:
            assert any(f" {count:.2f} " in text for text in texts), (family, count)


@pytest.mark.parametrize(("below", "warned"), [(9.0, False), (11.0, True)])
def test_held_below_its_data_a_metal_is_warned(below, warned):
    """Ten degrees below the coldest point are no matter (own choice)."""
    held = replace(METAL, clamp_below_range=True)
    result = sb.run(case(PLAIN, load(temperature=294.0 - below), material=held))
    assert ("clamped-below-range" in codes(result)) is warned
