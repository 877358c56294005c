"""Torsion by sine series, simply supported, Donnell.

Coefficients k_s = tau L^2 t/(pi^2 D), nu = 0.3 (own, by an independent Ritz program; Batdorf et al., NACA TN 1344, give
.85 Z^.75): R/t 100, 500, 1000 at L = R.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from builders import WALLS, case

from shellbuck.core.errors import Incomplete
from shellbuck.engines.closed_form import Terms, line_loads, torsion, torsions
from shellbuck.margins.engines import Engines
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

VALUES = {100: 26.632, 500: 86.217, 1000: 145.118}


def plain(ratio: float) -> SmearedWall:
    return SmearedWall.of(Skin(1.0, 0.3, 1 / ratio))


@pytest.mark.parametrize(("ratio", "k"), VALUES.items())
def test_coefficient_of_a_plain_cylinder(ratio, k):
    """Within 1e-4 above: where the series is taken as converged."""
    load = torsion(plain(ratio), 1.0, 1.0)
    D = ratio**-3 / (12 * 0.91)
    assert load.line_load / (math.pi**2 * D) == pytest.approx(k, rel=1e-4)
    assert load.certificate.edge_ratio > 1.5


def test_scale_and_modulus():
    """All lengths by 3: flow by 3; modulus by 7: flow by 7."""
    one = torsion(plain(200), 1.0, 1.5).line_load
    other = torsion(SmearedWall.of(Skin(7.0, 0.3, 3 / 200)), 3.0, 4.5).line_load
    assert other == pytest.approx(21 * one, rel=1e-12)


def test_long_cylinders_fall_with_the_root_of_their_length():
    """tau ~ L^-1/2 while the class is moderately long, to the 2 % by which whole n leave the smooth curve."""
    ratio = torsion(plain(500), 1.0, 1.0).line_load / torsion(plain(500), 1.0, 4.0).line_load
    assert ratio == pytest.approx(2.0, rel=0.05)


def test_modes_of_few_waves_are_reduced():
    full, reduced = (torsion(plain(30), 1.0, 20.0, reduced=yes) for yes in (False, True))
    assert full.n <= 4
    by_n = {mode.n: mode.line_load for mode in full.lowest_by_n}
    expected = {n: N * (1 - 1 / n**2) if n <= 4 else N for n, N in by_n.items()}
    assert reduced.line_load == pytest.approx(min(expected.values()), rel=1e-12)


def test_many_designs_as_one():
    """Within what is taken as converged: designs of one table try the same n."""
    walls = [Engines(case(wall)).wall(294.0) for wall in WALLS.values()]
    R, L = np.full(len(walls), 1.5), np.linspace(0.5, 3.0, len(walls))
    stacks = (np.stack([getattr(wall, key) for wall in walls]) for key in "ABD")
    found = torsions(Terms.of(*stacks), R, L)
    for wall, length, flow in zip(walls, L, found, strict=True):
        assert flow == pytest.approx(torsion(wall, 1.5, float(length), reduced=True).line_load, rel=1e-4)


@pytest.mark.parametrize(("name", "length"), [("rings", 8.0), ("rings", 30.0), ("orthogrid", 4.0), ("stringers", 0.7)])
def test_no_wave_number_is_missed(name, length):
    """Every n of 2 to 60 with 160 half-waves, written out here: the pairs of odd and even half-waves as one symmetric
    matrix. On the long ringed barrel the lowest load has short waves (n = 9) beside a long one (n = 4)."""
    wall, R = Engines(case(WALLS[name])).wall(294.0), 1.5
    m = np.arange(1, 161)
    q = np.where((m[:, None] + m) % 2 == 1, m[:, None] * m / (m**2 - m[:, None] ** 2 + np.eye(160)), 0.0)
    every = []
    for n in range(2, 61):
        S = line_loads(wall, R, length, m, n) * (m * math.pi / length) ** 2
        # off-diagonal blocks of the cosine and the sine family
        H = 8 * n / (R * length) * q / np.sqrt(S)[:, None] / np.sqrt(S)
        every.append(1 / np.linalg.svd(H, compute_uv=False)[0])
    load = torsion(wall, R, length)
    assert load.line_load == pytest.approx(min(every), rel=1e-4)
    assert load.n == 2 + int(np.argmin(every))


def test_short_bay_of_dense_stringers():
    """R/L 20: the bending stiffness along the axis, 200 times that around, ends the search at n = 560, where the least
    stiffness alone asks for some 960. The flow is that of the whole series, written out at its n = 206 and beside."""
    R, L, t, E, nu = 2.8122, 0.13844, 2.5157e-3, 70e9, 0.3
    stringers = RibFamily("stringers", 0.0, 0.0998, E, 2.7e10, 1.2555e-4, 6.175e-9, 9.7e-10, -0.0134, nu)
    wall = SmearedWall.of(Skin(E, nu, t), (stringers,))
    load = torsion(wall, R, L)
    assert load.certificate.n_searched < 768
    m = np.arange(1, 201)
    q = np.where((m[:, None] + m) % 2 == 1, m[:, None] * m / (m**2 - m[:, None] ** 2 + np.eye(200)), 0.0)
    every = {}
    for n in range(2, 500, 6):
        S = line_loads(wall, R, L, m, n) * (m * math.pi / L) ** 2
        every[n] = R * L / (8 * n) / np.linalg.norm(q / np.sqrt(S)[:, None] / np.sqrt(S), 2)
    assert load.line_load == pytest.approx(min(every.values()), rel=1e-3)
    assert load.n == pytest.approx(min(every, key=every.get), abs=6)


def test_too_large_a_search_is_refused():
    """A sheet with a hundred-thousandth of its thickness in a long barrel: more than 768 waves around."""
    thin = SmearedWall.of(Skin(1.0, 0.3, 1e-6))
    with pytest.raises(Incomplete, match="too many modes would have to be searched"):
        torsion(thin, 1.0, 0.05)
    t = Terms(*(np.atleast_1d(x) for x in Terms.one(thin)))
    assert np.isnan(torsions(t, np.array([1.0]), np.array([0.05]))).all()
