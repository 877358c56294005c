"""Two runs on one page: what differs is marked, what is the same is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from builders import GRID, case, load
from review_modes import LENGTH, entry, packed, review, wave

import shellbuck as sb
from shellbuck.cli.main import main
from shellbuck.core.samples import Samples
from shellbuck.io import CaseFile
from shellbuck.io.pages.reader import read_page
from shellbuck.io.pages.remarks import Page as RemarksPage
from shellbuck.io.pages.remarks import Place, Remark, Remarks
from shellbuck.report.pages.beside import (
    Reviewed,
    beside_page,
    input_lines,
    margin_lines,
    mass_line,
    mode_lines,
    names_apart,
    reviewed,
)
from shellbuck.report.pages.html import json_block
from shellbuck.report.review.data import review_data
from shellbuck.report.review.pairing import paired, with_one_sign
from shellbuck.report.review.remarks import beside, remark_rows
from shellbuck.report.text.display import SI, US


def data_of(the_case: sb.Case) -> dict:
    return review_data(sb.run(the_case), CaseFile(the_case, {}, "my.toml", "0" * 64), SI)


def saved(path, data: dict) -> str:
    path.write_text(f'<html><script type="application/json" id="review-data">{json_block(data)}</script></html>')
    return str(path)


@pytest.fixture(scope="module")
def runs(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    first = case(GRID, load(name="pad <b>"))
    second = case(replace(GRID, rib_depth=0.015), load(name="pad <b>"))
    return saved(folder / "a.html", data_of(first)), saved(folder / "b.html", data_of(second)), folder


def test_a_run_beside_itself_has_no_difference(runs):
    a, _ = read_page(runs[0])
    assert not [line for lines in (input_lines, margin_lines, mode_lines) for line in lines(a, a) if line.change]


def test_what_differs_is_marked(runs):
    a, b = read_page(runs[0])[0], read_page(runs[1])[0]
    assert [line.what for line in input_lines(a, b) if line.change] == ["wall.rib_depth"]
    general = next(line for line in margin_lines(a, b) if line.what.startswith("general instability"))
    x, y = (next(r.margin for r in data.margins if r.mode == "general instability") for data in (a, b))
    assert general.change == f"{y - x:+.3f}"
    assert y > x  # deeper ribs carry more
    modes = mode_lines(a, b)
    first, second = (next(m for m in data.modes if "Sanders" in m.title) for data in (a, b))
    line = next(line for line in modes if "Sanders" in line.what)
    assert f"{100 * (second.line_load / first.line_load - 1):+.2f} %" in line.change


def test_modes_of_one_name_are_told_apart_by_their_number(runs):
    """Of two modes of one name a remark means that of its own number, the first where there is none such; the table
    shows both, and a mode that has no partner as a mode of one run only."""
    page, data = read_page(runs[0])
    mode = next(m for m in data["modes"] if "Sanders" in m["title"])
    twins = [mode | {"id": f"mode {i}", "line_load": i * 1e5} for i in (1, 2)]
    asked = [Place("mode", f"mode {i}", mode["title"], mode["case"]) for i in (1, 2, 7)]
    given = remarks(*(Remark(f"r{i}", on, "t", then=1.0) for i, on in enumerate(asked)))
    assert [r.now for r in beside(given, data | {"modes": twins}).remarks] == [1e5, 2e5, 1e5]
    named = next(m for m in page.modes if m.id == mode["id"])
    both = replace(page, modes=tuple(replace(named, id=m["id"], line_load=m["line_load"]) for m in twins))
    assert [line.change for line in mode_lines(both, both)] == ["", ""]
    one = replace(page, modes=(replace(named, id="mode 2", line_load=3e5),))
    assert [line.change for line in mode_lines(both, one)] == ["+50.00 %", "only in the first"]
    assert [line.change for line in mode_lines(one, both)] == ["only in the second", "-33.33 %"]


def test_rows_of_one_run_only(runs):
    a, b = read_page(runs[0])[0], read_page(runs[1])[0]
    fewer = replace(b, margins=b.margins[1:], inputs=b.inputs[1:], modes=())
    assert "only in the first" in {line.change for line in margin_lines(a, fewer)}
    assert {line.change for line in mode_lines(a, fewer)} == {"only in the first"}
    assert {line.change for line in mode_lines(fewer, a)} == {"only in the second"}
    assert input_lines(a, fewer)[0].change == "only in the first"


def test_the_mass_stands_among_what_is_compared(runs):
    """Deeper ribs weigh more; the change is that of the numbers; a page without the number says so."""
    (_, a), (_, b) = read_page(runs[0]), read_page(runs[1])
    line = mass_line(a, b)
    assert (line.first, line.second) == (a["mass_text"], b["mass_text"])
    assert line.first.endswith("kg/m²")
    assert b["mass_per_area"] > a["mass_per_area"] > 0
    assert line.change == f"{100 * (b['mass_per_area'] / a['mass_per_area'] - 1):+.2f} %"
    assert mass_line(a, a).change == ""
    old = {key: value for key, value in a.items() if not key.startswith("mass")}
    assert mass_line(old, b).first == "not among the data of this page"
    assert mass_line(old, b).change == ""
    page = beside_page(read_page(runs[0]), read_page(runs[1]))
    assert f"The mass per area changes: {line.change}." in page


def test_what_a_reviewer_left_is_told(runs):
    def page(block: object, editor: str = "") -> str:
        text = f'<div id="remarks-editor" hidden{editor}></div>'
        return f'{text}<script type="application/json" id="review-remarks">{json_block(block)}</script>'

    block = remarks(Remark("r1", Place("page"), "t")).block()
    assert reviewed(page(block)) == Reviewed("accepted, by R", "1")
    assert reviewed(page(block, " data-given")) == Reviewed("accepted, by R, on an earlier page (T)", "1")
    assert reviewed(page({**block, "verdict": "", "remarks": []})) == Reviewed("none", "none")
    assert reviewed(page(None)) == reviewed("<html>") == Reviewed("none", "none")
    damaged = Reviewed("damaged, not read", "damaged, not read")
    assert reviewed(page({**block, "version": 7})) == reviewed(page(block)[:-20]) == damaged
    both = beside_page(read_page(runs[0]), read_page(runs[1]), (reviewed(page(block)), Reviewed()))
    assert '<td class="unbroken">accepted, by R</td><td class="unbroken">none</td>' in both


def test_renamed_load_cases_are_said_once(runs):
    a, _ = read_page(runs[0])
    other = replace(
        a,
        margins=tuple(replace(r, case="flight") for r in a.margins),
        modes=tuple(replace(m, case="flight") for m in a.modes),
    )
    assert names_apart(a, a) == ""
    assert names_apart(a, replace(a, margins=(), modes=())) == ""
    assert names_apart(a, replace(other, margins=a.margins)) == ""
    assert '(first: "pad <b>"; second: "flight")' in names_apart(a, other)
    assert "give the load cases equal names in both case files" in names_apart(a, other)


def test_the_page_shows_hostile_text_as_text(runs):
    page = beside_page(read_page(runs[0]), read_page(runs[1]))
    assert "pad &lt;b&gt;" in page
    assert "pad <b>" not in page
    assert page.count('<script type="application/json"') == 2


def test_the_command(runs, capsys):
    target = runs[2] / "both.html"
    assert main(["beside", runs[0], runs[1], "--page", str(target)]) == 0
    out = capsys.readouterr().out
    assert "inputs: 1 of" in out
    assert "mass per area: " in out
    assert "No load case" not in out
    assert "Two runs side by side" in target.read_text(encoding="utf-8")
    assert main(["beside", runs[0], runs[1], "--page", runs[1]]) == 2
    assert "would overwrite the second page" in capsys.readouterr().err
    (runs[2] / "c.html").write_text("<html>")
    assert main(["beside", runs[0], str(runs[2] / "c.html"), "--page", str(target)]) == 2
    assert "no whole report page" in capsys.readouterr().err


def remarks(*items: Remark) -> Remarks:
    return Remarks(RemarksPage("T", "", "", "0" * 64, "0"), "accepted", "R", items)


def test_remarks_stand_beside_the_changed_numbers(runs):
    """Values of another run by title and row; the change as printed follows from them."""
    data = read_page(runs[1])[1]
    mode = next(m for m in data["modes"] if "Sanders" in m["title"])
    margin = next(r for r in data["margins"] if r["mode"] == "general instability")
    given = remarks(
        Remark("r1", Place("mode", "mode 9", mode["title"], mode["case"]), "t", then=mode["line_load"] / 1.1),
        Remark("r2", Place("margin", case=margin["case"], row=margin["mode"]), "t", then=margin["margin"]),
        Remark("r3", Place("place", "mode 1", mode["title"], mode["case"], x=0.5, theta=1.0), "t"),
        Remark("r4", Place("mode", "mode 1", "gone", mode["case"]), "t", then=1.0),
        Remark("r5", Place("page"), "t"),
    )
    found = beside(given, data)
    rows = remark_rows(found, SI)
    assert found.remarks[0].now == mode["line_load"]
    assert [row.change for row in rows] == ["+10.00 %", "unchanged", "no value was written down", "not in this run", ""]
    assert "at x = 500 mm, theta = 57.3°" in rows[2].on
    assert "19.69 in" in remark_rows(found, US)[2].on


def test_modes_are_paired_by_shape_and_get_one_sign():
    """Two runs of three waves: in the second the titles of two are exchanged, one has the other sign, one is new."""
    first = review(
        wave(2, 4, name="mode 1", title="a"), wave(3, 5, name="mode 2", title="b"), wave(1, 7, name="mode 3", title="c")
    )
    second = review(
        wave(3, 5, name="mode 1", title="a", sign=-1.0),
        wave(2, 4, name="mode 2", title="b"),
        wave(1, 9, name="mode 3", title="c"),
    )
    found = paired(first, second)
    assert set(found.pairs) == {(1, 0), (0, 1), (None, 2), (2, None)}
    assert found.alike(1, 0) == pytest.approx(1, abs=1e-6)
    assert found.alike(0, 0) == pytest.approx(0, abs=1e-9)
    # sin(3 pi x/L) cos(5 theta) of the other sign is turned back; the others stay as they are
    shown = with_one_sign(second, found)
    for mode, same in zip(shown["modes"], (first["modes"][1], *second["modes"][1:]), strict=True):
        a, b = (Samples(**{**m["w"], "shape": tuple(m["w"]["shape"])}).array() for m in (mode, same))
        assert a == pytest.approx(b, abs=1e-6)


def test_likeness_across_runs_is_that_of_the_sines():
    """Modes of other lengths of barrel compare as shares of the length. sin(2x) + sin(3x) has half of w^2 in each."""
    x = np.linspace(0, LENGTH, 241)
    mixed = entry(
        "mode 1",
        2,
        4,
        form="waves",
        x=packed(x),
        u=packed(0 * x),
        v=packed(0 * x),
        w=packed(np.sin(2 * np.pi * x / LENGTH) + np.sin(3 * np.pi * x / LENGTH)),
    )
    found = paired(review(wave(2, 4)), review(mixed))
    assert found.alike(0, 0) == pytest.approx(0.5, abs=1e-3)


def test_pages_without_shapes_are_paired_by_title():
    data = review(wave(2, 4))
    bare = data | {"modes": [{k: v for k, v in data["modes"][0].items() if k not in ("w", "x")}]}
    assert paired(bare, data).pairs == ((0, 0),)
    assert paired(bare, data).alike(0, 0) is None
