"""The check command."""

from __future__ import annotations

import click

from .commands import CASE_FILE, user_command
from .output import printable


@user_command("check")
@CASE_FILE
def command(case: str) -> None:
    """Read a case; every problem is raised at once."""
    from ..io import read_case

    found = read_case(case).case
    count = len(found.load_cases)
    article = "an" if found.wall.kind[0] in "aeiou" else "a"
    click.echo(
        f"{printable(case)}: {article} {found.wall.kind} wall with {count} load case{'s' if count != 1 else ''}; "
        "no problem found"
    )
