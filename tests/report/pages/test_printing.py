"""The PDF where a renderer is installed; words where there is none."""

from __future__ import annotations

import re
import sys
import types
import zlib

import pytest
from export_case import CASE

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.io import case_from_text
from shellbuck.io.pages.ownership import PDF_MARK
from shellbuck.report.pages.page import page
from shellbuck.report.pages.printing import pdf, ready


@pytest.fixture
def renderer(monkeypatch):
    """Puts a renderer of our own in the place of the library."""

    def plant(write):
        module = types.ModuleType("weasyprint")
        module.URLFetcher = lambda **options: options
        module.HTML = lambda string, url_fetcher: types.SimpleNamespace(
            write_pdf=lambda **options: write(string, url_fetcher, options)
        )
        monkeypatch.setitem(sys.modules, "weasyprint", module)

    return plant


def test_page_goes_to_the_renderer_and_nothing_is_fetched(renderer):
    renderer(lambda html, fetcher, options: f"{html}|{fetcher}|{options}".encode())
    assert pdf("<p>x</p>") == b"<p>x</p>|{'allowed_protocols': ['data']}|{'pdf_tags': True}\n" + PDF_MARK


def test_a_renderer_that_fails_is_words(renderer):
    def fail(*_):
        raise RuntimeError("no  such\nfont")

    renderer(fail)
    with pytest.raises(Refusal, match=r"print-failed") as caught:
        pdf("<p>x</p>")
    assert "no such font" in str(caught.value)
    assert "print it from a browser" in str(caught.value)


@pytest.mark.parametrize("error", [ImportError("no weasyprint"), OSError("cannot load library 'libpango'")])
def test_a_missing_renderer_is_words(monkeypatch, error):
    class Finder:
        def find_spec(self, name, *_):
            if name == "weasyprint":
                raise error

    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Finder(), *sys.meta_path])
    with pytest.raises(Refusal, match="extra-missing") as caught:
        ready()
    assert "browser" in str(caught.value)
    assert "-m pip install weasyprint and" in str(caught.value)


@pytest.mark.slow
def test_a_real_page_is_printed_whole():
    """Every page has its number, equations are drawings, and the outline names the sections."""
    try:
        ready()
    except Refusal:
        pytest.skip("no PDF renderer is installed")
    file = case_from_text(CASE, "my.toml")
    html = page(sb.run(file.case), file, scripted=False)
    assert "<math" not in html
    assert html.count('class="equation"') > 5
    found = pdf(html)
    assert found.startswith(b"%PDF")
    streams = b"".join(_plain(s) for s in re.findall(rb"stream\r?\n(.*?)endstream", found, re.DOTALL))
    text = found + streams
    pages = len(re.findall(rb"/Type /Page\b(?!s)", text))
    assert pages > 5
    assert b"Margins" in text.replace(b"\x00", b"")  # the outline


def _plain(stream: bytes) -> bytes:
    try:
        return zlib.decompress(stream)
    except zlib.error:
        return b""
