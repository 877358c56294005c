"""One case by several engines."""

from .edges import EdgeEffect, edge_effect, edge_effects, refuse_yield, ritz_barrel

__all__ = ["EdgeEffect", "edge_effect", "edge_effects", "refuse_yield", "ritz_barrel"]
