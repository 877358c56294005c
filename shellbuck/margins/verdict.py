"""The outcome of a case in one line: what was checked, what was not, what governs.

Unknown is not satisfied: a mode without a margin that could be worked out is named, and no barrel with one "holds".
"""

from __future__ import annotations

from ..core.errors import EXIT_HOLDS, EXIT_INCOMPLETE, EXIT_NEGATIVE_MARGIN, EXIT_REFUSED
from ..core.records import UNKNOWN, Check, LoadCaseResult, MarginRow, Verdict, shown_margin
from ..model import Case
from .validity import smallest


def verdict(case: Case, cases: tuple[LoadCaseResult, ...], checks: tuple[Check, ...], not_covered: int) -> Verdict:
    """The verdict on a case.

    Parameters
    ----------
    case : Case
    cases : tuple of LoadCaseResult
    checks : tuple of Check
        The validity list, without repeats.
    not_covered : int
        Number of effects that are listed as not covered on every wall of this kind.

    Returns
    -------
    Verdict
        Refused comes first, then a negative margin, then what is unchecked.
    """
    rows = [row for one in cases for row in one.margins]
    refused = [row for row in rows if row.status == "refused"]
    full = {one.name for one in cases if one.in_full}
    refused.sort(key=lambda row: row.load_case not in full)  # the note of one in full says why
    failing = [row for row in rows if row.status == "fails"]
    unknown = dict.fromkeys(row.mode for row in rows if row.status in UNKNOWN)
    idle = [one.name for one in cases if not _loaded(one)]
    open_ends = (*unknown, *(f"load case {name}: nothing is loaded" for name in idle))
    checked = len({row.mode for row in rows} - set(unknown))
    least = smallest(cases)
    barred = [check for check in checks if check.status == "refused"]
    known = least is not None and not unknown and not barred
    facts = dict(
        smallest_margin=least.margin if known else None,
        governing_load_case=least.load_case if known else None,
        governing_mode=least.mode if known else None,
        modes_checked=checked,
        not_checked=open_ends,
        withheld=sum(row.status == "withheld" for row in rows),
        warnings=sum(check.status == "warned" for check in checks),
        checked_elsewhere=tuple((entry.mode, entry.reference) for entry in case.checked_elsewhere),
    )
    tail = _tail(facts, checks, not_covered)
    count = f"{checked} mode{'s' if checked != 1 else ''} checked"
    which = "smallest margin" if known else "smallest of the other margins"
    found = "" if least is None else f"{which} {shown_margin(least.margin)} ({_place(least)})"
    if refused:
        mode = refused[0].mode
        text = f"refused: {mode} has no margin ({refused[0].note.removeprefix(f'{mode}: ')})"
        return Verdict(EXIT_REFUSED, "refused", _line(text, count, found, tail), **facts)
    if barred:
        return Verdict(EXIT_REFUSED, "refused", _line(f"refused: {barred[0].text}", count, found, tail), **facts)
    if failing:
        text = f"does not hold: {len(failing)} of {len(rows)} margins negative"
        return Verdict(EXIT_NEGATIVE_MARGIN, "does not hold", _line(text, found, count, tail), **facts)
    if open_ends:
        text = f"incomplete: {count}, none negative"
        return Verdict(EXIT_INCOMPLETE, "incomplete", _line(text, found, tail), **facts)
    return Verdict(EXIT_HOLDS, "holds", _line(f"holds: {count}", found, tail), **facts)


def _loaded(one: LoadCaseResult) -> bool:
    return bool(one.pressure_minimum or one.pressure_maximum or any(load.line_load for load in one.components))


def _place(row: MarginRow) -> str:
    return f"{row.mode}, load case {row.load_case}"


def _line(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _tail(facts: dict, checks: tuple[Check, ...], not_covered: int) -> str:
    """What stands behind the margins: unchecked modes, those checked elsewhere, withheld rows, warnings."""
    parts = list(dict.fromkeys(check.headline for check in checks if check.headline))
    if facts["not_checked"]:
        parts.append(f"not checked: {', '.join(facts['not_checked'])}")
    elif not_covered:
        parts.append(f"not checked: {not_covered} effects listed as not covered")
    if facts["checked_elsewhere"]:
        named = ", ".join(f"{mode} ({reference})" for mode, reference in facts["checked_elsewhere"])
        parts.append(f"checked elsewhere: {named}")
    for key, one, many in (("withheld", "row withheld", "rows withheld"), ("warnings", "warning", "warnings")):
        if number := facts[key]:
            parts.append(f"{number} {one if number == 1 else many}")
    return "; ".join(parts)
