"""The page as a PDF, where a renderer is installed (extra "pdf"). The only door to weasyprint."""

from __future__ import annotations

import logging
from types import ModuleType

from ...core.errors import Refusal, install_words
from ...io.pages.ownership import PDF_MARK


def ready() -> None:
    """Refuse when no renderer can be loaded, before long work begins.

    Raises
    ------
    Refusal
        "extra-missing".
    """
    _renderer()


def pdf(html: str) -> bytes:
    """A page without script as a PDF of A4 pages, with an outline of its headings.

    Nothing is fetched: pictures inside the page are data, anything else is left out.

    Parameters
    ----------
    html : str
        As `page(..., scripted=False)` gives it.

    Raises
    ------
    Refusal
        "extra-missing", or "print-failed" when the renderer fails.
    """
    weasyprint = _renderer()
    logging.getLogger("weasyprint").addHandler(logging.NullHandler())
    try:
        fetcher = weasyprint.URLFetcher(allowed_protocols=["data"])
        return weasyprint.HTML(string=html, url_fetcher=fetcher).write_pdf(pdf_tags=True).rstrip() + b"\n" + PDF_MARK
    except Exception as error:  # a renderer may raise anything; all of it means no PDF
        reason = " ".join(str(error).split())[:160] or type(error).__name__
        way_out = "write the page (--page) and print it from a browser"
        raise Refusal.of("print-failed", f"the PDF renderer failed: {reason}", "--pdf", way_out=way_out) from None


def _renderer() -> ModuleType:
    try:
        import weasyprint
    except (ImportError, OSError) as error:  # OSError: the library is there, its graphics libraries are not
        reason = " ".join(str(error).split())[:160]
        way_out = (
            "write the page (--page) and print it from a browser, it has page numbers and whole tables; or "
            f"{install_words('weasyprint')} and, on a bare Linux, libpango-1.0-0 and libpangoft2-1.0-0"
        )
        raise Refusal.of(
            "extra-missing", f"no PDF renderer can be loaded ({reason})", "--pdf", way_out=way_out
        ) from None
    return weasyprint
