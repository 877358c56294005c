"""Loads and capacities to margins with their trail."""

from .chain import assess

__all__ = ["assess"]
