"""Pictures of barrels, meshes and modes, drawn by a process of its own. The only door to pyvista (extra "view")."""

from .draw import draw_mesh, draw_mode, draw_shape, show_shape

__all__ = ["draw_mesh", "draw_mode", "draw_shape", "show_shape"]
