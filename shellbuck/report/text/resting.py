"""What a margin rests on, in words: its mode, or why there is none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ...core.records import MarginRow, ModeBasis
from .display import STATUS_MARK, Display, knockdown_text

ROLES = {
    "rests": "is based on this mode",
    "limited": "would be based on this mode and is limited to yield",
    "beside": "is based on no mode; this one is shown for reference",
}
"""What a mode is to a margin row that names it."""


def rests_on(row: MarginRow, display: Display) -> str:
    """One sentence on the mode of a margin row, without a full stop.

    Parameters
    ----------
    row : MarginRow
    display : Display
        Units of the numbers.
    """
    basis = row.basis
    if row.kind == "strength":
        return "no mode: strength compares the stress before buckling with the metal's"
    if basis is None:
        return f"no mode: {row.note or STATUS_MARK[row.status].split(' ', 1)[1]}"
    tail = f"; the capacity is limited by {basis.limited}, which is reached before this load" if basis.limited else ""
    load = f"{display.shown(basis.line_load, 'line load', 5)}"
    if basis.kind == "plate":
        return f"no mode of the barrel: plate formula, {load} for a {basis.field}{tail}"
    if basis.kind == "equation":
        return (
            f"no mode: the standard's equation gives {load} and no waves; the mode of the {basis.theory} theory in the "
            f"same state is shown for reference{tail}"
        )
    if basis.kind == "path":
        state = _state(basis, display)
        return f"no mode: the nonlinear path was followed to {load}, {state}, and no instability was found{tail}"
    if basis.kind == "column":
        return f"the barrel as a beam, one half-wave, cross-section unchanged, {load} around the circumference{tail}"
    return f"{basis.theory} {_waves(basis)} at {load}, {_region(basis, display)}, {_state(basis, display)}{tail}"


def _waves(basis: ModeBasis) -> str:
    return f"n = {basis.n}" if basis.m is None else f"(m, n) = ({basis.m}, {basis.n})"


def _region(basis: ModeBasis, display: Display) -> str:
    if basis.region == "barrel":
        return "whole barrel"
    return f"{basis.region}, {display.shown(basis.length, 'length')} long"


def _state(basis: ModeBasis, display: Display) -> str:
    """The state of the load: hoop tension or none, temperature."""
    if not basis.pressure:
        return f"no pressure in the state, {basis.temperature:g} K"
    return f"at {display.shown(basis.pressure, 'pressure')}, {basis.temperature:g} K"


def rows_in_words(named: Sequence[Mapping[str, str]]) -> str:
    """Which margins name a mode of the review data, and how."""
    rows = [f"{row['mode']}, {row['case']} (MS {row['text']}) {ROLES[row['role']]}" for row in named]
    return "; ".join(rows) or "for reference: no margin is based on this mode"


def allowable(row: MarginRow, display: Display) -> str:
    """The allowable of a row that rests on a mode, with its knockdown; empty without one."""
    if row.capacity is None:
        return ""
    words = f"{display.shown(row.capacity, row.quantity)} allowable of {row.mode}, {row.load_case}"
    return f"{words}, knockdown {knockdown_text(row)}"


def opening(margins: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """Which mode the page opens with, and why: that of the smallest margin that rests on one, else one that stands
    beside the smallest. `margins` are in rising order."""
    if not margins:
        return {"first": None, "first_words": ""}
    least = margins[0]
    row = next((m for m in margins if m["role"] in ("rests", "limited")), None) or next(
        (m for m in margins if m["basis"]), None
    )
    if row is None:
        return {"first": None, "first_words": ""}
    words = f"{row['mode']}, {row['case']} (MS {row['text']}): {row['words']}."
    if row is not least:
        words += f" The smallest margin, {least['mode']}, {least['case']} (MS {least['text']}): {least['words']}."
    return {"first": row["basis"], "first_words": words}
