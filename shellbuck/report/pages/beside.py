"""Two runs side by side on one page: inputs, margins and modes, differences marked, views linked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from ... import __version__
from ...core.errors import Refusal
from ...io.pages.reader import CutOff, PageData, PageMargin, PageMode, block_of
from ...io.pages.remarks import BLOCK, remarks_from_text
from ..review.identity import Name, pairs
from ..review.pairing import Pairing, paired, with_one_sign
from .html import filled, json_block, own, script_policy

_SAME = 1e-9


@dataclass(frozen=True)
class Line:
    """One row: what it is, how it stands in the first and in the second run, and the change in words; empty where there
    is none."""

    what: str
    first: str
    second: str
    change: str


@dataclass(frozen=True)
class Reviewed:
    """What a reviewer left on a page, in words."""

    verdict: str = "none"
    remarks: str = "none"


def beside_page(
    first: tuple[PageData, Mapping[str, Any]],
    second: tuple[PageData, Mapping[str, Any]],
    reviews: tuple[Reviewed, Reviewed] = (Reviewed(), Reviewed()),
) -> str:
    """The page that compares two runs, as HTML text.

    Parameters
    ----------
    first, second : (PageData, mapping)
        As `files.pages.read_page` gives them.
    reviews : (Reviewed, Reviewed)
        As `reviewed` gives them.
    """
    script = own("review/bundle/review.js")
    a, b = first[0], second[0]
    pairing = paired(first[1], second[1])
    together = [[a.modes[i].id, b.modes[j].id] for i, j in pairing.pairs if i is not None and j is not None]
    shown = with_one_sign(second[1], pairing)
    return filled(
        "beside.html",
        first=a,
        second=b,
        mass=mass_line(first[1], second[1]),
        first_review=reviews[0],
        second_review=reviews[1],
        apart_names=names_apart(a, b),
        inputs=input_lines(a, b),
        margins=margin_lines(a, b),
        modes=mode_lines(a, b, pairing),
        review_style=Markup(own("pages/templates/review.css")),
        script=Markup(script),
        policy=script_policy(script),
        data=json_block(first[1]),
        version=__version__,
        data_beside=json_block({**shown, "partners": together}),
    )


def reviewed(text: str) -> Reviewed:
    """What the block of remarks in the text of a page holds; a damaged one is told and refuses nothing."""
    try:
        body = block_of(text, BLOCK)
        if body is None or body.strip() in ("", "null"):
            return Reviewed()
        found = remarks_from_text(body.lstrip(), "page")
    except (CutOff, Refusal):
        return Reviewed("damaged, not read", "damaged, not read")
    by = f", by {found.reviewer or 'no name'}"
    if 'id="remarks-editor" hidden data-given' in text:  # written by a run that was given the remarks on another page
        on = ", ".join(filter(None, (found.page.title, found.page.revision and f"revision {found.page.revision}")))
        by += f", on an earlier page ({on or 'no title'})"
    return Reviewed(f"{found.verdict}{by}" if found.verdict else "none", str(len(found.remarks) or "none"))


def mass_line(first: Mapping[str, Any], second: Mapping[str, Any]) -> Line:
    """Mass per area as each page prints it, and the change; a page of an earlier version holds none."""
    a, b = (data.get("mass_per_area") for data in (first, second))
    texts = [str(data.get("mass_text", "not among the data of this page")) for data in (first, second)]
    known = all(isinstance(value, int | float) and value > 0 for value in (a, b))
    return Line("Mass per area", *texts, f"{100 * (b / a - 1):+.2f} %" if known and abs(b / a - 1) > _SAME else "")


def names_apart(first: PageData, second: PageData) -> str:
    """That no load case is found again by its name, and the way out; empty where one is or where a run has none."""
    a, b = ({row.case: None for row in (*data.margins, *data.modes)} for data in (first, second))
    if not a or not b or a.keys() & b.keys():
        return ""
    names = [", ".join(f'"{name}"' for name in run) for run in (a, b)]
    return (
        f"No load case has the same name in both runs (first: {names[0]}; second: {names[1]}), so no margin "
        "and no mode has a partner: give the load cases equal names in both case files and run again to compare them."
    )


def input_lines(first: PageData, second: PageData) -> list[Line]:
    """Every input of either run as used; those that differ first."""
    a, b = ({key: used for key, _, used in data.inputs} for data in (first, second))
    lines = [
        Line(key, a.get(key, ""), b.get(key, ""), "" if a.get(key) == b.get(key) else _changed(a.get(key), b.get(key)))
        for key in dict.fromkeys([*a, *b])
    ]
    return sorted(lines, key=lambda line: not line.change)


def _changed(first: str | None, second: str | None) -> str:
    if first is None:
        return "only in the second"
    return "only in the first" if second is None else "differs"


def margin_lines(first: PageData, second: PageData) -> list[Line]:
    """Margin rows, the smallest of the second run first; of rows with one name the smallest stands."""
    a, b = (_by_name(data.margins) for data in (first, second))
    lines = []
    for key in dict.fromkeys([*b, *a]):
        x, y = a.get(key), b.get(key)
        change = _changed(x and x.text, y and y.text) if x is None or y is None else _margin_change(x, y)
        lines.append(Line(f"{key[1]}, {key[0]}", _margin_text(x), _margin_text(y), change))
    return lines


def mode_lines(first: PageData, second: PageData, pairing: Pairing | None = None) -> list[Line]:
    """Modes found again: by their shapes where a pairing is given, else by title in their load case."""
    if pairing is None:
        a, b = ([Name(m.id, m.case, m.title) for m in data.modes] for data in (first, second))
        pairing = Pairing(tuple(pairs(a, b)), {}, {})
    lines = []
    for i, j in pairing.pairs:
        x, y = None if i is None else first.modes[i], None if j is None else second.modes[j]
        if x is None or y is None:
            change = _changed(x and "", y and "") + _other_shape(first, second, pairing, i, j)
        else:
            change = _mode_change(x, y, pairing.alike(i, j))
        what = (y or x).title if x is None or y is None or x.title == y.title else f"{x.title} / {y.title}"
        lines.append(Line(f"{what}, {(y or x).case}", _mode_text(x), _mode_text(y), change))
    return lines


def _other_shape(first: PageData, second: PageData, pairing: Pairing, i: int | None, j: int | None) -> str:
    """That the other run has a mode of this title with another shape."""
    one = first.modes[i] if i is not None else second.modes[j]
    others = second.modes if i is not None else first.modes
    for k, other in enumerate(others):
        value = pairing.alike(i, k) if i is not None else pairing.alike(k, j)
        if (other.case, other.title) == (one.case, one.title) and value is not None:
            return f": the mode of this title in the other run has another shape (likeness {value:.2f})"
    return ""


def _by_name(rows: Iterable[PageMargin]) -> dict[tuple[str, str], PageMargin]:
    found: dict[tuple[str, str], PageMargin] = {}
    for row in rows:
        found.setdefault((row.case, row.mode), row)
    return found


def _margin_text(row: PageMargin | None) -> str:
    return "" if row is None else f"{row.text} ({row.status})" if row.margin is not None else row.status


def _margin_change(first: PageMargin, second: PageMargin) -> str:
    if first.margin is None or second.margin is None:
        return "" if first.status == second.status else "differs"
    change = second.margin - first.margin
    words = "" if abs(change) <= _SAME * max(1.0, abs(first.margin)) else f"{change:+.3f}"
    return words if first.status == second.status else f"{words}, now {second.status}"


def _mode_text(mode: PageMode | None) -> str:
    if mode is None:
        return ""
    return f"{mode.load_text} at {mode.pair or f'({mode.m}, {mode.n})'}".replace(", ", ",\u00a0")


def _mode_change(first: PageMode, second: PageMode, alike: float | None = None) -> str:
    words = []
    if first.line_load and abs(second.line_load / first.line_load - 1) > _SAME:
        words.append(f"{100 * (second.line_load / first.line_load - 1):+.2f} %")
    if (first.m, first.n) != (second.m, second.n):
        words.append("another (m, n)")
    if words and alike is not None:
        words.append(f"likeness {alike:.2f}")
    return ", ".join(words)
