"""Results as one JSON object; its schema is data/result.schema.json."""

from __future__ import annotations

import json
import math
import platform
from dataclasses import asdict, dataclass, fields, is_dataclass
from importlib import metadata
from typing import Any

from .. import __version__
from ..core.errors import ShellbuckError
from ..core.records import Agreement, Check, LoadCaseResult, Result, Verdict, WallFigures
from ..model import Case
from .language.case_file import CaseFile

SCHEMA = 2
UNITS = (
    "SI: m, N, Pa, kg, K, N m; line loads N/m; stiffness A N/m, B N, D N m; compression and internal pressure positive"
)
_LIBRARIES = ("numpy", "scipy", "pydantic", "pint")


@dataclass(frozen=True)
class ProblemEntry:
    """A problem of the input, or a failure, as JSON."""

    code: str
    what: str
    where: str
    got: str
    allowed: str
    way_out: str
    line: int | None


@dataclass(frozen=True)
class Source:
    """The case file a result belongs to, and name and SHA-256 of the tables that it names."""

    file: str
    sha256: str
    tables: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Inputs:
    """The case as it was read (text of the file) and as it was used (SI)."""

    as_read: dict[str, Any]
    as_used: dict[str, Any]


@dataclass(frozen=True)
class Document:
    """The JSON object of `shellbuck run`. Without a result everything after `problems` is null or empty."""

    schema: int
    program: str
    version: str
    exit_status: int
    verdict: Verdict
    problems: tuple[ProblemEntry, ...]
    units: str
    source: Source | None
    inputs: Inputs | None
    wall: WallFigures | None
    load_cases: tuple[LoadCaseResult, ...]
    agreements: tuple[Agreement, ...]
    validity: tuple[Check, ...]
    departures: tuple[tuple[str, str], ...]
    not_covered: tuple[str, ...]
    cautions: tuple[str, ...]
    versions: dict[str, str]
    not_finite: tuple[str, ...]


def versions() -> dict[str, str]:
    """Versions of Python and of the libraries that take part in the numbers."""
    return {"python": platform.python_version(), **{name: metadata.version(name) for name in _LIBRARIES}}


def result_object(result: Result, case: Case | CaseFile) -> dict[str, Any]:
    """A result as a JSON-ready dictionary.

    Parameters
    ----------
    result : Result
    case : Case or CaseFile
        What was assessed; a CaseFile also gives name, digest and the values as read.
    """
    return plain(document_of(result, case))


def document_of(result: Result, case: Case | CaseFile) -> Document:
    """A result as the record that its JSON mirrors."""
    from_file = isinstance(case, CaseFile)
    used = case.case if from_file else case
    return Document(
        SCHEMA,
        "shellbuck",
        __version__,
        result.verdict.exit_status,
        result.verdict,
        (),
        UNITS,
        Source(case.name, case.digest, case.tables) if from_file else None,
        Inputs(case.raw if from_file else {}, used_values(used)),
        result.wall,
        result.load_cases,
        result.agreements,
        result.validity,
        result.departures,
        result.not_covered,
        result.cautions,
        versions(),
        (),
    )


def refusal_object(error: ShellbuckError) -> dict[str, Any]:
    """A refusal or failure as a JSON-ready dictionary of the same shape."""
    word = {2: "refused", 3: "incomplete"}.get(error.exit_status, "incomplete")
    text = f"{word}: {error.problems[0].what}" + (f" and {len(error.problems) - 1} more" if error.problems[1:] else "")
    entries = tuple(ProblemEntry(p.code, p.what, p.where, p.got, p.allowed, p.way_out, p.line) for p in error.problems)
    return plain(
        Document(
            SCHEMA,
            "shellbuck",
            __version__,
            error.exit_status,
            Verdict(error.exit_status, word, text, None, None, None),
            entries,
            UNITS,
            None,
            None,
            None,
            (),
            (),
            (),
            (),
            (),
            (),
            versions(),
            (),
        )
    )


def used_values(case: Case) -> dict[str, Any]:
    """The case as used: every declared value in SI, with what follows from it."""
    values = asdict(case)
    values["barrel"]["middle_radius"] = case.barrel.middle_radius
    values["stability_thickness"] = case.stability_thickness
    for entry, load in zip(values["load_cases"], case.load_cases, strict=True):
        entry["external_axial_force"] = case.external_axial_force(load)
        entry["pressure_for_stability"] = load.p_min
        entry["pressure_for_strength"] = load.p_max
    return values


def plain(record: Any) -> dict[str, Any]:
    """A record as a JSON-ready dictionary; what is not finite becomes null and is named under `not_finite`."""
    gone: list[str] = []

    def convert(value: Any, path: str) -> Any:
        if is_dataclass(value):
            return {f.name: convert(getattr(value, f.name), f"{path}.{f.name}") for f in fields(value)}
        if isinstance(value, dict):
            return {str(k): convert(v, f"{path}.{k}") for k, v in value.items()}
        if isinstance(value, list | tuple):
            return [convert(v, f"{path}.{i}") for i, v in enumerate(value)]
        if isinstance(value, bool) or value is None:
            return value
        if isinstance(value, float):
            if math.isfinite(value):
                return float(value)
            gone.append(f"{path.lstrip('.')}: {value}")
            return None
        if isinstance(value, int):
            return int(value)
        return str(value).encode("utf-8", "replace").decode()  # a file name may hold bytes that are no text

    out = convert(record, "")
    out["not_finite"] = gone
    return out


def json_text(document: dict[str, Any]) -> str:
    """The JSON text of a document; strict: no NaN, no infinity."""
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)


def result_schema() -> dict[str, Any]:
    """JSON schema of the document, out of its own declarations."""
    from pydantic import TypeAdapter

    schema = TypeAdapter(Document).json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "result of shellbuck run", **schema}
