"""Figures of the Ritz modes: spectrum with and without edge bending, axial profiles, the prebuckled state."""

from __future__ import annotations

from matplotlib.figure import Figure

from ..records import Load, LoadCaseResult
from .figures import INK, PALE, svg
from .wording import Display

MEMBRANE, BENT = "#0055A9", "#903A03"
_DRAWN = 6


def edge_pair(case: LoadCaseResult) -> tuple[Load, Load | None] | None:
    """Membrane and nonlinear load of the case's edges, None where the case names none."""
    pair = [load for load in case.loads if load.name.startswith("edges ")]
    if not pair:
        return None
    return pair[0], pair[1] if len(pair) > 1 else None


def edge_spectrum_figure(case: LoadCaseResult, display: Display) -> str:
    """Lowest load of every harmonic of the case's edges, both prebuckling states; the band is 20 %."""
    membrane, bent = edge_pair(case)
    scale, unit = display.units["line load"]

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        for load, colour, marker, words in ((membrane, MEMBRANE, "o", "membrane"), (bent, BENT, "s", "edge bending")):
            if load is None:
                continue
            axes.plot(
                [p.n for p in load.lowest_by_n], [p.line_load / scale for p in load.lowest_by_n], lw=1, ms=3.5,
                marker=marker, color=colour, mfc=colour if marker == "o" else "white",
                label=f"{words}: {display.shown(load.line_load, 'line load')} at n = {load.n}",
            )  # fmt: skip
        least = min(load.line_load for load in (membrane, bent) if load is not None) / scale
        axes.axhspan(least, 1.2 * least, color=PALE, zorder=0)
        axes.set_ylim(0, None)
        axes.set_xlabel("full waves around, n")
        axes.set_ylabel(f"lowest net line load, {unit}")
        axes.legend(frameon=False, fontsize=8, loc="lower right")
        axes.spines[["top", "right"]].set_visible(False)

    return svg(draw, 7.2, 3.0)


def profile_figure(case: LoadCaseResult, display: Display) -> str:
    """Axial profiles w(x) of the lowest modes and of the critical mode with edge bending, one line each."""
    membrane, bent = edge_pair(case)
    scale, unit = display.units["length"]
    lines = [(s, MEMBRANE, "membrane") for s in membrane.shapes[:_DRAWN]]
    if bent is not None:
        lines += [(s, BENT, "edge bending") for s in bent.shapes]

    def draw(figure: Figure) -> None:
        axes = figure.subplots(len(lines), 1, sharex=True, squeeze=False)[:, 0]
        for ax, (shape, colour, words) in zip(axes, lines, strict=True):
            x = [v / scale for v in shape.x]
            ax.axhline(0, color=INK, lw=0.4)
            ax.plot(x, shape.w, color=colour, lw=1)
            if shape.twin_w:
                ax.plot(x, shape.twin_w, color=colour, lw=1, ls=":")
            ax.set_ylim(-1.15, 1.15)
            ax.set_yticks([-1, 0, 1])
            ax.tick_params(labelsize=7)
            share = f"{100 * shape.half_wave_share:.0f} % of w²"
            ax.set_title(
                f"{words}: n = {shape.n}, {display.shown(shape.line_load, 'line load', 5)}, leading m = "
                f"{shape.half_waves} ({share})", fontsize=7.5, loc="left", pad=2,
            )  # fmt: skip
            ax.spines[["top", "right"]].set_visible(False)
        axes[-1].set_xlabel(f"x, {unit} (w over its peak, outward positive)")

    return svg(draw, 7.2, 0.4 + 0.72 * len(lines))


def prebuckled_figure(case: LoadCaseResult, display: Display) -> str | None:
    """Deflection and hoop force of the axisymmetric state at the critical load; None without one."""
    _, bent = edge_pair(case)
    if bent is None or bent.prebuckled is None:
        return None
    state = bent.prebuckled
    length, length_unit = display.units["length"]
    force, force_unit = display.units["line load"]

    def draw(figure: Figure) -> None:
        left, right = figure.subplots(1, 2)
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
