"""The JSON schemas of the files a user writes: those of the declarations, and of one mind with the readers."""

from __future__ import annotations

import json
import tomllib
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from shellbuck.core.errors import Refusal
from shellbuck.io.fileschema import file_schema
from shellbuck.io.language.case_file import case_from_text
from shellbuck.io.language.sizing_file import sizing_from_text
from shellbuck.io.language.study_file import plan_of

KINDS = ("case", "sizing", "study")
CASES = Path(__file__).parent.parent.parent / "cases"
STARTS = files("shellbuck.io").joinpath("starts")
PLAIN = STARTS.joinpath("plain.toml").read_text(encoding="utf-8")
SIZING = STARTS.joinpath("barrel.sizing.toml").read_text(encoding="utf-8")
STUDY = """case = "plain.toml"
method = "grid"
[[vary]]
key = "barrel.length"
from = "2 m"
to = "3 m"
count = 3
"""


def published(kind):
    return json.loads(files("shellbuck.io").joinpath(f"data/{kind}.schema.json").read_text(encoding="utf-8"))


def faults(kind, text):
    """Places that the published schema finds wrong."""
    return [e.json_path for e in jsonschema.Draft202012Validator(published(kind)).iter_errors(tomllib.loads(text))]


def kind_by_name(name):
    return next((kind for kind in ("sizing", "study") if f".{kind}." in name), "case")


@pytest.mark.parametrize("kind", KINDS)
def test_the_published_schema_is_the_one_of_the_declarations(kind):
    assert published(kind) == file_schema(kind)
    jsonschema.Draft202012Validator.check_schema(published(kind))


@pytest.mark.parametrize("path", [*sorted(CASES.glob("*.toml")), *STARTS.iterdir()], ids=lambda p: p.name)
def test_every_file_of_ours_fits(path):
    if path.name.endswith(".toml") and not path.name.endswith(".stack.toml"):  # a stack has no schema
        assert faults(kind_by_name(path.name), path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("kind", "old", "new"),
    [
        ("case", 'radius = "1.2 m"', "radius = 1.2"),
        ("case", 'kind = "plain"', 'kind = "plane"'),
        ("case", "part =", "parts ="),
        ("case", 'ends = "closed"', 'ends = "shut"'),
        ("case", "[barrel]", "[barell]"),
        ("case", 'factors = "agency prototype"', "factors = 1.4"),
        ("case", 'kind = "plain"', ""),
        ("sizing", "[limits]", "[limit]"),
        ("sizing", 'sheet_least = "0.5 mm"', "sheet_least = 0.5"),
        ("sizing", "slenderness_most = 12", "slenderness_most = 0.5"),
        ("sizing", 'name = "2219-T87"', "name = 2219"),
    ],
)
def test_what_the_schema_of_a_case_or_a_sizing_finds_the_reader_refuses_too(kind, old, new):
    start, read = {"case": (PLAIN, case_from_text), "sizing": (SIZING, sizing_from_text)}[kind]
    assert old in start
    text = start.replace(old, new, 1)
    assert faults(kind, text)
    with pytest.raises(Refusal):
        read(text)


@pytest.mark.parametrize(
    ("old", "new"), [('"grid"', '"gird"'), ("key =", "kee ="), ("method =", "metod ="), ("method", "chunk = 0\nmethod")]
)
def test_what_the_schema_of_a_study_finds_the_reader_refuses_too(old, new):
    text = STUDY.replace(old, new, 1)
    assert faults("study", STUDY) == []
    assert faults("study", text)
    with pytest.raises(Refusal):
        plan_of(tomllib.loads(text), case_from_text(PLAIN))


def test_a_quantity_says_its_unit_and_range():
    radius = published("case")["$defs"]["Barrel"]["properties"]["radius"]
    assert radius["description"] == 'length with its unit, 0.01 to 100 m, for example "2.3 m"'
    assert published("sizing")["$defs"]["Limits"]["properties"]["slenderness_most"]["maximum"] == 100


def test_null_is_no_word_of_a_toml_file():
    assert [kind for kind in KINDS if "null" in json.dumps(published(kind))] == []
