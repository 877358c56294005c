"""The closed form as an engine."""

from __future__ import annotations

from ...core.engine_records import Load
from ..problem import BucklingProblem, Engine, at_once
from .search import lowest


def _classical(problem: BucklingProblem) -> Load:
    return lowest(problem.wall, problem.R, problem.L, problem.hoop_tension, theory=problem.theory)


ENGINES = {"closed form": Engine("closed form", at_once(_classical), edges=("SS3",))}
