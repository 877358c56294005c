"""Sizing: the lightest wall of a pattern that holds every load case, and patterns side by side."""

from .compare import compare
from .front import SearchOptions, heavier, size
from .patterns import COMPARED, PATTERNS
from .search import Effort

__all__ = ["COMPARED", "PATTERNS", "Effort", "SearchOptions", "compare", "heavier", "size"]
