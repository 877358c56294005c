"""Margins of many designs of one pattern at once."""

from .arrays import design
from .designs import Batch, chunks, evaluate

__all__ = ["Batch", "chunks", "design", "evaluate"]
