"""What a user reads after a slip: the wrong file for a command, a wrong name for an output, a folder that is a file."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace

import pytest

from shellbuck.cli import commands
from shellbuck.cli.commands import GROUPS, PURPOSES, RENAMED
from shellbuck.cli.main import main
from shellbuck.cli.size import _dimension_table
from shellbuck.compare.edges import EdgeEffect
from shellbuck.core.catalogue import EDGE_SETS
from shellbuck.core.errors import install_words
from shellbuck.io.language.sizing_file import sizing_from_text
from shellbuck.model.barrel import HELD
from shellbuck.report.text.display import DISPLAYS
from shellbuck.sizing.records import Dimension

STARTS = files("shellbuck.io").joinpath("starts")
STUDY = """case = "case.toml"
outputs = ["mass"]
[[vary]]
key = "barrel.length"
from = "2 m"
to = "3 m"
count = 3
"""


@pytest.fixture
def place(tmp_path, monkeypatch):
    """A folder with a case, a sizing, a study and a plain file."""
    for name, text in (
        ("case.toml", STARTS.joinpath("plain.toml").read_text(encoding="utf-8")),
        ("sizing.toml", STARTS.joinpath("barrel.sizing.toml").read_text(encoding="utf-8")),
        ("study.toml", STUDY),
        ("a-file", "by hand"),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def refused(capsys, *words: str) -> str:
    """What a refused command says."""
    assert main(list(words)) == 2
    out = capsys.readouterr()
    assert out.out == ""
    assert out.err.startswith("refused:")
    assert "Errno" not in out.err
    return out.err


# --- the wrong kind of file


@pytest.mark.parametrize(
    ("words", "is_a", "not_a", "way_out"),
    [
        (["run", "sizing.toml"], "sizing", "case", "shellbuck size FILE --pattern NAME, or shellbuck patterns FILE"),
        (["check", "sizing.toml"], "sizing", "case", "shellbuck size FILE"),
        (["modes", "sizing.toml", "--compare", "edges"], "sizing", "case", "shellbuck size FILE"),
        (["study", "sizing.toml", "--map", "loads", "--to", "f"], "sizing", "case", "shellbuck size FILE"),
        (["run", "study.toml"], "study", "case", "shellbuck study FILE --to FOLDER"),
        (["check", "study.toml"], "study", "case", "shellbuck study FILE --to FOLDER"),
        (["size", "study.toml", "--pattern", "plain"], "study", "sizing", "shellbuck study FILE --to FOLDER"),
        (["patterns", "study.toml"], "study", "sizing", "shellbuck study FILE --to FOLDER"),
        (["study", "case.toml", "--to", "f"], "case", "study", "use shellbuck run FILE"),
        (["study", "sizing.toml", "--to", "f"], "sizing", "study", "shellbuck size FILE"),
    ],
)
def test_a_file_of_another_kind_is_named_with_its_command(place, capsys, words, is_a, not_a, way_out):
    said = refused(capsys, *words)
    assert f"this is a {is_a} file, not a {not_a} file" in said
    assert way_out in said
    assert "[file-kind]" in said
    assert "did you mean" not in said


def test_a_study_of_a_sizing_says_so(place, capsys):
    (place / "study.toml").write_text(STUDY.replace("case.toml", "sizing.toml"), encoding="utf-8")
    assert "sizing.toml: this is a sizing file, not a case file" in refused(capsys, "study", "study.toml", "--to", "f")


def test_a_case_without_its_wall_or_with_a_slip_is_still_a_case(place, capsys):
    text = (place / "case.toml").read_text(encoding="utf-8")
    (place / "slip.toml").write_text(text.replace("[wall]", "[wal]"), encoding="utf-8")
    assert "did you mean wall?" in refused(capsys, "check", "slip.toml")
    (place / "slip.toml").write_text(text + '\n[limits]\nsheet_least = "1 mm"\n', encoding="utf-8")
    assert "limits: unknown section" in (said := refused(capsys, "check", "slip.toml"))
    assert "it belongs to a sizing file" in said


def test_a_list_of_sections_without_its_double_brackets(place, capsys):
    text = (place / "case.toml").read_text(encoding="utf-8")
    (place / "case.toml").write_text(text.replace("[[load_cases]]", "[load_cases]", 1), encoding="utf-8")
    assert "sections that repeat need [[double brackets]], each of them" in refused(capsys, "check", "case.toml")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("<!DOCTYPE html>" + " " * 2_000_000, "this is a page (HTML), not an input file"),
        ('{"program": "shellbuck"}', "this is a JSON file, not an input file"),
    ],
)
def test_an_output_in_the_place_of_an_input(place, capsys, text, words):
    (place / "out").write_text(text, encoding="utf-8")
    for command in (["run"], ["size", "--pattern", "plain"], ["study", "--to", "f"]):
        assert words in refused(capsys, command[0], "out", *command[1:])


# --- edge sets


@pytest.mark.parametrize("name", HELD)
def test_every_edge_set_is_explained_by_what_it_holds(name, capsys):
    assert main(["explain", name.lower()]) == 0
    out = capsys.readouterr().out
    holds, leaves = out.splitlines()[1].split("; free: ")
    for quantity, words in (("u", "u (along"), ("v", "v (around"), ("w", "w (radial"), ("w'", "w' (the slope, a rot")):
        assert (words in holds) == (quantity in HELD[name])
        assert (words in leaves) == (quantity not in HELD[name])
    assert EDGE_SETS[name] in out
    assert main(["explain"]) == 0
    assert ", ".join(HELD) in capsys.readouterr().out


def test_a_wrong_edge_set_leads_to_the_right_ones(capsys):
    assert "did you mean SS" in refused(capsys, "explain", "SS5")


@pytest.mark.parametrize(
    ("ratio", "words"), [(0.99999, "by +0.0 %"), (1.00001, "by +0.0 %"), (0.9994, "by -0.1 %"), (1.1, "by +10.0 %")]
)
def test_no_change_has_no_sign(ratio, words):
    def load(line_load):
        return SimpleNamespace(line_load=line_load, n=5, path=SimpleNamespace(status="bifurcation"))

    assert words in EdgeEffect("C4", load(1.0), load(ratio), load(1.0)).change


# --- suffixes


@pytest.mark.parametrize(
    ("words", "allowed"),
    [
        (["run", "case.toml", "--page", "x.jpg"], ".html or .htm; use --page x.html"),
        (
            ["run", "case.toml", "--page", "out/x"],
            "a file name without a suffix; got out/x; allowed: .html or .htm; use --page out/x.html",
        ),
        (["run", "case.toml", "--pdf", "x.html"], ".pdf; use --pdf x.pdf"),
        (["run", "case.toml", "--json", "x.html"], ".json, or - for the terminal; use --json x.json"),
        (["modes", "case.toml", "--every", "x.xls"], ".csv"),
        (["modes", "case.toml", "--compare", "engines", "--json", "-"], "allowed: .json ["),
        (["modes", "case.toml", "--compare", "engines", "--save-mesh", "x.stl"], ".vtu"),
        (["picture", "case.toml", "--to", "x.jpg"], "allowed: .png; use --to x.png"),
        (["size", "sizing.toml", "--pattern", "plain", "--case", "x.txt"], ".toml"),
        (["size", "sizing.toml", "--pattern", "plain", "--json", "x"], ".json"),
        (["patterns", "sizing.toml", "--page", "x.pdf"], ".html"),
        (["run", "f", "--point", "0", "--case", "x"], ".toml"),
        (["run", "f", "--point", "0", "--json", "x"], ".json"),
        (["beside", "a.html", "b.html", "--page", "x"], ".html"),
        (["start", "plain", "--to", "x"], ".toml; use --to x.toml"),
    ],
)
def test_a_wrong_suffix_is_refused_before_any_work(place, capsys, words, allowed):
    before = sorted(p.name for p in place.iterdir())
    said = refused(capsys, *words)
    assert f"{words[-2]}: a file name " in said
    assert allowed in said
    assert "[file-suffix]" in said
    assert sorted(p.name for p in place.iterdir()) == before


def test_capital_letters_are_a_suffix_too(place, capsys):
    assert main(["run", "case.toml", "--json", "X.JSON", "--brief"]) == 0
    assert json.loads((place / "X.JSON").read_text(encoding="utf-8"))["exit_status"] == 0


def test_help_shows_the_suffix(capsys):
    assert main(["run", "--help"]) == 0
    out = capsys.readouterr().out
    for words in ("--page FILE.html", "--pdf FILE.pdf", "--json FILE.json|-"):
        assert words in out


# --- ranges of no width


def test_a_map_of_no_width_names_its_option(place, capsys):
    said = refused(capsys, "study", "case.toml", "--map", "loads", "--x", "1 MN", "1 MN", "--to", "f")
    assert "--x, first end: a range of no width" in said
    assert "give two different ends" in said
    assert "vary" not in said
    said = refused(capsys, "study", "case.toml", "--map", "loads", "--y", "1 MN*m", "2 MN", "--to", "f")
    assert "--y, second end: this is not a moment; got 2 MN" in said
    said = refused(capsys, "study", "case.toml", "--map", "loads", "--pressure", "2 m", "--to", "f")
    assert "--pressure: this is not a pressure; got 2 m" in said


@pytest.mark.parametrize(("high", "note"), [(6e-3, "fixed by its limits"), (7e-3, "at its lower limit")])
def test_limits_of_no_width_fix_a_dimension_and_say_so(place, high, note):
    """A sizing has no other way to hold one dimension, so the reader takes them."""
    text = (place / "sizing.toml").read_text(encoding="utf-8")
    assert text.count("[limits]") == 1
    text = text.replace("[limits]", f'[limits]\nrib_depth_least = "6 mm"\nrib_depth_most = "{high * 1e3:g} mm"', 1)
    assert sizing_from_text(text).demand.limits.rib_depth_most == high
    dimension = Dimension("rib_depth", "rib depth", 6e-3, 6e-3, 6e-3, high, False, "low")
    found = SimpleNamespace(dimensions=[dimension])
    table = _dimension_table(found, DISPLAYS["si"])
    assert list(table.columns[-1].cells) == [note]


# --- folders and numbers


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        ["modes", "case.toml", "--compare", "engines", "--pictures"],
        ["study", "study.toml", "--to"],
        ["figures", "case.toml", "--to"],
        ["study", "case.toml", "--map", "loads", "--to"],
    ],
)
def test_a_file_in_the_place_of_a_folder(place, capsys, words):
    for name, said in (("a-file", "this is a file, not a folder"), ("a-file/x", "is a file, not a folder")):
        assert main([*words, name]) == 2
        err = capsys.readouterr().err
        assert f"{name}: " in err
        assert said in err
        assert "name a folder" in err
        assert "Errno" not in err
        assert "space" not in err
    assert (place / "a-file").read_text(encoding="utf-8") == "by hand"


def test_a_number_below_zero_is_no_option(capsys):
    assert "-1 reads as an option, not as a number" in refused(capsys, "study", "f", "-1")


@pytest.mark.parametrize(("name", "line"), RENAMED.items())
def test_an_old_command_leads_to_the_line_that_replaces_it(capsys, name, line):
    said = refused(capsys, name, "case.toml", "--bogus")
    assert f"this command has a new name; got {name}; use shellbuck {line}" in said
    assert main([line.split()[0], "--help"]) == 0
    options = capsys.readouterr().out
    assert all(word in options for word in line.split() if word.startswith("--"))


def test_help_names_every_command_under_its_user(capsys):
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    assert [out.index(f"{user}:") for user in GROUPS] == sorted(out.index(f"{user}:") for user in GROUPS)
    for name in PURPOSES:
        assert re.search(rf"^  {name} ", out, re.MULTILINE)
        assert (Path(commands.__file__).parent / f"{name}.py").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["run", "--bogus"], "shellbuck run --help lists its options"),
        (["bogus"], "shellbuck --help lists commands"),
        (["study", "x"], "name a folder for it, such as --to a-folder"),
        (["run", "x.toml", "--page"], "shellbuck run --help lists its options"),
        (["size", "x.toml"], "shellbuck patterns --list lists them"),
        (["start"], "Choose from: plain, triangular-grid,"),
    ],
)
def test_a_wrong_option_leads_to_the_help_of_its_command(capsys, words, said):
    assert said in refused(capsys, *words)


def test_help_lists_every_exit_status(capsys):
    assert main(["--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "4 internal error, 130 interrupted by the user" in said


def test_help_cuts_no_sentence_off(capsys):
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    assert "..." not in out.replace("[ARGS]...", "")
    assert "grid, stringers or thin pressurised sheet?" in " ".join(out.split())


@pytest.mark.parametrize(
    ("words", "key"),
    [
        (["skin,", "ultimate"], "strength of skin and ribs (strength)"),
        (["ribs at 90 deg, yield"], "strength of skin and ribs (strength)"),
        (["column (n = 1)"], "column (n = 1) (stability)"),
        (["general", "instability"], "general instability (stability)"),
    ],
)
def test_a_row_of_the_table_is_explained_by_its_own_name(capsys, words, key):
    assert main(["explain", *words]) == 0
    assert capsys.readouterr().out.splitlines()[0] == key


def test_an_edge_set_may_be_written_small(place, capsys):
    assert main(["modes", "case.toml", "--edges", "c4", "--count", "1"]) == 0
    assert "both ends C4" in capsys.readouterr().out


def test_edge_sets_are_listed_as_they_are_named(place, capsys):
    assert main(["modes", "case.toml", "--compare", "edges", "--edges", "C9"]) == 2
    said = capsys.readouterr().err
    assert "'C9' is not one of 'SS1', 'SS2'" in said
    assert main(["modes", "--help"]) == 0
    assert "SS1|SS2" in capsys.readouterr().out


def test_a_pipe_that_its_reader_closes_is_no_negative_margin(place):
    """Status 1 is a negative margin; a closed pipe is 128 + SIGPIPE (13), as a shell has it."""
    code = "import os; r, w = os.pipe(); os.dup2(w, 1); os.close(r); from shellbuck.cli.main import entry; entry()"
    done = subprocess.run([sys.executable, "-c", code, "run", "case.toml"], capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (141, b"")


# --- remarks, libraries, units


def test_a_result_is_no_remarks(place, capsys):
    assert main(["run", "case.toml", "--json", "r.json", "--brief"]) == 0
    capsys.readouterr()
    said = refused(capsys, "run", "case.toml", "--page", "p.html", "--remarks", "r.json")
    assert "got a result of shellbuck (JSON), which has no remarks" in said
    assert "the JSON of remarks, that the review page saved" in said
    (place / "r.json").write_text('{"a": 1}', encoding="utf-8")
    said = refused(capsys, "run", "case.toml", "--page", "p.html", "--remarks", "r.json")
    assert "JSON of something else" in said
    assert "Field required" not in said


def test_a_library_is_installed_by_its_own_name():
    """The command works from a source tree too, where the package itself is on no index."""
    said = install_words("dask[distributed]")
    assert said.endswith("-m pip install 'dask[distributed]'")
    assert sys.executable in said
    assert "shellbuck[" not in said


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('radius = "1.2 m"', 'radius = "1.2"', 'write "1.2 m" or "1.2 in", whichever you mean'),
        ('radius = "1.2 m"', "radius = 1200", 'write "1200 mm" or "1200 in", whichever you mean'),
        ('radius = "1.2 m"', "", 'allowed: a length, for example "2.3 m"'),
        ('"500 kN"', '"500"', 'write "500 kN", "500 MN" or "500 lbf", whichever you mean'),
    ],
)
def test_a_bare_number_is_answered_with_units_that_make_sense_there(place, capsys, old, new, words):
    text = (place / "case.toml").read_text(encoding="utf-8")
    assert old in text
    (place / "case.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    said = refused(capsys, "check", "case.toml")
    assert words in said


def test_refusals_of_a_kind_stand_in_the_json_too(place, capsys):
    assert main(["run", "sizing.toml", "--json", "-"]) == 2
    document = json.loads(capsys.readouterr().out)
    assert [p["code"] for p in document["problems"]] == ["file-kind"]
