"""The page that takes the place of an old one when a run ends without a result."""

from __future__ import annotations

from ... import __version__
from ...core.errors import EXIT_INCOMPLETE, EXIT_REFUSED, ShellbuckError
from .html import filled


def refused_page(error: ShellbuckError, name: str) -> str:
    """A page that holds no margins and says why.

    Parameters
    ----------
    error : ShellbuckError
    name : str
        Of the page.
    """
    word = {EXIT_REFUSED: "refused", EXIT_INCOMPLETE: "incomplete"}.get(error.exit_status, "failed")
    return filled(
        "refused.html", word=word, status=error.exit_status, problems=error.problems, name=name, version=__version__
    )
