"""Every code in use is explained, and every explanation is of a code in use."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import shellbuck
from shellbuck.core.catalogue import MESSAGES

ROOT = Path(shellbuck.__file__).parent
TREES = {
    path: ast.parse(path.read_text(encoding="utf-8")) for path in ROOT.rglob("*.py") if path.name != "catalogue.py"
}
MAKERS = {"Problem", "Check", "_fail", "_unwritable", "Rule", "Refusal.of", "Incomplete.of", "BadArrays.of"}
NOT_RAISED = {"interrupted"}
"""Explained though no `Problem` carries it: the word of a stopped run."""


def calls():
    """(file, call) of everything that makes a problem or a check."""
    for path, tree in TREES.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in MAKERS:
                yield path, node


def codes_of(call: ast.Call) -> set[str]:
    """String literals that the first argument may be (a conditional has two)."""
    first = call.args[0] if call.args else next((k.value for k in call.keywords if k.arg == "code"), None)
    if first is None:
        return set()
    return {n.value for n in ast.walk(first) if isinstance(n, ast.Constant) and isinstance(n.value, str)}


USED = {code for _, call in calls() for code in codes_of(call)}


def test_the_search_finds_codes():
    """Guards the test itself: a renamed class would leave it with nothing to compare."""
    assert len(USED) > 60
    assert {"unit-missing", "ribs-overlap", "small-margin", "internal-error"} <= USED


def test_every_code_in_use_is_explained():
    assert {c for c in USED if re.fullmatch(r"[a-z]+(-[a-z]+)*", c)} == USED
    assert set(MESSAGES) >= USED


def test_every_explanation_is_of_a_code_in_use():
    unused = set(MESSAGES) - USED - NOT_RAISED
    assert unused == set(), f"explained, but no Problem or Check has it as a literal: {sorted(unused)}"


@pytest.mark.parametrize("code", MESSAGES)
def test_an_explanation_is_a_sentence(code):
    text = MESSAGES[code]
    assert text.endswith(".")
    assert text[0].isupper() or text.startswith("shellbuck")
    assert len(text.split()) >= 5
