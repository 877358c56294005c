"""The edges command."""

from __future__ import annotations

import click

from ..compare import edge_effects
from ..compare.edges import path_words
from ..io import read_case
from ..report.text.display import DISPLAYS
from .output import printable


def print_edges(case: str, held: tuple[str, ...], theory: str, units: str) -> None:
    """Print one line an edge set, as each is found."""
    display = DISPLAYS[units]
    file = read_case(case)
    click.echo(f"{printable(file.case.identity.title)}: net line loads, {theory} kinematics, no knockdown")
    click.echo("the empirical knockdown belongs to the classical load; clamped benefit is not credited")
    barrel = file.case.barrel
    if any(barrel.springs) or barrel.single_rings:
        click.echo("the case's springs and single rings stay; a spring on what a set holds has nothing to do")
    before = None
    for load_case, effect in edge_effects(file.case, held, theory=theory):
        if load_case != before:
            before = load_case
            classical = effect.classical
            click.echo(f"\n{printable(before)}; {classical.pressure_treatment}")
            click.echo(
                f"  classical (SS3, membrane, n = 1 left out)  {display.shown(classical.line_load, 'line load', 5)}"
                f"  (m, n) = ({classical.m}, {classical.n})"
            )
        bent = effect.nonlinear
        held = "nothing lost up to " if bent.path.status == "no bifurcation" else ""
        nonlinear = f"{held}{display.shown(bent.line_load, 'line load', 5)}{'' if held else f' (n = {bent.n})'}"
        click.echo(
            f"  {effect.edges:4}  membrane {display.shown(effect.membrane.line_load, 'line load', 5)} "
            f"(n = {effect.membrane.n}, {effect.membrane.near_tie_count} more below 1.2)  with edge bending {nonlinear}"
        )
        click.echo(f"        {effect.change}")
        click.echo(f"        {path_words(bent, lambda load: display.shown(load, 'line load', 5))}")
