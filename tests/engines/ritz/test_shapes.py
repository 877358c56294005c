"""Mode shapes, every mode, the harmonics on the path, the prebuckled state at p = 0, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from builders import GRID, STIFFENED, case
from ritz.independent.collocation import Shell
from scipy.linalg import eigh

import shellbuck as sb
from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.engines import closed_form
from shellbuck.engines.eigen import lowest_banded
from shellbuck.engines.ritz import (
    Edges,
    HoopRing,
    RitzBarrel,
    Springs,
    every_mode,
    external_pressure,
    membrane,
    nonlinear,
    spectrum,
)
from shellbuck.engines.ritz.energies import Prestress
from shellbuck.engines.ritz.prebuckling import Prebuckling
from shellbuck.engines.ritz.shapes import _half_waves
from shellbuck.engines.ritz.solve import membrane_spectrum
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

R, L = 1.0, 0.8
PLAIN = SmearedWall.of(Skin(1.0, 0.3, 0.01))
THICK = SmearedWall.of(Skin(1.0, 0.3, 0.02))


def barrel(ends: str = "SS3", theory: str = "Donnell", wall: SmearedWall = PLAIN, length: float = L) -> RitzBarrel:
    return RitzBarrel(wall, R, length, Edges(ends, ends), theory)


def table(wall: SmearedWall, theory: str, m_top: int = 40, n_top: int = 60) -> np.ndarray:
    """Closed-form loads (m, n), n = 0 first."""
    m, n = np.arange(1, m_top + 1)[:, None], np.arange(n_top)
    return closed_form.line_loads(wall, R, L, m, n, theory=theory)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_simply_supported_modes_are_sines(theory):
    """SS3: u = U cos, v = V sin, w = W sin (m pi x/L) exactly, loads of the closed form to 1e-8; the shape to 1e-4 of
    its largest (the residual of the vector is 1e-5, the neighbours are a few per cent away). Half-waves by linear
    interpolation: the share misses 1 by the square of its error, 1e-3. Ties of two m at one n would mix: the twelve
    lowest are told apart by 1e-6."""
    loads = table(PLAIN, theory)
    order = np.argsort(loads, axis=None)[:12]
    found = membrane(barrel(theory=theory), shapes=12).shapes
    assert len(found) == 12
    for shape, flat in zip(found, order, strict=True):
        m, n = np.unravel_index(flat, loads.shape)
        assert (shape.half_waves, shape.n) == (m + 1, n)
        assert shape.line_load == pytest.approx(loads[m, n], rel=1e-8)
        assert 0.999 < shape.half_wave_share <= 1
        x, a = np.array(shape.x), (m + 1) * math.pi / L
        for values, course in ((shape.w, np.sin), (shape.v, np.sin), (shape.u, np.cos)):
            wave = course(a * x)
            if n == 0 and course is np.cos:
                wave = wave - 1  # the barrel shifts along its axis freely, and u(0) = 0 is chosen
            amplitude = (np.array(values) @ wave) / (wave @ wave)
            assert np.array(values) == pytest.approx(amplitude * wave, abs=1e-4 * max(abs(amplitude), 1e-3))
        assert shape.twin_w == ()


def test_half_waves_are_those_of_the_largest_sine_term():
    """w = 2 sin(3 pi x/L) - sin(5 pi x/L) + .5 sin(8 pi x/L): squares 4, 1 and .25 share the integral of w^2, a mean
    over 2049 points that counts both ends: 1/2048; interpolation between 4000 stations is a hundredth of that."""
    s = np.linspace(0, math.pi, 4001)
    w = 2 * np.sin(3 * s) - np.sin(5 * s) + 0.5 * np.sin(8 * s)
    assert _half_waves(0.7 + s, w) == (3, pytest.approx(4 / 5.25, rel=6e-4))
    assert _half_waves(s, 0 * s) == (1, 0.0)


@pytest.mark.parametrize("ends", ["SS1", "SS3", "C4"])
def test_the_largest_deflection_is_one(ends):
    """Scaled at the stations of the record, outward where it is largest; held quantities vanish at the ends."""
    for shape in membrane(barrel(ends), shapes=5).shapes:
        assert max(shape.w) == pytest.approx(1.0, abs=1e-6)
        assert min(shape.w) >= -1 - 1e-6
        assert shape.w[0] == shape.w[-1] == 0
        if ends in ("SS3", "C4"):
            assert shape.v[0] == shape.v[-1] == 0
        assert sum(share for _, share in shape.energy) == pytest.approx(1.0, abs=5e-6)  # each is rounded to 1e-6
        assert (shape.x[0], shape.x[-1]) == (0.0, L)
        assert len(shape.x) == len(shape.u) == len(shape.v) == len(shape.w)


def test_membrane_and_bending_share_the_energy_at_the_minimum():
    """Donnell, isotropic: S = E t a^4/(R^2 (a^2 + b^2)^2) + D (a^2 + b^2)^2; with q = (a^2 + b^2)^2/a^2 the load is
    E t/(R^2 q) + D q, least where both parts are equal. Own check of a textbook result; a mode that lies e above the
    least has parts apart by 2 sqrt(e/2) or so: each is predicted exactly from its m and n, to the six digits kept."""
    for shape in membrane(barrel(), shapes=6).shapes:
        a, b = shape.half_waves * math.pi / L, shape.n / R
        q = (a * a + b * b) ** 2 / a**2
        stretch, bend = 0.01 / (R**2 * q), 1e-6 / (12 * 0.91) * q
        energy = dict(shape.energy)
        assert energy["skin membrane"] == pytest.approx(stretch / (stretch + bend), abs=2e-6)
        assert energy["skin bending"] == pytest.approx(bend / (stretch + bend), abs=2e-6)
        assert energy["skin membrane"] == pytest.approx(0.5, abs=0.1)


def test_shares_name_ribs_rings_springs_and_prestress():
    """What is there is named, and nothing else; a fixed pressure's part is its N_theta b^2 W^2 over all of it (Donnell,
    SS3: S + p R b^2, closed form)."""
    wall = sb.build_wall(case(STIFFENED))
    names = {k for k, _ in membrane(RitzBarrel(wall, 1.5, 2.0, Edges("SS3", "SS3")), shapes=1).shapes[0].energy}
    assert names == {"skin membrane", "skin bending", "ribs"}
    bare = SmearedWall(PLAIN.A, PLAIN.B, PLAIN.D)
    rich = RitzBarrel(
        bare,
        R,
        L,
        Edges("SS3", "SS3", Springs(rotation=1e-5), Springs(u=1e-3)),
        "Sanders",
        rings=(HoopRing(0.3, 1.0, 0.4, 1e-4, 1e-8),),
    )
    energy = dict(membrane(rich, pressure=1e-5, shapes=1, leave_out=(0,)).shapes[0].energy)
    assert set(energy) == {"membrane", "bending", "hoop prestress", "springs", "rings"}
    assert all(share > 0 for share in energy.values())
    pressure = 2e-5
    found = membrane(barrel(), pressure=pressure, shapes=1, leave_out=(0, 1)).shapes[0]
    b2, a2 = (found.n / R) ** 2, (found.half_waves * math.pi / L) ** 2
    S = closed_form.line_loads(PLAIN, R, L, found.half_waves, found.n) * a2
    assert dict(found.energy)["hoop prestress"] == pytest.approx(pressure * R * b2 / (S + pressure * R * b2), abs=2e-6)


def test_a_double_mode_is_turned_to_its_peak():
    """Ribs of one inclination: w = w1 cos n theta + w2 sin n theta, turned so that the largest deflection is w1 = 1."""
    helix = RibFamily("helix", 30.0, 0.1, 1.0, 0.4, 1e-4, 1e-9, 1e-9, 0.01, 0.3)
    (shape,) = membrane(barrel("C4", wall=SmearedWall.of(PLAIN.skin, (helix,))), shapes=1).shapes
    w, twin = np.array(shape.w), np.array(shape.twin_w)
    at = int(np.argmax(np.hypot(w, twin)))
    assert (w[at], twin[at]) == (pytest.approx(1.0, abs=1e-6), pytest.approx(0.0, abs=1e-6))
    assert np.abs(twin).max() > 0.1, "elsewhere it is inclined"


def test_a_harmonic_that_is_not_solved_matters_within_the_band_alone(monkeypatch):
    """The axisymmetric load of SS1 is about twice the lowest (1.00 and .51 of the classical load), that of SS3 lies
    beside it."""

    def failing(K, G, shift, *more, **options):
        if not calls:
            calls.append(shift)
            raise Incomplete.of("search-failed", "n = 0 is not solved", "wall")
        return lowest_banded(K, G, shift, *more, **options)

    calls: list[float] = []
    whole = membrane(barrel("SS1"))
    monkeypatch.setattr(spectrum, "lowest_banded", failing)
    assert membrane(barrel("SS1")).line_load == pytest.approx(whole.line_load, rel=1e-12)
    calls.clear()
    with pytest.raises(Incomplete, match="n = 0 is not solved"):
        membrane(barrel("SS3"))


def test_load_is_the_rayleigh_quotient_of_its_shape():
    """C4, Donnell: strain energy of the record's u, v, w over the work of w', strains written down here. Seven stations
    after one another lie in one piece, and a polynomial of degree 6 goes through them. The quotient is stationary, but
    the record keeps six digits and second differences lose some of them: 1e-3."""
    shell = barrel("C4", "Donnell", THICK)
    shape = membrane(shell, shapes=1).shapes[0]
    x, b = np.array(shape.x), shape.n / R
    s, weights = np.polynomial.legendre.leggauss(12)
    energy = work = 0.0
    for k in range(len(x) // 6):
        here = slice(6 * k, 6 * k + 7)
        middle, half = (x[here][0] + x[here][-1]) / 2, (x[here][-1] - x[here][0]) / 2
        fits = [
            np.polynomial.Polynomial.fit((x[here] - middle) / half, np.array(q)[here], 6, domain=[-1, 1])
            for q in (shape.u, shape.v, shape.w)
        ]
        u, v, w = (f(s) for f in fits)
        u1, v1, w1 = (f.deriv()(s) / half for f in fits)
        w2 = fits[2].deriv(2)(s) / half**2
        strain = np.array([u1, b * v + w / R, v1 - b * u, -w2, b * b * w, 2 * b * w1])
        energy += half * float(np.einsum("ip,ij,jp,p->", strain, shell.wall.matrix, strain, weights))
        work += half * float(w1**2 @ weights)
    assert energy / work == pytest.approx(shape.line_load, rel=1e-3)


@pytest.mark.parametrize(("wall", "ends"), [("plain", "SS3"), ("plain", "C3"), ("grid", "SS3")])
def test_every_mode_is_every_mode(wall, ends):
    """As many as promised, all below 1.2 times the lowest, as many as membrane counts; the lowest are those of
    membrane(shapes); for SS3 they are the closed form's table, each to 1e-7, with its m."""
    if wall == "plain":
        shell = barrel(ends)
    else:
        shell = RitzBarrel(sb.build_wall(case(GRID)), 1.5, 1.0, Edges(ends, ends), "Donnell")
    count, modes = every_mode(shell)
    modes = sorted(modes, key=lambda shape: shape.line_load)
    found = membrane(shell, shapes=8)
    assert len(modes) == count == found.near_tie_count + 1
    assert modes[-1].line_load <= 1.2 * found.line_load * (1 + 1e-9)
    few = min(8, count)
    assert [s.line_load for s in modes[:few]] == pytest.approx([s.line_load for s in found.shapes], rel=1e-8)
    if ends == "SS3":
        m, n = np.arange(1, 80)[:, None], np.arange(80)
        loads = closed_form.line_loads(shell.wall, shell.R, shell.L, m, n)
        exact = np.sort(loads, axis=None)[:count]
        assert [s.line_load for s in modes] == pytest.approx(exact.tolist(), rel=1e-7)


def test_lowest_modes_are_complete_against_dense_solutions():
    """A small barrel, every harmonic solved densely: the lowest of all, in order, 1e-8; never fewer than asked for
    while the band holds them."""
    shell = barrel("SS1", "Sanders", THICK, 0.4)
    found = membrane_spectrum(shell)
    ring, waves = shell.operators(Prestress.membrane(0.0))
    every = []
    for n in range(found.top + 1):
        ops = waves if n else ring
        K, G = ops.K(n).toarray(), ops.G(n).toarray()
        scale = 1 / np.sqrt(np.diag(K))
        inverse = eigh(G * np.outer(scale, scale), K * np.outer(scale, scale), eigvals_only=True)
        every += [1 / v for v in inverse if v > 0]
    every.sort()
    within = [v for v in every if v <= 1.2 * every[0]]
    for want in (1, 2, 7, 25, 10000):
        got = [value for value, _, _ in found.lowest_modes(want)]
        assert len(got) == min(want, len(within))
        assert got == pytest.approx(within[: len(got)], rel=1e-8)


# the path


def first_loss(shell: Shell, n: int, end: float) -> float:
    """First load below `end` at which the second route finds harmonic n unstable; steps of a fiftieth from .6 on,
    bisected."""
    low = 0.0
    for high in np.linspace(0, end, 51)[30:]:
        if shell.lost_bent([n], high)[0]:
            break
        low = high
    else:
        return math.inf
    while high - low > 1e-8 * high:
        middle = (low + high) / 2
        low, high = (low, middle) if shell.lost_bent([n], middle)[0] else (middle, high)
    return high


@pytest.mark.parametrize(
    ("ends", "harmonics"),
    [
        ("SS3", (8,)),
        pytest.param("SS3", (3, 4, 5, 7, 9), marks=pytest.mark.slow),
        pytest.param("C4", (4, 5, 7, 8, 9, 10), marks=pytest.mark.slow),
    ],
)
def test_harmonics_on_the_path_equal_the_second_route(ends, harmonics):
    """First loss of single harmonics by collocation (`independent/` here), up to .95 of the path's end. They are
    linearised inside a 64th of what is left to the end, where the state is still nearly linear in the load: the square
    of that step, 2e-5, and 3e-5 asked for. The lowest is polished: 1e-7."""
    shell = barrel(ends, "Sanders", THICK, 0.9)
    second = Shell(THICK.A, THICK.B, THICK.D, R, 0.9, ends, ends, True)
    end = second.lowest([0])[0]
    found = nonlinear(shell)
    by_n = {mode.n: mode.line_load for mode in found.lowest_by_n}
    if len(harmonics) > 1:
        assert found.line_load == pytest.approx(first_loss(second, found.n, end), rel=1e-7)
    assert found.line_load == min(by_n.values())
    for n in harmonics:
        assert by_n[n] < 0.95 * end
        assert by_n[n] == pytest.approx(first_loss(second, n, end), rel=3e-5), n


def test_harmonics_near_the_end_of_the_path():
    """There the state grows without bound and a linearised loss is worth its step only, a 64th of .18 of the load:
    3e-3. Stable that far below it and unstable that far above, by the engine's own tangent (C4: all that lie beyond
    .9; the slope ends the path at .986)."""
    shell = barrel("C4", "Sanders", THICK, 0.9)
    path, end = Prebuckling(shell), membrane(shell, leave_out=tuple(range(1, 200))).line_load
    late = {mode.n: mode.line_load for mode in nonlinear(shell).lowest_by_n if mode.line_load > 0.9 * end}
    assert len(late) >= 3
    for n, load in late.items():
        for factor, stable in ((1 - 3e-3, True), (1 + 3e-3, False)):
            N = load * factor
            assert shell.operators(path.state(N))[1].stable(n, N) == stable, n


@pytest.mark.parametrize(("ends", "second"), [("SS3", 2), ("C4", 1)])
@pytest.mark.parametrize("share", [0.2, 0.8])
def test_edge_bending_decays_as_in_the_half_infinite_tube(ends, second, share):
    """p = 0, isotropic: w0 = w_m + exp(-a x) (A cos b x + B sin b x), w_m = nu N R/(E t), a^2, b^2 = sqrt(k/4D) -+
    N/4D, k = E t/R^2; w0 = 0 and w0'' = 0 or w0' = 0 at the end (the textbook's beam on an elastic foundation with an
    axial force, derived here). The far end's layer has fallen to exp(-a L) = 1e-7 or less; 1e-5 of w_m for the trial
    space."""
    t = 0.005
    D, k = t**3 / (12 * 0.91), t / R**2
    N = share * 2 * math.sqrt(k * D)
    a, b = math.sqrt(math.sqrt(k / 4 / D) - N / 4 / D), math.sqrt(math.sqrt(k / 4 / D) + N / 4 / D)
    middle = 0.3 * N / (t / R)
    A = -middle
    # w'' = 0: (a^2 - b^2) A - 2 a b B = 0; w' = 0: -a A + b B = 0
    B = A * (a * a - b * b) / (2 * a * b) if second == 2 else A * a / b
    shell = RitzBarrel(SmearedWall.of(Skin(1.0, 0.3, t)), R, 36 / a, Edges(ends, ends), "Donnell", piece=1.6)
    state = Prebuckling(shell).shape(N)
    x, w = shell.pieces.stations.ravel(), state.deflection.ravel()
    near = x < 18 / a
    expected = middle + np.exp(-a * x) * (A * np.cos(b * x) + B * np.sin(b * x))
    assert w[near] == pytest.approx(expected[near], abs=1e-5 * middle)
    hoop = -0.3 * N + k * R * expected
    assert state.prestress.N_theta.ravel()[near] == pytest.approx(hoop[near], abs=1e-5 * 0.3 * N)


def test_record_of_the_path_holds_its_state_and_mode():
    """Deflection at mid-length is nu N R/(E t) to what is left of the two layers there (at .84 of the classical load
    their rate is .28 of that without load, so a fifth is asked for); symmetric about the middle. N_theta = -nu N + E t
    w/R at every station, to the digits of the record; near -nu N at the first station, a hundredth of a layer from the
    end."""
    found = nonlinear(barrel("SS3", "Donnell", PLAIN, 1.2), each_harmonic=False)
    state, N = found.prebuckled, found.line_load
    w, hoop = np.array(state.deflection), np.array(state.hoop_force)
    assert w[len(w) // 2] == pytest.approx(0.3 * N / 0.01, rel=0.2)
    assert w == pytest.approx(w[::-1], abs=2e-6 * w.max())
    assert hoop[0] == pytest.approx(-0.3 * N, rel=0.1)
    assert hoop == pytest.approx(-0.3 * N + 0.01 * w, abs=1e-5 * 0.3 * N)
    shape = found.shapes[0]
    assert (shape.n, shape.line_load) == (found.n, N)
    assert max(abs(v) for v in shape.w) == pytest.approx(1.0, abs=1e-6)
    assert sum(share for _, share in shape.energy) == pytest.approx(1.0, abs=5e-6)


# refusals


@pytest.mark.parametrize("limit", [-1.0, -1e-12])
def test_march_needs_a_compression(limit):
    with pytest.raises(Refusal, match="the march needs a compression to go up to"):
        nonlinear(barrel(), limit=limit)


def test_march_below_the_first_loss_finds_nothing_and_says_how_far():
    first = nonlinear(barrel(), each_harmonic=False).line_load
    below = nonlinear(barrel(), limit=0.98 * first)
    assert (below.path.status, below.path.ended_by, below.n) == ("no bifurcation", "load asked for", None)
    assert below.line_load == below.path.followed_to == 0.98 * first
    assert "nothing lost up to" in below.name
    assert nonlinear(barrel(), limit=1.02 * first).line_load == pytest.approx(first, rel=1e-7)


@pytest.mark.parametrize("piece", [1e-6, 1e-3])
def test_absurd_resolution_is_refused(piece):
    with pytest.raises(Refusal, match="too long for its boundary layers"):
        RitzBarrel(PLAIN, R, L, Edges("SS3", "SS3"), piece=piece)


@pytest.mark.parametrize("change", [(0, 0, -1.0), (2, 2, 0.0), (0, 1, 2.0)])
def test_stiffness_that_is_none_is_refused(change):
    """A negative or missing direct term, and A12 twice the root of A11 A22."""
    i, j, factor = change
    A = np.array(PLAIN.A)
    A[i, j] = A[j, i] = factor * math.sqrt(A[i, i] * A[j, j])
    with pytest.raises(Refusal, match="the 6x6 stiffness is not positive definite"):
        RitzBarrel(SmearedWall(A, PLAIN.B, PLAIN.D), R, L, Edges("SS3", "SS3"))


def test_shapes_of_external_pressure():
    """One half-wave along the axis, the harmonic of the load."""
    found = external_pressure(barrel(), shapes=2)
    assert [s.half_waves for s in found.shapes] == [1, 1]
    assert found.shapes[0].n == found.n
