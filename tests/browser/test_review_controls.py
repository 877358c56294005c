"""Every control changes what it should, in the picture and on the page, by hand and by key; nothing moves unasked."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from browser_pages import LENGTH, RADIUS, review_data


@pytest.fixture
def fresh(review):
    """The demo page as it was opened."""
    review.page.reload()
    review.wait("Boolean(R && R.frames > 0)")
    review.settled()
    return review


def apart(first, second):
    """Share of the pixels that differ visibly."""
    return (np.abs(first - second).max(axis=2) > 6).mean()


def pad(review):
    return review.page.locator(".rv-solid-pad")


def test_nothing_is_drawn_while_nothing_changes(fresh):
    before = fresh("R.frames")
    fresh.page.wait_for_timeout(600)
    assert fresh("R.frames") == before


@pytest.mark.parametrize("words", ["undeformed", "contours", "shading", "cuts", "cut open"])
def test_each_tick_box_changes_the_picture_and_back(review, words):
    review.choose("mode 3")
    review.settled()
    before, was = review.picture(), review.page.get_by_label(words, exact=True).is_checked()
    review.tick(words, not was)
    assert apart(review.picture(), before) > 0.002  # the thinnest are the two lines of the cuts
    review.tick(words, was)
    assert apart(review.picture(), before) == 0


def test_amplitude_and_cycle_move_the_barrel_and_not_its_colours(review):
    review.choose("mode 1")
    for words in ("undeformed", "contours", "shading", "cuts"):
        review.tick(words, False)
    theta, x = math.radians(315), 0.5 * LENGTH  # a summit that faces the eye
    for amplitude, phase in ((8, 0), (8, 90), (8, 180), (3, 0), (0, 0)):
        review.slide("Amplitude", amplitude)
        review.slide("Cycle", phase)
        found = review("R.at(a, b)", theta, x)
        reach = math.hypot(*found["place"][:2])
        expected = RADIUS * (1 + 0.01 * amplitude * math.cos(math.radians(phase)) * found["w"])
        assert reach == pytest.approx(expected, abs=1e-4)
        assert abs(found["w"]) == pytest.approx(1.0, abs=0.01)
        assert review("R.drawn(a, b)", *found["pixel"][:2]) == pytest.approx(found["colour"], abs=12)
    for words in ("undeformed", "contours", "shading", "cuts"):
        review.tick(words, True)


def test_one_cycle_plays_once_with_a_fixed_camera(fresh):
    pose, phase, first = fresh("R.state.pose"), fresh("R.state.phase"), fresh("R.frames")
    still = fresh.picture()
    fresh.page.get_by_role("button", name="Play one cycle").click()
    phases = set()
    for _ in range(20):
        phases.add(round(fresh("R.state.phase"), 3))
        fresh.page.wait_for_timeout(40)
    assert len(phases) > 3
    fresh.wait("R.state.moving === false")
    fresh.settled()
    assert fresh("R.frames") > first + 3
    assert fresh("R.state.pose") == pose
    assert fresh("R.state.phase") == phase
    assert apart(fresh.picture(), still) == 0
    assert fresh.page.get_by_role("button", name="Play one cycle").is_visible()


def test_a_reader_who_wants_no_motion_moves_by_hand(visit):
    with visit(review_data(), reduced_motion="reduce") as page:
        page.page.get_by_role("button", name="Move the cycle on").click()
        page.settled()
        assert page("R.state.phase") == pytest.approx(math.pi / 4)
        assert page("R.state.moving") is False


def test_hand_and_keys_turn_zoom_and_move(fresh):
    box = pad(fresh).bounding_box()
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    rest = fresh("R.state.pose")
    fresh.page.mouse.move(*middle)
    fresh.page.mouse.down()
    fresh.page.mouse.move(middle[0] + 60, middle[1] + 30, steps=4)
    fresh.page.mouse.up()
    turned = fresh("R.state.pose")
    # the near side goes with the hand: to the right, and its top towards the eye
    assert turned["azimuth"] < rest["azimuth"]
    assert turned["elevation"] > rest["elevation"]
    fresh.page.keyboard.down("Shift")
    fresh.page.mouse.down()
    fresh.page.mouse.move(middle[0] + 90, middle[1] + 30, steps=4)
    fresh.page.mouse.up()
    fresh.page.keyboard.up("Shift")
    assert fresh("R.state.pose.right") > 0
    pad(fresh).focus()
    fresh.page.mouse.wheel(0, -300)
    fresh.settled()
    assert fresh("R.state.pose.zoom") > 1.2
    pad(fresh).press("Home")
    assert fresh("R.state.pose") == rest
    for key, part in (
        ("ArrowLeft", "azimuth"),
        ("ArrowUp", "elevation"),
        ("+", "zoom"),
        ("Shift+ArrowRight", "right"),
        ("Shift+ArrowUp", "up"),
    ):
        before = fresh("R.state.pose")[part]
        pad(fresh).press(key)
        assert fresh("R.state.pose")[part] > before, key
    pad(fresh).press("0")
    for name, larger in (("zoom in", True), ("zoom out", False)):
        before = fresh("R.state.pose.zoom")
        fresh.page.get_by_role("button", name=name).click()
        assert (fresh("R.state.pose.zoom") > before) is larger


def test_the_wheel_scrolls_the_page_until_the_picture_is_chosen(fresh):
    box = pad(fresh).bounding_box()
    fresh.page.mouse.move(box["x"] + 50, box["y"] + 50)
    before = fresh("scrollY")
    fresh.page.mouse.wheel(0, 120)
    fresh.page.wait_for_timeout(300)
    assert fresh("R.state.pose.zoom") == 1
    assert fresh("scrollY") != before


def test_a_mode_chosen_elsewhere_is_in_view_in_the_list(visit):
    """The list of a narrow page holds three modes at a time; the page itself does not move."""
    with visit(review_data(), viewport={"width": 420, "height": 800}) as page:
        ends = """() => ["#viewer .rv-list", "#viewer .rv-mode:has(input:checked)"].map((name) =>
            document.querySelector(name).getBoundingClientRect()).map((box) => [box.top, box.bottom])"""
        for mode in ("mode 4", "mode 1"):
            mark = page.page.locator(f'.rv-choice[data-mode="{mode}"]')
            mark.scroll_into_view_if_needed()
            before = page("scrollY")
            mark.press("Enter")  # marks may lie on one another
            page.settled()
            assert page("R.state.mode") == mode
            (top, bottom), (first, last) = page.page.evaluate(ends)
            assert top <= first < last <= bottom
            assert page("scrollY") == before


def test_two_fingers_zoom(visit):
    with visit(review_data(), has_touch=True, viewport={"width": 420, "height": 800}) as page:
        pad(page).scroll_into_view_if_needed()
        box = pad(page).bounding_box()
        session = page.page.context.new_cdp_session(page.page)
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

        def touch(kind, apart):
            points = [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}] if apart else []
            session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

        touch("touchStart", 30)
        for apart in (40, 60, 80):
            touch("touchMove", apart)
        touch("touchEnd", 0)
        assert page("R.state.pose.zoom") > 1.5


def test_cut_open_leaves_out_a_sector_and_nothing_else(review):
    review.choose("mode 1")
    pad(review).press("Home")
    for words in ("undeformed", "contours", "shading", "cuts"):
        review.tick(words, False)
    review.slide("Amplitude", 1)
    review.tick("cut open", True)
    review.slide("opened at", 330)
    review.slide("by", 60)
    for turn in (280, 310, 345, 375):
        places = [review("R.at(a, b)", math.radians(turn), x) for x in np.linspace(0.1, 0.9, 25) * LENGTH]
        off = [np.abs(np.array(review("R.drawn(a, b)", *at["pixel"][:2])) - at["colour"]).max() for at in places]
        seen = np.mean(np.array(off) < 25)  # the far side's colours may agree here and there
        assert seen > 0.95 if not 300 < turn < 360 else seen < 0.6
    # through the opening a click meets the far side, not the side that is left out
    front = review("R.at(a, b)", math.radians(330), 0.5 * LENGTH)["pixel"]
    hit = review("R.pick(a, b)", *front[:2])
    assert hit is None or math.cos(hit["theta"] - math.radians(330)) < 0
    review.tick("cut open", False)
    hit = review("R.pick(a, b)", *front[:2])
    assert hit["theta"] == pytest.approx(math.radians(330), abs=0.02)
    assert hit["x"] == pytest.approx(0.5 * LENGTH, abs=0.02)


def test_a_click_on_the_barrel_moves_map_cuts_and_words(fresh):
    fresh.tick("shading", False)
    at = fresh("R.at(a, b)", 5.4, 0.8)["pixel"]
    box = pad(fresh).bounding_box()
    fresh.page.mouse.click(box["x"] + at[0], box["y"] + at[1])
    fresh.settled()
    assert fresh("[R.state.theta, R.state.x]") == pytest.approx([5.4, 0.8], abs=0.02)
    words = fresh.page.locator(".rv-unrolled .rv-readout").inner_text()
    told = [float(v) for v in re.search(r"θ = ([\d.]+)°, x = ([\d.]+) mm", words).groups()]
    assert told == pytest.approx([math.degrees(5.4), 800], abs=20)  # a pixel is 9 mm
    assert f"Hoop cut at x = {told[1]:.4g}" in fresh.page.locator(".rv-cut").nth(1).text_content()


def test_the_map_moves_the_cuts_and_the_mark_on_the_barrel(fresh):
    size = fresh("R.map()")
    canvas = fresh.page.locator(".rv-unrolled .rv-map-canvas")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    cut = fresh.page.locator(".rv-cut").nth(1)
    before, mark = cut.inner_html(), fresh.page.locator(".rv-mark").get_attribute("transform")
    fresh.page.mouse.click(box["x"] + 0.9 * size["width"], box["y"] + 0.25 * size["height"])
    fresh.settled()
    assert fresh("[R.state.theta, R.state.x]") == pytest.approx([0.9 * 2 * math.pi, 0.75 * LENGTH], abs=0.02)
    assert cut.inner_html() != before
    moved = fresh.page.locator(".rv-mark").get_attribute("transform")
    assert moved != mark
    expected = fresh("R.at(R.state.theta, R.state.x).pixel")
    assert [float(v) for v in moved[10:-1].split()] == pytest.approx(expected[:2], abs=0.11)
    drag = fresh.page.mouse
    drag.move(box["x"] + 10, box["y"] + 10)
    drag.down()
    drag.move(box["x"] + 0.5 * size["width"], box["y"] + 0.5 * size["height"], steps=3)
    drag.up()
    assert fresh("[R.state.theta, R.state.x]") == pytest.approx([math.pi, LENGTH / 2], abs=0.02)


def test_keys_move_the_crosshair(fresh):
    plan = fresh.page.locator(".rv-unrolled .rv-map-pad")
    start = fresh("[R.state.theta, R.state.x]")
    for key, which, sign in (("ArrowRight", 0, 1), ("ArrowLeft", 0, -1), ("ArrowUp", 1, 1), ("ArrowDown", 1, -1)):
        before = fresh("[R.state.theta, R.state.x]")[which]
        plan.press(key)
        assert np.sign(fresh("[R.state.theta, R.state.x]")[which] - before) == sign
    assert fresh("[R.state.theta, R.state.x]") == pytest.approx(start)
    plan.press("Shift+ArrowRight")
    assert 0 < fresh("R.state.theta") - start[0] < math.radians(1)
    plan.press("Home")
    assert abs(fresh("R.at(R.state.theta, R.state.x).w")) == pytest.approx(1, abs=0.01)


def test_cuts_show_the_mode(review):
    review.choose("mode 4")
    review.settled()
    theta, x = review("[R.state.theta, R.state.x]")
    for which, along in ((0, lambda t: (theta, t * LENGTH)), (1, lambda t: (2 * math.pi * t, x))):
        drawn = review.page.locator(".rv-cut").nth(which).locator(".rv-curve").get_attribute("d")
        points = np.array([[float(v) for v in piece.split()] for piece in drawn[1:].split("L")])
        values = points[:, 0 if which == 0 else 1]
        w = np.array([review("R.at(a, b).w", *along(t)) for t in np.linspace(0, 1, len(points))[::20]])
        fit = np.polyfit(w, values[::20], 1)
        assert np.abs(np.polyval(fit, w) - values[::20]).max() < 0.05  # printed with two decimals of a pixel
        assert (fit[0] > 0) == (which == 0)  # outward to the right, outward up


def test_a_mix_of_waves_is_named_by_the_largest_without_a_length(visit):
    """Of waves of one n only the axis is mixed; below 0.9 of w^2 no wave speaks for the mode."""
    data = review_data()
    for mode, share in zip(data["modes"], (0.64, 0.9, 0.64, 0.93, 0.93, 1.0), strict=True):
        mode["share"] = share
    with visit(data) as page:
        for mode, words in (
            ("mode 1", "mostly m = 5 (64 % of w²); 8 full waves around, each"),
            ("mode 2", "1 half-wave along the axis, each"),
            ("mode 3", "mostly m = 5, n = 8 (64 % of w²)"),
        ):
            page.choose(mode)
            assert words in page.page.locator(".rv-label").inner_text()


def test_choosing_a_mode_anywhere_changes_every_view(fresh):
    views = (".rv-label", ".rv-bars >> nth=0", ".rv-unrolled .rv-cut >> nth=1")
    seen = [fresh.page.locator(view).inner_html() for view in views]
    fresh.page.locator('.rv-choice[data-mode="mode 4"]').click()
    fresh.settled()
    assert fresh("R.state.mode") == "mode 4"
    assert fresh.page.locator('input[value="mode 4"]').is_checked()
    assert all(fresh.page.locator(view).inner_html() != was for view, was in zip(views, seen, strict=True))
    assert (
        "5 half-waves along the axis, each 400 mm; 7 full waves around" in fresh.page.locator(".rv-label").inner_text()
    )
    # by key: from the chosen point to its neighbour and Enter; the focus stays in the picture
    fresh.page.locator(".rv-choice.rv-chosen").focus()
    fresh.page.keyboard.press("ArrowRight")
    fresh.page.keyboard.press("Enter")
    fresh.settled()
    after = fresh("R.state.mode")
    assert after != "mode 4"
    assert fresh("document.activeElement.dataset.mode") == after
    # by key in the list
    fresh.page.locator('input[value="mode 1"]').check()
    fresh.page.keyboard.press("ArrowDown")
    assert fresh("R.state.mode") == "mode 3"  # the next by load


def test_local_modes_are_hidden_and_counted_never_lost(fresh):
    names = lambda: [row.get_attribute("data-mode") for row in fresh.page.locator(".rv-mode").all()]  # noqa: E731
    assert "mode 5" in names()
    assert fresh.page.locator('.rv-choice[data-mode="mode 5"]').count() == 1
    box = fresh.page.get_by_label("hide local modes")
    box.check()
    assert "mode 5" not in names()
    assert fresh.page.locator('.rv-choice[data-mode="mode 5"]').count() == 0
    assert "1 of 6 modes hidden" in fresh.page.locator(".rv-list").inner_text()
    box.uncheck()
    fresh.choose("mode 5")
    box.check()
    assert "mode 5" in names()  # the chosen one stays
    assert "hidden" not in fresh.page.locator(".rv-list").inner_text()
    box.uncheck()


def test_ribs_can_be_plain_or_hidden(review):
    review.choose("mode 3")
    pictures = []
    for look in ("coloured", "plain", "hidden"):
        review.page.get_by_label("ribs", exact=True).select_option(look)
        review.settled()
        pictures.append(review.picture())
    assert all(apart(pictures[i], pictures[j]) > 0.01 for i, j in ((0, 1), (1, 2), (0, 2)))
    review.page.get_by_label("ribs", exact=True).select_option("coloured")


def test_spectrum_band_and_points_stand_at_their_loads(review):
    review.choose("mode 1")
    data = review_data()
    lowest = data["spectra"][0]["lowest"]
    band = {k: float(review.page.locator(".rv-band").get_attribute(k)) for k in ("y", "height")}
    at = {}
    for mode in data["modes"][:5]:
        place = review.page.locator(f'.rv-choice[data-mode="{mode["id"]}"]').get_attribute("transform")
        at[mode["id"]] = (mode["n"], mode["line_load"], *(float(v) for v in place[10:-1].split()))
    n, load, across, down = (np.array(column) for column in zip(*at.values(), strict=True))
    vertical, horizontal = np.polyfit(load, down, 1), np.polyfit(n, across, 1)
    assert np.abs(np.polyval(vertical, load) - down).max() < 0.01
    assert np.abs(np.polyval(horizontal, n) - across).max() < 0.01
    assert vertical[0] < 0 < horizontal[0]
    assert [band["y"] + band["height"], band["y"]] == pytest.approx(
        np.polyval(vertical, [lowest, 1.2 * lowest]), abs=0.05
    )


def test_a_number_of_the_likeness_chooses_the_pair_and_its_difference(fresh):
    fresh.page.locator(".rv-matrix button", has_text="0.98").click()
    fresh.settled()
    assert fresh("R.state.pair") == ["mode 1", "mode 3"]
    found = fresh("R.difference()")
    # the same field by formula and on the mesh: what is left is the mesh's straight lines (test_review_picture)
    assert found["likeness"] > 0.995
    assert found["largest"] < 0.08
    fresh.page.locator(".rv-matrix button", has_text="0.03").click()
    fresh.settled()
    assert fresh("R.difference().likeness") < 0.01
    # half of cos 8 theta against sine modes: nothing in common, so the squares of both stand in the difference
    assert fresh("R.difference().root") == pytest.approx(math.sqrt(2), abs=0.05)


def test_a_turned_wave_is_turned_back(visit):
    data = review_data()
    turned = next(mode for mode in data["modes"] if mode["id"] == "mode 2")
    straight = {key: value for key, value in turned.items() if not key.startswith("twin")} | {
        "id": "mode 7",
        "title": "not turned",
    }
    for key in ("u", "v", "w"):  # the turned one holds cos 30 degrees of the same profile
        straight[key] = {**turned[key], "scale": 1 / math.cos(math.pi / 6)}
    data["modes"].append(straight)
    with visit(data) as page:
        page.choose("mode 7")
        page.page.get_by_label("first mode of the difference").select_option("mode 2")
        page.page.get_by_label("second mode of the difference").select_option("mode 7")
        page.settled()
        found = page("R.difference()")
        assert found["largest"] < 1e-3
        assert found["phase"] == pytest.approx(math.pi / 6 / 4, abs=1e-3)
        page.clean()


def test_prebuckled_state_and_its_absence(review):
    review.choose("mode 1")
    text = review.page.locator(".rv-viewer").inner_text()
    assert "Deflection, outward positive [mm]" in review.page.locator(".rv-viewer").text_content()
    review.choose("mode 6")
    text = review.page.locator(".rv-viewer").inner_text()
    assert "No prebuckled state is given for this load case" in text
    assert "No likeness of modes is given for this load case" in text


def test_every_control_can_be_reached_and_named_by_key(fresh):
    # whatever takes the focus has a name that is read out, and the focus shows
    fresh.page.locator("#viewer").evaluate("(v) => { v.tabIndex = -1; v.focus(); }")
    names, last = [], None
    for _ in range(60):
        fresh.page.keyboard.press("Tab")
        here = fresh.page.evaluate(
            """() => { const e = document.activeElement; if (!e.closest("#viewer")) return null;
            const style = getComputedStyle(e.matches("g") ? e.querySelector("circle") : e);
            const name = e.getAttribute("aria-label") ?? e.labels?.[0]?.textContent ?? e.textContent;
            return [e.tagName, e.type ?? "", name,
                    style.outlineStyle !== "none" || Number(style.strokeWidth.replace("px", "")) >= 3]; }"""
        )
        if here is None:
            break
        assert here[2].strip(), here
        assert here[3], here
        if here != last:
            names.append(here[2])
        last = here
    words = " ".join(names)
    for part in (
        "Barrel in three dimensions",
        "Play one cycle",
        "Amplitude",
        "Cycle",
        "contours",
        "Unrolled map",
        "likeness",
        "Remark on this mode",
    ):
        assert part in words


def test_words_have_contrast(review):
    # WCAG 2 level AA: 4.5 to 1 for words (own computation of the ratio by its formula)
    low = review.page.evaluate(
        """() => { const channel = (c) => (c /= 255) <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
        const numbers = (text) => (text.match(/[\\d.]+/g) ?? []).map(Number);
        const shine = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
        const ground = (e) => { for (let at = e; at; at = at.parentElement) {
            const c = numbers(getComputedStyle(at).backgroundColor);
            if (c.length === 3 || c[3] > 0.9) return c; } return [255, 255, 255]; };
        const bad = [];
        for (const e of document.querySelectorAll("#viewer *, #remarks-editor *")) {
            const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
            if (!own || e.closest("svg") || e.disabled || e.matches(".rv-strip")) continue;
            if (!e.getClientRects().length) continue;
            const [a, b] = [shine(numbers(getComputedStyle(e).color)), shine(ground(e))];
            if ((Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) < 4.5) bad.push(e.textContent.slice(0, 40));
        } return bad; }"""
    )
    assert low == []


def test_modes_carry_trade_words_only(review):
    text = review.page.locator("body").inner_text().lower()
    assert not [word for word in ("deck", "subcase", " job", " step") if word in text]


def test_the_wheel_zooms_about_the_pointer_and_keys_about_the_marked_place(fresh):
    """What lies under the pointer stays there: 1e-3 rad and 1e-3 m (a hundredth of a pixel at the largest zoom)."""
    pad(fresh).scroll_into_view_if_needed()
    pad(fresh).focus()
    box = pad(fresh).bounding_box()
    there = (round(box["x"] + 0.62 * box["width"]), round(box["y"] + 0.58 * box["height"]))  # a mouse has whole pixels
    at = (there[0] - box["x"], there[1] - box["y"])
    fresh.page.mouse.move(*there)
    before = fresh("R.pick(a, b)", *at)
    for _ in range(6):
        fresh.page.mouse.wheel(0, -200)
    fresh.wait("R.state.pose.zoom > 4")
    fresh.settled()
    after = fresh("R.pick(a, b)", *at)
    assert after["theta"] == pytest.approx(before["theta"], abs=1e-3)
    assert after["x"] == pytest.approx(before["x"], abs=1e-3)
    pad(fresh).press("Home")
    fresh.settled()
    marked = "R.at(R.state.theta, R.state.x).pixel"
    was = fresh(marked)
    for _ in range(8):
        pad(fresh).press("+")
    fresh.settled()
    assert fresh("R.state.pose.zoom") > 2.5
    assert fresh(marked)[:2] == pytest.approx(was[:2], abs=0.01)


@pytest.mark.parametrize("tilt", [0, 8, 30])
def test_the_barrel_never_leaves_the_picture(fresh, tilt):
    """Moved as far as keys go, at a large zoom, from the side and down the axis: something of it is still drawn."""
    for _ in range(tilt):
        pad(fresh).press("ArrowUp")
    for _ in range(16):
        pad(fresh).press("+")
    for key in ("Shift+ArrowRight", "Shift+ArrowUp", "Shift+ArrowLeft", "Shift+ArrowDown"):
        for _ in range(90):
            pad(fresh).press(key)
        fresh.settled()
        picture = fresh.picture()
        ground = np.array([243, 245, 249])  # of the picture's frame, in the style sheet
        drawn = (np.abs(picture[..., :3].astype(float) - ground).max(axis=2) > 12).mean()
        assert drawn > 0.01, (key, fresh("R.state.pose"))


def test_likeness_begins_with_the_best_pair_above_a_half(visit, fresh):
    """Modes 1 and 3 are alike by .98; where nothing exceeds .5 no pair is chosen and the words say so."""
    assert fresh("R.state.pair") == ["mode 1", "mode 3"]
    data = review_data()
    data["likeness"][0]["values"] = [[0.02, 0.03, 0.0], [0.0, 0.91, 0.0]]
    with visit(data) as page:
        assert page("R.state.mode") == "mode 1"  # which has no partner: the best of the load case stands there
        assert page("R.state.pair") == ["mode 2", "mode 4"]
    data["likeness"][0]["values"] = [[0.02, 0.03, 0.0], [0.0, 0.5, 0.0]]
    with visit(data) as page:
        assert page("R.state.pair") is None
        assert "likeness above 0.5" in page.page.locator(".rv-readout", has_text="likeness above").inner_text()
        page.page.get_by_label("second mode of the difference").select_option("mode 2")
        assert page("R.state.pair") == ["mode 1", "mode 2"]
        page.clean()
