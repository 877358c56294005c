"""Which kind of file a TOML text is: a case, a sizing or a study, by its sections."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any, Literal

from ...core.errors import Refusal
from ...model.demand import BareBarrel

Kind = Literal["case", "sizing", "study"]

SIZING_ONLY = ("limits", "prices", "heat", "materials", "stringers", "rings")
"""Sections that a case file does not have."""

_STUDY_ONLY = ("case", "vary", "method", "outputs")
_SIZING = {"identity", "barrel", "material", "policy", "load_cases", "load_table", "factor_sets", *SIZING_ONLY}
_BARE = {f.name for f in fields(BareBarrel)}

_MARKS: dict[Kind, str] = {
    "case": "a case file, with [barrel], [wall] and [[load_cases]]",
    "sizing": "a sizing file, with [barrel] and [[load_cases]] and no wall; or a case file",
    "study": "a study file, with case, [[vary]] and outputs",
}
_WAYS: dict[Kind, str] = {
    "case": "use shellbuck run FILE; a study names a case file in its key case",
    "sizing": "use shellbuck size FILE --pattern NAME, or shellbuck patterns FILE; size --case writes a case that runs",
    "study": "use shellbuck study FILE --to FOLDER",
}


def kind_of(raw: Mapping[str, Any]) -> tuple[Kind | None, str]:
    """The kind that the sections of a file show, and by what; None where they show none.

    Parameters
    ----------
    raw : mapping
        The tables of the file.
    """
    study = [key for key in _STUDY_ONLY if key in raw]
    if study and "wall" not in raw and "barrel" not in raw:
        return "study", " and ".join(study)
    if "wall" in raw:
        return "case", "[wall]"
    barrel = raw.get("barrel")
    if not isinstance(barrel, dict):
        return None, ""
    own = [f"[{key}]" for key in SIZING_ONLY if key in raw]
    if own:
        return "sizing", f"{', '.join(own)}, no [wall]"
    # a spelling error, [wal], is found by the reader of a case
    if raw.keys() & {"load_cases", "load_table"} and set(raw) <= _SIZING and set(barrel) <= _BARE:
        return "sizing", "no [wall] and no skin thickness"
    return None, ""


def refuse_other_kind(raw: Mapping[str, Any], name: str, wanted: Kind, *also: Kind) -> None:
    """Refuse a file of another kind, with the command that takes it.

    Parameters
    ----------
    raw : mapping
        The tables of the file.
    name : str
        Of the file.
    wanted, also : str
        Kinds that are taken.

    Raises
    ------
    Refusal
    """
    kind, mark = kind_of(raw)
    if kind is None or kind in (wanted, *also):
        return
    raise Refusal.of(
        "file-kind", f"this is a {kind} file, not a {wanted} file", name[:200], mark, _MARKS[wanted], _WAYS[kind]
    )


def refuse_no_toml(start: bytes, name: str) -> None:
    """Refuse a page or a JSON in the place of a TOML file, by its first bytes.

    Raises
    ------
    Refusal
    """
    start = start.removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if start.startswith((b"<!doctype html", b"<html")):
        what = "this is a page (HTML), not an input file"
    elif start.startswith(b"{"):
        what = "this is a JSON file, not an input file"
    else:
        return
    way_out = "give the file that it was made from; shellbuck start writes a new case"
    raise Refusal.of("file-kind", what, name[:200], "", "a TOML file", way_out)
