"""Walls, sheets and ribs that are none are refused in words."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from shellbuck.core.errors import Refusal
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

SHEET = SmearedWall.of(Skin(70e9, 0.33, 2e-3))
RIB = RibFamily("stringers", 0.0, 0.08, 70e9, 26e9, 5e-5, 1.7e-9, 1e-10, 0.011, 0.33, 0.02, 0.0025)


@pytest.mark.parametrize("key", ["A", "B", "D"])
def test_blocks_are_symmetric(key):
    """An upper triangle alone used to be taken, in part."""
    blocks = {k: np.array(getattr(SHEET, k)) for k in "ABD"}
    blocks["B"] = 1e-3 * blocks["A"]
    blocks[key][0, 1] *= 1 + 1e-6
    said = rf"{key}: the block is not symmetric; got .* at \(1, 2\), .* at \(2, 1\)"
    with pytest.raises(Refusal, match=said) as found:
        SmearedWall(**blocks)
    assert found.value.problems[0].code == "stiffness-symmetry"


@pytest.mark.parametrize("block", [np.eye(2), np.ones(3), np.full((3, 3), np.nan), np.diag([1.0, np.inf, 1.0])])
def test_blocks_are_three_by_three_and_finite(block):
    with pytest.raises(Refusal, match="D: three rows of three finite numbers are needed"):
        SmearedWall(SHEET.A, SHEET.B, block)


@pytest.mark.parametrize(
    ("key", "value"),
    [("E", 0.0), ("E", -70e9), ("E", math.nan), ("t", 0.0), ("t", math.inf), ("nu", 0.6), ("nu", -1.0)],
)
def test_sheets(key, value):
    with pytest.raises(Refusal, match=rf"skin\.{key}: the value is outside its range"):
        replace(Skin(70e9, 0.33, 2e-3), **{key: value})


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("spacing", 0.0),
        ("spacing", -0.1),
        ("E", -1.0),
        ("G", -1.0),
        ("area", 0.0),
        ("inertia", -1e-9),
        ("torsion", -1e-9),
        ("z", math.nan),
        ("angle", math.inf),
        ("nu", 0.51),
        ("depth", 0.0),
        ("thickness", -1.0),
    ],
)
def test_ribs(key, value):
    with pytest.raises(Refusal, match=rf"stringers\.{key}: the value is outside its range"):
        replace(RIB, **{key: value})


def test_several_faults_are_told_at_once():
    with pytest.raises(Refusal) as found:
        replace(RIB, area=-1.0, spacing=0.0)
    assert [p.where for p in found.value.problems] == ["stringers.spacing", "stringers.area"]
