"""The demo vehicle and the starting cases: each runs, and shows what its README line says. Own output, no evidence."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
from builders import codes, row

import shellbuck as sb
from shellbuck.io import case_from_text
from shellbuck.report.pages.page import page

CASES = Path(__file__).parent.parent / "cases"
DEMO = sorted(p for p in CASES.glob("*.toml") if p.suffixes == [".toml"])  # the others are no cases
STARTS = sorted(p.name for p in files("shellbuck.io").joinpath("starts").iterdir() if p.name.count(".") == 1)


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_demo_case(path):
    file = sb.read_case(path)
    assert "(invented)" in file.case.identity.title
    result = sb.run(file.case)
    assert result.verdict.exit_status == (1 if path.stem == "thin-stainless" else 0)
    assert {r.load_case for r in result.margins} == {ld.name for ld in file.case.load_cases}
    html = page(result, file)
    assert all(f"Spectrum of general instability, {load.name}" in html for load in file.case.load_cases)


def test_demo_covers_the_five_walls():
    assert len(DEMO) >= 5
    kinds = [sb.read_case(p).case.wall.kind for p in DEMO]
    assert sorted(set(kinds)) == ["orthogrid", "plain", "stiffened", "triangular grid"]


def test_thin_stainless_fails_empty_and_holds_on_pressure():
    result = sb.run(sb.read_case(CASES / "thin-stainless.toml").case)
    empty, *pressed = (row(result, "general instability", i) for i in range(3))
    assert empty.margin < 0
    assert all(r.margin > 0 for r in pressed)
    assert "signs-differ" in codes(result)


def test_panel_governs_the_stringer_barrel():
    result = sb.run(sb.read_case(CASES / "stringers-outside-rings.toml").case)
    assert result.verdict.governing_mode == "panel between rings"


@pytest.mark.parametrize("name", STARTS)
def test_start_runs_as_it_is_and_holds(name):
    text = files("shellbuck.io").joinpath(f"starts/{name}").read_text(encoding="utf-8")
    result = sb.run(case_from_text(text).case)
    # a given stiffness leaves local modes and strength to be checked elsewhere
    assert result.verdict.exit_status == (3 if name == "given-stiffness.toml" else 0), result.verdict.text


def test_commented_lines_of_a_start_are_valid_too():
    """Every commented-out key of the plain start, put in, is accepted: nobody should trip over our own comment."""
    text = files("shellbuck.io").joinpath("starts/plain.toml").read_text(encoding="utf-8")
    policy = text[text.index("# [policy]") :]
    opened = text.replace(policy, "\n".join(line.removeprefix("# ") for line in policy.splitlines()))
    case = case_from_text(opened).case
    assert case.policy.stability_thickness == "nominal"
    assert case.policy.own_knockdown.axial == 0.5
