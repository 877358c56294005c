"""A formula as a drawing, for readers that know no MathML, such as the PDF."""

from __future__ import annotations

from functools import cache

from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.mathtext import MathTextParser

from ..text.printed import mathtext
from .canvas import INK, VectorFigure, svg

SIZE = 10.0
"""Of the letters [pt]."""


@cache
def drawn_equation(key: str) -> VectorFigure:
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
