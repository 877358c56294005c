"""What the simply supported closed form must do whatever the numbers: scaling, limits, and no mode missed.

Source: own (exact properties of the equations) unless a test says otherwise.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.engines.closed_form import Terms, external_pressure, line_loads, lowest
from shellbuck.engines.closed_form.batch_terms import Reduced
from shellbuck.engines.closed_form.search import NEAR_TIE, SPECTRUM
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

SEED = 20240917
THEORIES = ["Donnell", "Sanders"]
R, L = 1.5, 2.4


def rib(angle, spacing, E, nu, t, d, b, side, torsion=True) -> RibFamily:
    J = 0.25 * min(b, d) ** 3 * max(b, d) if torsion else 0.0
    return RibFamily(
        f"ribs at {angle:g}", angle, spacing, E, E / (2 * (1 + nu)), b * d, b * d**3 / 12, J, side * (d + t) / 2, nu
    )


def random_wall(rng: np.random.Generator) -> tuple[SmearedWall, float, float]:
    """A wall of any kind on a radius of 1, with its length and hoop tension."""
    E, nu = 70e9, rng.uniform(0.2, 0.4)
    t = 1 / np.exp(rng.uniform(np.log(80), np.log(1500)))
    d, b, side = t * rng.uniform(2, 12), t * rng.uniform(0.5, 3), rng.choice([-1, 1])
    angles = [(), (0,), (90,), (0, 90), (90, 30, -30), (0, 60, -60)][rng.integers(6)]
    ribs = tuple(rib(a, t * rng.uniform(15, 80) if len(angles) < 3 else 40 * t, E, nu, t, d, b, side) for a in angles)
    tension = rng.choice([0.0, rng.uniform(0, 1e-3) * E * t])
    return SmearedWall.of(Skin(E, nu, t), ribs), float(np.exp(rng.uniform(np.log(0.3), np.log(4)))), float(tension)


GRID = SmearedWall.of(
    Skin(70e9, 0.33, 3e-3),
    (rib(0, 0.1, 70e9, 0.33, 3e-3, 0.02, 3e-3, -1), rib(90, 0.15, 70e9, 0.33, 3e-3, 0.03, 2e-3, 1)),
)
M, N_AROUND = np.arange(1, 30)[:, None], np.arange(0, 30)


def scaled(wall: SmearedWall, force: float, length: float) -> SmearedWall:
    """The same wall in units in which a force and a length read so many times larger."""
    pressure = force / length**2
    ribs = tuple(
        replace(
            r,
            spacing=r.spacing * length,
            E=r.E * pressure,
            G=r.G * pressure,
            area=r.area * length**2,
            inertia=r.inertia * length**4,
            torsion=r.torsion * length**4,
            z=r.z * length,
        )
        for r in wall.ribs
    )
    return SmearedWall.of(Skin(wall.skin.E * pressure, wall.skin.nu, wall.skin.t * length), ribs)


@pytest.mark.parametrize("theory", THEORIES)
@pytest.mark.parametrize(
    ("force", "length"),
    [(1 / 4.4482216152605, 1 / 0.0254), (1.0, 1000.0), (1.0, 0.37), (17.0, 1.0)],
    ids=["pound-inch", "newton-millimetre", "lengths", "moduli"],
)
def test_units_and_similarity(force, length, theory):
    # N is a force per length: lengths times k at one modulus (force k^2) scale it by k, moduli scale it by E.
    # 1e-12: a few dozen roundings
    for factor in (force, force * length**2):
        loads = line_loads(GRID, R, L, M, N_AROUND, N_theta=2e5, theory=theory)
        other = line_loads(
            scaled(GRID, factor, length),
            R * length,
            L * length,
            M,
            N_AROUND,
            N_theta=2e5 * factor / length,
            theory=theory,
        )
        np.testing.assert_allclose(other * length / factor, loads, rtol=1e-12)


@pytest.mark.parametrize("theory", THEORIES)
def test_lowest_mode_does_not_depend_on_units(theory):
    one = lowest(GRID, R, L, theory=theory)
    other = lowest(scaled(GRID, 0.2248, 39.37), R * 39.37, L * 39.37, theory=theory)
    assert (one.m, one.n, one.near_tie_count) == (other.m, other.n, other.near_tie_count)
    assert other.line_load == pytest.approx(one.line_load * 0.2248 / 39.37, rel=1e-12)
    for hydrostatic in (False, True):
        p, q = (
            external_pressure(w, R * k, L * k, hydrostatic=hydrostatic)
            for w, k in ((GRID, 1.0), (scaled(GRID, 0.2248, 39.37), 39.37))
        )
        assert (p.m, p.n) == (q.m, q.n)
        assert q.line_load == pytest.approx(p.line_load * 0.2248 / 39.37, rel=1e-12)


@pytest.mark.parametrize("angles", [(90, 30, -30), (0, 60, -60)])
@pytest.mark.parametrize("torsion", [False, True])
@pytest.mark.parametrize("tension", [0.0, 3e5])
def test_triangles_of_one_metal_have_no_side(angles, torsion, tension):
    # exact under Donnell at nu = 1/3: the coupling drops out of every mode. 1e-11: the couplings that cancel are up
    # to twenty times the result
    inside, outside = (
        SmearedWall.of(
            Skin(70e9, 1 / 3, 2e-3), tuple(rib(a, 0.1, 70e9, 1 / 3, 2e-3, 0.018, 2e-3, side, torsion) for a in angles)
        )
        for side in (-1, 1)
    )
    loads = [line_loads(w, R, L, M, N_AROUND, N_theta=tension) for w in (inside, outside)]
    np.testing.assert_allclose(*loads, rtol=1e-11)
    # it is a property of nu = 1/3 alone
    other = [
        SmearedWall.of(
            Skin(70e9, 0.3, 2e-3), tuple(rib(a, 0.1, 70e9, 0.3, 2e-3, 0.018, 2e-3, side, torsion) for a in angles)
        )
        for side in (-1, 1)
    ]
    assert lowest(other[0], R, L).line_load < 0.99 * lowest(other[1], R, L).line_load


@pytest.mark.parametrize("theory", THEORIES)
def test_pressure(theory):
    # exact: hoop tension does no work in an axisymmetric mode and positive work in every other
    loads = [line_loads(GRID, R, L, M, N_AROUND, N_theta=T, theory=theory) for T in (0.0, 1e4, 1e5, 1e6)]
    for low, high in itertools.pairwise(loads):
        np.testing.assert_array_equal(low[:, 0], high[:, 0])
        assert np.all(high[:, 1:] > low[:, 1:] * (1 - 1e-14))
    least = [lowest(GRID, R, L, N_theta=T, theory=theory).line_load for T in np.geomspace(1e3, 1e7, 20)]
    assert np.all(np.diff(least) >= 0)


def test_donnell_pressure_is_added():
    # NASA SP-8007 Rev 2, Eqs 52-59 (published): (S + N_theta b^2)/a^2
    gain = line_loads(GRID, R, L, M, N_AROUND, N_theta=1e6) - line_loads(GRID, R, L, M, N_AROUND)
    a, b = M * math.pi / L, N_AROUND / R
    # 1e-9: differences of loads a thousand times larger
    np.testing.assert_allclose(gain, 1e6 * b**2 / a**2 * np.ones_like(gain), rtol=1e-9, atol=1e-6)


def test_sanders_nears_donnell_for_short_waves():
    # own: on a plain sheet the two part by terms of order 1/(n^2 + (m pi R/L)^2); 6.6 times that at most, measured.
    # (On eccentric ribs the rotation f also grows with eccentricity over wavelength, so there they need not meet.)
    sheet = SmearedWall.of(Skin(70e9, 0.33, 3e-3))
    for length in (0.1, 1.0, 10.0):
        donnell, sanders = (line_loads(sheet, R, length, M, N_AROUND[4:], theory=theory) for theory in THEORIES)
        share = 1 / (N_AROUND[4:] ** 2 + (M * math.pi * R / length) ** 2)
        assert np.all(np.abs(sanders / donnell - 1) < 8 * share)


def test_modulus_of_skin_and_ribs_each_raise_the_load():
    # own (Rayleigh): more stiffness anywhere never lowers any mode
    loads = line_loads(GRID, R, L, M, N_AROUND)
    for name in ("ribs at 0", "ribs at 90"):
        stiffer = SmearedWall.of(GRID.skin, tuple(replace(r, E=1.3 * r.E) if r.name == name else r for r in GRID.ribs))
        assert np.all(line_loads(stiffer, R, L, M, N_AROUND) >= loads * (1 - 1e-13))


# --- no mode missed ---


@pytest.mark.parametrize("theory", THEORIES)
def test_brute_force_finds_nothing_lower(theory):
    """Forty random walls, every mode of a rectangle three times as long and wide as the one that was searched."""
    print(f"seed {SEED}")
    rng = np.random.default_rng(SEED)
    for index in range(40):
        wall, length, tension = random_wall(rng)
        found = lowest(wall, 1.0, length, N_theta=tension, theory=theory)
        m_top, n_top = 3 * found.certificate.m_searched + 20, 3 * found.certificate.n_searched + 20
        n = np.array([0, *range(2, n_top)])
        table = np.concatenate(
            [
                line_loads(wall, 1.0, length, rows[:, None], n, N_theta=tension, theory=theory)
                for rows in np.array_split(np.arange(1, m_top), max(1, m_top * n_top // 200_000))
            ]
        )
        where = f"wall {index}, seed {SEED}"
        # the same arithmetic on the same mode: 1e-13
        assert table.min() == pytest.approx(found.line_load, rel=1e-13), where
        i, j = np.unravel_index(np.argmin(table), table.shape)
        assert (i + 1, n[j]) == (found.m, found.n), where
        assert np.count_nonzero(table <= NEAR_TIE * table.min()) == 1 + found.near_tie_count, where
        # the certificate's promise: modes outside lie above SPECTRUM times the lowest (Donnell)
        outside = table.copy()
        outside[: found.certificate.m_searched, n <= found.certificate.n_searched] = np.inf
        assert outside.min() > (SPECTRUM if theory == "Donnell" else 1.0) * found.line_load, where
        assert found.certificate.edge_ratio > 1.0
        # the listed lowest load of every n is the lowest over every m, and no n below the limit is missing
        lowest_of_n = dict(zip(n.tolist(), table.min(axis=0), strict=True))
        listed = {mode.n: mode.line_load for mode in found.lowest_by_n}
        expected = {k: v for k, v in lowest_of_n.items() if v <= SPECTRUM * found.line_load * (1 - 1e-12)}
        assert listed == pytest.approx(expected, rel=1e-12), where


@pytest.mark.parametrize("hydrostatic", [False, True])
def test_external_pressure_by_brute_force(hydrostatic):
    rng = np.random.default_rng(SEED + 1)
    for index in range(20):
        wall, length, _ = random_wall(rng)
        found = external_pressure(wall, 1.0, length, hydrostatic=hydrostatic)
        m = np.arange(1, 2 * found.certificate.m_searched + 10)[:, None]
        n = np.arange(2, 2 * found.certificate.n_searched + 10)
        a2 = (m * math.pi / length) ** 2
        table = line_loads(wall, 1.0, length, m, n) * a2 / (n**2 + (a2 / 2 if hydrostatic else 0))
        assert table.min() == pytest.approx(found.line_load, rel=1e-13), f"wall {index}, seed {SEED + 1}"


def test_no_mode_lies_below_the_bound():
    """N >= D_min (a + b^2/a)^2 under Donnell, the statement that makes the search complete; D_min by brute force."""
    rng = np.random.default_rng(SEED + 2)
    angle = np.linspace(0, np.pi / 2, 2001)
    wave = np.stack([np.cos(angle) ** 2, np.sin(angle) ** 2, 2 * np.cos(angle) * np.sin(angle)])
    for index in range(30):
        wall, length, _ = random_wall(rng)
        bound = Reduced.of(Terms.one(wall)).least
        # steps of 0.05 degrees miss a smooth minimum by about their square
        assert bound == pytest.approx(np.einsum("ia,ij,ja->a", wave, wall.reduced_bending, wave).min(), rel=1e-5)
        a, b = np.arange(1, 60)[:, None] * math.pi / length, np.arange(120)
        ratio = line_loads(wall, 1.0, length, np.arange(1, 60)[:, None], b) / (bound * (a + b**2 / a) ** 2)
        assert ratio.min() >= 1 - 1e-11, f"wall {index}, seed {SEED + 2}"  # rounding


@pytest.mark.parametrize("theory", THEORIES)
def test_near_ties_are_the_other_modes(theory):
    # a plain sheet has many; the lowest mode itself is not one of them
    found = lowest(SmearedWall.of(Skin(1.0, 0.3, 0.002)), 1.0, 1.0, theory=theory)
    listed = [mode.line_load for mode in found.near_ties]
    assert listed == sorted(listed)
    assert found.line_load <= listed[0]
    assert listed[-1] <= NEAR_TIE * found.line_load
    assert (found.m, found.n) not in {(mode.m, mode.n) for mode in found.near_ties}
    assert len(listed) == min(12, found.near_tie_count) == 12


def test_leaving_out():
    # a long tube is a column: n = 1 lies lowest under Sanders when it is not left out
    tube = SmearedWall.of(Skin(70e9, 0.3, 0.01))
    column = lowest(tube, 1.0, 60.0, theory="Sanders", leave_out=())
    assert column.n == 1
    shell = lowest(tube, 1.0, 60.0, theory="Sanders")
    assert shell.line_load > column.line_load
    assert 1 not in {mode.n for mode in shell.lowest_by_n}
    assert shell.certificate.n_left_out == (1,)


# --- refusals ---


@pytest.mark.parametrize("theory", THEORIES)
@pytest.mark.parametrize("block", ["A", "B", "D"])
def test_shear_coupling_is_refused(block, theory):
    # one family at 30 degrees fills the 16 and 26 terms; so does each block of it alone
    skew = SmearedWall.of(GRID.skin, (rib(30, 0.1, 70e9, 0.33, 3e-3, 0.02, 3e-3, 1),))
    blocks = {key: np.diag(np.diag(getattr(skew, key))) if key != "B" else np.zeros((3, 3)) for key in "ABD"}
    blocks[block] = getattr(skew, block)
    with pytest.raises(Refusal, match=r"couples shear with stretching or bending.*orthotropic walls only") as refused:
        lowest(SmearedWall(**blocks), R, L, theory=theory)
    assert refused.value.problems[0].code == "shear-coupling"


def test_a_search_too_large_is_refused():
    # a sheet of R/t 1e6 on 1000 radii: the proof would need more modes than are allowed
    with pytest.raises(Incomplete, match="too many modes"):
        lowest(SmearedWall.of(Skin(70e9, 0.3, 1e-6)), 1.0, 1000.0)
