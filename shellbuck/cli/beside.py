"""The beside command: two saved report pages on one."""

from __future__ import annotations

from pathlib import Path

import click

from ..files.pages import read_page
from ..report.beside import beside_page, input_lines, margin_lines, mode_lines
from .output import keep_apart, printable, try_places, write_text


def put_beside(first: str, second: str, target: str) -> int:
    """Write the page and say how much differs."""
    keep_apart(first, target, what="the first page")
    keep_apart(second, target, what="the second page")
    a, b = read_page(first), read_page(second)
    try_places(target)
    write_text(Path(target), beside_page(a, b))
    for name, lines in (("inputs", input_lines), ("margins", margin_lines), ("modes", mode_lines)):
        found = lines(a[0], b[0])
        click.echo(f"{name}: {sum(bool(line.change) for line in found)} of {len(found)} differ")
    click.echo(f"page: {printable(target)}")
    return 0
