"""The terminal that tables are printed on."""

from __future__ import annotations

from rich.console import Console


class Screen(Console):
    """The terminal, in lines that wrap.

    A reader that closes the pipe is no negative margin: rich by itself would leave with status 1.
    """

    def __init__(self) -> None:
        super().__init__(highlight=False, soft_wrap=False)

    def on_broken_pipe(self) -> None:
        """Leave it to the one place where errors become exit statuses."""
        raise BrokenPipeError
