"""Where the nonlinear path ends: late losses, axisymmetric bifurcations, limit loads, slopes, external pressure."""

from __future__ import annotations

import math

import numpy as np
import pytest
from ritz.independent.collocation import Shell

from shellbuck.core.errors import Refusal
from shellbuck.engines.ritz import Edges, Mix, RitzBarrel, membrane, nonlinear, proportional, pure_bending, torsion
from shellbuck.engines.ritz.ends import HOOP_STRAIN_MOST, SLOPE_MOST
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

E, NU = 1.0, 0.3


def ringed(t: float, share: float, depths: float, R: float = 1.0, nu: float = NU, side: int = 1) -> SmearedWall:
    """Rings .03 R apart of `share` times the skin's area and `depths` skin thicknesses deep, J = 0."""
    area, d = share * 0.03 * R * t, depths * t
    z, G = side * (d + t) / 2, E / 2 / (1 + nu)
    rings = RibFamily("rings", 90.0, 0.03 * R, E, G, area, area * d * d / 12, 0.0, z, nu)
    return SmearedWall.of(Skin(E, nu, t), (rings,))


@pytest.mark.parametrize(
    ("t", "L", "share", "depths", "ends", "late"),
    [
        (0.003, 1.0, 0.5, 6, "C4", 0.9975),
        (0.001, 0.5, 0.5, 6, "C4", 0.9963),
        (0.005, 0.6, 0.5, 12, "SS3", 0.9832),
        pytest.param(0.001, 1.0, 1, 6, "C4", 0.99933, marks=pytest.mark.slow),
    ],
)
def test_ringed_walls_are_lost_late(t, L, share, depths, ends, late):
    """Rings carry the hoop compression of inward waves, so the loss comes just below the limit load: where, by the
    second route (collocation, `independent/` here): stable 1e-5 below, unstable 1e-5 above. `late` is the share of
    the limit load, measured with that route, to its digits. A march that stops at .995 of the limit misses most."""
    wall = ringed(t, share, depths)
    found = nonlinear(RitzBarrel(wall, 1.0, L, Edges(ends, ends), "Sanders"), each_harmonic=False)
    second = Shell(wall.A, wall.B, wall.D, 1.0, L, ends, ends, True)
    among = np.arange(1, 2 * found.n + 6)
    assert second.lost_bent(among, found.line_load * (1 - 1e-5)).sum() == 0
    assert second.lost_bent(np.array([found.n]), found.line_load * (1 + 1e-5))[0] > 0
    assert found.path.status == found.path.ended_by == "bifurcation"
    assert found.path.followed_to == found.line_load
    assert found.line_load / found.path.limit_load == pytest.approx(late, abs=5e-5)


def short_with_two_half_waves() -> tuple[SmearedWall, float, float, float, float]:
    """A ringed wall, concentric, SS3, as long as two half-waves of its axisymmetric mode: D, k, L and the wall.

    N_m = D a^2 + k/a^2 with a = m pi/L and k = (A22 - A12^2/A11)/R^2, D = D11: from the skin E t^3/(12 (1 - nu^2)) and
    E t (1 + share)/R^2 (rings at mid-wall, by hand). Their inertia is so large that no wave around costs less."""
    t, share = 0.004, 4.0
    area = share * 0.03 * t
    rings = RibFamily("rings", 90.0, 0.03, E, E / 2.6, area, area, 0.0, 0.0, NU)
    D, k = E * t**3 / (12 * (1 - NU**2)), E * t * (1 + share)
    return SmearedWall.of(Skin(E, NU, t), (rings,)), D, k, 2 * math.pi * (D / k) ** 0.25, t


def test_axisymmetric_mode_without_share_in_the_path_is_a_bifurcation():
    """The state is even about mid-length, two half-waves are odd: the path goes through N_2 = 2 sqrt(D k), which is a
    bifurcation with n = 0, towards the limit load N_3 = (9/4 + 4/9) sqrt(D k), that of three half-waves (one: 17/4).
    1e-7 for the trial functions."""
    wall, D, k, L, _ = short_with_two_half_waves()
    found = nonlinear(RitzBarrel(wall, 1.0, L, Edges("SS3", "SS3"), "Donnell"))
    root = math.sqrt(D * k)
    assert found.n == 0
    assert found.line_load == pytest.approx(2 * root, rel=1e-7)
    assert found.path.limit_load == pytest.approx((9 / 4 + 4 / 9) * root, rel=1e-7)
    assert found.path.status == "bifurcation"
    assert found.lowest_by_n[0].n == 0
    shape = found.shapes[0]
    assert (shape.n, shape.half_waves) == (0, 2)
    assert shape.half_wave_share == pytest.approx(1.0, abs=1e-6)
    assert found.path.slope < 0.2


def test_a_load_off_the_middle_at_one_end_only_makes_it_the_limit_load():
    """The same barrel with one end clamped: the state is no longer even, every axisymmetric mode has a share, and the
    lowest of them, by the second route's linear count, is the limit load. 1e-6 of it for that count's bisection."""
    wall, _, _, L, _ = short_with_two_half_waves()
    found = nonlinear(RitzBarrel(wall, 1.0, L, Edges("SS3", "C4"), "Donnell"), each_harmonic=False)
    second = Shell(wall.A, wall.B, wall.D, 1.0, L, "SS3", "C4", False)
    assert found.path.limit_load == pytest.approx(second.lowest([0])[0], rel=1e-6)
    assert found.n != 0
    assert found.line_load < found.path.limit_load


def test_a_path_that_leaves_the_theory_says_how_far_it_was_followed():
    """A short clamped ringed wall: nothing is lost before the slope or w/R reaches its bound, and the second route
    loses nothing up to there either, at three loads."""
    wall, L = ringed(0.02, 2.0, 8, nu=0.3), 0.25
    found = nonlinear(RitzBarrel(wall, 1.0, L, Edges("C4", "C4"), "Donnell"))
    path = found.path
    assert (path.status, found.n, found.shapes, found.lowest_by_n) == ("no bifurcation", None, (), ())
    assert path.ended_by in ("slope", "deflection")
    reached = {"slope": path.slope / SLOPE_MOST, "deflection": path.deflection / HOOP_STRAIN_MOST}
    assert reached[path.ended_by] == pytest.approx(1.0, abs=1e-5)
    assert found.line_load == path.followed_to < path.limit_load
    assert found.resolution_error == 0.0
    assert "no buckling load" in found.definition
    second = Shell(wall.A, wall.B, wall.D, 1.0, L, "C4", "C4", False)
    assert path.limit_load == pytest.approx(second.lowest([0])[0], rel=1e-6)
    for share in (0.8, 0.95, 1.0):
        assert second.lost_bent(np.arange(1, 40), share * path.followed_to).sum() == 0


def test_a_path_that_does_not_bend_has_no_limit_load():
    """Without Poisson's ratio, pressure and eccentricity w0 = 0 throughout: every load is that of the membrane state,
    1e-7 for two trial spaces."""
    barrel = RitzBarrel(SmearedWall.of(Skin(E, 0.0, 0.01)), 1.0, 0.6, Edges("C4", "C4"), "Donnell")
    found = nonlinear(barrel, each_harmonic=False)
    assert found.path.limit_load is None
    assert found.path.slope == found.path.deflection == 0.0
    assert found.line_load == pytest.approx(membrane(barrel).line_load, rel=1e-7)


# fixed external pressure


PLAIN = SmearedWall.of(Skin(E, NU, 0.01))
CRITICAL = 1059.706e-8
"""Lateral pressure over E of R/t 100, L = R, nu .3, SS3, Donnell: reference check values, 4 (OWN, seven digits)."""


def tube(ends: str = "SS3", theory: str = "Donnell") -> RitzBarrel:
    return RitzBarrel(PLAIN, 1.0, 1.0, Edges(ends, ends), theory)


def plain_load(pressure: float) -> float:
    """Donnell's load of the tube over m to 40 and n to 60, less n = 1 (nothing lower there):
    [D (a^2 + b^2)^2 + E t a^4/(R^2 (a^2 + b^2)^2) + p R b^2]/a^2, from the textbook."""
    m, n = np.arange(1, 41)[:, None], np.arange(0, 61)
    a2, b2 = (m * math.pi) ** 2, n**2.0
    D, t = 0.01**3 / (12 * (1 - NU**2)), 0.01
    return float(((D * (a2 + b2) ** 2 + t * a2**2 / (a2 + b2) ** 2 + pressure * b2) / a2).min())


@pytest.mark.parametrize("share", [0.2, 0.8, 0.99])
def test_fixed_external_pressure_below_its_critical_value(share):
    """Membrane state, against the textbook's formula: 1e-7 for the trial functions."""
    pressure = -share * CRITICAL
    assert membrane(tube(), pressure=pressure).line_load == pytest.approx(plain_load(pressure), rel=1e-7)
    assert "external pressure of" in membrane(tube(), pressure=pressure).pressure_treatment


@pytest.mark.parametrize("share", [0.3, 0.8])
@pytest.mark.parametrize("ends", ["SS3", "C4"])
def test_nonlinear_path_under_fixed_external_pressure(ends, share):
    """Against the second route: stable 1e-5 below in every harmonic to 40, unstable 1e-5 above; for SS3 also below
    the membrane load at that pressure, since pressure and Poisson both bend the edges."""
    pressure = -share * CRITICAL
    found = nonlinear(tube(ends), pressure=pressure, each_harmonic=False)
    second = Shell(PLAIN.A, PLAIN.B, PLAIN.D, 1.0, 1.0, ends, ends, False)
    assert second.lost_bent(np.arange(1, 41), found.line_load * (1 - 1e-5), pressure).sum() == 0
    assert second.lost_bent(np.array([found.n]), found.line_load * (1 + 1e-5), pressure)[0] > 0
    if ends == "SS3":
        assert found.line_load < plain_load(pressure)


@pytest.mark.parametrize("share", [1.0001, 1.5, 30.0])
def test_fixed_external_pressure_beyond_its_critical_value_is_refused(share):
    """In every harmonic engine that holds a pressure; the edges' bending lowers the path's own value a little more."""

    def mixed(barrel, pressure):
        return proportional(barrel, Mix(0.5, 1.0), pressure=pressure)

    for load in (membrane, nonlinear, pure_bending, torsion, mixed):
        with pytest.raises(Refusal, match=r"unstable under the fixed pressure alone.*n = \d+ is lost"):
            load(tube(), pressure=-share * CRITICAL)


def test_membrane_pressure_counts_from_its_critical_value():
    """.9999 of the seven-digit value is accepted, 1.0001 refused: above."""
    assert membrane(tube(), pressure=-0.9999 * CRITICAL).line_load > 0
