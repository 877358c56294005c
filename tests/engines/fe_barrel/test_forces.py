"""Forces before buckling, from the mesh: they balance the load and the pressure, whatever the ribs."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest

from shellbuck.engines import fe
from shellbuck.engines.fe_barrel.forces import forces_before
from shellbuck.engines.mesh import Blades, Divisions, StraightRibs, build_mesh

R, L, T, E, NU = 1.5, 1.0, 3e-3, 70e9, 0.3
N, P = 4e5, 30e3


def solved(**ribs):
    mesh = build_mesh(StraightRibs(R, L, T, **ribs), Divisions(around=2 if ribs else 12, along=2, order=3))
    sections = {"skin": fe.sheet(E, NU, T), "stringer": fe.sheet(E, NU, 4e-3), "ring": fe.sheet(E, NU, 5e-3)}
    return SimpleNamespace(mesh=mesh, shell=fe.Shell(mesh, {name: sections[name.split()[0]] for name in mesh.parts}))


def each_area(shell) -> np.ndarray:
    found = np.zeros(len(shell.mesh.elements))
    for part, elements in shell.batches(np.arange(len(found)), 1000):
        found[part] = elements.surface.area.sum(axis=1)
    return found


@pytest.mark.parametrize(
    "ribs",
    [
        {},
        {"stringers": Blades(12, 0.06, 4e-3, "outside")},
        {"stringers": Blades(12, 0.06, 4e-3, "inside"), "rings": Blades(3, 0.05, 5e-3, "inside")},
    ],
)
def test_forces_balance_load_and_pressure(ribs):
    """Equilibrium of the uniform strain: over all surfaces the axial force adds up to -N 2 pi R L, the hoop force to
    p R 2 pi R L. Areas are by quadrature, to 4e-8 with 12 elements around."""
    one = solved(**ribs)
    forces, area = forces_before(one, R, N, P), each_area(one.shell)
    skin = 2 * math.pi * R * L
    assert forces.axial @ area == pytest.approx(-N * skin, abs=1e-7 * N * skin)
    assert forces.hoop @ area == pytest.approx(P * R * skin, abs=1e-7 * N * skin)


def test_plain_skin_has_the_textbook_forces():
    forces = forces_before(solved(), R, N, P)
    assert forces.axial == pytest.approx(-N, rel=1e-8)
    assert forces.hoop == pytest.approx(P * R, rel=1e-6)


def test_ribs_carry_along_their_own_line_only():
    """A stringer has no hoop force, a ring no axial one; a stringer has E t_b e_x with the skin's strain, by hand:
    e_x = (N_x - nu N_theta)/(E t) of the skin."""
    one = solved(stringers=Blades(12, 0.06, 4e-3, "inside"), rings=Blades(3, 0.05, 5e-3, "inside"))
    forces = forces_before(one, R, N, P)
    mesh = one.mesh
    skin, stringer, ring = (mesh.of_part(name) for name in ("skin", "stringer", "ring"))
    assert np.abs(forces.hoop[stringer]).max() < 1e-6 * N
    assert np.abs(forces.axial[ring]).max() < 1e-6 * N
    strain = (forces.axial[skin].mean() - NU * forces.hoop[skin].mean()) / (E * T)
    assert forces.axial[stringer] == pytest.approx(E * 4e-3 * strain, rel=1e-8)
