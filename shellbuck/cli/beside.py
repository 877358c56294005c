"""The beside command: two saved report pages on one."""

from __future__ import annotations

from pathlib import Path

import click

from .commands import FORCE, user_command
from .output import keep_apart, printable, try_places, write_text
from .targeting import claim, written
from .targets import PAGE


@user_command("beside")
@click.argument("first", type=click.Path())
@click.argument("second", type=click.Path())
@click.option("--page", "target", type=PAGE, required=True, help="Page to write (HTML).")
@FORCE
def command(first: str, second: str, target: str, force: bool) -> None:
    """Write the page and report how much differs."""
    from ..io.pages.reader import page_text, read_page
    from ..report.pages.beside import (
        beside_page,
        input_lines,
        margin_lines,
        mass_line,
        mode_lines,
        names_apart,
        reviewed,
    )
    from ..report.review.pairing import paired

    keep_apart(first, target, what="the first page")
    keep_apart(second, target, what="the second page")
    claim(target, force=force)
    a, b = read_page(first), read_page(second)
    try_places(target)
    write_text(Path(target), beside_page(a, b, (reviewed(page_text(first)), reviewed(page_text(second)))))
    written(target)
    for name, lines in (("inputs", input_lines), ("margins", margin_lines), ("modes", mode_lines)):
        found = lines(a[0], b[0], paired(a[1], b[1])) if name == "modes" else lines(a[0], b[0])
        click.echo(f"{name}: {sum(bool(line.change) for line in found)} of {len(found)} differ")
    mass = mass_line(a[1], b[1])
    change = f" ({mass.change})" if mass.change else ""
    click.echo(f"mass per area: {printable(mass.first)}, {printable(mass.second)}{change}")
    if apart := names_apart(a[0], b[0]):
        click.echo(printable(apart))
    click.echo(f"page: {printable(target)}")
