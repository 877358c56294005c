"""Pictures of meshes and of their modes, drawn by a process of its own. The only door to pyvista (extra "view")."""

from .picture import draw_mesh, draw_mode

__all__ = ["draw_mesh", "draw_mode"]
