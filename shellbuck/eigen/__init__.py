"""Certified lowest load factors of K x = lambda G x: factor, shift, count."""

from .factor import Factor, factorise, positive_definite
from .lowest import LowestPairs, count_below, lowest_pairs

__all__ = ["Factor", "LowestPairs", "count_below", "factorise", "lowest_pairs", "positive_definite"]
