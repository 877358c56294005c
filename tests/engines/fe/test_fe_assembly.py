"""Matrices, resultants and loads of whole meshes."""

from __future__ import annotations

import numpy as np
import pytest
from fe_meshes import built, edge, grid, ring, single, skin, stringer
from scipy.linalg import eigh
from scipy.optimize import brentq

from shellbuck.engines.fe import (
    CYLINDRICAL,
    Chart,
    Section,
    Shell,
    antisymmetry_at,
    geometric,
    membrane_resultants,
    pressure_load,
    reduction,
    rigid_motions,
    sheet,
    smeared,
    stiffness,
    symmetry_at,
    uniform_resultants,
    uniform_stiffness,
)
from shellbuck.engines.fe.shell import Pattern, spread
from shellbuck.engines.mesh import Divisions, TriangularRibs, build_mesh

R = 1.2
E, NU, T = 70e9, 0.3, 2e-3
X = np.linspace(0, 0.6, 4)
THETA = np.linspace(0.3, 0.9, 5)
DEPTH = R + np.array([0.0, 0.01, 0.03])


def stiffened(order: int = 2) -> Shell:
    """Skin, two stringers, two rings; 12 + 12 + 16 elements of few kinds."""
    mesh = built(
        order,
        skin=skin(R, THETA, X),
        stringer=np.concatenate([stringer(t, DEPTH, X) for t in THETA[1:3]]),
        ring=np.concatenate([ring(x, DEPTH, THETA) for x in X[1:3]]),
    )
    return Shell(mesh, {"skin": sheet(E, NU, T), "stringer": sheet(E, NU, 3e-3), "ring": sheet(E, NU, 4e-3)})


def test_alike_elements_share_one_matrix_and_change_nothing():
    """Skin 1, stringers 2, rings 2 kinds; the same shell with sharing forbidden has the same matrix, to rounding."""
    shared = stiffened()
    alone = Shell(shared.mesh, shared.sections, Chart(CYLINDRICAL.position, CYLINDRICAL.directions, -1))
    assert len(shared.alike[0]) == 5
    assert len(alone.alike[0]) == len(shared.mesh.elements)
    K, K_alone = stiffness(shared), stiffness(alone)
    assert np.abs(K - K_alone).max() < 1e-12 * np.abs(K).max()
    assert np.abs(K - K.T).max() < 1e-14 * np.abs(K).max()


@pytest.mark.parametrize("family", ["hoop", "axial"])
def test_grid_of_the_package_hangs_together_and_floats_freely(family):
    """A triangular grid's nodes stand where its elements have them; rigid motions strain skin and ribs by rounding."""
    mesh = build_mesh(TriangularRibs(family, R, 2.1, T, 8, 0.05, 4e-3, rows=4), Divisions(around=1, along=1, order=2))
    shell = Shell(mesh, {name: sheet(E, NU, T) for name in mesh.parts})
    places = CYLINDRICAL.position(mesh.points)[0][mesh.elements]
    for part, elements in shell.batches(np.arange(len(mesh.elements)), 1000):
        assert places[part] == pytest.approx(elements.places, abs=1e-12)
    K = stiffness(shell)
    assert np.abs(K @ rigid_motions(shell)).max() < 1e-13 * np.abs(K).max()
    assert len(shell.alike[0]) < len(mesh.elements) / 4


def test_batches_change_nothing(monkeypatch):
    """A memory limit of one element at a time."""
    whole = stiffened()
    K, N = stiffness(whole), uniform_resultants(whole, [1e-3, 2e-3, 5e-4])
    G = geometric(whole, N)
    monkeypatch.setattr("shellbuck.engines.fe.shell._BATCH", 1.0)
    small = stiffened()
    assert np.abs(stiffness(small) - K).max() < 1e-13 * np.abs(K).max()
    assert uniform_resultants(small, [1e-3, 2e-3, 5e-4]) == pytest.approx(N, rel=1e-12)
    assert np.abs(geometric(small, N) - G).max() < 1e-13 * np.abs(G).max()


def test_spread_adds_blocks_where_they_belong():
    """Two elements of two nodes that share one, three sources of which one is not used."""
    pattern = Pattern(
        np.array([0, 2, 5, 7]), np.array([0, 1, 0, 1, 2, 1, 2]), np.array([[[0, 1], [2, 3]], [[3, 4], [5, 6]]])
    )
    data = np.zeros((7, 1))
    blocks = np.array([[[1.0, 2], [3, 4]], [[9, 9], [9, 9]], [[10, 20], [30, 40]]])[..., None]
    spread(pattern, data, np.array([0, 1]), np.array([0, 2]), blocks)
    assert data.ravel().tolist() == [1, 2, 3, 14, 20, 30, 40]


def test_geometric_stiffness_is_the_second_order_work():
    """x^T Kg x against the sum of N_ab v,a . v,b written out by finite differences of the interpolated field."""
    shell = stiffened(3)
    mesh = shell.mesh
    rng = np.random.default_rng(5)
    d, N = rng.standard_normal((len(mesh.points), 6)), rng.standard_normal((len(mesh.elements), 16, 3))
    work = 0.0
    for part, elements in shell.batches(np.arange(len(mesh.elements)), 1000):
        v = np.einsum("ekd,ekdc->ekc", d[mesh.elements[part]][..., :3], elements.directions)
        slope = np.einsum("eqab,qbk,ekc->eqac", elements.surface.to_frame, elements.table.shape[:, 1:], v)
        n = N[part]
        full = np.stack([n[..., 0], n[..., 2], n[..., 2], n[..., 1]], -1).reshape(*n.shape[:2], 2, 2)
        work += np.einsum("eqab,eqac,eqbc,eq->", full, slope, slope, elements.surface.area)
    assert d.ravel() @ geometric(shell, N) @ d.ravel() == pytest.approx(work, rel=1e-10)


def test_geometric_stiffness_of_a_rib_buckles_it_as_a_plate():
    """A stringer's web alone, its line strained by -1: a long plate, root and ends hinged, the other edge free.

    The skin is too soft to clamp the root. Against the exact thin plate; shear at b/t = 100: .2 %.
    """
    b, a, t = 0.05, 0.2, 5e-4
    mesh = built(
        4,
        skin=skin(R, np.array([0.0, 0.01]), np.linspace(0, a, 3)),
        stringer=stringer(0.0, R + np.linspace(0, b, 3), np.linspace(0, a, 3)),
    )
    shell = Shell(mesh, {"skin": sheet(1e-9 * E, NU, t), "stringer": sheet(E, NU, t)})
    N = uniform_resultants(shell, [-1.0, 0.0, 0.0])
    on_web = mesh.nodes_of("stringer")
    others = np.setdiff1d(np.arange(len(mesh.points)), on_web)
    ends = np.intersect1d(on_web, np.concatenate([edge(mesh, 0, 0), edge(mesh, 0, a)]))
    root = np.intersect1d(on_web, mesh.nodes_of("skin"))
    # the web bends only: hoop displacement v, turns about axis and radius
    held = np.concatenate(
        [
            (6 * others[:, None] + np.arange(6)).ravel(),
            6 * on_web,
            6 * on_web + 2,
            6 * on_web + 4,
            6 * root + 1,
            6 * root + 5,
            6 * ends + 1,
            6 * ends + 3,
        ]
    )
    T_ = reduction(shell.size, np.unique(held))
    K, G = ((T_.T @ M @ T_).toarray() for M in (stiffness(shell), -geometric(shell, N)))
    strain = 1 / eigh(G, K, eigvals_only=True)[-1]
    D = E * t**3 / (12 * (1 - NU**2))
    k = E * t * strain * b * b / (np.pi**2 * D)
    assert k == pytest.approx(free_edge_coefficient(b / a), rel=2e-3)


def free_edge_coefficient(ratio: float) -> float:
    """Three edges hinged, one free: the root of the exact buckling condition for one half-wave (own solution).

    w = sin(pi x/a) [A sinh(r y) + B sin(s y)], M_y = V_y = 0 at y = b.
    """
    g = np.pi * ratio  # pi b/a

    def condition(k: float) -> float:
        c = np.pi * np.sqrt(k)  # b sqrt(N/D)
        r, s = np.sqrt(g * (c + g)), np.sqrt(g * (c - g))
        rows = [
            [(r * r - NU * g * g) * np.sinh(r), -(s * s + NU * g * g) * np.sin(s)],
            [(r**3 - (2 - NU) * g * g * r) * np.cosh(r), -(s**3 + (2 - NU) * g * g * s) * np.cos(s)],
        ]
        return float(np.linalg.det(rows))

    return brentq(condition, ratio**2 + 0.3, ratio**2 + 0.6)


def test_resultants_of_a_stretched_and_blown_cylinder():
    """u = e x, w constant: N_x = A11 e + A12 w/R, N_theta alike, also where B couples with the bending (none here)."""
    A = np.array([[4.0, 1, 0], [1, 3, 0], [0, 0, 1]])
    section = smeared(np.block([[A, 0.2 * A], [0.2 * A, A]]))
    shell = Shell(built(4, skin=skin(R, THETA, X)), {"skin": section})
    d = np.zeros((len(shell.mesh.points), 6))
    d[:, 0], d[:, 2] = 1e-3 * shell.mesh.points[:, 0], 2e-3
    N = membrane_resultants(shell, d.ravel())
    exact = A @ [1e-3, 2e-3 / R, 0]
    assert pytest.approx(np.broadcast_to(exact, N.shape), rel=1e-5, abs=1e-9) == N


def test_uniform_strain_in_skin_and_ribs():
    """A rib takes E t times the strain along its line, across nothing; the energy gives the smeared stiffness."""
    shell, strain = stiffened(), np.array([1e-3, -4e-4, 2e-4])
    mesh, N = shell.mesh, uniform_resultants(stiffened(), strain)
    assert N[mesh.of_part("skin")] == pytest.approx(
        np.broadcast_to(shell.sections["skin"].A @ strain, N[mesh.of_part("skin")].shape)
    )
    for name, t, k in (("stringer", 3e-3, 0), ("ring", 4e-3, 1)):
        some = N[mesh.of_part(name)]
        assert some == pytest.approx(np.broadcast_to([E * t * strain[k], 0, 0], some.shape), rel=1e-6, abs=1e-3)
    area = R * 0.6 * 0.6
    ribs = np.diag([2 * E * 3e-3 * 0.03 * 0.6, 2 * E * 4e-3 * 0.03 * (R + 0.015) * 0.6, 0]) / area
    assert uniform_stiffness(shell) == pytest.approx(shell.sections["skin"].A + ribs, rel=1e-4, abs=1.0)


def test_uniform_strain_of_an_inclined_rib():
    """Along 30 degrees from the hoop: strain c^2 e_x + s^2 e_theta + c s g at the skin."""
    slope = R / np.sqrt(3)
    corners = grid(THETA[:2], np.array([R, R + 1e-6]), lambda t, r: np.stack([slope * t, t, r], -1))
    mesh = single(3, corners, "cylindrical", part="rib")
    shell = Shell(mesh, {"rib": sheet(E, NU, T)})
    strain = np.array([1e-3, 3e-4, 2e-4])
    c, s = 0.5, np.sqrt(0.75)
    force = E * T * (c * c * strain[0] + s * s * strain[1] + c * s * strain[2])
    N = uniform_resultants(shell, strain)
    assert pytest.approx(np.broadcast_to([force, 0, 0], N.shape), rel=1e-4, abs=1e-4 * force) == N


def test_rib_flat_on_the_skin_has_no_line():
    shell = Shell(single(2, skin(R, THETA, X), "cylindrical", part="cap"), {"cap": sheet(E, NU, T)})
    with pytest.raises(ValueError, match="no line"):
        uniform_resultants(shell, [1.0, 0, 0])


def test_pressure_pushes_outward_however_the_skin_is_numbered():
    """Work on w = 1 is pressure times area."""
    corners = skin(R, THETA, X)
    for order in (corners, np.swapaxes(corners, 1, 2)):
        shell = Shell(single(4, order, "cylindrical"), {"skin": sheet(E, NU, T)})
        f = pressure_load(shell).reshape(-1, 6)
        assert f[:, 2].sum() == pytest.approx(R * 0.6 * 0.6, rel=1e-6)
        assert np.abs(f[:, [0, 3, 4, 5]]).max() < 1e-12


def test_section_of_a_sheet_and_of_a_smeared_sheet_are_one():
    plain = sheet(E, NU, T)
    again = smeared(np.block([[plain.A, plain.B], [plain.B, plain.D]]))
    assert isinstance(again, Section)
    assert again.matrix == pytest.approx(plain.matrix, rel=1e-14)
    assert pytest.approx(7 * plain.S) == sheet(E, NU, T, shear_scale=7).S
    assert smeared(np.eye(6), np.diag([1.0, 2.0]), shear_scale=3).S.tolist() == [[3, 0], [0, 6]]


def test_odd_modes_are_held_where_even_ones_are_free():
    """Nodes 0 and 2 on a plane normal to the hoop direction, unknowns u, v, w and three turns each: even about it v and
    the turns about the axis and the radius are 0, odd the other three."""
    nodes = np.array([0, 2])
    assert symmetry_at(nodes, 1).tolist() == [1, 3, 5, 13, 15, 17]
    assert antisymmetry_at(nodes, 1).tolist() == [0, 2, 4, 12, 14, 16]
