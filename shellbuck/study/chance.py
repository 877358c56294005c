"""How probable a negative margin is under the given scatter, with the sampling error of the answer."""

from __future__ import annotations

from dataclasses import dataclass

from scipy import stats

_LEVEL = 0.95


@dataclass(frozen=True)
class Chance:
    """Probability of a negative margin, out of independent samples.

    `negative` of `counted` points have a negative margin; `low` and `high` are the exact (Clopper-Pearson) interval at
    95 %, None for points that are not independent; `standard_error` is None too where it cannot be told (none or all
    negative). `unknown` points have no margin: with them the probability lies
    between `least` and `most`, whatever they are.
    """

    output: str
    negative: int
    counted: int
    unknown: int
    probability: float | None
    standard_error: float | None
    low: float | None
    high: float | None
    least: float
    most: float


def chance(output: str, negative: int, counted: int, unknown: int, *, independent: bool) -> Chance:
    """The probability that `negative` of `counted` samples speak for.

    Parameters
    ----------
    output : str
        Which margin.
    negative, counted, unknown : int
        Points with a negative margin, with any margin, and without one.
    independent : bool
        Whether the points were drawn independently: only then has the answer an error that can be stated.

    Notes
    -----
    Clopper and Pearson, Biometrika 26 (1934) 404, by scipy.stats.binomtest. Standard error sqrt(p (1 - p)/n).
    """
    every = max(counted + unknown, 1)
    p = negative / counted if counted else None
    low = high = error = None
    if independent and counted:
        interval = stats.binomtest(negative, counted).proportion_ci(_LEVEL, "exact")
        low, high = float(interval.low), float(interval.high)
        error = (p * (1 - p) / counted) ** 0.5 or None
    return Chance(
        output, negative, counted, unknown, p, error, low, high, negative / every, (negative + unknown) / every
    )
