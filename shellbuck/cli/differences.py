"""What has changed since an earlier run, on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.table import Table
from rich.text import Text

from ..core.records import Result
from ..io.earlier import Earlier
from ..io.language.stack_file import StackFile
from ..io.stacks import EarlierStack, by_turn
from ..report.text.display import STATUS_MARK
from ..report.text.margin_rows import change_text, differences, told
from .output import printable
from .screen import Screen

_MOST_LINES = 60


def print_differences(result: Result, earlier: Earlier) -> None:
    """Verdict then and now, and every row that is not as it was."""
    console = Screen()
    _print_head(console, earlier)
    if not _print_verdict(console, (result.verdict.word, result.verdict.exit_status), earlier):
        console.print(Text(printable(f"was: {earlier.text}")))
    _print_rows(console, result, earlier)


def print_stack_differences(
    stack: StackFile, results: Sequence[Result], verdict: tuple[str, int], earlier: EarlierStack
) -> None:
    """Verdict of a stack then and now, and every row of its barrels that is not as it was."""
    console = Screen()
    _print_head(console, earlier)
    _print_verdict(console, verdict, earlier)
    now = dict(zip(by_turn([one.barrel.case for one in stack.barrels]), results, strict=True))
    for key in dict.fromkeys((*now, *earlier.barrels)):
        console.print(Text(printable(key[0]), style="bold"))
        if key not in now:
            console.print("this barrel is gone")
        elif key not in earlier.barrels:
            console.print("this barrel is new")
        else:
            _print_rows(console, now[key], earlier.barrels[key])


def _print_head(console: Screen, earlier: Earlier | EarlierStack) -> None:
    console.print()
    console.print(Text(printable(f"against {earlier.name} (shellbuck {earlier.version})"), style="bold"))


def _print_verdict(console: Screen, verdict: tuple[str, int], earlier: Earlier | EarlierStack) -> bool:
    """Say whether it is as before, and return that."""
    same = (earlier.word, earlier.exit_status) == verdict
    if same:
        console.print(f"verdict as before: {verdict[0]}")
    else:
        console.print(Text(f"VERDICT CHANGED: was {earlier.word}, is {verdict[0]}", style="bold yellow"))
    return same


def _print_rows(console: Screen, result: Result, earlier: Earlier) -> None:
    found = differences(result, earlier)
    rows = sum(len(case.margins) for case in result.load_cases)
    if not found:
        console.print(f"no margin changed: {rows} rows as before")
        return
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    for name in ("failure mode", "load case", "was", "is", "change"):
        table.add_column(name, overflow="fold")
    for one in found[:_MOST_LINES]:
        was, now = (told(row, STATUS_MARK) for row in (one.was, one.now))
        table.add_row(one.mode, Text(printable(one.load_case)), was, now, change_text(one))
    console.print(table)
    counts = [(kind, sum(one.kind == kind for one in found)) for kind in ("status", "appeared", "gone", "margin")]
    named = {"status": "of another status", "appeared": "appeared", "gone": "gone", "margin": "with another margin"}
    words = ", ".join(f"{count} {named[kind]}" for kind, count in counts if count)
    more = f"; {len(found) - _MOST_LINES} more than shown, all by --margins FILE" if len(found) > _MOST_LINES else ""
    console.print(f"{len(found)} differences: {words}{more}")
