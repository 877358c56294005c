"""A mode looked up anywhere on the skin equals the formula it was made from; its waves are counted here."""

from __future__ import annotations

import math

import numpy as np
import pytest
from review_modes import LENGTH, entry, meshed, packed, review, wave

from shellbuck.core.samples import pack
from shellbuck.report.review.fields import Fields, decoded, field_of

PLACES = np.random.default_rng(5)
THETA, X = PLACES.uniform(-7, 7, 400), PLACES.uniform(0, LENGTH, 400)

SEEN = 0.05  # lobes below this part of the largest are no waves


def sign_changes(values: np.ndarray, closed: bool) -> int:
    """How often w changes its sign along a line."""
    seen = values[np.abs(values) > SEEN * np.abs(values).max(initial=0.0)]
    if not len(seen):
        return 0
    after = np.roll(seen, -1) if closed else seen[1:]
    return int(np.sum(np.sign(seen[: len(after)]) != np.sign(after)))


def counted(field) -> tuple[int, int]:
    """Half-waves along the axis and full waves around, on the two cuts through the peak."""
    grid, peak = field.fine, field.peak
    row = grid.w[np.argmin(np.abs(grid.x - peak.x))]
    column = grid.w[:, np.argmin(np.abs(grid.theta - peak.theta))]
    return sign_changes(column, closed=False) + 1, sign_changes(row, closed=True) // 2


def test_wave_is_its_formula():
    """Straight lines between 241 stations: (m pi/240)^2/8 of the peak."""
    u, v, w = field_of(wave(5, 7), review()).at(THETA, X).T
    along = np.sin(5 * math.pi * X / LENGTH)
    assert w == pytest.approx(along * np.cos(7 * THETA), abs=6e-4)
    assert v == pytest.approx(-along / 7 * np.sin(7 * THETA), abs=6e-4)
    assert u == pytest.approx(0.1 * np.cos(5 * math.pi * X / LENGTH) * np.cos(7 * THETA), abs=6e-4)


def test_twin_stands_a_quarter_wave_beside():
    """The contract: (U sin, -V cos, W sin) of the twin is added."""
    x = np.linspace(0, LENGTH, 11)
    one, none = packed(np.ones(11)), packed(np.zeros(11))
    mode = entry("mode 1", 1, 4, form="waves", x=packed(x), u=none, v=none, w=none, twin_u=one, twin_v=one, twin_w=one)
    u, v, w = field_of(mode, review()).at(THETA, X).T
    assert u == pytest.approx(np.sin(4 * THETA), abs=1e-6)
    assert v == pytest.approx(-np.cos(4 * THETA), abs=1e-6)
    assert w == pytest.approx(np.sin(4 * THETA), abs=1e-6)


@pytest.mark.parametrize("symmetry", ["even", "odd"])
@pytest.mark.parametrize("sector", [12, 6, 0])
def test_part_of_a_mesh_is_continued_by_its_mirror_planes(symmetry, sector):
    """From the planes of the part the formula goes on around the whole barrel; 192 facets around and 16 along, order 2:
    straight lines are off by (n h)^2/8 = 2 %; h of the axis dominates."""
    n, m = 4, 1
    mode, surface = meshed(m, n, symmetry, sector=sector)
    field = field_of(mode, review(surface=surface))
    start = decoded(surface["points"])[:, 1].min() if sector else 0.0
    phase = n * (THETA - start)
    expected = np.sin(m * math.pi * X / LENGTH) * (np.cos(phase) if symmetry == "even" else np.sin(phase))
    u, v, w = field.at(THETA, X).T
    assert w == pytest.approx(expected, abs=0.012)
    assert np.abs(np.concatenate([u, v])).max() < 1e-3  # on the skin, by construction
    assert field.copies() == {12: 2, 6: 4, 0: 1}[sector]


def test_modes_of_one_mesh_share_its_look_up():
    even, surface = meshed(1, 4, "even", sector=6)
    odd, _ = meshed(2, 3, "odd", sector=6)
    fields = Fields(review(surface=surface))
    first, second = fields.of(even), fields.of(odd)
    assert first.surface.unrolled is second.surface.unrolled
    alone = field_of(odd, review(surface=surface))
    assert (second.at(THETA, X) == alone.at(THETA, X)).all()
    assert (first.at(THETA, X) != alone.at(THETA, X)).any()


def test_copies_of_ribs_follow_the_mirror_rule():
    """Under a mirror u and w keep their sign and v changes it; for odd modes the other way round."""
    for symmetry, sign in (("even", 1), ("odd", -1)):
        mode, surface = meshed(2, 4, symmetry, sector=6)
        field = field_of(mode, review(surface=surface))
        (p0, d0), (p1, d1) = field.copy(0), field.copy(1)
        middle = field.surface.start + field.surface.angle
        assert p0[:, 1] - middle == pytest.approx(middle - p1[:, 1], abs=1e-12)
        assert d1 == pytest.approx(d0 * [sign, -sign, sign])
        seam = np.abs(p0[:, 1] - middle) < 1e-6
        assert seam.any()
        assert d0[seam] == pytest.approx(d1[seam], abs=1e-4)  # the two copies meet; samples are 16 bits


@pytest.mark.parametrize(("m", "n"), [(1, 0), (1, 1), (7, 3), (2, 22), (14, 66)])
def test_waves_are_counted_on_the_field(m, n):
    field = field_of(wave(m, n), review())
    assert counted(field) == (m, n)
    assert abs(field.peak.w) == pytest.approx(1, abs=2e-3)
    signs = field.extrema
    assert len(signs) == (m * 2 * n if n else 8 * m)
    assert np.abs(np.abs(signs[:, 2]) - 1).max() < 0.05
    if n:
        assert np.sign(signs[:, 2]) == pytest.approx(
            np.sign(np.sin(m * math.pi * signs[:, 1] / LENGTH) * np.cos(n * signs[:, 0]))
        )


def test_wrong_label_does_not_change_the_count():
    mode, surface = meshed(2, 4)
    assert counted(field_of(mode | {"m": 1, "n": 9}, review(surface=surface))) == (2, 4)


def test_ripples_are_no_waves():
    wiggle = np.concatenate([np.sin(np.linspace(0, math.pi, 50)), 0.04 * np.sin(np.linspace(0, 9 * math.pi, 90))])
    assert sign_changes(wiggle, closed=False) == 0
    assert sign_changes(np.zeros(5), closed=True) == 0
    assert sign_changes(np.cos(np.linspace(0, 2 * math.pi, 80, endpoint=False)), closed=True) == 2


def test_peak_prefers_outward():
    for sign in (1.0, -1.0):
        peak = field_of(wave(2, 3, sign=sign), review()).peak
        assert peak.w == pytest.approx(1, abs=2e-3)
        assert peak.theta in (pytest.approx(0.0, abs=1e-9), pytest.approx(math.pi / 3, abs=0.02))


def test_samples_are_read_as_records_and_as_json():
    values = pack(np.array([0.25, -1.0]), "i2")
    assert decoded(values) == pytest.approx([0.25, -1.0], abs=1e-4)
    assert decoded(packed(np.array([3, 1]), "u4")).tolist() == [3, 1]
