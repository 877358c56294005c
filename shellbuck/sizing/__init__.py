"""Sizing: the lightest wall of a pattern without a negative margin in any load case, and patterns compared."""

from .compare import compare
from .front import SearchOptions, heavier, size
from .patterns import COMPARED, PATTERNS
from .search import Effort

__all__ = ["COMPARED", "PATTERNS", "Effort", "SearchOptions", "compare", "heavier", "size"]
