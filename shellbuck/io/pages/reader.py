"""Saved report pages, read back: the blocks of data they carry, and the numbers two runs are compared by."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from ...core.errors import Refusal
from ..file_bytes import regular_bytes

_LARGEST = 60_000_000
DATA = "review-data"
"""Id of the block of review data."""

_Number = Annotated[float, Field(allow_inf_nan=False)]
_OPEN = ConfigDict(extra="ignore")


class CutOff(Exception):
    """A block that does not end."""


class _Finder(HTMLParser):
    """The text of one script element."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name
        self.found: list[str] | None = None
        self.inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "script" and ("id", self.name) in attrs and self.found is None:
            self.inside, self.found = True, []

    def handle_endtag(self, tag: str) -> None:
        if tag == "script":
            self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.found.append(data)


def block_of(text: str, name: str) -> str | None:
    """Text of the script element with this id; None where the page has none.

    Raises
    ------
    CutOff
        When the element does not end.
    """
    finder = _Finder(name)
    finder.feed(text)
    if finder.inside:
        raise CutOff
    return None if finder.found is None else "".join(finder.found)


def page_text(path: str | Path) -> str:
    """Text of a saved page.

    Raises
    ------
    Refusal
        When it cannot be read, is too large or is no UTF-8 text.
    """
    try:
        return regular_bytes(Path(path), _LARGEST, "a report page", "check the path").decode("utf-8")
    except UnicodeDecodeError:
        what = "the page cannot be read (it is no UTF-8 text)"
        raise Refusal.of("file-unreadable", what, str(path)[:200], way_out="check the path") from None


@checked(frozen=True, config=_OPEN)
class PageMargin:
    """A margin row of a page."""

    case: str
    mode: str
    margin: _Number | None
    text: str
    status: str


@checked(frozen=True, config=_OPEN)
class PageMode:
    """A mode of a page, without its shape."""

    id: str
    case: str
    engine: str
    title: str
    line_load: _Number
    load_text: str
    m: int
    n: int
    kind: str
    pair: str = ""


@checked(frozen=True, config=_OPEN)
class PageData:
    """What two runs are compared by; `inputs` are rows (key, as read, as used)."""

    version: Literal[1]
    title: str
    part: str
    revision: str
    digest: str
    program: str
    verdict: str
    inputs: tuple[tuple[str, str, str], ...]
    margins: tuple[PageMargin, ...]
    modes: tuple[PageMode, ...]


def without_block(text: str, what: str) -> str:
    """That a text lacks its block of data, and what it may be instead."""
    if text.lstrip().startswith("{"):
        return f"JSON, with no block of {what}"
    if "</html>" not in text[-2000:]:
        return f"no block of {what} and no end of a page (</html>): it may be cut off, or not one of ours"
    return f"a page with no block of {what}: one of patterns, of a study or of a refused run, or not one of ours"


def read_page(path: str | Path) -> tuple[PageData, dict[str, Any]]:
    """Numbers of a saved report page, and the whole of its review data.

    Raises
    ------
    Refusal
        When the file is no report page, is cut off or damaged.
    """
    name, text = Path(path).name, page_text(path)
    if f'id="{DATA}-beside"' in text:
        raise _foreign(name, "a page of two runs")
    try:
        body = block_of(text, DATA)
    except CutOff:
        raise _foreign(name, "the file is cut off") from None
    if body is None:
        raise _foreign(name, without_block(text, "review data"))
    try:
        raw = json.loads(body)
        return TypeAdapter(PageData).validate_python(raw), raw
    except ValidationError as error:
        raise _foreign(name, first_fault(error)) from None
    except (ValueError, RecursionError):
        raise _foreign(name, "its data are cut off or damaged") from None


def first_fault(error: ValidationError) -> str:
    """The place of the first fault, and what is wrong there."""
    first = error.errors(include_url=False, include_input=False)[0]
    where = ".".join(str(part) for part in first["loc"])[:120]
    return f"{where}: {first['msg']}" if where else first["msg"]


def _foreign(name: str, got: str) -> Refusal:
    return Refusal.of(
        "page-foreign",
        "this is no whole report page of shellbuck",
        name[:200],
        got,
        way_out="give a page that shellbuck run --page wrote",
    )
