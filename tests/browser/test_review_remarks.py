"""Remarks: written, pinned, saved in a copy of the page and as JSON, read back; nothing in them becomes markup."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from browser_pages import packed, page_text, review_data

HOSTILE = "</script><script>window.hurt = 1</script><img src=x onerror='window.hurt = 2'> \" & \u2028 {{7*7}} __proto__"


def write(page, words, on=None):
    """Write a remark on what is chosen in the form, or on the option that holds some words."""
    if on is not None:
        box = page.page.get_by_label("what the remark is on")
        option = next(o for o in box.locator("option").all() if on in o.text_content())
        box.select_option(option.get_attribute("value"))
    page.page.get_by_label("Remark", exact=True).fill(words)
    page.page.get_by_role("button", name="Add the remark").click()


def saved(page, button, folder):
    with page.page.expect_download() as found:
        page.page.get_by_role("button", name=button).click()
    path = folder / found.value.suggested_filename
    found.value.save_as(path)
    return path


def block(path):
    text = path.read_text(encoding="utf-8")
    return json.loads(re.search(r'id="review-remarks">(.*?)</script>', text, re.S).group(1))


def status(page):
    return page.page.locator(".rv-status").inner_text()


@pytest.fixture(scope="module")
def written(chromium, demo, tmp_path_factory):
    """A page on which remarks of every kind were written: the remarks' JSON and the saved copy."""
    from browser_driver import opened

    folder = tmp_path_factory.mktemp("saved")
    with opened(chromium, demo, accept_downloads=True) as page:
        page.page.get_by_label("Reviewer").fill("A. Reviewer")
        page.page.get_by_label("accepted with remarks", exact=True).check()
        page.choose("mode 4")
        page.page.get_by_role("button", name="Remark on this mode").click()
        write(page, "Waves look right.")
        plan = page.page.locator(".rv-unrolled .rv-map-pad")
        plan.press("ArrowRight")
        plan.press("r")
        place = page("[R.state.theta, R.state.x]")
        write(page, "A ridge here?\nSecond line.")
        page.page.get_by_role("button", name="write a remark on general instability, pad, empty").click()
        write(page, "Which knockdown?")
        write(page, HOSTILE, on="the page")
        pins = page.page.locator(".rv-pin").count()
        words = page.page.locator(".rv-remarks").inner_text()
        copy = saved(page, "Save a copy of this page", folder)
        notes = saved(page, "Save the remarks as JSON", folder)
        page.clean()
    return {"copy": copy, "notes": notes, "place": place, "pins": pins, "words": words, "demo": demo}


def test_json_and_copy_carry_the_remarks_of_the_contract(written):
    kept = json.loads(written["notes"].read_text(encoding="utf-8"))
    assert kept == block(written["copy"])
    assert {k: kept[k] for k in ("remarks of", "version", "verdict", "reviewer")} == {
        "remarks of": "shellbuck",
        "version": 1,
        "verdict": "accepted with remarks",
        "reviewer": "A. Reviewer",
    }
    assert kept["page"] == {
        "title": "Demo barrel (invented)",
        "part": "DV-7",
        "revision": "B",
        "digest": "0" * 64,
        "program": "0.1.0",
    }
    mode = {"mode": "mode 4", "title": "mesh, ribs as they are, odd half", "case": "pad, empty"}
    theta, x = written["place"]
    on = [item["on"] for item in kept["remarks"]]
    assert on[0] == {"kind": "mode", **mode}
    assert on[1] == {"kind": "place", **mode, "theta": pytest.approx(theta, rel=1e-5), "x": pytest.approx(x, rel=1e-5)}
    assert on[2] == {"kind": "margin", "case": "pad, empty", "row": "general instability"}
    assert on[3] == {"kind": "page"}
    assert [item["then"] for item in kept["remarks"]] == [1_004_000.0, 1_004_000.0, 0.31, None]
    assert [item["text"] for item in kept["remarks"]] == [
        "Waves look right.",
        "A ridge here?\nSecond line.",
        "Which knockdown?",
        HOSTILE,
    ]
    assert {item["author"] for item in kept["remarks"]} == {"A. Reviewer"}
    assert [item["id"] for item in kept["remarks"]] == ["r1", "r2", "r3", "r4"]
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\dZ", item["when"]) for item in kept["remarks"])
    assert written["pins"] == 2  # on the map and on the barrel


def test_the_copy_is_the_page_with_nothing_but_the_remarks_added(written):
    before, after = (Path(written[k]).read_text(encoding="utf-8") for k in ("demo", "copy"))
    strip = lambda text: re.sub(r"\s+", " ", re.sub(r'(id="review-remarks">).*?(</script>)', r"\1\2", text, flags=re.S))  # noqa: E731
    assert 'class="no-script"' in after
    assert "rv-list" not in after.split("<body>")[1].split("<script")[0]
    script = lambda text: text.rsplit("<script>", 1)[1].split("</script>")[0]  # noqa: E731
    assert script(before) == script(after)
    data = lambda text: re.search(r'id="review-data">(.*?)</script>', text, re.S).group(1)  # noqa: E731
    assert data(before) == data(after)
    static = after.split('id="remarks-static"')[1].split("</div>")[0]
    assert "Which knockdown?" in static
    assert "Verdict: accepted with remarks. Reviewer: A. Reviewer." in static
    assert "&lt;img src=x" in static
    assert len(strip(after)) - len(strip(before)) < 2500


def test_the_copy_opens_with_its_remarks_and_leads_to_them(chromium, written, tmp_path):
    from browser_driver import opened

    with opened(chromium, written["copy"], accept_downloads=True) as page:
        assert page.page.locator(".rv-remarks").inner_text() == written["words"]
        assert page.page.get_by_label("accepted with remarks", exact=True).is_checked()
        assert page.page.get_by_label("Reviewer").input_value() == "A. Reviewer"
        page.page.get_by_role("button", name="go to what is meant by remark 2").click()
        page.settled()
        assert page("R.state.mode") == "mode 4"
        assert page("[R.state.theta, R.state.x]") == pytest.approx(written["place"], rel=1e-5)
        page.page.get_by_role("button", name="go to what is meant by remark 3").click()
        assert page("document.activeElement.closest('[data-row]').dataset.row") == "general instability"
        assert page("window.hurt") is None
        assert page.page.locator(".rv-remarks img, .rv-remarks script").count() == 0
        # changed, deleted, saved again
        page.page.get_by_role("button", name="change remark 1", exact=True).click()
        page.page.get_by_label("Remark", exact=True).fill("Waves are right.")
        page.page.get_by_role("button", name="Keep the change of remark 1").click()
        page.page.get_by_role("button", name="delete remark 4").click()
        again = block(saved(page, "Save a copy of this page", tmp_path))
        assert [item["text"] for item in again["remarks"]] == [
            "Waves are right.",
            "A ridge here?\nSecond line.",
            "Which knockdown?",
        ]
        page.clean()


def test_remarks_are_fetched_into_another_run_with_its_numbers_beside(visit, written):
    data = review_data(digest="1" * 64, revision="C")
    for mode in data["modes"]:
        if mode["id"] == "mode 4":
            mode |= {"id": "mode 9", "line_load": 1_100_000.0}
    data["margins"][0]["margin"] = 0.29
    with visit(data) as page:
        for source, count in (("notes", "4 remarks loaded."), ("copy", "0 remarks loaded; 4 already on this page.")):
            page.page.get_by_label("file of remarks or saved page").set_input_files(written[source])
            page.page.wait_for_timeout(300)
            assert status(page).startswith(count)
            assert "written on another run (Demo barrel (invented), revision B)" in status(page)
        words = page.page.locator(".rv-remarks").inner_text()
        assert "then 1004 kN/m, now 1100 kN/m" in words
        assert "then MS +0.31, now MS +0.29" in words
        assert page("window.hurt") is None


def test_a_verdict_stays_with_the_page_it_was_given_on(chromium, written, tmp_path):
    """A run that was given the remarks of an earlier page of the same case file starts without a verdict and a name;
    the verdict then stands beside, also in the copy, where the new one is chosen."""
    from browser_driver import opened

    path = tmp_path / "again.html"
    path.write_text(page_text(review_data(), block(written["copy"]), given=True), encoding="utf-8")
    then = "Then: accepted with remarks, by A. Reviewer, on Demo barrel (invented), DV-7, revision B (the same case fi"
    with opened(chromium, path, accept_downloads=True) as page:
        assert page.page.get_by_label("none yet", exact=True).is_checked()
        assert page.page.get_by_label("Reviewer").input_value() == ""
        assert page.page.locator(".rv-then").inner_text().startswith(then)
        assert page.page.locator(".rv-remarks li").count() == 4
        untouched = saved(page, "Save a copy of this page", tmp_path)
        assert (block(untouched)["verdict"], block(untouched)["reviewer"]) == ("", "")
        assert then in untouched.read_text(encoding="utf-8").split('id="remarks-static"')[1].split("</div>")[0]
        page.page.get_by_label("Reviewer").fill("B. Second")
        page.page.get_by_label("rejected", exact=True).check()
        copy = saved(page, "Save a copy of this page", tmp_path)
        page.clean()
    assert {item["author"] for item in block(copy)["remarks"]} == {"A. Reviewer"}
    with opened(chromium, copy) as page:
        assert page.page.get_by_label("rejected", exact=True).is_checked()
        assert page.page.get_by_label("Reviewer").input_value() == "B. Second"
        assert page.page.locator(".rv-then p").count() == 1
        assert page.page.locator(".rv-then").inner_text().startswith(then)
        page.clean()


def test_a_fetched_verdict_of_another_run_is_not_taken(visit, written):
    with visit(review_data(digest="1" * 64)) as page:
        assert page.page.locator(".rv-then").is_hidden()
        for _ in range(2):
            page.page.get_by_label("file of remarks or saved page").set_input_files(written["notes"])
            page.page.wait_for_timeout(300)
        assert page.page.get_by_label("none yet", exact=True).is_checked()
        assert page.page.locator(".rv-then p").count() == 1
        assert "(another case file" in page.page.locator(".rv-then").inner_text()


def test_a_name_typed_later_goes_on_the_remarks_written_here(visit, written, tmp_path):
    """Of a reviewer's own remarks; a nameless one out of a file stays nameless."""
    kept = json.loads(written["notes"].read_text(encoding="utf-8"))
    strange = tmp_path / "strange.json"
    strange.write_text(json.dumps(kept | {"remarks": [kept["remarks"][3] | {"author": "", "text": "Not mine."}]}))
    with visit(review_data(digest="1" * 64), accept_downloads=True) as page:
        page.page.get_by_label("file of remarks or saved page").set_input_files(strange)
        page.page.wait_for_timeout(300)
        write(page, "First.", on="the page")
        saved(page, "Save the remarks as JSON", tmp_path)
        assert "write the reviewer's name and save again" in status(page)
        page.page.get_by_label("Reviewer").fill("Late Name")
        found = json.loads(saved(page, "Save the remarks as JSON", tmp_path).read_text(encoding="utf-8"))
        assert [(r["text"], r["author"]) for r in found["remarks"]] == [("Not mine.", ""), ("First.", "Late Name")]
        assert "have no name" not in status(page)


def test_a_remark_on_what_is_gone_says_then(visit, written):
    data = review_data(digest="1" * 64)
    data["margins"] = data["margins"][1:]
    with visit(data) as page:
        page.page.get_by_label("file of remarks or saved page").set_input_files(written["notes"])
        page.page.wait_for_timeout(300)
        row = page.page.locator(".rv-remarks li").nth(2).inner_text()
        assert "then MS +0.31, now none" in row
        assert "not in this page" in row
        assert "at 1004 kN/m" in page.page.locator(".rv-remarks li").nth(0).inner_text()


def test_what_is_no_remark_is_refused_in_words(visit, written, tmp_path):
    whole = written["notes"].read_text(encoding="utf-8")
    kept = json.loads(whole)
    bad = {
        "cut short or damaged": whole[: len(whole) // 2],
        "contains no remarks": '{"remarks": []}',
        "of form 7": json.dumps(kept | {"version": 7}),
        "neither a page of shellbuck": "<html><body>hello</body></html>",
        "has no remarks": page_text(None),
        "has no subject": json.dumps(kept | {"remarks": [{"text": "x", "on": {"kind": "rib"}}]}),
        "list of remarks is missing": json.dumps(kept | {"remarks": "all"}),
    }
    with visit(review_data()) as page:
        for i, (words, text) in enumerate(bad.items()):
            path = tmp_path / f"bad{i}.json"
            path.write_text(text, encoding="utf-8")
            page.page.get_by_label("file of remarks or saved page").set_input_files(path)
            page.page.wait_for_timeout(200)
            assert words in status(page)
            assert page.page.locator(".rv-remarks li").count() == 0
        page.clean()


def test_a_damaged_block_of_remarks_is_told_and_the_page_works(tmp_path, chromium):
    from browser_driver import opened

    text = page_text(review_data(), {"remarks of": "shellbuck", "version": 1, "remarks": []})
    path = tmp_path / "page.html"
    path.write_text(
        text.replace(packed({"remarks of": "shellbuck", "version": 1, "remarks": []}), '{"remarks of": "shell'),
        encoding="utf-8",
    )
    with opened(chromium, path) as page:
        assert "cut short or damaged" in status(page)
        page.clean()


def test_leaving_with_unsaved_remarks_warns(visit, tmp_path):
    with visit(review_data(), accept_downloads=True) as page:
        asked = []
        page.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
        page.page.reload()
        page.wait("Boolean(R && R.frames > 0)")
        assert asked == []
        write(page, "Not saved.", on="the page")
        page.page.evaluate("() => setTimeout(() => location.reload())")
        page.page.wait_for_timeout(800)
        assert asked == ["beforeunload"]
        assert page.page.locator(".rv-remarks li").count() == 1  # still here
        saved(page, "Save the remarks as JSON", tmp_path)
        page.page.evaluate("() => setTimeout(() => location.reload())")
        page.page.wait_for_timeout(800)
        assert asked == ["beforeunload"]


def test_hostile_text_in_every_field_is_text(visit):
    data = review_data()

    def poison(value, key=""):
        if (
            isinstance(value, str)
            and key not in {"dtype", "data", "form", "symmetry", "engine"}
            and not value.startswith(("mode ", "mesh ", "#"))
        ):
            return f"{value} {HOSTILE}" if key != "kind" else value
        if isinstance(value, list):
            return [poison(item, key if key != "parts" else "dtype") for item in value]
        if isinstance(value, dict):
            return {k: poison(v, k) for k, v in value.items()}
        return value

    bad = poison(data)
    with visit(bad) as page:
        for mode in ("mode 3", "mode 6", "mode 2"):
            page.choose(mode)
        page.page.get_by_role("button", name="Remark on this mode").click()
        write(page, HOSTILE)
        assert page("window.hurt") is None
        assert (
            page.page.locator("#viewer img, #viewer script, #remarks-editor img, #remarks-editor script").count() == 0
        )
        assert "<img src=x onerror" in page.page.locator(".rv-label").inner_text()
        page.clean()
