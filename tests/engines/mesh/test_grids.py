"""Meshes of barrels with triangular grids. Expected values are geometry worked out by hand (own)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from flat_plates import triangle
from hypothesis import given, settings
from hypothesis import strategies as st
from mesh_counts import euler
from mesh_quality import edges_of, quality

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.engines.mesh import WHOLE, Divisions, Extent, TriangularRibs, build_mesh, mesh_size, shape_of

R, T = 1.0, 4e-3
DEPTH, WIDTH = 0.05, 4e-3
REACH = T / 2 + DEPTH


def grid(family="hoop", side="inside", count=8, rows=4) -> TriangularRibs:
    """Exactly equilateral: the length is that of so many rows (hoop) or half sides (axial)."""
    pitch = 2 * math.pi * R / count
    row = pitch * math.sqrt(3) / 2 if family == "hoop" else pitch / math.sqrt(3)
    return TriangularRibs(family, R, row * rows, T, count, DEPTH, WIDTH, side, rows)


def ring_area(side: str) -> float:
    other = R + REACH if side == "outside" else R - REACH
    return abs(R**2 - other**2) / 2 * 2 * math.pi


def inclined_area(side: str, dx: float, turn: float) -> float:
    """Area of the ruled surface of radial lines along a helix: the closed integral of sqrt(dx^2 + (r turn)^2)."""

    def primitive(r: float) -> float:
        root = math.hypot(dx, r * turn)
        return r * root / 2 + dx**2 / (2 * turn) * math.asinh(r * turn / dx)

    other = R + REACH if side == "outside" else R - REACH
    return abs(primitive(other) - primitive(R))


@pytest.mark.parametrize("ends", [0, 1])
@pytest.mark.parametrize("side", ["inside", "outside"])
@pytest.mark.parametrize("rows", [3, 4, 5, 6])
@pytest.mark.parametrize("family", ["hoop", "axial"])
def test_areas_and_soundness(family, rows, side, ends):
    shape = grid(family, side, 8, rows)
    mesh = build_mesh(shape, Divisions(ends=ends if family == "hoop" or rows > 2 else 0, order=2))
    area = mesh.areas()
    pitch = 2 * math.pi / 8
    assert area["skin"] == pytest.approx(2 * math.pi * R * shape.length, rel=1e-12)
    if family == "hoop":  # two inclined sides a column and row, hoop ribs at interior lines
        assert mesh.parts == ("skin", "rib inclined", "rib hoop")
        assert area["rib inclined"] == pytest.approx(16 * rows * inclined_area(side, shape.row, pitch / 2), rel=1e-11)
        assert area["rib hoop"] == pytest.approx((rows - 1) * ring_area(side), rel=1e-12)
    else:  # one inclined side a column and half side
        assert mesh.parts == ("skin", "rib inclined", "rib axial")
        assert area["rib inclined"] == pytest.approx(8 * rows * inclined_area(side, shape.row, pitch), rel=1e-11)
        assert area["rib axial"] == pytest.approx(8 * shape.length * REACH, rel=1e-12)
    found = quality(mesh)
    assert found.sound
    assert found.jacobian > 0.25
    assert euler(mesh, "skin") == 0
    assert shape.stretch == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize("family", ["hoop", "axial"])
def test_counts_and_directions(family):
    mesh = build_mesh(grid(family), Divisions(around=2, order=1, layers=False))
    # a pocket is three quadrilaterals of 2 by 2; halves at the ends of the axial grid are too
    pockets = 2 * 8 * 4 if family == "hoop" else 8 * (4 + 1)
    assert len(mesh.of_part("skin")) == 12 * pockets
    for part, angle in {"rib hoop": 90, "rib axial": 0, "rib inclined": 30 if family == "hoop" else 60}.items():
        corners = mesh.corners[mesh.of_part(part)]
        along = corners[:, 1, 0] - corners[:, 0, 0]
        if len(along):
            found = np.degrees(np.arctan2(np.abs(along[:, 1]) * R, np.abs(along[:, 0])))
            assert found == pytest.approx(angle, abs=1e-9)
    both = mesh.corners[mesh.of_part("rib inclined")]
    slope = np.sign(both[:, 1, 0, 0] - both[:, 0, 0, 0])
    assert (slope > 0).sum() == (slope < 0).sum()


@pytest.mark.parametrize("family", ["hoop", "axial"])
def test_crossings_share_the_whole_radial_line(family):
    mesh = build_mesh(grid(family, rows=6), Divisions(order=2))
    straight = "rib hoop" if family == "hoop" else "rib axial"
    shared = np.intersect1d(mesh.nodes_of("rib inclined"), mesh.nodes_of(straight))
    heights = np.unique(np.round(R - mesh.points[shared, 2], 12))
    assert heights[[0, -1]] == pytest.approx([0, REACH])
    # hoop: the corners of triangles on 5 lines; axial: 7 corners on 2 lines of columns (0, 2, 4, 6 and 1, 3, 5)
    corners = 5 * 8 if family == "hoop" else 4 * 4 + 4 * 3
    assert len(shared) == corners * len(heights)
    edges = edges_of(mesh)
    radial = mesh.points[edges.nodes[:, 0], :2] == mesh.points[edges.nodes[:, -1], :2]
    assert edges.web[radial.all(axis=1)].max() == 6  # six ribs meet in an inner corner
    on_skin = edges.skin > 0
    assert set(edges.web[on_skin & (edges.skin == 2)]) == {0, 1}
    assert not np.isin(mesh.nodes_at(0.0), mesh.nodes_of("rib hoop")).any()


@pytest.mark.parametrize("ends", [0, 1])
@pytest.mark.parametrize(("family", "bays"), [("hoop", 1), ("hoop", 3), ("axial", 1), ("axial", 2)])
def test_sectors_tile_the_barrel(family, bays, ends):
    shape, divisions = grid(family, rows=5), Divisions(ends=ends, order=3)
    whole, sector = build_mesh(shape, divisions), build_mesh(shape, divisions, Extent(sector=bays))
    share = bays / shape.around
    assert sector.angle == pytest.approx(2 * math.pi * share, rel=1e-15)
    assert quality(sector).sound
    assert euler(sector, "skin") == 1
    for part, area in whole.areas().items():
        assert sector.areas()[part] == pytest.approx(area * share, rel=1e-12)
    assert len(sector.points) - len(sector.right) == pytest.approx(len(whole.points) * share)
    turn = sector.points[sector.right] - sector.points[sector.left]
    assert np.abs(turn - [0, sector.angle, 0]).max() < 1e-14
    # the right side: the skin's edge, and at its corners the ends of hoop ribs
    over_skin = sector.right[sector.points[sector.right, 2] == R]
    runs = shape.row_count if family == "hoop" else shape.row_count // 2 + 1
    pieces = runs + 2 * ends
    assert len(over_skin) == pieces * 2 * 3 + 1
    zigzag = sector.points[over_skin, 1] - sector.angle
    assert zigzag.max() - zigzag.min() == pytest.approx(math.pi / 8 if family == "hoop" else 0.0, abs=1e-12)


def test_turned_sectors_are_the_whole():
    shape, divisions = grid("hoop", rows=3), Divisions(order=2)
    whole, sector = build_mesh(shape, divisions), build_mesh(shape, divisions, Extent(sector=1))
    own = np.setdiff1d(np.arange(len(sector.points)), sector.right)
    copies = np.concatenate([sector.points[own] + [0, j * sector.angle, 0] for j in range(8)])
    copies[:, 1] = np.mod(copies[:, 1] + 1e-9, 2 * math.pi) - 1e-9

    def sorted_(points):
        return points[np.lexsort(np.round(points, 9).T)]

    there = whole.points.copy()
    there[:, 1] = np.mod(there[:, 1] + 1e-9, 2 * math.pi) - 1e-9
    assert np.abs(sorted_(copies) - sorted_(there)).max() < 1e-12


@pytest.mark.parametrize("family", ["hoop", "axial"])
def test_half_the_length(family):
    shape = grid(family, rows=8)
    half, whole = (build_mesh(shape, Divisions(ends=1, order=2), Extent(half=h)) for h in (True, False))
    assert quality(half).sound
    assert half.points[:, 0].max() == pytest.approx(shape.length / 2, rel=1e-14)
    area, full = half.areas(), whole.areas()
    assert area["skin"] == pytest.approx(full["skin"] / 2, rel=1e-12)
    assert area["rib inclined"] == pytest.approx(full["rib inclined"] / 2, rel=1e-12)
    if family == "hoop":  # the rib of the middle lies in the plane of symmetry
        assert area["rib hoop"] + area["rib hoop in plane"] / 2 == pytest.approx(full["rib hoop"] / 2, rel=1e-12)
        assert np.isin(half.nodes_of("rib hoop in plane"), half.nodes_at(shape.length / 2)).all()
        families = np.concatenate([half.nodes_of(part) for part in half.parts[1:]])
        assert np.array_equal(half.nodes_of("rib"), np.unique(families))
    else:
        assert "rib hoop in plane" not in half.parts
        return  # triangles that the plane cuts in half have centroids of their own
    # the half is the lower half of the whole
    lower = np.unique(np.round(whole.points[whole.points[:, 0] < shape.length / 2 * (1 + 1e-9)], 9), axis=0)
    assert np.array_equal(np.unique(np.round(half.points, 9), axis=0), lower)


def test_cut_rows_are_finer():
    shape = grid("hoop", rows=4)
    heights = []
    for ends in (0, 1):
        mesh = build_mesh(shape, Divisions(around=2, ends=ends, order=1))
        edge = mesh.corners[mesh.of_part("skin")]
        low = edge[edge[..., 0].min(axis=(1, 2)) < 1e-12]
        heights.append(np.ptp(low[..., 0], axis=(1, 2)).max())
    assert heights[1] < 0.6 * heights[0]
    assert 0.5 * shape.row in np.round(np.unique(mesh.points[:, 0]) / shape.row, 9) * shape.row


@settings(derandomize=True, deadline=None, max_examples=30)
@given(
    st.sampled_from(["hoop", "axial"]),
    st.sampled_from(["inside", "outside"]),
    st.integers(2, 4),
    st.integers(1, 6),
    st.integers(1, 2),
    st.integers(1, 2),
    st.integers(0, 1),
    st.integers(1, 4),
    st.sampled_from([None, 1, 2]),
    st.booleans(),
    st.floats(0.6, 1.8),
)
def test_size_is_known_and_every_mesh_is_sound(
    family, side, pairs, rows, around, depth, ends, order, sector, half, stretch
):
    base = grid(family, side, 2 * pairs, rows)
    shape = TriangularRibs(family, R, base.length * stretch, T, 2 * pairs, DEPTH, WIDTH, side, rows)
    divisions, extent = Divisions(around, 1, depth, ends, order=order), Extent(sector, half)
    try:
        size = mesh_size(shape, divisions, extent)
    except Refusal as refusal:
        assert (half and rows % 2) or (ends and family == "axial" and rows < 6), refusal  # noqa: PT017
        return
    mesh = build_mesh(shape, divisions, extent)
    assert (size.elements, size.nodes) == (len(mesh.elements), len(mesh.points))
    assert quality(mesh).sound
    share = (1.0 if sector is None else sector / shape.around) * (0.5 if half else 1.0)
    assert mesh.areas()["skin"] == pytest.approx(2 * math.pi * R * shape.length * share, rel=1e-11)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: grid("axial", count=7), "close around in pairs; got 7; allowed: an even number"),
        (
            lambda: TriangularRibs("hoop", R, 1.7, T, 8, DEPTH, WIDTH),
            r"no whole number of rows .* got 1\.7 m; .* 1\.36 m",
        ),
        (
            lambda: TriangularRibs("hoop", R, 1.0, T, 8, DEPTH, WIDTH, rows=5),
            "no longer near .* got 5; allowed: about 1",
        ),
        (lambda: TriangularRibs("hoop", 0.05, 0.2, T, 8, DEPTH, WIDTH, rows=5), "depth: the ribs reach the axis"),
        (lambda: TriangularRibs("round", R, 1.0, T, 8, DEPTH, WIDTH), "family: not one of the choices"),
    ],
)
def test_grids_that_cannot_be(make, words):
    with pytest.raises(Refusal, match=words):
        make()


@pytest.mark.parametrize(
    ("shape", "divisions", "extent", "words"),
    [
        (grid(rows=5), Divisions(), Extent(half=True), "no plane of symmetry; got 5 rows; allowed: an even number"),
        (
            grid("axial", rows=2),
            Divisions(ends=1),
            WHOLE,
            "too few rows to cut .* got 2 half sides; allowed: 3 or more",
        ),
        (grid(), Divisions(), Extent(sector=1, cut="between"), "a grid is cut along its ribs"),
        (grid("axial"), Divisions(), Extent(sector=5), "no more bays than the barrel; got 5; allowed: 4"),
        (grid(), Divisions(around=200), WHOLE, "too large; got more than .* unknowns"),
    ],
)
def test_refusals(shape, divisions, extent, words):
    for ask in (mesh_size, build_mesh):
        with pytest.raises(Refusal, match=words):
            ask(shape, divisions, extent)


def test_rows_fit_the_length():
    shape = TriangularRibs("hoop", R, 2.75, T, 8, DEPTH, WIDTH)
    assert shape.row_count == 4
    assert shape.stretch == pytest.approx(2.75 / (4 * math.pi / 4 * math.sqrt(3) / 2))
    assert shape.row == 2.75 / 4


def test_shapes_of_the_model():
    barrel = sb.Barrel(radius=1.5, length=2.0, ends="open", skin_thickness=2.6e-3, skin_thickness_minimum=2.5e-3)
    wall = sb.TriangularGrid("hoop", "inside", 0.013, 0.0025, count_around=90)
    assert shape_of(barrel, wall, 2.5e-3) == TriangularRibs("hoop", 1.5, 2.0, 2.5e-3, 90, 0.013, 0.0025, "inside")
    wall = sb.TriangularGrid("axial", "outside", 0.013, 0.0025, triangle_height=2 * math.pi * 1.5 / 80)
    assert shape_of(barrel, wall, 2.5e-3).count == 80
    assert shape_of(barrel, wall, 2.5e-3).around == 40


@pytest.mark.parametrize("order", range(1, 6))
def test_flat_triangle(order):
    mesh = triangle(2.0, 3, order)
    assert mesh.areas()["skin"] == pytest.approx(math.sqrt(3), rel=1e-14)
    assert len(mesh.elements) == 27
    side = 6 * order  # nodes between: on every side 2 n p - 1
    on_side = np.abs(mesh.points[:, 1]) < 1e-12
    assert on_side.sum() == side + 1
    assert quality(mesh).sound
    assert euler(mesh, "skin") == 1


@pytest.mark.parametrize(
    ("side", "divisions", "words"), [(-1.0, 1, "a side is positive"), (1.0, 0, "no such division")]
)
def test_no_triangle(side, divisions, words):
    with pytest.raises(Refusal, match=words):
        triangle(side, divisions)
