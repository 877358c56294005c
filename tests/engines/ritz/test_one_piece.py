"""Pieces as long as the barrel: the functions, their products, and the same loads as on short pieces."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from builders import GRID, STIFFENED, case
from numpy.polynomial import legendre

import shellbuck as sb
from shellbuck.engines.eigen import count_below
from shellbuck.engines.ritz import Edges, HoopRing, RitzBarrel, Springs, membrane, operators
from shellbuck.engines.ritz.basis import Pieces, tables
from shellbuck.engines.ritz.energies import Prestress
from shellbuck.engines.ritz.products import products
from shellbuck.engines.ritz.solve import membrane_spectrum
from shellbuck.model.walls import Skin, SmearedWall

R = 1.0
PLAIN = SmearedWall.of(Skin(1.0, 0.3, 1 / 300))
RINGS = (HoopRing(0.5, 1.0, 0.4, 1e-4, 1e-7, 1e-7, 1e-8, 0.01), HoopRing(1.1, 1.0, 0.4, 1e-4, 1e-7))


def shell(ends: tuple[str, str] = ("C4", "C4"), wall: SmearedWall = PLAIN, L: float = 1.1, **more) -> RitzBarrel:
    return RitzBarrel(wall, R, L, Edges(*ends), **more)


def skewed() -> SmearedWall:
    """A wall with 16 and 26 terms in A and D."""
    A, D = np.array(PLAIN.A), np.array(PLAIN.D)
    for M in (A, D):
        M[0, 2] = M[2, 0] = 0.12 * M[0, 0]
        M[1, 2] = M[2, 1] = 0.07 * M[0, 0]
    return SmearedWall(A, PLAIN.B, D)


# the functions


@pytest.mark.parametrize("degree", [4, 5, 8, 31])
def test_derivatives_are_those_of_the_functions(degree):
    """Legendre coefficients, differentiated by numpy; the size of the largest times rounding."""
    t = tables(degree)
    for name, order in (("u", 1), ("w", 1), ("w", 2)):
        right = legendre.legder(t[name], order, axis=1)
        found = t[name + "'" * order][:, : right.shape[1]]
        assert found == pytest.approx(right, abs=1e-12 * np.abs(right).max())
        assert not t[name + "'" * order][:, right.shape[1] :].any()


@pytest.mark.parametrize("degree", [4, 9])
def test_nodal_functions_carry_the_ends(degree):
    """Value (and slope, for w) one at their own end, zero at the other; all inner functions vanish at both."""
    t, ends = tables(degree), legendre.legvander(np.array([-1.0, 1.0]), degree).T
    u = np.zeros((degree + 1, 2))
    u[0, 0] = u[-1, 1] = 1
    assert t["u"] @ ends == pytest.approx(u, abs=1e-13)
    w, slope = np.zeros((2, degree + 1, 2))
    w[0, 0] = w[-2, 1] = slope[1, 0] = slope[-1, 1] = 1
    assert t["w"] @ ends == pytest.approx(w, abs=1e-13)
    assert t["w'"] @ ends == pytest.approx(slope, abs=1e-13)


# their products


def random_term(seed: int, mirrored: bool) -> np.ndarray:
    """Coefficients (3, 7, 7), symmetric; `mirrored` holds none that tells left from right."""
    M = np.random.default_rng(seed).standard_normal((3, 7, 7))
    M = M + np.swapaxes(M, 1, 2)
    turns = np.array([1, 0, 0, 1, 0, 1, 0])
    return np.where(turns[:, None] == turns, M, 0.0) if mirrored else M


@pytest.mark.parametrize("degree", [4, 8, 13])
@pytest.mark.parametrize("mirrored", [True, False])
def test_exact_products_equal_the_sampled_ones(degree, mirrored):
    """The same energy once as a constant and once as a course of ones at the Gauss points, which integrate exactly."""
    pieces = Pieces(np.array([0.0, 0.3, 1.0]), degree)
    parts, M = products(degree, pieces.points, "all"), random_term(degree, mirrored)
    exact = parts.elements(pieces, [(M, np.ones((1, 1)))])
    sampled = parts.elements(pieces, [(M, np.ones((2, pieces.points)))])
    assert sampled == pytest.approx(exact, abs=1e-12 * np.abs(exact).max())


@pytest.mark.parametrize("degree", [4, 8, 13])
@pytest.mark.parametrize("mirrored", [True, False])
def test_what_is_dropped_vanishes(degree, mirrored):
    """Entries kept are those of all of them; the others are rounding."""
    pieces = Pieces(np.array([0.0, 0.3, 1.0]), degree)
    few = products(degree, pieces.points, "mirrored" if mirrored else "constant")
    every = products(degree, pieces.points, "all")
    terms = [(random_term(degree, mirrored), np.ones((1, 1)))]
    size = 3 * (degree + 1)
    dense, thin = np.zeros((2, 3, 2, size, size))
    dense[:, :, every.left, every.right] = every.elements(pieces, terms)
    thin[:, :, few.left, few.right] = few.elements(pieces, terms)
    assert thin == pytest.approx(dense, abs=1e-12 * np.abs(dense).max())


def test_band_stays_narrow_at_any_degree():
    """Clamped ends leave two families of functions, even and odd, with six entries below the diagonal."""
    heights = [
        replace(shell(), degree=p, piece=np.inf).harmonic(1, Prestress.membrane(0.0)).pattern.shape[0]
        for p in (20, 60, 140)
    ]
    assert heights == [7, 7, 7]


# the same loads


@pytest.mark.parametrize(
    "wall",
    [PLAIN, sb.build_wall(case(GRID)), sb.build_wall(case(STIFFENED)), skewed()],
    ids=["plain", "grid", "stiffened", "skewed"],
)
@pytest.mark.parametrize("ends", [("C4", "C4"), ("SS3", "C1"), ("SS2", "FREE")])
def test_one_piece_gives_the_loads_of_short_pieces(wall, ends):
    """The lowest to 1e-8 (5e-9 asked of the resolution), every harmonic's to 1.2e-6 (proved within 1e-6), and the
    number of load factors below 1.19 times the lowest, where none is near."""
    long, short = (membrane_spectrum(one, leave_out=(0,)) for one in (shell(ends, wall).whole, shell(ends, wall)))
    a, b = long.lowest[long.best], short.lowest[short.best]
    assert a == pytest.approx(b, rel=1e-8)
    assert long.lowest.keys() == short.lowest.keys()
    assert list(long.lowest.values()) == pytest.approx(list(short.lowest.values()), rel=1.2e-6)
    assert long.count(1.19 * b) == short.count(1.19 * b)


@pytest.mark.parametrize("ends", [("C4", "SS3"), ("SS4", "FREE")])
def test_rings_and_springs_on_one_piece_a_stretch(ends):
    edges = Edges(*ends, end_springs=Springs(u=1e-5))
    barrel = RitzBarrel(PLAIN, R, 1.1, edges, rings=RINGS)
    assert barrel.whole.pieces.count == 2
    long, short = membrane_spectrum(barrel.whole), membrane_spectrum(barrel)
    assert long.lowest[long.best] == pytest.approx(short.lowest[short.best], rel=1e-8)


def test_higher_degrees_never_raise_a_load():
    """Nested trial spaces; to the proof's 1e-6 away from the lowest, to rounding at it."""
    loads = []
    for degree in (18, 20, 23, 28, 40):
        found = membrane_spectrum(replace(shell(), degree=degree, piece=np.inf), leave_out=(0, 1))
        loads.append(found.lowest[found.best])
    assert all(after <= before * (1 + 1e-10) for before, after in pairwise(loads))
    assert loads[0] > loads[-1] * (1 + 1e-9)


@pytest.mark.parametrize("at_once", [4, 100])
def test_counts_of_all_harmonics_equal_sparse_factors(at_once, monkeypatch):
    """The factor of harmonics side by side, four at a time or all together, against SuperLU's, one by one."""
    waves = shell(("SS3", "C1")).whole.harmonic(1, Prestress.membrane(1e-7))
    monkeypatch.setattr(operators, "_ROOM", at_once * waves.coefficients[0][0].size)
    harmonics, N = range(1, 40), 1.3e-5
    assert waves.counts(harmonics, N) == [count_below(waves.K(n), waves.G(n), N) for n in harmonics]


def test_own_resolution_is_kept():
    chosen = shell(piece=2.0)
    assert chosen.whole is chosen
    assert shell(degree=9).whole.degree == 9
    assert membrane(chosen).line_load == pytest.approx(membrane(shell()).line_load, rel=1e-7)


def test_long_barrels_keep_short_pieces():
    """Beyond 1000 layer lengths, or four stretches."""
    assert shell(L=45.0).whole.piece == shell().piece
    many = tuple(HoopRing(x, 1.0, 0.4, 1e-4, 1e-7) for x in (0.2, 0.4, 0.6, 0.8))
    assert shell(rings=many).whole.piece == shell().piece
