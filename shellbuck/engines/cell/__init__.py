"""The endless stiffened wall: buckling loads of one cell that repeats with two phases."""

from .loads import CellLoad, LineLoads, LoadedCell, cell_loads
from .meshing import Fineness, mesh_cell
from .shapes import Cell, CellRib, OrthogridCell, StringerCell, TriangleCell

__all__ = [
    "Cell",
    "CellLoad",
    "CellRib",
    "Fineness",
    "LineLoads",
    "LoadedCell",
    "OrthogridCell",
    "StringerCell",
    "TriangleCell",
    "cell_loads",
    "mesh_cell",
]
