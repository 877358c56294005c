"""Loads and capacities to margins: of one design with the trail, or of many."""

from .batch import Batch, chunks, evaluate
from .chain import assess
from .meshed import checked_by_mesh

__all__ = ["Batch", "assess", "checked_by_mesh", "chunks", "evaluate"]
