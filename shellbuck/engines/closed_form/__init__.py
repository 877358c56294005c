"""Simply supported smeared barrel: every mode (m, n) in closed form, Donnell or Sanders."""

from .external import external_pressure
from .loads import Theory, amplitudes, line_loads
from .search import lowest

__all__ = ["Theory", "amplitudes", "external_pressure", "line_loads", "lowest"]
