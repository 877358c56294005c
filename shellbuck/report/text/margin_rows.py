"""Margins as rows of a table, and what has changed since an earlier run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_type_hints

from ...core.records import MarginRow, Result, shown_margin
from ...io.earlier import Earlier, EarlierRow
from .display import Display

QUANTITIES: tuple[str, ...] = get_args(get_type_hints(MarginRow)["quantity"])
"""Every quantity that a row may compare, in the order of its declaration."""

UNMOVED = 1e-9
"""Margins nearer than this are the same: the order of a sum may differ between versions and machines."""


def margin_table(result: Result, display: Display, earlier: Earlier | None = None) -> tuple[list[str], list[list[Any]]]:
    """Headings with their units, and a row for every load case and failure mode.

    A row without a margin has an empty cell and says why under status; a load case in numbers only has no loads.
    """
    each = [
        f"{what} {quantity} [{display.unit(quantity)}]" for quantity in QUANTITIES for what in ("limit", "allowable")
    ]
    head = ["load case", "failure mode", "kind", "status", "margin [-]", "net margin [-]", "factor of safety [-]"]
    head += [*each, "temperature [K]", "in full", "note"]
    head += [] if earlier is None else ["earlier status", "earlier margin [-]", "change [-]"]
    rows = []
    for case in result.load_cases:
        for row in case.margins:
            pairs = [
                (row.demand, row.capacity) if row.quantity == quantity else (None, None) for quantity in QUANTITIES
            ]
            scaled = [
                None if x is None else x / display.units[quantity][0]
                for quantity, pair in zip(QUANTITIES, pairs, strict=True)
                for x in pair
            ]
            cells = [row.load_case, row.mode, row.kind, row.status, row.margin, row.net_margin, row.factor, *scaled]
            cells += [row.temperature, case.in_full, row.net_note or row.note]
            if earlier is not None:
                old = earlier.rows.get((row.load_case, row.mode))
                change = None if old is None or None in (old.margin, row.margin) else row.margin - old.margin
                cells += ["" if old is None else old.status, None if old is None else old.margin, change]
            rows.append(cells)
    return head, rows


@dataclass(frozen=True)
class Difference:
    """A row that is not as it was: `was` and `now` None where there is none."""

    load_case: str
    mode: str
    kind: Literal["status", "margin", "appeared", "gone"]
    was: EarlierRow | None
    now: MarginRow | None

    @property
    def change(self) -> float | None:
        """Margin now less the earlier one."""
        if self.was is None or self.now is None or None in (self.was.margin, self.now.margin):
            return None
        return self.now.margin - self.was.margin


def differences(result: Result, earlier: Earlier) -> list[Difference]:
    """Rows of another status first, then those that appeared or are gone, then margins by the size of their change."""
    now = {(row.load_case, row.mode): row for case in result.load_cases for row in case.margins}
    found = [*_changed(now, earlier), *(_gone(now, earlier))]
    order = {"status": 0, "appeared": 1, "gone": 1, "margin": 2}
    return sorted(found, key=lambda one: (order[one.kind], -abs(one.change or 0.0)))


def _changed(now: dict[tuple[str, str], MarginRow], earlier: Earlier) -> Iterator[Difference]:
    for key, row in now.items():
        was = earlier.rows.get(key)
        if was is None:
            yield Difference(*key, "appeared", None, row)
        elif was.status != row.status or (was.margin is None) != (row.margin is None):
            yield Difference(*key, "status", was, row)
        elif row.margin is not None and abs(row.margin - was.margin) > UNMOVED * max(1.0, abs(was.margin)):
            yield Difference(*key, "margin", was, row)


def _gone(now: dict[tuple[str, str], MarginRow], earlier: Earlier) -> Iterator[Difference]:
    for key, was in earlier.rows.items():
        if key not in now:
            yield Difference(*key, "gone", was, None)


def change_text(one: Difference) -> str:
    """A change with its sign; margins that move within the last printed digit are told as such."""
    if one.change is None:
        return one.kind if one.kind in ("appeared", "gone") else "status"
    return f"{one.change:+.2f}" if abs(one.change) >= 0.005 else f"{one.change:+.1e}"


def told(row: EarlierRow | MarginRow | None, marks: dict[str, str]) -> str:
    """Status and margin of a row, then or now; empty where there is none."""
    if row is None:
        return ""
    return marks[row.status] if row.margin is None else f"{marks[row.status][0]} {shown_margin(row.margin)}"
