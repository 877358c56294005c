"""Status of a row as a number: the words of `records.Status`, and which of them leave a design unknown."""

from __future__ import annotations

from typing import get_args

import numpy as np

from ..core.records import UNKNOWN, Status

STATUSES: tuple[str, ...] = get_args(Status)
"""Words of the codes 0, 1, 2 ..."""

HOLDS, FAILS, REFUSED, WITHHELD, NOT_COMPRESSED, NOT_COVERED, ALLOWED = range(len(STATUSES))


def is_unknown(codes: np.ndarray) -> np.ndarray:
    """Where a row is unknown (`records.UNKNOWN`): nothing that has one counts as held."""
    return np.isin(codes, [STATUSES.index(word) for word in UNKNOWN])


def status_of(
    margin: np.ndarray,
    loaded: np.ndarray,
    refused: np.ndarray,
    withheld: np.ndarray,
    idle: str,
    allowed: np.ndarray | bool = False,
) -> np.ndarray:
    """Codes of one row of many designs.

    Parameters
    ----------
    margin, loaded, refused, withheld : numpy.ndarray
        (N,) as in `Rows.add`.
    idle : str
        Status where nothing loads the row.
    allowed : numpy.ndarray or bool
        Where a negative margin is allowed by choice.

    Returns
    -------
    numpy.ndarray
        (N,) int8. A margin that is no number is refused: what is unknown never holds.
    """
    judged = np.where(margin >= 0, HOLDS, np.where(margin < 0, np.where(allowed, ALLOWED, FAILS), REFUSED))
    rest = np.where(loaded, np.where(refused, REFUSED, judged), STATUSES.index(idle))
    return np.where(withheld, WITHHELD, rest).astype(np.int8)
