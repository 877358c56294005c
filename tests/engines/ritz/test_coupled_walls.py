"""Walls with 16/26 terms: mirror images, the limit without coupling, the dense engine, a long barrel's bound.

The walls hold one family of inclined ribs, or ribs of different size to the left and to the right. Own derivations.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from dense import Dense
from scipy.linalg import eigh
from scipy.optimize import minimize_scalar

from shellbuck.core.errors import Refusal
from shellbuck.engines.ritz import (
    Edges,
    Mix,
    RitzBarrel,
    Springs,
    membrane,
    nonlinear,
    proportional,
    pure_bending,
    torsion,
)
from shellbuck.engines.ritz.energies import Prestress
from shellbuck.engines.ritz.prebuckling import Prebuckling
from shellbuck.engines.ritz.solve import long_barrel_load
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

R, L, T = 1.0, 0.9, 0.02


def rib(angle: float, side: int = 1, size: float = 1.0) -> RibFamily:
    """A blade three skin thicknesses deep."""
    depth, width = 3 * T, 0.8 * T * size
    return RibFamily(
        f"ribs at {angle:g}",
        angle,
        10 * T,
        1.0,
        0.4,
        depth * width,
        depth**3 * width / 12,
        0.5 * width * T**3,
        side * 2 * T,
        0.3,
    )


def wall(angle: float = 40.0, side: int = 1, size: float = 1.0) -> SmearedWall:
    return SmearedWall.of(Skin(1.0, 0.3, T), (rib(angle, side, size),))


def mirrored(one: SmearedWall) -> SmearedWall:
    """Every 16 and 26 term with the other sign."""
    S = np.diag([1.0, 1.0, -1.0])
    return SmearedWall(S @ one.A @ S, S @ one.B @ S, S @ one.D @ S)


def barrel(one: SmearedWall, ends: tuple[str, str] = ("SS3", "SS3"), theory: str = "Sanders", **more) -> RitzBarrel:
    return RitzBarrel(one, R, more.pop("L", L), Edges(*ends), theory, **more)


MIXES = {
    "axial": Mix(axial=1.0),
    "shear": Mix(shear=1.0),
    "back shear": Mix(shear=-1.0),
    "lateral": Mix(hoop=1.0),
    "all": Mix(axial=0.5, hoop=1.0, shear=-0.7),
    "live": Mix(axial=0.5, hoop=1.0, live=True),
}


@pytest.mark.parametrize(
    ("mix", "ends", "theory", "side"),
    [
        ("axial", ("SS3", "SS3"), "Donnell", 1),
        ("axial", ("SS1", "C4"), "Sanders", -1),
        ("axial", ("C2", "C3"), "Sanders", 1),
        ("shear", ("SS3", "SS3"), "Sanders", 1),
        ("shear", ("SS4", "C3"), "Donnell", -1),
        ("back shear", ("SS3", "SS3"), "Sanders", 1),
        ("back shear", ("C4", "SS2"), "Donnell", 1),
        ("lateral", ("SS4", "C3"), "Sanders", -1),
        ("all", ("SS1", "C4"), "Sanders", 1),
        ("live", ("SS3", "C4"), "Sanders", 1),
    ],
)
def test_load_equals_the_dense_engine(mix, ends, theory, side):
    """The load's own harmonic and its neighbours by complex amplitudes, where nothing is split into families and the
    sign of 16/26 terms against the shear is that of the strains. Both converge to rounding: 1e-8."""
    found = proportional(barrel(wall(side=side), ends, theory), MIXES[mix], leave_out=(0, 1))
    dense = Dense(wall(side=side).matrix, R, L, *ends, theory == "Sanders")
    m = MIXES[mix]
    factor, n = dense.lowest(range(found.n - 1, found.n + 2), axial=m.axial, hoop=m.hoop, shear=m.shear, live=m.live)
    assert found.n == n
    assert found.line_load == pytest.approx(factor * max(m.axial, m.hoop, abs(m.shear)), rel=1e-8)


@pytest.mark.parametrize("pressure", [0.0, 2e-4])
def test_pressure_beside_coupling_equals_the_dense_engine(pressure):
    """A fixed hoop tension, axial compression: 1e-8."""
    found = membrane(barrel(wall()), pressure=pressure, leave_out=(0, 1))
    dense = Dense(wall().matrix, R, L, "SS3", "SS3", True)
    assert found.line_load == pytest.approx(dense.load(found.n, axial=1.0, N_theta=pressure * R), rel=1e-8)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("angle", [25.0, 60.0])
def test_mirror_image(angle, theory):
    """A mirror turns 16/26 terms and the shear about, and leaves axial compression: exact, 1e-9 for two solutions."""
    one, other = (barrel(w, ("SS3", "C4"), theory) for w in (wall(angle), mirrored(wall(angle))))
    assert membrane(one).line_load == pytest.approx(membrane(other).line_load, rel=1e-9)
    left, right = (proportional(one, Mix(shear=s), leave_out=(0, 1)).line_load for s in (1.0, -1.0))
    assert torsion(other).line_load == pytest.approx(right, rel=1e-9)
    assert proportional(other, Mix(shear=-1.0), leave_out=(0, 1)).line_load == pytest.approx(left, rel=1e-9)
    assert abs(left / right - 1) > 0.01


def test_rib_at_minus_the_angle_is_the_mirror_image():
    """The rib routine's own signs: a family at -40 degrees has the 16/26 terms of the one at 40, turned about."""
    found, expected = wall(-40.0).matrix, mirrored(wall(40.0)).matrix
    assert found == pytest.approx(expected, rel=1e-12, abs=1e-12 * np.abs(expected).max())


@pytest.mark.parametrize("kind", ["axial", "shear"])
def test_vanishing_coupling_leaves_the_orthotropic_load(kind):
    """With e times the 16/26 terms the axial load changes by e^2 (it is even in e), the torsion load by e: at 1e-4 of
    the full coupling, which moves either by less than half, 1e-8 and 1e-4. The engine passes from single to double."""
    one = wall()
    shear = np.outer([1.0, 1.0, -1.0], [1.0, 1.0, -1.0]) < 0

    def part(e: float) -> SmearedWall:
        return SmearedWall(*(np.where(shear, e * m, m) for m in (one.A, one.B, one.D)))

    weak, none = barrel(part(1e-4)), barrel(part(0.0))
    assert weak.coupled
    assert not none.coupled
    load = membrane if kind == "axial" else torsion
    assert load(weak).line_load == pytest.approx(load(none).line_load, rel=1e-7 if kind == "axial" else 1e-4)
    if kind == "axial":
        loads = [nonlinear(b, each_harmonic=False).line_load for b in (weak, none)]
        assert loads[0] == pytest.approx(loads[1], rel=1e-7)  # the bracket's width is 1e-8


def test_every_load_factor_of_a_coupled_wall_is_double_and_counted_once():
    """n of 1 or more: the mode may be turned about the axis. The number of load factors below 1.2 times the lowest
    equals that of the dense engine, where complex amplitudes count each once. n = 0 has no waves and is left out."""
    found = membrane(barrel(wall()), leave_out=(0,))
    dense, bound = Dense(wall().matrix, R, L, "SS3", "SS3", True), 1.2 * found.line_load
    count = 0
    for mode in found.lowest_by_n:
        inverse = dense.spectrum(dense.stiffness(mode.n), dense.axial(mode.n))
        count += int(np.sum(inverse > 1 / bound))
    assert found.near_tie_count + 1 == count


@pytest.mark.parametrize("ends", ["C4", "SS3"])
def test_long_barrel_falls_to_the_spiral_of_the_infinite_one(ends):
    """The infinite barrel buckles in w = cos(a x - n theta), u and v alike with phases: a 3x3 of complex amplitudes,
    its load of n the least over real a of either sign. Own derivation. A barrel of finite length lies above it by a
    term 1/L^2, the envelope of the mode: never below, and the loads at L = 3 R and 6 R extrapolate to it within 2e-4,
    the square of what is extrapolated (7e-3) with room. n = 6, ribs outside at 55 degrees: waves much shorter than
    L."""
    C, n = wall(55.0).matrix, 6

    def load(a: float) -> float:
        x, y = 1j * a, -1j * n / R
        strains = np.array(
            [
                [x, 0, 0],
                [0, y, 1 / R],
                [y, x, 0],
                [0, 0, -(x**2)],
                [0, y / R, -(y**2)],
                [-0.5 * y / R, 1.5 * x / R, -2 * x * y],
            ]
        )
        slope, spin = np.array([0, 0, x]), np.array([-y / 2, x / 2, 0])
        K = strains.conj().T @ C @ strains
        G = np.outer(slope.conj(), slope) + np.outer(spin.conj(), spin)
        scale = 1 / np.sqrt(np.diag(K).real)
        return 1 / float(eigh(G * np.outer(scale, scale), K * np.outer(scale, scale), eigvals_only=True)[-1])

    grid = [sign * a for sign in (-1, 1) for a in np.linspace(1, 30, 120)]
    near = min(grid, key=load)
    least = minimize_scalar(load, bounds=(near - 0.3, near + 0.3), method="bounded", options={"xatol": 1e-6}).fun
    assert abs(load(-near) / least - 1) > 0.01  # the spiral has a sense
    leave = tuple(k for k in range(60) if k != n)
    short, long = (membrane(barrel(wall(55.0), (ends, ends), L=x), leave_out=leave).line_load for x in (3.0, 6.0))
    assert short > long > least
    assert (4 * long - short) / 3 == pytest.approx(least, rel=2e-4)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("side", [1, -1])
def test_axisymmetric_load_does_not_depend_on_what_holds_v(side, theory):
    """No torque acts, so each section twists as it likes, whether v is held at one end, at both or nowhere (then the
    barrel as a whole is kept from turning): one load, to the rounding of two solutions, 1e-9."""
    loads = []
    for ends in (("SS1", "SS1"), ("SS1", "SS3"), ("SS3", "SS3")):
        short = barrel(wall(40.0, side), ends, theory, L=0.3)
        loads.append(membrane(short, leave_out=tuple(range(1, 200))).line_load)
    assert loads == pytest.approx([loads[0]] * 3, rel=1e-9)


def test_path_ends_at_the_axisymmetric_load_without_torque():
    """Own: with no torque, twist is condensed station by station, and the path's deflection grows without bound at the
    load of n = 0 of that barrel. At 1 -+ 1e-4 of it the deflection is a thousand times that at half the load, and turns
    its sign. Donnell (Sanders' membrane state works on the rotation about the normal that goes with twist, the path
    does not: 1e-3 apart)."""
    short = barrel(wall(), ("SS1", "SS3"), "Donnell", L=0.3)
    load = membrane(short, leave_out=tuple(range(1, 200))).line_load
    for ends in (("SS1", "SS3"), ("SS3", "SS3")):
        path = Prebuckling(barrel(wall(), ends, "Donnell", L=0.3))
        before, after, half = (path.shape(load * f).deflection for f in (1 - 1e-4, 1 + 1e-4, 0.5))
        middle = np.unravel_index(np.argmax(np.abs(before)), before.shape)
        assert before[middle] * after[middle] < 0
        assert min(abs(before[middle]), abs(after[middle])) > 1e3 * np.abs(half).max()


@pytest.mark.parametrize("springs", [(Springs(), Springs(v=10.0)), (Springs(v=10.0), Springs(v=10.0))])
def test_hoop_springs_do_not_hold_the_twist_of_n_zero(springs):
    """No torque acts at n = 0, so a hoop spring carries nothing there: the load of SS1 without it, 1e-9."""
    only = tuple(range(1, 200))
    free = membrane(barrel(wall(), ("SS1", "SS1"), L=0.3), leave_out=only).line_load
    sprung = RitzBarrel(wall(), R, 0.3, Edges("SS1", "SS1", *springs))
    assert membrane(sprung, leave_out=only).line_load == pytest.approx(free, rel=1e-9)


@pytest.mark.parametrize("side", [1, -1])
def test_no_loss_is_reported_from_beyond_the_end_of_the_path(side):
    """What is found, or said to be held, must lie at or below the end of the path: the load of n = 0 of these edges by
    the spectrum of all unknowns, 1e-6 for its other trial functions."""
    short = barrel(wall(40.0, side), L=0.3)
    end = membrane(barrel(wall(40.0, side), ("SS1", "SS3"), L=0.3), leave_out=tuple(range(1, 200))).line_load
    found = nonlinear(short)
    assert found.line_load <= found.path.limit_load
    assert found.line_load <= end * (1 + 1e-6)


def test_state_of_a_coupled_wall_balances():
    """-M_x'' + N w'' + N_theta/R = p at inner stations, with N_theta and M_x from the 6x6 under N_x = -N, no shear and
    no twist's moment about it: by finite differences of the deflection of a fine state, 2e-3 of the largest term (the
    differences' own error). Donnell."""
    one, N, pressure = wall(35.0, -1), 2e-4, 1e-4
    shell = barrel(one, ("SS3", "C4"), "Donnell", piece=1.0)
    state = Prebuckling(shell, pressure).shape(N)
    x, w = shell.pieces.stations.ravel(), state.deflection.ravel()
    even = np.linspace(0.2, 0.7, 101)
    smooth = np.polynomial.Chebyshev.fit(x[(x > 0.15) & (x < 0.75)], w[(x > 0.15) & (x < 0.75)], 24)
    C = one.matrix
    known = np.stack([smooth(even) / R, -smooth.deriv(2)(even)])  # e_theta, k_x
    free, given = [0, 2], [1, 3]  # e_x and shear follow N_x = -N, N_xtheta = 0
    strain = np.zeros((6, even.size))
    strain[given] = known
    strain[free] = np.linalg.solve(C[np.ix_(free, free)], np.array([[-N], [0.0]]) - C[np.ix_(free, given)] @ known)
    force = C @ strain
    bend = np.polynomial.Chebyshev.fit(even, force[3], 20)
    residual = -bend.deriv(2)(even) + N * smooth.deriv(2)(even) + force[1] / R - pressure
    inner = slice(15, -15)
    assert np.abs(residual[inner]).max() <= 2e-3 * np.abs(bend.deriv(2)(even[inner])).max()
    at = np.interp(even, x, state.prestress.N_theta.ravel())
    assert at == pytest.approx(force[1], abs=1e-3 * np.abs(force[1]).max())


def test_bending_refuses_a_coupled_wall():
    with pytest.raises(Refusal, match="couples shear with stretching"):
        pure_bending(barrel(wall()))


def test_a_stiffness_that_is_none_is_refused():
    """A16 beyond the root of A11 A66 is no stiffness."""
    A = np.array(wall().A)
    A[0, 2] = A[2, 0] = 1.1 * math.sqrt(A[0, 0] * A[2, 2])
    with pytest.raises(Refusal, match="not positive definite"):
        barrel(SmearedWall(A, wall().B, wall().D))


def test_operators_are_symmetric_and_double():
    """n = 3: K and G symmetric, each eigenvalue of K twice, to rounding; the axial work joins nothing."""
    ops = barrel(wall(), L=0.2).operators(Prestress.membrane(0.0))[1]
    K, G = ops.K(3).toarray(), ops.G(3).toarray()
    assert ops.doubled
    assert pytest.approx(K.T, abs=1e-12 * np.abs(K).max()) == K
    values = np.linalg.eigvalsh(K)
    assert values[::2] == pytest.approx(values[1::2], rel=1e-6, abs=1e-9 * values[-1])
    assert np.abs(G[::2, 1::2]).max() == 0
    assert long_barrel_load(barrel(wall())) > 0
