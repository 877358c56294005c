"""Margins of a stack of barrels against station."""

from __future__ import annotations

import numpy as np
from matplotlib.figure import Figure

from ...core.style import INK
from .canvas import PALE, RIB, SKIN, VectorFigure, svg

_COLOURS = (SKIN, RIB, "#1d5c38", "#8e1f11", "#7a5200", "#5c6b78")


def margins_by_station(
    curves: dict[str, list[tuple[list[float], list[float]]]], spans: list[tuple[str, float, float]]
) -> VectorFigure:
    """Smallest margin of every event along the stack.

    Parameters
    ----------
    curves : dict
        Event to (stations [m], margins) of every barrel; nan where a margin is unknown or there is none.
    spans : list of (str, float, float)
        Name and ends of every barrel [m].
    """

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        for i, (name, low, high) in enumerate(spans):
            axes.axvspan(low, high, color=PALE if i % 2 == 0 else "#ffffff", lw=0)
            axes.annotate(name, ((low + high) / 2, 1.0), xycoords=("data", "axes fraction"), ha="center", va="bottom")
        for k, (event, parts) in enumerate(curves.items()):
            for i, (stations, margins) in enumerate(parts):
                style = dict(color=_COLOURS[k % len(_COLOURS)], lw=1.2, marker="o", ms=2.5)
                axes.plot(stations, np.array(margins, float), label=event if i == 0 else None, **style)
        axes.axhline(0, color=INK, lw=1.4)
        axes.set_xlabel("station, m")
        axes.set_ylabel("smallest margin")
        axes.legend()

    return svg(draw, 7.2, 3.4)
