"""The page of a comparison of patterns: one HTML file, no network, no script."""

from __future__ import annotations

import base64

from markupsafe import Markup

from ... import __version__
from ...core.records import shown_margin
from ...io.language.sizing_file import SizingFile
from ...io.results import versions
from ...model.demand import LIMIT_WORDS, Limits
from ...sizing.records import Comparison
from ..figures.pattern_figures import FIGURES, short
from ..text.display import SI, STATUS_MARK, Display, plain_number
from .html import data_uri, filled


def patterns_page(found: Comparison, file: SizingFile, display: Display = SI, command: str = "") -> str:
    """The page of a comparison as HTML text.

    Parameters
    ----------
    found : Comparison
    file : SizingFile
        What was asked.
    display : Display
        Units of tables and figures.
    command : str
        That made it, for the last section.
    """
    filters = dict(
        shown=display.shown, bare=display.number, number=plain_number, margin=shown_margin, attached=_attached
    )
    holding = [e for e in found.entries if e.sized.production is not None]
    drawn = [
        (uri, alt, caption)
        for draw, alt, caption in FIGURES
        if (uri := data_uri(draw(holding, file, display))) is not None
    ]
    return filled(
        "patterns.html",
        filters,
        found=found,
        holding=holding,
        failed=[e for e in found.entries if e.sized.production is None],
        file=file,
        identity=file.demand.identity,
        demand=file.demand,
        unit=display.unit,
        short=short,
        figures=drawn,
        mark=STATUS_MARK,
        limits=_limit_rows(file.demand.limits, display),
        version=__version__,
        versions=versions(),
        command=command,
        metals={e.material: e.metal for e in found.entries if e.metal != e.material},
        load_index=max((e.sized.production.load_index for e in holding), default=None),
    )


def _attached(text: str) -> Markup:
    """The address of a text that a browser saves as a file."""
    return Markup("data:text/plain;charset=utf-8;base64," + base64.b64encode(text.encode()).decode())


def _limit_rows(limits: Limits, display: Display) -> list[tuple[str, str, str, bool]]:
    """(key, value, what it is for, whether it is the default) of every limit."""
    default = Limits()
    rows = []
    for key, words in LIMIT_WORDS.items():
        value = getattr(limits, key)
        if value is None:
            text = "none"
        elif key in ("slenderness_most", "margin_required"):
            text = plain_number(value)
        else:
            text = display.shown(value, "pressure" if key == "standby_pressure" else "length")
        rows.append((key, text, words, value == getattr(default, key)))
    return rows
