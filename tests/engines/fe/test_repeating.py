"""Sectors that repeat with a phase: their loads are those of the whole barrel, wave by wave."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigh

from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.engines.fe import (
    Loaded,
    Shell,
    Support,
    buckle,
    geometric,
    linear_statics,
    sheet,
    side_ties,
    stiffness,
    uniform_strain,
)
from shellbuck.engines.fe.content import wave_content
from shellbuck.engines.fe.energy import energy_shares
from shellbuck.engines.fe.repeating import fields_of, repeating_content, repeating_likeness, standard_turn, turned
from shellbuck.engines.mesh import WHOLE, Blades, Divisions, Extent, StraightRibs, TriangularRibs, build_mesh

E, NU, R = 70e9, 0.33, 1.0
BAYS = 5


def shape_of(kind: str) -> StraightRibs | TriangularRibs:
    pitch = 2 * math.pi * R / BAYS
    if kind == "stringers":
        return StraightRibs(R, 0.8, 8e-3, Blades(BAYS, 0.04, 6e-3, "outside"))
    row = pitch * math.sqrt(3) / 2 if kind == "hoop" else pitch / math.sqrt(3)
    count = BAYS if kind == "hoop" else 2 * BAYS  # a bay of an axial grid is two columns
    return TriangularRibs(kind, R, 2 * row, 8e-3, count, 0.03, 6e-3, "inside", 2)


def shell_of(kind: str, extent: Extent) -> Shell:
    around = 2 if kind == "stringers" else 1
    mesh = build_mesh(shape_of(kind), Divisions(around=around, along=3, order=3), extent)
    return Shell(mesh, {name: sheet(E, NU, 8e-3 if name == "skin" else 6e-3) for name in mesh.parts})


def length_of(shell: Shell) -> float:
    return float(np.ptp(shell.mesh.points[:, 0]))


@pytest.fixture(
    scope="module", params=["hoop", *(pytest.param(kind, marks=pytest.mark.slow) for kind in ("stringers", "axial"))]
)
def both(request):
    """The whole barrel with its lowest modes, and one bay of it."""
    whole, sector = shell_of(request.param, WHOLE), shell_of(request.param, Extent(sector=1))
    L = length_of(whole)
    return whole, buckle(whole, Support(R, L), 5e6, want=10, pressure=1e5), sector, L


def test_loads_of_the_whole_barrel_wave_by_wave(both):
    """Every load of the whole barrel belongs to the phase of its leading n, twice, and no phase has another below.

    The same elements, so that only rounding parts them: 1e-8.
    """
    whole, found, sector, L = both
    angle = 2 * math.pi / BAYS
    by_phase = []
    for n in range(1, BAYS // 2 + 1):
        support = Support(R, L, angle=sector.mesh.angle, phase=n * angle)
        loads = buckle(sector, support, 5e6, want=6, pressure=1e5).line_loads
        assert loads[::2] == pytest.approx(loads[1::2], rel=1e-8)
        by_phase += [(load, n) for load in loads]
    top = found.line_loads[-1] * (1 - 1e-6)
    waves = [min(w % BAYS, -w % BAYS) for w in (wave_content(whole, mode, L).n for mode in found.modes.T)]
    expected = [(load, n) for load, n in zip(found.line_loads, waves, strict=True) if load < top and n]
    below = sorted(item for item in by_phase if item[0] < top)
    assert np.array([item[0] for item in below]) == pytest.approx([item[0] for item in expected], rel=1e-8)
    assert sorted(item[1] for item in below) == sorted(item[1] for item in expected)


def test_content_and_energy_are_those_of_the_whole_barrel(both):
    whole, found, sector, L = both
    angle = sector.mesh.angle
    contents = [wave_content(whole, mode, L) for mode in found.modes.T]
    i, n = next((i, c.n % BAYS) for i, c in enumerate(contents) if c.n % BAYS > 0)
    support = Support(R, L, angle=angle, phase=n * angle)
    modes = buckle(sector, support, 5e6, want=2, pressure=1e5).modes
    content = repeating_content(sector, modes[:, 0], n, L, angle)
    alike = np.abs(found.line_loads / found.line_loads[i] - 1) < 1e-7
    twins = [c for c, is_twin in zip(contents, alike, strict=True) if is_twin]
    assert (content.m, content.n) == (twins[0].m, twins[0].n)
    # a mode of the whole barrel may be any mixture of the pair, whose shares are alike but where n meets -n: 1e-3
    assert content.share == pytest.approx(np.mean([c.share for c in twins]), abs=1e-3)
    one, other = energy_shares(whole, found.modes[:, i]), energy_shares(sector, fields_of(modes[:, 0]))
    assert dict(other.shares) == pytest.approx(dict(one.shares), abs=1e-3)
    assert other.general is one.general


def test_standard_turn_is_one_for_any_mixture_of_the_pair():
    sector = shell_of("hoop", Extent(sector=1))
    L, angle, n = length_of(sector), sector.mesh.angle, 2
    found = buckle(sector, Support(R, L, angle=angle, phase=n * angle), 5e6, want=2)
    first = standard_turn(sector, found.line_loads, found.modes, n, L, angle, 1e-6)
    mixed = np.column_stack([turned(first[:, 0], 0.7), turned(first[:, 0], 0.7 + math.pi / 2)])
    again = standard_turn(sector, found.line_loads, mixed, n, L, angle, 1e-6)
    assert again == pytest.approx(first, abs=1e-9 * np.abs(first).max())
    assert first[:, 1] == pytest.approx(turned(first[:, 0], math.pi / 2), abs=1e-12)
    content = repeating_content(sector, first[:, 0], n, L, angle)
    x = np.linspace(0, L, 200)
    wave = (x, np.sin(content.m * math.pi * x / L))
    # the MAC with its own leading wave is that wave's share of w^2, where n is not met by -n
    signed = content.n if (content.n - n) % BAYS == 0 else -content.n
    assert repeating_likeness(sector, first, signed, wave) == pytest.approx(content.share, abs=1e-3)
    shorter = (x, np.sin((content.m + 30) * math.pi * x / L))
    assert repeating_likeness(sector, first, signed, shorter) < 0.01


def test_refusals():
    sector = shell_of("stringers", Extent(sector=1))
    for ends, phase, words in ((("SS3", "FREE"), 1.0, "ends that hold w"), (("SS3", "SS3"), 0.0, "tie the sides")):
        with pytest.raises(Refusal, match=words):
            buckle(sector, Support(R, 0.8, *ends, angle=sector.mesh.angle, phase=phase), 5e6)


FOUR = StraightRibs(R, 0.8, 8e-3, Blades(4, 0.04, 6e-3, "outside"))


def four(extent: Extent) -> Shell:
    mesh = build_mesh(FOUR, Divisions(around=1, along=2, order=3), extent)
    return Shell(mesh, {name: sheet(E, NU, 8e-3 if name == "skin" else 6e-3) for name in mesh.parts})


def all_loads(shell: Shell, kind: str, pressure: float) -> np.ndarray:
    """Every positive load of a whole barrel by scipy's dense eigensolver, with its own choice of what SS3 holds:
    v, w and the turn about the axis at the nodes of both ends, and the two rigid motions by one node."""
    x, nodes = shell.mesh.points[:, 0], np.arange(len(shell.mesh.points))
    ends = nodes[(x < 1e-9) | (x > 0.8 - 1e-9)]
    held = np.concatenate([*(6 * ends + kind for kind in (1, 2, 3)), [0, 1]])
    free = np.setdiff1d(np.arange(shell.size), held)
    K, support = stiffness(shell), Support(R, 0.8)
    state = uniform_strain(shell, R) if kind == "uniform strain" else linear_statics(shell, K, support)
    K = K + pressure * geometric(shell, state.pressure)
    G = geometric(shell, -state.axial)
    theta = eigh(G.toarray()[np.ix_(free, free)], K.toarray()[np.ix_(free, free)], eigvals_only=True)
    return 1 / theta[theta > 0][::-1]


@pytest.mark.parametrize("kind", ["uniform strain", "linear statics"])
def test_all_phases_together_are_the_whole_barrel_no_more_and_no_less(kind):
    """Four bays, phases 0, pi/2 and pi, against the dense solver on the whole barrel: the same loads as often.

    The prestress of linear statics was that of a bay with free sides (loads 8 % too high); at pi every load came twice.
    1e-6: rounding of a dense solver on a spread of stiffness of 1e9.
    """
    pressure = 5e4
    exact = all_loads(four(WHOLE), kind, pressure)[:16]
    sector = four(Extent(sector=1))
    loaded = Loaded(sector, Support(R, 0.8, angle=math.pi / 2), pressure=pressure, prestress=kind)
    found = {k: loaded.lowest(exact[0], 12, phase=k * math.pi / 2) for k in (0, 1, 2)}
    together = np.sort(np.concatenate([f.line_loads for f in found.values()]))[:16]
    assert together == pytest.approx(exact, rel=1e-6)
    assert all(f.modes.shape == (2 * sector.size, 12) for f in found.values())
    assert not found[2].modes[sector.size :].any()
    # counts: below a load between two of the whole barrel
    gap = int(np.argmax(np.diff(exact)))
    middle = exact[gap : gap + 2].mean()
    assert sum(loaded.count(middle, k * math.pi / 2) for k in (0, 1, 2)) == gap + 1
    single = buckle(
        sector, Support(R, 0.8, angle=math.pi / 2, phase=math.pi), exact[0], want=3, pressure=pressure, prestress=kind
    )
    assert single.line_loads == pytest.approx(found[2].line_loads[:3], rel=1e-9)


def test_ties_beside_a_phase_are_refused():
    """They were dropped without a word."""
    sector = four(Extent(sector=1))
    support = Support(R, 0.8, angle=math.pi / 2, phase=1.0, ties=(side_ties(sector.mesh),))
    with pytest.raises(Refusal, match=r"takes no other ties.*the phase ties the sides"):
        buckle(sector, support, 1e6)


def test_counting_sees_a_pressure_that_buckles_the_barrel_alone():
    """Outside pressure far beyond critical, of which a count below an axial load says nothing."""
    sector = four(Extent(sector=1))
    loaded = Loaded(sector, Support(R, 0.8, angle=math.pi / 2), pressure=-1e8)
    with pytest.raises(Incomplete, match="buckles the wall alone"):
        loaded.count(1e5, math.pi / 2)
