"""From dimensions to the smeared stiffness, the rib families and the mass of a wall."""

from .build import build_wall
from .height import bends, centroid_height, eccentric, load_height
from .mass import WallMass, weigh
from .stiffness import RibFamily, Skin, SmearedWall, rib_stiffness, sheet_stiffness

__all__ = [
    "RibFamily",
    "Skin",
    "SmearedWall",
    "WallMass",
    "bends",
    "build_wall",
    "centroid_height",
    "eccentric",
    "load_height",
    "rib_stiffness",
    "sheet_stiffness",
    "weigh",
]
