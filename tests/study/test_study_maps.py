"""Maps of a case: windows against closed forms, load cases where they belong, every point of the page with its row."""

from __future__ import annotations

import csv
import io
import math
import re

import builders
import numpy as np
import pytest
from study_plans import rows
from undrawn import figures_left_out

import shellbuck as sb
from shellbuck.io.language.keys import changed
from shellbuck.io.language.study_file import case_file
from shellbuck.margins import assess
from shellbuck.report.figures.study_data import inline
from shellbuck.report.figures.study_maps import draw_all
from shellbuck.report.pages.study_page import study_page, write_findings
from shellbuck.report.text.display import SI, US
from shellbuck.study import HereWorkers, Study, map_of, open_folder, plan_of, run_study, summarise
from shellbuck.study.maps import external
from shellbuck.study.windows import _Point, _stretches, windows

QUIET = builders.case(builders.PLAIN, builders.load(axial_force=0.0, bending_moment=0.0))


def worked_out(found, path):
    study = Study.of(found.plan)
    with open_folder(study, path) as folder:
        run_study(study, folder, HereWorkers())
    return study, folder


def test_the_pressure_window_against_von_mises(tmp_path):
    """Closed ends under pressure alone: sigma = sqrt(3)/2 p R/t; yield at the lower yield and its factor, ultimate at
    its own. The edge is found to a thousandth of the grid's step."""
    found = map_of(case_file(QUIET), "pressure", across=2, up=6, x=(-1.0, 0.0), y=(1.0, 2e6))
    study, folder = worked_out(found, tmp_path / "m")  # from 1 Pa: without any load nothing would be checked
    R, t, metal = QUIET.barrel.middle_radius, QUIET.barrel.skin_thickness_minimum, builders.METAL.points[0]
    allowed = min(metal.compressive_yield / 1.1, metal.ultimate / 1.4)
    top = allowed * 2 / math.sqrt(3) * t / R
    for window in windows(study, folder, 1):
        assert window.low.open
        assert window.low.value == 1.0
        assert not window.high.open
        assert top - 2e6 / 5 * 1e-3 <= window.high.value <= top
        assert window.high.stops == "skin, ultimate"
        assert window.low.mass_per_area == pytest.approx(2800 * 2.6e-3)


def test_the_least_thickness_is_where_the_margin_is_zero(tmp_path):
    case = builders.case(builders.PLAIN)
    found = map_of(case_file(case), "thickness", across=2, up=4, x=(1.0, 2.0), y=(1.5e-3, 6e-3))
    study, folder = worked_out(found, tmp_path / "m")
    step = 1.5e-3
    some = windows(study, folder, 1)
    assert len(some) == 2
    for window in some:
        for t, holds in ((window.low.value, True), (window.low.value - 1.01e-3 * step, False)):
            changes = study.plan.vary[0].changes(window.at[0]) | study.plan.vary[1].changes(t)
            assert (assess(changed(study.plan.case, changes)).verdict.word == "holds") == holds
        assert window.low.stops == "general instability"
        assert window.high.open
        assert window.low.mass_per_area == pytest.approx(2800 * window.low.value, rel=1e-12)
    assert some[1].low.value > some[0].low.value


@pytest.mark.parametrize("refused", [False, True])
def test_windows_of_a_known_function(refused):
    """Holds where sin > 0.3, over two and a half waves; with a stretch that has no margin at all."""

    def trial(x):
        margin = math.sin(x) - 0.3
        if refused and 7.0 < x < 7.9:
            return _Point(False, None, "refused"), 1.0
        return _Point(margin >= 0, margin, "sine"), 1.0

    values = np.linspace(0.0, 16.0, 41)
    found = list(_stretches(values, [trial(float(x))[0] for x in values], trial))
    a = math.asin(0.3)
    right = [(a, math.pi - a), (2 * math.pi + a, 3 * math.pi - a), (4 * math.pi + a, 5 * math.pi - a)]
    if refused:
        right[1:2] = [(2 * math.pi + a, 7.0), (7.9, 3 * math.pi - a)]
    assert len(found) == len(right)
    for (low, high), (x, y) in zip(found, right, strict=True):
        assert 0 <= low.value - x <= 0.4e-3 * 1.01
        assert 0 <= y - high.value <= 0.4e-3 * 1.01
    assert found[0][0].stops == "sine"
    assert [w[1].stops for w in found][1 if refused else 0] == ("refused" if refused else "sine")


def test_no_window_where_nothing_holds():
    trial = lambda x: (_Point(False, -1.0 - x, "m"), 1.0)  # noqa: E731
    assert list(_stretches(np.arange(4.0), [trial(x)[0] for x in range(4)], trial)) == []


def test_loads_map_has_the_load_cases_where_they_are(tmp_path):
    """A force that contains its thrust is drawn without it: F + pi R^2 p."""
    inside = builders.pressed(
        1e5,
        2e5,
        name="pressed",
        axial_force=1e5,
        bending_moment=-5e4,
        axial_force_includes_thrust=True,
        thrust_pressure=1e5,
    )
    case = builders.case(builders.PLAIN, builders.load(), inside)
    found = map_of(case_file(case), "loads", across=2, up=2, pressures=["0 kPa", "100 kPa"], load_case="pressed")
    markers = {m.label: m for m in found.markers}
    assert markers["pressed"].x == pytest.approx(1e5 + math.pi * 1.5**2 * 1e5)
    assert (markers["pressed"].y, markers["pressed"].panel) == (5e4, 1e5)
    assert (markers["case"].x, markers["case"].panel) == (400e3, 0.0)
    assert found.plan.case.load_cases[0].name == "pressed"
    assert "axial forces are without pressure thrust" in found.words
    study, folder = worked_out(found, tmp_path / "m")
    svgs = draw_all(study, folder, summarise(study, folder), SI, found)
    words = "Diamonds are the load cases, hollow where another pressure belongs to them: 1 case; 2 pressed."
    assert words in svgs[0].words


def test_external_loads_change_no_margin():
    load = builders.pressed(1e5, 2e5, axial_force=1e5, axial_force_includes_thrust=True, thrust_pressure=1.5e5)
    case = builders.case(builders.PLAIN, load)
    before, after = assess(case), assess(external(case))
    for a, b in zip(before.margins, after.margins, strict=True):
        assert (a.mode, a.margin) == (b.mode, pytest.approx(b.margin, rel=1e-12) if b.margin is not None else None)


@pytest.mark.parametrize(
    ("kind", "case", "more", "words"),
    [
        ("colours", QUIET, {}, "no such map"),
        ("ribs", QUIET, {}, "no blade ribs to map"),
        ("sides", QUIET, {}, "no blade ribs to map"),
        ("loads", QUIET, {"across": 1}, "across: too few or too many points"),
        ("thickness", QUIET, {"pressures": ["1 kPa"]}, "panels of pressure belong to a map of loads"),
        ("loads", QUIET, {"load_case": "x"}, "no such load case"),
        ("loads", QUIET, {"x": ("0 kN", "5 mm")}, "this is not a force"),
        ("loads", QUIET, {"x": ("5 kN", "0 kN")}, "an empty range: from is above to"),
        ("pressure", QUIET, {"y": ("-5 kPa", "5 kPa")}, ""),
        ("thickness", QUIET, {"x": ("1 kN", "2 kN")}, "a factor is a plain number"),
    ],
)
def test_a_map_that_cannot_be_meant_is_refused(kind, case, more, words):
    if not words:  # a pressure that a case refuses is no empty range: its points say so
        assert map_of(case_file(case), kind, **more)
        return
    with pytest.raises(sb.Refusal) as refusal:
        map_of(case_file(case), kind, **more)
    assert words in str(refusal.value)


def test_every_kind_of_map_has_its_axes():
    grid, stiffened = case_file(builders.case(builders.GRID)), case_file(builders.case(builders.STIFFENED))
    assert [v.title for v in map_of(grid, "ribs").plan.vary] == ["factor on all loads", "rib depth"]
    assert map_of(stiffened, "ribs").plan.vary[1].key == "wall.stringers.depth"
    sides = map_of(stiffened, "sides").plan.vary
    assert (sides[2].key, sides[2].values) == ("wall.stringers.side", ("inside", "outside"))
    skin = sides[1].changes(5e-3)
    assert skin[("barrel", "skin_thickness_minimum")] == pytest.approx(4.9e-3, rel=1e-12)


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    """(page, study, folder, figures) of a small map with refused points and a side."""
    raw = case_file(builders.case(builders.GRID))
    found = map_of(raw, "sides", across=3, up=3, x=(0.5, 2.0), y=(1e-3, 80e-3))
    study, folder = worked_out(found, tmp_path_factory.mktemp("map") / "m")
    place = write_findings(study, folder, summarise(study, folder), SI, found, "shellbuck map <b>")
    return place.read_text(encoding="utf-8"), study, folder, found


def test_every_link_of_the_page_leads_somewhere(page):
    text, study, folder, _ = page
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    inner = set(re.findall(r'href="#([^"]+)"', text))
    assert inner <= set(ids)
    assert {f"point-{k}" for k in range(len(study.design))} <= inner, "every point of the figure has a link"
    for target in set(re.findall(r'href="([^"#:]+)"', text)):
        assert (folder.path / target).exists(), target


def test_the_page_says_what_the_table_says(page):
    text, _, folder, _ = page
    for row in rows(folder):
        block = text[text.index(f'id="point-{row["point"]}"') :]
        block = block[: block.index("</tr>")]
        assert row["status"] in block
        judged = row["status"] in ("holds", "does not hold")
        assert (f"<td>{row['governing_mode'] or ''}</td>" in block) == judged or not row["governing_mode"]
        mass = row["mass_per_area [kg/m^2]"]
        assert ("-" if mass is None else f"{mass:.4g} kg/m²") in block
        assert judged or '<td class="n m">-</td>' in block, "no number beside a refusal reads as its margin"
    assert "shellbuck map &lt;b&gt;" in text
    assert "not certification" in text
    assert "<script" not in text
    assert "no margin (see its row)" in text


def test_a_map_names_the_keys_behind_its_words(tmp_path):
    """A factor says what it multiplies, a rib depth whose it is, and a map over pressure the moment it holds."""
    pressed = builders.case(builders.STIFFENED, builders.pressed(40e3))
    for kind, words in (
        ("ribs", "rib depth is wall.stringers.depth"),
        ("ribs", "factor on all loads multiplies load_cases.*.axial_force and load_cases.*.bending_moment"),
        ("pressure", "The bending moment is 100 kN m all over the map."),
    ):
        found = map_of(case_file(pressed), kind, across=2, up=2)
        study, folder = worked_out(found, tmp_path / kind)
        with figures_left_out():
            page = write_findings(study, folder, summarise(study, folder), SI, found)
        assert words in page.read_text(encoding="utf-8")


def test_figures_have_their_data_beside_them(page):
    _, study, folder, _ = page
    for name in ("map", "least"):
        data = list(csv.reader(io.StringIO((folder.path / "figures" / f"{name}.csv").read_text(encoding="utf-8"))))
        assert (folder.path / "figures" / f"{name}.svg").read_text(encoding="utf-8").startswith("<svg")
        assert len({len(line) for line in data}) == 1
    text = (folder.path / "figures" / "map.csv").read_text(encoding="utf-8")
    found = {int(line[0]): line for line in csv.reader(io.StringIO(text)) if line[0] != "point"}
    for row in rows(folder):
        margin = row["smallest_margin [-]"] if row["status"] in ("holds", "does not hold") else None
        assert found[row["point"]][-3] == ("" if margin is None else repr(margin))
    assert len(found) == len(study.design)


def test_the_same_study_gives_the_same_files(page):
    _, study, folder, found = page
    before = {p: p.read_bytes() for p in folder.path.rglob("*") if p.is_file()}
    with open_folder(study, folder.path):
        run_study(study, folder, HereWorkers())
    write_findings(study, folder, summarise(study, folder), SI, found, "shellbuck map <b>")
    assert {p: p.read_bytes() for p in folder.path.rglob("*") if p.is_file()} == before


def test_units_of_the_page(page):
    _, study, folder, found = page
    summary = summarise(study, folder)
    text = study_page(study, folder, summary, draw_all(study, folder, summary, US, found), US, found)
    assert re.search(r"skin thickness, in\b", text)
    assert "lb/ft²" in text


def test_of_many_points_some_have_rows_and_the_page_says_so(page, monkeypatch):
    import shellbuck.report.figures.study_data as shared

    _, study, folder, found = page
    monkeypatch.setattr(shared, "MOST_LINKED", 5)
    summary = summarise(study, folder)
    drawn = draw_all(study, folder, summary, SI, found)
    text = study_page(study, folder, summary, drawn, SI, found)
    linked = set(re.findall(r'href="#(point-\d+)"', text))
    assert linked == set(re.findall(r'id="(point-\d+)"', text))
    assert 3 <= len(linked) <= 6
    assert f"{len(linked)} of the 18 points open their rows" in drawn[0].words
    assert f"{len(linked)} of the 18 points; every column" in text


def test_inlined_ids_are_apart_and_links_stay():
    text = '<g id="a"><use xlink:href="#a"/><a xlink:href="#point-3"/><path clip-path="url(#c)"/></g>'
    assert inline(text, "f1") == (
        '<g id="f1-a"><use xlink:href="#f1-a"/><a xlink:href="#point-3"/><path clip-path="url(#f1-c)"/></g>'
    )


def test_a_map_has_a_gap_where_the_smallest_margin_is_not_known(tmp_path):
    """Wide strips buckle first: beyond that the general load is withheld. The map shows failure without a number, and
    the edge of the window is where the strip's own margin is 0 (sigma = 4 pi^2 E/(12 (1 - nu^2)) (t/b)^2)."""
    b, area = 2 * math.pi * 1.5 / 36, 0.03 * 0.003
    wall = sb.StiffenedWall(sb.Stiffeners("outside", "blade", 0.03, 0.003, count=36))
    metal = builders.METAL

    def strip_margin(t):
        E = metal.points[0].compressive_modulus
        sigma = 4 * math.pi**2 * E / (12 * (1 - metal.poissons_ratio**2)) * (t / b) ** 2
        return sigma * (t + area / b) * 2 * math.pi * 1.5 / (1.4 * 6e5) - 1

    barrel = builders.barrel(skin_thickness=2.6e-3, skin_thickness_minimum=2.6e-3)
    case = builders.case(wall, builders.load(axial_force=6e5, bending_moment=0.0), barrel=barrel)
    found = map_of(case_file(case), "thickness", across=2, up=5, x=(1.0, 1.01), y=(1.6e-3, 3.6e-3))
    study, folder = worked_out(found, tmp_path / "m")
    step = 0.5e-3
    window = windows(study, folder, 1)[0]
    assert window.low.stops == "skin strip"
    assert strip_margin(window.low.value) >= 0 > strip_margin(window.low.value - 1.01e-3 * step)
    text = write_findings(study, folder, summarise(study, folder), SI, found).read_text(encoding="utf-8")
    assert "does not hold; by how much is not known" in text
    data = list(csv.DictReader(io.StringIO((folder.path / "figures" / "map.csv").read_text(encoding="utf-8"))))
    failing = [row for row in data if row["status"] == "does not hold"]
    assert failing
    assert {row["smallest_margin [-]"] for row in failing} == {""}


def test_a_distribution_with_unknown_points_lies_between_two_lines(tmp_path):
    case = builders.case(builders.GRID)
    ribs = {"key": "wall.rib_thickness", "from": 2e-3, "to": 100e-3}
    study = Study.of(plan_of({"vary": [ribs], "method": "random", "count": 12}, case, si=True))
    with open_folder(study, tmp_path / "s") as folder:
        run_study(study, folder, HereWorkers())
    refused = sum(r["status"] == "refused" for r in rows(folder))
    assert refused
    (drawn,) = draw_all(study, folder, summarise(study, folder), SI)
    assert f"At {refused} points it is not known" in drawn.words
    assert "at least" in drawn.svg
