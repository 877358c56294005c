"""Two runs on one page: camera, look, place and mode go together; runs without a common mode stay apart in that."""

from __future__ import annotations

import pytest
from browser_driver import opened
from browser_pages import LENGTH, page_text, review_data, wave, write_page

from shellbuck.io.pages.reader import read_page
from shellbuck.report.pages.beside import beside_page


@pytest.fixture(scope="module")
def pair(chromium, tmp_path_factory):
    other = review_data(revision="C", barrel={"radius": 1.5, "length": 2 * LENGTH})
    other["modes"] = [mode for mode in other["modes"] if mode["form"] == "waves"]
    for mode in other["modes"]:
        mode["x"] = {**mode["x"], "scale": 2.0}
    other["modes"].append(wave(9, 2, 6, 1_500_000.0, title="only in the second"))
    path = write_page(tmp_path_factory.mktemp("pair") / "beside.html", review_data(), beside=other)
    with opened(chromium, path, "Boolean(R && R.beside && R.beside.frames > 0)") as page:
        yield page
        page.clean()


def test_cameras_and_look_are_linked_both_ways(pair):
    for source, other in (("#viewer", "R.beside"), ("#viewer-beside", "R")):
        pad = pair.page.locator(f"{source} .rv-solid-pad")
        own = "R" if source == "#viewer" else "R.beside"
        before, frames = pair(f"{own}.state.pose"), pair(f"{other}.frames")
        pad.press("ArrowLeft")
        pad.press("+")
        pair.page.locator(source).get_by_label("cut open", exact=True).check()
        pair.settled()
        assert pair("R.state.pose") == pair("R.beside.state.pose") != before
        assert pair("R.state.cut") is pair("R.beside.state.cut") is True
        assert pair(f"{other}.frames") > frames
        pair.page.locator(source).get_by_label("cut open", exact=True).uncheck()


def test_places_go_together_as_shares_of_the_length(pair):
    pair.page.locator("#viewer .rv-unrolled .rv-map-pad").press("ArrowUp")
    first, second = (pair(f"[{at}.state.theta, {at}.state.x]") for at in ("R", "R.beside"))
    assert second == pytest.approx([first[0], 2 * first[1]])


def test_modes_of_one_name_are_told_apart_by_their_number(chromium, tmp_path):
    """As in the table of the page and among remarks: the same number where there is one, else the first."""
    twins = [wave(i, 2, 5, i * 1e6, title="twin") for i in (2, 3)]
    first = review_data(modes=[wave(1, 1, 3, 9e5), *twins], surfaces={}, likeness=[])
    second = review_data(
        modes=[wave(1, 1, 3, 9e5), wave(3, 2, 5, 3e6, title="twin"), wave(4, 2, 5, 4e6, title="twin")],
        surfaces={},
        likeness=[],
    )
    path = write_page(tmp_path / "twins.html", first, beside=second)
    with opened(chromium, path, "Boolean(R && R.beside && R.beside.frames > 0)") as page:
        for source, chosen, other, expected in (
            ("#viewer", "mode 3", "R.beside", "mode 3"),
            ("#viewer-beside", "mode 4", "R", "mode 2"),
            ("#viewer", "mode 1", "R.beside", "mode 1"),
        ):
            page.page.locator(f'{source} input[value="{chosen}"]').check()
            assert page(f"{other}.state.mode") == expected
        page.clean()


def test_modes_of_one_title_go_together(pair):
    pair.page.locator('#viewer input[value="mode 2"]').check()
    assert pair("R.beside.state.mode") == "mode 2"
    pair.page.locator('#viewer-beside input[value="mode 9"]').check()
    assert pair("R.beside.state.mode") == "mode 9"
    assert pair("R.state.mode") == "mode 2"
    pair.page.locator('#viewer input[value="mode 4"]').check()
    assert pair("R.state.mode") == "mode 4"
    assert pair("R.beside.state.mode") == "mode 9"


def test_the_table_of_runs_fits_and_print_says_where_shapes_are(chromium, tmp_path):
    """The comparison page as the program writes it, at 1280 x 800: a digest breaks and no column is cut."""
    data = review_data(
        verdict="Design does not hold: general instability under the largest load has a margin of -0.04 in pad, empty.",
        inputs=[["barrel.length", "2 m", "2 m"]],
        digest="0123456789abcdef" * 4,
    )
    (tmp_path / "a.html").write_text(page_text(data), encoding="utf-8")
    a = read_page(tmp_path / "a.html")
    path = tmp_path / "both.html"
    path.write_text(beside_page(a, a), encoding="utf-8")
    with opened(chromium, path, "Boolean(R && R.beside && R.beside.frames > 0)") as page:
        box = page.page.locator(".scroll").first
        assert box.evaluate("(box) => box.scrollWidth - box.clientWidth") == 0
        words = page.page.locator("#shapes + p")
        assert words.is_hidden()
        page.page.emulate_media(media="print")
        assert words.is_visible()
        assert "shown on screen" in words.inner_text()
        page.clean()
