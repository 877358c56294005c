"""Loads and capacities to margins with their trail."""

from .chain import assess
from .meshed import checked_by_mesh

__all__ = ["assess", "checked_by_mesh"]
