"""Saved pages and remarks are read back whole or refused in words."""

from __future__ import annotations

import contextlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellbuck.core.errors import Refusal
from shellbuck.io.pages.reader import block_of, read_page
from shellbuck.io.pages.remarks import read_remarks, remarks_from_text

BLOCK = {
    "remarks of": "shellbuck",
    "version": 1,
    "page": {"title": "T", "part": "P", "revision": "A", "digest": "d", "program": "0"},
    "verdict": "accepted with remarks",
    "reviewer": "R. Viewer",
    "remarks": [
        {
            "id": "r1",
            "on": {"kind": "place", "mode": "mode 1", "title": "t", "case": "c", "x": 0.5, "theta": 1.0},
            "text": "look </script><b>here",
            "author": "R",
            "when": "2026-01-01T00:00Z",
            "then": 1000.0,
            "now": None,
        },
        {"id": "r2", "on": {"kind": "margin", "case": "c", "row": "column"}, "text": "why?", "then": 0.3},
    ],
}
DATA = {
    "version": 1,
    "title": "T",
    "part": "",
    "revision": "",
    "digest": "d",
    "program": "0",
    "verdict": "holds",
    "inputs": [["barrel.length", "2 m", "2 m"]],
    "margins": [{"case": "c", "mode": "column", "margin": 0.3, "text": "+0.30", "status": "holds", "basis": None}],
    "modes": [
        {
            "id": "mode 1",
            "case": "c",
            "engine": "closed form",
            "title": "t",
            "line_load": 1e5,
            "load_text": "100 kN/m",
            "m": 1,
            "n": 5,
            "kind": "",
        }
    ],
}


def as_page(name: str, value: object) -> str:
    text = json.dumps(value).replace("<", "\\u003c")
    return f'<!doctype html><html><body><script type="application/json" id="{name}">{text}</script></body></html>'


def test_remarks_come_back_from_page_and_json(tmp_path):
    for name, text in (("a.json", json.dumps(BLOCK)), ("a.html", as_page("review-remarks", BLOCK))):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        found = read_remarks(path)
        assert found.verdict == "accepted with remarks"
        assert found.remarks[0].text == "look </script><b>here"
        assert (found.remarks[1].on.row, found.remarks[1].then) == ("column", 0.3)
        again = remarks_from_text(json.dumps(found.block()), "again")
        assert again == found


@pytest.mark.parametrize(
    ("former", "now"),
    [("believed", "accepted"), ("believed with remarks", "accepted with remarks"), ("not believed", "rejected")],
)
def test_verdicts_of_earlier_pages_are_read(former, now):
    assert remarks_from_text(json.dumps({**BLOCK, "verdict": former}), "earlier").verdict == now


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (json.dumps(BLOCK)[:-9], "cut off or damaged"),
        (as_page("review-remarks", BLOCK)[:300], "the file is cut off"),
        (as_page("other", BLOCK), "no block of remarks"),
        (as_page("review-remarks", None), "a page without remarks"),
        (json.dumps({**BLOCK, "version": 2}), "version"),
        (json.dumps({**BLOCK, "remarks of": "another"}), "remarks of"),
        (json.dumps({**BLOCK, "verdict": "fine"}), "accepted with remarks"),
        (json.dumps({**BLOCK, "more": 1}), "more"),
        (json.dumps({**BLOCK, "remarks": [BLOCK["remarks"][0]] * 2}), "two remarks carry one id"),
        (json.dumps({**BLOCK, "remarks": [{**BLOCK["remarks"][0], "then": float("inf")}]}), "then"),
        ("[" * 100_000, "no block of remarks"),
        ('{"a":' * 50_000, "cut off or damaged"),
        ("just words", "no block of remarks"),
    ],
)
def test_damaged_remarks_are_refused_in_words(text, words):
    with pytest.raises(Refusal, match="these are no remarks saved by a shellbuck page") as refusal:
        remarks_from_text(text, "x")
    assert words in str(refusal.value.problems[0].sentence())


def test_a_page_gives_its_numbers(tmp_path):
    path = tmp_path / "p.html"
    path.write_text(as_page("review-data", DATA), encoding="utf-8")
    numbers, raw = read_page(path)
    assert numbers.margins[0].margin == 0.3
    assert numbers.inputs == (("barrel.length", "2 m", "2 m"),)
    assert raw == DATA


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (as_page("review-data", DATA)[:200], "the file is cut off"),
        (as_page("review-data", DATA) + as_page("review-data-beside", DATA), "a page of two runs"),
        ("<html>", "no block of review data and no end of a page (</html>): it may be cut off, or not one of ours"),
        (as_page("other", DATA) + "</html>", "a page with no block of review data: one of patterns, of a study"),
        ('{"program": "shellbuck"}', "JSON, with no block of review data"),
        (as_page("review-data", {**DATA, "version": 9}), "version"),
        (as_page("review-data", {**DATA, "margins": 3}), "margins"),
        (as_page("review-data", DATA).replace("column", "column\x00").replace('"c"', "c"), "cut off or damaged"),
    ],
)
def test_a_foreign_page_is_refused_in_words(tmp_path, text, words):
    path = tmp_path / "p.html"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(Refusal, match="this is no whole report page") as refusal:
        read_page(path)
    assert words in refusal.value.problems[0].sentence()


def test_what_cannot_be_read_is_said(tmp_path):
    (tmp_path / "b").write_bytes(b"\xff\xfe\x00")
    for path in (tmp_path / "nothing", tmp_path, tmp_path / "b"):
        for read in (read_page, read_remarks):
            with pytest.raises(Refusal, match=r"cannot be read|not a file"):
                read(path)


@given(st.text(max_size=300))
def test_any_text_is_refused_or_read(text):
    with contextlib.suppress(Refusal):
        remarks_from_text(text, "x")
    block_of(text.replace("<script", "<scr"), "review-data")
