"""Meshes of barrels with straight ribs: areas, counts, what is shared, how the parts hang together.

Every expected value is geometry worked out by hand (own); nothing here rests on another program.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mesh_counts import euler
from mesh_quality import edges_of, quality

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.engines.mesh import (
    WHOLE,
    Blades,
    Divisions,
    Extent,
    StraightRibs,
    build_mesh,
    from_quads,
    mesh_size,
    shape_of,
)

R, L, T = 1.0, 1.3, 4e-3
SIDES = ("inside", "outside")


def shape(stringers="inside", rings="inside", bays=None) -> StraightRibs:
    return StraightRibs(
        R, L, T, stringers and Blades(6, 0.05, 4e-3, stringers), rings and Blades(3, 0.08, 6e-3, rings), bays
    )


def ring_area(side: str, depth: float, angle: float = 2 * math.pi) -> float:
    reach = T / 2 + depth
    other = R + reach if side == "outside" else R - reach
    return abs(R**2 - other**2) / 2 * angle


@pytest.mark.parametrize("order", range(1, 6))
def test_plain_barrel(order):
    mesh = build_mesh(StraightRibs(R, L, T, bays=7), Divisions(around=2, along=5, order=order))
    assert mesh.parts == ("skin",)
    assert len(mesh.elements) == 14 * 5
    assert len(mesh.points) == 14 * order * (5 * order + 1)  # closed: as many lines as columns
    assert mesh.areas()["skin"] == pytest.approx(2 * math.pi * R * L, rel=1e-13)
    assert quality(mesh).sound
    assert quality(mesh).jacobian == pytest.approx(1.0, rel=1e-12)
    assert euler(mesh, "skin") == 0
    assert len(mesh.nodes_at(0.0)) == len(mesh.nodes_at(L)) == 14 * order
    assert (mesh.points[:, 1] >= 0).all()
    assert (mesh.points[:, 1] < 2 * math.pi).all()
    assert len(mesh.left) == len(mesh.right) == 0


@pytest.mark.parametrize("order", [1, 4])
@pytest.mark.parametrize(("stringers", "rings"), list(itertools.product(SIDES, SIDES)))
def test_areas_and_crossings(stringers, rings, order):
    mesh = build_mesh(shape(stringers, rings), Divisions(around=2, along=4, order=order))
    area = mesh.areas()
    assert area["skin"] == pytest.approx(2 * math.pi * R * L, rel=1e-13)
    assert area["stringer"] == pytest.approx(6 * L * (T / 2 + 0.05), rel=1e-13)
    assert area["ring"] == pytest.approx(3 * ring_area(rings, 0.08), rel=1e-13)
    assert quality(mesh).sound
    # a crossing shares the skin's node, and on one side the whole radial line up to the lower free edge
    shared = np.intersect1d(mesh.nodes_of("stringer"), mesh.nodes_of("ring"))
    lines = len(np.unique(np.round(mesh.points[shared][:, :2], 9), axis=0))
    assert lines == 18
    if stringers == rings:
        heights = np.unique(np.round(np.abs(mesh.points[shared, 2] - R), 12))
        assert heights[[0, -1]] == pytest.approx([0.0, T / 2 + 0.05])
        assert len(shared) == 18 * len(heights)
        along = np.abs(mesh.points[mesh.nodes_of("stringer")][:, 2] - R)
        assert len(heights) == len(np.unique(np.round(along, 12)))
    else:
        assert len(shared) == 18
        assert mesh.points[shared, 2] == pytest.approx(R, rel=1e-14)


def test_webs_stand_on_the_skin_and_reach_the_free_edge():
    mesh = build_mesh(shape("outside", "inside"), Divisions(around=2, along=4))
    for part, reach in (("stringer", T / 2 + 0.05), ("ring", -(T / 2 + 0.08))):
        r = mesh.corners[mesh.of_part(part)][..., 2]
        assert r[:, :, 0].flat[np.abs(r[:, :, 0] - R).argmin()] == R
        assert (np.abs(r[:, :, 1] - R) > np.abs(r[:, :, 0] - R)).all()  # second direction away from the skin
        assert np.abs(r - R).max() == pytest.approx(abs(reach), rel=1e-13)
        assert np.sign(r[:, :, 1] - R).min() == np.sign(r[:, :, 1] - R).max() == np.sign(reach)
    edges = edges_of(mesh)
    on_skin = (edges.skin == 2) & (edges.web > 0)
    # stringers: 6 lines of 4 elements along; rings: 3 lines of 12 around; each has one web
    assert on_skin.sum() == 6 * 4 + 3 * 12
    assert edges.web[on_skin].max() == 1


def test_skin_directions():
    mesh = build_mesh(shape(), Divisions(along=4))
    corners = mesh.corners[mesh.of_part("skin")]
    along_first, along_second = corners[:, 1, 0] - corners[:, 0, 0], corners[:, 0, 1] - corners[:, 0, 0]
    assert (along_first[:, 1] > 0).all()
    assert (along_second[:, 0] > 0).all()
    assert not along_first[:, [0, 2]].any()
    assert not along_second[:, 1:].any()


def test_places_of_nodes_are_lobatto_points():
    mesh = build_mesh(StraightRibs(R, L, T, bays=3), Divisions(along=1, order=4))
    nodes = mesh.points[mesh.elements[0]].reshape(5, 5, 3)
    inner = math.sqrt(3 / 7)  # published Gauss-Lobatto abscissa of five points
    assert nodes[0, :, 0] == pytest.approx(L / 2 * (1 + np.array([-1, -inner, 0, inner, 1])), abs=1e-15)
    assert nodes[:, 0, 1] == pytest.approx(math.pi / 3 * (1 + np.array([-1, -inner, 0, inner, 1])), abs=1e-15)


def test_euler_of_a_sector_and_of_a_ring():
    mesh = build_mesh(shape(), Divisions(around=2, along=4), Extent(sector=2))
    assert euler(mesh, "skin") == 1  # a disc
    whole = build_mesh(shape(), Divisions(around=2, along=4))
    assert euler(whole, "ring") == 0  # three bands
    assert euler(whole, "stringer") == 6  # six discs


@pytest.mark.parametrize("cut", ["on", "between"])
@pytest.mark.parametrize("order", [1, 3])
def test_sectors_tile_the_barrel(cut, order):
    divisions = Divisions(around=2, along=4, ends=1, order=order)
    sector = build_mesh(shape("inside", "outside"), divisions, Extent(sector=1, cut=cut))
    whole = build_mesh(shape("inside", "outside"), divisions)
    assert sector.angle == pytest.approx(2 * math.pi / 6, rel=1e-15)
    assert quality(sector).sound
    for part, area in whole.areas().items():
        assert 6 * sector.areas()[part] == pytest.approx(area, rel=1e-13)
    assert 6 * (len(sector.points) - len(sector.right)) == len(whole.points)
    turn = sector.points[sector.right] - sector.points[sector.left]
    assert np.abs(turn - [0, sector.angle, 0]).max() < 1e-14
    on_side = np.nonzero(np.abs(sector.points[:, 1] - sector.angle) < 1e-12)[0]
    assert np.array_equal(on_side, np.sort(sector.right))
    at_left = np.nonzero(np.abs(sector.points[:, 1]) < 1e-12)[0]
    if cut == "between":
        assert np.array_equal(at_left, np.sort(sector.left))
        theta = np.unique(np.round(sector.points[sector.nodes_of("stringer"), 1], 12))
        assert theta == pytest.approx([sector.angle / 2], abs=1e-11)
    else:  # the web of the left edge has no twin
        assert len(at_left) > len(sector.left)
        assert not np.isin(sector.nodes_of("stringer"), sector.right).any()


def test_half_the_length():
    mesh = build_mesh(shape(), Divisions(around=2, along=5, ends=2), Extent(half=True))
    assert mesh.points[:, 0].max() == L / 2
    area = mesh.areas()
    assert area["skin"] == pytest.approx(math.pi * R * L, rel=1e-13)
    assert area["ring"] == pytest.approx(ring_area("inside", 0.08), rel=1e-13)
    assert area["ring in plane"] == pytest.approx(ring_area("inside", 0.08), rel=1e-13)
    assert np.array_equal(mesh.nodes_of("ring in plane"), np.intersect1d(mesh.nodes_at(L / 2), mesh.nodes_of("ring")))
    assert len(mesh.of_part("ring")) == 2 * len(mesh.of_part("ring in plane"))
    even = StraightRibs(R, L, T, None, Blades(4, 0.05, 4e-3), 6)
    assert build_mesh(even, Divisions(along=4), Extent(half=True)).parts == ("skin", "ring")


def test_ends_are_finer():
    plain = StraightRibs(R, L, T, bays=6)
    x = np.unique(np.round(build_mesh(plain, Divisions(along=4, ends=3, order=1)).points[:, 0], 12))
    layer = 2.5 * math.sqrt(R * T)
    assert x[:4] == pytest.approx(layer * np.arange(4) / 3)
    assert x == pytest.approx((L - x)[::-1])
    assert np.diff(x)[3:-3] == pytest.approx((L - 2 * layer) / 4)
    # rings keep their places; a ring near the end of the layer takes its place
    ringed = StraightRibs(R, L, T, None, Blades(7, 0.03, 4e-3), 6)
    x = np.unique(np.round(build_mesh(ringed, Divisions(along=8, ends=2, order=1)).points[:, 0], 12))
    assert np.isin(np.round(L * np.arange(9) / 8, 12), x).all()
    assert np.diff(x)[:4] == pytest.approx([L / 24, L / 24, L / 24, L / 8])  # L/8 is two and a bit: three
    # a layer as long as the barrel: even and fine throughout
    x = np.unique(np.round(build_mesh(plain, Divisions(ends=4, end_length=1.0, order=1)).points[:, 0], 12))
    assert np.diff(x) == pytest.approx(np.diff(x)[0])


def test_thin_layers_of_webs():
    deep = StraightRibs(R, L, T, Blades(6, 0.05, 4e-3))
    mesh = build_mesh(deep, Divisions(depth=2, order=1))
    z = np.unique(np.round(R - mesh.points[mesh.nodes_of("stringer"), 2], 12))
    assert z == pytest.approx([0, 0.003, 0.026, 0.049, 0.052])
    stout = StraightRibs(R, L, T, Blades(6, 0.009, 4e-3))  # less than 3 b deep: no layers
    z = R - build_mesh(stout, Divisions(depth=2, order=1)).points[:, 2]
    assert np.unique(np.round(z, 12)) == pytest.approx([0, 0.0055, 0.011])
    z = R - build_mesh(deep, Divisions(layers=False, order=1)).points[:, 2]
    assert np.unique(np.round(z, 12)) == pytest.approx([0, 0.052])


def test_moment_of_a_web():
    """First moment of the stringers about the skin: 6 L reach^2/2, through a quadrature of the mesh itself."""
    mesh = build_mesh(shape(), Divisions(along=4, order=2))
    own = mesh.of_part("stringer")
    corners = mesh.corners[own]
    area = np.prod([np.ptp(corners[..., k], axis=(1, 2)) for k in (0, 2)], axis=0)
    assert (area * (R - corners[..., 2].mean(axis=(1, 2)))).sum() == pytest.approx(6 * L * 0.052**2 / 2, rel=1e-12)


COUNTS = st.integers(1, 3)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(
    st.sampled_from([None, *SIDES]),
    st.sampled_from([None, *SIDES]),
    COUNTS,
    st.integers(1, 4),
    COUNTS,
    st.integers(0, 2),
    st.integers(1, 4),
    st.sampled_from([None, 1, 2, 6]),
    st.booleans(),
    st.booleans(),
)
def test_size_is_known_and_every_mesh_is_sound(
    stringers, rings, around, along, depth, ends, order, sector, half, layers
):
    what = shape(stringers, rings, None if stringers else 6)
    divisions, extent = Divisions(around, along, depth, ends, None, layers, order), Extent(sector, half)
    mesh = build_mesh(what, divisions, extent)
    size = mesh_size(what, divisions, extent)
    assert (size.elements, size.nodes, size.unknowns) == (len(mesh.elements), len(mesh.points), mesh.unknowns)
    assert quality(mesh).sound
    share = (1.0 if sector is None else sector / 6) * (0.5 if half else 1.0)
    assert mesh.areas()["skin"] == pytest.approx(2 * math.pi * R * L * share, rel=1e-12)
    if stringers:
        assert mesh.areas()["stringer"] == pytest.approx(6 * L * 0.052 * share, rel=1e-12)


def test_a_broken_mesh_is_seen():
    mesh = build_mesh(StraightRibs(R, L, T, bays=6), Divisions(along=2, order=2))
    elements = mesh.elements.copy()
    elements[0, 0] = len(mesh.points)  # a corner of its own, at the same place
    torn = type(mesh)(
        2, np.vstack([mesh.points, mesh.points[mesh.elements[0, 0]]]), elements, mesh.corners, mesh.part, mesh.parts
    )
    found = quality(torn)
    assert (found.duplicates, found.unused, found.sound) == (1, 0, False)
    assert found.loose > 0
    turned = type(mesh)(2, mesh.points, mesh.elements, mesh.corners[:, ::-1], mesh.part, mesh.parts)
    assert quality(turned).inward == len(mesh.elements)
    middle = mesh.elements.copy()
    middle[0, [3, 5]] = middle[0, [5, 3]]
    assert quality(type(mesh)(2, mesh.points, middle, mesh.corners, mesh.part, mesh.parts)).torn > 0


def test_from_given_arrays():
    turns = 2 * math.pi * np.arange(3) / 3
    points = np.array([[x, turn, 2.0] for x in (0.0, 1.0) for turn in turns])
    quads = np.array([[[i, i + 3], [(i + 1) % 3, (i + 1) % 3 + 3]] for i in range(3)])
    mesh = from_quads(points, quads, 3, coordinates="cylindrical")
    assert mesh.areas()["skin"] == pytest.approx(4 * math.pi, rel=1e-14)
    assert quality(mesh).sound
    assert len(mesh.points) == 9 * 4


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (dict(order=9), "no such order"),
        (dict(points=np.zeros((4, 2))), "three finite numbers"),
        (dict(quads=np.array([[[0, 1], [2, 4]]])), "does not exist"),
        (dict(quads=np.array([[[0, 1], [2, 2]]])), "no quad"),
        (dict(points=np.zeros((3, 3)), quads=np.array([[[0, 1], [2, 2]]])), "same corner twice"),
        (dict(part=np.array([1])), "parts do not fit"),
        (dict(quads=np.zeros((1, 2, 2))), "whole numbers"),
    ],
)
def test_given_arrays_that_make_no_mesh(change, words):
    good = dict(points=np.eye(4, 3), quads=np.array([[[0, 1], [2, 3]]]), order=2)
    with pytest.raises(Refusal, match=words):
        from_quads(**{**good, **change})


@pytest.mark.parametrize(
    ("what", "divisions", "extent", "words"),
    [
        (shape(), Divisions(), Extent(sector=7), "no more bays than the barrel; got 7; allowed: 6"),
        (shape(), Divisions(around=3), Extent(sector=1, cut="between"), "an element would be cut"),
        (
            StraightRibs(R, L, T),
            Divisions(around=2),
            WHOLE,
            "too few elements around; got 2 in all; allowed: 3 or more",
        ),
        (shape(), Divisions(around=1000, along=1000), WHOLE, "too large; got .* unknowns; .* a sector of one bay"),
    ],
)
def test_refusals(what, divisions, extent, words):
    for ask in (mesh_size, build_mesh):
        with pytest.raises(Refusal, match=words):
            ask(what, divisions, extent)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: shape(bays=5), "from stringer to stringer; got 5; allowed: 6"),
        (lambda: StraightRibs(0.04, L, T, Blades(6, 0.05, 4e-3)), "stringers.depth: the ribs reach the axis"),
        (lambda: Divisions(order=0), "order: outside the range"),
        (lambda: Divisions(around=1.5), "around: a whole number is needed"),
        (lambda: Blades(3, -1.0, 1e-3), "depth: outside the range"),
        (lambda: Extent(cut="off"), "not one of the choices"),
    ],
)
def test_shapes_that_cannot_be(make, words):
    with pytest.raises(Refusal, match=words):
        make()


def test_shapes_of_the_model():
    barrel = sb.Barrel(radius=1.5, length=2.0, ends="open", skin_thickness=2.6e-3, skin_thickness_minimum=2.5e-3)
    assert shape_of(barrel, sb.PlainWall(), 2.5e-3) == StraightRibs(1.5, 2.0, 2.5e-3)
    spacing = 2 * math.pi * 1.5 / 100
    stringers = sb.Stiffeners("outside", "blade", 0.02, 2e-3, spacing=spacing)
    rings = sb.Stiffeners("inside", "blade", 0.03, 3e-3, spacing=0.25)
    wanted = StraightRibs(1.5, 2.0, 2.5e-3, Blades(100, 0.02, 2e-3, "outside"), Blades(7, 0.03, 3e-3, "inside"))
    assert shape_of(barrel, sb.StiffenedWall(stringers, rings), 2.5e-3) == wanted
    grid = sb.Orthogrid("inside", 0.012, 2e-3, 3e-3, stringer_count=100, ring_count=7)
    wanted = StraightRibs(1.5, 2.0, 2.5e-3, Blades(100, 0.012, 2e-3), Blades(7, 0.012, 3e-3))
    assert shape_of(barrel, grid, 2.5e-3) == wanted
    loose = sb.Stiffeners("outside", "blade", 0.02, 2e-3, spacing=spacing * 100 / 20.4)
    with pytest.raises(Refusal, match=r"wall.stringers.spacing: the spacing does not fit around .* 20\.4 spacings"):
        shape_of(barrel, sb.StiffenedWall(loose), 2.5e-3)
    angle = sb.Stiffeners("inside", "given", area=2e-4, inertia=5e-8, eccentricity=0.03, torsion_constant=0.0, count=4)
    with pytest.raises(Refusal, match=r"wall\.rings\.section: only blades can be meshed; got given"):
        shape_of(barrel, sb.StiffenedWall(None, angle), 2.5e-3)
