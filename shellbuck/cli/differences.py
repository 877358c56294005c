"""What has changed since an earlier run, on the terminal."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from ..core.records import Result
from ..io.earlier import Earlier
from ..report.text.display import STATUS_MARK
from ..report.text.margin_rows import change_text, differences, told
from .output import printable
from .screen import Screen

_MOST_LINES = 60


def print_differences(result: Result, earlier: Earlier) -> None:
    """Verdict then and now, and every row that is not as it was."""
    console = Screen()
    console.print()
    console.print(Text(printable(f"against {earlier.name} (shellbuck {earlier.version})"), style="bold"))
    same = (earlier.word, earlier.exit_status) == (result.verdict.word, result.verdict.exit_status)
    if same:
        console.print(f"verdict as before: {result.verdict.word}")
    else:
        console.print(Text(f"VERDICT CHANGED: was {earlier.word}, is {result.verdict.word}", style="bold yellow"))
        console.print(Text(printable(f"was: {earlier.text}")))
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
