"""Stacks of barrels under loads by station: head pressure, cuts, envelopes, refusals."""

import csv
import json
import shutil
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from referencing import Registry, Resource

from shellbuck.cli.main import main
from shellbuck.core.errors import Refusal
from shellbuck.io import read_case, result_object
from shellbuck.io.language.stack_file import read_stack
from shellbuck.io.results import json_text
from shellbuck.io.stacks import stack_schema
from shellbuck.margins import assess
from shellbuck.model.stations import StationTable, TankState

CASES = Path(__file__).parents[2] / "cases"
SCHEMA, OF_RUN = (
    json.loads(files("shellbuck.io").joinpath(f"data/{name}.schema.json").read_text(encoding="utf-8"))
    for name in ("stack", "result")
)
REGISTRY = Registry().with_resource("result.schema.json", Resource.from_contents(OF_RUN))
STACK = """title = "test stack"
direction = "forward"
[[barrels]]
case = "plain-aluminium.toml"
station = "1 m"
tank = "fuel"
[[events]]
name = "up"
table = "up.csv"
factors = "agency prototype"
axial_force_includes_thrust = false
[[events.tanks]]
tank = "fuel"
ullage_pressure_minimum = "100 kPa"
ullage_pressure_maximum = "150 kPa"
fluid_density = "800 kg/m^3"
axial_acceleration = "20 m/s^2"
liquid_level = "2 m"
"""
TABLE = "station [m],axial_force [kN],bending_moment [kN*m]\n0,2500,900\n2,2100,700\n5,900,100\n"


@pytest.fixture
def place(tmp_path):
    shutil.copy(CASES / "plain-aluminium.toml", tmp_path)
    (tmp_path / "up.csv").write_text(TABLE)
    (tmp_path / "my.stack.toml").write_text(STACK)
    return tmp_path / "my.stack.toml"


def changed(place: Path, *pairs: tuple[str, str]) -> Path:
    text = STACK
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    place.write_text(text)
    return place


def least(one) -> float:
    return next(row.margin for row in assess(one.file.case).margins if row.margin is not None)


def test_head_pressure_by_hand():
    tank = TankState("fuel", 1e5, 1.5e5, 800.0, 20.0, 2.0)
    # 800 kg/m^3 times 20 m/s^2 times a depth of 0.5 m: 8 kPa
    assert tank.pressures(1.5, True) == (1e5 + 8e3, 1.5e5 + 8e3)
    assert tank.pressures(2.5, True) == (1e5, 1.5e5)
    assert tank.pressures(2.5, False) == (1e5 + 8e3, 1.5e5 + 8e3)
    assert TankState("fuel", 1e5, 1.5e5).pressures(-9.0, True) == (1e5, 1.5e5)


def test_cuts_are_both_ends_and_the_lines_between(place):
    (one,) = read_stack(place).barrels
    assert [cut.station for cut in one.cuts] == [1.0, 2.0, 3.4]
    first, _, last = (cut.load for cut in one.cuts)
    assert (first.axial_force, first.bending_moment) == (2.3e6, 8e5)
    # 1.4 m of the 3 m from 2100 to 900 kN
    assert last.axial_force == pytest.approx(2.1e6 - 1.2e6 * 1.4 / 3, rel=1e-12)
    # the barrel reaches from 1 to 3.4 m, the level stands at 2 m: head of 1 m at one end, none at the other
    assert {(cut.load.pressure_minimum, cut.load.pressure_maximum) for cut in one.cuts} == {(1e5, 1.5e5 + 16e3)}
    assert first.name == "up at 1 m"


def test_a_refined_table_gives_the_same_lowest_margin_and_envelops_brute_force(place):
    (coarse,) = read_stack(place).barrels
    table = StationTable(
        np.array([0.0, 2.0, 5.0]),
        {"axial_force": np.array([2.5e6, 2.1e6, 9e5]), "bending_moment": np.array([9e5, 7e5, 1e5])},
    )
    lines = [
        f"{x!r},{f['axial_force'] / 1e3!r},{f['bending_moment'] / 1e3!r}"
        for x in map(float, np.linspace(0, 5, 26))
        for f in [table.at(x)]
    ]
    (place.parent / "up.csv").write_text("\n".join([TABLE.splitlines()[0], *lines]) + "\n")
    (fine,) = read_stack(place).barrels
    assert len(fine.cuts) > 10
    assert least(fine) == pytest.approx(least(coarse), rel=1e-9)
    base = coarse.cuts[0].load
    each = [replace(base, name=str(i), **table.at(x)) for i, x in enumerate(np.linspace(1.0, 3.4, 23))]
    margins = [
        row.margin
        for row in assess(replace(coarse.file.case, load_cases=tuple(each))).margins
        if row.margin is not None
    ]
    assert min(margins) == pytest.approx(least(coarse), rel=1e-9)


def test_no_pressure_without_a_tank_and_shear_and_torque_pass_through(place):
    (place.parent / "up.csv").write_text(
        "station [m];axial_force [kN];bending_moment [kN*m];shear_force [kN];torque [kN*m]\n"
        "0;100;0;10;4\n5;100;0;10;4\n"
    )
    (one,) = read_stack(changed(place, ('tank = "fuel"\n[[events]]', "[[events]]"))).barrels
    load = one.cuts[0].load
    assert (load.pressure_minimum, load.pressure_maximum) == (0.0, 0.0)
    assert (load.shear_force, load.torque) == (1e4, 4e3)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('station = "1 m"', 'station = "3 m"', "the barrel reaches outside the table of up; got 3 m to 5.4 m"),
        ('fluid_density = "800 kg/m^3"\n', "", "a head of liquid needs density, acceleration and level"),
        ('liquid_level = "2 m"\n', "", "give liquid_level"),
        ('tank = "fuel"\n[[events]]', 'tank = "oxidiser"\n[[events]]', "says nothing of the tank of this barrel"),
        ('direction = "forward"', 'direction = "forwards"', "did you mean forward?"),
        ('direction = "forward"\n', "", "a section is missing"),
        ("axial_force_includes_thrust = false\n", "", "is the thrust pi R^2 p inside axial_force?"),
        ('table = "up.csv"', 'table = "../up.csv"', "a table stands beside the file that names it"),
        ('case = "plain-aluminium.toml"', 'case = "none.toml"', "the file cannot be read"),
        (
            'ullage_pressure_minimum = "100 kPa"',
            'ullage_pressure_minimum = "200 kPa"',
            "maximum pressure is below the minimum",
        ),
        ("[[events]]\nname", "[[event]]\nname", "unknown section"),
    ],
)
def test_refusals_of_the_file(place, old, new, words):
    with pytest.raises(Refusal) as caught:
        read_stack(changed(place, (old, new)))
    assert words in "\n".join(p.sentence() for p in caught.value.problems)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (TABLE.replace("\n2,", "\n6,"), "row 4: stations must rise from line to line; got 5 m after 6 m"),
        (TABLE.replace("\n2,", "\n0,"), "stations must rise"),
        (TABLE.replace("2,2100", "2,x"), 'row 3, column "axial_force [kN]": a plain number is needed'),
        (TABLE.replace("axial_force [kN]", "axial [kN]"), "no column of a table of stations"),
        (TABLE.replace("axial_force [kN]", "axial_force [kPa]"), "this is not a force"),
        ("station [m],axial_force [kN]\n0,1\n5,1\n", "a column is missing; got nothing; allowed: bending_moment"),
    ],
)
def test_refusals_of_the_table(place, table, words):
    (place.parent / "up.csv").write_text(table)
    with pytest.raises(Refusal) as caught:
        read_stack(place)
    assert words in "\n".join(p.sentence() for p in caught.value.problems)


def test_barrels_do_not_overlap(place):
    more = '[[barrels]]\ncase = "plain-aluminium.toml"\nstation = "2 m"\n[[events]]'
    with pytest.raises(Refusal, match=r"the barrel begins before plain-aluminium.toml ends at 3.4 m"):
        read_stack(changed(place, ("[[events]]", more)))


def test_the_demo_stack_with_its_files(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    stack = str(CASES / "vehicle.stack.toml")
    assert main(["stack", stack, "--page", "s.html", "--margins", "s.csv", "--cases", "barrels"]) == 0
    said = capsys.readouterr().out
    assert "the stack holds" in said
    rows = list(csv.DictReader(Path("s.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert {row["barrel"] for row in rows} == {
        "stringers-outside-rings.toml",
        "intertank.toml",
        "orthogrid-inside.toml",
    }
    text = Path("s.html").read_text(encoding="utf-8")
    assert "invented" in text
    assert text.count("<h3>") == 3
    assert "lift-off" in text
    written = read_case(Path("barrels/1-stringers-outside-rings.toml")).case
    assert [load.name for load in written.load_cases[:2]] == ["lift-off at 0 m", "lift-off at 1.2 m"]
    assert main(["stack", stack, "--cases", "barrels"]) == 2
    assert "the file exists" in capsys.readouterr().err


def test_a_negative_margin_decides(place):
    (place.parent / "up.csv").write_text(TABLE.replace("2500", "25000"))
    assert main(["stack", str(place)]) == 1


def test_the_json_of_a_stack_is_that_of_its_runs_and_reads_back(place, capsys):
    """Its schema holds; every barrel is the result of its own run; then a heavier load and a further barrel."""
    told = place.parent / "s.json"
    assert main(["stack", str(place), "--json", str(told)]) == 0
    document = json.loads(told.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(SCHEMA, registry=REGISTRY).validate(document)
    (barrel,), stack = document["barrels"], read_stack(place)
    one = stack.barrels[0]
    assert barrel["result"] == json.loads(json_text(result_object(assess(one.file.case), one.file)))
    assert [(c["load_case"], c["station"]) for c in barrel["cuts"]] == [(c.load.name, c.station) for c in one.cuts]
    assert (barrel["case"], barrel["stations"], barrel["tank"]) == ("plain-aluminium.toml", [1.0, 3.4], "fuel")
    assert document["source"] == {"file": place.name, "sha256": stack.digest, "tables": [list(t) for t in stack.tables]}
    capsys.readouterr()
    assert main(["stack", str(place), "--against", str(told)]) == 0
    assert "no margin changed: 12 rows as before" in " ".join(capsys.readouterr().out.split())

    (place.parent / "up.csv").write_text(TABLE.replace("2500", "25000").replace("5,900,100", "9,900,100"))
    more = '[[barrels]]\ncase = "plain-aluminium.toml"\nstation = "5 m"\n[[events]]'
    argv = ["stack", str(changed(place, ("[[events]]", more))), "--against", str(told)]
    assert main([*argv, "--margins", str(place.parent / "m.csv")]) == 1
    said = capsys.readouterr().out
    assert "VERDICT CHANGED: was holds, is does not hold" in said
    assert "this barrel is new" in said
    rows = list(csv.DictReader((place.parent / "m.csv").read_text(encoding="utf-8-sig").splitlines()))
    before = {row["load_case"]: row for case in barrel["result"]["load_cases"] for row in case["margins"]}
    assert {row["earlier status"] for row in rows if row["load case"] in before} == {"holds"}
    assert {row["earlier status"] for row in rows if row["load case"] not in before} == {""}


def test_what_is_no_stack_is_refused_and_a_refusal_is_told_as_json(place, capsys):
    wrong = place.parent / "wrong.json"
    for text, words in (("{}", "no result of a stack"), ('{"schema": 1}', "no result of a stack")):
        wrong.write_text(text)
        assert main(["stack", str(place), "--against", str(wrong)]) == 2
        assert words in capsys.readouterr().err
    assert main(["stack", str(changed(place, ('"up.csv"', '"none.csv"'))), "--json", "-"]) == 2
    assert json.loads(capsys.readouterr().out)["verdict"]["word"] == "refused"


def test_the_schema_file_is_the_one_of_the_declarations():
    assert stack_schema() == SCHEMA
