"""The JSON of a run: one schema for results and refusals, strict numbers, every load with its definition."""

from __future__ import annotations

import json
import math
from importlib.resources import files

import jsonschema
import pytest

import shellbuck as sb
from shellbuck.cli.main import main
from shellbuck.core.errors import Incomplete, Problem, Refusal
from shellbuck.io import case_from_text, refusal_object, result_object
from shellbuck.io.results import json_text, result_schema

STARTS = ("plain", "triangular-grid", "stiffened", "orthogrid", "given-stiffness")
SCHEMA = json.loads(files("shellbuck.io").joinpath("data/result.schema.json").read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def status_of(name: str) -> int:
    """A given stiffness leaves local modes and strength open (exit 3); every other start holds."""
    return 3 if name == "given-stiffness" else 0


def start_text(name: str) -> str:
    return files("shellbuck.io").joinpath(f"starts/{name}.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def documents():
    """Every start, run through the programming interface and through text."""
    found = {}
    for name in STARTS:
        file = case_from_text(start_text(name), f"{name}.toml")
        found[name] = json.loads(json_text(result_object(sb.run(file.case), file)))
    return found


def leaves(value, path=""):
    """(path, value) of every leaf of nested data."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from leaves(inner, f"{path}.{i}")
    else:
        yield path, value


def test_schema_file_is_the_one_of_the_declarations():
    assert result_schema() == SCHEMA


def test_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_schema_names_every_key_and_refuses_a_wrong_word(documents):
    """The schema has teeth: a dropped key, a misspelt word and a text for a number are found."""
    good = documents["plain"]
    for key in good:
        assert not VALIDATOR.is_valid({k: v for k, v in good.items() if k != key}) or key not in SCHEMA["required"]
    assert set(SCHEMA["required"]) == set(good)
    assert not VALIDATOR.is_valid({**good, "verdict": {**good["verdict"], "word": "fine"}})
    assert not VALIDATOR.is_valid({**good, "wall": {**good["wall"], "mass": "9 kg"}})


@pytest.mark.parametrize("name", STARTS)
def test_start_validates(name, documents):
    VALIDATOR.validate(documents[name])


@pytest.mark.parametrize("name", STARTS)
def test_numbers_are_finite(name, documents):
    assert documents[name]["not_finite"] == []
    for path, value in leaves(documents[name]):
        assert not isinstance(value, float) or math.isfinite(value), path


@pytest.mark.parametrize("name", STARTS)
def test_every_load_says_what_it_is(name, documents):
    for case in documents[name]["load_cases"]:
        assert case["loads"]
        for load in case["loads"]:
            for key in (
                "name",
                "theory",
                "edges",
                "prestress",
                "load_position",
                "pressure_treatment",
                "definition",
                "source",
            ):
                assert load[key].strip(), (load["name"], key)
            assert load["line_load"] > 0
            assert load["theory"] in {"Donnell", "Sanders"}
            if load["certificate"] is not None:
                assert load["certificate"]["proof"].strip()
                if "nonlinear" not in load["prestress"]:  # its mode has no one m
                    assert load["m"] >= 1
                assert load["n"] >= 0


@pytest.mark.parametrize("name", STARTS)
def test_every_margin_row_is_complete(name, documents):
    for case in documents[name]["load_cases"]:
        for row in case["margins"]:
            assert row["source"].strip() or row["status"] in {"refused", "withheld", "not covered"}
            if row["status"] in {"holds", "fails"}:
                assert row["capacity"] > 0
                assert row["demand"] > 0
                assert (row["margin"] >= 0) == (row["status"] == "holds")
            else:
                assert row["margin"] is None
                assert row["note"].strip()


@pytest.mark.parametrize("name", STARTS)
def test_verdict_follows_from_the_rows(name, documents):
    document = documents[name]
    margins = [r["margin"] for c in document["load_cases"] for r in c["margins"] if r["margin"] is not None]
    unknown = any(r["status"] == "not covered" for c in document["load_cases"] for r in c["margins"])
    assert document["verdict"]["smallest_margin"] == (None if unknown else min(margins))
    assert document["exit_status"] == document["verdict"]["exit_status"] == status_of(name)


@pytest.mark.parametrize("name", STARTS)
def test_inputs_as_read_and_as_used(name, documents):
    inputs = documents[name]["inputs"]
    assert inputs["as_read"]["barrel"]["radius"] == "1.2 m"
    assert inputs["as_used"]["barrel"]["radius"] == 1.2
    assert inputs["as_used"]["barrel"]["middle_radius"] == 1.2
    read, used = inputs["as_read"]["load_cases"], inputs["as_used"]["load_cases"]
    assert [c["name"] for c in read] == [c["name"] for c in used]
    assert used[1]["pressure_for_stability"] == 180e3
    assert used[1]["pressure_for_strength"] == 300e3


def test_digest_is_that_of_the_bytes(documents):
    import hashlib

    expected = hashlib.sha256(start_text("plain").encode()).hexdigest()
    assert documents["plain"]["source"] == {"file": "plain.toml", "sha256": expected, "tables": []}


@pytest.mark.parametrize("name", STARTS)
def test_command_gives_the_same_object(name, documents, tmp_path, capsys):
    """Equal bit by bit: same process, same code, so no tolerance is due."""
    path = tmp_path / f"{name}.toml"
    path.write_text(start_text(name), encoding="utf-8")
    target = tmp_path / "result.json"
    assert main(["run", str(path), "--json", str(target)]) == status_of(name)
    capsys.readouterr()
    assert main(["run", str(path), "--json", "-"]) == status_of(name)
    printed = json.loads(capsys.readouterr().out)
    assert printed == json.loads(target.read_text(encoding="utf-8")) == documents[name]


def test_case_without_a_file_validates_too():
    case = case_from_text(start_text("plain")).case
    document = result_object(sb.run(case), case)
    VALIDATOR.validate(json.loads(json_text(document)))
    assert document["source"] is None
    assert document["inputs"]["as_read"] == {}


@pytest.mark.parametrize(
    "error",
    [
        Refusal(Problem("value-range", "too large", "barrel.radius", "9 km", "less", "mend it", 7)),
        Refusal([Problem("value-range", "one"), Problem("value-kind", "two")]),
        Incomplete(Problem("search-failed", "no positive load")),
    ],
)
def test_refusals_validate(error):
    document = json.loads(json_text(refusal_object(error)))
    VALIDATOR.validate(document)
    assert document["exit_status"] == document["verdict"]["exit_status"] == error.exit_status
    assert len(document["problems"]) == len(error.problems)
    assert document["wall"] is None
    assert document["load_cases"] == []


@pytest.mark.parametrize("text", ["", "a = [", start_text("plain").replace('"1.2 m"', "1.2")])
def test_refused_files_validate(text, tmp_path, capsys):
    path = tmp_path / "broken.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["run", str(path), "--json", "-"]) == 2
    document = json.loads(capsys.readouterr().out)
    VALIDATOR.validate(document)
    assert document["problems"]
    assert document["verdict"]["word"] == "refused"


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1979-05-27", "07:32:00", "1" * 400, '"\\u0000\\ud7ff"'])
def test_strange_values_as_read_leave_strict_json(value):
    """`as_read` holds what stood in the file, even where the reader ignored it; here put in by hand."""
    import tomllib

    file = case_from_text(start_text("plain"))
    file.raw["identity"]["note"] = tomllib.loads(f"a = {value}")["a"]
    text = json_text(result_object(sb.run(file.case), file))
    VALIDATOR.validate(json.loads(text, parse_constant=lambda word: pytest.fail(word)))
