"""The reference pages hold everything that the program registers, and each page is reachable by its name."""

from __future__ import annotations

import re
from dataclasses import fields
from importlib.resources import files

import pytest

from shellbuck.cli.commands import PURPOSES
from shellbuck.cli.main import main
from shellbuck.cli.reference import PAGES, page_text
from shellbuck.core.catalogue import EDGE_SETS, MESSAGES
from shellbuck.core.sources import SOURCES
from shellbuck.handbook import FORMULAS
from shellbuck.io import material_names
from shellbuck.io.language.case_file import SECTIONS
from shellbuck.io.language.schema import INTERNAL
from shellbuck.io.language.sizing_file import TABLES
from shellbuck.io.language.study_file import TOP
from shellbuck.io.language.study_inputs import VARY
from shellbuck.margins.modes import MODES
from shellbuck.model import FACTOR_SETS
from shellbuck.model.walls import WALLS
from shellbuck.sizing import PATTERNS
from shellbuck.study.maps import KINDS

REGISTERED = {
    "commands": (*PURPOSES, *KINDS),
    "failure-modes": [f"## {mode.title} ({mode.kind})" for mode in MODES],
    "checks": MESSAGES,
    "formulas": FORMULAS,
    "sources": SOURCES,
    "edge-sets": EDGE_SETS,
    "materials": material_names(),
    "factors": FACTOR_SETS,
    "patterns": PATTERNS,
}


@pytest.mark.parametrize("page", REGISTERED)
def test_a_page_names_everything_registered(page):
    text = page_text(PAGES[page])
    assert [name for name in REGISTERED[page] if name not in text] == []


def test_the_page_of_keys_holds_every_key_with_its_meaning():
    text = page_text(PAGES["keys"])
    entries = re.findall(r"^- `(\w+)`: (.*)$", text, re.MULTILINE)
    named = {name for name, _ in entries}
    for cls in (*SECTIONS.values(), *TABLES.values(), *WALLS.values()):
        assert cls is None or {f.name for f in fields(cls)} - INTERNAL <= named
    assert named >= {*TOP, *VARY}
    bare = {name for name, words in entries if name != "kind" and not re.search(r"\. \S", words)}
    bare -= {*TOP, *VARY, "times", "more", "less"}  # their words are the meaning alone
    assert bare == set()


@pytest.mark.slow
def test_pages_are_written_with_an_index_and_not_over_others(tmp_path, capsys):
    folder = tmp_path / "reference"
    assert main(["explain", "--to", str(folder)]) == 0
    index = (folder / "README.md").read_text(encoding="utf-8")
    assert sorted(p.name for p in folder.iterdir()) == sorted(["README.md", *(f"{name}.md" for name in PAGES)])
    for name, page in PAGES.items():
        assert f"[{page.title}]({name}.md)" in index
        assert (folder / f"{name}.md").read_text(encoding="utf-8").startswith(f"# {page.title}\n\n")
    assert main(["explain", "--to", str(folder)]) == 2
    assert main(["explain", "--to", str(folder), "--force"]) == 0
    capsys.readouterr()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_printed_by_its_name(name, capsys):
    assert main(["explain", name]) == 0
    assert capsys.readouterr().out == page_text(PAGES[name]) + "\n"


def test_written_pages_are_packaged():
    pages = files("shellbuck").joinpath("cli/pages")
    assert {p.name for p in pages.iterdir()} == {"limits.md", "methods.md", "python.md", "results.md"}
