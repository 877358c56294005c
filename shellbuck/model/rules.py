"""Refusals as rules: a code, where it is broken, and words that are made only where somebody reads them.

One design raises the words, many designs take the masks: what is refused is written once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import numpy as np

from ..core.errors import Problem


class Rule(NamedTuple):
    """One reason for a refusal.

    Parameters
    ----------
    code : str
    broken : bool or numpy.ndarray
        For one design, or (N,).
    words : callable
        The further fields of the `Problem`: what, where, got, allowed, way out.
    """

    code: str
    broken: Any
    words: Callable[[], tuple[str, ...]]


Rules = Iterator[Rule | Problem]
"""What is refused; a `Problem` is what no other number can mend."""


def worded(rules: Rules) -> Iterator[Problem]:
    """The problems of one design."""
    for rule in rules:
        if isinstance(rule, Problem):
            yield rule
        elif rule.broken:
            yield Problem(rule.code, *rule.words())


def larger(a: Any, b: Any) -> Any:
    """The larger of two numbers, or of numbers and arrays (N,)."""
    return np.maximum(a, b) if np.ndim(a) or np.ndim(b) else max(a, b)


def smaller(a: Any, b: Any) -> Any:
    """The smaller of two numbers, or of numbers and arrays (N,)."""
    return np.minimum(a, b) if np.ndim(a) or np.ndim(b) else min(a, b)
