"""Margins of laminated barrels: the isotropic limit, coupled walls by the Ritz engine, the first ply (own)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import FACTORS, codes, row

import shellbuck as sb
from shellbuck.engines import closed_form
from shellbuck.model.policy import OwnKnockdown
from shellbuck.model.walls import Laminate, Ply, PlyMaterial

TAPE = PlyMaterial("tape", "test", 1600.0, 140e9, 9e9, 5e9, 0.3, 1900e6, 1200e6, 55e6, 200e6, 80e6)
ISOTROPIC = PlyMaterial("metal", "test", 2800.0, 70e9, 70e9, 70e9 / 2.6, 0.3)
OWN = OwnKnockdown(0.5, 0.6, "test")


def laminate(*degrees, material=TAPE, thickness=0.4e-3, criterion="maximum stress"):
    return Laminate((material,), tuple(Ply(material.name, math.radians(a), thickness) for a in degrees), criterion)


def made(wall, *, own=OWN, ends="closed", **load):
    base = dict(axial_force=300e3, bending_moment=80e3)
    case = sb.LoadCase("case", FACTORS, **{**base, **load})
    open_modes = tuple(sb.CheckedElsewhere(mode, "test") for mode in wall.open_modes)
    barrel = sb.Barrel(radius=1.2, length=1.5, ends=ends)
    return sb.Case(barrel, wall, (case,), policy=sb.Policy(own_knockdown=own), checked_elsewhere=open_modes)


def test_an_isotropic_laminate_buckles_as_a_sheet():
    found = sb.run(made(laminate(0, 90, 90, 0, material=ISOTROPIC, thickness=0.5e-3)))
    stiff = sb.SmearedWall.of(sb.Skin(70e9, 0.3, 2e-3))
    load = min(closed_form.lowest(stiff, 1.2, 1.5, theory=theory).line_load for theory in ("Donnell", "Sanders"))
    general = row(found, "general instability")
    assert general.basis.line_load == pytest.approx(load, rel=1e-9)
    assert general.knockdown("axial") == 0.5
    assert "laminate: for comparing, not for certifying" in found.verdict.text
    assert "comparing-only" in codes(found)


def test_there_is_no_automatic_factor():
    found = sb.run(made(laminate(0, 90, 90, 0), own=None))
    assert row(found, "general instability").status == "refused"
    assert "no automatic knockdown" in found.verdict.text


def test_twisting_plies_lower_the_load_that_the_closed_form_would_give():
    """Bending-twisting coupling of outer +45 plies: Ritz with it, and the closed form with D16 and D26 struck out."""
    wall = laminate(45, -45, -45, 45)
    found = sb.run(made(wall))
    general = row(found, "general instability")
    C = wall.smeared(1.2, 1.5, None, None)
    D = C.D.copy()
    D[:2, 2] = D[2, :2] = 0.0
    bare = sb.SmearedWall(C.A, 0 * C.B, D)
    struck = min(closed_form.lowest(bare, 1.2, 1.5, theory=theory).line_load for theory in ("Donnell", "Sanders"))
    assert general.basis.n is not None
    assert general.basis.m is None
    assert 0.7 * struck < general.basis.line_load < struck
    assert "n = " in general.equation


def test_a_weak_coupling_changes_little():
    # a pair at +-.01 degrees, relative coupling 4e-4: both engines agree to a tenth of that
    wall = laminate(90, 0.01, -0.01, 90)
    general = row(sb.run(made(wall)), "general instability")
    C = wall.smeared(1.2, 1.5, None, None)
    A, B, D = (block.copy() for block in (C.A, C.B, C.D))
    for block in (A, B, D):
        block[:2, 2] = block[2, :2] = 0.0
    bare = sb.SmearedWall(A, B, D)
    struck = min(closed_form.lowest(bare, 1.2, 1.5, theory=theory).line_load for theory in ("Donnell", "Sanders"))
    assert general.basis.line_load == pytest.approx(struck, rel=1e-4)


def by_hand(factor=1.4):
    """Stresses of [0/90]s at the factored loads without pressure: e = A^-1 N, 0 and 90 degrees, both generators."""
    Q = 140e9 / (1 - 0.09 * 9 / 140), 0.3 * 9e9 / (1 - 0.09 * 9 / 140), 9e9 / (1 - 0.09 * 9 / 140)
    A = 0.8e-3 * np.array([[Q[0] + Q[2], 2 * Q[1]], [2 * Q[1], Q[0] + Q[2]]])
    N_a, N_b = 300e3 / (2 * math.pi * 1.2), 80e3 / (math.pi * 1.2**2)
    for sign in (1, -1):
        x, y = np.linalg.solve(A, [-factor * (N_a + sign * N_b), 0.0])
        yield 0, Q[0] * x + Q[1] * y, Q[1] * x + Q[2] * y, x, y
        yield 90, Q[0] * y + Q[1] * x, Q[1] * y + Q[2] * x, y, x


def test_first_ply_by_maximum_stress():
    found = row(sb.run(made(laminate(0, 90, 90, 0))), "first ply, ultimate")
    share = max(
        max(a / 1900e6 if a > 0 else -a / 1200e6, b / 55e6 if b > 0 else -b / 200e6) for _, a, b, _, _ in by_hand()
    )
    assert found.margin == pytest.approx(1 / share - 1, rel=1e-9)
    assert found.kind == "strength"


def test_first_ply_by_maximum_strain():
    wall = laminate(0, 90, 90, 0, criterion="maximum strain")
    found = row(sb.run(made(wall)), "first ply, ultimate")
    share = max(
        max(x * 140e9 / 1900e6 if x > 0 else -x * 140e9 / 1200e6, y * 9e9 / 55e6 if y > 0 else -y * 9e9 / 200e6)
        for *_, x, y in by_hand()
    )
    assert found.margin == pytest.approx(1 / share - 1, rel=1e-9)
    assert found.quantity == "strain"


def test_shear_of_inclined_plies():
    # +-45 under axial strain x and hoop strain y: shear strain -+(x - y), stress G12 times it
    wall = laminate(45, -45, -45, 45)
    found = sb.run(made(wall, bending_moment=0.0))
    e_x, e_y, _ = wall.smeared(1.2, 1.5, None, None).flexibility @ [-1.4 * 300e3 / (2 * math.pi * 1.2), 0.0, 0.0]
    ply = next(c for c in found.load_cases[0].comparisons if c.title.startswith("plies 1, 4 (45"))
    assert ply.demand == pytest.approx(5e9 * abs(e_y - e_x), rel=1e-9)
    assert "in shear" in ply.title
    assert ply.excess == pytest.approx(80e6 / ply.demand - 1)


def test_without_strengths_the_stresses_are_shown_and_strength_is_open():
    bare = PlyMaterial("tape", "test", 1600.0, 140e9, 9e9, 5e9, 0.3)
    case = made(laminate(0, 90, 90, 0, material=bare))
    unchecked = sb.run(replace(case, checked_elsewhere=()))
    assert row(unchecked, "strength").status == "not covered"
    assert unchecked.verdict.exit_status in (1, 3)
    shown = [c for c in unchecked.load_cases[0].comparisons if c.key == "plies"]
    assert [c.outcome for c in shown] == ["for scale", "for scale"]
    assert all(c.capacity is None and "stress along" in c.note for c in shown)


def test_an_unsymmetric_laminate_counts_the_bending_near_its_edges():
    found = sb.run(made(laminate(0, 0, 90, 90)))
    assert found.verdict.edge_bending == "checked"


def test_pressure_stretches_plies_around():
    found = sb.run(
        made(laminate(0, 90, 90, 0), pressure_minimum=50e3, pressure_maximum=80e3, axial_force_includes_thrust=False)
    )
    ply = next(c for c in found.load_cases[0].comparisons if "(90 degrees)" in c.title)
    assert "maximum pressure" in ply.note
