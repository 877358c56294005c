"""The patterns of every wall kind by their names."""

from __future__ import annotations

import difflib
from dataclasses import replace

from ..core.errors import Refusal
from ..model.demand import Demand
from ..model.shop import Pattern
from ..model.walls import WALLS

PATTERNS: dict[str, Pattern] = {p.name: p for kind in WALLS.values() for p in kind.patterns()}
"""Every pattern by its name."""

COMPARED = tuple(name for name, pattern in PATTERNS.items() if pattern.compared)
"""Patterns of a comparison that names none."""


def pattern_named(name: str) -> Pattern:
    """A pattern by its name.

    Raises
    ------
    Refusal
        When there is none; the message names the nearest.
    """
    if name in PATTERNS:
        return PATTERNS[name]
    near = difflib.get_close_matches(name, PATTERNS, 1, 0.4)
    way_out = f"did you mean {near[0]}?" if near else ""
    raise Refusal.of("pattern-unknown", "no such pattern", "--pattern", name[:60], ", ".join(PATTERNS), way_out)


def fitted(pattern: Pattern, demand: Demand) -> Pattern:
    """The pattern with the sections that the demand asks for in its title."""
    chosen = [(family, demand.sections[family]) for family in pattern.families]
    words = [f"{family}: {section.words}" for family, section in chosen if section.section != "blade"]
    return replace(pattern, title=f"{pattern.title} ({'; '.join(words)})") if words else pattern
