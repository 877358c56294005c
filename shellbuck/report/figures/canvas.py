"""A figure as SVG text or PDF, in the house style."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.figure import Figure
from PIL import Image

from ...core.style import INK

SKIN, RIB, PALE = "#5A7ABC", "#B26940", "#E9EDF4"
_STYLE = {
    "svg.fonttype": "none",
    "svg.hashsalt": "shellbuck",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Verdana"],
    "font.size": 9,
    "figure.dpi": 150,
    "path.simplify_threshold": 0.15,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "legend.frameon": False,
    "legend.fontsize": 8,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
}
_NO_METADATA = dict.fromkeys(("Creator", "Date", "Format", "Type"))
_PATH_DATA = re.compile(r' d="[^"]*"')
_EXCESS = re.compile(r"(?<=\.\d)\d+| ?\n")
"""Digits of a path beyond a tenth of a point, and its line breaks."""
_PNG = re.compile(r"data:image/png;base64,[A-Za-z0-9+/=\s]+")
_QUALITIES = (85, 75, 65, 50)


@dataclass(frozen=True, eq=False)
class VectorFigure:
    """A figure of a size [in] that `draw(figure)` draws, once its text or its PDF is asked for."""

    draw: Callable[[Figure], None]
    size: tuple[float, float]
    most: int | None
    style: dict[str, object]

    @cached_property
    def text(self) -> str:
        """The figure as SVG text, the same bytes for the same input."""
        with _styled(self) as figure:
            dots, figure.dpi = figure.dpi, 72
            text = io.StringIO()
            renderer = _Gathering(*(72 * figure.get_size_inches()), text, image_dpi=dots, metadata=_NO_METADATA)
            figure.draw(renderer)
            renderer.finalize()
        whole = text.getvalue()
        pieces = _PNG.split(_PATH_DATA.sub(lambda m: _EXCESS.sub("", m[0]), whole[whole.index("<svg") :]))
        return "".join(
            part for pair in zip(pieces, [*self._packed(renderer.pictures), ""], strict=True) for part in pair
        )

    def _packed(self, pictures: list[Image.Image]) -> list[str]:
        """Addresses of pictures: every pixel in a palette, or with `most` bytes as fine a photograph as that allows."""
        if self.most is None:
            return [_address(p.convert("RGB").convert("P", palette=Image.Palette.ADAPTIVE), "PNG") for p in pictures]
        for quality in _QUALITIES:
            found = [_address(picture.convert("RGB"), "JPEG", quality=quality) for picture in pictures]
            if sum(map(len, found)) <= self.most:
                break
        return found

    def pdf(self) -> bytes:
        """The figure as a PDF of one page, the same bytes for the same input."""
        buffer = io.BytesIO()
        with _styled(self) as figure:
            # straight to the canvas: savefig would draw everything twice
            FigureCanvasPdf(figure).print_pdf(buffer, metadata={"CreationDate": None, "Producer": None})
        return buffer.getvalue()


def svg(
    draw: Callable[[Figure], None],
    width: float,
    height: float,
    most: int | None = None,
    style: dict[str, object] | None = None,
) -> VectorFigure:
    """A figure [in] drawn by `draw(figure)`.

    With `most` bytes, pictures inside its SVG text are kept only as fine as that allows; without it, every pixel, of up
    to 256 colours. `style` replaces entries of the house style.
    """
    return VectorFigure(draw, (width, height), most, style or {})


@contextmanager
def _styled(drawing: VectorFigure) -> Iterator[Figure]:
    """The figure with its style, which a renderer needs too."""
    with rc_context(_STYLE | drawing.style):
        figure = Figure(figsize=drawing.size, layout="constrained")
        drawing.draw(figure)
        yield figure


class _Gathering(RendererSVG):
    """Keeps its pictures and writes blanks of their size: each is encoded once, in the end."""

    def __init__(self, *args: object, **named: object) -> None:
        self.pictures: list[Image.Image] = []
        super().__init__(*args, **named)

    def draw_image(self, gc: object, x: float, y: float, im: np.ndarray, transform: object = None) -> None:
        self.pictures.append(Image.fromarray(np.array(im)))
        super().draw_image(gc, x, y, np.full_like(im, len(self.pictures)), transform)


def _address(picture: Image.Image, form: str, **how: int) -> str:
    buffer = io.BytesIO()
    picture.save(buffer, form, optimize=True, **how)
    return f"data:image/{form.lower()};base64," + base64.b64encode(buffer.getvalue()).decode("ascii")


def panels(
    figure: Figure,
    columns: int = 1,
    *,
    left: float = 0.62,
    right: float = 0.12,
    low: float = 0.48,
    high: float = 0.08,
    between: float = 0.62,
) -> list[Axes]:
    """Axes side by side inside margins [in], and so far apart; nothing is measured, which takes longer than drawing."""
    figure.set_layout_engine("none")
    width, height = figure.get_size_inches()
    each, tall = (width - left - right - (columns - 1) * between) / columns, (height - low - high) / height
    starts = [left + i * (each + between) for i in range(columns)]
    return [figure.add_axes((start / width, low / height, each / width, tall)) for start in starts]
