"""The page: every section, printed lines equal to their numbers, hostile text shown as text, no network."""

from __future__ import annotations

import base64
import hashlib
import inspect
import json
import re
from contextlib import nullcontext
from functools import cache
from html import escape, unescape
from html.parser import HTMLParser
from importlib.resources import files
from urllib.parse import unquote

import pytest
import sympy
from builders import PLAIN, WALLS, case, pressed, slow
from undrawn import figures_left_out

import shellbuck as sb
from shellbuck.core.records import Worked, shown_margin
from shellbuck.handbook import FORMULAS, work
from shellbuck.io import case_from_text
from shellbuck.io.pages.reader import block_of
from shellbuck.report.pages.page import page
from shellbuck.report.text.printed import printed_line

STARTS = ("plain", "triangular-grid", "stiffened", "orthogrid", "given-stiffness")


def start(name: str) -> str:
    return files("shellbuck.io").joinpath(f"starts/{name}.toml").read_text(encoding="utf-8")


@cache
def made(text: str, scripted: bool = True, drawn: bool = False) -> str:
    """The page of a case file; its figures are drawn only for tests of them."""
    file = case_from_text(text, "my.toml")
    with nullcontext() if drawn else figures_left_out():
        return page(sb.run(file.case), file, scripted=scripted)


@pytest.mark.parametrize("name", STARTS)
def test_page_has_its_sections_and_every_margin(name):
    file = case_from_text(start(name), "my.toml")
    result = sb.run(file.case)
    html = made(start(name))
    for heading in (
        "1 Margins",
        "2 Wall",
        "3 Loads, factors, materials",
        "4 Validity",
        "5 Buckling loads",
        "6 Modes",
        "7 Worked lines",
        "8 Inputs as read and as used",
        "9 Not covered, and cautions",
        "10 Reproduction",
        "11 Remarks",
    ):
        assert heading in html
    text = unescape(html)
    for row in result.margins:
        if row.margin is not None:
            assert shown_margin(row.margin) in text
    assert file.digest in html
    for caution in result.cautions:
        assert caution in text


class _Balance(HTMLParser):
    VOID = {"meta", "img", "br", "link"}

    def __init__(self):
        super().__init__()
        self.open: list[str] = []
        self.policy = ""
        self.scripts: list[tuple[str | None, str]] = []
        self.links: list[str] = []

    def handle_starttag(self, tag, attrs):
        if tag not in self.VOID:
            self.open.append(tag)
        self.links += [v for k, v in attrs if k in ("src", "href") and v]
        assert not any(k.startswith("on") for k, _ in attrs)
        if ("http-equiv", "Content-Security-Policy") in attrs:
            self.policy = dict(attrs)["content"]
        if tag == "script":
            self.scripts.append((dict(attrs).get("id"), ""))

    def handle_data(self, data):
        if self.open[-1:] == ["script"]:
            name, text = self.scripts[-1]
            self.scripts[-1] = (name, text + data)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


@pytest.mark.parametrize("name", STARTS)
def test_page_is_well_formed_and_asks_no_network(name):
    parser = _Balance()
    parser.feed(made(start(name)))
    assert parser.open == []
    assert all(link.startswith(("#", "data:image/svg+xml,")) for link in parser.links)


@pytest.mark.parametrize("drawn", [False, *slow(True)])
def test_page_is_the_same_every_time(drawn):
    again = made.__wrapped__(start("triangular-grid"), drawn=drawn)
    assert again == made(start("triangular-grid"), drawn=drawn)


def test_only_the_page_s_own_script_may_run():
    """Three script elements: two blocks of data and one script, whose hash the policy names; nothing may be fetched."""
    parser = _Balance()
    parser.feed(made(start("plain")))
    assert [name for name, _ in parser.scripts] == ["review-data", "review-remarks", None]
    own = base64.b64encode(hashlib.sha256(parser.scripts[-1][1].encode()).digest()).decode()
    assert f"script-src 'sha256-{own}'" in parser.policy
    assert parser.policy.startswith("default-src 'none';")
    assert "http" not in parser.policy


def test_page_without_script_loses_nothing_but_the_script():
    whole, still = made(start("plain")), made(start("plain"), scripted=False)
    parser = _Balance()
    parser.feed(still)
    assert parser.scripts == []
    assert parser.policy.endswith("script-src 'none'")
    body = re.sub(r"<script.*?</script>\n?", "", whole[whole.index("<body>") :], flags=re.DOTALL)
    # equations are drawings where MathML is not known
    body = re.sub(r"<math.*?</math>", "equation", body, flags=re.DOTALL)
    printed = re.sub(r'<img class="equation"[^>]*>', "equation", still[still.index("<body>") :])
    assert body.count("equation") == printed.count("equation")
    assert body.replace("None given.", "None given; they are entered on the HTML page.") == printed


def test_every_mode_stands_as_figures():
    """Without a script: each mode of the data has its block with figures, each with words in its place."""
    html = made(start("stiffened"))
    data = json.loads(block_of(html, "review-data"))
    assert data["modes"]
    for mode in data["modes"]:
        block = html[html.index(f'<div class="still" data-mode="{mode["id"]}">') :]
        block = block[: block.index("</div>")]
        same = re.search(r'<a href="#(mode-\d+)">', block)
        assert block.count("<img") >= 3 or (same and f'id="{same[1]}"' in html)
        assert len(re.findall(r'alt="[^"]{20,}"', block)) == block.count("<img")
        assert mode["load_text"] in block


def test_margin_cells_say_what_they_are():
    html = made(start("stiffened"))
    data = json.loads(block_of(html, "review-data"))
    for row in data["margins"]:
        assert f'data-case="{escape(row["case"])}" data-row="{escape(row["mode"])}"' in html


@pytest.mark.slow
@pytest.mark.parametrize("name", ["triangular-grid", *slow(*(name for name in STARTS if name != "triangular-grid"))])
def test_page_stays_small(name):
    """The budget of a full barrel with ten modes is 8 MB; a wall without mesh modes keeps well below."""
    assert 1e5 < len(made(start(name), drawn=True)) < 5e6


def test_hostile_text_is_shown_as_text():
    """Every user text field, in markup, attribute and CSS position."""
    hostile = '<script>alert(1)</script>"}; body { display: none } /* \\" */'
    quoted = "'''" + hostile + "'''"
    text = start("plain")
    text = re.sub(
        r'^(title|part|revision|station|prepared|checked|approved|source|basis) = ".*?"',
        lambda m: f"{m[1]} = {quoted}",
        text,
        flags=re.MULTILINE,
    )
    text = text.replace('name = "on the pad, empty"', f"name = {quoted}")
    text += f"\n[policy.own_knockdown]\naxial = 0.5\nbending = 0.5\nreason = {quoted}\n"
    html = made(text)
    assert html.count("<script") == 3  # the page's own
    assert "alert(1)" in json.loads(block_of(html, "review-data"))["title"]
    style = html[html.index("<style>") : html.index("</style>")]
    assert "body { display: none }" not in style
    assert html.count("&lt;script&gt;") > 10


def test_departure_reason_stands_on_the_page_and_in_the_print_margin():
    text = start("plain") + '\n[policy.own_knockdown]\naxial = 0.5\nbending = 0.5\nreason = "report T-77"\n'
    html = made(text)
    assert "Reason given: report T-77" in html
    assert re.search(r"@top-left \{ content: \"DEPARTURE.*report T-77", html)


def test_svg_texts_are_in_the_figures():
    html = made(start("triangular-grid"), drawn=True)
    html = html[: html.index('<section id="modes">')]
    svgs = [unquote(x) for x in re.findall(r'data:image/svg\+xml,([^"]+)', html)]
    # the wall and, for each of two load cases, the spectrum, the mode with edge bending (ribs inside) and its state
    assert len(svgs) == 1 + 2 * 3
    assert "hoop family" in svgs[0]
    assert "Sanders, no pressure" in svgs[1]


def worked_lines():
    """One worked line of every formula that the walls put on a page."""
    found = {}
    for name, wall in WALLS.items():
        result = sb.run(case(wall, pressed(60e3)))
        for r in result.margins:
            found.update({w.formula: w for w in r.worked})
        assert found, name
    return found


def test_units_of_worked_lines():
    """Poisson's ratio has no unit wherever it stands, and a tube's E I has one although no file gives it."""
    for key, entry in FORMULAS.items():
        line = printed_line(Worked(key, tuple((k, 0.3) for k in inspect.signature(entry.function).parameters), 1.0))
        shown = dict(n.split(" = ") for n in line.numbers.split("; "))
        assert shown.get("nu", "0.3") == "0.3", key
        assert shown.get("E", "0.3 Pa") == "0.3 Pa", key
        assert shown.get("EI", "0.3 N m^2") == "0.3 N m^2", key


def test_printed_line_holds_its_number():
    """The numbers put into the printed text give the value; 1e-12 is rounding of a few dozen operations."""
    lines = worked_lines()
    assert len(lines) > 20
    for key, worked in lines.items():
        line = printed_line(worked)
        names = {name: sympy.Symbol(name) for name, _ in worked.inputs}
        expression = sympy.parse_expr(line.text, local_dict={**names, "exp": sympy.exp, "sqrt": sympy.sqrt})
        value = expression.subs({names[k]: sympy.Float(v, 30) for k, v in worked.inputs}).evalf(30)
        scale = max(abs(worked.value), 1e-30 if "margin" not in key else 1.0)
        assert abs(float(value) - worked.value) <= 1e-12 * scale, key


def test_every_formula_can_be_printed():
    for key, entry in FORMULAS.items():
        names = entry.function.__code__.co_varnames[: entry.function.__code__.co_argcount]
        line = printed_line(work(entry.function, **{n: 0.3 + 0.1 * i for i, n in enumerate(names)}))
        assert line.mathml.startswith("<math"), key
        assert line.text


def test_plain_wall_page_names_theory_and_edges():
    html = made(start("plain"))
    assert "both ends simply supported (SS3: w = v = 0 held, N_x and M_x free)" in html
    assert "Not checked by mesh" in html
    assert PLAIN.kind == "plain"


def test_the_banner_counts_what_was_checked_and_links_it():
    """A given stiffness with one of its open modes checked elsewhere: the page counts, names and links all of it."""
    text = start("given-stiffness")
    text += '\n[[checked_elsewhere]]\nmode = "strength"\nreference = "report S-12, section 3"\n'
    html = made(text)
    verdict = sb.run(case_from_text(text, "x.toml").case).verdict
    banner = html[html.index('<p class="told">') : html.index("<nav")]
    links = dict(re.findall(r'<a href="#([^"]+)">([^<]+)</a>', banner))
    assert f"{verdict.modes_checked} modes checked" in banner
    assert "not checked: local modes" in banner
    assert links["elsewhere"] == "strength: checked elsewhere"
    assert f"{verdict.warnings} warning" in banner
    for place in links:
        assert f'id="{place}"' in html
    assert "report S-12, section 3" in html[html.index('<ul id="elsewhere">') :]
    assert html.index("! warned") < html.index("✓ passed")


def test_no_factor_is_printed_with_the_power_one():
    """Unevaluated fractions raise every factor of their numerator to 1; the page prints E t^3, not E^1 t^(3 1)."""
    for key, entry in FORMULAS.items():
        names = inspect.signature(entry.function).parameters
        line = printed_line(work(entry.function, **{n: 0.3 + 0.1 * i for i, n in enumerate(names)}))
        powers = re.findall(r"<msup>.*?</msup>", line.mathml)
        assert not [p for p in powers if re.search(r"<mn>1</mn>(</mrow>)?</msup>", p)], key
