"""Laminates: stiffness against an own integral through the thickness, isotropic limits and zeros of symmetry.

The integral turns the strains of every height as a tensor and asks each layer for its stress; the product sums closed
expressions of the turned stiffness. Nothing is shared but the numbers.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.io.language.case_file import case_from_text
from shellbuck.io.language.case_text import case_text
from shellbuck.model.walls import Laminate, Ply, PlyMaterial, Skin, sheet_stiffness

TAPE = PlyMaterial("tape", "test", 1600.0, 140e9, 9e9, 5e9, 0.3)
"""Invented carbon tape."""


def laminate(*degrees: float, thickness: float = 0.2e-3, material: PlyMaterial = TAPE) -> Laminate:
    plies = tuple(Ply(material.name, math.radians(a), thickness) for a in degrees)
    return Laminate((material,), plies, "maximum stress")


def blocks(wall: Laminate) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    made = wall.smeared(1.0, 1.0, None, None)
    return made.A, made.B, made.D


def integrated(wall: Laminate) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A, B, D by Gauss points in every ply, strains turned as tensors."""
    points, weights = np.polynomial.legendre.leggauss(3)
    A, B, D = np.zeros((3, 3, 3))
    bottom = -wall.thickness / 2
    for ply in wall.plies:
        m, a = wall.material_of(ply), ply.angle
        compliance = np.array(
            [
                [1 / m.modulus_along, -m.poissons_ratio / m.modulus_along, 0],
                [-m.poissons_ratio / m.modulus_along, 1 / m.modulus_across, 0],
                [0, 0, 1 / m.shear_modulus],
            ]
        )
        own = np.linalg.inv(compliance)
        axes = np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])
        stress_of = np.zeros((3, 3))
        for k in range(3):
            unit = np.zeros(3)
            unit[k] = 1.0
            tensor = np.array([[unit[0], unit[2] / 2], [unit[2] / 2, unit[1]]])
            turned = axes @ tensor @ axes.T
            s = own @ np.array([turned[0, 0], turned[1, 1], 2 * turned[0, 1]])
            back = axes.T @ np.array([[s[0], s[2]], [s[2], s[1]]]) @ axes
            stress_of[:, k] = back[0, 0], back[1, 1], back[0, 1]
        for x, w in zip(points, weights, strict=True):
            z, dz = bottom + ply.thickness * (x + 1) / 2, w * ply.thickness / 2
            A, B, D = A + stress_of * dz, B + stress_of * z * dz, D + stress_of * z * z * dz
        bottom += ply.thickness
    return A, B, D


@pytest.mark.parametrize("degrees", [(0, 90), (30, -30), (45, -45, 0, 90), (10, 70, -10, -70, 90), (-60, 0, 60)])
def test_stiffness_is_the_integral_through_the_thickness(degrees):
    wall = laminate(*degrees)
    # a few dozen roundings; small entries are differences of large ones
    for found, right in zip(blocks(wall), integrated(wall), strict=True):
        assert found == pytest.approx(right, rel=1e-12, abs=1e-12 * np.abs(right).max())


@pytest.mark.parametrize("degrees", [(0, 60, -60, -60, 60, 0), (0, 45, -45, 90, 90, -45, 45, 0)])
def test_quasi_isotropic_membrane_stiffness(degrees):
    A, B, _ = blocks(laminate(*degrees))
    assert A[0, 0] == pytest.approx(A[1, 1], rel=1e-12)
    assert A[2, 2] == pytest.approx((A[0, 0] - A[0, 1]) / 2, rel=1e-12)
    assert np.abs(A[:2, 2]).max() < 1e-12 * A[0, 0]
    assert np.abs(B).max() < 1e-12 * A[0, 0] * 1e-3


def test_plies_of_an_isotropic_metal_are_a_sheet():
    metal = PlyMaterial("metal", "test", 2800.0, 70e9, 70e9, 70e9 / 2.6, 0.3)
    A, B, D = blocks(laminate(0, 33, -71, 90, 15, material=metal, thickness=0.5e-3))
    sheet, bend = sheet_stiffness(Skin(70e9, 0.3, 2.5e-3))
    assert pytest.approx(sheet, rel=1e-12, abs=1e-12 * sheet[0, 0]) == A
    assert pytest.approx(bend, rel=1e-12, abs=1e-12 * bend[0, 0]) == D
    assert np.abs(B).max() < 1e-12 * sheet[0, 0] * 2.5e-3


def test_zeros_of_symmetry():
    _, B, D = blocks(laminate(45, -45, -45, 45))
    assert np.abs(B).max() < 1e-9
    assert D[0, 2] > 0.05 * D[0, 0]  # the outer plies at +45 twist it
    A, B, D = blocks(laminate(45, -45))  # antisymmetric angles: B16 and B26 alone
    assert np.abs(A[:2, 2]).max() < 1e-12 * A[0, 0]
    assert np.abs(D[:2, 2]).max() < 1e-12 * D[0, 0]
    assert np.abs(B[:2, :2]).max() < 1e-12 * np.abs(B).max()
    assert B[0, 2] == pytest.approx(B[1, 2], rel=1e-12)
    A, B, _ = blocks(laminate(0, 90))  # antisymmetric crossing: B11 = -B22 alone; stiff plies inside
    assert B[0, 0] == pytest.approx(-B[1, 1], rel=1e-12)
    assert B[0, 0] < 0
    assert max(abs(B[0, 1]), np.abs(B[:, 2]).max()) < 1e-12 * abs(B[0, 0])


def test_cross_ply_by_hand():
    # Q11 = E1/(1 - nu12^2 E2/E1) = 140/(1 - .09 9/140) = 140.8148 GPa, Q22 = 9.052 GPa; plies of .2 mm
    A, B, _ = blocks(laminate(0, 90))
    share = 1 - 0.09 * 9 / 140
    assert A[0, 0] == pytest.approx(0.2e-3 * (140e9 + 9e9) / share)
    assert A[0, 1] == pytest.approx(0.4e-3 * 0.3 * 9e9 / share)
    # middles at -+.1 mm: B11 = .2e-3 .1e-3 (Q22 - Q11)
    assert B[0, 0] == pytest.approx(0.2e-3 * 0.1e-3 * (9e9 - 140e9) / share)


@pytest.mark.parametrize("degrees", [-180, -135, -90, -30, 0, 30, 90, 120, 180])
def test_cosine_and_sine_of_every_quarter(degrees):
    c, s = Ply("tape", math.radians(degrees), 1e-4).cos_sin
    assert (c, s) == pytest.approx((math.cos(math.radians(degrees)), math.sin(math.radians(degrees))), abs=1e-12)
    assert 0.0 in (abs(c), abs(s)) or degrees % 90


def barrel(**more) -> sb.Barrel:
    return sb.Barrel(**{"radius": 1.2, "length": 1.5, "ends": "closed", **more})


def made(wall: Laminate, load: sb.LoadCase | None = None, **more) -> sb.Case:
    load = load or sb.LoadCase("case", sb.FACTOR_SETS["agency prototype"], axial_force=300e3)
    open_modes = tuple(sb.CheckedElsewhere(mode, "test") for mode in wall.open_modes)
    return sb.Case(barrel(**more), wall, (load,), checked_elsewhere=open_modes)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: replace(TAPE, poissons_ratio=4.0), "outside the range"),
        (lambda: replace(TAPE, modulus_along=2e9, poissons_ratio=0.6), "no material has such moduli"),
        (lambda: replace(TAPE, tension_along=1e9), "strengths of a ply go together"),
        (lambda: Laminate((TAPE,), (), "maximum stress"), "needs a ply"),
        (lambda: Laminate((TAPE,), (Ply("glass", 0.0, 1e-4),), "maximum stress"), "no ply material has this name"),
        (lambda: Laminate((TAPE, TAPE), (Ply("tape", 0.0, 1e-4),), "maximum stress"), "same name"),
        (lambda: made(laminate(30, 60)), "not balanced"),
        (lambda: made(laminate(0, 90, thickness=40e-3)), "too thick"),
        (lambda: made(laminate(0, 90), skin_thickness=1e-3, skin_thickness_minimum=1e-3), "plies give the thickness"),
        (
            lambda: made(laminate(0, 90), sb.LoadCase("x", sb.FACTOR_SETS["agency prototype"], temperature=300.0)),
            "no temperature",
        ),
        (
            lambda: made(laminate(0, 90), sb.LoadCase("x", sb.FACTOR_SETS["agency prototype"], torque=1e3)),
            "axial load, bending and internal pressure",
        ),
        (
            lambda: made(laminate(0, 90), sb.LoadCase("x", sb.FACTOR_SETS["agency prototype"], pressure_minimum=-1e3)),
            "axial load, bending and internal pressure",
        ),
    ],
)
def test_refused(make, words):
    with pytest.raises(Refusal, match=words):
        make()


def test_mass_is_that_of_the_plies():
    assert sb.run(made(laminate(0, 90, 90, 0), length=1.5)).wall.mass_per_area == pytest.approx(1600 * 0.8e-3)


def test_a_case_file_holds_it():
    case = made(laminate(45, -45, 0, 90))
    read = case_from_text(case_text(case)).case
    assert read.wall.ply_materials == case.wall.ply_materials
    assert [ply.degrees for ply in read.wall.plies] == [45.0, -45.0, 0.0, 90.0]
