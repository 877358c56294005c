"""Options that name a file to write: the suffix states its content, and a wrong one is refused before any work."""

from __future__ import annotations

from pathlib import Path

import click

from ..core.errors import Refusal


class Target(click.Path):
    """A file to write, of one of these suffixes.

    Parameters
    ----------
    suffixes : str
        Allowed ones, the usual one first.
    dash : bool
        Whether - is the terminal.
    """

    def __init__(self, *suffixes: str, dash: bool = False):
        super().__init__(allow_dash=dash)
        self.suffixes, self.dash = suffixes, dash

    def get_metavar(self, param: click.Parameter, ctx: click.Context | None = None) -> str:
        """Placeholder of the value in the help."""
        return f"FILE{self.suffixes[0]}" + ("|-" if self.dash else "")

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The name as given.

        Raises
        ------
        Refusal
            "file-suffix".
        """
        name = super().convert(value, param, ctx)
        suffix = Path(name).suffix
        if (self.dash and name == "-") or suffix.lower() in self.suffixes:
            return name
        option = param.opts[-1] if param is not None else ""
        allowed = " or ".join(self.suffixes) + (", or - for the terminal" if self.dash else "")
        better = f"{name.removesuffix(suffix)}{self.suffixes[0]}" if Path(name).stem.strip(".-") else ""
        what = f"a file name that ends in {suffix}" if suffix else "a file name without a suffix"
        raise Refusal.of("file-suffix", what, option, name[:200], allowed, better and f"use {option} {better}")


PAGE = Target(".html", ".htm")
PDF = Target(".pdf")
JSON = Target(".json")
JSON_OR_SCREEN = Target(".json", dash=True)
CSV = Target(".csv")
SHEET = Target(".csv", ".xlsx")
PNG = Target(".png")
CASE = Target(".toml")
MESH = Target(".vtu")
