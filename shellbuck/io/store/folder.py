"""The folder of a study: its inputs, one file per finished chunk, and what is made of them in the end.

``inputs.json`` decides whether a folder belongs to a study. A chunk file carries the digest of its own rows: a damaged
one is worked out again. Nothing with a date in it goes into a file that is compared.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from ... import __version__
from ...core.errors import Refusal
from ..file_bytes import regular_bytes
from ..language.study_plan import StudyPlan
from ..results import json_text, versions
from .kept import INPUTS, LARGEST, different_parts, sha_of
from .tables import Field, entries, make_folder, read_row, refuse_links, row_text, unwritable, write_table, write_whole

_CHUNKS = "chunks"
_FIGURES = "figures"
_LAYOUT = 1


class StudyFolder:
    """The folder of one study, opened by one process at a time.

    Parameters
    ----------
    path : Path
        Made when it does not exist.
    plan : StudyPlan
    points : int
        Number of points of the plan.
    fields : sequence of Field
        Columns of the table.

    Raises
    ------
    Refusal
        When the folder contains other files, belongs to another study or other versions, or is in use.
    """

    def __init__(self, path: Path, plan: StudyPlan, points: int, fields: Sequence[Field]):
        self.path, self.plan, self.points, self.fields = path, plan, points, tuple(fields)
        self._lock = None
        self._columns: dict[str, np.ndarray] = {}
        refuse_links(path, _CHUNKS, _FIGURES)
        if INPUTS not in entries(path):
            self._refuse_other()  # before anything is left in a folder that is not ours
        make_folder(path)
        make_folder(path / _CHUNKS)

    def __enter__(self) -> StudyFolder:
        self._take_lock()
        try:
            self._claim()
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        if self._lock is not None:
            self._lock.close()  # the system gives the lock up with the file, also when the process is killed
            self._lock = None

    def _take_lock(self) -> None:
        try:
            flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
            self._lock = os.fdopen(os.open(self.path / ".lock", flags, 0o666), "ab")
        except OSError as error:
            raise unwritable(self.path, error) from None
        with contextlib.suppress(ImportError):  # a system without it has no lock
            import fcntl

            try:
                fcntl.flock(self._lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError:
                self._lock.close()
                self._lock = None
                what, way_out = "another process works in this folder", "wait for it, or name another folder"
                raise Refusal.of("study-folder-busy", what, str(self.path)[:200], "", "", way_out) from None

    def record(self) -> dict[str, Any]:
        """The content of `inputs.json`."""
        return {
            "layout": _LAYOUT,
            "program": "shellbuck",
            "version": __version__,
            "versions": versions(),
            "title": self.plan.title,
            "seed": self.plan.seed,
            "points": self.points,
            "chunk": self.plan.chunk,
            "columns": [f.header for f in self.fields],
            "digest": self.plan.digest(),
            "sources": {name: sha_of(text) for name, text in self.plan.texts.items()},
            "inputs": self.plan.inputs(),
        }

    def _refuse_other(self) -> None:
        """Refuse a folder with files of another origin."""
        own = {_CHUNKS, ".lock", f".{INPUTS}.part", *self.plan.texts, *(f".{n}.part" for n in self.plan.texts)}
        other = [name for name in entries(self.path) if name not in own]
        if other or entries(self.path / _CHUNKS):
            what = "the folder contains other files"
            got = ", ".join(other)[:120]
            allowed = "a new folder, or that of the same study"
            raise Refusal.of("study-folder-other", what, str(self.path)[:200], got, allowed, "name another folder")

    def _claim(self) -> None:
        """Leave the inputs here, or compare them with those that are here."""
        target = self.path / INPUTS
        if target.exists():
            self._compare(target)
            return
        self._refuse_other()
        for name, text in self.plan.texts.items():
            write_whole(self.path / name, text)
        write_whole(target, json_text(self.record()) + "\n")

    def _compare(self, target: Path) -> None:
        try:
            found = json.loads(regular_bytes(target, LARGEST, "the inputs of a study", "", links=False))
            there = {key: found[key] for key in ("layout", "version", "versions", "digest", "columns", "points")}
        except (Refusal, ValueError, KeyError, TypeError):
            what = "the folder's inputs.json is not that of a study"
            raise Refusal.of("study-folder-other", what, str(target)[:200], "", "", "name another folder") from None
        mine = self.record()
        for key in ("layout", "version", "versions"):
            if there[key] != mine[key]:
                what = "the folder was begun with other versions: its numbers may differ in the last digit"
                got = _pairs(there[key])
                way_out = "name a new folder, or run the versions of the old one"
                raise Refusal.of("study-folder-version", what, str(target)[:200], got, _pairs(mine[key]), way_out)
        if any(there[key] != mine[key] for key in ("digest", "columns", "points")):
            raise Refusal.of(
                "study-folder-differs",
                "the folder belongs to other inputs: "
                + (", ".join(different_parts(found.get("inputs"), mine["inputs"])) or "columns"),
                str(target)[:200],
                "",
                "the study it was begun with",
                "name a new folder; no file was changed",
            )

    @property
    def chunk_count(self) -> int:
        return -(-self.points // self.plan.chunk)

    def numbers(self, chunk: int) -> range:
        """Points of a chunk."""
        return range(chunk * self.plan.chunk, min((chunk + 1) * self.plan.chunk, self.points))

    def _place(self, chunk: int) -> Path:
        return self.path / _CHUNKS / f"{chunk:07d}.csv"

    def missing(self) -> list[int]:
        """Chunks that are not there, or not whole."""
        return [k for k in range(self.chunk_count) if self._lines(k) is None]

    def save(self, chunk: int, rows: Sequence[Sequence[Any]]) -> None:
        """Keep the rows of a chunk."""
        self._columns.clear()
        body = "".join(row_text(row) for row in rows)
        write_whole(self._place(chunk), f"{body}# {hashlib.sha256(body.encode()).hexdigest()}\n")

    def _lines(self, chunk: int) -> str | None:
        """Text of a chunk's rows; None where it is missing or damaged."""
        try:
            text = regular_bytes(self._place(chunk), LARGEST, "a chunk", "", links=False).decode("utf-8")
        except (Refusal, ValueError):
            return None
        body, mark, digest = text.rpartition("# ")
        whole = mark and digest.strip() == hashlib.sha256(body.encode()).hexdigest()
        return body if whole and body.count("\n") == len(self.numbers(chunk)) else None

    def _whole(self, chunk: int) -> list[str]:
        """Lines of a chunk, one a row.

        Raises
        ------
        Refusal
            Where the chunk is missing or damaged.
        """
        body = self._lines(chunk)
        if body is None:
            what = "a finished chunk is no longer whole"
            way_out = "start the same command again: only this chunk is computed"
            raise Refusal.of("study-chunk-gone", what, str(self._place(chunk))[:200], "", "", way_out)
        return body.split("\n")[:-1]

    def _read(self, lines: Sequence[str]) -> list[list[Any]]:
        import csv

        return [read_row(cells, self.fields) for cells in csv.reader(lines)]

    def blocks(self) -> Iterator[list[list[Any]]]:
        """Rows of every chunk in order, a chunk at a time."""
        return (self._read(self._whole(k)) for k in range(self.chunk_count))

    def rows(self, points: Sequence[int]) -> Iterator[list[Any]]:
        """Rows of some points, in rising order; only they are read."""
        for k, some in groupby(sorted(set(points)), lambda point: point // self.plan.chunk):
            lines = self._whole(k)
            yield from self._read([lines[point % self.plan.chunk] for point in some])

    def columns(self, headers: Sequence[str]) -> list[np.ndarray]:
        """Columns of the table, each (points,): numbers with nan where a cell is empty, or words.

        What was read once is kept, so ask for what goes together in one call: it takes one pass over the chunks.
        """
        if left := [h for h in headers if h not in self._columns]:
            for _ in self._gathered(left):
                pass
        return [self._columns[h] for h in headers]

    def _gathered(self, headers: Sequence[str]) -> Iterator[list[list[Any]]]:
        """The blocks, their columns kept on the way."""
        at = {f.header: i for i, f in enumerate(self.fields)}
        words = {h for h in headers if self.fields[at[h]].kind == "text"}
        found = {h: np.empty(self.points, dtype=object if h in words else float) for h in headers}
        known: dict[str, str] = {}  # equal words are one object
        first = 0
        for block in self.blocks():
            for header, column in found.items():
                cells = [row[at[header]] for row in block]
                if header in words:
                    cells = [known.setdefault(cell, cell) for cell in cells]
                column[first : first + len(cells)] = cells
            first += len(block)
            yield block
        for column in found.values():
            column.flags.writeable = False
        self._columns.update(found)

    @property
    def table(self) -> Path:
        """Place of the table."""
        return self.path / f"table.{self.plan.form}"

    def assemble(self, headers: Sequence[str] = ()) -> Path:
        """Write the table out of the chunks; the same bytes however often the study was stopped.

        `headers` are columns that will be asked for: they are kept on the way.
        """
        write_table(self.table, self.fields, self._gathered(headers), self.plan.form)
        return self.table

    def keep(self, name: str, text: str) -> Path:
        """Write a further file of the study: a figure, its data, the summary."""
        target = self.path / name
        with contextlib.suppress(OSError):
            target.parent.mkdir(exist_ok=True)
        refuse_links(self.path, _FIGURES)
        write_whole(target, text)
        return target


def _pairs(value: Any) -> str:
    return ", ".join(f"{k} {v}" for k, v in value.items()) if isinstance(value, dict) else str(value)
