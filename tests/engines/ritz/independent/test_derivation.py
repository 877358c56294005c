"""The second route on its own: its density from the full nonlinear strains, its equations from integration by parts."""

from __future__ import annotations

import numpy as np
import pytest
import sympy as sp
from collocation import Shell, canonical, second_variation

R = 1.3


def wall(seed: int) -> np.ndarray:
    """A random positive definite 6x6 with B symmetric and without shear coupling."""
    draw = np.random.default_rng(seed).normal(size=(6, 6))
    shear = np.array([0, 0, 1, 0, 0, 1], bool)
    C = np.where(shear[:, None] == shear, draw @ draw.T, 0.0)
    C[:3, 3:] = C[3:, :3] = (C[:3, 3:] + C[3:, :3]) / 2
    return C + (1 - min(0.0, np.linalg.eigvalsh(C)[0])) * np.eye(6)


def energy(C, sanders, n, theta, state, mode, s):
    """Energy density of the axisymmetric `state` (u', w, w', w'') plus s times the harmonic `mode` at the angle theta.

    mode: U, V, W, W', U', V', W''. Full nonlinear strains of moderate rotation.
    """
    c, q = np.cos(n * theta), np.sin(n * theta)
    U, V, W, W1, U1, V1, W2 = mode
    u_x, w, w_x, w_xx = (a + s * b * c for a, b in zip(state, (U1, W, W1, W2), strict=True))
    u_y, v_x, v, v_y = -n / R * s * U * q, s * V1 * q, s * V * q, n / R * s * V * c
    w_y, w_yy, w_xy = -n / R * s * W * q, -((n / R) ** 2) * s * W * c, -n / R * s * W1 * q
    f, B = ((v_x - u_y) / 2, v / R - w_y) if sanders else (0.0, -w_y)
    e = [
        u_x + (w_x**2 + f**2) / 2,
        v_y + w / R + (B**2 + f**2) / 2,
        u_y + v_x - w_x * B,
        -w_xx,
        -w_yy + (v_y / R if sanders else 0.0),
        -2 * w_xy + ((1.5 * v_x - 0.5 * u_y) / R if sanders else 0.0),
    ]
    return e @ C @ np.array(e) / 2


@pytest.mark.parametrize("sanders", [False, True])
@pytest.mark.parametrize("n", [1, 4])
def test_density_is_the_second_order_of_the_full_energy(sanders, n):
    """The s^2 coefficient of the energy, averaged around, against the matrix of the second variation: 1e-11."""
    rng = np.random.default_rng(n)
    C, state, mode = wall(n), rng.normal(size=4), rng.normal(size=7)
    angles = 2 * np.pi * np.arange(32) / 32  # exact for the trigonometric polynomials that occur
    steps = np.linspace(-2, 2, 5)  # exact for the quartic in s
    series = np.mean([[energy(C, sanders, n, a, state, mode, s) for s in steps] for a in angles], axis=0)
    quadratic = np.polynomial.polynomial.polyfit(steps, series, 4)[2]
    u_x, w, w_x, w_xx = state
    N_x, N_theta = (C @ [u_x + w_x**2 / 2, w / R, 0.0, -w_xx, 0.0, 0.0])[:2]
    M = second_variation(C, R, np.array(n / R), N_x, np.array(N_theta), np.array(w_x), sanders)
    assert mode @ M @ mode / 4 == pytest.approx(quadratic, rel=1e-11)


@pytest.mark.parametrize("sanders", [False, True])
def test_canonical_equations_are_the_integration_by_parts(sanders):
    """Along smooth fields and a varying prestress, forces and loads from Euler's equations fulfil y' = H y - load."""
    x = sp.symbols("x")
    C, b, N_x = wall(7), sp.Rational(7, 3), -0.4
    U, V, W = x**3 / 5 - x + 1, x**4 / 7 + x**2 / 3 - 1, x**5 / 9 - x**3 / 4 + x + 2
    hoop, beta = x**2 - x / 2 + 1, x**3 / 3 - x / 5
    t = [sp.Symbol(k) for k in ("U", "V", "W", "S", "U1", "V1", "S1")]
    fields = [U, V, W, W.diff(x), U.diff(x), V.diff(x), W.diff(x, 2)]

    def density(station: float) -> np.ndarray:
        at = [float(f.subs(x, station)) for f in (hoop, beta)]
        return second_variation(C, R, np.array(float(b)), N_x, np.array(at[0]), np.array(at[1]), sanders)

    # the entries are quadratic in beta and linear in N_theta, so at most of degree 6 in x: interpolated exactly
    stations = np.linspace(0, 1, 7)
    samples = np.array([density(s) for s in stations])
    entries = np.linalg.solve(stations[:, None] ** np.arange(7), samples.reshape(7, -1)).reshape(7, 7, 7)
    M = sp.Matrix(7, 7, lambda i, j: sum(float(entries[k, i, j]) * x**k for k in range(7)))
    L = (sp.Matrix([t]) * M * sp.Matrix(t))[0] / 2
    partial = {k: L.diff(k).subs(dict(zip(t, fields, strict=True))) for k in t}
    p_u, p_v, p_s = partial[t[4]], partial[t[5]], partial[t[6]]
    p_w = partial[t[3]] - p_s.diff(x)  # the end term of dW, what is left of L_S after parting S' once
    load = [p_u.diff(x) - partial[t[0]], p_v.diff(x) - partial[t[1]], p_w.diff(x) - partial[t[2]]]
    y = sp.Matrix([*fields[:4], p_u, p_v, p_w, p_s])
    for s in (0.2, 0.7):
        here, rate = (np.array(v.subs(x, s), float).ravel() for v in (y, y.diff(x)))
        off = np.array([0, 0, 0, 0, *[float(v.subs(x, s)) for v in load], 0])
        assert rate - off == pytest.approx(canonical(density(s)) @ here, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("sanders", [False, True])
def test_counts_of_the_simply_supported_barrel(sanders):
    """SS3 with uniform prestress: the sine field is exact, its 3x3 determines every load; the counts must agree."""
    C, L, hoop = wall(3) * np.outer([30.0] * 3 + [1.0] * 3, [30.0] * 3 + [1.0] * 3), 4.0, 20.0
    shell = Shell(C[:3, :3], C[:3, 3:], C[3:, 3:], R, L, "SS3", "SS3", sanders)
    for n in (1, 2, 5):
        loads = np.sort([closed(C, sanders, n, m, L, hoop) for m in range(1, 40)])
        for k in range(4):
            between = (loads[k] + loads[k + 1]) / 2
            assert shell.lost([n], between, hoop)[0] == k + 1
        assert shell.lowest([n], hoop)[0] == pytest.approx(loads[0], rel=1e-8)


def closed(C, sanders, n, m, L, hoop):
    """Lowest load of the field U cos ax, V sin ax, W sin ax: the energy averaged along the axis."""
    a, b = m * np.pi / L, n / R

    def averaged(N_x, N_theta):
        total = np.zeros((3, 3))
        M = second_variation(C, R, np.array(b), N_x, np.array(N_theta), np.array(0.0), sanders)
        for c, s in ((1.0, 0.0), (0.0, 1.0)):  # the cos cos and the sin sin parts of the products
            field = np.array(
                [[c, 0, 0], [0, s, 0], [0, 0, s], [0, 0, a * c], [-a * s, 0, 0], [0, a * c, 0], [0, 0, -(a**2) * s]]
            )
            total += field.T @ M @ field
        return total

    K = averaged(0.0, hoop)
    G = averaged(0.0, 0.0) - averaged(1.0, 0.0)
    return 1 / np.linalg.eigvals(np.linalg.solve(K, -G)).real.max()
