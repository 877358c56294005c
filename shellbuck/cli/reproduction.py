"""How to repeat a run: the command as it was given, and when it ran."""

from __future__ import annotations

import os
import shlex
from datetime import UTC, datetime

import click

from .output import printable


def command_line() -> str:
    """The command that runs, with every option that was given; a text for a shell."""
    given = click.get_current_context().find_root().obj
    return printable(shlex.join(("shellbuck", *(given or ()))))


def run_time() -> str:
    """Date and time of the run in UTC; SOURCE_DATE_EPOCH, where it is set, makes pages repeatable to the byte."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    moment = datetime.fromtimestamp(int(epoch), UTC) if epoch.isdecimal() else datetime.now(UTC)
    return moment.strftime("%Y-%m-%d %H:%M UTC")
