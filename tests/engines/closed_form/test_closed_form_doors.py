"""What no closed form can be given is refused in words, at every door."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.core.errors import Refusal
from shellbuck.engines.closed_form import Terms, external_pressure, line_loads, lowest, lowest_loads
from shellbuck.engines.closed_form.loads import amplitudes
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

PLAIN = SmearedWall.of(Skin(1e7, 0.3, 0.1))


def with_theory(theory):
    return [
        lambda: lowest(PLAIN, 100.0, 200.0, theory=theory),
        lambda: line_loads(PLAIN, 100.0, 200.0, 1, 2, theory=theory),
        lambda: amplitudes(PLAIN, 100.0, 200.0, 1, 2, theory=theory),
    ]


@pytest.mark.parametrize("theory", ["sanders", "DONNELL", " Sanders", "Flugge", "", None, 1])
def test_a_theory_is_one_of_two(theory):
    """ "sanders" used to compute Donnell's load, or a mixture, under the name of Sanders."""
    for door in with_theory(theory):
        with pytest.raises(Refusal, match=r"theory: no such theory.*allowed: Donnell, Sanders") as refused:
            door()
        assert refused.value.problems[0].code == "theory-unknown"
    if str(theory).strip().lower() == "sanders":
        assert "write 'Sanders'" in str(refused.value)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_the_two_theories_are_apart(theory):
    """n = 2 of a long tube: (n^2 - 1)/(n^2 + 1) = 3/5 of the classical load (Southwell, Flugge; reference check values,
    5) where Donnell gives all of it; over m to 60 at L/R 200, 1 % for whole m and terms of t/R."""
    loads = line_loads(SmearedWall.of(Skin(1.0, 0.3, 0.01)), 1.0, 200.0, np.arange(1, 61), 2, theory=theory)
    classical = 0.01**2 / math.sqrt(3 * 0.91)
    assert loads.min() / classical == pytest.approx({"Donnell": 1.0, "Sanders": 0.6}[theory], rel=0.01)


@pytest.mark.parametrize("key", ["R", "L"])
@pytest.mark.parametrize("value", [0.0, -1.5, math.inf, math.nan, "2 m", None])
def test_lengths_are_lengths(key, value):
    sizes = {"R": 100.0, "L": 200.0, key: value}
    for door in (lowest, external_pressure, lambda *a: line_loads(*a, 1, 2), lambda *a: amplitudes(*a, 1, 2)):
        with pytest.raises(Refusal, match=f"{key}: the .* is no length.*a finite number above 0"):
            door(PLAIN, sizes["R"], sizes["L"])


@pytest.mark.parametrize(
    ("m", "n", "said"),
    [
        (0, 2, "m: a number of half-waves is a whole number; got 0; allowed: 1, 2, 3"),
        (-3, 2, "m: .*got -3"),
        (1.5, 2, "m: .*got 1.5"),
        (math.nan, 2, "m: .*got nan"),
        ("two", 2, "m: .*got 'two'"),
        (1, -1, "n: a number of waves around is a whole number; got -1; allowed: 0, 1, 2"),
        (1, 2.5, "n: .*got 2.5"),
        (np.array([1, 2, 0]), 3, "m: .*got 0"),
        (np.array([]), 3, "m: an array without entries"),
        (1, [], "n: an array without entries"),
        (1, math.inf, "n: .*got inf"),
    ],
)
def test_modes_have_whole_numbers(m, n, said):
    with pytest.raises(Refusal, match=said):
        line_loads(PLAIN, 100.0, 200.0, m, n)


@pytest.mark.parametrize(("left_out", "said"), [((0,), "n = 0 cannot be left out"), ((1, -2), "n: .*got -2")])
def test_what_may_be_left_out(left_out, said):
    with pytest.raises(Refusal, match=said):
        lowest(PLAIN, 100.0, 200.0, leave_out=left_out)


def test_a_stiffness_that_is_none():
    A = np.array(PLAIN.A)
    A[0, 1] = A[1, 0] = 2 * A[0, 0]
    for door in (lowest, external_pressure, lambda *a: line_loads(*a, 1, 2)):
        with pytest.raises(Refusal, match="the 6x6 stiffness is not positive definite"):
            door(SmearedWall(A, PLAIN.B, PLAIN.D), 100.0, 200.0)


def test_ribs_end_before_the_axis():
    ring = RibFamily("rings", 90.0, 1.0, 1e7, 4e6, 0.05, 0.0015, 0.0, -100.0, 0.3)
    for door in (lowest, external_pressure):
        with pytest.raises(Refusal, match="rings: the centroid of a rib lies on the axis of the barrel or beyond it"):
            door(SmearedWall.of(PLAIN.skin, (ring,)), 100.0, 200.0)


def test_arrays_of_designs():
    terms = Terms.of(PLAIN.A, PLAIN.B, PLAIN.D)
    with pytest.raises(Refusal, match="arrays without designs"):
        lowest_loads(terms, np.array([]), 200.0)
    for sizes, name in (((-100.0, 200.0), "R"), ((100.0, [200.0, 0.0]), "L")):
        with pytest.raises(Refusal, match=f"{name}: no length"):
            lowest_loads(terms, *sizes)
    A = np.array(PLAIN.A)
    A[0, 1] *= 1.01
    with pytest.raises(Refusal, match="A: the block is not symmetric"):
        Terms.of(A, PLAIN.B, PLAIN.D)
