"""The commands by the user they serve; each is a module that is loaded when it runs."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from inspect import cleandoc
from typing import Any

import click

from ..core.errors import Problem, Refusal

GROUPS: dict[str, dict[str, str]] = {
    "Stress analyst": {
        "start": "Write a commented case file to start from, or a sizing or study file.",
        "check": "Read a case file and report every problem in it, without a run.",
        "run": "Compute the margins of a case, or of one point of a study.",
        "stack": "Margins by station of a barrel cut along its length, or of a stack of barrels.",
        "modes": "Loads and modes of the perfect barrel: the lowest modes, the effect of its edges, engines compared.",
    },
    "Researcher": {
        "size": "Find the lightest wall of one pattern with no negative margin in any load case.",
        "patterns": "Compare patterns, each at its own optimum: grid, stringers or thin pressurised sheet?",
        "study": "Vary inputs of a case, or draw a map of its margins; interruptible and resumable.",
    },
    "Reviewer": {
        "figures": "Write every figure of a case as a file, with its data.",
        "picture": "Draw a mode, the forces before buckling or the mesh, as a PNG or in an interactive 3D view.",
        "beside": "Put two saved report pages side by side: inputs, margins, modes.",
    },
    "Help": {"explain": "Explain a term or message, list metals and factors, or write the reference pages."},
}
"""User -> command -> its purpose in one sentence."""

PURPOSES = {name: purpose for commands in GROUPS.values() for name, purpose in commands.items()}

RENAMED = {
    "agree": "modes CASE --compare engines",
    "edges": "modes CASE --compare edges",
    "factors": "explain factors",
    "look": "picture CASE --window",
    "map": "study CASE --map KIND --to FOLDER",
    "materials": "explain materials",
    "point": "run FOLDER --point NUMBER",
}
"""Commands of earlier versions and the command lines that replace them."""


class Commands(click.Group):
    """The commands, listed by user; a module is loaded for the command that runs, or for its own help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(PURPOSES)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name in RENAMED:
            way_out = f"use shellbuck {RENAMED[cmd_name]}"
            raise Refusal(Problem("command-renamed", "this command has a new name", "", cmd_name, "", way_out))
        return import_module(f".{cmd_name}", __package__).command if cmd_name in PURPOSES else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list from the table above, so that no command is loaded for it."""
        for user, commands in GROUPS.items():
            with formatter.section(user):
                formatter.write_dl(list(commands.items()))


def user_command(name: str, more: str = "") -> Callable[[Callable[..., Any]], click.Command]:
    """Declare a command: its help is its purpose, and what follows it."""
    return click.command(name, help=f"{PURPOSES[name]}\n\n{cleandoc(more)}".strip())


def units(of: str) -> Callable[[Any], Any]:
    """The option of the units in which something is shown."""
    return click.option("--units", type=click.Choice(["si", "us"]), default="si", help=f"Units of {of}.")


FORCE = click.option("--force", is_flag=True, help="Replace existing files of the same names.")
CASE_FILE = click.argument("case", type=click.Path())
WORKERS = click.option(
    "--workers", type=click.IntRange(1, 1024), help="Processes on this machine.  [default: one per core]"
)
