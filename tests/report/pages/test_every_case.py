"""The page of many load cases: a table of all, filter and sort by a script of its own, in full only some."""

import base64
import hashlib
import re
from dataclasses import replace

import pytest
from builders import PLAIN, case, load

from shellbuck.io.language.study_file import case_file
from shellbuck.margins import assess
from shellbuck.report.pages.every_case import every_case
from shellbuck.report.pages.page import page

COUNT = 40


@pytest.fixture(scope="module")
def made():
    loads = [load(name=f"load {i}", axial_force=1e5 * (1 + i), bending_moment=0.0) for i in range(COUNT)]
    loads[5] = replace(loads[5], name="<b>odd</b>")
    file = case_file(case(PLAIN, *loads))
    return assess(file.case), file


@pytest.fixture(scope="module")
def text(made):
    return page(*made)


def test_every_load_case_has_a_line_with_its_margins(made, text):
    result, _ = made
    body = re.search(r'id="every-load-case".*?<tbody>(.*?)</tbody>', text, re.DOTALL)[1]
    lines = re.findall(r"<tr[^>]*>(.*?)</tr>", body, re.DOTALL)
    assert len(lines) == COUNT
    # one force on one barrel: the largest has the smallest margin
    assert "load 39" in lines[0]
    assert "&lt;b&gt;odd&lt;/b&gt;" in body
    assert all(len(re.findall("<td", line)) == 2 + 4 for line in lines)
    failing = sum(any(row.status == "fails" for row in one.margins) for one in result.load_cases)
    assert body.count('data-negative="1"') == failing > 0


def test_only_some_are_in_full(made, text):
    shown = {one.name for one in made[0].load_cases if one.in_full}
    assert set(re.findall(r"<h3>(load \d+)</h3>", text)) == shown
    assert "load_cases.30" not in text


def test_the_page_allows_its_own_script(text):
    script = next(s for s in re.findall(r"<script>(.*?)</script>", text, re.DOTALL) if "every-load-case" in s)
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)[1]
    assert policy.count("sha256-") == 2
    assert f"'sha256-{digest}'" in policy.replace("&#39;", "'")


def test_print_has_the_table_and_no_script(made):
    text = page(*made, scripted=False)
    assert "every-load-case" in text
    assert "<script" not in text


def test_few_load_cases_have_no_such_table(made):
    file = replace(made[1], case=replace(made[1].case, load_cases=made[1].case.load_cases[:3]))
    result = assess(file.case)
    assert every_case(result) is None
    assert "every-load-case" not in page(result, file)


def test_what_is_unknown_is_marked(made):
    result, _ = made
    rows = tuple(replace(row, status="refused", margin=None) for row in result.load_cases[0].margins)
    first = replace(result.load_cases[0], margins=rows)
    lines = every_case(replace(result, load_cases=(first, *result.load_cases[1:]))).lines
    assert [line.case.name for line in lines if line.unknown] == ["load 0"]
