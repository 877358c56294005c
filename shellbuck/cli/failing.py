"""How a command ends without a result: a message, a status, and no file left that could be taken for one."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from pathlib import Path

import click

from ..core.errors import EXIT_INTERNAL_ERROR, EXIT_REFUSED, Problem, ShellbuckError
from .output import print_json, printable, write_refusal
from .targeting import mark_old, was_claimed

_NOT_BEGUN = ("command-line", "file-exists", "file-foreign", "file-suffix", "page-reviewed")
"""Refusals before any work, of the command line itself: nothing at its targets is touched."""
LOST = (errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EPIPE, errno.EBADF, errno.EFBIG)
"""Errors of the system where an output cannot be written; files of a command have refusals of their own."""


def internal_error(error: Exception) -> ShellbuckError:
    """An unexpected exception as a failure with its place."""
    trace, place = error.__traceback__, ""
    while trace is not None:
        code = trace.tb_frame.f_code
        if "shellbuck" in code.co_filename:
            place = f"{Path(code.co_filename).name}:{trace.tb_lineno}"
        trace = trace.tb_next
    return ShellbuckError(
        Problem(
            "internal-error",
            "internal error",
            place,
            f"{type(error).__name__}: {error}"[:300],
            "",
            "please report the command and the case file",
        )
    )


def output_lost(error: OSError) -> int:
    """Report on the error stream that the output is not whole; the status is never that of a negative margin."""
    no_more_output()
    failure = ShellbuckError(
        Problem(
            "output-lost",
            f"the output cannot be written ({error.strerror or type(error).__name__})",
            "standard output",
            way_out="what was written is not whole: free some space, keep the reader open, or name a file",
        )
    )
    with contextlib.suppress(OSError, ValueError):
        click.echo(f"failed:\n  {failure.problems[0].sentence()}", err=True)
    return failure.exit_status


def no_more_output() -> None:
    """Send what is still to be written, also at the end of the process, nowhere."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def report(error: ShellbuckError, given: list[str]) -> int:
    """Report the problems, mark the files of an earlier run, and return the exit status."""
    target = json_target(given)
    begun = not any(p.code in _NOT_BEGUN for p in error.problems)
    marked = list(mark_old(error)) if begun else []
    if target == "-":
        from ..io.results import refusal_object

        print_json(refusal_object(error))
        for words in marked:
            click.echo(words, err=True)
        return error.exit_status
    word = {EXIT_REFUSED: "refused", EXIT_INTERNAL_ERROR: "failed"}.get(error.exit_status, "incomplete")
    click.echo(f"{word}:", err=True)
    for problem in error.problems:
        click.echo(f"  {printable(problem.sentence())}", err=True)
    for words in marked:
        click.echo(words, err=True)
    if target is not None and error.exit_status != EXIT_INTERNAL_ERROR and begun and was_claimed(target):
        write_refusal(target, error)
    return error.exit_status


def json_target(given: list[str]) -> str | None:
    """Target of the JSON on the command line, which may get a refusal; None without one."""
    if given[:1] not in (["run"], ["stack"], ["size"], ["patterns"]):
        return None
    target = None  # of several the last counts, as for the command itself
    for i, word in enumerate(given):
        if word == "--json" and i + 1 < len(given):
            target = given[i + 1]
        if word.startswith("--json="):
            target = word.split("=", 1)[1]
    return target
