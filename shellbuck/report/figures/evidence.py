"""The physical tests behind the knockdown of plain walls, with the case among them."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from matplotlib.figure import Figure

from ...handbook.plain import axial_knockdown
from ...model import Case
from .canvas import INK, PALE, RIB, SKIN, VectorFigure, svg

CLASSICAL_C = 0.605228
"""sigma R/(E t) of the classical load at nu = 0.3, by which the tests are scaled."""


@dataclass(frozen=True)
class Tests:
    """Tests of plain cylinders in axial compression: R/t and the ratio of the test to the classical load."""

    R_over_t: tuple[float, ...]
    ratio: tuple[float, ...]

    def above_curve(self) -> int:
        """How many lie above the standard's knockdown curve."""
        return sum(k > axial_knockdown(r) for r, k in zip(self.R_over_t, self.ratio, strict=True))


@cache
def axial_tests() -> Tests:
    """The 161 tests of Weingarten, Morgan & Seide (1965), second-hand."""
    text = files("shellbuck.report.figures").joinpath("axial-tests.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    return Tests(tuple(float(r["R_over_t"]) for r in rows), tuple(float(r["C"]) / CLASSICAL_C for r in rows))


def evidence_figure(case: Case) -> VectorFigure | None:
    """The tests, the standard's curve and this wall's R/t; None for walls the tests do not speak of."""
    if not case.wall.plain:
        return None
    tests = axial_tests()
    ratio = case.barrel.middle_radius / case.stability_thickness

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        axes.plot(tests.R_over_t, tests.ratio, "o", ms=3, color=SKIN, alpha=0.7, label="161 tests, 1965")
        curve = [80 * (1500 / 80) ** (i / 60) for i in range(61)]
        axes.plot(curve, [axial_knockdown(x) for x in curve], color=INK, lw=1.2, label="standard's axial factor")
        axes.axvline(ratio, color=RIB, lw=1.2, ls="--", label=f"this wall, R/t = {ratio:.0f}")
        axes.axvspan(min(tests.R_over_t), max(tests.R_over_t), color=PALE, zorder=0)
        axes.set_xscale("log")
        axes.set_ylim(0, 1)
        axes.set_xlabel("R/t (shaded: range of these tests)")
        axes.set_ylabel("load over classical load")
        axes.legend()

    return svg(draw, 7.2, 3.2)
