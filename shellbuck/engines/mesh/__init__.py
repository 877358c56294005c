"""Meshes of barrels with ribs as they are: nodes and quadrilaterals as arrays."""

from .build import Size, build_mesh, mesh_size
from .drawing import shape_of
from .elevate import from_quads
from .mesh import Mesh
from .plan import LEAST, Plan, choose_divisions, review_divisions
from .shapes import WHOLE, Blades, Divisions, Extent, StraightRibs, TriangularRibs

__all__ = [
    "LEAST",
    "WHOLE",
    "Blades",
    "Divisions",
    "Extent",
    "Mesh",
    "Plan",
    "Size",
    "StraightRibs",
    "TriangularRibs",
    "build_mesh",
    "choose_divisions",
    "from_quads",
    "mesh_size",
    "review_divisions",
    "shape_of",
]
