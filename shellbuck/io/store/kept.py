"""What a study's folder keeps of its inputs: read back, and refused where it was edited since."""

from __future__ import annotations

import contextlib
import hashlib
import json
from pathlib import Path
from typing import Any

from ... import __version__
from ...core.errors import Refusal
from ..file_bytes import regular_bytes
from ..language.case_file import case_from_text
from ..language.study_file import plan_of
from ..language.study_plan import CASE, MAP, STUDY, TABLE, StudyPlan, digest_of
from ..language.toml_text import toml_tables
from .tables import entries, refuse_links

INPUTS = "inputs.json"
_POINTS = ("case", "vary", "method", "count", "seed")
"""The inputs that decide what a point is."""
LARGEST = 1_000_000_000
"""Bytes of a file of the folder that is read: a chunk has at most some thousand rows."""


def kept_texts(folder: Path) -> dict[str, str]:
    """The input files that a study's folder keeps, by name.

    Raises
    ------
    Refusal
        When the folder is not that of a study or map.
    """
    refuse_links(folder)
    found = {}
    for name in (STUDY, CASE, TABLE, MAP):
        with contextlib.suppress(OSError, UnicodeDecodeError):
            if (folder / name).exists() or (folder / name).is_symlink():
                found[name] = regular_bytes(folder / name, LARGEST, "a study", "", links=False).decode("utf-8")
    if CASE not in found or not {STUDY, MAP} & set(found):
        what = "this is not the folder of a study or map" if entries(folder) else "no folder with a study or map here"
        allowed = f"a folder with {CASE} and {STUDY} or {MAP}"
        way_out = "name the folder that was given to study as --to"
        raise Refusal.of("study-folder-other", what, str(folder)[:200], "", allowed, way_out)
    return found


def kept_study(texts: dict[str, str]) -> StudyPlan:
    """The plan of a study file out of the texts that its folder keeps."""
    raw = toml_tables(texts[STUDY], STUDY)
    return plan_of(raw, case_from_text(texts[CASE], CASE), table=texts.get(TABLE), texts=texts)


def refuse_edited(path: Path, plan: StudyPlan) -> None:
    """Refuse a plan, read out of a folder, that is no longer the one of the folder's table.

    Raises
    ------
    Refusal
        "study-folder-other" where there is no record, "study-folder-version", "study-folder-edited".
    """
    place = path / INPUTS
    try:
        found = json.loads(regular_bytes(place, LARGEST, "the inputs of a study", "", links=False))
        there, version, sources = found["inputs"], found["version"], found["sources"]
        whole = found["digest"] == digest_of(there)
    except (Refusal, ValueError, KeyError, TypeError):
        whole = False
    if not whole:
        what = "the record of the inputs of the table is missing, damaged or edited"
        way_out = "run the study again in a new folder"
        raise Refusal.of("study-folder-edited", what, str(place)[:200], "", "the record that study left", way_out)
    mine = plan.inputs()
    names = [name for name, text in plan.texts.items() if sources.get(name) != sha_of(text)]
    # how the work was cut up changes no point
    parts = different_parts(*({k: x for k, x in one.items() if k in _POINTS} for one in (there, mine)))
    if not names and not parts:
        return
    if not names and version != __version__:
        what = "the folder was computed by another version, which reads its files differently: " + ", ".join(parts)
        way_out = "run the study again in a new folder"
        raise Refusal.of("study-folder-version", what, str(place)[:200], version, __version__, way_out)
    what = "the folder's files are no longer those of its table, so a point would not be its row"
    allowed = "the files as study left them"
    way_out = "restore them, or run the edited files as a new study"
    raise Refusal.of("study-folder-edited", what, str(path)[:200], ", ".join(names or parts), allowed, way_out)


def sha_of(text: str) -> str:
    """SHA-256 of a text."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def different_parts(there: Any, mine: dict[str, Any]) -> list[str]:
    """Words for the parts of the inputs that differ."""
    if not isinstance(there, dict):
        return []
    names = {"case": "the base case", "vary": "what is varied", "form": "the format"}
    return [names.get(key, key) for key in mine if there.get(key) != mine[key]]
