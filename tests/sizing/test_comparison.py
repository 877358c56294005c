"""The comparison, its words and its page."""

from __future__ import annotations

import base64
import re
from dataclasses import replace

import pytest
from builders import METAL
from sizing_builders import QUICK, demand, load, pressed

import shellbuck as sb
from shellbuck.io import case_from_text
from shellbuck.io.language.sizing_file import SizingFile
from shellbuck.margins import assess
from shellbuck.report.figures.pattern_figures import _together
from shellbuck.report.pages.patterns import patterns_page
from shellbuck.sizing import compare, size
from shellbuck.sizing.answer import answer, group_of
from shellbuck.sizing.explanations import short_metals
from shellbuck.sizing.records import Entry

STEEL = sb.material("304 annealed")
ASKED = replace(
    demand(load(), pressed(60e3, 90e3, name="pressed & <filled>")),
    materials=(METAL, STEEL),
    limits=sb.Limits(standby_pressure=60e3),
)
FILE = SizingFile(ASKED, {}, "asked.toml", "0" * 64)


@pytest.fixture(scope="module")
def found():
    return compare(ASKED, ["plain", "plain-pressurised"], options=QUICK)


def test_every_pattern_in_every_metal_at_its_own_optimum(found):
    assert found.complete
    assert found.asked == len(found.entries) == 4
    masses = [e.sized.mass_per_area for e in found.entries]
    assert masses == sorted(masses)
    alone = size(ASKED, "plain-pressurised", STEEL.name, options=QUICK)
    entry = next(e for e in found.entries if (e.pattern, e.material) == ("plain-pressurised", STEEL.name))
    assert entry.sized.mass_per_area == alone.mass_per_area


def test_knockdown_one_and_pressure_are_worth_what_separate_sizings_say(found):
    entry = next(e for e in found.entries if (e.pattern, e.material) == ("plain-pressurised", METAL.name))
    one = sb.OwnKnockdown(1.0, 1.0, "test", panel_axial=1.0, panel_bending=1.0)
    perfect = size(replace(ASKED, policy=sb.Policy(own_knockdown=one)), "plain-pressurised", options=QUICK)
    assert entry.perfect == pytest.approx(perfect.mass_per_area, rel=1e-12)
    assert entry.unpressed == pytest.approx(size(ASKED, "plain", options=QUICK).mass_per_area, rel=1e-12)
    assert entry.perfect < entry.sized.mass_per_area < entry.unpressed


@pytest.mark.slow
def test_workers_do_not_change_a_number(found):
    again = compare(ASKED, ["plain", "plain-pressurised"], options=QUICK, workers=2)
    assert again == found


def test_a_pattern_that_the_limits_forbid_is_named_and_the_rest_goes_on():
    tight = replace(ASKED, limits=sb.Limits(spacing_least=0.9, spacing_most=0.91))
    found = compare(tight, ["plain", "stringers-inside"], [METAL.name], options=QUICK)
    assert [e.pattern for e in found.entries] == ["plain"]
    assert "no whole number" in found.missing[0].reason


def test_a_stop_keeps_what_was_finished():
    def stop(text: str) -> None:
        if text.startswith("2 of"):
            raise KeyboardInterrupt

    found = compare(ASKED, ["plain", "plain-pressurised"], options=QUICK, progress=stop)
    assert not found.complete
    assert len(found.entries) == 2
    assert found.answer.answer


def test_words_say_when_the_policy_picks_the_winner(found):
    first, second = found.entries[0], found.entries[-1]
    swapped = (replace(first, perfect=9.0), replace(second, perfect=5.0))
    words = answer(ASKED, swapped)
    assert words.policy_picks
    assert any("the factors pick the winner" in w for w in words.reasons)
    assert not answer(ASKED, (replace(first, perfect=4.0), replace(second, perfect=5.0))).policy_picks


def test_near_masses_are_equivalent(found):
    first = found.entries[0]
    twin = replace(
        first,
        pattern="orthogrid-inside",
        sized=replace(first.sized, mass_per_area=first.sized.mass_per_area * 1.02, title="orthogrid inside"),
    )
    assert any("Equivalent within" in w and "orthogrid inside" in w for w in answer(ASKED, (first, twin)).answer)


def test_nothing_holds_anywhere_is_an_answer():
    found = compare(replace(ASKED, load_cases=(load(axial_force=500e6),)), ["plain"], [METAL.name], options=QUICK)
    assert found.answer.answer == ("No pattern is feasible inside the limits.",)
    assert "none feasible" in patterns_page(found, FILE)


def test_groups():
    names = {group_of(p) for p in ("orthogrid-inside", "triangular-grid-axial-outside")}
    assert names == {"a milled grid"}
    assert group_of("plain-pressurised") != group_of("plain")


@pytest.fixture(scope="module")
def text(found):
    return patterns_page(found, FILE, command="shellbuck patterns asked.toml")


def test_page_holds_every_design_with_a_case_that_runs(found, text):
    saved = re.findall(r'download="([^"]+)" href="data:text/plain;charset=utf-8;base64,([^"]+)"', text)
    assert len(saved) == 4
    for entry, (name, data) in zip(found.entries, saved, strict=True):
        assert name.startswith(entry.pattern)
        result = assess(case_from_text(base64.b64decode(data).decode()).case)
        assert result.verdict.exit_status == 0
        assert result.wall.mass_per_area == pytest.approx(entry.sized.production.mass_per_area)
    assert "pressed &amp; &lt;filled&gt;" in text
    assert "<filled>" not in text
    assert "<script" not in text
    assert not re.search(r"(src|href)=\"(?!data:|#)", text)
    for caption in ("published lines", "wall and chips", "knockdown 1"):
        assert caption in text


@pytest.mark.slow
def test_page_is_the_same_twice(found, text):
    assert patterns_page(found, FILE, command="shellbuck patterns asked.toml") == text


def test_entries_of_a_record_are_plain_data(found):
    from shellbuck.io.results import json_text, plain

    text = json_text(plain({"comparison": found}))
    assert '"not_finite": []' in text
    assert isinstance(found.entries[0], Entry)


def test_metals_are_named_by_their_family_where_that_tells_them_apart():
    plate = replace(METAL, family="aluminium")
    assert short_metals([plate, STEEL]) == {plate.name: "aluminium", STEEL.name: "steel"}
    for other in (replace(plate, name="other plate"), replace(STEEL, name="steel of no family", family=None)):
        assert short_metals([plate, other]) == {plate.name: plate.name, other.name: other.name}


def test_numbers_of_designs_at_one_height_share_a_label():
    """Heights within 6 % of their neighbour would be written over each other."""
    labels = _together([(1.0, 2.0, 1), (1.0, 3.0, 2), (1.0, 2.1, 5), (1.0, 2.2, 4)])
    assert [words for _, _, words in labels] == ["1, 4, 5", "2"]
    assert labels[0][1] == pytest.approx((2.0 * 2.2) ** 0.5)
