"""The result of an earlier run, out of its JSON: the margins and the verdict that a new run is compared with."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from ..core.errors import Refusal
from ..core.records import Status
from .file_bytes import regular_bytes
from .results import SCHEMA

_LARGEST = 400_000_000
OPEN = ConfigDict(extra="ignore")


@checked(config=OPEN, frozen=True)
class EarlierRow:
    """A margin of the earlier run."""

    load_case: str
    mode: str
    status: Status
    margin: Annotated[float, Field(allow_inf_nan=False)] | None = None


@checked(config=OPEN, frozen=True)
class _Case:
    margins: tuple[EarlierRow, ...]


@checked(config=OPEN, frozen=True)
class _Verdict:
    word: str
    text: str
    exit_status: int


@checked(config=OPEN, frozen=True)
class EarlierDocument:
    """As much of the JSON of a run as a comparison needs."""

    schema: int
    version: str
    verdict: _Verdict
    load_cases: tuple[_Case, ...]


@dataclass(frozen=True)
class Earlier:
    """What an earlier run found: file name, version, verdict, and its rows by load case and mode."""

    name: str
    version: str
    word: str
    text: str
    exit_status: int
    rows: dict[tuple[str, str], EarlierRow]


def read_earlier(path: str | Path) -> Earlier:
    """The result that `run --json` wrote.

    Raises
    ------
    Refusal
        "earlier-result" for a file that is none, or of another schema.
    """
    path = Path(path)
    way_out = "give the file that an earlier run wrote with --json"
    data = regular_bytes(path, _LARGEST, "a result", way_out)
    try:
        found = TypeAdapter(EarlierDocument).validate_python(json.loads(data))
    except (ValueError, RecursionError, ValidationError) as error:
        detail = error.errors()[0]["msg"][:60] if isinstance(error, ValidationError) else str(error)[:60]
        raise Refusal.of("earlier-result", "this is no result of a run", str(path)[:200], detail, "", way_out) from None
    refuse_schema(found.schema, path)
    return earlier_of(found, path.name)


def refuse_schema(schema: int, path: Path) -> None:
    """Refuse a result of another schema.

    Raises
    ------
    Refusal
    """
    if schema != SCHEMA:
        what, way_out = "the result is of another schema", "run the earlier case again"
        raise Refusal.of("earlier-result", what, str(path)[:200], str(schema), str(SCHEMA), way_out)


def earlier_of(found: EarlierDocument, name: str) -> Earlier:
    """What a document holds, under this name."""
    rows = {(row.load_case, row.mode): row for case in found.load_cases for row in case.margins}
    verdict = found.verdict
    return Earlier(name, found.version, verdict.word, verdict.text, verdict.exit_status, rows)
