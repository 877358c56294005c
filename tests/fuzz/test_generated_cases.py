"""Generated case files: whatever a file holds, the answer is a sound result or a refusal in words, and quickly.

Invented cases, own output: this shows that the program does not break, not that its numbers are right.
"""

from __future__ import annotations

import json
import math
import time
from importlib.resources import files

import jsonschema
import pytest
from case_generator import case_file

from shellbuck.cli.main import main
from shellbuck.core.catalogue import MESSAGES
from shellbuck.core.errors import ShellbuckError
from shellbuck.io import read_case, refusal_object, result_object
from shellbuck.io.results import json_text
from shellbuck.margins import assess

VALIDATOR = jsonschema.Draft202012Validator(
    json.loads(files("shellbuck.io").joinpath("data/result.schema.json").read_text(encoding="utf-8"))
)
LONGEST = 30.0  # s of CPU for one case: beyond this it hangs; speed is for benchmarks
EVERY_COMMAND, EVERY_SCHEMA = 10, 10  # share of the cases that also go through the command line, and the schema
SEED = 20_000
MANGLED = ("dropped", "misspelt", "spoilt", "poisoned", "mangled")


def answer(path, *, edge_bending: bool = True) -> dict:
    """The JSON object of a case file, through the programming interface; only our own errors are caught."""
    try:
        file = read_case(path)
        document = result_object(assess(file.case, edge_bending=edge_bending), file)
    except ShellbuckError as error:
        document = refusal_object(error)
        check_words(error)
    return json.loads(json_text(document), parse_constant=lambda word: pytest.fail(f"{word} in JSON"))


def check_words(error: ShellbuckError) -> None:
    """Every problem is explained, and said in a sentence of readable length."""
    assert error.problems
    for problem in error.problems:
        assert problem.code in MESSAGES
        assert len(problem.code) + 5 < len(problem.sentence()) < 2000


def look_over(document: dict) -> None:
    """What no accepted case may say."""
    status = document["exit_status"]
    assert status in {0, 1, 2, 3}
    assert document["not_finite"] == []
    if document["wall"] is None:
        assert document["problems"]
        assert status in {2, 3}
        return
    assert document["wall"]["mass"] > 0
    statuses = []
    for case in document["load_cases"]:
        assert case["margins"]
        for load in case["loads"]:
            assert load["line_load"] > 0
        for knockdown in case["knockdowns"]:
            assert all(0 < factor <= 1 for _, factor in knockdown["factors"])
        for row in case["margins"]:
            statuses.append(row["status"])
            if row["status"] == "holds" and row["demand"] == 0:
                assert (row["margin"], row["note"]) == (None, "no stress")
            elif row["status"] in {"holds", "fails"}:
                assert math.isfinite(row["margin"])
                # ribs that the fixed pressure alone would cripple lie below -1: they have less than no capacity
                rib = row["kind"] == "local" and row["quantity"] == "stress"
                assert rib or row["margin"] >= -1, "a margin of -1 is no capacity at all"
                assert rib or row["capacity"] > 0 or row["margin"] == -1
                assert (row["status"] == "holds") == (row["margin"] >= 0)
            else:
                assert row["margin"] is None
                assert row["note"]
    refused = "refused" in statuses or any(check["status"] == "refused" for check in document["validity"])
    open_ends = bool(document["verdict"]["not_checked"])
    assert open_ends >= bool({"withheld", "not covered"} & set(statuses))
    expected = 2 if refused else 1 if "fails" in statuses else 3 if open_ends else 0
    assert status == expected


def go_through(count: int, first: int, folder, capsys) -> dict[str, int]:
    tally: dict[str, int] = {}
    path = folder / "case.toml"
    for seed in range(first, first + count):
        kind, data = case_file(seed)
        path.write_bytes(data)
        before = time.process_time()
        try:
            # the nonlinear path of every barrel would take minutes: those that a command shows are walked
            document = answer(path, edge_bending=seed % EVERY_COMMAND == 0)
            took = time.process_time() - before
            look_over(document)
            assert took < LONGEST, f"{took:.1f} s"
            if seed % EVERY_SCHEMA == 0:
                VALIDATOR.validate(document)
            if seed % EVERY_COMMAND == 0:
                assert main(["run", str(path), "--json", "-"]) == document["exit_status"]
                assert json.loads(capsys.readouterr().out) == document
        except BaseException as error:
            error.add_note(f"seed {seed}, {kind}")
            raise
        key = f"{kind} {document['exit_status']}{'' if document['wall'] else ' unread'}"
        tally[key] = tally.get(key, 0) + 1
    return tally


@pytest.mark.parametrize(
    ("count", "first"),
    [
        pytest.param(200, SEED, id="two hundred"),
        pytest.param(2000, SEED + 200, marks=pytest.mark.slow, id="two thousand"),
    ],
)
def test_many_files(count, first, tmp_path, capsys):
    """CI goes through the two thousand; of every kind of file there are enough to say something."""
    tally = go_through(count, first, tmp_path, capsys)
    print(f"seeds {first} to {first + count - 1}: {dict(sorted(tally.items()))}")
    assert tally.get("valid 2 unread", 0) < 0.3 * sum(n for k, n in tally.items() if k.startswith("valid"))
    for kind in ("valid 0", "valid 1", *(f"{kind} 2 unread" for kind in MANGLED)):
        assert tally[kind] > count / 50, kind


@pytest.mark.slow
def test_ten_thousand_files(tmp_path, capsys):
    """By hand: six minutes."""
    print(f"seeds 100000 to 109999: {go_through(10_000, 100_000, tmp_path, capsys)}")
