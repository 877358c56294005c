"""Edge effects of a case: groups of load cases, words, and the command."""

from __future__ import annotations

from builders import BARREL, PLAIN, case, load, pressed

from shellbuck.agree import edge_effects
from shellbuck.cli.main import main


def test_load_cases_with_the_same_state_share_one():
    given = case(PLAIN, load(name="a"), load(name="b", axial_force=1.0), pressed(60e3, name="c"))
    found = list(edge_effects(given, ["SS3"], theory="Donnell"))
    assert [e.load_case for e in found] == ["a; b", "c"]
    assert abs(found[0].membrane.line_load / found[0].classical.line_load - 1) < 1e-6
    # own table for R/t 405 to 1000: SS3 with edge bending lies near .843 of the classical load
    assert 0.83 < found[0].nonlinear.line_load / found[0].classical.line_load < 0.85
    assert "bending near them by a further -1" in found[0].words
    assert BARREL.closed


def test_command(tmp_path, capsys):
    path = tmp_path / "c.toml"
    assert main(["start", "plain", "--to", str(path)]) == 0
    assert main(["edges", str(path), "--held", "SS3"]) == 0
    out = capsys.readouterr().out
    assert "the empirical knockdown belongs to the classical load; clamped benefit is not credited" in out
    assert out.count("with edge bending") == 2
