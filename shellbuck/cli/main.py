"""The command line: the one place where errors become exit statuses."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import sys

import click

from .. import __version__
from ..core.errors import EXIT_INTERRUPTED, Problem, Refusal, ShellbuckError
from .commands import PURPOSES, Commands
from .failing import LOST, internal_error, json_target, no_more_output, output_lost, report
from .targeting import fresh


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Preliminary design aid, not certification. Start with:  shellbuck start plain --to my.toml",
)
@click.version_option(__version__, prog_name="shellbuck")
def shellbuck() -> None:
    """Buckling and strength margins of a tank barrel.

    Exit status: 0 no negative margin, 1 a negative margin, 2 input refused, 3 not complete, 4 internal error,
    130 interrupted by the user.
    """


def entry(arguments: list[str] | None = None) -> None:
    """Console entry point: run the command and exit with its status."""
    sys.exit(main(arguments))


def main(arguments: list[str] | None = None) -> int:
    """Run the command line and return its exit status; nothing escapes as a traceback."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    _never_fail_on_a_character()
    with fresh():
        try:
            return _run(given)
        except BrokenPipeError as error:
            if json_target(given) == "-":
                return output_lost(error)
            no_more_output()
            return 141  # the reader closed the pipe; 128 + SIGPIPE, as a shell would say
        except OSError as error:  # the output failed, or the words about a failure could not be written
            return output_lost(error)


def _run(given: list[str]) -> int:
    try:
        status = shellbuck.main(args=given, prog_name="shellbuck", standalone_mode=False, obj=tuple(given))
        if sys.stdout is not None:
            sys.stdout.flush()
    except SystemExit:  # click leaves with status 1, that of a negative margin, where the reader has closed the pipe
        raise BrokenPipeError(errno.EPIPE, os.strerror(errno.EPIPE)) from None
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.ctx.get_help())
        return 0
    except click.ClickException as error:
        return report(Refusal(_command_line(error, given)), given)
    except ShellbuckError as error:
        return report(error, given)
    except (KeyboardInterrupt, click.Abort):
        click.echo("interrupted", err=True)
        return EXIT_INTERRUPTED
    except Exception as error:
        if isinstance(error, BrokenPipeError) or (isinstance(error, OSError) and error.errno in LOST):
            raise
        return report(internal_error(error), given)
    return status if isinstance(status, int) else 0


def _command_line(error: click.ClickException, given: list[str]) -> Problem:
    """What is wrong with the command line, and the help that explains it."""
    context = getattr(error, "ctx", None)
    known = given[:1] if given[:1] and given[0] in PURPOSES else []
    path = " ".join(["shellbuck", *known]) if context is None else context.command_path
    way_out = f"{path} --help lists {'commands and options' if path == 'shellbuck' else 'its options'}"
    what = " ".join(error.format_message().split()).rstrip(".")
    if isinstance(error, click.NoSuchOption) and re.fullmatch(r"-\d+", error.option_name):
        what = f"{error.option_name} reads as an option, not as a number"
    if path == "shellbuck size" and "'--pattern'" in what:
        way_out = "shellbuck patterns --list lists them"
    if path == "shellbuck study" and "'--to'" in what:
        way_out = "name a folder for it, such as --to a-folder"
    return Problem("command-line", what, "", "", "", way_out)


def _never_fail_on_a_character() -> None:
    """Let a terminal without a character show a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(errors="replace")
