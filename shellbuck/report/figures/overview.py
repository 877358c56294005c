"""Still figures over several modes: loads of every engine, likeness of modes, the difference of a pair."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from matplotlib.figure import Figure

from ..review.fields import Field, Fields, Grid
from .canvas import INK, panels, svg
from .loads import BAND, Line, draw_spectrum
from .skin_map import LEVELS, draw_whole, paper, strip
from .stills import WIDTH, Columns, Still, grid_columns, length_unit, rounded

_ENGINES = {
    "closed form": ("#0055A9", "o", "-"),
    "Ritz, membrane": ("#B26940", "s", "--"),
    "Ritz, edge bending": ("#5C2A00", "^", ":"),
    "mesh": (INK, "D", "none"),
}
NEAR = 0.02
"""Largest difference of w over the peak up to which two modes look the same: a third of a step of the map's colours."""
ALIKE = 0.5
"""Likeness above which two modes are laid over each other unasked."""


def spectrum(entry: Mapping[str, Any], data: Mapping[str, Any]) -> Still:
    """Lowest load of every number of waves around, all engines over each other, modes of meshes as marks.

    Parameters
    ----------
    entry : mapping
        One of ``data["spectra"]``.
    data : mapping
        The review data.
    """
    unit = data["units"]["line load"]
    scale, name = float(unit["factor"]), str(unit["name"])
    least = entry["lowest"] / scale
    series = [(s["engine"], s["name"], [(p[0], p[1] / scale) for p in s["points"]]) for s in entry["series"]]
    marks = [(n, load / scale, mode) for n, load, mode in entry["marks"]]
    lows = [min(load for _, load in points) for *_, points in series if points]
    top = max([2.5 * least, *(1.3 * low for low in lows), *(1.1 * load for _, load, _ in marks)])
    lines: list[Line] = []
    seen: dict[str, int] = {}
    for engine, title, points in series:
        colour, marker, style = _ENGINES[engine]
        again = seen[engine] = seen.get(engine, -1) + 1
        how = dict(marker=marker, ms=2.6 if again % 2 else 4.6, lw=1, ls=style, color=colour, label=_short(title))
        lines.append((points, how | {"mfc": colour if again % 2 else "white"}))
    if marks:
        how = dict(marker="D", ls="none", ms=6, mfc="none", mec=INK, mew=1.2)
        lines.append(([m[:2] for m in marks], how | {"label": "modes of the mesh, at their leading n"}))

    def draw(figure: Figure) -> None:
        (axes,) = panels(figure)
        draw_spectrum(axes, lines, top, "full waves around, n", f"net line load, {name}")
        for n, load, mode in _apart(marks, top):
            axes.annotate(str(mode).removeprefix("mode "), (n, load), (5, 4), textcoords="offset points", fontsize=7)
        axes.text(axes.get_xlim()[1], BAND * least, "1.2 of the lowest ", fontsize=7, ha="right", va="bottom")
        axes.legend(fontsize=7.5, loc="lower right")

    words = [
        f"{_short(title)}, {min(p, key=lambda q: q[1])[1]:.5g} {name} at n = {min(p, key=lambda q: q[1])[0]}"
        for _, title, p in series
        if p
    ]
    if marks:
        words.append(f"{len(marks)} modes of the mesh from {min(m[1] for m in marks):.5g} {name} on")
    alt = (
        f"Buckling load against the number of waves around, {entry['case']}. Lowest loads: {'; '.join(words)}. "
        f"The band reaches from the lowest load to {BAND} times it."
    )

    def columns() -> Columns:
        rows = [(e, t, n, load * scale, "") for e, t, points in series for n, load in points]
        rows += [("mesh", "modes of the mesh", n, load * scale, mode or "") for n, load, mode in marks]
        header = ("engine", "load", "n", "line load [N/m]", "mode")
        return tuple(zip(header, zip(*rows, strict=True), strict=True)) if rows else ()

    return Still("spectrum", svg(draw, WIDTH, 3.5), alt, columns)


def _short(title: str) -> str:
    return title.removeprefix("general instability, ")


def _apart(marks: list[tuple[int, float, Any]], top: float) -> list[tuple[int, float, Any]]:
    """Marks whose names do not fall on one another."""
    kept: list[tuple[int, float, Any]] = []
    for mark in sorted(marks, key=lambda m: (m[1], m[0])):
        if mark[2] and all(abs(mark[0] - k[0]) > 1 or abs(mark[1] - k[1]) > 0.05 * top for k in kept):
            kept.append(mark)
    return kept


def likeness(entry: Mapping[str, Any]) -> Still:
    """The subspace MAC matrix of one load case.

    Parameters
    ----------
    entry : mapping
        One of ``data["likeness"]``.
    """
    values = np.asarray(entry["values"], dtype=float)
    rows, columns = [str(r) for r in entry["rows"]], [str(c) for c in entry["columns"]]
    side = min(0.46, 5.6 / max(1, len(columns)))

    def draw(figure: Figure) -> None:
        axes = figure.subplots()
        # pale to dark: reads in grey as it does in colour
        shade = 1 - values[..., None] * (1 - np.array([0x0B, 0x3C, 0x6E]) / 255)
        axes.imshow((255 * shade).round().astype(np.uint8), interpolation="none", aspect="equal")
        for i, row in enumerate(values):
            for j, v in enumerate(row):
                axes.text(
                    j,
                    i,
                    f"{v:.2f}",
                    ha="center",
                    va="center",
                    fontsize=min(7.5, 17 * side),
                    color="white" if v > 0.5 else INK,
                )
        axes.set_xticks(range(len(columns)), [c.removeprefix("mode ") for c in columns], fontsize=7.5)
        axes.set_yticks(range(len(rows)), rows, fontsize=7.5)
        axes.set_xlabel("mode", fontsize=8)
        axes.tick_params(length=0)
        axes.spines[:].set_visible(False)

    same = [
        f"{r} and {c} {values[i, j]:.2f}"
        for i, r in enumerate(rows)
        for j, c in enumerate(columns)
        if r != c and i < j and values[i, j] >= 0.9
    ]
    alt = (
        f"Subspace MAC of the modes of {entry['case']}, {len(rows)} by {len(columns)}, 1 dark where one mode is the "
        f"other, 0 pale. {'Alike (0.90 or more): ' + '; '.join(same) if same else 'No two different modes reach 0.90'}."
    )
    table = (("mode", tuple(rows)), *((f"{c} [-]", rounded(values[:, j])) for j, c in enumerate(columns)))
    return Still("likeness", svg(draw, 1.0 + side * len(columns), 0.5 + side * len(rows)), alt, lambda: table)


class Pair(NamedTuple):
    """w of one mode, that of another laid over it, and what was done to it: turned [rad], scaled."""

    first: Grid
    second: np.ndarray
    turned: float
    scaled: float

    @property
    def rest(self) -> float:
        """Share of the first mode's w^2 that the second leaves over."""
        return float(((self.first.w - self.second) ** 2).sum() / max((self.first.w**2).sum(), 1e-300))


def laid_over(first: Field, second: Field) -> Pair:
    """The second mode turned about the axis and scaled, sign included, to come as near to the first as it can."""
    around, along = (max(a, b) for a, b in zip(first.enough(12), second.enough(12), strict=True))
    a, b = first.grid(around, along), second.grid(around, along)
    A, B = np.fft.rfft(a.w, axis=1), np.fft.rfft(b.w, axis=1)
    fine = 16 * around
    likeness_of_turn = np.fft.irfft((A * B.conj()).sum(axis=0), fine)
    best = int(np.argmax(np.abs(likeness_of_turn).round(12)))
    turned = 2 * math.pi * best / fine
    moved = np.fft.irfft(B * np.exp(-1j * turned * np.arange(B.shape[1])), around, axis=1)
    scaled = float((a.w * moved).sum() / max((moved**2).sum(), 1e-300))
    return Pair(a, scaled * moved, turned, scaled)


class Difference(NamedTuple):
    """Two modes of a load case laid over each other: the largest difference of w over the peak, a sentence, the map."""

    case: str
    largest: float
    words: str
    map: Still

    @property
    def worth_a_map(self) -> bool:
        """Whether a map would show anything."""
        return self.largest >= NEAR


def difference(first: Mapping[str, Any], second: Mapping[str, Any], fields: Fields) -> Difference:
    """The difference of two modes after the second is turned and scaled to fit the first.

    Parameters
    ----------
    first, second : mapping
        Two of ``data["modes"]``.
    fields : Fields
        Of the review data.
    """
    field, unit = fields.of(first), length_unit(fields.data)
    pair = laid_over(field, fields.of(second))
    left = pair.first.w - pair.second
    largest = float(np.abs(left).max())
    places = np.unravel_index(int(np.abs(left).argmax()), left.shape)
    width, height = paper(field, WIDTH - 0.92, 4.5)
    full = height + 0.95

    def draw(figure: Figure) -> None:
        figure.set_layout_engine("none")
        axes = figure.add_axes((0.62 / WIDTH, 0.68 / full, width / WIDTH, height / full))
        draw_whole(axes, field, pair.first, left, LEVELS, unit)
        figure.text(
            0.62 / WIDTH,
            0.1 / full,
            f"w of {first['id']} minus w of {second['id']}, over the peak of {first['id']}",
            fontsize=8,
        )
        strip(figure, 0.62 + max(width, 5.0), 0.3)

    theta, x = pair.first.theta[places[1]], pair.first.x[places[0]]
    words = (
        f"w of {first['id']} ({first['title']}) minus w of {second['id']} ({second['title']}), the latter turned by "
        f"{math.degrees(pair.turned):.1f} degrees and scaled by {pair.scaled:.3g} to fit: the largest difference is "
        f"{largest:.2g} of the peak, at theta = {math.degrees(theta):.0f} degrees, x = {x / unit[0]:.4g} {unit[1]}; "
        f"{100 * pair.rest:.2g} % of w squared are left over."
    )

    def columns() -> Columns:
        named = (f"w of {first['id']} [-]", f"w of {second['id']} laid over it [-]")
        values = dict(zip(named, (pair.first.w, pair.second), strict=True))
        return grid_columns(pair.first.theta, pair.first.x, **values)

    name = f"difference-{first['id']}-{second['id']}".replace(" ", "-")
    return Difference(first["case"], largest, words, Still(name, svg(draw, WIDTH, full), f"Map of {words}", columns))


def differences(fields: Fields) -> list[Difference]:
    """Differences of what may be the same mode: of every load case the likest pair of each engine with the engine
    before it, where they are alike by more than `ALIKE`; the likest first."""
    found: list[tuple[float, Difference]] = []
    modes = {mode["id"]: mode for mode in fields.data["modes"]}
    for table in fields.data["likeness"]:
        pairs = [
            (float(value), modes[row], modes[column])
            for row, values in zip(table["rows"], table["values"], strict=True)
            for column, value in zip(table["columns"], values, strict=True)
            if value > ALIKE
        ]
        present = {mode["engine"] for mode in modes.values() if mode["case"] == table["case"]}
        for before, engine in pairwise(name for name in _ENGINES if name in present):
            both = [p for p in pairs if (p[1]["engine"], p[2]["engine"]) == (before, engine)]
            if both:
                value, first, second = min(both, key=lambda p: (-round(p[0], 2), p[2]["line_load"], p[1]["line_load"]))
                found.append((value, difference(second, first, fields)))
    return [one for _, one in sorted(found, key=lambda pair: -pair[0])]
