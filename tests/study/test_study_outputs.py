"""Columns: every leaf of a result can be one, with the unit and the value that the JSON of a run has."""

from __future__ import annotations

import math

import builders
import pytest
from study_plans import GRID

import shellbuck as sb
from shellbuck.margins import assess
from shellbuck.study.outputs import columns, joint_status, least_margin, smallest_known

RESULT = assess(GRID)
JSON = sb.result_object(RESULT, GRID)


def leaves(value, path=()):
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from leaves(inner, (*path, str(i)))
    else:
        yield ".".join(path), value


LEAVES = [(p, v) for key in ("verdict", "wall", "load_cases") for p, v in leaves(JSON[key], (key,))]


def test_every_leaf_of_the_result_is_a_column():
    assert len(LEAVES) > 300
    found = columns(tuple(p for p, _ in LEAVES), RESULT)
    by_name = {c.name: c for c in found}
    for path, value in LEAVES:
        assert by_name[path].value(RESULT) == value, path
        assert by_name[path].numeric == (not isinstance(value, str)) or value is None, path


def test_units_of_what_has_a_unit():
    """A length, force or stress without its unit in the heading would be a trap."""
    unit = {c.name: c.unit for c in columns(tuple(p for p, _ in LEAVES), RESULT)}
    for path, value in LEAVES:
        word = next(w for w in reversed(path.split(".")) if not w.isdigit())
        dimensional = (
            any(
                part in word
                for part in (
                    "line_load",
                    "thickness",
                    "radius",
                    "length",
                    "mass",
                    "force",
                    "moment",
                    "pressure_m",
                    "demand",
                    "capacity",
                    "temperature",
                    "relief",
                )
            )
            or word in "ABD"
        )
        if isinstance(value, float) and dimensional and "inputs" not in path:
            assert unit[path], path
    assert unit["load_cases.0.margins.0.capacity"] == "N/m"
    strength = next(i for i, r in enumerate(RESULT.load_cases[0].margins) if r.quantity == "stress")
    assert unit[f"load_cases.0.margins.{strength}.capacity"] == "Pa"


def test_short_names():
    names = (
        "smallest_margin",
        "governing_mode",
        "governing_load_case",
        "verdict",
        "mass_per_area",
        "margin of skin, yield",
        "margin of skin, yield in case",
        "load of general instability, Donnell, without pressure in case",
    )
    found = {c.name: c.value(RESULT) for c in columns(names, RESULT)}
    v = RESULT.verdict
    assert [found[n] for n in names[:4]] == [v.smallest_margin, v.governing_mode, v.governing_load_case, v.word]
    row = builders.row(RESULT, "skin, yield")
    assert found[names[5]] == found[names[6]] == row.margin
    assert found[names[7]] == RESULT.load_cases[0].loads[0].line_load
    headers = [c.header for c in columns(names, RESULT)]
    assert "mass_per_area [kg/m^2]" in headers
    assert "governing_mode" in headers


def test_a_margin_of_a_mode_is_the_smallest_over_the_load_cases():
    case = builders.case(builders.GRID, builders.load(), builders.load(name="double", axial_force=800e3))
    result = assess(case)
    some = [builders.row(result, "general instability", i).margin for i in (0, 1)]
    names = ("margin of general instability", "margin of general instability in case")
    least, first = (c for c in columns(names, result) if c.name in names)
    assert least.value(result) == some[1] < some[0] == first.value(result)


def test_margins_are_all_margins():
    found = columns(("margins",), RESULT)
    # beside every margin its status, before them the smallest, the smallest known, what governs and edge bending
    assert len(found) == 4 + 2 * len(RESULT.margins)
    by = {c.name: c.value(RESULT) for c in found}
    for row in RESULT.margins:
        assert by[f"margin of {row.mode} in {row.load_case}"] == row.margin
        assert by[f"status of {row.mode} in {row.load_case}"] == row.status


@pytest.mark.parametrize(
    ("statuses", "margins", "least", "known", "status"),
    [
        (("holds", "holds"), (0.2, 0.1), 0.1, 0.1, "holds"),
        (("holds", "withheld"), (0.2, math.nan), None, 0.2, "withheld"),
        (("fails", "withheld"), (-0.2, math.nan), None, -0.2, "fails"),
        (("refused", "not compressed"), (math.nan, math.nan), None, None, "refused"),
        (("not covered", "holds"), (math.nan, 0.3), None, 0.3, "not covered"),
        (("not compressed", "not compressed"), (math.nan, math.nan), None, None, "not compressed"),
        (("not compressed", "holds"), (math.nan, 0.3), 0.3, 0.3, "holds"),
    ],
)
def test_an_unknown_row_leaves_the_smallest_margin_unknown(statuses, margins, least, known, status):
    some = list(zip(statuses, margins, strict=True))
    assert least_margin(some) == least
    assert smallest_known(some) == known
    assert joint_status(some) == status


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("smalest_margin", "the result has no such value; got smalest_margin; allowed: verdict"),
        ("margin of collapse", "no such margin; got margin of collapse; allowed: "),
        ("wall", "this is a group of values"),
        ("wall.A", "this is a group of values"),
        ("load_cases.flight.relief", "allowed: case"),
        ("load of nothing in case", "the result has no such value"),
    ],
)
def test_a_column_that_is_none_is_refused(name, words):
    with pytest.raises(sb.Refusal) as refusal:
        columns(("mass", name), RESULT)
    assert words in str(refusal.value)
    assert str(refusal.value).startswith("outputs.1: ")
