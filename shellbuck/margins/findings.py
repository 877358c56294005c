"""What failure modes find: rows of numbers for one design or for many, and of a single design the words for them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from ..core.records import Check, Knockdown, Load, MarginRow
from .keys import SKIN_FIELD
from .statuses import FAILS, HOLDS, REFUSED, STATUSES, status_of

if TYPE_CHECKING:
    from .engines import Mask, Number
    from .modes import FailureMode
    from .state import State


@dataclass(frozen=True)
class Story:
    """What a failure mode says of a single design.

    `row` holds the fields of its `MarginRow` beside status and margin; `elastic` the (title, elastic line load before
    any factor) by which modes are compared; the chain puts the key of the mode before them.
    """

    row: dict[str, Any] = field(default_factory=dict)
    checks: tuple[Check, ...] = ()
    loads: tuple[Load, ...] = ()
    knockdowns: tuple[Knockdown, ...] = ()
    elastic: tuple[tuple, ...] = ()
    pressure_gain: float | None = None
    edge_bending: str = ""

    def more(self, **changes: Any) -> Story:
        """The same with more: fields of the row, checks, loads ... are added, single words replaced."""
        added = ("row", "checks", "loads", "knockdowns", "elastic")
        both = {
            key: {**self.row, **new} if key == "row" else (*getattr(self, key), *new)
            for key, new in changes.items()
            if key in added
        }
        return replace(self, **{**changes, **both})


@dataclass(frozen=True, eq=False)
class Row:
    """The numbers of one row, of one design or of many.

    Parameters
    ----------
    title : str
        Name of the row.
    margin : float or numpy.ndarray
        Used where the row is loaded and neither refused nor withheld. What is no number there is filed as refused,
        because what is unknown is never satisfied.
    loaded : bool or numpy.ndarray
        Where something loads the row; elsewhere its status is `idle`.
    refused : mapping of str to bool or numpy.ndarray
        Code of a check to where it refuses the row.
    withheld : bool or numpy.ndarray
    allowed : bool or numpy.ndarray
        Where a negative margin is no failure, because the case allows it: the row has none then.
    idle : str
        Status without a load: "not compressed", "holds" for a part without stress, or "not covered".
    story : callable
        Called for a single design only.
    limits : mapping of str to float or numpy.ndarray
        Use of a range beyond which the row is refused, 0 where there is none; constraints of a sizing.
    classical : float or numpy.ndarray
        Elastic load of general instability without pressure [N/m].
    factor : float, numpy.ndarray or None
        Factor of safety of the row; None for that on buckling.
    """

    title: str
    margin: Number
    loaded: Mask = True
    refused: dict[str, Mask] = field(default_factory=dict)
    withheld: Mask = False
    idle: str = "not compressed"
    story: Callable[[], Story] = Story
    limits: dict[str, Number] = field(default_factory=dict)
    classical: Number = np.nan
    allowed: Mask = False
    factor: Number | None = None

    def factor_of(self, state: State) -> Number:
        """Factor of safety of the row."""
        return state.factor if self.factor is None else self.factor

    @cached_property
    def codes(self) -> np.ndarray:
        """Status as a code of `statuses`."""
        refused: Mask = False
        for mask in self.refused.values():
            refused = refused | mask
        masks = np.broadcast_arrays(self.margin, self.loaded, refused, self.withheld, self.allowed)
        return status_of(*masks[:4], self.idle, masks[4])

    def filed(self, size: int) -> tuple[np.ndarray, np.ndarray]:
        """Margins (nan where a row has none) and status codes of many designs (N,)."""
        codes = self.codes
        known = (codes == HOLDS) | (codes == FAILS)
        # a part without stress is satisfied and has no margin
        margin = np.where(known & np.asarray(self.loaded), self.margin, np.nan)
        return np.broadcast_to(margin, (size,)), np.broadcast_to(codes, (size,))

    def record(self, state: State, mode: FailureMode, story: Story) -> MarginRow:
        """The row of a single design."""
        status = STATUSES[int(self.codes)]
        known = status in ("holds", "fails") and bool(self.loaded)
        base = {
            "load_case": state.load.name,
            "key": mode.key,
            "mode": self.title,
            "kind": mode.kind,
            "status": status,
            "quantity": "line load",
            "temperature": state.temperature,
            "factor": self.factor_of(state),
            "demand": float(state.N_a + state.N_b),
            "capacity": None,
            "margin": float(self.margin) if known else None,
        }
        return MarginRow(**{**base, **story.row})


@dataclass
class Findings:
    """All rows of a load case, in the order in which a reader looks for them."""

    state: State
    rows: list[tuple[FailureMode, Row]] = field(default_factory=list)

    def of(self, *keys: str) -> Iterator[Row]:
        """Rows of failure modes, by their keys."""
        return (row for mode, row in self.rows if mode.key in keys)

    @property
    def skin_buckles(self) -> Mask:
        """Where a skin field buckles below the ultimate line load and may not: what rests on the unbuckled stiffness
        is withheld."""
        found: Mask = False
        for row in self.of(SKIN_FIELD):
            refused = (row.codes == REFUSED) & (np.asarray(row.margin) < 0)
            found = found | (row.codes == FAILS) | refused
        return found

    def refusals(self) -> Iterator[tuple[str, Mask]]:
        """Codes of the refusals of rows with where they are."""
        for _, row in self.rows:
            for code, mask in row.refused.items():
                # a row that is withheld or without load is not refused as well
                yield code, np.asarray(mask) & (row.codes == REFUSED)

    def limit(self, name: str) -> Number:
        """The largest use of a range, 0 where no row has one."""
        found: Number = 0.0
        for _, row in self.rows:
            found = np.fmax(found, row.limits.get(name, 0.0))
        return found
