"""Every figure with its data: names, units, formulas of spreadsheets, PDF."""

from __future__ import annotations

import csv
import io
from xml.etree import ElementTree

import pytest
from export_case import CASE

import shellbuck as sb
from shellbuck.handbook import FORMULAS
from shellbuck.io import case_from_text
from shellbuck.io.language.case_file import CaseFile
from shellbuck.report.figures.equations import drawn_equation
from shellbuck.report.figures.export import csv_text, exported, index_text, slug
from shellbuck.report.text.display import SI
from shellbuck.report.text.printed import mathtext


@pytest.fixture(scope="module")
def figures():
    file: CaseFile = case_from_text(CASE, "my.toml")
    return exported(sb.run(file.case), file, SI)


@pytest.mark.slow
def test_every_figure_has_a_name_words_and_data(figures):
    names = [f.name for f in figures]
    assert len(set(names)) == len(names)
    assert {"wall", "evidence", "mode-01-map", "mode-01-barrel", "spectrum-1-1-a", "likeness-1-1-a"} <= set(names)
    for one in figures:
        assert slug(one.name) == one.name
        assert one.alt.endswith(".")
        assert ElementTree.fromstring(one.content("svg")).tag.endswith("svg")
        rows = list(csv.reader(io.StringIO(one.table())))
        assert len(rows) > 1, one.name
        assert {len(row) for row in rows} == {len(rows[0])}


def test_spectrum_data_are_the_loads(figures):
    one = next(f for f in figures if f.name == "spectrum-closed-form-1-1-a")
    rows = list(csv.DictReader(io.StringIO(one.table())))
    file = case_from_text(CASE, "my.toml")
    load = next(x for x in sb.run(file.case).load_cases[0].loads if x.lowest_by_n)
    first = [float(r["line load [N/m]"]) for r in rows if r["load"] == load.name]
    assert first == pytest.approx([p.line_load for p in load.lowest_by_n], rel=1e-8)


def test_index_lists_the_files(figures):
    rows = list(csv.DictReader(io.StringIO(index_text(figures, "pdf"))))
    assert [r["figure"] for r in rows] == [f"{f.name}.pdf" for f in figures]
    assert [r["data"] for r in rows] == [f"{f.name}.csv" for f in figures]
    assert all(r["what it shows"] for r in rows)


def test_pdf_of_one(figures):
    one = next(f for f in figures if f.name == "mode-01-content")
    assert one.content("pdf").startswith(b"%PDF")
    assert one.content("pdf") == one.content("pdf")


def test_texts_are_no_formulas_and_numbers_no_infinities():
    text = csv_text(["=a", "b"], [("=1+1", -0.5), ("@x", float("inf")), ('say "x", y', 3)])
    assert list(csv.reader(io.StringIO(text))) == [["'=a", "b"], ["'=1+1", "-0.5"], ["'@x", ""], ['say "x", y', "3"]]


@pytest.mark.parametrize(
    ("text", "name"), [("../..", "unnamed"), ("Pad, Empty/Wind", "pad-empty-wind"), ("θ", "unnamed")]
)
def test_names_of_files_stay_in_their_folder(text, name):
    assert slug(text) == name


@pytest.mark.slow
def test_figures_of_edges_have_their_data():
    """Profiles, spectrum and prebuckled state of clamped ends; the difference of membrane and bent mode."""
    file = case_from_text(CASE.replace('ends = "closed"', 'ends = "closed"\nedges = "C4"'), "my.toml")
    result = sb.run(file.case)
    named = {f.name: f for f in exported(result, file, SI)}
    rows = list(csv.DictReader(io.StringIO(named["prebuckled-1-1-a"].table())))
    state = next(x for x in result.load_cases[0].loads if x.prebuckled).prebuckled
    assert [float(r["outward deflection [m]"]) for r in rows] == pytest.approx(state.deflection, rel=1e-8)
    profiles = list(csv.DictReader(io.StringIO(named["edges-profiles-1-1-a"].table())))
    assert {r["prebuckling"] for r in profiles} == {"membrane", "edge bending"}
    spectrum = list(csv.DictReader(io.StringIO(named["spectrum-1-1-a"].table())))
    assert {r["engine"] for r in spectrum} == {"closed form", "Ritz, membrane", "Ritz, edge bending"}


@pytest.mark.slow
def test_every_formula_is_drawn():
    """The drawing is as wide as a page at most (A4 less margins, 510 pt)."""
    for key in FORMULAS:
        root = ElementTree.fromstring(drawn_equation(key).text)
        assert 10 < float(root.get("width").removesuffix("pt")) < 510, key


def test_symbols_of_several_letters_stand_upright():
    assert ElementTree.fromstring(drawn_equation("net-margin").text).tag.endswith("svg")
    assert r"\mathrm{FS}" in mathtext("net-margin")
    assert r"\mathrm{MS} = " in mathtext("net-margin")
