"""Slender ring blades: 0.4 sqrt(E/F_cy) of a flat bar (DNV-RP-C202, from memory); beyond twice that refused (own)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import BARREL, ORTHOGRID, STRINGERS, case, codes, load, row

import shellbuck as sb
from shellbuck.margins import evaluate

LIMIT = 0.4 * math.sqrt(72e9 / 380e6)
DEPTH = 0.03


def rings(ratio: float) -> sb.StiffenedWall:
    return sb.StiffenedWall(STRINGERS, sb.Stiffeners("inside", "blade", DEPTH, DEPTH / ratio, count=8))


@pytest.mark.parametrize(("share", "status"), [(0.99, "passed"), (1.01, "warned"), (1.99, "warned"), (2.01, "refused")])
def test_slender_ring_blades_are_warned_then_refused(share, status):
    result = sb.run(case(rings(share * LIMIT)))
    (check,) = (c for c in result.validity if c.code == "ring-slenderness")
    assert check.status == status
    plate = 6 * (1 - 0.33) / 12 * 72e9 / (1 - 0.33**2) / (share * LIMIT) ** 2
    assert f"cripples at {plate / 1e6:.3g} MPa" in check.text
    assert (result.verdict.exit_status == 2) == (status == "refused")
    assert ("slender ring blades" in result.verdict.text) == (status == "warned")


def test_refused_rings_leave_the_smallest_margin_unknown():
    """The margins of a barrel whose rings are no support are shown, but none of them governs."""
    result = sb.run(case(rings(3 * LIMIT)))
    assert result.verdict.text.startswith("refused: ring blades: d/t")
    assert "give a reason in [policy.slender_rings]" in result.verdict.text
    assert result.verdict.smallest_margin is None


def test_a_reason_lets_slender_rings_pass():
    result = sb.run(case(rings(3 * LIMIT), slender_rings=sb.Reason("rings held by brackets, note N-3")))
    assert result.verdict.exit_status == 0
    assert ("slender rings let pass", "rings held by brackets, note N-3") in result.departures
    assert "ring-slenderness" in codes(result)


def test_ring_ribs_of_an_orthogrid_are_warned_only():
    slender = replace(ORTHOGRID, ring_thickness=ORTHOGRID.rib_depth / (3 * LIMIT))
    result = sb.run(case(slender))
    assert "ring-slenderness" in codes(result)
    assert "ring-slenderness" not in codes(result, "refused")


def test_arrays_refuse_the_same_rings():
    found = evaluate(case(rings(LIMIT)), {"wall.rings.thickness": DEPTH / (LIMIT * np.array([0.9, 1.5, 1.99, 2.01]))})
    assert list(found.reasons) == ["", "", "", "ring-slenderness"]
    assert found.holds.tolist() == [True, True, True, False]


def test_rings_are_compressed_where_the_barrel_is_stretched():
    """Bending alone, open ends: on the stretched generator the Poisson effect compresses the hoop ribs of an orthogrid;
    their stress comes from A^-1 (own arithmetic), against the plate with a hinged root and a free edge."""
    E, nu, t, d, b_s, b_r, s_s, s_r = 72e9, 0.33, 2.5e-3, 0.012, 0.0025, 0.0003, 0.08, 0.1
    wall = replace(ORTHOGRID, ring_thickness=b_r)
    M = 3e6
    result = sb.run(case(wall, load(axial_force=0.0, bending_moment=M), barrel=replace(BARREL, ends="open")))
    C = E * t / (1 - nu**2)
    A11, A22, A12 = C + E * d * b_s / s_s, C + E * d * b_r / s_r, nu * C
    N = M / (math.pi * 1.5**2)
    s_L = E * A12 / (A11 * A22 - A12**2) * N  # e_theta = -A12 N/(A11 A22 - A12^2)
    crippling = 6 * (1 - nu) / 12 * E / (1 - nu**2) * (b_r / d) ** 2
    got = row(result, "ring web")
    assert got.margin == pytest.approx(crippling / (1.4 * s_L) - 1, rel=1e-9)
    assert got.margin < 0
    assert "rings, tensioned generator" in got.note
    assert result.verdict.exit_status == 1
