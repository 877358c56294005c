"""What the page says when its data are damaged, foreign or missing, when a browser has no WebGL, or no script runs."""

from __future__ import annotations

import copy
import io

import numpy as np
import pytest
from browser_driver import chromium_path, opened
from browser_pages import packed, review_data, write_page
from matplotlib.image import imread

SHOWN = "document.querySelector('#viewer .rv-message') !== null && !document.querySelector('#viewer').hidden"


WHOLE = packed(review_data())


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (WHOLE[: len(WHOLE) // 2], "cut short or damaged"),
        (WHOLE[:1], "cut short or damaged"),
        ("", "contains no mode data"),
        ('{"some": "thing"}', "contains something else"),
        (packed(review_data(version=9)), "of form 9; this page reads form 1"),
        (packed(review_data(barrel={"radius": 0, "length": 2})), "name no barrel"),
        (packed(review_data(palette=["red"])), "contain no colours"),
        (packed(review_data(modes=[])), "contains no mode to show"),
        (packed(review_data(spectra="none")), '"spectra" is not a list'),
    ],
)
def test_damaged_or_foreign_data_are_refused_in_words(visit, text, words):
    with visit(text, ready=SHOWN) as page:
        told = page.page.locator("#viewer .rv-message").inner_text()
        assert words in told
        assert page.page.evaluate("document.documentElement.className") == "no-script"
        assert page.page.locator("#remarks-editor").is_visible()  # remarks still work
        page.clean()


def test_printed_figures_come_back(tmp_path, chromium):
    data = review_data()
    path = write_page(tmp_path / "page.html", data)
    path.write_text(path.read_text(encoding="utf-8").replace(packed(data), packed(data)[:900]), encoding="utf-8")
    with opened(chromium, path, SHOWN) as page:
        assert page.page.locator(".still").first.is_visible()
        assert "The printed figures are shown instead" in page.page.locator("#viewer").inner_text()


def test_one_damaged_mode_is_named_and_the_others_stay(visit):
    data = copy.deepcopy(review_data())
    modes = {mode["id"]: mode for mode in data["modes"]}
    modes["mode 2"]["w"]["data"] = modes["mode 2"]["w"]["data"][:-8]
    modes["mode 4"]["surface"] = "mesh 9"
    modes["mode 6"]["v"]["data"] = "%%%"
    with visit(data) as page:
        for mode, words in (
            ("mode 2", "mode 2, w: 94 bytes found where 100 belong"),
            ("mode 4", '"mesh 9" is not in the page'),
            ("mode 6", "not readable as base64"),
        ):
            page.page.locator(f'#viewer input[value="{mode}"]').click()
            told = page.page.get_by_role("alert").inner_text()
            assert words in told or (mode == "mode 2" and "bytes found where" in told)
            assert page("R.state.mode") == "mode 1"
            assert page.page.locator('#viewer input[value="mode 1"]').is_checked()
        page.choose("mode 3")
        assert page("R.state.mode") == "mode 3"
        assert not page.page.get_by_role("alert").is_visible()
        page.clean()


def test_without_webgl_words_stand_and_the_map_works(playwright_driver, demo):
    browser = playwright_driver.chromium.launch(
        executable_path=chromium_path(), args=["--no-sandbox", "--disable-gpu", "--disable-3d-apis"]
    )
    try:
        with opened(browser, demo, "Boolean(R)") as page:
            assert page("R.webgl") is False
            assert (
                "3D drawing is not available in this browser (WebGL is off or missing)"
                in page.page.locator(".rv-solid").inner_text()
            )
            page.choose("mode 4")
            page.page.locator(".rv-unrolled .rv-map-pad").press("ArrowRight")
            assert page("R.state.mode") == "mode 4"
            assert "w = " in page.page.locator(".rv-unrolled .rv-readout").inner_text()
            page.clean()
    finally:
        browser.close()


def test_without_a_script_the_printed_page_stands(chromium, demo):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(demo.as_uri())
    assert page.locator(".still").first.is_visible()
    assert not page.locator("#viewer").is_visible()
    assert not page.locator("#remarks-editor").is_visible()
    context.close()


def test_print_shows_the_still_figures_and_the_remarks_but_no_tools(review):
    review.page.emulate_media(media="print")
    try:
        assert review.page.locator(".still[data-mode]").first.is_visible()
        for hidden in ("#viewer", ".rv-form", ".rv-keep", ".rv-margin-tools"):
            assert not review.page.locator(hidden).first.is_visible(), hidden
    finally:
        review.page.emulate_media(media="screen")


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (768, 1024), (360, 740)])
def test_the_page_fits_its_window(visit, width, height):
    with visit(
        review_data(), viewport={"width": width, "height": height}, device_scale_factor=2 if width == 360 else 1
    ) as page:
        for mode in ("mode 1", "mode 3"):
            page.choose(mode)
            assert page("document.scrollingElement.scrollWidth") <= width
            boxes = page.page.evaluate(
                """() => ["canvas", "svg", "button", "select", "input"]
                .flatMap((name) => [...document.querySelectorAll(`#viewer ${name}`)])
                .filter((e) => e.getClientRects().length && !e.closest(".rv-scroll, .rv-over, .rv-list"))
                .map((e) => [e.className.baseVal ?? e.className, e.getBoundingClientRect()])
                .map(([name, box]) => [name, box.left, box.right])"""
            )
            assert [box for box in boxes if box[1] < -1 or box[2] > width + 1] == []
        # nine half-waves in the height of a narrow map are too fine for signs: they stand enlarged beside it
        page.choose("mode 5")
        close = page.page.locator(".rv-close")
        assert close.is_visible() is (page("R.map().height") / 9 < 18)
        if width == 360:
            assert close.is_visible()
            shot = imread(io.BytesIO(close.locator("canvas").screenshot()))[:, :, :3]
            warm = shot[:, :, 0] - shot[:, :, 2]
            assert (warm > 0.3).mean() > 0.05
            assert (warm < -0.3).mean() > 0.05
        page.clean()


@pytest.mark.parametrize("width", [1280, 390, 360])
def test_words_beside_the_barrel_stand_clear_of_it(visit, width):
    """Between "x = 0", "x = L" and the leftmost pixel of their rows that is not the ground lies at least one."""
    with visit(review_data(), viewport={"width": width, "height": 800}) as page:
        ends = page.page.evaluate(
            """() => [...document.querySelectorAll(".rv-over text")].filter((e) => e.textContent.startsWith("x ="))
            .map((e) => [e.getBoundingClientRect(), document.querySelector(".rv-solid-canvas").getBoundingClientRect()])
            .map(([box, canvas]) => [box.left - canvas.left, box.right - canvas.left, box.top - canvas.top,
              box.bottom - canvas.top])"""
        )
        assert len(ends) == 2
        page.page.add_style_tag(content=".rv-over { display: none }")
        drawn = np.abs(page.picture() - np.array([0xF3, 0xF5, 0xF9])).max(axis=2) > 8
        for left, right, top, bottom in ends:
            assert left >= 0
            rows = drawn[round(top) - 2 : round(bottom) - 2]  # the picture has lost its rim of two pixels
            assert right + 1 < np.nonzero(rows.any(axis=0))[0][0] + 2


def test_the_page_follows_a_window_that_changes(visit):
    with visit(review_data()) as page:
        wide = page("R.map().width")
        page.page.set_viewport_size({"width": 500, "height": 800})
        page.wait(f"R.map().width < {0.6 * wide}")
        page.settled()
        assert page("document.scrollingElement.scrollWidth") <= 500
        assert page("R.at(R.state.theta, R.state.x).pixel[0]") < 500
