"""A second route to the prebuckled state: the boundary-layer equation of the isotropic barrel solved in closed form.

D w'''' + N w'' + (E t/R^2) w = nu N/R with w = w'' = 0 (or w = w' = 0) at both ends, by its four exponentials (own).
"""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.engines.ritz import Edges, RitzBarrel
from shellbuck.engines.ritz.prebuckling import Prebuckling
from shellbuck.model.walls import Skin, SmearedWall

E, NU, T, R, L = 7e10, 0.3, 2e-3, 1.0, 0.8


@pytest.mark.parametrize(("edges", "second"), [("SS3", 2), ("C4", 1)])
@pytest.mark.parametrize("share", [0.0, 0.3, 0.8])
@pytest.mark.parametrize("pressure", [0.0, 1e5])
def test_state_equals_the_exponentials(edges, second, share, pressure):
    """Slope and hoop force at every station. Slope: 3e-5 of its largest at the working resolution (1e-5 measured), and
    a hundred times less with pieces half as long (degree 7: the slope's error falls as the sixth power or faster)."""
    for piece, tolerance in ((2.5, 3e-5), (1.25, 3e-7)):
        shell = RitzBarrel(SmearedWall.of(Skin(E, NU, T)), R, L, Edges(edges, edges), "Donnell", piece=piece)
        compare(shell, second, share, pressure, tolerance)


def compare(shell, second, share, pressure, tolerance):
    N = share * E * T**2 / (R * np.sqrt(3 * (1 - NU**2)))
    D, k = E * T**3 / (12 * (1 - NU**2)), E * T / R**2
    roots = np.roots([D, 0, N, 0, k]).astype(complex)
    particular = (pressure + NU * N / R) / k
    # each exponential is scaled to 1 at the end from which it decays
    shift = np.where(roots.real > 0, L, 0.0)

    def row(x, order):
        return roots**order * np.exp(roots * (x - shift))

    system = np.array([row(0.0, 0), row(L, 0), row(0.0, second), row(L, second)])
    c = np.linalg.solve(system, np.array([-particular, -particular, 0, 0], complex))
    x = shell.pieces.stations
    slope = np.real(sum(ci * ri * np.exp(ri * (x - si)) for ci, ri, si in zip(c, roots, shift, strict=True)))
    w = particular + np.real(sum(ci * np.exp(ri * (x - si)) for ci, ri, si in zip(c, roots, shift, strict=True)))
    found = Prebuckling(shell, pressure).state(N)
    scale = max(np.abs(slope).max(), 1e-12)
    assert found.beta == pytest.approx(slope, abs=tolerance * scale)
    hoop = -NU * N + E * T * w / R
    assert found.N_theta == pytest.approx(hoop, abs=tolerance * max(np.abs(hoop).max(), 1.0))


@pytest.mark.parametrize("z_load", [-0.02, 0.01])
def test_load_off_the_middle_turns_the_supported_edge(z_load):
    """A load N at the height z gives a supported edge the moment M_x = -N z (tension positive): w'' = N z/D there."""
    shell = RitzBarrel(SmearedWall.of(Skin(E, NU, T)), R, L, Edges("SS3", "SS3"), "Donnell", piece=1.25)
    N, D, k = 2e5, E * T**3 / (12 * (1 - NU**2)), E * T / R**2
    roots = np.roots([D, 0, N, 0, k]).astype(complex)
    shift = np.where(roots.real > 0, L, 0.0)

    def row(x, order):
        return roots**order * np.exp(roots * (x - shift))

    particular, bend = NU * N / R / k, N * z_load / D
    system = np.array([row(0.0, 0), row(L, 0), row(0.0, 2), row(L, 2)])
    c = np.linalg.solve(system, np.array([-particular, -particular, bend, bend], complex))
    x = shell.pieces.stations
    slope = np.real(sum(ci * ri * np.exp(ri * (x - si)) for ci, ri, si in zip(c, roots, shift, strict=True)))
    found = Prebuckling(shell, 0.0, z_load).state(N)
    assert found.beta == pytest.approx(slope, abs=1e-6 * np.abs(slope).max())
