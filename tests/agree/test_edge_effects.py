"""Edge effects of a case: groups of load cases, words, and the command."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import BARREL, PLAIN, case, load, pressed

import shellbuck as sb
from shellbuck import ritz
from shellbuck.agree import edge_effects
from shellbuck.agree.edges import percent
from shellbuck.cli.main import main


def test_load_cases_with_the_same_state_share_one():
    given = case(PLAIN, load(name="a"), load(name="b", axial_force=1.0), pressed(60e3, name="c"))
    found = list(edge_effects(given, ["SS3"], theory="Donnell"))
    assert [names for names, _ in found] == ["a; b", "c"]
    first = found[0][1]
    assert abs(first.membrane.line_load / first.classical.line_load - 1) < 1e-6
    # own table for R/t 405 to 1000: SS3 with edge bending lies near .843 of the classical load
    assert 0.83 < first.nonlinear.line_load / first.classical.line_load < 0.85
    assert "bending near them by a further -1" in first.words
    assert BARREL.closed


def test_command(tmp_path, capsys):
    path = tmp_path / "c.toml"
    assert main(["start", "plain", "--to", str(path)]) == 0
    assert main(["edges", str(path), "--held", "SS3"]) == 0
    out = capsys.readouterr().out
    assert "the empirical knockdown belongs to the classical load; clamped benefit is not credited" in out
    assert out.count("with edge bending") == 2


def test_run_shows_the_edges_of_the_case_and_credits_nothing():
    plain = sb.run(case(PLAIN))
    held = sb.run(case(PLAIN, barrel=replace(BARREL, edges="C4", edges_far="SS3")))
    for one, two in zip(plain.load_cases[0].margins, held.load_cases[0].margins, strict=True):
        assert one.margin == two.margin
    names = [ld.name for ld in held.load_cases[0].loads if ld.name.startswith("edges")]
    assert names == [
        "edges C4/SS3, Ritz, Sanders, membrane prebuckling", "edges C4/SS3, Ritz, Sanders, nonlinear prebuckling"
    ]  # fmt: skip
    said = next(c for c in held.validity if c.code == "edge-effect")
    assert said.text.endswith("shown beside, not credited")


def test_edges_that_hold_nothing_are_refused():
    with pytest.raises(sb.Refusal, match="with both ends free the barrel is not held"):
        replace(BARREL, edges="FREE")
    with pytest.raises(sb.Refusal, match="the barrel can tilt"):
        replace(BARREL, edges="SS3", edges_far="FREE")
    with pytest.raises(sb.Refusal, match="leave the barrel a rigid motion"):
        ritz.Edges("FREE", "SS1")
    assert ritz.Edges("SS4", "FREE").short == "SS4/FREE"
    with pytest.raises(sb.Refusal, match="edges_far without edges"):
        replace(BARREL, edges_far="C4")


def test_a_change_that_rounds_to_nothing_has_no_sign_of_its_own():
    assert [percent(x, 2) for x in (-1e-6, 1e-6, -0.0123, 0.5)] == ["+0.00 %", "+0.00 %", "-1.23 %", "+50.00 %"]
    assert percent(-4e-4) == "+0.0 %"
