"""Cells of an endless wall: limits of pockets, strips and ribs, symmetries of phases."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq

from shellbuck.core.errors import Refusal
from shellbuck.engines.cell import (
    CellRib,
    Fineness,
    LineLoads,
    LoadedCell,
    OrthogridCell,
    StringerCell,
    TriangleCell,
    cell_loads,
    mesh_cell,
)

E, NU, T = 70e9, 0.3, 1e-3
PI = math.pi
D = E * T**3 / (12 * (1 - NU**2))
WEAK = CellRib(1e-4, 1e-3, youngs_modulus=1e-4 * E)
"""Stout, so that it does not cripple, of next to no stiffness."""
STIFF = CellRib(0.02, 5e-3, youngs_modulus=1e3 * E)
AXIAL, HOOP = LineLoads(axial=1.0), LineLoads(hoop=1.0)
COARSE = Fineness(half=1)


def uniaxial(meshed, **choices):
    """The cell under skin stress along the axis alone, by strains (-1, nu, 0), and that stress times thickness."""
    probe = LoadedCell(meshed, AXIAL)
    N = probe.stiffness_of_section @ [-1.0, NU, 0.0]
    return LoadedCell(meshed, LineLoads(-N[0], -N[1]), **choices), E * T


def factor(loaded, phases, want=1):
    return loaded.lowest(phases, want)[0]


def test_strip_on_knife_edges_has_k_4():
    """Timoshenko & Gere: k = 4 at half-waves as long as the strip is wide. The error is that of the thin plate: N/(5/6
    G t) = 4 pi^2/12/(1 - nu^2) (t/b)^2 2 (1 + nu) 6/5 = .11 %."""
    cell = StringerCell(T, E, NU, 0.1, 0.1, WEAK)
    (found,) = cell_loads(cell, AXIAL, (PI, PI), want=1, held_lines=True)
    assert found.loads.axial * 0.1**2 / (PI**2 * D) == pytest.approx(4 * (1 - 0.0011), rel=6e-4)


@pytest.mark.parametrize("phi_theta", [0.0, PI])
def test_strip_between_stiff_stringers_is_clamped(phi_theta):
    """Timoshenko & Gere: k = 6.97 at half-waves of .66 b; what its neighbours do is nothing to it."""
    cell = StringerCell(2e-4, E, NU, 0.1, 0.0661, CellRib(5e-3, 2e-3, youngs_modulus=1e3 * E))
    meshed = mesh_cell(cell)
    A = LoadedCell(meshed, AXIAL).stiffness_of_section
    loaded = LoadedCell(meshed, LineLoads(*-(A @ [-1.0, NU, 0.0])[:2]), held_lines=True)
    stress = factor(loaded, (PI, phi_theta))[0] * E
    k = stress * 12 * (1 - NU**2) / (PI**2 * E) * (0.1 / 2e-4) ** 2
    assert k == pytest.approx(6.97, rel=5e-4)


def test_biaxial_triangle_on_weak_ribs_is_simply_supported():
    """N = 4 pi^2 D/h^2 exactly (polygon of a membrane); adjacent triangles move oppositely, so that nothing restrains
    them. Shear lowers the load by 1/(1 + N/(5/6 G t)), .037 %."""
    cell = TriangleCell(T, E, NU, "hoop", 0.2, WEAK)
    (found,) = cell_loads(cell, LineLoads(1.0, 1.0), (0.0, 0.0), want=1, held_lines=True)
    assert found.loads.axial * cell.height**2 / (4 * PI**2 * D) == pytest.approx(1 - 3.7e-4, abs=4e-4)


@pytest.mark.parametrize(
    ("family", "load", "k"), [("hoop", AXIAL, 250.413), ("axial", AXIAL, 253.693), ("hoop", None, 146.4129)]
)
def test_triangle_between_stiff_ribs_is_clamped(family, load, k):
    """Converged coefficients N a^2/D of the clamped triangle (own, as tests/handbook/test_triangles_published)."""
    meshed = mesh_cell(TriangleCell(T, E, NU, family, 0.5, STIFF))
    if load is None:
        loaded, line = LoadedCell(meshed, LineLoads(1.0, 1.0), held_lines=True), None
        line = float(-(E * T / (1 - NU)) * loaded.unit_strain[0])
    else:
        loaded, line = uniaxial(meshed, held_lines=True)
    first, second = factor(loaded, (0.0, 0.0), 2)
    assert first * line * 0.5**2 / D == pytest.approx(k, rel=5e-4)
    # two triangles, each alone
    assert second == pytest.approx(first, rel=1e-3)


@pytest.mark.parametrize(("family", "c"), [("hoop", 7.14), ("axial", 7.19)])
def test_continuous_skin_over_held_lines(family, c):
    """Reference shelf, elements.md: 7.14 with the load perpendicular to a family, 7.19 along it (nu = 1/3), N = c E t
    (t/h)^2; the isolated triangle, 6.77 and 6.86, is the lower bound."""
    cell = TriangleCell(T, E, 1 / 3, family, 0.2, WEAK)
    (found,) = cell_loads(cell, AXIAL, (0.0, 0.0), want=1, held_lines=True, fineness=COARSE)
    assert found.loads.axial / (E * T) * (cell.height / T) ** 2 == pytest.approx(c, rel=2e-3)


def one_edge_free(ratio: float) -> float:
    """Exact k of a plate a = ratio b, both ends and one side simply supported, one side free, loaded along it: w = A
    sinh p y + B sin q y with M = V = 0 at y = b."""
    m = PI / ratio

    def open_edge(k):
        n = PI * math.sqrt(k) * m
        p, q = math.sqrt(n + m * m), math.sqrt(n - m * m)
        return (p * p - NU * m * m) ** 2 * math.sinh(p) / p * math.cos(q) - (q * q + NU * m * m) ** 2 * math.sin(
            q
        ) / q * math.cosh(p)

    lowest = ratio**-2
    return brentq(open_edge, lowest + 1e-3, lowest + 0.46)


@pytest.mark.parametrize("ratio", [1.0, 4.0])
def test_a_rib_alone_buckles_like_a_plate_with_one_edge_free(ratio):
    """A deep blade on a skin too thin to hold its root against turning. Against the rule .4255 + (b/a)^2 the exact k is
    1.7 and .4 % lower; a free edge that shears takes .63 b/d of the part of torsion, up to .3 % here."""
    d, b = 0.05, 2.5e-4
    cell = StringerCell(3e-6, E, NU, 5.1e-4, ratio * d, CellRib(d, b))
    loaded = LoadedCell(mesh_cell(cell, fineness=Fineness(field=1, along=2)), AXIAL, held_lines=True)
    strain = -factor(loaded, (PI, PI))[0] * loaded.unit_strain[0]
    k = strain * 12 * (1 - NU**2) / PI**2 * (d / b) ** 2
    assert one_edge_free(ratio) == pytest.approx(0.4255 + ratio**-2, rel=0.02)
    assert k == pytest.approx(one_edge_free(ratio), rel=4e-3)


def test_long_waves_of_an_unsupported_wall_are_those_of_the_smeared_one():
    """Waves along the axis alone: a wide column, N = (D11 - B11^2/A11) k^2 of the section as modelled."""
    b, d, t = 2e-3, 0.01, T
    cell = StringerCell(t, E, NU, 0.05, 0.05, CellRib(d, b))
    k = 0.1 / 0.05
    (found,) = cell_loads(cell, AXIAL, (0.1, 0.0), want=1)
    full, depth = E / (1 - NU**2), d + t / 2
    A = full * t + E * b * depth / 0.05
    B = E * b * depth**2 / 2 / 0.05
    D11 = full * t**3 / 12 + E * b * depth**3 / 3 / 0.05
    # the strain across is zero: N_theta = -nu N of the skin acts too and does no work on these waves
    assert found.loads.axial == pytest.approx((D11 - B**2 / A) * k**2, rel=5e-3)


def test_a_curved_bare_wall_has_the_waves_of_donnell():
    """N = D (a^2 + b^2)^2/a^2 + E t a^2/(R^2 (a^2 + b^2)^2) (Donnell, simply supported), to 1/n^2, n = 30."""
    R, t = 1.0, 2e-3
    side = 2 * PI * R / 120
    cell = StringerCell(t, E, NU, side, side, CellRib(1e-5, 2e-3, youngs_modulus=1e-5 * E))
    a, b = 0.5 / side, PI / 2 / side
    (found,) = cell_loads(cell, AXIAL, (0.5, PI / 2), want=1, radius=R, fineness=Fineness(field=1))
    thin = E * t**3 / (12 * (1 - NU**2)) * (a**2 + b**2) ** 2 / a**2 + E * t * a**2 / (R**2 * (a**2 + b**2) ** 2)
    assert found.loads.axial == pytest.approx(thin, rel=5e-3)


@cache
def grid(load: LineLoads, family: str = "hoop") -> LoadedCell:
    rib = CellRib(0.01, 1e-3)
    return LoadedCell(
        mesh_cell(TriangleCell(T, E, NU, family, 0.1, rib), fineness=Fineness(half=1, layers=False)), load
    )


def test_opposite_phases_and_whole_turns_change_nothing():
    loaded = grid(LineLoads(1.0, 0.3, 0.2))
    base = factor(loaded, (1.0, 0.4), 2)
    assert factor(loaded, (-1.0, -0.4), 2) == pytest.approx(base, rel=1e-8)
    assert factor(loaded, (1.0 - 2 * PI, 0.4 + 2 * PI), 2) == pytest.approx(base, rel=1e-8)


def test_count_agrees_with_the_loads():
    loaded = grid(LineLoads(1.0, 0.3, 0.2))
    values = factor(loaded, (1.0, 0.4), 3)
    assert [loaded.count((1.0, 0.4), x) for x in (values[0] * 0.999, values[0] * 1.001, values[2] * 1.001)] == [0, 1, 3]


def test_grid_turned_by_60_degrees_with_its_load():
    """The grid turned by 60 degrees is itself: vector x goes to vector theta, theta to theta - x. A state of phases (p,
    q) becomes one of (p - q, p) under the turned line loads."""
    c, s = 0.5, math.sqrt(3) / 2
    turn = np.array([[c, -s], [s, c]])
    N = turn @ np.array([[-1.0, 0.2], [0.2, -0.3]]) @ turn.T
    turned = grid(LineLoads(-N[0, 0], -N[1, 1], N[0, 1]))
    p, q = 1.0, 0.4
    base = factor(grid(LineLoads(1.0, 0.3, 0.2)), (p, q), 2)
    assert factor(turned, (p - q, p), 2) == pytest.approx(base, rel=1e-7)


def test_grid_families_are_each_other_turned_by_90_degrees():
    """N_x on one is N_theta on the other. (x, theta) to (-theta, x): vector x (h, a/2) of the hoop grid goes to (-a/2,
    h), theta - x of the axial one; theta (0, a) to (-a, 0), its -x."""
    p, q = 1.0, 0.4
    base = factor(grid(LineLoads(1.0, 0.3)), (p, q), 2)
    assert factor(grid(LineLoads(0.3, 1.0), "axial"), (-q, p - q), 2) == pytest.approx(base, rel=1e-7)


@pytest.mark.parametrize("root", ["mid", "offset"])
def test_two_cells_as_one_hold_the_states_of_both_phases(root):
    """A cell twice as long has at phase 2 p what the single one has at p and at p + pi."""
    rib = CellRib(0.01, 1e-3)
    one, two = (
        LoadedCell(mesh_cell(StringerCell(T, E, NU, 0.1, length, rib), root=root), AXIAL) for length in (0.05, 0.1)
    )
    both = np.sort(np.concatenate([factor(one, (0.5, 0.9), 2), factor(one, (0.5 + PI, 0.9), 2)]))
    assert factor(two, (1.0, 0.9), 2) == pytest.approx(both[:2], rel=1e-8)


def test_a_root_on_an_arm_is_softer_than_one_through_the_skin():
    """Half a skin thickness less of rib: its own line loads, the strain at which it buckles lower as well."""
    cell = TriangleCell(T, E, NU, "axial", 0.1, CellRib(0.01, 1e-3))
    mid, offset = (cell_loads(cell, AXIAL, (PI, 0.0), want=1, root=r, fineness=COARSE)[0] for r in ("mid", "offset"))
    assert 0.9 < offset.loads.axial / mid.loads.axial < 1.0


def test_orthogrid_with_held_lines_is_a_row_of_plates():
    """Square pockets: k = 4 under axial load, 2 under equal biaxial load (Timoshenko & Gere). Quarter turn: N_x and
    N_theta change places."""
    cell = OrthogridCell(T, E, NU, 0.2, 0.2, WEAK, WEAK)
    unit = PI**2 * D / 0.2**2
    for load, k in ((AXIAL, 4.0), (HOOP, 4.0), (LineLoads(1.0, 1.0), 2.0)):
        (found,) = cell_loads(cell, load, (PI, PI), want=1, held_lines=True)
        assert found.factor / unit == pytest.approx(k, rel=1e-3)


def test_ribs_that_are_no_plates_and_no_load_are_refused():
    with pytest.raises(Refusal, match="half the skin field"):
        StringerCell(T, E, NU, 0.1, 0.1, CellRib(0.01, 0.06))
    with pytest.raises(Refusal, match="not all zero"):
        LineLoads()
