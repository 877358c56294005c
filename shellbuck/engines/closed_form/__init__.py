"""Simply supported smeared barrel: every mode (m, n) in closed form, Donnell or Sanders.

`lowest` gives the full record of one design, `lowest_loads` the same minimum for arrays of designs.
"""

from ..problem import Theory
from .batch import Lowest, LowestLoads, lowest_loads, provable
from .external import external_pressure, external_pressures
from .loads import Terms, amplitudes, line_loads
from .search import lowest
from .torsion import torsion, torsions

__all__ = [
    "Lowest",
    "LowestLoads",
    "Terms",
    "Theory",
    "amplitudes",
    "external_pressure",
    "external_pressures",
    "line_loads",
    "lowest",
    "lowest_loads",
    "provable",
    "torsion",
    "torsions",
]
