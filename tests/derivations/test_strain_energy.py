"""The 3x3 stiffness of a simply supported barrel, derived with sympy from the strain-displacement relations.

Source of the relations: Donnell (textbook, memory) and Sanders 1963 (memory); source of the printed coefficients:
NASA SP-8007 Rev 2, Eqs 52-59 (published). Everything derived from them is own. The displacements are differentiated
here, so no amplitude below is written down by hand.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import sympy as sp

from shellbuck.engines.closed_form.loads import columns, hoop_rotation
from shellbuck.handbook import orthotropic

x, theta = sp.symbols("x theta", real=True)
a, b, R = sp.symbols("a b R", positive=True)
U, V, W = sp.symbols("U V W", real=True)
AMPLITUDES = (U, V, W)
E_x, E_y, E_xy, G_xy, C_x, C_y, C_xy, K_xy, D_x, D_y, D_12, D_66 = sp.symbols(
    "E_x E_y E_xy G_xy C_x C_y C_xy K_xy D_x D_y D_12 D_66", positive=True
)
A = sp.Matrix([[E_x, E_xy, 0], [E_xy, E_y, 0], [0, 0, G_xy]])
B = sp.Matrix([[C_x, C_xy, 0], [C_xy, C_y, 0], [0, 0, K_xy]])
D = sp.Matrix([[D_x, D_12, 0], [D_12, D_y, 0], [0, 0, D_66]])
STIFFNESS = sp.BlockMatrix([[A, B], [B, D]]).as_explicit()
THEORIES = ["Donnell", "Sanders"]


def strains(u, v, w, theory: str) -> list[sp.Expr]:
    """(e_x, e_y, g, k_x, k_y, k_xy) of a displacement field of x and theta."""
    membrane = [u.diff(x), v.diff(theta) / R + w / R, u.diff(theta) / R + v.diff(x)]
    bending = [-w.diff(x, 2), -w.diff(theta, 2) / R**2, -2 * w.diff(x, theta) / R]
    if theory == "Sanders":
        bending[1] += v.diff(theta) / R**2
        bending[2] += sp.Rational(3, 2) * v.diff(x) / R - u.diff(theta) / (2 * R**2)
    return membrane + bending


def rotations(u, v, w, theory: str) -> tuple[list[sp.Expr], list[sp.Expr]]:
    """Rotations whose squares an axial and a hoop membrane force multiply."""
    if theory == "Donnell":
        return [w.diff(x)], [w.diff(theta) / R]
    f = (v.diff(x) - u.diff(theta) / R) / 2
    return [w.diff(x), f], [(v - w.diff(theta)) / R, f]


def field():
    """Simply supported field; w = v = N_x = M_x = 0 where sin(a x) = 0."""
    n = b * R
    return (
        U * sp.cos(a * x) * sp.cos(n * theta),
        V * sp.sin(a * x) * sp.sin(n * theta),
        W * sp.sin(a * x) * sp.cos(n * theta),
    )


WAVES = [sp.sin(a * x), sp.cos(a * x), sp.sin(b * R * theta), sp.cos(b * R * theta)]
LETTERS = sp.symbols("s_x c_x s_y c_y")
SHAPES = [(i, j) for i in (0, 1) for j in (2, 3)]


def rows_of(expressions) -> tuple[sp.Matrix, list[tuple[int, int]]]:
    """Coefficients of U, V, W of each expression, and the one product of waves that it carries."""
    rows, shapes = [], []
    for expression in expressions:
        polynomial = sp.expand(expression.subs(dict(zip(WAVES, LETTERS, strict=True))))
        assert not polynomial.has(x, theta)
        present = [(i, j) for i, j in SHAPES if polynomial.coeff(LETTERS[i]).coeff(LETTERS[j]) != 0]
        assert len(present) == 1, f"not one product: {expression}"
        i, j = present[0]
        amplitude = polynomial.coeff(LETTERS[i]).coeff(LETTERS[j])
        assert sp.expand(polynomial - amplitude * LETTERS[i] * LETTERS[j]) == 0
        rows.append([amplitude.diff(s) for s in AMPLITUDES])
        shapes.append((i, j))
    return sp.Matrix(rows), shapes


@cache
def four_energies(theory: str) -> tuple[sp.Matrix, sp.Matrix, sp.Matrix]:
    """Four times the mean over whole waves: strain energy, axial and hoop work, as matrices in U, V, W.

    Products of one shape average to 1/4; products of different shapes would average to 0, and none is met.
    """
    e, shapes = rows_of(strains(*field(), theory))
    for i in range(6):
        for j in range(6):
            assert STIFFNESS[i, j] == 0 or shapes[i] == shapes[j]
    axial, hoop = (rows_of(r)[0] for r in rotations(*field(), theory))
    return (e.T * STIFFNESS * e).expand(), (axial.T * axial).expand(), (hoop.T * hoop).expand()


def test_mean_of_a_squared_shape():
    wave, round_ = 2 * sp.pi / a, 2 * sp.pi
    n = sp.Symbol("n", positive=True, integer=True)
    for i, j in SHAPES:
        squared = sp.integrate((WAVES[i] * WAVES[j]).subs(b, n / R) ** 2, (x, 0, wave), (theta, 0, round_))
        assert sp.simplify(squared / (wave * round_)) == sp.Rational(1, 4)


@pytest.mark.parametrize("theory", THEORIES)
def test_field_is_simply_supported(theory):
    # w, v, N_x and M_x vanish at x = 0 exactly, so the closed form is the whole solution
    u, v, w = field()
    e = sp.Matrix(strains(u, v, w, theory))
    forces = STIFFNESS * e
    for quantity in (v, w, forces[0], forces[3]):
        assert sp.simplify(quantity.subs(x, 0)) == 0


@pytest.mark.parametrize("theory", THEORIES)
def test_rigid_motions(theory):
    """Sanders' strains vanish under every rigid motion; Donnell's bending strains do not."""
    ring = sp.Matrix([x, R * sp.cos(theta), R * sp.sin(theta)])
    normal = sp.Matrix([0, sp.cos(theta), sp.sin(theta)])
    tangent = sp.Matrix([0, -sp.sin(theta), sp.cos(theta)])
    shift = sp.Matrix(sp.symbols("c1:4"))
    spin = sp.Matrix(sp.symbols("o1:4"))
    motion = shift + spin.cross(ring)
    found = [sp.simplify(s) for s in strains(motion[0], motion.dot(tangent), motion.dot(normal), theory)]
    assert found[:3] == [0, 0, 0]
    assert (found[3:] == [0, 0, 0]) == (theory == "Sanders")


def test_printed_donnell_coefficients():
    # SP-8007 Rev 2, Eqs 52-59 (published): its u runs the other way, so a12 and a13 change sign
    D_xy = 2 * D_12 + 4 * D_66
    a13 = E_xy * a / R + C_x * a**3 + (C_xy + 2 * K_xy) * a * b**2
    a12 = (E_xy + G_xy) * a * b
    a23 = E_y * b / R + C_y * b**3 + (C_xy + 2 * K_xy) * a**2 * b
    a33 = D_x * a**4 + D_xy * a**2 * b**2 + D_y * b**4 + E_y / R**2 + 2 * C_y / R * b**2 + 2 * C_xy / R * a**2
    printed = sp.Matrix(
        [[E_x * a**2 + G_xy * b**2, -a12, -a13], [-a12, E_y * b**2 + G_xy * a**2, a23], [-a13, a23, a33]]
    )
    K, axial, hoop = four_energies("Donnell")
    assert (K - printed).expand() == sp.zeros(3)
    assert axial == sp.diag(0, 0, a**2)
    assert hoop == sp.diag(0, 0, b**2)


def test_sanders_differs_by_terms_in_1_over_R():
    K_donnell, K_sanders = four_energies("Donnell")[0], four_energies("Sanders")[0]
    difference = (K_sanders - K_donnell).expand()
    assert difference != sp.zeros(3)
    curvature = sp.Symbol("curvature")  # 1/R
    assert difference.subs(R, 1 / curvature).expand().subs(curvature, 0) == sp.zeros(3)
    assert difference[2, 2] == 0


POINTS = [  # a, b, R as exact rationals: a < b, a = b, a > b
    ("3/10", "7/2", "5/3"),
    ("1/1000", "4", "9/4"),
    ("5/4", "5/4", "3"),
    ("7/3", "1/5", "2"),
    ("40", "1/7", "11/2"),
]


@cache
def change_of_unknowns() -> dict[str, sp.Matrix]:
    """(U, V, W) by (e_y, g, W) and by (e_x, g, W), solved from the strains above."""
    e = rows_of(strains(*field(), "Donnell"))[0] * sp.Matrix(AMPLITUDES)
    out = {}
    for name, index in (("many", 1), ("few", 0)):
        stretch, shear = sp.symbols("stretch shear")
        solved = sp.solve([e[index] - stretch, e[2] - shear], [U, V], dict=True)[0]
        old = sp.Matrix([solved[U], solved[V], W]).applyfunc(sp.expand)
        out[name] = old.jacobian([stretch, shear, W])
    return out


@pytest.mark.parametrize("theory", THEORIES)
@pytest.mark.parametrize("point", POINTS)
def test_kinematics_of_the_code(theory, point):
    numbers = dict(zip((a, b, R), map(sp.Rational, point), strict=True))
    change = change_of_unknowns()["many" if numbers[b] >= numbers[a] else "few"]
    e = rows_of(strains(*field(), theory))[0]
    axial, hoop = (rows_of(r)[0] for r in rotations(*field(), theory))
    at = tuple(np.float64(numbers[key]) for key in (a, b, R))
    of = columns(*at, theory)
    rows = np.array([of.x, of.y, (0.0, 1.0, 0.0), (0.0, 0.0, at[0] ** 2), of.p, of.q], float)

    def same(derived: sp.Matrix, found: np.ndarray) -> None:
        exact = np.array((derived * change).subs(numbers).tolist(), dtype=float)
        # 4e-16 per rounding, at most a handful; entries that cancel to 0 are exact zeros in both
        np.testing.assert_allclose(found, exact, rtol=4e-15, atol=0)

    same(e, rows)
    # w,x = a W needs no row of its own
    assert axial[0, :] == sp.Matrix([[0, 0, a]])
    if theory == "Sanders":
        # a rotation enters squared: its sign is free
        for derived, found in ((axial[1, :], of.f), (hoop[0, :], hoop_rotation(*at)), (hoop[1, :], of.f)):
            exact = (derived * change).subs(numbers)
            sign = next(np.sign(float(v)) * np.sign(f) for v, f in zip(exact, found, strict=True) if v)
            same(derived, sign * np.array(found, float)[None, :])


def test_axisymmetric_limit_formula(monkeypatch):
    # own: S/a^2 at n = 0 is p a^2 + q + r/a^2, least at q + 2 sqrt(p r) over real a
    K = four_energies("Donnell")[0].subs(b, 0)
    load = sp.expand((K[2, 2] - K[0, 2] ** 2 / K[0, 0]) / a**2)
    p, q, r = load.coeff(a, 2), load.coeff(a, 0), load.coeff(a, -2)
    assert sp.simplify(load - p * a**2 - q - r / a**2) == 0
    monkeypatch.setattr(orthotropic, "sqrt", sp.sqrt)
    formula = orthotropic.axisymmetric_limit(R, E_x, E_y, E_xy, C_x, C_xy, D_x)
    mean = (formula - q) / 2
    assert sp.simplify(mean**2 - p * r) == 0
    monkeypatch.setattr(orthotropic, "pi", sp.pi)
    column = orthotropic.wide_column_line_load(D_x, C_x, E_x, sp.pi / a)
    assert sp.simplify(p * a**2 - column) == 0
