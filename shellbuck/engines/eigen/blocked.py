"""Lowest load factors of large pencils: a shift just above them, blocked Lanczos there, closed by the count.

With K positive definite (its own factor shows that), K - s G has as many negative pivots as load factors lie between 0
and s. The shift is moved until it has the wanted number below it and not many more. Lanczos on (K - s G)^-1 G in the
inner product of K, in which it is symmetric however G looks, must then return exactly as many: 1/theta = lambda - s.
What it returns is checked against K and G themselves, not against the factor.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.linalg import eigh

from ...core.errors import Incomplete
from .factor import Factor, Order, factorise, factorise_shifted
from .krylov import place_above, shapes_below
from .lowest import APART, LowestPairs
from .refine import refined

_ABOVE = 1.002
"""First shift over guess."""
_DENSE = 300
"""Up to so many unknowns all load factors are found at once."""
_FACTORISATIONS = 40
_CROWD = 400
"""Load factors below a shift that are still sought together when they lie too close for a shift between."""
_NARROW = 1e-7
_MANY = 150
RESIDUAL = 1e-4
"""Largest |K x - lambda G x| over |K x|, unknowns scaled by the diagonal of K. The error of lambda is of the order of
the square of the residual in the norm of K^-1, which is far smaller: this norm weighs the stiffest motions most."""
_ALIKE = 1e-6
"""Largest product of two modes of length one in the norm of K."""


Progress = Callable[[str], None]


@dataclass(frozen=True, eq=False)
class _Pencil:
    K: sparse.csc_matrix
    G: sparse.csc_matrix
    order: Order
    progress: Progress

    def factor(self, shift: float) -> Factor:
        """Factor of K - shift G."""
        factor = factorise_shifted(self.K, self.G, shift, self.order)
        self.progress(f"{factor.negative} load factors below {shift:.4g}")
        return factor


def lowest_counted(
    K: sparse.csc_matrix,
    G: sparse.csc_matrix,
    guess: float,
    want: int = 1,
    order: Order = "MMD_AT_PLUS_A",
    shift: float | None = None,
    progress: Progress = lambda _: None,
    *,
    definite: bool = False,
) -> LowestPairs:
    """The lowest positive load factors of K x = lambda G x, proved complete; for large matrices.

    Parameters
    ----------
    K, G : scipy.sparse.csc_matrix
        (n, n) symmetric; K positive definite (checked), G with at least `want` positive directions.
    guess : float
        A load factor near the lowest, from either side; 20 % off costs some factorisations more.
    want : int
        How many.
    order : {"NATURAL", "MMD_AT_PLUS_A"} or Elimination
        See `factorise`.
    shift : float or None
        Where to count first, for example that of a coarser mesh; None takes just above the guess.
    progress : callable
        Receives the count of every factorisation as text.
    definite : bool
        K is known to be positive definite and not factorised for that.

    Raises
    ------
    Incomplete
        When K is not positive definite, without convergence, or when the count disagrees with what was found.

    Examples
    --------
    >>> from scipy.sparse import diags, identity
    >>> K = diags(np.arange(1.0, 400.0) ** 2).tocsc()
    >>> lowest_counted(K, identity(399, format="csc"), 2.0, want=3).values.round(9).tolist()
    [1.0, 4.0, 9.0]
    """
    pencil = _Pencil(K, G, order, progress)
    if not definite:
        if negative := factorise(K, order).negative:
            raise not_definite(negative)
        progress("stiffness factorised: positive definite")
    shift, factor, used = _shift_above(pencil, _ABOVE * guess if shift is None else shift, want)
    for _ in range(3):
        values, modes = _below(pencil, factor, shift)
        if values[-1] < shift * (1 - APART):
            break
        # a shift this near to a load factor counts too little surely
        shift = shift * (1 + 10 * APART)
        factor, used = pencil.factor(shift), used + 1
    else:
        raise Incomplete.of("count-mismatch", f"load factors crowd around {shift:.6g}, where they are counted")
    counted = int(np.sum(values <= values[want - 1] * (1 + APART)))
    return LowestPairs(values[:want], modes[:, :want], counted, shift, used + (not definite), factor.order)


def not_definite(negative: int) -> Incomplete:
    """The error that says how many directions are unstable before any load acts."""
    return Incomplete.of(
        "not-definite",
        "the stiffness is not positive definite before any load acts",
        got=f"{negative} negative directions",
        way_out="look at fixed loads and at the supports",
    )


def _shift_above(pencil: _Pencil, first: float, want: int) -> tuple[float, Factor, int]:
    """A shift with `want` load factors below it and not many more, its factor, and how many factors it took; the first
    one tried is given."""
    most = 3 * want + 16
    counts: dict[float, int] = {}
    shift = first
    for used in range(1, _FACTORISATIONS + 1):
        factor = pencil.factor(shift)
        counts[shift] = factor.negative
        if want <= factor.negative <= most:
            return shift, factor, used
        low = max((s for s, m in counts.items() if m < want), default=0.0)
        high = min((s for s, m in counts.items() if m >= want), default=math.inf)
        if high < math.inf and high - low <= _NARROW * high:
            if counts[high] > _CROWD:
                raise Incomplete.of("count-mismatch", f"{counts[high]} load factors crowd at {high:.6g}")
            return high, factor if shift == high else pencil.factor(high), used + (shift != high)
        # a small matrix is counted again sooner than looked into
        look = shift == low and pencil.K.shape[0] > _DENSE
        ahead = place_above(pencil.G, factor, shift, want) if look else math.inf
        del factor
        if low > 1e9 * first:
            break
        shift = ahead if ahead < high else _next(counts, low, high, 1.5 * want + 5)
    if math.isinf(high):
        raise Incomplete.of("no-positive-factor", "fewer positive load factors than asked for")
    raise Incomplete.of("shift-failed", "no shift just above the wanted load factors was found")


def _next(counts: dict[float, int], low: float, high: float, target: float) -> float:
    """The next shift, by a line through two counts.

    Of a shell's load factors the number below s grows about in proportion to the distance from the first, when they
    are few, and like its root, when they are many: then the line goes through the squares.
    """
    some = [s for s in (low, high) if counts.get(s)]
    if len(some) < 2:
        some = sorted(sorted((s for s, m in counts.items() if m), key=lambda s: abs(counts[s] - target))[:2])
    line = math.nan
    if len(some) == 2 and counts[some[1]] > counts[some[0]]:
        power = 1 if counts[some[1]] <= _MANY else 2
        (a, m), (b, n) = ((s, counts[s] ** power) for s in some)
        line = a + (target**power - m) * (b - a) / (n - m)
    known = not math.isnan(line)
    if math.isinf(high):
        tried = len(counts)
        if known and tried < 6:
            return min(max(line, low * 1.0005), low * 1.05)
        return low * 1.02 ** min(2**tried, 1000)
    if low == 0.0:
        return max(line, 0.75 * high) if known else (0.94 if counts[high] > _MANY else 0.975) * high
    width = high - low
    if not known or not low < line < high or len(counts) % 6 == 0:  # now and then the bracket is halved
        return low + width * (0.5 if counts[low] or counts[high] < 4 * target else 0.3)
    return min(max(line, low + 0.02 * width), high - 0.02 * width)


def _below(pencil: _Pencil, factor: Factor, shift: float) -> tuple[np.ndarray, np.ndarray]:
    """All load factors (m,) between 0 and the shift, rising, and their modes (n, m)."""
    if pencil.K.shape[0] <= _DENSE:
        theta, x = eigh(pencil.G.toarray(), pencil.K.toarray())
        x = x[:, theta * shift > 1]
    else:
        x = shapes_below(pencil.G, factor, shift)
    found = refined(pencil.K, pencil.G, factor, x, RESIDUAL)
    inside = (found.values > 0) & (found.values < shift)
    values, x, KX = found.values[inside], found.modes[:, inside], found.KX[:, inside]
    residual = found.residual[inside]
    product = x.T @ KX
    sound = (residual < RESIDUAL) & (np.abs(product - np.eye(len(values))).max(axis=0, initial=0.0) < _ALIKE)
    if np.count_nonzero(sound) != factor.negative:
        raise Incomplete.of(
            "count-mismatch",
            f"{np.count_nonzero(sound)} load factors found and checked, {factor.negative} exist "
            f"below {shift:.6g}: withheld",
            got=f"largest residual {residual.max(initial=0.0):.0e}",
        )
    return values, x
