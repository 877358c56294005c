"""Tee, angle, zee, I, hat and bulb from drawing dimensions: exact area integrals, thin-walled limits, hand values."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from itertools import product

import numpy as np
import pytest
from builders import case
from test_sections import integrals

import shellbuck as sb
from shellbuck.model.sections import SECTIONS, Angle, Bulb, Hat, IBeam, Tee, Zee, keys_of
from shellbuck.model.sections.thin import MiddleLine
from shellbuck.model.sized_section import SizedSection
from shellbuck.model.walls import build_wall

T = 2e-3
EVERY = (
    Tee(0.04, 0.002, 0.03, "web", "integral", 0.003),
    Tee(0.04, 0.002, 0.03, "flange", "riveted"),
    Angle(0.04, 0.002, 0.02, "web", "welded", 0.003),
    Angle(0.04, 0.002, 0.02, "flange", "riveted", 0.003),
    Zee(0.04, 0.002, 0.02, 0.018, "riveted", 0.003, 0.0025),
    IBeam(0.04, 0.002, 0.03, 0.024, "welded", 0.003),
    Bulb(0.04, 0.002, 0.008, "integral"),
)


def called(section) -> str:
    return f"{section.name} {getattr(section, 'attached', '')}"


@pytest.mark.parametrize("section", EVERY, ids=called)
def test_area_centroid_and_second_moments_are_those_of_the_outline(section):
    """No corner counts twice; the disc of the bulb is drawn with 72 sides, .13 % less than a circle."""
    A, across, up, inertia, lateral = integrals(section.outline(T))
    near = 3e-3 if section.name == "bulb" else 1e-12
    assert section.area == pytest.approx(A, rel=near)
    assert section.centroid[0] == pytest.approx(across, abs=1e-15)
    assert section.height(T) == pytest.approx(up, rel=near)
    assert section.inertia == pytest.approx(inertia, rel=max(near, 1e-9))
    assert section.lateral_inertia == pytest.approx(lateral, rel=max(near, 1e-9))


def test_a_hat_is_its_middle_line():
    """With mitred corners the area is exact: what a corner gains outside it lacks inside. The second moments differ by
    terms of (thickness/depth)^2 at its corners: .2 % at 1.2 mm of 30."""
    hat = Hat(0.03, 0.0012, 0.02, 0.03, 0.014, "riveted")
    web = math.hypot(0.005, 0.0288)
    assert hat.area == pytest.approx(1.2e-3 * (0.02 + 2 * web + 0.028), rel=1e-12)
    A, across, up, inertia, lateral = integrals(hat.outline(T))
    assert hat.area == pytest.approx(A, rel=1e-12)
    assert across == pytest.approx(0.0, abs=1e-15)
    assert hat.height(T) == pytest.approx(up, rel=1e-3)
    assert hat.inertia == pytest.approx(inertia, rel=2e-3)
    assert hat.lateral_inertia == pytest.approx(lateral, rel=2e-3)
    assert min(y for _, y in hat.outline(T)[0]) == pytest.approx(T / 2), "the feet lie on the skin"
    assert max(y for _, y in hat.outline(T)[0]) == pytest.approx(0.03 + T / 2)


def test_a_zee_by_hand():
    """40 x 2, foot and flange 20 x 2: A = 2 36 + 2 40 = 152; I = 2 36^3/12 + 2 40 19^2 + 2 20 2^3/12 = 36 682.7;
    lateral 36 2^3/12 + 2 [2 20^3/12 + 40 9^2] = 9170.7; product 2 40 9 19 = 13 680 mm^4."""
    zee = Zee(0.04, 0.002, 0.02, 0.02, "welded")
    assert zee.area == pytest.approx(152e-6)
    assert zee.centroid == pytest.approx((0.0, 0.02))
    assert zee.inertia == pytest.approx(36682.667e-12, rel=1e-6)
    assert zee.lateral_inertia == pytest.approx(9170.667e-12, rel=1e-6)
    assert zee.product_inertia == pytest.approx(13680e-12, rel=1e-6)
    assert zee.torsion == pytest.approx((36 + 40) * 8 / 3 * 1e-12)
    assert zee.shear_centre == pytest.approx((0.0, 0.02)), "point symmetry"


@pytest.mark.parametrize(("attached", "sign"), [("web", 1), ("flange", -1)])
def test_a_tee_is_the_same_either_way_up(attached, sign):
    tee = Tee(0.04, 0.002, 0.03, attached, "welded", 0.003)
    A, up = 2 * 37 + 90, (2 * 37 * 18.5 + 90 * 38.5) / (2 * 37 + 90)
    assert tee.area == pytest.approx(A * 1e-6)
    assert tee.centroid[1] == pytest.approx((up if sign > 0 else 40 - up) * 1e-3)
    assert tee.shear_centre == pytest.approx((0.0, 0.0385 if sign > 0 else 0.0015), abs=1e-12), "where its walls meet"


def test_shear_centre_and_warping_of_textbook_sections():
    """Channel b, h, t: 3 b^2/(h + 6 b) behind the web. I section: C_w = I_f h^2/2 about its middle. Zee:
    C_w = t b^3 h^2 (b + 2 h)/(12 (2 b + h)). Angle: no warping about its corner. (Thin-walled textbook formulas.)"""
    b, h, t = 0.02, 0.05, 0.001
    points = {"a": (b, 0.0), "b": (0.0, 0.0), "c": (0.0, h), "d": (b, h)}
    channel = MiddleLine(points, (("a", "b", t), ("b", "c", t), ("c", "d", t)))
    assert channel.shear_centre == pytest.approx((-3 * b**2 / (h + 6 * b), h / 2))
    beam = IBeam(h + t, t, b, b, "welded").middle_line
    assert beam.warping((0.0, (h + t) / 2)) == pytest.approx(t * b**3 / 12 * h**2 / 2)
    zee = Zee(h + t, t, b + t / 2, b + t / 2, "welded").middle_line
    assert zee.warping((0.0, (h + t) / 2)) == pytest.approx(t * b**3 * h**2 * (b + 2 * h) / (12 * (2 * b + h)))
    angle = Angle(h, t, b, "flange", "welded")
    assert angle.shear_centre == pytest.approx((0.0, t / 2), abs=1e-12)
    assert angle.middle_line.warping((0.0, t / 2)) == pytest.approx(0.0, abs=1e-30)


def test_the_shear_centre_is_where_warping_and_bending_part():
    """About it, and about no other pole, the sectorial coordinate is orthogonal to both coordinates."""
    line = Zee(0.04, 0.002, 0.03, 0.015, "welded", 0.003).middle_line
    pole = line.shear_centre
    y, z = ({name: p[i] for name, p in line.points.items()} for i in (0, 1))
    free = line._without_mean(line.sectorial(pole))
    assert line.integral(free, y) == pytest.approx(0.0, abs=1e-18)
    assert line.integral(free, z) == pytest.approx(0.0, abs=1e-18)
    assert line.warping(pole) < line.warping((pole[0] + 1e-3, pole[1]))


def test_the_cell_of_a_hat_and_skin():
    """30 wide, skin 2 mm, depth so that skin middle and crown middle are 30 apart: A = 900 mm^2. Around it go crown and
    webs of 1.2 mm and 30 of skin; half as stiff a skin counts as 1 mm. Rivets add half a foot on both sides."""
    depth = 30.0 + 0.6 - 1.0
    hat = Hat(depth * 1e-3, 1.2e-3, 0.03, 0.03, 0.014, "welded")
    walls = 2 * (depth - 1.2) + 30
    assert hat.torsion_on(2e-3) == pytest.approx(4 * 900**2 / (walls / 1.2 + 30 / 2) * 1e-12)
    assert hat.torsion_on(2e-3, 0.5) == pytest.approx(4 * 900**2 / (walls / 1.2 + 30 / 1) * 1e-12)
    riveted = Hat(depth * 1e-3, 1.2e-3, 0.03, 0.03, 0.014, "riveted")
    assert riveted.torsion_on(2e-3) == pytest.approx(4 * 900**2 / ((walls + 14) / 1.2 + 44 / 2) * 1e-12)
    assert hat.torsion == pytest.approx((walls + 28) * 1.2**3 / 3 * 1e-12), "by itself it is an open strip"
    assert Hat(0.03, 1.2e-3, 0.03, 0.03, 0.014, "welded", 7e-9).torsion_on(2e-3) == 7e-9


def test_a_cell_that_sways():
    """t 1, base and crown 30, web 29 long: J/(1 + (1/2)^2 J q^2 (1 - nu) (30 + 58)/(2 t^3)), q = pi/300."""
    hat = Hat(0.03, 1e-3, 0.03, 0.03, 0.01, "welded")
    J = (30 * 29 + 30 * 1.5) ** 2 * 4 / ((30 + 58) / 1 + 30 / 2)
    assert hat.torsion_on(2e-3) == pytest.approx(J * 1e-12)
    left = 1 / (1 + J * (math.pi / 300) ** 2 * 0.7 * 88 / 8)
    assert hat.torsion_on(2e-3, half_wave=0.3) == pytest.approx(left * J * 1e-12)
    assert hat.torsion_on(2e-3, half_wave=300.0) == pytest.approx(J * 1e-12, rel=1e-4)


def test_the_smeared_hat_has_the_torsion_of_its_cell():
    hats = stiffeners("hat", joint="riveted")
    made = case(sb.StiffenedWall(hats))
    wall = build_wall(made)
    section, t = hats.profile, made.stability_thickness
    assert wall.ribs[0].torsion == pytest.approx(section.torsion_on(t, nu=0.33, half_wave=2.0))
    bays = build_wall(case(sb.StiffenedWall(hats, replace(hats, side="outside", count=4))))
    assert bays.ribs[0].torsion == pytest.approx(section.torsion_on(t, nu=0.33, half_wave=0.4))
    assert bays.ribs[1].torsion == section.torsion, "the waves around a ring are not known: an open strip"
    assert wall.ribs[0].z == pytest.approx(-hats.profile.height(made.stability_thickness))


def test_plates_run_to_middle_lines_and_an_integral_foot_is_skin():
    zee = Zee(0.04, 0.002, 0.02, 0.018, "riveted", 0.003, 0.0025)
    found = {e.name: (e.width, e.thickness, e.free) for e in zee.elements}
    assert found["web"] == pytest.approx((0.04 - 0.0015 - 0.00125, 0.002, False))
    assert found["foot"] == pytest.approx((0.017, 0.0025, True))
    assert found["flange"] == pytest.approx((0.019, 0.003, True))
    integral = Zee(0.04, 0.002, 0.02, 0.018, "integral")
    assert {e.name for e in integral.elements} == {"web", "flange"}
    assert [e.free for e in Tee(0.04, 0.002, 0.03, "flange", "riveted").elements] == [True, True, True]
    assert Bulb(0.04, 0.002, 0.008, "integral").elements[0].width == pytest.approx(0.036)


def test_where_the_skin_is_held():
    assert Tee(0.04, 0.002, 0.03, "web", "integral").held == (0.002, 0.0)
    assert Angle(0.04, 0.002, 0.02, "flange", "riveted").held == (0.0, 0.0)
    assert Angle(0.04, 0.002, 0.02, "flange", "riveted").hinge == pytest.approx((-0.009, 0.0))
    assert Zee(0.04, 0.002, 0.02, 0.018, "welded").held == (0.018, 0.0)
    hat = Hat(0.03, 0.0012, 0.02, 0.03, 0.014, "riveted")
    assert hat.held == pytest.approx((0.044, 0.044))
    assert Hat(0.03, 0.0012, 0.02, 0.03, 0.014, "welded").held == pytest.approx((0.058, 0.03))


SIZES = dict(flange_width=0.02, foot_width=0.014, crown_width=0.02, base_width=0.02, bulb_diameter=0.006)


def stiffeners(section: str, **changes) -> sb.Stiffeners:
    every = dict(depth=0.03, thickness=0.002, joint="welded", attached="web", **SIZES)
    own = {key: every[key] for key in keys_of(section) if key in every} | changes
    return sb.Stiffeners("inside", section, **own, count=72)


@pytest.mark.parametrize(
    ("section", "changes", "words"),
    [
        ("tee", dict(depth=0.0035, flange_thickness=0.004), "foot and flange leave no web"),
        ("zee", dict(foot_width=0.002), "no wider than its web"),
        ("tee", dict(joint="riveted"), "the edge of a web cannot be riveted"),
        ("bulb", dict(joint="riveted"), "the edge of a web cannot be riveted"),
        ("bulb", dict(bulb_diameter=0.031), "no web is left below the bulb"),
        ("bulb", dict(bulb_diameter=0.001), "thinner than its web"),
        ("hat", dict(depth=0.0035), "the sheet leaves no web"),
        ("hat", dict(foot_width=0.001), "narrower than the sheet is thick"),
        ("hat", dict(base_width=0.12), "the stringers overlap"),
        ("i", dict(flange_width=0.14), "the stringers overlap"),
        ("zee", dict(torsion_constant=1e-8), "no section has such a torsion constant of an open section"),
        ("bulb", dict(torsion_constant=1e-8), "no section has such a torsion constant of an open section"),
        ("hat", dict(torsion_constant=1e-5), "no section has such a torsion constant of the closed cell"),
        ("zee", dict(depth=0.4, flange_width=0.03), "too deep"),
    ],
)
def test_dimensions_that_make_no_section_are_refused(section, changes, words):
    case(sb.StiffenedWall(stiffeners(section)))
    with pytest.raises(sb.Refusal, match=words):
        case(sb.StiffenedWall(stiffeners(section, **changes)))


@pytest.mark.parametrize("section", EVERY, ids=called)
def test_many_designs_are_those_of_each(section):
    values = {f.name: getattr(section, f.name) for f in fields(section)}
    shapes = {k: v for k, v in values.items() if isinstance(v, float)}
    stretch = np.array([1.0, 1.3, 1.7])
    many = type(section)(**values | {k: v * stretch for k, v in shapes.items()})
    for i, name in product(range(3), ("area", "inertia", "lateral_inertia", "product_inertia", "torsion")):
        one = type(section)(**values | {k: v * stretch[i] for k, v in shapes.items()})
        assert getattr(many, name)[i] == pytest.approx(getattr(one, name), rel=1e-14), name
        masks = [bool(np.broadcast_to(rule.broken, 3)[i]) for rule in many.limits(1.0, str)]
        assert masks == [bool(rule.broken) for rule in one.limits(1.0, str)]


@pytest.mark.parametrize("name", [name for name in SECTIONS if name != "given"])
def test_a_sizing_chooses_every_dimension_that_a_section_needs(name):
    cls = SECTIONS[name]
    given = {"joint": "integral", "attached": "flange"}
    said = {key: given[key] for key in keys_of(name, needed=True) if key in given}
    assert {*SizedSection(name, **said).chosen, *said} == set(keys_of(name, needed=True))
    further = {f.name for f in fields(cls) if f.name.endswith("_thickness")}
    if further:
        assert set(SizedSection(name, **said, own_thicknesses=True).chosen) >= further


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"section": "given"}, "section: not one of the choices"),
        ({"section": "hat"}, "joint: a hat section needs it"),
        ({"section": "tee", "joint": "welded"}, "attached: a tee section needs it"),
        ({"section": "blade", "joint": "welded"}, "joint: does not belong to a blade section"),
        ({"section": "hat", "joint": "riveted", "attached": "web"}, "attached: does not belong to a hat section"),
        ({"section": "hat", "joint": "riveted", "own_thicknesses": True}, "a hat section has one thickness"),
        ({"section": "angle", "joint": "riveted", "attached": "web"}, "cannot be riveted"),
        ({"section": "bulb", "joint": "riveted"}, "cannot be riveted"),
    ],
)
def test_what_no_sizing_can_make_is_refused(keys, words):
    with pytest.raises(sb.Refusal, match=words):
        SizedSection(**keys)
