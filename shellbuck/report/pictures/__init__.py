"""Pictures of barrels, meshes and modes, drawn by a process of its own. The only door to pyvista (extra "view")."""

from .picture import draw_mesh, draw_mode
from .shape import Piece, Shape, draw_shape, show_shape

__all__ = ["Piece", "Shape", "draw_mesh", "draw_mode", "draw_shape", "show_shape"]
