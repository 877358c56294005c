"""Slender ring blades: 0.4 sqrt(E/F_cy) of a flat bar (DNV-RP-C202, from memory); beyond twice that refused (own)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import ORTHOGRID, STRINGERS, case, codes

import shellbuck as sb
from shellbuck.batch import evaluate

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
    assert ("slender ring blades let pass", "rings held by brackets, note N-3") in result.departures
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
