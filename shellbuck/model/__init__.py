"""What a barrel is: frozen, checked, SI. The wall kinds are in `walls`."""

from .barrel import Barrel, EdgeSprings, SingleRing
from .case import Case, CheckedElsewhere, Identity
from .loads import FACTOR_SETS, Factors, LoadCase
from .material import ROOM_TEMPERATURE, Material, MaterialPoint
from .policy import (
    AllowableKnockdown,
    OwnKnockdown,
    Policy,
    PostBuckledSkin,
    Reason,
    SecondOpinion,
    SectionCrippling,
    WeldLandLoss,
)
from .welds import WeldLands

__all__ = [
    "FACTOR_SETS",
    "ROOM_TEMPERATURE",
    "AllowableKnockdown",
    "Barrel",
    "Case",
    "CheckedElsewhere",
    "EdgeSprings",
    "Factors",
    "Identity",
    "LoadCase",
    "Material",
    "MaterialPoint",
    "OwnKnockdown",
    "Policy",
    "PostBuckledSkin",
    "Reason",
    "SecondOpinion",
    "SectionCrippling",
    "SingleRing",
    "WeldLandLoss",
    "WeldLands",
]
