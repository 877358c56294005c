"""The JSON of a stack, and an earlier one read back: a result of a run for every barrel, with where its cuts lie."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from .. import __version__
from ..core.errors import Refusal
from ..core.records import Result
from .earlier import OPEN, Earlier, EarlierDocument, earlier_of, refuse_schema
from .file_bytes import regular_bytes
from .language.stack_file import StackFile
from .results import SCHEMA, UNITS, Document, Source, document_of, plain, versions

_LARGEST = 400_000_000


@dataclass(frozen=True)
class CutEntry:
    """Which event and station [m] a load case of a barrel is."""

    load_case: str
    event: str
    station: float


@dataclass(frozen=True)
class BarrelEntry:
    """A barrel by its case file, the stations of its ends [m], its tank (empty for none), cuts and result."""

    case: str
    stations: tuple[float, float]
    tank: str
    cuts: tuple[CutEntry, ...]
    result: Document


@dataclass(frozen=True)
class StackDocument:
    """The JSON object of `shellbuck stack`; a refusal has that of `shellbuck run`."""

    schema: int
    program: str
    version: str
    exit_status: int
    word: str
    title: str
    direction: str
    units: str
    source: Source
    barrels: tuple[BarrelEntry, ...]
    versions: dict[str, str]
    not_finite: tuple[str, ...]


def stack_object(stack: StackFile, results: Sequence[Result], status: int, word: str) -> dict[str, Any]:
    """A stack as a JSON-ready dictionary.

    Parameters
    ----------
    stack : StackFile
    results : sequence of Result
        Of its barrels, in their order.
    status, word : int, str
        The verdict of the whole.
    """
    barrels = tuple(
        BarrelEntry(
            one.barrel.case,
            one.ends,
            one.barrel.tank,
            tuple(CutEntry(cut.load.name, cut.event, cut.station) for cut in one.cuts),
            document_of(result, one.file),
        )
        for one, result in zip(stack.barrels, results, strict=True)
    )
    source = Source(stack.name, stack.digest, stack.tables)
    head = (SCHEMA, "shellbuck", __version__, status, word, stack.title, stack.direction, UNITS, source)
    return plain(StackDocument(*head, barrels, versions(), ()))


def stack_schema() -> dict[str, Any]:
    """JSON schema of the document, out of its own declarations; results of barrels refer to that of a run."""
    schema = TypeAdapter(StackDocument).json_schema(mode="serialization")
    own = {name: schema["$defs"][name] for name in ("BarrelEntry", "CutEntry", "Source")}
    schema["$defs"] = {**own, "Document": {"$ref": "result.schema.json"}}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "result of shellbuck stack", **schema}


@checked(config=OPEN, frozen=True)
class _Barrel:
    case: str
    result: EarlierDocument


@checked(config=OPEN, frozen=True)
class _Stack:
    schema: int
    version: str
    exit_status: int
    word: str
    barrels: tuple[_Barrel, ...]


@dataclass(frozen=True)
class EarlierStack:
    """What an earlier run of a stack found: verdict, and barrels by their case file and its turn from the first station
    on."""

    name: str
    version: str
    word: str
    exit_status: int
    barrels: dict[tuple[str, int], Earlier]


NEW = Earlier("", "", "", "", 0, {})
"""Of a barrel that the earlier run did not have."""


def by_turn(cases: Sequence[str]) -> list[tuple[str, int]]:
    """Case files with how often each was there before, so that a file used twice is told apart."""
    return [(case, list(cases[:i]).count(case)) for i, case in enumerate(cases)]


def read_earlier_stack(path: str | Path) -> EarlierStack:
    """The result that `stack --json` wrote.

    Raises
    ------
    Refusal
        "earlier-result" for a file that is none, or of another schema.
    """
    path = Path(path)
    way_out = "give the file that an earlier run of the stack wrote with --json"
    data = regular_bytes(path, _LARGEST, "a result", way_out)
    try:
        found = TypeAdapter(_Stack).validate_python(json.loads(data))
    except (ValueError, RecursionError, ValidationError) as error:
        detail = error.errors()[0]["msg"][:60] if isinstance(error, ValidationError) else str(error)[:60]
        raise Refusal.of(
            "earlier-result", "this is no result of a stack", str(path)[:200], detail, "", way_out
        ) from None
    refuse_schema(found.schema, path)
    keys = by_turn([one.case for one in found.barrels])
    barrels = {key: earlier_of(one.result, one.case) for key, one in zip(keys, found.barrels, strict=True)}
    return EarlierStack(path.name, found.version, found.word, found.exit_status, barrels)
