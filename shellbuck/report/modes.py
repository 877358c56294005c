"""Figures of the Ritz modes: axial profiles, the prebuckled state."""

from __future__ import annotations

import numpy as np
from matplotlib.figure import Figure

from ..core.records import Load, LoadCaseResult, ModeShape
from .figures import INK, Drawing, panels, svg
from .waves import leading_m
from .wording import Display

MEMBRANE, BENT = "#0055A9", "#903A03"
_DRAWN = 6
_APART = 3.2
"""Between the middles of two profiles, in peaks."""


def edge_pair(case: LoadCaseResult) -> tuple[Load | None, Load | None] | None:
    """Membrane and nonlinear load of the case's edges; a wall with ribs on one side has the latter alone where the case
    names no edges. None where there is neither."""
    found = [load for load in case.loads if load.name.startswith("edges ")]
    if not found:
        return None
    membrane = next((load for load in found if load.prestress.startswith("membrane")), None)
    return membrane, next((load for load in found if not load.prestress.startswith("membrane")), None)


def edge_shapes(case: LoadCaseResult) -> list[tuple[str, ModeShape]]:
    """Modes of the case's edges with the prebuckling they belong to, membrane first."""
    membrane, bent = edge_pair(case)
    pairs = (("membrane", membrane), ("edge bending", bent))
    return [(words, shape) for words, load in pairs if load is not None for shape in load.shapes]


def profile_figure(case: LoadCaseResult, display: Display) -> Drawing | None:
    """Axial profiles w(x) of the lowest modes and of the critical mode with edge bending, one line each; None without
    modes."""
    scale, unit = display.units["length"]
    shapes = edge_shapes(case)
    lines = [(s, MEMBRANE, words) for words, s in shapes if words == "membrane"][:_DRAWN]
    lines += [(s, BENT, words) for words, s in shapes if words != "membrane"]
    if not lines:
        return None

    def draw(figure: Figure) -> None:
        (axes,) = panels(figure, left=0.5, low=0.45, high=0.12)
        for i, (shape, colour, words) in enumerate(lines):
            x, middle = np.array(shape.x) / scale, -_APART * i
            axes.axhline(middle, color=INK, lw=0.4)
            axes.plot(x, middle + np.array(shape.w), color=colour, lw=1)
            if shape.twin_w:
                axes.plot(x, middle + np.array(shape.twin_w), color=colour, lw=1, ls=":")
            axes.text(
                0,
                middle + 1.2,
                f"{words}: n = {shape.n}, {display.shown(shape.line_load, 'line load', 5)}, m: "
                f"{leading_m(shape)} of w²",
                fontsize=7.5,
                transform=axes.get_yaxis_transform(),
            )
        rows = [-_APART * i for i in range(len(lines))]
        axes.set_yticks([row + w for row in rows for w in (-1, 0, 1)], ["−1", "0", "1"] * len(rows))
        axes.set_ylim(rows[-1] - 1.3, 2.2)
        axes.tick_params(labelsize=7)
        axes.margins(x=0.02)
        axes.set_xlabel(f"x, {unit} (w over its peak, outward positive)")
        axes.spines[["top", "right", "left"]].set_visible(False)

    return svg(draw, 7.2, 0.6 + 0.62 * len(lines))


def prebuckled_figure(case: LoadCaseResult, display: Display) -> Drawing | None:
    """Deflection and hoop force of the axisymmetric state at the critical load; None without one."""
    _, bent = edge_pair(case)
    if bent is None or bent.prebuckled is None:
        return None
    state = bent.prebuckled
    length, length_unit = display.units["length"]
    force, force_unit = display.units["line load"]

    def draw(figure: Figure) -> None:
        left, right = panels(figure, 2, between=0.72)
        x = [v / length for v in state.x]
        left.plot(x, [v / length for v in state.deflection], color=BENT, lw=1)
        left.set_ylabel(f"outward deflection, {length_unit}")
        right.plot(x, [v / force for v in state.hoop_force], color=BENT, lw=1)
        right.set_ylabel(f"hoop force (tension), {force_unit}")
        for ax in (left, right):
            ax.axhline(0, color=INK, lw=0.4)
            ax.set_xlabel(f"x, {length_unit}")
            ax.tick_params(labelsize=7)
            ax.spines[["top", "right"]].set_visible(False)

    return svg(draw, 7.2, 2.2)
