"""The smeared 6x6 against strain energy integrated over skin and ribs as solid bodies.

The oracle below knows no smearing formula: it sums 1/2 stress * strain over the thickness of the skin and over the
section of each rib, and 1/2 G J twist^2, for a plate whose displacements are quadratic. Standing: own derivation,
unless a test says otherwise.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.polynomial.legendre import leggauss

from shellbuck.core.errors import Refusal
from shellbuck.handbook import grid, sections
from shellbuck.model import FACTOR_SETS, Barrel, Case, LoadCase, Material, MaterialPoint
from shellbuck.model.walls import (
    GivenStiffness,
    Orthogrid,
    PlainWall,
    RibFamily,
    Skin,
    SmearedWall,
    StiffenedWall,
    Stiffeners,
    TriangularGrid,
    build_wall,
    rib_stiffness,
    weigh,
)

ROUNDING = 1e-12
"""Relative to the geometric mean of the two direct stiffnesses: energies are sums of a few dozen terms."""


def metal(E: float, nu: float, density: float = 2700.0) -> Material:
    return Material("test metal", "own test", density, nu, (MaterialPoint(294.0, E, 300e6, 400e6, None, 300e6),))


ALUMINIUM = metal(72e9, 0.33)
STIFFER = metal(200e9, 0.28, 7800.0)
LOADS = (LoadCase("one", FACTOR_SETS["agency prototype"], axial_force=1e5),)


def case_of(wall, t: float = 0.002, R: float = 1.5, L: float = 2.0, **barrel) -> Case:
    return Case(Barrel(R, L, "open", t, barrel.pop("t_min", t), **barrel), wall, LOADS, ALUMINIUM)


# --- the oracle ---


def strain_at(states: np.ndarray, z: float) -> np.ndarray:
    """Strain tensors at height z for rows (e_x, e_y, g, k_x, k_y, k_xy): engineering shear and twist halved."""
    ex, ey, g = states[:, :3].T + z * states[:, 3:].T
    return np.stack([np.stack([ex, g / 2], -1), np.stack([g / 2, ey], -1)], -2)


def skin_energy(states: np.ndarray, E: float, nu: float, t: float) -> np.ndarray:
    points, weights = leggauss(4)
    total = np.zeros(len(states))
    for z, w in zip(points * t / 2, weights * t / 2, strict=True):
        strain = strain_at(states, z)
        trace = np.trace(strain, axis1=1, axis2=2)[:, None, None]
        stress = E / (1 - nu**2) * ((1 - nu) * strain + nu * trace * np.eye(2))
        total += w / 2 * np.sum(stress * strain, axis=(1, 2))
    return total


def rib_energy(states, angle, spacing, E, G, J, section) -> np.ndarray:
    """Energy per wall area; `section` lists (height z, area) of the rib's fibres."""
    along = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
    across = np.array([-along[1], along[0]])
    stretch = sum(a / 2 * E * (along @ strain_at(states, z) @ along) ** 2 for z, a in section)
    twist = along @ (strain_at(states, 1.0) - strain_at(states, 0.0)) @ across
    return (stretch + G * J / 2 * twist**2) / spacing


def blade_fibres(t: float, b: float, d: float, side: int) -> list[tuple[float, float]]:
    points, weights = leggauss(4)
    return [(side * (t / 2 + (p + 1) / 2 * d), w / 2 * b * d) for p, w in zip(points, weights, strict=True)]


def two_flange_fibres(area: float, inertia: float, z: float) -> list[tuple[float, float]]:
    arm = math.sqrt(inertia / area)
    return [(z - arm, area / 2), (z + arm, area / 2)]


def stiffness_of(energy) -> np.ndarray:
    """The 6x6 whose quadratic form is twice the energy, by polarisation."""
    unit = np.eye(6)
    pairs = (unit[:, None] + unit[None, :]).reshape(36, 6)
    # curvatures are scaled so that membrane and bending energies are of one size: fewer digits cancel
    scale = np.ones(6)
    scale[3:] = np.sqrt(energy(unit)[0] / energy(unit)[3])
    alone, both = energy(unit * scale), energy(pairs * scale).reshape(6, 6)
    return (both - alone[:, None] - alone[None, :]) / np.outer(scale, scale)


def assert_same(wall: SmearedWall, expected: np.ndarray, tolerance: float = ROUNDING) -> None:
    size = np.sqrt(np.diag(expected))
    np.testing.assert_allclose(wall.matrix / np.outer(size, size), expected / np.outer(size, size), 0, tolerance)


# --- one routine for every direction ---


@given(
    angle=st.floats(-90, 90),
    z=st.floats(-2, 2),
    area=st.floats(0.1, 3),
    inertia=st.floats(0.01, 2),
    torsion=st.floats(0, 1),
    spacing=st.floats(0.5, 5),
    nu=st.floats(0, 0.45),
)
def test_any_rib_by_energy(angle, z, area, inertia, torsion, spacing, nu):
    rib = RibFamily("r", angle, spacing, 2.0, 0.8, area, inertia, torsion, z, 0.25)
    wall = SmearedWall.of(Skin(1.0, nu, 0.3), (rib,))
    fibres = two_flange_fibres(area, inertia, z)
    expected = stiffness_of(
        lambda s: skin_energy(s, 1.0, nu, 0.3) + rib_energy(s, angle, spacing, 2.0, 0.8, torsion, fibres)
    )
    # 1e-10: polarisation subtracts energies that may be 100 times the entry's own block
    assert_same(wall, expected, 1e-10)
    assert wall.positive_definite
    np.testing.assert_array_equal(wall.matrix, wall.matrix.T)


def blade_j(b: float, d: float) -> float:
    return float(sections.rectangle_torsion(min(b, d), max(b, d)))


@pytest.mark.parametrize(("side", "sign"), [("inside", -1), ("outside", 1)])
@pytest.mark.parametrize(("family", "angles"), [("hoop", (90, 30, -30)), ("axial", (0, 60, -60))])
def test_triangular_grid_from_its_drawing(family, angles, side, sign):
    t, d, b, h = 0.002, 0.015, 0.0025, 0.08
    wall = build_wall(case_of(TriangularGrid(family, side, d, b, triangle_height=h)))
    E, nu = 72e9, 0.33
    G = E / 2 / (1 + nu)

    def energy(state):
        ribs = (rib_energy(state, a, h, E, G, blade_j(b, d), blade_fibres(t, b, d, sign)) for a in angles)
        return skin_energy(state, E, nu, t) + sum(ribs)

    assert_same(wall, stiffness_of(energy))


def test_stiffened_wall_from_its_drawing():
    # blade stringers of another metal outside, a given ring section inside, its inertia about its own centroid:
    # NASA SP-8007 Rev 2 words it otherwise and would count z^2 A twice (own)
    t, b, d = 0.002, 0.003, 0.03
    stringers = Stiffeners("outside", "blade", d, b, count=60, material=STIFFER)
    rings = Stiffeners("inside", "given", area=2e-4, inertia=3e-8, eccentricity=0.025, torsion_constant=1e-9, count=9)
    wall = build_wall(case_of(StiffenedWall(stringers, rings)))

    def energy(state):
        G_s, G_r = 200e9 / 2 / 1.28, 72e9 / 2 / 1.33
        return (
            skin_energy(state, 72e9, 0.33, t)
            + rib_energy(state, 0.0, 2 * math.pi * 1.5 / 60, 200e9, G_s, blade_j(b, d), blade_fibres(t, b, d, 1))
            + rib_energy(state, 90.0, 0.2, 72e9, G_r, 1e-9, two_flange_fibres(2e-4, 3e-8, -0.025))
        )

    assert_same(wall, stiffness_of(energy))
    # struck ribs leave the rest; dropping everything leaves the sheet
    assert_same(wall.without("stringers", "rings"), stiffness_of(lambda s: skin_energy(s, 72e9, 0.33, t)))


def test_orthogrid_from_its_drawing():
    t, d, b_s, b_r = 0.0025, 0.018, 0.003, 0.002
    drawing = Orthogrid("inside", d, b_s, b_r, stringer_spacing=0.1, ring_spacing=0.15, ring_torsion_constant=0.0)
    wall = build_wall(case_of(drawing, t))
    G = 72e9 / 2 / 1.33

    def energy(state):
        stringers = rib_energy(state, 0.0, 0.1, 72e9, G, blade_j(b_s, d), blade_fibres(t, b_s, d, -1))
        rings = rib_energy(state, 90.0, 0.15, 72e9, G, 0.0, blade_fibres(t, b_r, d, -1))
        return skin_energy(state, 72e9, 0.33, t) + stringers + rings

    assert_same(wall, stiffness_of(energy))


def test_minimum_thickness_moves_the_ribs_with_the_skin_face():
    # the rib stands on the skin: at another skin thickness its centroid is (d + t)/2 away from that skin's middle
    drawing = TriangularGrid("hoop", "outside", 0.015, 0.0025, triangle_height=0.08)
    thin, thick = (case_of(drawing, 0.002, t_min=t_min) for t_min in (0.0018, 0.002))
    assert {r.z for r in build_wall(thin).ribs} == {(0.015 + 0.0018) / 2}
    assert build_wall(thin).skin.t == 0.0018
    np.testing.assert_array_equal(build_wall(thin, thickness=0.002).matrix, build_wall(thick).matrix)


# --- exact limits ---


def test_the_two_triangular_grids_have_one_stiffness():
    # exact: both are isotropic; h the same, any J and any nu of the skin
    walls = [
        build_wall(case_of(TriangularGrid(f, "outside", 0.015, 0.0025, triangle_height=0.08)))
        for f in ("hoop", "axial")
    ]
    assert_same(walls[0], walls[1].matrix)
    assert max(w.orthotropy_defect for w in walls) < 1e-14


@pytest.mark.parametrize("angles", [(90.0, 30.0, -30.0), (0.0, 60.0, -60.0)])
def test_grid_alone(angles):
    """Per E A/h: A11 = A22 = 9/8, A12 = A66 = 3/8; D11 = 9/8 EI + 3/8 GJ; 2 D12 + 4 D66 = 9/4 EI + 3/4 GJ.

    Membrane: NASA CR-124075 (second-hand) and own; the torsion terms own.
    """
    E, G, area, inertia, torsion, h = 3.0, 1.1, 0.4, 0.05, 0.02, 2.0
    blocks = [rib_stiffness(RibFamily("r", a, h, E, G, area, inertia, torsion, 0.0, 1 / 3)) for a in angles]
    A, B, D = (sum(parts) for parts in zip(*blocks, strict=True))
    unit = E * area / h
    expected = unit * np.array([[9 / 8, 3 / 8, 0], [3 / 8, 9 / 8, 0], [0, 0, 3 / 8]])
    np.testing.assert_allclose(A, expected, rtol=0, atol=1e-14 * unit)  # rounding
    assert np.abs(B).max() == 0.0
    EI, GJ = E * inertia / h, G * torsion / h
    assert [D[0, 0], D[1, 1]] == pytest.approx([9 / 8 * EI + 3 / 8 * GJ] * 2, rel=1e-14)
    assert 2 * D[0, 1] + 4 * D[2, 2] == pytest.approx(9 / 4 * EI + 3 / 4 * GJ, rel=1e-14)


def test_grid_reproduces_the_equivalent_sheet():
    # handbook's E*, t* (second-hand) at nu = 1/3, J = 0: membrane E* t*, neutral-axis bending E* t*^3/12
    t, d, b, h, E = 0.06, 0.5, 0.06, 3.0, 10.3e6
    ribs = tuple(
        RibFamily("r", a, h, E, 0.0, b * d, b * d**3 / 12, 0.0, (d + t) / 2, 1 / 3) for a in (90.0, 30.0, -30.0)
    )
    wall = SmearedWall.of(Skin(E, 1 / 3, t), ribs)
    alpha = grid.rib_ratio(b, d, t, h)
    beta = grid.grid_beta(alpha, d / t)
    E_star, t_star = grid.grid_equivalent_modulus(E, alpha, beta), grid.grid_equivalent_thickness(t, alpha, beta)
    plane = np.array([[1, 1 / 3, 0], [1 / 3, 1, 0], [0, 0, 1 / 3]]) / (1 - 1 / 9)
    np.testing.assert_allclose(wall.A, E_star * t_star * plane, rtol=1e-13, atol=1e-13 * wall.A[0, 0])
    np.testing.assert_allclose(
        wall.reduced_bending, E_star * t_star**3 / 12 * plane, rtol=1e-12, atol=1e-12 * wall.D[0, 0]
    )  # the reduced stiffness is a difference of two terms of twice its size


@given(k=st.floats(0.01, 100), force=st.floats(1e-3, 1e3))
def test_lengths_and_forces_scale(k, force):
    # own: lengths times k and moduli times f/k^2 scale A by f/k, B by f, D by f k; catches any a for 1/a
    def wall(length: float, modulus: float) -> SmearedWall:
        ribs = tuple(
            RibFamily(
                "r",
                a,
                3 * length,
                2 * modulus,
                0.7 * modulus,
                0.2 * length**2,
                0.05 * length**4,
                0.01 * length**4,
                0.4 * length,
                0.3,
            )
            for a in (0.0, 90.0, 37.0)
        )
        return SmearedWall.of(Skin(modulus, 0.3, 0.1 * length), ribs)

    one, other = wall(1.0, 1.0), wall(k, force / k**2)
    for key, factor in (("A", force / k), ("B", force), ("D", force * k)):
        block = getattr(one, key)
        np.testing.assert_allclose(getattr(other, key) / factor, block, rtol=1e-12, atol=1e-14)


def test_vanishing_ribs_leave_the_sheet():
    # own: at rib depth d the membrane gains b d/(t h) and the rest less than that times (d + t)/t
    bare = build_wall(case_of(PlainWall()))
    for depth in (1e-4, 1e-5):
        ribbed = build_wall(case_of(TriangularGrid("hoop", "inside", depth, 0.0025, triangle_height=0.08)))
        share = 9 / 8 * 0.0025 * depth / (0.002 * 0.08)
        gain = np.abs(ribbed.A - bare.A).max() / bare.A[0, 0]
        assert gain == pytest.approx(share * (1 - 0.33**2), rel=1e-9)
        assert np.abs(ribbed.D - bare.D).max() / bare.D[0, 0] < 4 * share


def test_indefinite_stiffness_is_refused():
    rows = tuple(map(tuple, np.diag([1e8, 1e8, 4e7])))
    bending = tuple(map(tuple, np.diag([1e3, 1e3, -4e2])))
    zero = ((0.0,) * 3,) * 3
    with pytest.raises(Refusal, match=r"not positive definite.*check signs and units of A, B and D") as refused:
        build_wall(Case(Barrel(1.5, 2.0, "open"), GivenStiffness(rows, zero, bending, 8.0), LOADS))
    assert refused.value.problems[0].code == "stiffness-indefinite"
    # a coupling that eats up the bending stiffness, all diagonals positive
    coupling = tuple(map(tuple, np.diag([4e5, 0.0, 0.0])))
    good = tuple(map(tuple, np.diag([1e3, 1e3, 4e2])))
    with pytest.raises(Refusal, match="not positive definite"):
        build_wall(Case(Barrel(1.5, 2.0, "open"), GivenStiffness(rows, coupling, good, 8.0), LOADS))
    sound = build_wall(Case(Barrel(1.5, 2.0, "open"), GivenStiffness(rows, zero, good, 8.0), LOADS))
    np.testing.assert_array_equal(sound.D, good)


def test_mass_by_volumes():
    # own: skin area times thickness plus rib volume per area; ribs of their own metal
    stringers = Stiffeners("outside", "blade", 0.03, 0.003, count=60, material=STIFFER)
    case = case_of(StiffenedWall(stringers), t_min=0.0018)
    total = 2 * math.pi * 1.5 * 2.0 * 0.002 * 2700 + 60 * 2.0 * 0.03 * 0.003 * 7800
    assert weigh(case).total == pytest.approx(total, rel=1e-13)
    # two rings between the ends are two rings, though they make three bays
    rings = Stiffeners("inside", "blade", 0.04, 0.004, count=2)
    ringed = weigh(case_of(StiffenedWall(stringers, rings), t_min=0.0018))
    middle = 1.5 - 0.001 - 0.02  # their centroid: half the skin and half the blade inside its middle
    assert ringed.total == pytest.approx(total + 2 * 2 * math.pi * middle * 0.04 * 0.004 * 2700, rel=1e-13)
