"""Margins as CSV and XLSX, and what has changed since an earlier run."""

import csv
import json
from pathlib import Path

import pytest

from shellbuck.cli.main import main

CASE = (Path(__file__).parents[2] / "cases" / "plain-aluminium.toml").read_text()


@pytest.fixture
def place(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("my.toml").write_text(CASE)
    return tmp_path


def table(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(Path(name).read_text(encoding="utf-8-sig").splitlines()))


def test_every_margin_with_its_units(place, capsys):
    assert main(["run", "my.toml", "--margins", "m.csv", "--json", "my.json", "--brief"]) == 0
    assert "margins: m.csv" in capsys.readouterr().out
    rows = table("m.csv")
    of_json = [row for case in json.loads(Path("my.json").read_text())["load_cases"] for row in case["margins"]]
    assert [(r["load case"], r["failure mode"]) for r in rows] == [(r["load_case"], r["mode"]) for r in of_json]
    assert [float(r["margin [-]"]) for r in rows] == [r["margin"] for r in of_json]
    column = rows[1]
    assert (column["failure mode"], float(column["limit force [kN]"]), column["limit stress [MPa]"]) == (
        "column (n = 1)",
        700.0,
        "",
    )
    assert main(["run", "my.toml", "--margins", "us.csv", "--units", "us", "--brief"]) == 0
    # 1 kip is 4.448 221 615 260 5 kN
    assert float(table("us.csv")[1]["limit force [kip]"]) == pytest.approx(700 / 4.4482216152605, rel=1e-12)


def test_what_is_unknown_has_no_margin_and_says_so(place):
    thin = CASE.replace('"5.4 mm"', '"1 mm"').replace('"5.2 mm"', '"0.95 mm"')
    Path("thin.toml").write_text(thin)
    assert main(["run", "thin.toml", "--margins", "m.csv", "--brief"]) == 2
    refused = [r for r in table("m.csv") if r["status"] == "refused"]
    assert refused
    assert {r["margin [-]"] for r in refused} == {""}
    assert all(r["note"] for r in refused)


def test_a_workbook_holds_the_same_and_no_formula(place):
    openpyxl = pytest.importorskip("openpyxl")
    Path("my.toml").write_text(CASE.replace("pad, empty, wind", "=1+1"))
    assert main(["run", "my.toml", "--margins", "m.xlsx", "--brief"]) == 0
    sheet = openpyxl.load_workbook("m.xlsx").active
    assert (sheet["A2"].value, sheet["A2"].data_type) == ("=1+1", "s")
    assert sheet["E1"].value == "margin [-]"
    assert isinstance(sheet["E2"].value, float)
    assert sheet.max_row == 1 + 16


def test_files_are_not_written_over_what_is_read_or_stands_there(place, capsys):
    assert main(["run", "my.toml", "--json", "my.json", "--brief"]) == 0
    Path("m.csv").write_text("mine")
    assert main(["run", "my.toml", "--margins", "m.csv"]) == 2
    assert "the file exists" in capsys.readouterr().err
    Path("loads.csv").write_text("name,factors,axial_force [kN]\nmore,agency prototype,5\n")
    Path("with.toml").write_text('load_table = "loads.csv"\n' + CASE)
    assert main(["run", "with.toml", "--margins", "loads.csv", "--force"]) == 2
    assert "this would overwrite a table of the case" in capsys.readouterr().err
    assert main(["run", "my.toml", "--against", "my.json", "--json", "my.json", "--force"]) == 2
    assert "this would overwrite the earlier result" in capsys.readouterr().err


def test_what_has_changed(place, capsys):
    assert main(["run", "my.toml", "--json", "old.json", "--brief"]) == 0
    capsys.readouterr()
    assert main(["run", "my.toml", "--against", "old.json", "--brief"]) == 0
    assert "verdict as before: holds\nno margin changed: 16 rows as before" in capsys.readouterr().out
    Path("new.toml").write_text(
        CASE.replace("pad, empty, wind", "pad, full, wind").replace('axial_force = "1500 kN"', 'axial_force = "9.5 MN"')
    )
    assert main(["run", "new.toml", "--against", "old.json", "--margins", "m.csv"]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "VERDICT CHANGED: was holds, is does not hold was: holds: 4 modes checked" in said
    assert "4 appeared, 4 gone" in said
    assert "of another status" in said
    rows = table("m.csv")
    assert [r["earlier status"] for r in rows[:4]] == [""] * 4
    moved = rows[4]
    assert (moved["status"], moved["earlier status"]) == ("fails", "holds")
    now, was = float(moved["margin [-]"]), float(moved["earlier margin [-]"])
    assert float(moved["change [-]"]) == pytest.approx(now - was, abs=1e-15)


@pytest.mark.parametrize(
    ("text", "words"),
    [("no json", "this is no result of a run"), ("{}", "this is no result of a run"), ("[" * 5000, "no result")],
)
def test_what_is_no_result_is_refused(place, capsys, text, words):
    Path("old.json").write_text(text)
    assert main(["run", "my.toml", "--against", "old.json"]) == 2
    assert words in capsys.readouterr().err


def test_another_schema_is_refused(place, capsys):
    main(["run", "my.toml", "--json", "old.json", "--brief"])
    found = json.loads(Path("old.json").read_text())
    Path("old.json").write_text(json.dumps({**found, "schema": 1}))
    assert main(["run", "my.toml", "--against", "old.json"]) == 2
    assert "the result is of another schema; got 1; allowed: 2" in capsys.readouterr().err


def test_a_load_case_in_full_by_its_name(place, capsys):
    lines = "".join(f"load {i},agency prototype,{100 + i}\n" for i in range(30))
    Path("loads.csv").write_text("name,factors,axial_force [kN]\n" + lines)
    Path("many.toml").write_text('load_table = "loads.csv"\n' + CASE[: CASE.index("[[load_cases]]")])
    assert main(["run", "many.toml", "--load-case", "load 3"]) == 0
    said = capsys.readouterr().out
    assert "\nload 3\n" in said
    assert "\nload 4\n" not in said
    assert "all 30 load cases, 28 of them in numbers only" in said
    assert main(["run", "many.toml", "--load-case", "load 33"]) == 2
    assert "no such load case" in capsys.readouterr().err
