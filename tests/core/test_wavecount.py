"""The one rule that names a mode's waves, against fields whose shares follow from arithmetic."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.core.wavecount import LEADING, Count, counted, peaks
from shellbuck.report.review.waves import Wave, named, sine_content

L, R = 2.0, 1.5
X = np.linspace(0, L, 8001)


def mixed(a: float, b: float) -> Wave:
    """a sin(5 pi x/L) + b sin(7 pi x/L): the shares of w^2 are a^2 and b^2 over their sum, as sines are orthogonal."""
    return Wave(4, X, (a * np.sin(5 * np.pi * X / L) + b * np.sin(7 * np.pi * X / L)).astype(complex))


@pytest.mark.parametrize(("share", "single"), [(0.91, True), (0.9001, True), (0.8999, False), (0.55, False)])
def test_a_single_m_is_named_from_nine_tenths_of_w2_on(share, single):
    wave = mixed(math.sqrt(share), math.sqrt(1 - share))
    content = sine_content(wave)
    assert content[0][2] == pytest.approx(share, abs=2e-5)  # straight lines between 8001 stations: (7 pi/8000)^2
    pair, words = named(content, wave, R, L, lambda v: f"{v:.3g} m")
    if single:
        assert pair == "(5, 4)"
        assert words == "5 half-waves along the axis, each 0.4 m; 4 full waves around, each 2.36 m"
    else:
        assert pair == "n = 4, no single m"
        assert f"m = 5, n = 4, contributes {100 * share:.0f} % of w^2" in words
        assert "peak" in words


def test_the_places_of_the_peaks_are_those_of_the_field():
    """Edge waves: exp(-x/.2) cos(2 pi x/.4) near both ends. Its crests are where tan(k x) = -1/(.2 k): the first at
    x = 0, the next half-waves on; those below half of the largest are left out."""
    k = 2 * np.pi / 0.4
    first = 0.4 / 2 * (1 - math.atan(1 / (0.2 * k)) / math.pi)
    w = np.exp(-X / 0.2) * np.cos(k * X)
    assert -0.5 < math.exp(-first / 0.2) * math.cos(k * first) < -0.3  # below half: no peak
    assert peaks(X, w) == (0.0,)
    both = w + w[::-1]
    assert peaks(X, both) == (0.0, 2.0)
    slower = np.exp(-X / 0.8) * np.cos(k * X)  # the next crests are above half
    found = peaks(X, slower)
    exact = [i * 0.2 - math.atan(1 / (0.8 * k)) / k for i in range(1, 3)]
    assert found[0] == 0.0
    assert found[1:3] == pytest.approx(exact, abs=X[1])  # one station


def test_meshes_are_named_by_all_that_is_known():
    assert counted([(2, 8, 0.24), (3, 9, 0.2), (2, 16, 0.1)]) == Count(None, None, 0.24)
    assert counted([(2, 8, 0.5), (4, 8, 0.41)]) == Count(None, 8, 0.5)
    assert counted([(2, 8, LEADING)]) == Count(2, 8, LEADING)
    assert counted([]) == Count(None, None, 0.0)
