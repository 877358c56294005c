"""A load case by its name, and the barrel with the edges of the command line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from ..core.errors import Refusal
from .output import printable

if TYPE_CHECKING:
    from ..model import Case, LoadCase


def load_case_named(case: Case, name: str | None) -> LoadCase:
    """The named load case, the first without a name.

    Raises
    ------
    Refusal
        When there is none of that name.
    """
    if name is None:
        return case.load_cases[0]
    for load in case.load_cases:
        if load.name == name:
            return load
    names = "; ".join(printable(load.name) for load in case.load_cases)
    raise Refusal.of("load-case-unknown", "no such load case", "--load-case", printable(name), names)


def say_left_out(loads: Iterable[LoadCase]) -> None:
    """Say which loads of load cases the engines leave out, which take axial compression alone."""
    for load in loads:
        if acts := load.beyond_axial:
            what = " and ".join(acts)
            click.echo(f"{printable(load.name)}: {what} left out here; the margins of `shellbuck run` include them")


def ritz_of(case: Case, load: LoadCase, edges: str | None, theory: str) -> object:
    """The Ritz barrel of a case: with `edges` at both ends, else with its own edges."""
    from ..compare import problem_of, refuse_yield
    from ..engines.ritz import RitzBarrel
    from ..model.walls import build_wall

    wall = build_wall(case, load.temperature)
    refuse_yield(case, wall, load)
    return RitzBarrel.of(problem_of(case, wall, load.temperature, held=edges, theory=theory))
