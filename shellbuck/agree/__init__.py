"""One case by several engines."""

from .edges import EdgeEffect, edge_effect, edge_effects, ritz_barrel

__all__ = ["EdgeEffect", "edge_effect", "edge_effects", "ritz_barrel"]
