"""Certified lowest load factors of K x = lambda G x: factor, shift, count."""

from .banded import lowest_banded, nearest_mode, positive_definite
from .factor import Factor, factorise
from .lowest import LowestPairs, count_below, lowest_pairs

__all__ = [
    "Factor", "LowestPairs", "count_below", "factorise", "lowest_banded", "lowest_pairs", "nearest_mode",
    "positive_definite",
]  # fmt: skip
