"""A formula as a drawing, for readers that know no MathML, such as the PDF."""

from __future__ import annotations

import re
from functools import cache

import sympy
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.mathtext import MathTextParser

from .figures import INK, Drawing, svg
from .printed import equation

SIZE = 10.0
"""Of the letters [pt]."""


@cache
def drawn_equation(key: str) -> Drawing:
    """The equation of a formula of the handbook as SVG text, as wide and high as it is."""
    text = mathtext(key)
    font = FontProperties(size=SIZE)
    width, height, depth, *_ = MathTextParser("path").parse(text, dpi=72, prop=font)
    across, up = (width + 4) / 72, (height + 4) / 72

    def draw(figure: Figure) -> None:
        figure.set_layout_engine("none")
        figure.patch.set_visible(False)
        figure.text(2 / 72 / across, (depth + 2) / 72 / up, text, fontproperties=font, color=INK)

    return svg(draw, across, up, style={"svg.fonttype": "path"})


@cache
def mathtext(key: str) -> str:
    """The equation of a formula in the notation that matplotlib typesets."""
    with sympy.evaluate(False):
        shown = equation(key)
        names = {s: _upright(s.name) for s in shown.free_symbols if _upright(s.name)}
        text = sympy.latex(shown, order="none", mul_symbol=r"\,", symbol_names=names)
    return "$" + text.replace(r"\frac", r"\dfrac") + "$"


def _upright(name: str) -> str:
    """Symbols of several letters stand upright, or they read as products."""
    head, _, tail = name.partition("_")
    if not re.fullmatch(r"[A-Z]{2,}", head):
        return ""
    return rf"\mathrm{{{head}}}" + (f"_{{{tail}}}" if tail else "")
