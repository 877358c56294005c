"""One bay that repeats stands for a barrel that is too large to be meshed whole."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import barrel, case

import shellbuck as sb
from shellbuck.agree import repeating
from shellbuck.agree.engines import agreement
from shellbuck.agree.meshing import modelled_wall, planned, sections_of, skin_wave, solve_mesh
from shellbuck.agree.repeating import drawn

ROW = 2 * math.pi / 18 * math.sqrt(3) / 2
GRID = sb.TriangularGrid("hoop", "inside", 0.03, 8e-3, triangle_height=ROW)
SHORT = barrel(radius=1.0, length=2 * ROW, skin_thickness=12e-3, skin_thickness_minimum=12e-3)


@pytest.fixture(scope="module")
def found():
    """A grid of 18 bays as one bay, because more is not allowed. That its loads are those of the whole barrel is tested
    with the elements, `tests/fe/test_repeating.py`."""
    the_case = case(GRID, barrel=SHORT)
    return agreement(the_case, the_case.load_cases[0], want=4, meshes=1, most=25_000, statics=True)


def test_waves_are_the_lowest_of_ritz_and_counted(found):
    few, bay = found
    lowest = sorted(few.loads[2].lowest_by_n, key=lambda mode: mode.line_load)
    assert bay.part.waves == tuple(mode.n for mode in lowest)[:3]
    assert set(bay.waves) <= set(bay.part.waves)
    assert f"n = {bay.part.waves[0]}" in few.loads[4].certificate.proof
    (run,) = few.discrete_runs
    assert (run.counted, len(run.line_loads)) == (4, 4)
    assert run.sentence.endswith("one bay of 18, two fields")
    # pairs, of an n that the bay can hold; with three bays to a wave and R/t 83 ribs as they are lie well below (-12 %)
    for one, other, n in zip(few.modes[::2], few.modes[1::2], bay.waves[::2], strict=True):
        assert one.line_load == pytest.approx(other.line_load, rel=1e-9)
        assert (one.n - n) % 18 == 0 or (one.n + n) % 18 == 0
    general = next(mode for mode in few.modes if mode.general)
    ritz_of_n = next(mode.line_load for mode in lowest if mode.n == general.n)
    assert 0.8 * ritz_of_n < general.line_load < ritz_of_n


def test_what_is_said_and_drawn(found, monkeypatch):
    few, bay = found
    assert any(words.startswith("the mesh with ribs is one bay of 18 that repeats with a phase") for words in few.words)
    assert few.loads[5].prestress.startswith("linear statics")
    assert few.surface is None
    assert all(mode.displacement is None for mode in few.modes)
    shown = drawn(bay)
    # the piece is one wave around of the lowest mode, and the wave goes on from bay to bay as it does in the content
    assert shown.mesh.angle == pytest.approx(math.ceil(18 / bay.waves[0]) * 2 * math.pi / 18)
    on = shown.mesh.nodes_of("skin")
    x, theta = shown.mesh.points[on, :2].T
    w = shown.modes[6 * on + 2, 0]
    m, n = few.modes[0].m, few.modes[0].n
    wave = np.sin(m * math.pi * x / SHORT.length) * np.cos(n * theta)
    assert (w @ wave) / math.sqrt((w @ w) * (wave @ wave)) > 0.9
    assert shown.displacement(0).shape == (len(shown.mesh.points), 3)
    assert shown.words == f"{math.ceil(18 / bay.waves[0])} of 18 bays drawn, one wave around of the lowest mode"
    monkeypatch.setattr(repeating, "_MOST_NODES", 2 * len(bay.mesh.points))
    assert drawn(bay).words == "2 of 18 bays drawn"


def test_mode_without_waves_around_is_found_with_all_bays_alike(found):
    """n = 0: one real field, ties instead of a phase, and below the load of Ritz, as the waves around are: pockets of
    half a wave move on their own (their (2, 18) has 37 % of w^2)."""
    few, bay = found
    the_case = case(GRID, barrel=SHORT)
    wall = modelled_wall(the_case, None)
    part = planned(bay.shape, skin_wave(wall, 1.0), 0, order=3, most=25_000, waves=(0,))
    ritz_load = next(mode for mode in few.loads[2].lowest_by_n if mode.n == 0)
    solved = solve_mesh(
        bay.shape, part, sections_of(wall), ("SS3", "SS3"), ritz_load.line_load, pressure=0.0, want=1
    )  # fmt: skip
    solved = replace(solved, modes=repeating.standardised(solved, SHORT.length))
    content = repeating.content_of(solved, 0, SHORT.length)
    assert content.n == 0
    assert content.share > 0.5
    assert 0.75 * ritz_load.line_load < solved.line_loads[0] < ritz_load.line_load
    assert not solved.modes[bay.shell.size :].any()
    assert drawn(solved).words.endswith("of 18 bays drawn")


def test_ends_that_a_bay_cannot_have_are_refused_before_a_mesh_is_solved():
    the_case = case(GRID, barrel=replace(SHORT, edges="C4", edges_far="FREE"))
    said: list[str] = []
    with pytest.raises(sb.Refusal, match="ends that hold w; got C4/FREE"):
        agreement(the_case, the_case.load_cases[0], want=2, meshes=1, most=25_000, progress=said.append)
    assert not any("mesh" in words for words in said)


def test_grid_too_dense_even_for_one_bay_is_refused():
    the_case = case(replace(GRID, triangle_height=0.02), barrel=SHORT)
    with pytest.raises(sb.Refusal, match=r"one bay of \d+, two fields of .*allow more unknowns"):
        agreement(the_case, the_case.load_cases[0], want=2, meshes=1, most=3000)
