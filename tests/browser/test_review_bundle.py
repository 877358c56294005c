"""The built script: small, self-contained, with its licences, from sources whose lock file names no host."""

from __future__ import annotations

import json
import re
from importlib.resources import files

REPORT = files("shellbuck.report")
SCRIPT = REPORT.joinpath("review/bundle/review.js").read_text(encoding="utf-8")


def test_the_bundle_is_small_and_cannot_end_its_element():
    assert len(SCRIPT.encode()) < 800_000
    assert SCRIPT.isascii()
    for end in ("</script", "<script", "<!--"):
        assert end not in SCRIPT.lower()


def test_the_bundle_asks_nobody_and_makes_no_code_from_text():
    for call in (
        r"\beval\(",
        r"new Function\b",
        r"\bimportScripts\b",
        r"new Worker\(",
        r"\bXMLHttpRequest\b",
        r"\bWebSocket\b",
        r"\blocalStorage\b",
        r"\binnerHTML\b",
        r"\binsertAdjacentHTML\b",
        r"document\.write\b",
    ):
        assert not re.search(call, SCRIPT), call


def test_licences_of_all_that_is_inside_stand_beside_and_inside():
    licences = REPORT.joinpath("review/bundle/review-licences.txt").read_text(encoding="utf-8")
    package = json.loads(REPORT.joinpath("review/script/package.json").read_text(encoding="utf-8"))
    assert "Permission is hereby granted" in licences
    for name, version in package["dependencies"].items():
        assert f"{name} {version} (" in licences
    assert "Permission is hereby granted" in SCRIPT  # a page carries the script alone


def test_versions_are_exact_and_the_lock_names_no_host():
    package = json.loads(REPORT.joinpath("review/script/package.json").read_text(encoding="utf-8"))
    lock = json.loads(REPORT.joinpath("review/script/package-lock.json").read_text(encoding="utf-8"))
    wanted = package["dependencies"] | package["devDependencies"]
    for name, version in wanted.items():
        assert re.fullmatch(r"\d+\.\d+\.\d+", version), name
        assert lock["packages"][f"node_modules/{name}"]["version"] == version
    for path, entry in lock["packages"].items():
        if path:
            assert entry["integrity"].startswith("sha512-"), path
            assert "resolved" not in entry, path  # no host is named; npm takes its default and checks the digest


def test_the_package_carries_script_and_licences():
    for name in ("review/bundle/review.js", "review/bundle/review-licences.txt", "pages/templates/review.css"):
        assert REPORT.joinpath(name).is_file(), name


def test_no_source_writes_markup_from_text():
    sources = [item for item in REPORT.joinpath("review/script/src").iterdir() if item.name.endswith(".js")]
    assert len(sources) > 15
    for source in sources:
        text = source.read_text(encoding="utf-8")
        assert not re.search(
            r"innerHTML|outerHTML\s*=|insertAdjacentHTML|document\.write|\beval\b|style\.cssText", text
        ), source.name
        assert len(text.splitlines()) <= 320, source.name
