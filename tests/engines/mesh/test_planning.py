"""How fine: chosen divisions, what they are reported as, and what is refused; flat rectangles; Lobatto points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from flat_plates import rectangle
from mesh_quality import quality

from shellbuck.core.errors import Refusal
from shellbuck.engines.mesh import (
    LEAST,
    Blades,
    Divisions,
    Extent,
    StraightRibs,
    TriangularRibs,
    build_mesh,
    choose_divisions,
    mesh_size,
    review_divisions,
)
from shellbuck.engines.mesh.points import lobatto

R, L, T = 1.0, 1.0, 1e-3
WAVE = 1.728 * math.sqrt(R * T)
SHAPES = {
    "plain": StraightRibs(R, L, T),
    "stringers": StraightRibs(R, L, T, Blades(60, 0.02, 2e-3)),
    "rings": StraightRibs(R, L, T, None, Blades(7, 0.02, 2e-3)),
    "orthogrid": StraightRibs(R, L, T, Blades(60, 0.02, 2e-3), Blades(19, 0.02, 2e-3)),
    "hoop": TriangularRibs("hoop", R, L, T, 60, 0.02, 2e-3),
    "axial": TriangularRibs("axial", R, L, T, 60, 0.02, 2e-3),
}


@pytest.mark.parametrize("order", LEAST)
@pytest.mark.parametrize("name", SHAPES)
def test_what_is_chosen_is_enough(name, order):
    shape, extent = SHAPES[name], Extent(sector=1)
    plan = choose_divisions(shape, WAVE, order=order, extent=extent)
    assert plan.per_half_wave >= 4 / 3 * LEAST[order] * (1 - 1e-9)
    # a row of a grid is only ever cut in half
    assert plan.per_half_wave_at_ends >= (1.99 if name not in {"hoop", "axial"} else 1.0) * 4 / 3 * LEAST[order]
    assert plan.size == mesh_size(shape, plan.divisions, extent)
    if name == "plain":
        assert plan.per_pocket is plan.per_depth is None
    else:
        assert plan.per_pocket >= 2 / 1.05 * (1 - 1e-12)
        assert plan.per_depth == math.ceil(LEAST[order] / 2)
    assert str(plan.size.nodes) in plan.sentence()
    assert f"order {order}" in plan.sentence()


@pytest.mark.parametrize("name", ["plain", "orthogrid", "hoop"])
def test_reported_figures_are_those_of_the_mesh(name):
    shape, extent = SHAPES[name], Extent(sector=1)
    plan = choose_divisions(shape, WAVE, per_half_wave=1.5, extent=Extent(sector=1))
    mesh = build_mesh(shape, plan.divisions, extent) if name != "plain" else build_mesh(shape, plan.divisions)
    corners = mesh.corners[mesh.of_part("skin")]
    along = np.ptp(corners[..., 0], axis=(1, 2)).max()
    around = np.ptp(corners[..., 1], axis=(1, 2)).max() * R
    if name == "hoop":  # sides of triangles are divided evenly
        assert plan.per_half_wave == pytest.approx(WAVE / shape.longest_side * 2 * plan.divisions.around)
        return
    assert plan.per_half_wave == pytest.approx(WAVE / max(along, around), rel=1e-9)
    at_end = corners[corners[..., 0].min(axis=(1, 2)) < 0.99 * plan.divisions.layer(shape)]
    assert plan.per_half_wave_at_ends == pytest.approx(WAVE / np.ptp(at_end[..., 0], axis=(1, 2)).max(), rel=1e-9)


def test_finer_needs_more():
    sizes = [choose_divisions(SHAPES["stringers"], WAVE, per_half_wave=n).size.nodes for n in (1, 2, 3)]
    assert sizes == sorted(set(sizes))
    between = choose_divisions(SHAPES["stringers"], WAVE, per_pocket=3, extent=Extent(sector=1, cut="between"))
    assert between.divisions.around == 4  # half a bay holds whole elements
    ends = [choose_divisions(SHAPES["plain"], WAVE, end_refinement=n).per_half_wave_at_ends for n in (1, 4)]
    assert ends[1] > 3.9 * ends[0]
    deep = choose_divisions(SHAPES["orthogrid"], WAVE, per_depth=3)
    assert deep.per_depth == deep.divisions.depth == 3


def test_too_coarse_says_what_it_takes():
    shape = SHAPES["plain"]
    with pytest.raises(Refusal) as caught:
        review_divisions(shape, Divisions(around=40, along=8), WAVE)
    (problem,) = caught.value.problems
    assert problem.code == "mesh-too-coarse"
    assert problem.got == "0.348 elements per half-wave"
    assert problem.allowed == "0.75 elements per half-wave or more"
    # 2 pi/(WAVE/.75) = 86.2 around, 1/(WAVE/.75) = 13.7 along
    size = mesh_size(shape, Divisions(around=87, along=14))
    assert problem.way_out == f"it takes around = 87, along = 14, depth = 1: {size}"
    assert review_divisions(shape, Divisions(around=87, along=14), WAVE).per_half_wave >= 0.75


@pytest.mark.parametrize(
    ("name", "asked", "words"),
    [
        ("plain", dict(per_half_wave=0.5), "got 0.504 elements per half-wave; allowed: 0.75 .* around = 87"),
        ("stringers", dict(half_wave=1.0, order=2, per_pocket=1), "1 elements over a pocket; allowed: 4 elements over"),
        ("orthogrid", dict(order=1, per_depth=1), "got 1 elements over the depth of a web; allowed: 4 .*depth = 4: .*"),
        ("hoop", dict(order=1, per_half_wave=4), r"elements per half-wave.*it takes around = \d+, depth = 4: \d+ elem"),
        ("plain", dict(per_half_wave=0.0), "per_half_wave: no such number"),
        ("plain", dict(end_refinement=0.5), "end_refinement: no such refinement"),
        ("plain", dict(order=9), "order: outside the range"),
        ("plain", dict(per_half_wave=40), "too large; got .* unknowns"),
    ],
)
def test_refusals(name, asked, words):
    with pytest.raises(Refusal, match=words):
        choose_divisions(SHAPES[name], **{"half_wave": WAVE, **asked})


@pytest.mark.parametrize("wave", [0.0, -1.0, math.nan, math.inf])
def test_no_half_wave(wave):
    with pytest.raises(Refusal, match="a half-wave is a positive length"):
        choose_divisions(SHAPES["plain"], wave)
    with pytest.raises(Refusal, match="a half-wave is a positive length"):
        review_divisions(SHAPES["plain"], Divisions(around=9), wave)


def test_nearly_square_pockets_take_the_same_both_ways():
    shape = StraightRibs(2.0, 3.0, 2e-3, Blades(90, 0.03, 3e-3), Blades(20, 0.03, 3e-3))  # .1396 by .1429
    plan = choose_divisions(shape, 0.2, end_refinement=1, extent=Extent(sector=1))
    assert (plan.divisions.around, plan.divisions.along) == (2, 42)
    assert plan.per_pocket == pytest.approx(shape.bay / (3.0 / 42))
    assert len(build_mesh(shape, plan.divisions, Extent(sector=1)).of_part("skin")) == 84


@pytest.mark.parametrize("order", range(1, 9))
def test_lobatto_points_integrate(order):
    s = lobatto(order)
    assert s[0] == -1
    assert s[-1] == 1
    assert np.array_equal(s, -s[::-1])
    # interpolatory weights on these points integrate up to degree 2 p - 1: the defining property
    weights = np.linalg.solve(np.vander(s, increasing=True).T, [(1 + (-1) ** k) / (k + 1) for k in range(order + 1)])
    for k in range(2 * order):
        assert weights @ s**k == pytest.approx((1 + (-1) ** k) / (k + 1), abs=1e-13)


@pytest.mark.parametrize("order", range(1, 6))
def test_rectangle(order):
    x, y = np.array([0.0, 0.1, 0.5, 2.0]), np.array([-1.0, 0.0, 0.3])
    mesh = rectangle(x, y, order)
    assert mesh.coordinates == "cartesian"
    assert mesh.areas()["skin"] == pytest.approx(2.0 * 1.3, rel=1e-14)
    assert len(mesh.points) == (3 * order + 1) * (2 * order + 1)
    assert np.array_equal(mesh.positions(), mesh.points)
    assert quality(mesh).sound
    assert quality(mesh).aspect == pytest.approx(10.0)  # .1 by 1
    assert len(mesh.nodes_at(0.5)) == 2 * order + 1


@pytest.mark.parametrize(
    ("x", "where"), [([0.0, 1.0, 1.0], "x"), ([0.0], "x"), ([[0.0, 1.0]], "x"), ([0, np.nan], "x")]
)
def test_no_rectangle(x, where):
    with pytest.raises(Refusal, match=f"{where}: two or more rising numbers"):
        rectangle(np.array(x), np.array([0.0, 1.0]))
