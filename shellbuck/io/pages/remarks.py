"""A reviewer's remarks: read back from the copy of a page, or from the JSON, that the page saved."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from ...core.errors import Refusal
from .reader import CutOff, block_of, first_fault, page_text, without_block

BLOCK = "review-remarks"
"""Id of the page's block of remarks."""

_Line = Annotated[str, Field(max_length=500)]
_Text = Annotated[str, Field(max_length=20_000)]
_STRICT = ConfigDict(extra="forbid")


@checked(frozen=True, config=_STRICT)
class Place:
    """What a remark is pinned to: the page, a mode, a place on a mode's map (x [m], theta [rad]), or a margin row."""

    kind: Literal["page", "mode", "place", "margin"]
    mode: _Line = ""
    title: _Line = ""
    case: _Line = ""
    row: _Line = ""
    x: Annotated[float, Field(allow_inf_nan=False)] | None = None
    theta: Annotated[float, Field(allow_inf_nan=False)] | None = None


@checked(frozen=True, config=_STRICT)
class Remark:
    """One remark; `then` is the line load [N/m] or the margin when it was written, `now` that of this run."""

    id: _Line
    on: Place
    text: _Text
    author: _Line = ""
    when: _Line = ""
    then: Annotated[float, Field(allow_inf_nan=False)] | None = None
    now: Annotated[float, Field(allow_inf_nan=False)] | None = None


@checked(frozen=True, config=_STRICT)
class Page:
    """The page that was reviewed."""

    title: _Line = ""
    part: _Line = ""
    revision: _Line = ""
    digest: _Line = ""
    program: _Line = ""


Verdict = Literal["", "accepted", "accepted with remarks", "rejected"]
_FORMER = {"believed": "accepted", "believed with remarks": "accepted with remarks", "not believed": "rejected"}
"""Verdicts as earlier pages wrote them."""


@checked(frozen=True, config=_STRICT)
class _Written:
    """The block as it is written."""

    made_by: Annotated[Literal["shellbuck"], Field(alias="remarks of")]
    version: Literal[1]
    page: Page
    remarks: Annotated[tuple[Remark, ...], Field(max_length=2000)]
    verdict: Verdict = ""
    reviewer: _Line = ""


@dataclass(frozen=True)
class Remarks:
    """Remarks of one reviewer on one page."""

    page: Page
    verdict: Verdict
    reviewer: str
    remarks: tuple[Remark, ...]

    def block(self) -> dict[str, object]:
        """JSON-ready, as the page writes it."""
        body = TypeAdapter(tuple[Remark, ...]).dump_python(self.remarks, mode="json")
        return {
            "remarks of": "shellbuck",
            "version": 1,
            "page": TypeAdapter(Page).dump_python(self.page),
            "verdict": self.verdict,
            "reviewer": self.reviewer,
            "remarks": body,
        }

    def with_now(self, values: dict[str, float | None]) -> Remarks:
        """The same remarks beside the values of another run, by remark id."""
        return replace(self, remarks=tuple(replace(r, now=values.get(r.id)) for r in self.remarks))


def read_remarks(path: str | Path) -> Remarks:
    """Read remarks from a saved copy of a page (HTML) or from a saved JSON.

    Raises
    ------
    Refusal
        When the file cannot be read, is no such page, is cut off, or its remarks are damaged.
    """
    return remarks_from_text(page_text(path), Path(path).name)


def remarks_from_text(text: str, name: str) -> Remarks:
    """Remarks out of the text of a page or of a JSON file; `name` is used in refusals."""
    body = text
    if not text.lstrip().startswith("{"):
        try:
            found = block_of(text, BLOCK)
        except CutOff:
            raise _damaged(name, "the file is cut off") from None
        if found is None:
            raise _damaged(name, without_block(text, "remarks"))
        body = found
    try:
        raw = json.loads(body)
    except (ValueError, RecursionError):
        raise _damaged(name, "its remarks are cut off or damaged") from None
    if raw is None:
        raise _damaged(name, "a page without remarks")
    if not isinstance(raw, dict) or "remarks of" not in raw:
        result = isinstance(raw, dict) and raw.get("program") == "shellbuck"
        got = "a result of shellbuck (JSON), which has no remarks" if result else "JSON of something else"
        raise _damaged(name, got)
    if isinstance(raw.get("verdict"), str):
        raw["verdict"] = _FORMER.get(raw["verdict"], raw["verdict"])
    try:
        written = TypeAdapter(_Written).validate_python(raw)
    except ValidationError as error:
        raise _damaged(name, first_fault(error)) from None
    seen = [r.id for r in written.remarks]
    if len(set(seen)) < len(seen):
        raise _damaged(name, "two remarks carry one id")
    return Remarks(written.page, written.verdict, written.reviewer, written.remarks)


def _damaged(name: str, got: str) -> Refusal:
    return Refusal.of(
        "remarks-damaged",
        "these are no remarks saved by a shellbuck page",
        name[:200],
        got,
        way_out="give the copy of the page, or the JSON of remarks, that the review page saved",
    )
