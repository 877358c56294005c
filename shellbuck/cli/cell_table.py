"""Local buckling of one repeating cell beside the handbook's coefficients, as lines of text."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import click

from .output import printable, tell
from .selection import load_case_named

if TYPE_CHECKING:
    from ..compare.cells import Coefficient, WallCell
    from ..engines.cell import LineLoads
    from ..engines.cell.search import Lowest
    from ..report.text.display import Display

_CLEARLY = 0.98
"""Of the local load: a free load below it is said."""


def print_cell(case: str, load_case: str | None, interaction: bool, curved: bool, units: str) -> None:
    """Print every line load alone, held lines and free, the load case's own ratio, and interaction curves."""
    from ..compare import cells, refuse_yield
    from ..io import read_case
    from ..report.text.display import DISPLAYS

    display = DISPLAYS[units]
    file = read_case(case)
    load = load_case_named(file.case, load_case)
    of = cells.cell_of(file.case, load.temperature)
    refuse_yield(file.case, of.wall, load)
    radius = file.case.barrel.middle_radius if curved else None
    shape = f"curved, radius {display.shown(radius, 'length')}" if curved else "flat"
    click.echo(
        f"{printable(file.case.identity.title)}: one cell of an endless wall, {shape}, elastic, ribs as plates "
        "from the skin's surface; no knockdown"
    )
    if of.left_out:
        click.echo(f"left out: {of.left_out}")
    click.echo("\nlocal: the skin is held in w along the ribs; lowest over both phases")
    local = {}
    for state in cells.alone(of, radius=radius, tell=tell):
        local[state.name] = state.lowest.load.factor
        _print_state(state.name, state.lowest, (state.field, state.rib), of, display)
    click.echo("\nwithout held lines: wavelengths up to 4 pockets; longer ones belong to general instability")
    for state in cells.alone(of, held=False, radius=radius, tell=tell):
        _print_state(state.name, state.lowest, (), of, display)
        if state.lowest.load.factor < _CLEARLY * local[state.name]:
            click.echo(
                "            below the local load: the ribs bend in waves of few pockets, between local and general"
            )
    grows, fixed = cells.loads_of(file.case, load)
    click.echo(f"\n{printable(load.name)}: limit line loads at the peak fibre grow together")
    if grows is None:
        click.echo("  nothing to buckle the wall: no compression and no shear")
    else:
        click.echo(f"  {_line(grows, display)}")
        if fixed is not None:
            click.echo(f"  held fixed: hoop tension of the minimum pressure, {display.shown(-fixed.hoop, 'line load')}")
        found = cells.of_load_case(of, grows, fixed, radius=radius, tell=tell)
        click.echo(
            f"  local buckling at {found.load.factor:.4g} times limit load (no factor of safety), {_where(found, of)}"
        )
    if interaction:
        for second in ("N_theta", "N_xtheta"):
            click.echo(f"\nlocal: N_x with {second}; lowest over both phases, not counted")
            for loads, found in cells.interaction_curve(of, "N_x", second, tell=tell):
                click.echo(f"  {_line(loads, display)}, {_where(found, of, counted=False)}")


def _print_state(
    name: str, lowest: Lowest, coefficients: tuple[Coefficient | None, ...], of: WallCell, display: Display
) -> None:
    click.echo(f"  {name:9} {display.shown(lowest.load.factor, 'line load', 5):>13}, {_where(lowest, of)}")
    for one in coefficients:
        if one is not None:
            beside = "; ".join(f"{what} {value:.4g}" for what, value in one.handbook)
            click.echo(f"            {one.symbol} = {one.value:.4g}{f' ({beside})' if beside else ''}")


def _where(found: Lowest, of: WallCell, *, counted: bool = True) -> str:
    from ..engines.cell import StringerCell

    x, y = (math.degrees(math.remainder(p, 2 * math.pi)) + 0.0 for p in found.phases)
    if isinstance(of.cell, StringerCell):
        half = found.half_wave * of.cell.length
        along = f"half-waves of {half:.4g} m" if math.isfinite(half) else "no waves along the axis"
        place = f"{along}, stringer to stringer {abs(y):.0f} deg"
    else:
        place = f"phases ({x:.0f}, {y:.0f}) deg"
    copies = f", {found.load.multiplicity} modes" if found.load.multiplicity > 1 else ""
    share = f"{100 * found.skin_share:.0f} % of the strain energy in the skin"
    return f"{place}{copies}, {share}" + (
        f"; none lower at {found.counted} pairs of phases (counts)" if counted else ""
    )


def _line(loads: LineLoads, display: Display) -> str:
    parts = (("N_x", loads.axial), ("N_theta", loads.hoop), ("N_xtheta", loads.shear))
    return ", ".join(f"{name} {display.shown(value, 'line load')}" for name, value in parts if value)
