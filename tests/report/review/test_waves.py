"""What the page says of its modes: waves they hold, how alike they are."""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.report.review.waves import Nodal, Wave, alike, sine_content

L = 2.0
X = np.linspace(0, L, 401)


def sine(m: int, n: int) -> Wave:
    return Wave(n, X, np.sin(m * np.pi * X / L) + 0j)


def nodal(w, theta=(0, 2 * np.pi), fold: int = 1, symmetry: str = "all") -> Nodal:
    """w(theta, x) on a grid with trapezoid weights; the last of a closed circle is left out."""
    around = np.linspace(*theta, 361)
    weight = np.ones(361)
    weight[[0, -1]] = 0.5
    t, x = (a.ravel() for a in np.meshgrid(around, X[::4], indexing="ij"))
    along = np.ones(X[::4].size)
    along[[0, -1]] = 0.5
    return Nodal(x, t, np.outer(weight, along).ravel(), w(t, x), fold, symmetry)


def test_content_of_a_sum_of_sines():
    """Shares are squares of amplitudes (Parseval): 4/5 and 1/5; straight lines between stations cost 1e-3."""
    Z = 2 * np.sin(3 * np.pi * X / L) + np.sin(5 * np.pi * X / L) * 1j
    found = sine_content(Wave(7, X, Z))
    assert [(m, n) for m, n, _ in found[:2]] == [(3, 7), (5, 7)]
    assert [s for *_, s in found[:2]] == pytest.approx([0.8, 0.2], abs=1e-3)


def test_likeness_of_waves():
    assert alike(sine(3, 7), sine(3, 7)) == pytest.approx(1, abs=1e-12)
    assert alike(sine(3, 7), sine(3, 8)) == 0
    assert alike(sine(3, 7), sine(4, 7)) < 1e-6
    half = Wave(7, X, (np.sin(3 * np.pi * X / L) + np.sin(4 * np.pi * X / L)) / np.sqrt(2) + 0j)
    assert alike(sine(3, 7), half) == pytest.approx(0.5, abs=1e-3)  # cosine squared of 45 degrees
    turned = Wave(7, X, sine(3, 7).Z * np.exp(0.7j))
    assert alike(sine(3, 7), turned) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("phase", [0.0, 0.4, 2.0])
def test_a_turned_wave_on_a_mesh_is_the_same_mode(phase):
    mode = nodal(lambda t, x: np.sin(3 * np.pi * x / L) * np.cos(5 * t - phase))
    assert alike(mode, sine(3, 5)) == pytest.approx(1, abs=1e-3)
    assert alike(sine(3, 5), mode) == alike(mode, sine(3, 5))
    assert alike(mode, sine(2, 5)) < 1e-3
    assert alike(mode, sine(3, 6)) < 1e-3


def test_parts_between_mirror_planes():
    """A part of pi/3 holds n that are multiples of 3 only; even and odd modes share nothing."""

    def even(t, x):
        return np.sin(np.pi * x / L) * np.cos(6 * t)

    def odd(t, x):
        return np.sin(np.pi * x / L) * np.sin(6 * t)

    part = dict(theta=(0, np.pi / 3), fold=3)
    first, second = nodal(even, symmetry="even", **part), nodal(odd, symmetry="odd", **part)
    assert alike(first, sine(1, 6)) == pytest.approx(1, abs=1e-3)
    assert alike(second, sine(1, 6)) == pytest.approx(1, abs=1e-3)
    assert alike(first, sine(1, 5)) == 0
    assert alike(first, second) == 0
    assert alike(first, first) == pytest.approx(1, abs=1e-12)


def test_axisymmetric_waves_have_no_twin():
    bulge = nodal(lambda t, x: np.sin(4 * np.pi * x / L) + 0 * t)
    assert alike(bulge, sine(4, 0)) == pytest.approx(1, abs=1e-3)
