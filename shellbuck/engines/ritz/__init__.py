"""Rayleigh-Ritz on smeared walls: any edges, membrane or nonlinear axisymmetric prebuckling."""

from ..problem import Mix
from ..supports import EDGE_SETS, Edges, HoopRing, Springs
from .barrel import RitzBarrel
from .bending import around, pure_bending
from .combined import external_pressure, proportional, torsion
from .solve import every_mode, membrane, nonlinear

__all__ = [
    "EDGE_SETS",
    "Edges",
    "HoopRing",
    "Mix",
    "RitzBarrel",
    "Springs",
    "around",
    "every_mode",
    "external_pressure",
    "membrane",
    "nonlinear",
    "proportional",
    "pure_bending",
    "torsion",
]
