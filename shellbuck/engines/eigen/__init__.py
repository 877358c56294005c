"""Certified lowest load factors of K x = lambda G x: factor, shift, count."""

from .banded import APART, counts_below, lowest_banded, nearest_mode, positive_definite
from .factor import Factor, factorise
from .lowest import LowestPairs, count_below, lowest_pairs

__all__ = [
    "APART",
    "Factor",
    "LowestPairs",
    "count_below",
    "counts_below",
    "factorise",
    "lowest_banded",
    "lowest_pairs",
    "nearest_mode",
    "positive_definite",
]
