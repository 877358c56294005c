"""Meshes of barrels with ribs as they are: nodes and quadrilaterals as arrays."""

from .mesh import Mesh

__all__ = ["Mesh"]
