"""Many designs at once against the single search, and the bound of Sanders' loads that prunes it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shellbuck.core.errors import Refusal
from shellbuck.engines.closed_form import Terms, batch, batch_tables, line_loads, lowest, lowest_loads, provable
from shellbuck.engines.closed_form.batch_tables import Designs, axisymmetric
from shellbuck.engines.closed_form.batch_terms import Gap, donnell_row, sanders_row
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

SEED = 20261125
PATTERNS = ((), ((0.0,),), ((90.0,),), ((0.0,), (90.0,)), ((90.0,), (30.0, -30.0)), ((0.0,), (60.0, -60.0)))
"""Rib families by angle; inclined ribs come in mirror images, so that nothing couples with shear."""


def random_wall(rng: np.random.Generator, deepest: float = 1.2) -> SmearedWall:
    """A wall of any pattern on R = 1, ribs inside or outside, from shallow to deep (10^deepest skins)."""
    t, nu = 10 ** rng.uniform(-3.2, -2.0), rng.uniform(0.0, 0.45)
    ribs = []
    for angles in PATTERNS[rng.integers(len(PATTERNS))]:
        d, b, s = t * 10 ** rng.uniform(0.0, deepest), t * rng.uniform(0.3, 3), t * rng.uniform(15, 60)
        section = b * d, b * d**3 / 12, d * b**3 / 3, rng.choice([-1, 1]) * (d + t) / 2, 0.3
        ribs += [RibFamily(f"{angle:g}", angle, s, 1.0, 0.38, *section) for angle in angles]
    return SmearedWall.of(Skin(1.0, nu, t), tuple(ribs))


def designs(count: int, seed: int, **more):
    """Walls, their terms, lengths and hoop tensions, half of them without."""
    rng = np.random.default_rng(seed)
    walls = [random_wall(rng, **more) for _ in range(count)]
    length = 10 ** rng.uniform(-0.8, 0.7, count)
    tension = np.array([w.skin.t for w in walls]) * rng.uniform(0, 4e-3, count) * rng.integers(0, 2, count)
    terms = Terms.of(*(np.stack([getattr(w, key) for w in walls]) for key in "ABD"))
    return walls, terms, length, tension


def test_the_minimum_of_the_single_search():
    walls, terms, length, tension = designs(70, SEED)
    found = lowest_loads(terms, 1.0, length, tension)
    assert provable(terms, np.ones(70), length, tension).mean() > 0.9
    for theory, got in (("Donnell", found.donnell), ("Sanders", found.sanders)):
        for i, wall in enumerate(walls):
            single = lowest(wall, 1.0, length[i], N_theta=tension[i], theory=theory)
            # two forms of the same 3x3, each good to some 1e-14 (see batch_terms); modes may tie to rounding
            assert got.line_load[i] == pytest.approx(single.line_load, rel=1e-12), f"wall {i}, seed {SEED}, {theory}"
            own = line_loads(wall, 1.0, length[i], got.m[i], got.n[i], N_theta=tension[i], theory=theory)
            assert float(own) == pytest.approx(single.line_load, rel=1e-12)
    assert np.array_equal(found.lower, np.minimum(found.donnell.line_load, found.sanders.line_load))
    assert set(found.reasons) == {""}
    alone = lowest_loads(terms, 1.0, length, tension, theories=("Donnell",))
    assert alone.sanders is None
    # another starting bound, another table: the sums may round differently
    assert alone.lower == pytest.approx(found.donnell.line_load, rel=1e-14)


def test_polynomials_are_the_donnell_loads_of_one_mode():
    walls, terms, length, tension = designs(60, SEED + 1, deepest=1.5)
    rng = np.random.default_rng(SEED)
    whole = Designs.of(terms, np.ones(60), length, tension)
    for i, wall in enumerate(walls):
        m, n = rng.integers(1, 60, 200), rng.integers(0, 60, 200)
        expected = line_loads(wall, 1.0, length[i], m, n, N_theta=tension[i])
        c = donnell_row(whole.take(np.full(200, i)).forms, m.astype(float))
        P, Q, G = ((c[k : k + 3] * np.stack([np.ones(200), n**2.0, n**4.0])).sum(axis=0) for k in (0, 3, 6))
        assert pytest.approx(expected, rel=1e-11) == P + Q**2 / G, f"wall {i}"


def test_no_sanders_load_lies_below_its_bound():
    """The statement that prunes: a mode whose table entry is beyond the threshold of U has a Sanders load above U."""
    walls, terms, length, tension = designs(120, SEED + 2, deepest=1.7)
    rng = np.random.default_rng(SEED)
    tension = tension * 10 ** rng.uniform(0, 2.5, 120)  # far beyond any metal, to try the pressure terms too
    whole = Designs.of(terms, np.ones(120), length, tension)
    closest = np.inf
    for i, wall in enumerate(walls):
        m, n = rng.integers(1, 60, 300), rng.integers(2, 60, 300)
        sanders = line_loads(wall, 1.0, length[i], m, n, N_theta=tension[i], theory="Sanders")
        one = whole.take(np.full(300, i))
        c = sanders_row(one.forms, m.astype(float))
        powers = np.stack([np.ones(300), n**2.0, n**4.0])
        P, Q, G, P_low, Q_low = ((c[k : k + 3] * powers).sum(axis=0) for k in (0, 3, 6, 9, 12))
        many = n >= m * math.pi / length[i]
        entry = np.where(many, (P_low + Q_low**2 / G) / (1 + 1 / n**2), P + Q**2 / G)
        threshold = np.where(many, one.gap.many_below(sanders, n), one.gap.few_below(sanders))
        # at U = its own load no mode may be thrown out; 1e-9 is rounding
        assert np.all(entry <= threshold * (1 + 1e-9)), f"wall {i}"
        closest = min(closest, float(np.min(threshold / entry)))
    assert closest < 1.01, "the bound is sharp somewhere, else it would prune nothing"


@pytest.mark.parametrize(
    ("stiff", "A66", "many", "few"),
    [
        ("D22", 1.0, lambda e, _g, _s: e, lambda e, g, s: s * g - s * s * e),
        ("D66", 1 / 16, lambda e, g, s: 2 * s * e - g / 2, None),
        ("D66", 9 / 16, None, lambda e, g, s: 1.5 * g - 2 * s * e),
    ],
)
def test_curvatures_of_membrane_strains_are_bounded_sharply(stiff, A66, many, few):
    """What Sanders' curvatures k R take from a direct strain e and a shear g, each of which alone uses up an energy of
    one: with A11 = A22 = 1 |e| <= 1 and |g| <= A66^-1/2. The largest k^2 over every share s and sign is the bound where
    both parts of k are alike, as (x + y)^2 <= 2 x^2 + 2 y^2 is an equation there; one bending stiffness at a time."""
    one, none = np.array([1.0]), np.array([0.0])
    D = {name: np.array([1.0 if name == stiff else 1e-14]) for name in ("D11", "D22", "D66")}
    membrane = dict(A11=one, A12=none, A22=one, A66=np.array([A66]))
    gap = Gap.of(Terms(**membrane, B11=none, B12=none, B22=none, B66=none, D12=none, **D), one, none)
    e, g, s = np.meshgrid([-1.0, 1.0], [-(A66**-0.5), A66**-0.5], np.linspace(0, 1, 101))
    for form, bound in ((many, gap.many), (few, gap.few)):
        if form is not None:
            assert (math.sqrt(bound[0]) - 1) ** 2 == pytest.approx(np.max(form(e, g, s) ** 2), rel=1e-6)


def wall_of(terms) -> SmearedWall:
    """A wall of given stiffness, orthotropic about axis and hoop."""
    blocks = ([[a, b, 0], [b, c, 0], [0, 0, d]] for a, b, c, d in np.reshape(terms, (3, 4)))
    return SmearedWall(*(np.array(block, float) for block in blocks))


TWIST = (
    ((0.885, 0.385, 0.959, 6.3, -2.73e-5, 0, 0, 0, 5.45e-9, 3.37e-9, 5.13e-9, 3.83e-6), 72.8),
    ((0.383, 0.508, 23.2, 0.537, 0, 0, 0, 0, 8.99e-6, 9.86e-7, 1.25e-6, 2.64e-3), 62.1),
    ((1.33, 0.413, 1.59, 0.553, -2.14e-3, 0, -1.71e-3, 0, 5.6e-5, -1.5e-5, 1.86e-5, 1.37e-3), 18.0),
)
"""Lowest Sanders modes of n = 2, far from Donnell's: twist is most of their load, phi = 3/4 changes it most; a bound
without that change would exclude them."""
LONG_ROWS = (
    ((1, 0, 0.24835, 0.24835, -0.259956, 7.90027e-4, 0, 0, 0.0679542, -2.05373e-4, 6.50099e-7, 2.59575e-11), 13.9789),
    (
        (1, 0, 0.0986865, 0.0986865, -0.263058, 9.19592e-4, 0, 0, 0.0695083, -2.41906e-4, 8.74031e-7, 2.83807e-11),
        13.3313,
    ),
)
"""Sanders (2, 2) below Donnell (1, 3): eccentricity leaves both without membrane energy, so (2, 2) is bending along the
axis alone, and only 1 + 1/n^2 = 1.25 keeps its m within the range that is searched."""


@pytest.mark.parametrize(("terms", "length"), TWIST + LONG_ROWS)
def test_modes_of_few_waves_are_not_thrown_out(terms, length):
    """Given stiffness, A11, A12, A22, A66 [N/m], B [N], D [N m] on R = 1, where the bounds are sharp: the minimum is
    that of the single search, which has none of them."""
    found = lowest_loads(Terms(*(np.array([float(v)]) for v in terms)), 1.0, length)
    single = lowest(wall_of(terms), 1.0, length, theory="Sanders")
    assert (int(found.sanders.m[0]), int(found.sanders.n[0])) == (single.m, single.n) == (single.m, 2)
    assert found.sanders.line_load[0] == pytest.approx(single.line_load, rel=1e-11)


def test_the_lowest_axisymmetric_mode():
    walls, terms, length, tension = designs(60, SEED + 3)
    load, m, n = axisymmetric(Designs.of(terms, np.ones(60), length, tension))
    for i, wall in enumerate(walls):
        every = line_loads(wall, 1.0, length[i], np.arange(1, 400), 0)
        assert load[i] == pytest.approx(every.min(), rel=1e-12)
        assert (m[i], n[i]) == (np.argmin(every) + 1, 0)


def test_order_and_chunks_do_not_matter(monkeypatch):
    _, terms, length, tension = designs(60, SEED + 4)
    found = lowest_loads(terms, 1.0, length, tension)
    turn = np.random.default_rng(SEED).permutation(60)
    monkeypatch.setattr(batch, "_DESIGNS", 7)
    monkeypatch.setattr(batch_tables, "_ROWS", 5)
    monkeypatch.setattr(batch_tables, "_CELLS", 40)
    again = lowest_loads(Terms(*(x[turn] for x in terms)), 1.0, length[turn], tension[turn])
    # the same modes, summed by other matrix products
    assert again.donnell.line_load == pytest.approx(found.donnell.line_load[turn], rel=1e-14)
    assert again.sanders.line_load == pytest.approx(found.sanders.line_load[turn], rel=1e-14)


def test_designs_without_a_bound_take_the_single_search():
    """Panels so short that the strain at buckling is of order 1, among ordinary ones."""
    walls, terms, length, tension = designs(24, SEED + 5)
    length[::3] = 0.003
    where = provable(terms, np.ones(24), length, tension)
    assert not where[::3].all()
    assert where[1::3].any()
    found = lowest_loads(terms, 1.0, length, tension)
    for i, wall in enumerate(walls):
        for theory, got in (("Donnell", found.donnell), ("Sanders", found.sanders)):
            single = lowest(wall, 1.0, length[i], N_theta=tension[i], theory=theory)
            # crowded loads near 4 A66 keep fewer digits
            assert got.line_load[i] == pytest.approx(single.line_load, rel=1e-9), f"wall {i}, {theory}"


def test_where_the_bound_of_a_thick_tube_ends_by_hand():
    """Plain, nu = .3, three axisymmetric half-waves at their best length, loads over E t with r = R/t: s = .605/r is
    proved where modes beyond 2.5 (1.25)^2 s, of n = b R = a R/2 waves and more there, stay above it. Their hoop
    curvature and twist are 1 - 1/n^2 of Donnell's and their b^2 is taken as much smaller: three such factors.
    epsilon^2 = (1 + 8 (.35) + .35 (2.6)/2)/(10.92 r^2), mu^2 = 1 + 2.6/4; see `batch_terms`."""
    r = np.linspace(2.3, 4.0, 171)
    s = 1 / (r * math.sqrt(3 * 0.91))
    beyond = 2.5 * 1.25**2 * s
    n = r / 2 * np.sqrt(10.92 * beyond)
    c = np.sqrt(1.65 * s / (n**2 + 1))
    z = np.sqrt(c**2 + 1 - 1.65 * s) - c
    above = (1 + np.sqrt(4.255 / 10.92) / r) ** 2 * s / z**2 * (1 + 1 / n**2)
    proved = above < (1 - 1 / n**2) ** 3 * beyond
    assert 0.2 < proved.mean() < 0.8
    walls = [SmearedWall.of(Skin(1.0, 0.3, 1 / one)) for one in r]
    terms = Terms.of(*(np.stack([getattr(wall, key) for wall in walls]) for key in "ABD"))
    length = 3 * math.pi / (10.92**0.25 * np.sqrt(r))
    assert np.array_equal(provable(terms, np.ones(r.size), length, np.zeros(r.size)), proved)


def test_a_search_that_cannot_be_proved_says_so():
    wall = SmearedWall.of(Skin(1.0, 0.3, 1e-5))
    terms = Terms.of(*(np.stack([getattr(w, k) for w in (wall, SmearedWall.of(Skin(1.0, 0.3, 1e-3)))]) for k in "ABD"))
    found = lowest_loads(terms, 1.0, np.array([1000.0, 1.0]))
    assert list(found.reasons) == ["search-too-large", ""]
    assert np.isnan(found.lower[0])
    assert found.lower[1] > 0


def test_coupled_walls_are_refused():
    wall = SmearedWall.of(Skin(1.0, 0.3, 0.01), (RibFamily("r", 30.0, 0.1, 1.0, 0.4, 1e-4, 1e-9, 1e-9, 0.01, 0.3),))
    with pytest.raises(Refusal, match="couples shear"):
        Terms.of(wall.A, wall.B, wall.D)
