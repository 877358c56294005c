"""Nothing lower is missed: harmonics of one bay against every load of the whole barrel by a dense solver."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigh

from shellbuck.engines import fe
from shellbuck.engines.fe_barrel.completeness import with_ribs
from shellbuck.engines.fe_barrel.harmonics import first_harmonics, solve_harmonics
from shellbuck.engines.fe_barrel.meshing import Part
from shellbuck.engines.fe_barrel.solving import Solving, shell_of
from shellbuck.engines.mesh import WHOLE, Blades, Divisions, Extent, StraightRibs, build_mesh
from shellbuck.engines.mesh.build import mesh_size
from shellbuck.engines.mesh.plan import Plan

R, L, BAYS = 1.0, 0.8, 6
SHAPE = StraightRibs(R, L, 8e-3, Blades(BAYS, 0.04, 6e-3, "outside"))
DIVISIONS = Divisions(around=2, along=2, order=2, layers=False)
SECTIONS = {"skin": fe.sheet(70e9, 0.33, 8e-3), "stringer": fe.sheet(70e9, 0.33, 6e-3)}


@pytest.fixture(scope="module")
def exact() -> np.ndarray:
    """Positive loads of the whole barrel, rising: dense, with its own choice of what SS3 holds."""
    shell = shell_of(build_mesh(SHAPE, DIVISIONS, WHOLE), SECTIONS)
    x, nodes = shell.mesh.points[:, 0], np.arange(len(shell.mesh.points))
    ends = nodes[(x < 1e-9) | (x > L - 1e-9)]
    free = np.setdiff1d(np.arange(shell.size), np.concatenate([*(6 * ends + kind for kind in (1, 2, 3)), [0, 1]]))
    K, G = fe.stiffness(shell), fe.geometric(shell, -fe.uniform_strain(shell, R).axial)
    theta = eigh(G.toarray()[np.ix_(free, free)], K.toarray()[np.ix_(free, free)], eigvals_only=True)
    return 1 / theta[theta > 0][::-1]


def bay() -> fe.Loaded:
    shell = shell_of(build_mesh(SHAPE, DIVISIONS, Extent(sector=1)), SECTIONS)
    return fe.Loaded(shell, fe.Support(R, L, angle=2 * math.pi / BAYS))


@pytest.mark.parametrize("start", [(0,), (1,), (2,), (3,)])
def test_whatever_is_solved_first_the_lowest_of_all_are_found(exact, start):
    """From any one harmonic the scan finds what is lowest in the others; without it the answer is another one for some.

    1e-6: rounding of the dense solver.
    """
    angle = 2 * math.pi / BAYS
    found = solve_harmonics(bay(), angle, start, exact[0], 4, scan=True)
    assert found.line_loads[:4] == pytest.approx(exact[:4], rel=1e-6)
    assert found.listed == 4
    assert set(found.solved) | set(found.empty) == set(range(BAYS // 2 + 1))
    assert found.counted == np.sum(exact <= exact[3] * (1 + 1e-6))


def test_one_harmonic_alone_is_not_the_barrel(exact):
    """The fault that the scan is there for: the loads of one n stand above the lowest."""
    lowest = [bay().lowest(exact[0], 1, phase=k * 2 * math.pi / BAYS).line_loads[0] for k in range(BAYS // 2 + 1)]
    assert min(lowest) == pytest.approx(exact[0], rel=1e-6)
    assert max(lowest) > 1.01 * exact[0]


@pytest.mark.parametrize(("want", "replaced"), [(1, False), (2, True)])
def test_a_part_that_holds_some_n_only_is_counted_out_or_replaced(exact, want, replaced):
    """A third of half the barrel holds n = 0, 3, 6 ... The lowest load of all is of k = 3 and the part's own: counts in
    k = 1 and 2 show nothing below it. The second is of k = 2: the part's second lies 1.4 % higher, and the bay takes
    its place."""
    extent = Extent(sector=1, cut="between")
    plan = Plan(DIVISIONS, mesh_size(SHAPE, DIVISIONS, extent), 0.3, 1.0, 1.0, 1.0, 1)
    part = Part(plan, extent, math.pi / 3, ("even", "odd"), 3, BAYS)
    solving = Solving(SHAPE, SECTIONS, ("SS3", "SS3"), float(exact[0]), want=want)
    found, complete = with_ribs(solving, [part], True, (2,), 10**6)
    assert found[-1].line_loads[:want] == pytest.approx(exact[:want], rel=1e-6)
    assert (complete.value, complete.passed) == (0.0, True)
    assert bool(found[-1].harmonics) is replaced
    few, incomplete = with_ribs(solving, [part], True, (2,), 10)
    assert few[-1].part.multiple == 3
    assert (incomplete.value, incomplete.passed) == (2.0, False)
    assert "2 other harmonics were not counted" in incomplete.text


def test_harmonics_that_are_always_solved():
    """k = 0, the k nearest N/2, and N/2 itself where N is even."""
    assert first_harmonics((), 49) == (0, 24)
    assert first_harmonics((), 48) == (0, 23, 24)
    assert first_harmonics((50,), 49) == (1, 0, 24)
