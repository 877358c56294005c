"""The edges of the case: what they do to the perfect barrel, beside the classical load.

Of eccentric walls the load with edge bending may become official, see `prebuckled`.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from ..core.errors import Refusal
from ..core.records import Check, Load
from .findings import Story
from .state import State

if TYPE_CHECKING:
    from ..compare import EdgeEffect
    from ..engines.problem import BucklingProblem

SHAPES = 10
"""Lowest membrane modes handed over with their shapes."""


def edge_loads(state: State) -> Story:
    """Ritz loads of the case's edges at the minimum pressure; nothing when the case does not name its edges."""
    if state.case.barrel.edges is None:
        return Story()
    from ..compare import refuse_yield  # the engine and its sparse solver load only when asked for

    try:
        refuse_yield(state.case, state.wall, state.load)
    except Refusal as refusal:
        text = f"no load of the edges: {refusal.problems[0].sentence()}"
        return Story(checks=(Check("pressure-beyond-yield", "warned", text, state.load.name),))
    effect = case_effect(state)
    both = effect.membrane, effect.nonlinear
    loads = tuple(replace(load, name=f"edges {effect.edges}, {load.name}") for load in both)
    text = f"edges {effect.edges}: {effect.words}; shown beside, not credited"
    source = "own Rayleigh-Ritz engine; SP-8007 Rev 2, 4.1.2.1 (clamped benefit)"
    return Story(loads=loads, checks=(Check("edge-effect", "passed", text, state.load.name, source),))


def case_effect(state: State) -> EdgeEffect:
    """Loads of the case's edges, each state solved once."""
    from ..compare import edge_effect, problem_of
    from ..engines.problem import Effort

    pressure, effort = state.load.p_min, Effort(SHAPES)
    return state.engines.kept(
        ("edges", state.temperature, pressure),
        lambda: edge_effect(problem_of(state.case, state.wall, state.temperature, pressure=pressure, effort=effort)),
    )


def named(barrel: BucklingProblem, load: Load) -> Load:
    """A load of the case's edges under the name that it has among the loads of the load case."""
    from ..compare.edges import short_edges

    return replace(load, name=f"edges {short_edges(barrel)}, {load.name}")
