"""How probable a negative margin is under the given scatter, with the sampling error of the answer."""

from __future__ import annotations

from dataclasses import dataclass

from scipy import stats

_LEVEL = 0.95


@dataclass(frozen=True)
class Chance:
    """Probability of a negative margin, out of samples.

    `negative` of `counted` points that are known have a negative margin; `unknown` points could be anything (a row is
    refused or withheld, or the whole point is refused). The share lies between `least`, all of these holding, and
    `most`, none of them; `probability` and its `standard_error` are stated only where nothing is unknown. `low` and
    `high` are the exact (Clopper-Pearson) interval at 95 %: of `least` from below and of `most` from above; None for
    points that are not independent. `standard_error` is None too where it cannot be told (none or all negative).
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
    """The probability that `negative` of `counted` samples speak for, with `unknown` ones beside them.

    Parameters
    ----------
    output : str
        Which margin.
    negative, counted, unknown : int
        Points with a negative margin, points that are known (those with a negative margin among them), and the others.
    independent : bool
        Whether the points were drawn independently: only then has the answer an error that can be stated.

    Notes
    -----
    Clopper and Pearson, Biometrika 26 (1934) 404, by scipy.stats.binomtest. Standard error sqrt(p (1 - p)/n). Each end
    of the interval misses in at most 2.5 % of all samples, whatever the unknown points are: together 95 % or more.
    """
    every = counted + unknown
    if not every:
        return Chance(output, 0, 0, 0, None, None, None, None, 0.0, 1.0)
    least, most = negative / every, (negative + unknown) / every
    p = None if unknown else least
    low = high = error = None
    if independent:
        low = float(stats.binomtest(negative, every).proportion_ci(_LEVEL, "exact").low)
        high = float(stats.binomtest(negative + unknown, every).proportion_ci(_LEVEL, "exact").high)
        error = None if p is None else (p * (1 - p) / every) ** 0.5 or None
    return Chance(output, negative, counted, unknown, p, error, low, high, least, most)
