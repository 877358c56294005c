"""Refusals and failures.

A refusal is an answer: it says what is wrong, where, what was found, what is allowed and the way out.
Numerics and files raise the classes below; only the command line turns them into exit statuses.
"""

from __future__ import annotations

import shlex
import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Self

EXIT_HOLDS = 0
EXIT_NEGATIVE_MARGIN = 1
EXIT_REFUSED = 2
EXIT_INCOMPLETE = 3
EXIT_INTERNAL_ERROR = 4
EXIT_INTERRUPTED = 130


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input.

    Parameters
    ----------
    code : str
        Key of the message catalogue (``shellbuck explain CODE``).
    what : str
        The fault in one clause.
    where : str
        Dotted key of the input, e.g. ``barrel.skin_thickness``.
    got, allowed, way_out : str
        What was found, what would be accepted, and what to do.
    line : int or None
        Line of the case file, where there is one.
    called : str
        Whose key it is, where a position says little: ``load case "pad"``.
    """

    code: str
    what: str
    where: str = ""
    got: str = ""
    allowed: str = ""
    way_out: str = ""
    line: int | None = None
    called: str = ""

    def sentence(self) -> str:
        """The problem as one line of text."""
        place = self.where
        if self.line is not None:
            place = f"line {self.line}, {place}" if place else f"line {self.line}"
        if self.called:
            place = f"{place} ({self.called})".lstrip()
        parts = [f"{place}: {self.what}" if place else self.what]
        if self.got:
            parts.append(f"got {self.got}")
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.way_out:
            parts.append(self.way_out)
        return "; ".join(parts) + f" [{self.code}]"

    def below(self, prefix: str) -> Problem:
        """The same problem, its place written under `prefix`."""
        where = f"{prefix}.{self.where}" if self.where and prefix else prefix or self.where
        return replace(self, where=where)


def install_words(*libraries: str) -> str:
    """The command that adds libraries to the Python in use.

    The libraries are named themselves: an extra of this package is found only where the package is on an index.
    """
    return shlex.join([sys.executable or "python3", "-m", "pip", "install", *libraries])


class ShellbuckError(Exception):
    """Base of every error that shellbuck raises on purpose."""

    exit_status = EXIT_INTERNAL_ERROR

    def __init__(self, problems: Problem | Iterable[Problem]):
        self.problems = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(p.sentence() for p in self.problems))

    @classmethod
    def of(cls, code: str, what: str, where: str = "", got: str = "", allowed: str = "", way_out: str = "") -> Self:
        """The error of one problem, see `Problem`."""
        return cls(Problem(code, what, where, got, allowed, way_out))


class Refusal(ShellbuckError):
    """The input cannot be accepted as it is."""

    exit_status = EXIT_REFUSED


class Incomplete(ShellbuckError):
    """A computation did not converge, or its completeness could not be shown."""

    exit_status = EXIT_INCOMPLETE
