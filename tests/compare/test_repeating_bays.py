"""One bay that repeats stands for a barrel that is too large to be meshed whole."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from builders import barrel, case

import shellbuck as sb
from shellbuck.compare.engines import agreement
from shellbuck.engines.fe_barrel import repeating
from shellbuck.engines.fe_barrel.repeating import drawn

ROW = 2 * math.pi / 18 * math.sqrt(3) / 2
GRID = sb.TriangularGrid("hoop", "inside", 0.03, 8e-3, triangle_height=ROW)
SHORT = barrel(radius=1.0, length=2 * ROW, skin_thickness=12e-3, skin_thickness_minimum=12e-3)


@pytest.fixture(scope="module")
def found():
    """A grid of 18 bays as one bay, because more is not allowed. That its loads are those of the whole barrel is tested
    with the elements, `tests/engines/fe/test_repeating.py`."""
    the_case = case(GRID, barrel=SHORT)
    return agreement(the_case, the_case.load_cases[0], want=2, meshes=1, most=25_000, statics=True)


@pytest.mark.slow
def test_every_harmonic_is_solved_or_counted(found):
    few, bay = found
    lowest = sorted(few.loads["Ritz"].lowest_by_n, key=lambda mode: mode.line_load)
    # the three lowest of Ritz, all bays alike, and neighbours in opposition: k = 9 of 18 bays, and 8
    assert set(bay.part.harmonics) == {0, 8, 9} | {min(m.n % 18, -m.n % 18) for m in lowest[:3]}
    assert set(bay.scanned.solved) | set(bay.scanned.empty) == set(range(10))
    assert few.findings[0].quantity == "harmonics not counted"
    assert (few.findings[0].value, few.findings[0].passed) == (0.0, True)
    (run,) = few.discrete_runs
    assert len(run.line_loads) == few.listed == 2
    assert run.counted >= 2
    assert run.sentence.endswith("one bay of 18, two fields")
    for mode, k in zip(few.modes, bay.harmonics, strict=True):
        assert (mode.n - k) % 18 == 0 or (mode.n + k) % 18 == 0
    # with three bays to a wave and R/t 83 ribs as they are lie well below (-12 %)
    general = next(mode for mode in few.modes if mode.general)
    ritz_of_n = next(mode.line_load for mode in lowest if mode.n == general.n)
    assert 0.8 * ritz_of_n < general.line_load < ritz_of_n
    judged = {one.quantity: one for one in few.findings}
    gap = judged["general load from the smeared one"]
    assert gap.value == pytest.approx(general.line_load / few.loads["smeared mesh"].line_load - 1, rel=1e-9)
    assert gap.passed is (abs(gap.value) <= gap.limit)


@pytest.mark.slow
def test_what_is_said_and_drawn(found, monkeypatch):
    few, bay = found
    assert any(words.startswith("the mesh with ribs is one bay of 18 that repeats with a phase") for words in few.words)
    assert few.loads["mesh with ribs, linear statics"].prestress.startswith("linear statics")
    assert few.surface is None
    assert all(mode.displacement is None for mode in few.modes)
    shown = drawn(bay)
    # the piece is one wave around of the lowest mode, and the wave goes on from bay to bay as it does in the content
    bays = math.ceil(18 / max(1, bay.harmonics[0]))
    assert shown.mesh.angle == pytest.approx(bays * 2 * math.pi / 18)
    on = shown.mesh.nodes_of("skin")
    x, theta = shown.mesh.points[on, :2].T
    w = shown.modes[6 * on + 2, 0]
    m, n, share, content = (getattr(few.modes[0], name) for name in ("m", "n", "share", "content"))
    # the series of the mode's content, in any phase of each wave, holds the drawn w
    waves = [np.sin(a * math.pi * x / SHORT.length) * f(b * theta) for a, b, _ in content for f in (np.cos, np.sin)]
    held = np.linalg.lstsq(np.column_stack(waves), w, rcond=None)[0]
    assert np.linalg.norm(w - np.column_stack(waves) @ held) < 0.3 * np.linalg.norm(w)
    assert (m, n, share) == content[0]
    assert shown.displacement(0).shape == (len(shown.mesh.points), 3)
    whole = ", one wave around of the lowest mode" if bay.harmonics[0] else ""
    assert shown.words == f"{bays} of 18 bays drawn{whole}"
    monkeypatch.setattr(repeating, "_MOST_NODES", 2 * len(bay.mesh.points))
    assert drawn(bay).words == "2 of 18 bays drawn"


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
