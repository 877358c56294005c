"""Remarks of a reviewed page beside the numbers of the next run, from the command line."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest

from shellbuck.cli.main import main
from shellbuck.io.pages.reader import block_of

pytestmark = pytest.mark.usefixtures("undrawn")


@pytest.fixture
def place(tmp_path):
    text = files("shellbuck.io").joinpath("starts/given-stiffness.toml").read_text(encoding="utf-8")
    (tmp_path / "my.toml").write_text(text, encoding="utf-8")
    return tmp_path


def given(page: str) -> dict:
    """What the page would save: a remark on its first mode, at a load one per cent lower."""
    mode = json.loads(block_of(page, "review-data"))["modes"][0]
    remark = {
        "id": "r1",
        "on": {"kind": "mode", "mode": mode["id"], "title": mode["title"], "case": mode["case"]},
        "then": mode["line_load"] / 1.01,
        "text": "are <these> edges real?",
        "author": "R",
        "when": "",
    }
    return {
        "remarks of": "shellbuck",
        "version": 1,
        "page": {"title": "T"},
        "verdict": "rejected",
        "reviewer": "R. Viewer",
        "remarks": [remark],
    }


def test_then_and_now(place, capsys):
    """Status 3: a given stiffness leaves local modes and strength open."""
    case, first, second = (str(place / name) for name in ("my.toml", "first.html", "second.html"))
    assert main(["run", case, "--brief", "--page", first]) == 3
    page = (place / "first.html").read_text(encoding="utf-8")
    assert "None given." in page
    (place / "remarks.json").write_text(json.dumps(given(page)), encoding="utf-8")
    assert main(["run", case, "--brief", "--page", second, "--remarks", str(place / "remarks.json")]) == 3
    again = (place / "second.html").read_text(encoding="utf-8")
    assert "are &lt;these&gt; edges real?" in again
    assert "+1.00 %" in again
    assert "rejected" in again
    assert '<div id="remarks-editor" hidden data-given></div>' in again  # the page's own verdict starts at none yet
    assert '<div id="remarks-editor" hidden></div>' in page
    assert "The case file has changed since." in again  # the remarks name no digest
    block = json.loads(block_of(again, "review-remarks"))
    assert block["remarks"][0]["now"] == pytest.approx(1.01 * block["remarks"][0]["then"], rel=1e-12)
    capsys.readouterr()
    # a saved copy of the page is as good as the JSON
    assert main(["run", case, "--brief", "--page", first, "--remarks", second]) == 3
    assert "are &lt;these&gt; edges real?" in (place / "first.html").read_text(encoding="utf-8")


def test_refusals(place, capsys):
    case = str(place / "my.toml")
    bad = place / "bad.html"
    bad.write_text("<html>", encoding="utf-8")
    assert main(["run", case, "--remarks", str(bad)]) == 2
    assert "remarks are shown on the page only" in capsys.readouterr().err
    assert main(["run", case, "--page", str(place / "p.html"), "--remarks", str(bad)]) == 2
    assert "no remarks saved by a shellbuck page" in capsys.readouterr().err
    assert main(["run", case, "--page", str(bad), "--remarks", str(bad)]) == 2
    assert "would overwrite the remarks" in capsys.readouterr().err
    assert bad.read_text(encoding="utf-8") == "<html>"
