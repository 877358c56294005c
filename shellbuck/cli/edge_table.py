"""Effect of boundary conditions on the perfect-shell load, as lines of text."""

from __future__ import annotations

from dataclasses import replace

import click

from .output import printable
from .selection import load_case_named, say_left_out


def print_edges(case: str, load_case: str | None, edges: tuple[str, ...], theory: str, units: str) -> None:
    """Print the loads of every edge set, as each is found."""
    from ..compare import edge_effects
    from ..compare.edges import path_words
    from ..io import read_case
    from ..report.text.display import DISPLAYS

    display = DISPLAYS[units]
    file = read_case(case)
    click.echo(f"{printable(file.case.identity.title)}: net line loads, {theory} kinematics, no knockdown")
    click.echo("the empirical knockdown belongs to the classical load; clamped benefit is not credited")
    barrel = file.case.barrel
    if load_case is not None:
        file = replace(file, case=replace(file.case, load_cases=(load_case_named(file.case, load_case),)))
    say_left_out(file.case.load_cases)
    if any(barrel.springs) or barrel.single_rings:
        click.echo("the case's springs and single rings stay; a spring on a motion that the set fixes has no effect")
    before = None
    for name, effect in edge_effects(file.case, edges, theory=theory):
        if name != before:
            before = name
            classical = effect.classical
            click.echo(f"\n{printable(name)}; {classical.pressure_treatment}")
            click.echo(
                f"  classical (SS3, membrane, n = 1 left out)  {display.shown(classical.line_load, 'line load', 5)}"
                f"  (m, n) = ({classical.m}, {classical.n})"
            )
        bent = effect.nonlinear
        below = "no buckling up to " if bent.path.status == "no bifurcation" else ""
        nonlinear = f"{below}{display.shown(bent.line_load, 'line load', 5)}{'' if below else f' (n = {bent.n})'}"
        click.echo(
            f"  {effect.edges:4}  membrane {display.shown(effect.membrane.line_load, 'line load', 5)} "
            f"(n = {effect.membrane.n}, {effect.membrane.near_tie_count} more below 1.2)  with edge bending {nonlinear}"
        )
        click.echo(f"        {effect.change}")
        click.echo(f"        {path_words(bent, lambda load: display.shown(load, 'line load', 5))}")
