"""The mesh beside the margins: which state is meshed, what is judged by numbers, what the verdict repeats."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import barrel, case, pressed

import shellbuck as sb
from shellbuck.compare import engines
from shellbuck.compare.words import LIMITS, ends_words, likeness_words
from shellbuck.core.records import Agreement, Finding, Load, MeshMode, MeshRun
from shellbuck.margins.meshed import checked_by_mesh, governing_row

SHORT = barrel(radius=1.0, length=0.6, skin_thickness=5e-3, skin_thickness_minimum=5e-3)


@pytest.fixture
def pressed_case() -> sb.Case:
    return case(sb.PlainWall(), pressed(4e5), barrel=SHORT)


def made(line_load: float, findings: tuple[Finding, ...] = ()) -> Agreement:
    """An agreement of these numbers, nothing solved."""
    load = Load("mesh", line_load, "t", "SS3", "p", "l", "t", "d", "s")
    mode = MeshMode(line_load, 1, 8, 0.95, True, (("skin", 1.0),), ((1, 8, 0.95),))
    return Agreement(
        "case",
        294.0,
        4e5,
        {"mesh with ribs": load},
        (),
        (MeshRun("m", 1, 1.0, (line_load,), 1),),
        (mode,),
        ("words",),
        1.0,
        None,
        findings,
        1,
    )


def checked(the_case, monkeypatch, share, findings=()):
    """The result with a mesh whose load is a share of what the governing margin rests on, and what was meshed."""
    result, asked = sb.run(the_case), {}
    row = governing_row(result)

    def agreement(_case, load, **more):
        asked.update(more, load=load)
        return made(share * row.basis.line_load, findings), object()

    monkeypatch.setattr(engines, "agreement", agreement)
    return checked_by_mesh(result, the_case)[0], row, asked


def test_the_state_of_the_smallest_stability_margin_is_meshed(pressed_case, monkeypatch):
    """Its own pressure, not that of the load case where the margin rests on none; the others are named."""
    found, row, asked = checked(pressed_case, monkeypatch, 1.0)
    assert (asked["load"].name, asked["pressure"]) == (row.load_case, row.basis.pressure)
    states = {(r.basis.pressure) for r in found.margins if r.kind == "stability" and r.basis is not None}
    others = states - {4e5}
    (said,) = (c for c in found.validity if c.text.startswith("states not meshed"))
    assert said.status == "warned"
    assert len(others) == said.text.count(" Pa")


@pytest.mark.parametrize(("share", "warned"), [(0.5, True), (0.98, True), (0.995, False), (1.3, False)])
def test_a_lower_mesh_load_stands_in_the_headline(pressed_case, monkeypatch, share, warned):
    """From 1 % below on; the sign stays in the text either way."""
    found, row, _ = checked(pressed_case, monkeypatch, share)
    text = f"lies {100 * (share - 1):+.2f} % from the {row.basis.line_load / 1e3:.4g} kN/m on which the margin"
    (check,) = (c for c in found.validity if text in c.text)
    assert check.status == ("warned" if warned else "passed")
    assert (text in found.verdict.text) is warned
    assert found.verdict.warnings == sum(c.status == "warned" for c in found.validity)


def test_status_is_that_of_the_numbers_whatever_the_words(pressed_case, monkeypatch):
    """Prose with "local" that passes, prose without a warning word that does not."""
    findings = (
        Finding("likeness", 0.95, 0.9, True, "local modes, do not trust"),
        Finding("x", 0.4, 0.05, False, "all is well"),
    )
    found, _, _ = checked(pressed_case, monkeypatch, 1.0, findings)
    status = {c.text: c.status for c in found.validity}
    assert status["local modes, do not trust"] == "passed"
    assert status["all is well"] == "warned"


@pytest.mark.parametrize(("alike", "passed"), [(0.2, False), (0.89, False), (0.9, True), (None, False)])
def test_likeness_is_judged(alike, passed):
    """A likeness of .2, or none at all, never passes."""
    found = likeness_words(alike)
    assert (found.passed, found.limit) == (passed, LIMITS["likeness"])


def test_ends_are_named_as_the_case_has_them():
    assert ends_words(("SS2", "C4")) == "SS2 at x = 0 and C4 at x = L"


def test_what_cannot_be_meshed_is_a_warning_that_the_verdict_counts():
    sprung = case(sb.PlainWall(), barrel=replace(SHORT, edges="SS3", edge_springs=sb.EdgeSprings(rotation=2e4)))
    result = sb.run(sprung)
    found, solved = checked_by_mesh(result, sprung)
    assert solved is None
    assert found.validity[-1].text.startswith("not checked by mesh: barrel: the mesh with ribs takes neither")
    assert found.verdict.warnings == result.verdict.warnings + 1
