"""Margins of many designs of one pattern at once."""

from ...model.arrays import design
from .designs import Batch, chunks, evaluate

__all__ = ["Batch", "chunks", "design", "evaluate"]
