"""Axial line loads that vary around: bending, turned and mirrored loads, bounds, a second route for the coupling."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigh

from shellbuck.core.errors import Refusal
from shellbuck.engines import closed_form
from shellbuck.engines.ritz import Edges, RitzBarrel, membrane, pure_bending
from shellbuck.engines.ritz.bending import around
from shellbuck.model.walls import Skin, SmearedWall

R, L = 1.0, 0.8


def barrel(ratio: float = 40.0, ends: str = "SS3", theory: str = "Sanders") -> RitzBarrel:
    return RitzBarrel(SmearedWall.of(Skin(1.0, 0.3, R / ratio)), R, L, Edges(ends, ends), theory)


@pytest.mark.parametrize(("share", "theory"), [(0.0, "Donnell"), (0.7, "Sanders")])
def test_first_cosine_is_pure_bending(share, theory):
    """The same course by its other name, in any unit: rounding, 1e-10."""
    shell = barrel(theory=theory)
    bending = pure_bending(shell, axial_share=share)
    for unit in (1.0, 3e4):
        found = around(shell, (share * unit, unit))
        assert found.line_load == pytest.approx(bending.line_load, rel=1e-10)
        assert found.n == bending.n


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("course", [(1.0,), (2.5, 0.0), (1.0, 0.0, 0.0)])
def test_mean_alone_is_the_uniform_load(course, theory):
    """No harmonic is coupled: the membrane load over every n, converged to 1e-8. Zero terms change nothing."""
    shell = barrel(theory=theory)
    uniform = membrane(shell)
    found = around(shell, course)
    assert (found.n, found.line_load) == (uniform.n, pytest.approx(uniform.line_load, rel=1e-8))


@pytest.mark.parametrize("course", [(1.0, 0.5, 0.4), (0.1, 0.0, 1.0, -0.6)])
def test_no_course_carries_less_at_its_peak_than_the_same_all_around(course):
    """What a case that names a table of line loads rests on: N(theta) <= peak makes no work greater."""
    shell = barrel(theory="Sanders")
    assert around(shell, course).line_load >= membrane(shell).line_load * (1 - 1e-8)


def turned(cosines: list[float], sines: list[float], angle: float) -> tuple[list[float], list[float]]:
    """The course N(theta - angle)."""
    d = [0.0, *sines, *[0.0] * (len(cosines) - 1 - len(sines))]
    pairs = [
        (a * math.cos(k * angle) - b * math.sin(k * angle), a * math.sin(k * angle) + b * math.cos(k * angle))
        for k, (a, b) in enumerate(zip(cosines, d, strict=True))
    ]
    return [p[0] for p in pairs], [p[1] for p in pairs[1:]]


@pytest.mark.parametrize(
    ("cosines", "theory", "angle"),
    [
        ([0.2, 1.0], "Donnell", -2.0),
        ([0.0, 1.0], "Sanders", 0.7),
        pytest.param([0.3, 0.5, 0.6], "Sanders", -2.0, marks=pytest.mark.slow),
        pytest.param([0.3, 0.5, 0.6], "Sanders", math.pi / 2, marks=pytest.mark.slow),
    ],
)
def test_turned_course_keeps_its_load(cosines, theory, angle):
    """The barrel is round. The peak is read off a grid of pi/1440: (k pi/2880)^2/2 is 2.4e-6 for k = 2; the load of the
    tail cut off is below that. 5e-6."""
    shell = barrel(theory=theory)
    found = around(shell, *turned(cosines, [], angle))
    assert found.line_load == pytest.approx(around(shell, cosines).line_load, rel=5e-6)


def test_mirrored_course_keeps_its_load():
    """theta -> -theta turns every sine about: 5e-6 as above (the two peaks are the same grid points mirrored)."""
    one, other = (around(barrel(theory="Donnell"), (0.2, 0.8), (0.0, s)).line_load for s in (0.5, -0.5))
    assert one == pytest.approx(other, rel=1e-8)


@pytest.mark.parametrize(
    ("cosines", "theory"),
    [((0.5, 1.0), "Donnell"), ((0.0, 0.0, 1.0), "Sanders"), ((1.0, 0.0, 0.3), "Donnell"), ((0.0, 0.5, 0.5), "Donnell")],
)
def test_peak_lies_between_the_uniform_peak_and_the_uniform_mean(cosines, theory):
    """Lower bound: N(theta) <= its peak, so the peak at bifurcation is at least the uniform load. Upper bound: the
    lowest uniform mode tried in the varying load does the work of the mean and, unless n is 1, nothing more with the
    cosine terms 1 and 2: the mean at bifurcation is at most the uniform load."""
    shell = barrel(theory=theory)
    uniform, found = membrane(shell), around(shell, cosines)
    assert found.line_load >= uniform.line_load * (1 - 1e-8)
    assert uniform.n != 1
    peak = max(sum(a * math.cos(k * x) for k, a in enumerate(cosines)) for x in np.linspace(0, 2 * math.pi, 100001))
    assert found.line_load * cosines[0] / peak <= uniform.line_load * (1 + 1e-8)


def test_axial_term_of_twice_the_mode_picks_its_phase():
    """N = cos 2 k theta with small k-th share joins only harmonics that differ by or add up to 2k: for a share s beside
    the mean, the mode cos k theta does the work (1 + s/2) and sin k theta (1 - s/2), so k's own load falls to
    1/(1 + s/2) at first order. Second order in s = .02 times the nearness of neighbours, and Sanders' rotation about
    the normal, which goes with the other phase: 2e-3."""
    shell = barrel()
    uniform = membrane(shell)
    s, k = 0.02, uniform.n
    found = around(shell, (1.0, *[0.0] * (2 * k - 1), s))
    assert found.line_load / (1 + s) < uniform.line_load
    assert found.line_load / (1 + s) == pytest.approx(uniform.line_load / (1 + s / 2), rel=2e-3)


@pytest.mark.parametrize(
    ("cosines", "sines"),
    [
        ((0.1, 0.8, 0.5), ()),
        ((0.1, 0.8, 0.5), (0.4, 0.3)),
        ((0.0, 1.0), ()),
        ((0.0, 1.0), (0.4, 0.3)),
        pytest.param((*[0.0] * 8, 1.0), (), id="cos 8 theta, which joins n = 8 to 16 alone in the sines"),
    ],
)
def test_donnell_equals_the_coupled_closed_form(cosines, sines):
    """SS3, Donnell: the sine modes of one m stay together, because cos(k theta) touches theta alone. Unknowns are the
    amplitudes of w in cos n theta and sin n theta with S(m, n) of the closed form on the diagonal; the works are means
    of N(theta) times two of them, here by quadrature around. Own; the engine's tail share of 1e-6 in w^2 and the grid
    of the peak leave 3e-6."""
    shell = barrel(theory="Donnell")
    top, points = 40, 512
    theta = 2 * np.pi * np.arange(points) / points
    course = (
        sum(a * np.cos(k * theta) for k, a in enumerate(cosines))
        + sum(d * np.sin(k * theta) for k, d in enumerate(sines, 1))
        + 0 * theta
    )
    fine = np.linspace(0, 2 * np.pi, 200001)
    peak = max(
        sum(a * np.cos(k * fine) for k, a in enumerate(cosines))
        + sum(d * np.sin(k * fine) for k, d in enumerate(sines, 1))
    )
    n = np.array([*range(top), *range(1, top)])
    shapes = np.array([*[np.cos(k * theta) for k in range(top)], *[np.sin(k * theta) for k in range(1, top)]])
    least = math.inf
    for m in range(1, 12):
        S = closed_form.line_loads(shell.wall, R, L, m, n) * np.where(n == 0, 1.0, 0.5)
        work = shapes * course @ shapes.T / points
        least = min(least, 1 / eigh(work, np.diag(S), eigvals_only=True)[-1])
    assert around(shell, cosines, sines).line_load == pytest.approx(least * peak, rel=3e-6)


def test_pressure_helps():
    loads = [around(barrel(), (0.2, 1.0), pressure=p).line_load for p in (0.0, 1e-5, 1e-4)]
    assert loads == sorted(loads)
    assert loads[-1] > loads[0]


@pytest.mark.parametrize(("cosines", "sines"), [((-1.0,), ()), ((-2.0, 1.0), (0.5,)), ((0.0, 0.0), ())])
def test_tension_all_around_is_refused(cosines, sines):
    with pytest.raises(Refusal, match="compresses nowhere around"):
        around(barrel(), cosines, sines)


def test_sines_alone_are_a_course_too():
    """No mean and no cosine: bending about the other axis, 5e-6 as for a turned course."""
    shell = barrel()
    assert around(shell, (), (1.0,)).line_load == pytest.approx(pure_bending(shell).line_load, rel=5e-6)
