"""Walls: one module a kind, found here by the word of a case file; their smeared stiffness and their mass."""

from .build import build_wall
from .given import GivenStiffness
from .height import bends, centroid_height, eccentric, load_height
from .laminate import Laminate, Ply, PlyMaterial
from .mass import WallMass, weigh
from .orthogrid import Orthogrid
from .plain import PlainWall
from .stiffened import StiffenedWall, Stiffeners
from .stiffness import RibFamily, Skin, SmearedWall, rib_stiffness, sheet_stiffness
from .triangular import TriangularGrid
from .wall import Ribs, Side, SkinField, Wall

WALLS: dict[str, type[Wall]] = {
    cls.kind: cls for cls in (PlainWall, TriangularGrid, Orthogrid, StiffenedWall, GivenStiffness, Laminate)
}

__all__ = [
    "WALLS",
    "GivenStiffness",
    "Laminate",
    "Orthogrid",
    "PlainWall",
    "Ply",
    "PlyMaterial",
    "RibFamily",
    "Ribs",
    "Side",
    "Skin",
    "SkinField",
    "SmearedWall",
    "StiffenedWall",
    "Stiffeners",
    "TriangularGrid",
    "Wall",
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
