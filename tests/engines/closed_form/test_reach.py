"""The corner of the searched range."""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.engines.closed_form import line_loads, lowest, search
from shellbuck.engines.closed_form.search import _pressed_reach, reach
from shellbuck.model.walls import RibFamily, Skin, SmearedWall


def test_the_corner_by_brute_force():
    """d11 a^4 + 2 (d12 + 2 d66) a^2 b^2 + d22 b^4 <= N a^2, the mixed term of either sign."""
    rng = np.random.default_rng(20261125)
    signs = set()
    for _ in range(30):
        d11, d22, d66 = 10 ** rng.uniform(-1, 1, 3)
        d12 = rng.uniform(-0.95, 0.95) * np.sqrt(d11 * d22)
        d66 *= 0.1 if rng.integers(2) else 1.0
        signs.add(d12 + 2 * d66 > 0)
        a, b = reach((d11, d12, d22, d66), 10.0)
        x, y = np.linspace(1e-9, 1.5 * a**2, 400)[:, None], np.linspace(0, 1.5 * b**2, 400)
        inside = d11 * x * x + 2 * (d12 + 2 * d66) * x * y + d22 * y * y <= 10.0 * x
        i, j = np.nonzero(inside)
        # the grid's step is 0.4 % of the corner, which lies at the end of a parabola: within three steps
        assert 0.988 < x[i.max(), 0] / a**2 <= 1 + 1e-12
        assert 0.988 < y[j.max()] / b**2 <= 1 + 1e-12
    assert signs == {True, False}


@pytest.mark.parametrize(
    ("H", "N", "d12", "a2", "b2"),
    [(4.0, 16.0, 0.3, 16.0, 16 / 3), (16.0, 0.0, 0.3, 4.0, 16.0), (0.0, 16.0, -1.2, 16 / 0.75, 16.0)],
)
def test_the_corner_beside_hoop_compression_by_hand(H, N, d12, a2, b2):
    """d11 = d22 = 1, d66 = .35, x = a^2/(a^2 + b^2), y = 1 - x. At d12 = .3 the left side is (a^2 + b^2)^2, so that
    a^2 + b^2 = N x + H y: x (16 x + 4 y) is largest at x = 1, y (16 x + 4 y) = 4 (1 + 2 x - 3 x^2) at x = 1/3. Under
    hoop compression alone a^2 = H x y <= H/4 and b^2 = H y^2 <= H. At d12 = -1.2 and without it
    a^4 - a^2 b^2 + b^4 = 16 a^2: a^2 = 16/(1 - 1/4) and b^2 = 16/(2 - 1). The project's own 2 % lie on top; between two
    of 2001 directions the top falls off by (5e-4)^2 and less: 2e-6."""
    found = _pressed_reach(H, (1.0, d12, 1.0, 0.35), N)
    assert np.square(np.array(found) / 1.02) == pytest.approx([a2, b2], rel=2e-6)


DEEP = SmearedWall.of(
    Skin(1.0, 0.33, 1e-3), (RibFamily("stringers", 0.0, 0.04, 1.0, 0.38, 2.5e-5, 5e-9, 1e-11, 0.025, 0.33),)
)
"""Thin skin, deep stringers."""


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_a_long_wall_of_deep_stringers_is_a_small_search(theory):
    """8 radii long: the least stiffness of any direction would ask for 2000 half-waves."""
    found = lowest(DEEP, 1.0, 8.0, theory=theory)
    assert found.certificate.m_searched < 100
    m, n = np.arange(1, 60)[:, None], np.arange(2, 200)
    # the same arithmetic on the same mode
    assert found.line_load == pytest.approx(line_loads(DEEP, 1.0, 8.0, m, n, theory=theory).min(), rel=1e-13)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_a_better_first_bound_makes_a_large_search_small(theory, monkeypatch):
    """The axisymmetric load of deep stringers is far above the lowest: where its range is too large, a coarse grid of
    modes bounds the load first. The mode is the same."""
    found = lowest(DEEP, 1.0, 8.0, theory=theory)
    searched = found.certificate.m_searched * found.certificate.n_searched
    monkeypatch.setattr(search, "_MOST_MODES", searched - 1)
    again = lowest(DEEP, 1.0, 8.0, theory=theory)
    assert again.certificate.m_searched * again.certificate.n_searched < searched / 5
    assert (again.m, again.n, again.line_load) == (found.m, found.n, pytest.approx(found.line_load, rel=1e-13))
