"""Many load cases of one design: margins of all of them as arrays, and which of them are worth their words.

Load cases that give the same optional fields are one batch over their numbers: the same failure modes as for one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from ..core.records import UNKNOWN, Check, MarginRow
from ..model import Case, Factors, LoadCase
from ..model.checked import Checked, Quantity, declared, marker, unchecked, without_none
from .engines import Engines
from .findings import Findings
from .keys import SKIN_FIELD
from .modes import FailureMode
from .modes.ribs import ring_checks
from .post_buckled import post_buckled_skin, skin_checks
from .prebuckled import STATUSES_KEPT
from .state import State
from .state_checks import state_checks
from .statuses import ALLOWED, STATUSES

MOST_IN_FULL = 24
"""Up to this many load cases all are worked out in words (own choice)."""

_TEMPERATURES = 8
"""Up to this many temperatures each has walls of its own, shared by its load cases."""

IN_NUMBERS = "in numbers only: ask for this load case in full to see why"


@dataclass(frozen=True, eq=False)
class Numbers:
    """The rows of one load case as numbers.

    `modes` belong to `titles`, `kinds`, `margins` (nan without one), `codes` of `statuses`, `factors`; `skin_margin` is
    that of skin which may buckle by choice.
    """

    load: LoadCase
    modes: tuple[FailureMode, ...]
    titles: tuple[str, ...]
    margins: np.ndarray
    codes: np.ndarray
    factors: np.ndarray
    edge_bending: str
    skin_margin: float

    @property
    def severity(self) -> tuple[bool, float]:
        """Sorts load cases: refused ones first, then the smallest margin."""
        refused = any(STATUSES[code] in UNKNOWN for code in self.codes)
        return not refused, self.least()

    def least(self, kind: str = "") -> float:
        """Smallest margin of its rows, of one kind of mode where it is given; infinity where there is none."""
        of = [not kind or mode.kind == kind for mode in self.modes]
        return float(np.fmin.reduce(self.margins[of], initial=np.inf))

    def rows(self, state: State, like: dict[str, MarginRow]) -> tuple[MarginRow, ...]:
        """Its rows as records, with what a row is from the same row in full."""
        found = []
        for mode, title, margin, code, factor in zip(
            self.modes, self.titles, self.margins, self.codes, self.factors, strict=True
        ):
            status, same = STATUSES[code], like.get(title)
            found.append(
                MarginRow(
                    self.load.name,
                    title,
                    mode.kind if same is None else same.kind,
                    status,
                    "stress" if mode.kind == "strength" else "line load" if same is None else same.quantity,
                    float(state.temperature),
                    float(factor),
                    None,
                    None,
                    None if np.isnan(margin) else float(margin),
                    note=IN_NUMBERS if status in UNKNOWN else "",
                    key=mode.key,
                )
            )
        return tuple(found)

    def checks(self, state: State, rows: tuple[MarginRow, ...]) -> Iterator[Check]:
        """Checks that need no words of a mode."""
        yield from ring_checks(state)
        for mode, title, code in zip(self.modes, self.titles, self.codes, strict=True):
            if mode.key == SKIN_FIELD and code == ALLOWED:
                yield from skin_checks(state, title, self.skin_margin)[0]
        yield from state_checks(state, rows, _NOTHING)


class _Nothing:
    elastic: tuple = ()
    loads: tuple = ()


_NOTHING = _Nothing()


def numbers(case: Case, engines: Engines, find: Any) -> tuple[Numbers, ...]:
    """Margins of every load case, in their order.

    Parameters
    ----------
    case : Case
    engines : Engines
        Of the design.
    find : callable
        From a state to the rows of every failure mode.
    """
    found: dict[int, Numbers] = {}
    for at in _alike(case.load_cases):
        loads = tuple(case.load_cases[i] for i in at)
        batch = Engines(case, engines.edge_bending, len(loads), alone=engines, loads=loads)
        state = State(case, _arrayed(loads), batch)
        for i, one in zip(at, _split(state, find(state), loads), strict=True):
            found[i] = one
    return tuple(found[i] for i in range(len(case.load_cases)))


def _split(state: State, found: Findings, loads: tuple[LoadCase, ...]) -> Iterator[Numbers]:
    size = len(loads)
    modes = tuple(mode for mode, _ in found.rows)
    titles = tuple(row.title for _, row in found.rows)
    margins, codes = (np.stack(x, axis=-1) for x in zip(*(row.filed(size) for _, row in found.rows), strict=True))
    factors = np.stack([np.broadcast_to(row.factor_of(state), (size,)) for _, row in found.rows], axis=-1)
    edges = np.broadcast_to(state.kept.get(STATUSES_KEPT, ""), (size,))
    soft = post_buckled_skin(state)
    skins = np.broadcast_to(np.nan if soft is None else soft.margin, (size,))
    for i, load in enumerate(loads):
        yield Numbers(load, modes, titles, margins[i], codes[i], factors[i], str(edges[i]), float(skins[i]))


def chosen(found: tuple[Numbers, ...], asked: Collection[str]) -> set[str]:
    """Names of the load cases in full: those asked for, the one that decides the verdict, and the smallest margin of
    stability, of local modes and of strength."""
    names = {one.load.name for one in found if one.load.name in asked}
    names.add(min(found, key=lambda one: one.severity).load.name)
    for kind in ("", "stability", "local", "strength"):
        least = min(found, key=lambda one: one.least(kind))
        if np.isfinite(least.least(kind)):
            names.add(least.load.name)
    return names


# --- load cases as arrays


def _alike(loads: tuple[LoadCase, ...]) -> list[list[int]]:
    """Positions of load cases that give the same fields and the same words."""
    every = len({load.temperature for load in loads}) > _TEMPERATURES
    groups: dict[tuple, list[int]] = {}
    for i, load in enumerate(loads):
        groups.setdefault((*_shape(load), None if every else load.temperature), []).append(i)
    return list(groups.values())


def _shape(part: Checked) -> Iterator[Any]:
    """What tells apart load cases that are no one batch: fields without a number, and words."""
    for f in fields(part):
        value = getattr(part, f.name)
        if isinstance(value, Checked):
            yield from _shape(value)
        elif _is_number(type(part), f.name) or value is None:
            yield value is None
        elif f.name not in ("name", "source"):
            yield value


def _is_number(cls: type, name: str) -> bool:
    return isinstance(marker(without_none(declared(cls)[name])[0]), Quantity)


def _arrayed(parts: tuple[Checked, ...]) -> Any:
    """One object with the numbers of all as arrays; a number that all share stays one."""
    first = parts[0]
    values: dict[str, Any] = {}
    for f in fields(first):
        column = [getattr(part, f.name) for part in parts]
        if isinstance(column[0], Checked):
            values[f.name] = column[0] if all(x == column[0] for x in column) else _arrayed(tuple(column))
        elif column[0] is not None and _is_number(type(first), f.name):
            same = f.name == "temperature" and all(x == column[0] for x in column)
            values[f.name] = column[0] if same else np.array(column, dtype=float)
        else:
            values[f.name] = column[0]
    return unchecked(type(first) if not isinstance(first, Factors) else Factors, **values)
