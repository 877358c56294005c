"""The edges of the case: what they do to the perfect barrel, beside the classical load and never in its place."""

from __future__ import annotations

from dataclasses import replace

from ..errors import Refusal
from ..records import Check
from .state import Part, State

SHAPES = 10
"""Lowest membrane modes handed over with their shapes."""


def edge_loads(state: State) -> Part:
    """Ritz loads of the case's edges at the minimum pressure; nothing when the case does not name its edges."""
    if state.case.barrel.edges is None:
        return Part()
    from ..agree import (  # the engine and its sparse solver load only when asked for
        edge_effect,
        refuse_yield,
        ritz_barrel,
    )

    try:
        refuse_yield(state.case, state.wall, state.load)
    except Refusal as refusal:
        text = f"no load of the edges: {refusal.problems[0].sentence()}"
        return Part(checks=(Check("pressure-beyond-yield", "warned", text, state.load.name),))
    pressure = state.load.p_min
    effect = state.engines.kept(("edges", state.temperature, pressure), lambda: edge_effect(
        ritz_barrel(state.case, state.wall, state.temperature), pressure=pressure, shapes=SHAPES
    ))  # fmt: skip
    both = effect.membrane, effect.nonlinear
    loads = tuple(replace(load, name=f"edges {effect.edges}, {load.name}") for load in both)
    text = f"edges {effect.edges}: {effect.words}; shown beside, not credited"
    source = "own Rayleigh-Ritz engine; SP-8007 Rev 2, 4.1.2.1 (clamped benefit)"
    return Part(loads=loads, checks=(Check("edge-effect", "passed", text, state.load.name, source),))
