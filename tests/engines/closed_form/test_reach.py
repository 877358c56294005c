"""The corner of the searched range."""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.engines.closed_form import line_loads, lowest
from shellbuck.engines.closed_form.search import reach
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


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_a_long_wall_of_deep_stringers_is_a_small_search(theory):
    """Thin skin, deep stringers, 8 radii long: the least stiffness of any direction would ask for 2000 half-waves."""
    t = 1e-3
    stringers = RibFamily("stringers", 0.0, 0.04, 1.0, 0.38, 2.5e-5, 5e-9, 1e-11, 0.025, 0.33)
    wall = SmearedWall.of(Skin(1.0, 0.33, t), (stringers,))
    found = lowest(wall, 1.0, 8.0, theory=theory)
    assert found.certificate.m_searched < 100
    m, n = np.arange(1, 60)[:, None], np.arange(2, 200)
    # the same arithmetic on the same mode
    assert found.line_load == pytest.approx(line_loads(wall, 1.0, 8.0, m, n, theory=theory).min(), rel=1e-13)
