"""Rayleigh-Ritz on smeared walls: any edges, membrane or nonlinear axisymmetric prebuckling."""

from .barrel import RitzBarrel
from .bending import pure_bending
from .edges import EDGE_SETS, Edges
from .external import external_pressure
from .solve import membrane, nonlinear
from .torsion import torsion

__all__ = [
    "EDGE_SETS", "Edges", "RitzBarrel", "external_pressure", "membrane", "nonlinear", "pure_bending",
    "torsion",
]
