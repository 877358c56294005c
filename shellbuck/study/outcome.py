"""What a point gave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Outcome:
    """Status of a point, the reason where there is one, and the values of the columns (None: no such value).

    `status` is "holds" or "does not hold"; "refused" where the input or a failure mode is refused; "incomplete" where
    the lowest mode was not proved or something is unchecked; "not loaded" where nothing is loaded at all; "failed" for
    an internal error. All but "holds" may have a reason.
    """

    status: str
    reason: str
    values: tuple[Any, ...]
