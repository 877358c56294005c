"""The commands: what they print, where they write, and the status they leave with."""

from __future__ import annotations

import json
import os

import pytest

from shellbuck.cli.main import main
from shellbuck.cli.start import WALLS
from shellbuck.cli.symbols import meant, symbol_lines, symbols
from shellbuck.core.catalogue import MESSAGES
from shellbuck.core.sources import SOURCES
from shellbuck.handbook import FORMULAS
from shellbuck.io import material_names

pytestmark = pytest.mark.usefixtures("undrawn")


@pytest.fixture
def case(tmp_path, capsys):
    """Path of the plain start, written by the command itself."""
    path = tmp_path / "case.toml"
    assert main(["start", "plain", "--to", str(path)]) == 0
    capsys.readouterr()
    return path


def edit(path, *pairs):
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


# --- start, check, lists


@pytest.mark.parametrize("wall", WALLS)
def test_start_prints_what_check_and_run_accept(wall, capsys, tmp_path):
    assert main(["start", wall]) == 0
    path = tmp_path / "case.toml"
    path.write_text(capsys.readouterr().out, encoding="utf-8")
    assert main(["check", str(path)]) == 0
    assert "2 load cases; no problem found" in capsys.readouterr().out
    # a given stiffness leaves local modes and strength open until the case says where they were checked
    status, word = (3, "incomplete") if wall == "given-stiffness" else (0, "holds")
    assert main(["run", str(path)]) == status
    out = capsys.readouterr()
    assert out.err == ""
    for words in (word, "not covered", "caution", "failure mode"):
        assert words in out.out


def test_start_never_overwrites_unless_told(case, capsys):
    case.write_text("mine", encoding="utf-8")
    assert main(["start", "orthogrid", "--to", str(case)]) == 2
    assert "--force" in capsys.readouterr().err
    assert case.read_text(encoding="utf-8") == "mine"
    assert main(["start", "orthogrid", "--to", str(case), "--force"]) == 0
    assert 'kind = "orthogrid"' in case.read_text(encoding="utf-8")


def test_start_into_a_missing_folder(tmp_path, capsys):
    assert main(["start", "plain", "--to", str(tmp_path / "gone" / "case.toml")]) == 2
    assert "file-unwritable" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_start_of_no_wall(capsys):
    assert main(["start", "sandwich"]) == 2
    assert "orthogrid" in capsys.readouterr().err


def test_check_says_everything_and_writes_nothing(case, capsys):
    edit(case, ('"1.2 m"', "1.2"), ('"closed"', '"shut"'))
    assert main(["check", str(case)]) == 2
    out = capsys.readouterr()
    assert out.out == ""
    assert out.err.count("[") == 2
    assert "line 13, barrel.radius" in out.err
    assert os.listdir(case.parent) == ["case.toml"]


def test_materials_lists_all_and_shows_each(capsys):
    assert main(["explain", "materials"]) == 0
    listed = capsys.readouterr().out
    assert "NOT design allowables" in listed
    for name in material_names():
        assert name in listed
        assert main(["explain", name.lower()]) == 0
        shown = capsys.readouterr().out
        assert "standing of the values" in shown
    assert main(["explain", "2219-T78"]) == 2
    assert "did you mean 2219-T87, " in capsys.readouterr().err


def test_factors_lists_sets(capsys):
    assert main(["explain", "factors"]) == 0
    out = capsys.readouterr().out
    assert "`agency prototype`: ultimate 1.4" in out
    assert "from memory" in out


@pytest.mark.parametrize("name", [*MESSAGES, *FORMULAS, *SOURCES])
def test_explain_everything_it_lists(name, capsys):
    assert main(["explain"]) == 0
    assert name in capsys.readouterr().out
    assert main(["explain", name]) == 0
    assert len(capsys.readouterr().out) > len(name) + 10


def test_explain_takes_the_brackets_of_a_message_and_guesses(capsys):
    assert main(["explain", "[unit-missing]"]) == 0
    capsys.readouterr()
    assert main(["explain", "unit-missin"]) == 2
    assert "unit-missing" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "symbol", "said"),
    [
        ("gamma", "gamma", "given by axial-knockdown"),
        ("Z", "Z", "given by batdorf-parameter"),
        ("c0", "c_0", "taken by grid-general-line-load"),
        ("γ", "gamma", "given by bending-knockdown"),
        ("NA", "N_a", "Line load of an axial force"),
        ("n", "n", "full waves"),
        ("lambda", "lamda", "Flange area ratio"),
    ],
)
def test_explain_knows_the_symbols_of_its_formulas(name, symbol, said, capsys):
    assert main(["explain", name]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"{symbol}: a symbol\n")
    assert said in out


@pytest.mark.parametrize("symbol", sorted(symbols()))
def test_explain_has_words_for_every_symbol_it_lists(symbol, capsys):
    assert main(["explain"]) == 0
    assert f" {symbol}," in capsys.readouterr().out.replace("\n", ",")
    assert meant(symbol) == [symbol]
    assert len(symbol_lines(symbol)) > 1
    assert not any("see there" in line for line in symbol_lines(symbol))


# --- exit status


def test_status_of_help_and_version(capsys):
    assert main(["--help"]) == main(["-h"]) == main(["run", "--help"]) == main(["--version"]) == main([]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("words", [["nothing"], ["run"], ["run", "a", "b"], ["run", "--bogus"], ["check"], ["--what"]])
def test_status_of_a_wrong_command_line(words, capsys):
    assert main(words) == 2
    assert "command-line" in capsys.readouterr().err


def test_status_of_a_negative_margin(case, capsys):
    """Ten times the force: about 13 MN on a barrel that carries some 4."""
    edit(case, ('"500 kN"', '"5000 kN"'), ('"1000 kN"', '"10000 kN"'))
    assert main(["run", str(case)]) == 1
    assert "does not hold" in capsys.readouterr().out


def test_status_of_a_refusal(case, capsys):
    edit(case, ('"1.2 m"', "1.2"))
    assert main(["run", str(case)]) == 2
    out = capsys.readouterr()
    assert out.out == ""
    assert out.err.startswith("refused:")


@pytest.mark.parametrize(
    ("error", "status"),
    [(ZeroDivisionError("oops"), 4), (KeyboardInterrupt(), 130), (RecursionError(), 4), (MemoryError(), 4)],
)
def test_status_of_a_fault_and_of_a_stop(case, capsys, monkeypatch, error, status):
    def fail(*_, **__):
        raise error

    monkeypatch.setattr("shellbuck.margins.assess", fail)
    target = case.parent / "out.json"
    assert main(["run", str(case), "--json", str(target)]) == status
    out = capsys.readouterr()
    assert "Traceback" not in out.err
    assert ("internal-error" in out.err) == (status == 4)
    assert not target.exists()
    if status == 4:
        assert main(["run", str(case), "--json", "-"]) == 4
        assert json.loads(capsys.readouterr().out)["problems"][0]["code"] == "internal-error"


# --- outputs


@pytest.mark.parametrize("words", [("--json", "-"), ("--json=-",), ("--brief", "--json", "-")])
def test_dash_prints_one_object_and_nothing_else(case, capsys, words):
    for change, status in ((None, 0), (('"1.2 m"', "1.2"), 2)):
        if change:
            edit(case, change)
        assert main(["run", str(case), *words]) == status
        out = capsys.readouterr()
        assert json.loads(out.out)["exit_status"] == status
        assert out.err == ""
    assert main(["run", *words, str(case.parent / "gone.toml")]) == 2
    assert json.loads(capsys.readouterr().out)["problems"][0]["code"] == "file-unreadable"
    assert main(["run", *words, "--bogus"]) == 2
    assert json.loads(capsys.readouterr().out)["problems"][0]["code"] == "command-line"


def test_refusal_is_left_where_the_result_would_have_been(case, capsys):
    target = case.parent / "out.json"
    assert main(["run", str(case), "--json", str(target)]) == 0
    edit(case, ('"1.2 m"', "1.2"))
    assert main(["run", str(case), "--json", str(target)]) == 2
    assert json.loads(target.read_text(encoding="utf-8"))["exit_status"] == 2, "a stale result must not stay"
    assert sorted(os.listdir(case.parent)) == ["case.toml", "out.json"]
    capsys.readouterr()


@pytest.mark.parametrize("name", ["case.toml", "case.json", "case.html"])
@pytest.mark.parametrize("option", ["--json", "--page"])
@pytest.mark.parametrize("more", [[], ["--bogus"], ["extra"]])
def test_no_output_ever_replaces_the_case_file(case, capsys, name, option, more):
    path = case.rename(case.parent / name)
    before = path.read_bytes()
    link = case.parent / "link.json"
    link.symlink_to(path)
    for target in (path, case.parent / "." / name, link):
        assert main(["run", str(path), option, str(target), *more]) == 2
        assert path.read_bytes() == before
    suffix_fits = option == "--json" or name == "case.html"  # else the name itself is refused, before anything is read
    assert ("overwrite the case file" in capsys.readouterr().err) == (not more and suffix_fits)


def test_two_outputs_need_two_names(case, capsys):
    page, other = (str(case.parent / name) for name in ("out.html", "./out.html"))
    assert main(["beside", str(case), page, "--page", other]) == 2
    assert "overwrite the second page" in capsys.readouterr().err
    page, target = case.parent / "page.html", case.parent / "out.json"
    page.write_text("", encoding="utf-8")
    target.symlink_to(page)
    assert main(["run", str(case), "--json", str(target), "--page", str(page)]) == 2
    assert "overwrite another output" in capsys.readouterr().err


def test_output_into_a_missing_folder_leaves_nothing_behind(case, capsys):
    for option, suffix in (("--json", ".json"), ("--page", ".html")):
        assert main(["run", str(case), option, str(case.parent / "gone" / f"out{suffix}")]) == 2
        assert "file-unwritable" in capsys.readouterr().err
        folder = case.parent / f"folder{suffix}"
        folder.mkdir()
        assert main(["run", str(case), option, str(folder)]) == 2
        assert "file-unwritable" in capsys.readouterr().err
        folder.rmdir()
    assert os.listdir(case.parent) == ["case.toml"]


@pytest.mark.parametrize("option", ["--json", "--page"])
def test_another_case_is_never_overwritten(case, capsys, option):
    other = case.parent / "other.toml"
    other.write_text("by hand", encoding="utf-8")
    assert main(["run", str(case), option, str(other)]) == 2
    assert "a file name that ends in .toml" in capsys.readouterr().err
    assert other.read_text(encoding="utf-8") == "by hand"


def test_page_and_json_are_named(case, capsys):
    page, target = case.parent / "out.html", case.parent / "out.json"
    assert main(["run", str(case), "--json", str(target), "--page", str(page)]) == 0
    assert capsys.readouterr().out.endswith(f"page: {page}\njson: {target}\n")
    assert page.read_text(encoding="utf-8").lower().startswith("<!doctype html>")


def test_the_page_repeats_the_command_with_every_option_and_says_when_it_ran(case, monkeypatch, capsys):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1764547200")  # 2025-12-01 00:00 UTC: 20423 days of 86400 s
    target = case.parent / "a page.html"
    main(["run", str(case), "--units", "us", "--brief", "--page", str(target)])
    text = target.read_text(encoding="utf-8")
    again = text[text.index('id="again"') : text.index('<section id="remarks">')]
    assert f"shellbuck run {case} --units us --brief --page &#39;{target}&#39;" in again
    assert "run on 2025-12-01 00:00 UTC" in again
    assert "numpy" in again
