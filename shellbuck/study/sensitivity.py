"""Which input matters: Sobol shares of an output's variance, with their sampling error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

_RESAMPLES = 500
_LEVEL = 0.95


@dataclass(frozen=True)
class Share:
    """One input's share of the variance of one output.

    `first` is the share of the input alone, `total` with all its interactions; the pairs beside them are percentile
    bootstrap intervals at 95 %. Estimates may fall slightly outside 0 to 1.
    """

    output: str
    input: str
    first: float
    first_low: float
    first_high: float
    total: float
    total_low: float
    total_high: float


def shares(output: str, inputs: tuple[str, ...], f: np.ndarray, seed: int) -> tuple[Share, ...]:
    """Sobol shares of one output.

    Parameters
    ----------
    output : str
    inputs : tuple of str
        Names of the d inputs.
    f : array, (N (d + 2),)
        The output at the points of `design.saltelli_points`, in their order; N a power of two.
    seed : int
        Of the bootstrap.

    Returns
    -------
    tuple of Share
        One per input. All zero for an output that does not vary.

    Notes
    -----
    Saltelli et al., Computer Physics Communications 181 (2010) 259, Table 2 (b) and (f), by scipy.stats.sobol_indices;
    the output is centred first. The intervals resample the N base points.
    """
    d = len(inputs)
    N = len(f) // (d + 2)
    pages = np.asarray(f, dtype=float).reshape(d + 2, N)
    if np.ptp(pages) == 0.0:
        return tuple(Share(output, name, *(0.0,) * 6) for name in inputs)
    a, b, ab = pages[0], pages[1], pages[2:]
    found = stats.sobol_indices(func={"f_A": a[None], "f_B": b[None], "f_AB": ab[:, None]}, n=N)
    rng = np.random.default_rng(seed)
    drawn = np.stack([_estimate(pages[:, rng.integers(0, N, N)]) for _ in range(_RESAMPLES)])  # (resamples, 2, d)
    tail = (1 - _LEVEL) / 2
    low, high = np.nanquantile(drawn, [tail, 1 - tail], axis=0)
    return tuple(
        Share(
            output,
            name,
            float(found.first_order[i]),
            float(low[0, i]),
            float(high[0, i]),
            float(found.total_order[i]),
            float(low[1, i]),
            float(high[1, i]),
        )
        for i, name in enumerate(inputs)
    )


def _estimate(pages: np.ndarray) -> np.ndarray:
    """First and total order, (2, d), of centred pages A, B, AB_1 ... AB_d: the formulas of the notes above."""
    centred = pages - pages[:2].mean()
    a, b, ab = centred[0], centred[1], centred[2:]
    variance = np.var(centred[:2])
    if variance == 0.0:
        return np.full((2, len(ab)), np.nan)
    return np.stack([(b * (ab - a)).mean(axis=1), 0.5 * ((a - ab) ** 2).mean(axis=1)]) / variance
