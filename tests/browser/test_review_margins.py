"""A click from every margin of every demo case to the mode that it rests on, or to the words why there is none."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from browser_driver import opened

import shellbuck as sb
from shellbuck.io import read_case
from shellbuck.report.pages.page import page

CASES = Path(__file__).parents[2] / "cases"
DEMO = sorted(p.name for p in CASES.glob("*.toml") if p.name.count(".") == 1)


@pytest.mark.parametrize("name", DEMO)
def test_from_each_margin_to_its_mode(chromium, tmp_path, name):
    """What the label says of the mode is what the row says of its basis: load, theory, (m, n), pressure."""
    file = read_case(CASES / name)
    file = replace(file, case=replace(file.case, barrel=replace(file.case.barrel, edges=None)))  # Ritz takes seconds
    result = sb.run(file.case)
    target = tmp_path / "page.html"
    target.write_text(page(result, file), encoding="utf-8")
    rows = {(row.load_case, row.mode): row for row in result.margins}
    with opened(chromium, target) as review:
        opening = review.page.locator(".rv-came").inner_text()
        first = next((r for r in result.margins if r.basis and r.basis.kind in ("mode", "column")), None)
        if first is not None:
            assert opening.startswith(f"Initial mode: {first.mode}, {first.load_case}")
        for cell in review.page.locator("[data-row][data-case]").all():
            row = rows[cell.get_attribute("data-case"), cell.get_attribute("data-row")]
            button = cell.locator("button").first
            button.click()
            if row.basis is None or row.basis.kind == "plate":
                assert "has no mode" in button.get_attribute("title")
                words = review.page.locator(".rv-why").inner_text()
                assert words.startswith(f"{row.mode}, {row.load_case} (MS ")
                assert ": no mode" in words
                continue
            label = dict(
                zip(*(review.page.locator(f".rv-label {tag}").all_inner_texts() for tag in ("dt", "dd")), strict=True)
            )
            basis, came = row.basis, review.page.locator(".rv-came").inner_text()
            assert came.startswith(f"{row.mode}, {row.load_case} (MS ")
            assert label["Theory"] == basis.theory
            if basis.kind == "equation":
                assert "shown for reference" in came
                assert label["Design load"].startswith("none")
                continue
            bays = 1 if basis.region == "barrel" else round(file.case.barrel.length / basis.length)
            m, n = (int(i) for i in re.match(r"\((\d+), (\d+)\)", label["(m, n)"]).groups())
            assert (m, n) == (bays * basis.m, basis.n)
            shown = float(label["Line load"].split()[0])
            assert shown == pytest.approx(basis.line_load / 1e3, rel=1e-4)  # five digits are printed
            if basis.component == "external pressure":
                assert label["Pressure"].startswith("external pressure is the load")
            else:
                assert label["Pressure"].startswith("no") == (basis.pressure == 0)
            assert label["Design load"].startswith("none") == bool(basis.limited)
            assert row.load_case in label["Margins"]
            assert row.mode in label["Margins"]
        review.clean()
