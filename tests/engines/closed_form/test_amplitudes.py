"""The closed form's mode shape: stationary energy, checked by a plain displacement formulation written here."""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.engines.closed_form import amplitudes, line_loads
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

R, L = 1.5, 2.0
SKIN = Skin(70e9, 0.33, 2.5e-3)
BLADES = RibFamily("stringers", 0.0, 0.08, 70e9, 26e9, 5e-5, 1.7e-9, 1e-10, 0.011, 0.33)
WALLS = {"sheet": SmearedWall.of(SKIN), "stringers": SmearedWall.of(SKIN, (BLADES,))}


def residual(wall, m, n, N_theta, theory):
    """Rows of (K - N G)(U, V, W) over the size of their terms; strains written out in displacements (Sanders 1963)."""
    U, V, W = amplitudes(wall, R, L, m, n, N_theta=N_theta, theory=theory)
    N = float(line_loads(wall, R, L, m, n, N_theta=N_theta, theory=theory))
    a, b = m * np.pi / L, n / R
    s = 1.0 if theory == "Sanders" else 0.0
    # columns U, V, W: e_x, e_y, g, k_x, k_y, k_xy with u = U cos cos, v = V sin sin, w = W sin cos
    strain = np.array(
        [
            [-a, 0, 0],
            [0, b, 1 / R],
            [-b, a, 0],
            [0, 0, a * a],
            [0, s * b / R, b * b],
            [0.5 * s * b / R, 1.5 * s * a / R, 2 * a * b],
        ]
    )
    normal = 0.5 * s * np.array([b, a, 0])  # rotation about the normal
    hoop = np.array([0, s / R, b])  # rotation of the hoop line
    axial = np.array([0, 0, a])
    K = strain.T @ wall.matrix @ strain + N_theta * (np.outer(hoop, hoop) + np.outer(normal, normal))
    G = np.outer(axial, axial) + np.outer(normal, normal)
    q = np.array([U, V, W])
    terms = np.abs(K) @ np.abs(q) + N * np.abs(G) @ np.abs(q)
    return np.abs((K - N * G) @ q) / terms


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("wall", WALLS.values(), ids=WALLS)
@pytest.mark.parametrize(("m", "n"), [(1, 8), (3, 11), (20, 2), (9, 9)])
@pytest.mark.parametrize("N_theta", [0.0, 2e5])
def test_the_shape_balances(wall, m, n, N_theta, theory):
    """Three equations of equilibrium hold to rounding: 1e-9 of their terms, a thousand times what was seen."""
    assert residual(wall, m, n, N_theta, theory).max() < 1e-9


def test_axisymmetric_mode_has_no_twist():
    assert amplitudes(WALLS["sheet"], R, L, 10, 0)[1] == 0.0
