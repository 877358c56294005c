"""Strains and matrices of elements: patch tests, rigid motions, signs, convergence."""

from __future__ import annotations

import numpy as np
import pytest
from fe_charts import TWISTED
from fe_meshes import edge, grid, plate, single, skin, stringer
from scipy.linalg import eigh

from shellbuck.engines.eigen import lowest_pairs
from shellbuck.engines.fe import (
    Shell,
    geometric,
    membrane_resultants,
    reduction,
    rigid_motions,
    sheet,
    smeared,
    solve,
    stiffness,
    surface_load,
)
from shellbuck.engines.fe.element import Elements
from shellbuck.engines.fe.geometry import CARTESIAN, CYLINDRICAL

E, NU, T = 70e9, 0.3, 0.05
LINE = np.array([0.0, 0.4, 1.0])


def patch(order: int):
    """Five quadrilaterals, none a parallelogram, over a rectangle (own shape)."""
    p = np.array([[0, 0], [1.2, 0], [1.2, 0.8], [0, 0.8], [0.3, 0.2], [0.9, 0.25], [0.8, 0.6], [0.35, 0.5]])
    quads = [[0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7], [4, 5, 6, 7]]
    corners = np.zeros((5, 2, 2, 3))
    for k, (a, b, c, d) in enumerate(quads):
        corners[k, :, :, :2] = [[p[a], p[d]], [p[b], p[c]]]
    return single(order, corners)


def rim(mesh):
    """Nodes on the rectangle's boundary."""
    return np.unique(np.concatenate([edge(mesh, 0, 0), edge(mesh, 0, 1.2), edge(mesh, 1, 0), edge(mesh, 1, 0.8)]))


def fields(x, y, which: str):
    """Displacements and rotations (nodes, 6) of a constant state; turns (w,y, -w,x, (v,x - u,y)/2)."""
    d = np.zeros((len(x), 6))
    if which == "membrane":
        d[:, 0], d[:, 1], d[:, 5] = 3 * x + 0.5 * y, 1.5 * x - 2 * y, (1.5 - 0.5) / 2
    elif which == "bending":
        d[:, 2] = x * x + 0.7 * x * y - 0.4 * y * y
        d[:, 3], d[:, 4] = 0.7 * x - 0.8 * y, -(2 * x + 0.7 * y)
    else:
        d[:, 2] = 2 * x - 3 * y  # no turn: pure transverse shear
    return d


@pytest.mark.parametrize("which", ["membrane", "bending", "shear"])
@pytest.mark.parametrize("order", [1, 2, 4])
def test_patch(order, which):
    """A constant state prescribed on the rim is found inside, to rounding (1e-9 of the largest value).

    Pure shear strain is no equilibrium of a free plate (its moments are missing), so it is judged by the strain energy;
    tied shear reproduces it because it is linear.
    """
    mesh = patch(order)
    shell = Shell(mesh, {"skin": sheet(E, NU, T)})
    exact = fields(mesh.points[:, 0], mesh.points[:, 1], which)
    K = stiffness(shell)
    if which == "shear":
        S = shell.sections["skin"].S[0, 0]
        assert exact.ravel() @ K @ exact.ravel() == pytest.approx(S * (4 + 9) * 1.2 * 0.8, rel=1e-10)
        return
    held = (6 * rim(mesh)[:, None] + np.arange(6)).ravel()
    given = np.zeros(shell.size)
    given[held] = exact.ravel()[held]
    found = solve(K, np.zeros(shell.size), reduction(shell.size, held), given).displacements
    assert found == pytest.approx(exact.ravel(), abs=1e-9)
    N = membrane_resultants(shell, found)
    strain = {"membrane": [3, -2, 2], "bending": [0, 0, 0]}[which]
    assert pytest.approx(np.broadcast_to(shell.sections["skin"].A @ strain, N.shape), abs=1e-9 * E * T) == N


def bodies():
    yield "flat", CARTESIAN, grid(LINE, LINE, lambda x, y: np.stack([x, y + 0.2 * x * y, 0 * x], -1))
    yield "skin", CYLINDRICAL, skin(1.3, LINE, LINE)
    yield "web", CYLINDRICAL, stringer(0.4, 1 + LINE / 4, LINE)
    yield "helicoid", CYLINDRICAL, grid(LINE, 1 + LINE / 4, lambda t, r: np.stack([0.6 * t, t, r], -1))
    yield "twisted", TWISTED, grid(LINE, LINE, lambda x, s: np.stack([x, s, 0 * x], -1))


BODIES = list(bodies())


@pytest.mark.parametrize("order", [1, 2, 3, 4])
@pytest.mark.parametrize(("chart", "corners"), [b[1:] for b in BODIES], ids=[b[0] for b in BODIES])
def test_six_rigid_motions_and_no_more_strain_nothing(chart, corners, order):
    """Six eigenvalues at rounding (1e-13 of the largest), the seventh clear of it; thickness .05 of the size."""
    shell = Shell(single(order, corners if order < 4 else corners[:2]), {"skin": sheet(1.0, NU, T)}, chart)
    K = stiffness(shell).toarray()
    motions = rigid_motions(shell)
    assert np.abs(K @ motions).max() < 1e-13 * np.abs(K).max()
    values = np.linalg.eigvalsh(K)
    assert np.abs(values[:6]).max() < 1e-13 * values[-1]
    assert values[6] > 1e-10 * values[-1]


def test_wrong_drilling_sign_would_be_seen_in_a_spin_about_the_normal():
    """A rotation about the normal of a flat sheet costs nothing; the same displacement with the opposite turn does."""
    shell = Shell(plate(2, LINE, LINE), {"skin": sheet(1.0, NU, T)})
    K, spin = stiffness(shell), rigid_motions(shell)[:, 5]
    wrong = spin.reshape(-1, 6) * [1, 1, 1, 1, 1, -1]
    assert abs(spin @ K @ spin) < 1e-15
    G = 1 / (2 * (1 + NU))
    assert wrong.ravel() @ K @ wrong.ravel() == pytest.approx(1e-3 * G * T * 4, rel=1e-10)


@pytest.mark.parametrize("order", [1, 2, 4])
def test_both_ways_of_integration_agree(order):
    """The operator written out against the products of shape functions: rounding."""
    elements = Elements(CYLINDRICAL, order, skin(1.3, LINE, LINE))
    A = np.array([[3.0, 1, 0], [1, 2, 0], [0, 0, 1]])
    C = smeared(np.block([[A, 0.1 * A], [0.1 * A, 0.05 * A]])).matrix
    B = elements.operator()
    written = np.einsum("eqsi,st,eqtj,eq->eij", B, C, B, elements.surface.area, optimize=True)
    n = (order + 1) ** 2
    K = elements.stiffness(np.repeat(C[None], len(B), 0)).transpose(0, 1, 3, 2, 4).reshape(-1, 6 * n, 6 * n)
    assert np.abs(K - written).max() < 1e-12 * np.abs(written).max()


def test_strains_of_a_field_on_a_cylinder_are_sanders():
    """u, v, w, rotations polynomial in (x, theta) against the printed strains; order 8: interpolation 1e-7."""
    R = 1.3
    elements = Elements(CYLINDRICAL, 8, skin(R, np.array([0.2, 0.5]), np.array([0.1, 0.5])))
    places = elements.places
    x, th = places[..., 0], np.arctan2(places[..., 2], places[..., 1])
    u, v, w = x * x * th, x * th * th + x, x * x + 0.5 * th * th * x
    # normal turns by a_x = -w,x, a_y = v/R - w,y (no shear): axial turn and hoop turn of the left-handed triad
    w_x, w_y = 2 * x + 0.5 * th * th, th * x / R
    a_x, a_y = -w_x, v / R - w_y
    rotation = a_x[..., None] * np.cross(elements.directions[:, :, 2], elements.directions[:, :, 0])
    rotation += a_y[..., None] * np.cross(elements.directions[:, :, 2], elements.directions[:, :, 1])
    turns = np.einsum("endc,enc->end", elements.directions, rotation)
    d = np.concatenate([np.stack([u, v, w], -1), turns], -1)
    found = elements.strains(d)[0]
    table = elements.table
    x, th = (np.einsum("qn,n->q", table.shape[:, 0], f[0]) for f in (x, th))
    v, w = x * th * th + x, x * x + 0.5 * th * th * x
    u_x, u_y, v_x, v_y = 2 * x * th, x * x / R, th * th + 1, 2 * x * th / R
    w_xx, w_yy, w_xy = 2.0, x / R**2, th / R
    exact = np.stack(
        [u_x, v_y + w / R, u_y + v_x, 0 * x - w_xx, v_y / R - w_yy, -2 * w_xy + (3 * v_x - u_y) / (2 * R)], -1
    )
    assert found == pytest.approx(exact, abs=1e-6)


@pytest.mark.parametrize("order", [1, 4])
@pytest.mark.parametrize("z", [0.02, -0.02])
def test_sign_of_coupling(order, z):
    """A strip whose material lies z above the meshed surface, pulled at that surface, bends towards the material.

    The centroid is at z, so the pull turns the strip by M = N z: curvature k = -w,xx = -N z/D0 about the centroid and
    w(L) = N z L^2/(2 D0). nu = 0; the exact state is in the element, order 1 meets it at the nodes of a straight grid.
    """
    plain = sheet(E, 0.0, 0.01)
    A, D0 = plain.A, plain.D
    section = smeared(np.block([[A, z * A], [z * A, D0 + z * z * A]]))
    length, pull = 1.0, 1e3
    shell = Shell(plate(order, np.linspace(0, length, 5), np.array([0.0, 0.2])), {"skin": section})
    root, tip = edge(shell.mesh, 0, 0), edge(shell.mesh, 0, length)
    held = (6 * root[:, None] + np.arange(6)).ravel()
    every = np.arange(len(shell.mesh.points))
    held = np.unique(np.concatenate([held, 6 * every + 1, 6 * every + 3, 6 * every + 5]))
    f = np.zeros(shell.size)
    lobatto_weights = {1: np.array([0.5, 0.5]), 4: np.array([1 / 20, 49 / 180, 16 / 45, 49 / 180, 1 / 20])}
    f[6 * tip] = pull * 0.2 * lobatto_weights[order]
    w = solve(stiffness(shell), f, reduction(shell.size, held)).displacements[6 * tip + 2]
    assert w == pytest.approx(np.full(tip.size, pull * z * length**2 / (2 * D0[0, 0])), rel=1e-6)


def test_load_of_a_thick_square_plate_converges_with_twice_the_order():
    """Order 4: errors of load factors fall with h^8; halving the element must divide them by 2^7 at least.

    Exact for shear-flexible plates with hard support: k = 4/(1 + 2 pi^2 D/(a^2 S)).
    """
    t = 0.1
    section = sheet(1.0, NU, t)
    D = section.D[0, 0]
    exact = 4 * np.pi**2 * D / (1 + 2 * np.pi**2 * D / section.S[0, 0])
    errors = []
    for n in (2, 4):
        shell = Shell(plate(4, np.linspace(0, 1, n + 1), np.linspace(0, 1, n + 1)), {"skin": section})
        errors.append(square_load(shell, [-1, 0, 0]) / exact - 1)
    assert 0 < errors[1] < errors[0] / 2**7
    assert errors[1] < 1e-6


def square_load(shell, N, clamped: bool = False) -> float:
    """Lowest factor of membrane resultants N on a square plate of side 1, held hard on its rim, in bending alone."""
    mesh = shell.mesh
    ends, sides = (np.concatenate([edge(mesh, k, 0), edge(mesh, k, 1)]) for k in (0, 1))
    around = np.union1d(ends, sides)
    turns = [6 * around + 3, 6 * around + 4] if clamped else [6 * ends + 3, 6 * sides + 4]
    return bending_load(shell, N, np.concatenate([6 * around + 2, *turns]))


def bending_load(shell, N, held) -> float:
    """Lowest positive factor with the motion in the plane left out."""
    every = np.arange(len(shell.mesh.points))
    T = reduction(shell.size, np.unique(np.concatenate([held, 6 * every, 6 * every + 1, 6 * every + 5])))
    full = np.broadcast_to(np.asarray(N, float), (len(shell.mesh.elements), (shell.mesh.order + 1) ** 2, 3))
    K, G = (T.T @ M @ T for M in (stiffness(shell), -geometric(shell, full)))
    if T.shape[1] > 400:
        t = np.cbrt(12 * (1 - NU**2) * shell.sections["skin"].D[0, 0])
        return float(lowest_pairs(K.tocsc(), G.tocsc(), 4 * t**3, 1, "MMD_AT_PLUS_A").values[0])
    return float(1 / eigh(G.toarray(), K.toarray(), eigvals_only=True)[-1])


def thin_square(n: int):
    """A square of side 1 and thickness .001, n elements of order 4 a side."""
    return Shell(plate(4, np.linspace(0, 1, n + 1), np.linspace(0, 1, n + 1)), {"skin": sheet(1.0, NU, 1e-3)})


EULER = np.pi**2 * 1e-9 / (12 * (1 - NU**2))


def test_simply_supported_square():
    """k = 4 (Bryan 1891); .01 % is the target, shear adds 2e-5."""
    assert square_load(thin_square(2), [-1, 0, 0]) / EULER == pytest.approx(4, rel=1e-4)


def test_clamped_square():
    """k = 10.07 (Levy 1942, four digits); own convergence 10.0766, 10.0741 with 4 and 6 elements a side."""
    assert square_load(thin_square(4), [-1, 0, 0], clamped=True) / EULER == pytest.approx(10.07, rel=1e-3)


def test_square_in_shear():
    """k = 9.34 (Timoshenko & Gere, an upper bound by energy); converged 9.325, and an upper bound lies above it."""
    k = square_load(thin_square(4), [0, 0, 1]) / EULER
    assert 9.34 * (1 - 2.5e-3) < k < 9.34


@pytest.mark.parametrize("n", [2, 3])
def test_equilateral_triangle_of_three_quadrilaterals(n):
    """16 pi^2 D/(3 a^2) under equal pressure from all sides (Woinowsky-Krieger 1933); w held, the turns left free."""
    v = np.array([[0, 0, 0], [1, 0, 0], [0.5, np.sqrt(0.75), 0]])
    middle, line = v.mean(0), np.linspace(0, 1, n + 1)
    quads = []
    for i in range(3):
        a, b, d = v[i], (v[i] + v[(i + 1) % 3]) / 2, (v[i] + v[i - 1]) / 2
        quads.append(
            grid(
                line,
                line,
                lambda s, r, a=a, b=b, d=d: sum(
                    f[..., None] * p
                    for f, p in (((1 - s) * (1 - r), a), (s * (1 - r), b), (s * r, middle), ((1 - s) * r, d))
                ),
            )
        )
    mesh = single(4, np.concatenate(quads))
    x, y, q = mesh.points[:, 0], mesh.points[:, 1], np.sqrt(3)
    around = np.nonzero((y < 1e-9) | (np.abs(q * x - y) < 1e-9) | (np.abs(q * (1 - x) - y) < 1e-9))[0]
    shell = Shell(mesh, {"skin": sheet(1.0, NU, 1e-3)})
    assert bending_load(shell, [-1, -1, 0], 6 * around + 2) / EULER == pytest.approx(16 / 3, rel=1e-4)


def test_traction_of_order_one_is_lumped_by_area():
    """The whole force arrives, in space."""
    shell = Shell(patch(1), {"skin": sheet(E, NU, T)})
    f = surface_load(shell, ("skin",), [1.0, 2.0, 3.0]).reshape(-1, 6)
    assert f.sum(axis=0) == pytest.approx(np.array([1, 2, 3, 0, 0, 0]) * 1.2 * 0.8)
