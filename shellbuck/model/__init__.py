"""What a barrel is: frozen, checked, SI. Nothing here computes a stiffness or a load."""

from .barrel import Barrel, EdgeSprings, SingleRing
from .case import Case, CheckedElsewhere, Identity
from .loads import FACTOR_SETS, Factors, LoadCase
from .material import ROOM_TEMPERATURE, Material, MaterialPoint
from .policy import OwnKnockdown, Policy, Reason
from .walls import GivenStiffness, Orthogrid, PlainWall, StiffenedWall, Stiffeners, TriangularGrid

__all__ = [
    "FACTOR_SETS",
    "ROOM_TEMPERATURE",
    "Barrel",
    "Case",
    "CheckedElsewhere",
    "EdgeSprings",
    "Factors",
    "GivenStiffness",
    "Identity",
    "LoadCase",
    "Material",
    "MaterialPoint",
    "Orthogrid",
    "OwnKnockdown",
    "PlainWall",
    "Policy",
    "Reason",
    "SingleRing",
    "StiffenedWall",
    "Stiffeners",
    "TriangularGrid",
]
