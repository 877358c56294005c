"""The modes command: the lowest membrane modes of the perfect barrel, or every one in the 20 % band."""

from __future__ import annotations

import csv
import io
import time
from pathlib import Path

import click

from ..core.records import ModeShape
from ..io import read_case
from ..report.review.waves import leading_m
from ..report.text.display import DISPLAYS
from .output import keep_apart, printable, try_places, write_text
from .picking import load_case_named, ritz_of

_TRIAL = 20
"""Modes after which the time that is left is told."""


def print_modes(
    case: str, load_case: str | None, held: str | None, theory: str, count: int, every: str | None, units: str
) -> None:
    """Print the lowest modes; write the full list where a file is named."""
    from ..engines import ritz

    display = DISPLAYS[units]
    keep_apart(case, every)
    file = read_case(case)
    try_places(every)
    load = load_case_named(file.case, load_case)
    barrel = ritz_of(file.case, load, held, theory)
    found = ritz.membrane(barrel, pressure=load.p_min, shapes=count)
    total = found.near_tie_count + 1
    click.echo(
        f"{printable(load.name)}: {found.edges}; {theory} kinematics, membrane prebuckling, "
        f"{found.pressure_treatment}, no knockdown"
    )
    click.echo(f"{total} load factors below 1.2 of the lowest, in {len(found.lowest_by_n)} harmonics (inertia counts)")
    for i, shape in enumerate(found.shapes, 1):
        energy = ", ".join(f"{name} {100 * share:.0f} %" for name, share in shape.energy)
        click.echo(
            f"  {i:3}  {display.shown(shape.line_load, 'line load', 6):>15}  n = {shape.n}, m: {leading_m(shape)} "
            f"of w^2  {energy}"
        )
    if every is not None:
        _write_every(ritz.every_mode(barrel, pressure=load.p_min), Path(every))


def _write_every(found: tuple[int, object], target: Path) -> None:
    """The full list as CSV, in SI; how many modes there are is said before any of them is solved."""
    total, modes = found
    click.echo(f"  every mode: {total} of them, to {printable(str(target))}", err=True)
    rows: list[ModeShape] = []
    start = time.monotonic()
    for shape in modes:
        rows.append(shape)
        if len(rows) == _TRIAL and total > _TRIAL:
            left = (time.monotonic() - start) / _TRIAL * (total - _TRIAL)
            click.echo(f"  about {left:.0f} s to go", err=True)
        elif len(rows) % 200 == 0:
            click.echo(f"  {len(rows)} of {total}", err=True)
    rows.sort(key=lambda shape: shape.line_load)
    names = list(dict.fromkeys(name for shape in rows for name, _ in shape.energy))
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["n", "leading m", "share of w^2", "line load [N/m]", *(f"energy share: {name}" for name in names)])
    for shape in rows:
        energy = dict(shape.energy)
        writer.writerow(
            [
                shape.n,
                shape.half_waves,
                f"{shape.half_wave_share:.6g}",
                f"{shape.line_load:.9g}",
                *(f"{energy.get(name, 0.0):.6g}" for name in names),
            ]
        )
    write_text(target, text.getvalue())
    click.echo(f"modes: {printable(str(target))} ({len(rows)} rows)")
