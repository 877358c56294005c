"""The commands size and patterns from the command line: what they print, write, refuse and return."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from pathlib import Path

import pytest

from shellbuck.cli.main import main
from shellbuck.io.language.sizing_file import sizing_from_text

CASES = Path(__file__).parent.parent.parent / "cases"
DEMO = str(CASES / "vehicle-barrel.sizing.toml")
START = files("shellbuck.io").joinpath("starts/barrel.sizing.toml").read_text(encoding="utf-8")


@pytest.fixture
def start(tmp_path):
    path = tmp_path / "my.toml"
    path.write_text(START, encoding="utf-8")
    return path


def size(*asked: str) -> int:
    """The size command without the Ritz check, which is a second a run."""
    return main(["size", *asked, "--no-ritz"])


@pytest.mark.slow
def test_ritz_check_is_shown(capsys):
    assert main(["size", DEMO, "--pattern", "plain"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    # the closed form's own equation is tested elsewhere; here the two agree
    assert re.search(r"Rayleigh-Ritz, SS3, membrane: [\d.]+ kN/m, 1\.00000 of closed form", shown)


def test_plain_wall_as_table_json_and_a_case_that_runs(tmp_path, capsys):
    out, ready = tmp_path / "out.json", tmp_path / "ready.toml"
    assert size(DEMO, "--pattern", "plain", "--json", str(out), "--case", str(ready)) == 0
    shown = capsys.readouterr().out
    assert "16.164 kg/m²" in shown  # own output, no evidence; its equation is tested in tests/sizing
    assert "general instability, flight, highest bending" in shown
    document = json.loads(out.read_text(encoding="utf-8"))
    assert document["not_finite"] == []
    assert document["exit_status"] == 0
    assert document["sized"]["status"] == "found"
    assert document["sized"]["dimensions"][0]["name"] == "skin"
    assert document["sized"]["case_text"] == ready.read_text(encoding="utf-8")
    assert main(["run", str(ready), "--brief"]) == 0


def test_a_case_by_hand_is_not_overwritten(tmp_path, capsys):
    ready = tmp_path / "mine.toml"
    ready.write_text("by hand", encoding="utf-8")
    assert size(DEMO, "--pattern", "plain", "--case", str(ready)) == 2
    assert "the file exists" in capsys.readouterr().err
    assert ready.read_text(encoding="utf-8") == "by hand"
    assert size(DEMO, "--pattern", "plain", "--case", str(ready), "--force") == 0
    assert ready.read_text(encoding="utf-8").startswith("# Sized by shellbuck")


def test_json_alone_is_only_json(capsys):
    assert size(DEMO, "--pattern", "plain-pressurised", "--json", "-") == 0
    document = json.loads(capsys.readouterr().out)
    assert document["limits"]["standby_pressure"] == 60e3


def test_the_same_command_gives_the_same_bits(tmp_path):
    texts = []
    for name in "ab":
        out = tmp_path / f"{name}.json"
        size(DEMO, "--pattern", "plain-pressurised", "--json", str(out))
        texts.append(out.read_bytes())
    assert texts[0] == texts[1]


def test_a_case_file_is_sized_anew(capsys):
    assert size(str(CASES / "plain-aluminium.toml"), "--pattern", "plain") == 0
    words = "its wall, barrel.skin_thickness, barrel.skin_thickness_minimum are left out"
    assert words in " ".join(capsys.readouterr().out.split())


def test_us_units(capsys):
    assert size(DEMO, "--pattern", "plain", "--units", "us") == 0
    assert "lb/ft²" in capsys.readouterr().out


def test_infeasible_demand_is_status_1_with_its_words(start, tmp_path, capsys):
    start.write_text(START.replace('axial_force = "500 kN"', 'axial_force = "900 MN"'), encoding="utf-8")
    out, ready = tmp_path / "o.json", tmp_path / "ready.toml"
    assert size(str(start), "--pattern", "plain", "--json", str(out), "--case", str(ready)) == 1
    assert "no design inside the limits is feasible" in capsys.readouterr().out.replace("\n", " ")
    assert json.loads(out.read_text(encoding="utf-8"))["sized"]["status"] == "none feasible"
    assert not ready.exists()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('milled_skin_least = "1.2 mm"', 'milled_skin_least = "1.2 MPa"', "this is not a length"),
        ('sheet_least = "0.5 mm"', 'sheet_least = "80 mm"', "nothing lies between"),
        ('cutter_reach = "60 mm"', 'cutter_reach = "1 mm"', "rib_depth_least is larger than cutter_reach"),
        ("[limits]", "[limit]", "did you mean limits?"),
    ],
)
def test_refusals_are_worded_and_the_file_is_untouched(start, capsys, old, new, words):
    text = START.replace(old, new)
    assert text != START
    start.write_text(text, encoding="utf-8")
    assert size(str(start), "--pattern", "plain") == 2
    assert words in capsys.readouterr().err
    assert start.read_text(encoding="utf-8") == text


def test_unknown_pattern_and_metal(capsys):
    assert size(DEMO, "--pattern", "waffle") == 2
    assert "no such pattern" in capsys.readouterr().err
    assert main(["patterns", DEMO, "--material", "wood"]) == 2
    assert "no metal of this sizing" in capsys.readouterr().err


def test_targets_never_overwrite_the_file(start, capsys):
    before = start.read_bytes()
    for flag in ("--json", "--case"):
        assert size(str(start), "--pattern", "plain", flag, str(start)) == 2
    assert main(["patterns", str(start), "--page", str(start)]) == 2
    assert start.read_bytes() == before
    assert "would overwrite" in capsys.readouterr().err


def test_stop_is_130_and_prints_the_best_so_far(monkeypatch, capsys):
    from shellbuck.cli import size as command

    def stop(text: str) -> None:
        if "starts" in text:
            raise KeyboardInterrupt

    monkeypatch.setattr(command, "tell", stop)
    asked = ["--samples", "64", "--seeds", "1", "--pattern", "triangular-grid-inside"]
    assert size(DEMO, *asked) == 130
    assert "stopped" in capsys.readouterr().out


@pytest.mark.parametrize("paged", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_comparison_prints_the_ranking_and_writes_page_and_json(tmp_path, capsys, paged):
    page, out = tmp_path / "p.html", tmp_path / "p.json"
    places = ["--json", str(out), *(["--page", str(page)] if paged else [])]
    chosen = ["--pattern", "plain", "--pattern", "plain-pressurised"]
    chosen += ["--material", "aluminium plate (invented values)"]
    assert main(["patterns", DEMO, *chosen, "--no-ritz", *places]) == 0
    shown = capsys.readouterr().out
    assert shown.index("plain sheet, pressure-stabilised") < shown.index("plain sheet, no credit")
    assert "what would change it" in shown
    document = json.loads(out.read_text(encoding="utf-8"))
    assert [len(document["comparison"][k]) for k in ("entries", "missing")] == [2, 0]
    assert page.exists() == paged
    if paged:
        assert "Grid, stringers or thin pressurised sheet?" in page.read_text(encoding="utf-8")


def test_patterns_are_listed(capsys):
    assert main(["patterns", "--list"]) == 0
    assert "* triangular-grid-inside" in capsys.readouterr().out
    assert main(["patterns"]) == 2


def test_start_of_a_sizing_reads_as_it_is_and_with_its_comments_opened(tmp_path, capsys):
    path = tmp_path / "s.toml"
    assert main(["start", "sizing", "--to", str(path)]) == 0
    assert "shellbuck patterns" in capsys.readouterr().out
    assert sizing_from_text(path.read_text(encoding="utf-8")).demand.prices is None
    lines = START.split("\n")
    first, last = lines.index(next(x for x in lines if x.startswith("# [heat]"))), lines.index("[[load_cases]]")
    opened = [x.removeprefix("# ") if first <= i < last else x for i, x in enumerate(lines)]
    demand = sizing_from_text("\n".join(opened)).demand
    assert demand.prices.currency == "EUR"
    assert demand.heat.cold_end == 90.0
