"""One case by several engines."""

from .cases import problem_of, refuse_yield
from .edges import EdgeEffect, edge_effect, edge_effects

__all__ = ["EdgeEffect", "edge_effect", "edge_effects", "problem_of", "refuse_yield"]
