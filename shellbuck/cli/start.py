"""The start command."""

from __future__ import annotations

import shlex
from importlib.resources import files
from pathlib import Path

import click

from .commands import user_command
from .output import printable, refuse_existing, write_text
from .targets import CASE

WALLS = ("plain", "triangular-grid", "stiffened", "orthogrid", "given-stiffness", "laminate")
OTHERS = {"sizing": ("barrel.sizing", "patterns"), "study": ("triangular-grid.study", "study")}
"""What is no case: the file, and the command that takes it."""


@user_command("start", "WALL is plain, triangular-grid, stiffened, orthogrid, given-stiffness or laminate.")
@click.argument("what", metavar="WALL|sizing|study", type=click.Choice((*WALLS, *OTHERS)))
@click.option("--to", "target", type=CASE, help="File to write; without it the text is printed.")
@click.option("--force", is_flag=True, help="Replace an existing file.")
def command(what: str, target: str | None, force: bool) -> None:
    """Write or print the file, and name the command that takes it."""
    name, taken_by = OTHERS.get(what, (what, "run"))
    text = files("shellbuck").joinpath(f"io/starts/{name}.toml").read_text(encoding="utf-8")
    if target is None:
        click.echo(text, nl=False)
        return
    path = Path(target)
    refuse_existing(target, force)
    write_text(path, text)
    shown, page = (shlex.quote(printable(str(p))) for p in (target, path.with_suffix(".html")))
    options = "--to a-folder" if what == "study" else f"--page {page}"
    click.echo(f"written: {printable(target)}\nnext:    shellbuck {taken_by} {shown} {options}")
    if what == "study":
        click.echo("         with the case that it names beside it: shellbuck start triangular-grid --to my.toml")
