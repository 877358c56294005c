"""Whether an existing file may be replaced by a result: it is our own, and has no remarks of a reviewer."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from ...core.errors import Refusal
from ..file_bytes import regular_bytes
from .reader import CutOff, block_of
from .remarks import BLOCK, Remarks, read_remarks

_LARGEST = 200_000_000
GENERATOR = '<meta name="generator" content="shellbuck">'
"""In the head of every page."""
PDF_MARK = b"% made by shellbuck\n"
"""The last line of every PDF, a comment behind its end."""
_AGREEMENT = {"load_case", "smeared_runs", "discrete_runs"}
_MODES_HEAD = b"n,leading m,share of w^2,line load [N/m]"
_ANOTHER = "choose another name, or add --force"


def refuse_foreign(target: str, carried: Remarks | None = None) -> None:
    """Refuse to write over a file that shellbuck did not write, or that carries a reviewer's remarks.

    Parameters
    ----------
    target : str
        A file that exists.
    carried : Remarks, optional
        Remarks that the new page will carry: a page without others loses none.

    Raises
    ------
    Refusal
        "page-reviewed" or "file-foreign".
    """
    data = regular_bytes(Path(target), _LARGEST, "a file to replace", _ANOTHER)
    if not data:  # an empty file has no content
        return
    suffix = Path(target).suffix.lower()
    if suffix in (".html", ".htm"):
        _page(target, data, carried)
    elif not _OWN.get(suffix, lambda _: False)(data):
        raise _foreign(target, {".json": "JSON of something else", ".pdf": "a PDF of something else"}.get(suffix, ""))


def has_remarks(target: str) -> bool:
    """Whether a page carries remarks, or cannot be read to the end and so may carry some."""
    try:
        _page(target, regular_bytes(Path(target), _LARGEST, "a page", ""), None)
    except Refusal as refusal:
        return refusal.problems[0].code == "page-reviewed"
    return False


def _page(target: str, data: bytes, carried: Remarks | None) -> None:
    text = data.decode("utf-8", "replace")
    if GENERATOR not in text[:4000]:
        raise _foreign(target, "a page of something else")
    try:
        block = block_of(text, BLOCK)
    except CutOff:
        return  # the remarks stand at its end: what is cut off is no page that a reviewer saved
    if block is None or block.strip() in ("", "null"):
        return
    try:
        found = read_remarks(target)
    except Refusal:
        raise _reviewed(target, "remarks that cannot be read") from None
    if (not found.remarks and not found.verdict) or (carried is not None and _within(found, carried)):
        return
    count = len(found.remarks)
    said = [f"{count} remark{'s' if count != 1 else ''}"]
    said += [f'the verdict "{found.verdict}"'] if found.verdict else []
    said += [f"of {found.reviewer[:60]}"] if found.reviewer else []
    raise _reviewed(target, " ".join(said))


def _within(found: Remarks, carried: Remarks) -> bool:
    """Whether every remark of one set, and its verdict, are in the other too."""
    kept = {(r.id, r.text, r.on) for r in carried.remarks}
    verdict = not found.verdict or (found.verdict, found.reviewer) == (carried.verdict, carried.reviewer)
    return verdict and all((r.id, r.text, r.on) in kept for r in found.remarks)


def _json(data: bytes) -> bool:
    try:
        found: Any = json.loads(data)
    except (ValueError, RecursionError):
        return bool(re.match(rb'\{\s*"schema": \d+,\s*"program": "shellbuck"', data))  # one of ours that was cut off
    return isinstance(found, dict) and (found.get("program") == "shellbuck" or set(found) >= _AGREEMENT)


_OWN = {".json": _json, ".pdf": lambda data: data.endswith(PDF_MARK), ".csv": lambda data: data.startswith(_MODES_HEAD)}


def _foreign(target: str, got: str) -> Refusal:
    return Refusal.of(
        "file-foreign", "this file was not written by shellbuck for this purpose", target[:200], got, "", _ANOTHER
    )


def _reviewed(target: str, got: str) -> Refusal:
    return Refusal.of(
        "page-reviewed",
        "this page carries a reviewer's work, which would be lost",
        target[:200],
        got,
        "",
        "choose another name (run --remarks shows the remarks beside the new numbers), or add --force",
    )
