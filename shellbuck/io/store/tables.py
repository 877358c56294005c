"""Tables to disk, piece after piece: CSV or Parquet. The only door to pyarrow."""

from __future__ import annotations

import contextlib
import csv
import io
import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, Literal

from ...core.errors import Refusal, install_words

Kind = Literal["whole", "number", "text"]


@dataclass(frozen=True)
class Field:
    """A column of a table: its heading (with the unit) and the kind of its cells."""

    header: str
    kind: Kind


def row_text(row: Sequence[Any]) -> str:
    """One line of CSV. Numbers as their shortest text that reads back the same; None as an empty cell."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([_cell(x) for x in row])
    return out.getvalue()


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(float(value))  # a numpy number prints its type too
    if isinstance(value, str):
        # one line per row, whatever a message contains
        return " ".join(value.encode("utf-8", "replace").decode().split())
    return str(value)


def read_row(cells: Sequence[str], fields: Sequence[Field]) -> list[Any]:
    """Cells of a line back to values; an empty number is None."""
    return [_value(cell, f.kind) for cell, f in zip(cells, fields, strict=True)]


def _value(cell: str, kind: Kind) -> Any:
    if kind == "text":
        return cell
    if cell == "":
        return None
    return int(cell) if kind == "whole" else float(cell)


def need_parquet() -> None:
    """Refuse Parquet before any work where its library is missing.

    Raises
    ------
    Refusal
    """
    try:
        import pyarrow  # noqa: F401
    except ImportError:
        what, way_out = "Parquet needs the pyarrow library", f'{install_words("pyarrow")}, or set format = "csv"'
        raise Refusal.of("study-parquet-missing", what, "format", "parquet", '"csv"', way_out) from None


def write_table(path: Path, fields: Sequence[Field], blocks: Iterable[list[list[Any]]], form: str) -> None:
    """Write a table whole or not at all; only one block of rows is in memory at a time.

    Parameters
    ----------
    path : Path
    fields : sequence of Field
    blocks : iterable of lists of rows
    form : {"csv", "parquet"}

    Raises
    ------
    Refusal
        Where nothing can be written, or the library of Parquet is missing.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        if form == "parquet":
            with _fresh(part) as stream:
                _parquet(stream, fields, blocks)
        else:
            with _fresh(part) as raw, io.TextIOWrapper(raw, encoding="utf-8", newline="") as stream:
                writer = csv.writer(stream, lineterminator="\n")
                writer.writerow([_cell(f.header) for f in fields])
                for block in blocks:
                    writer.writerows([_cell(x) for x in row] for row in block)
        replace_synced(part, path)
    except OSError as error:
        raise unwritable(path, error) from None


def _parquet(part: BinaryIO, fields: Sequence[Field], blocks: Iterable[list[list[Any]]]) -> None:
    need_parquet()
    import pyarrow as pa
    from pyarrow import parquet

    kinds = {"whole": pa.int64(), "number": pa.float64(), "text": pa.string()}
    schema = pa.schema([(f.header, kinds[f.kind]) for f in fields])
    with parquet.ParquetWriter(part, schema) as writer:
        for block in blocks:
            cells = zip(*block, strict=True)
            columns = [pa.array(column, kinds[f.kind]) for column, f in zip(cells, fields, strict=True)]
            writer.write_table(pa.Table.from_arrays(columns, schema=schema))


def _fresh(part: Path) -> BinaryIO:
    """A new file: one left over is removed, and a symbolic link that waits there is removed, never written through."""
    with contextlib.suppress(FileNotFoundError):
        part.unlink()
    return part.open("xb")


def refuse_links(folder: Path, *inner: str) -> None:
    """Refuse a folder with symbolic links, which a folder of ours never has: they lead elsewhere.

    Parameters
    ----------
    folder : Path
        Its own name may be a link.
    inner : str
        Folders in it that are checked as well.

    Raises
    ------
    Refusal
        "study-folder-link".
    """
    with usable_folder(folder):
        for place in (folder, *(folder / name for name in inner)):
            found = sorted(p.name for p in place.iterdir() if p.is_symlink()) if place.is_dir() else []
            if found:
                what = "the folder contains a symbolic link"
                where = str(place / found[0])[:200]
                way_out = "copy what it leads to in its place, or name another folder"
                raise Refusal.of("study-folder-link", what, where, "", "files and folders only", way_out)


def write_whole(path: Path, data: str | bytes) -> None:
    """Write a file under another name, then move it into place: it is there whole, or not there.

    Raises
    ------
    Refusal
        Where nothing can be written.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        with _fresh(part) as stream:
            stream.write(data.encode("utf-8", "surrogateescape") if isinstance(data, str) else data)
        replace_synced(part, path)
    except OSError as error:
        raise unwritable(path, error) from None


def replace_synced(part: Path, path: Path) -> None:
    """Move a finished file into place once the disk has it: a crash of the machine leaves the old one or the new."""
    with part.open("rb+") as stream:
        os.fsync(stream.fileno())
    part.replace(path)


@contextlib.contextmanager
def usable_folder(path: Path) -> Iterator[None]:
    """One refusal wherever a folder that is made or read cannot be used.

    Raises
    ------
    Refusal
        Where there is a file of this name or in its path, or the system refuses.
    """
    try:
        if path.exists() and not path.is_dir():
            raise Refusal.of("file-exists", "this is a file, not a folder", str(path)[:200], way_out="name a folder")
        yield
    except NotADirectoryError:
        raise Refusal.of(
            "file-exists", "a part of this path is a file, not a folder", str(path)[:200], way_out="name a folder"
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise Refusal.of(
            "file-unwritable", f"the folder cannot be used ({reason})", str(path)[:200], way_out="name another folder"
        ) from None


def make_folder(path: Path) -> None:
    """Make a folder, and those above it, where they do not exist.

    Raises
    ------
    Refusal
        See `usable_folder`.
    """
    with usable_folder(path):
        path.mkdir(parents=True, exist_ok=True)


def entries(path: Path) -> list[str]:
    """Names in a folder; none where it does not exist.

    Raises
    ------
    Refusal
        See `usable_folder`.
    """
    with usable_folder(path):
        return sorted(p.name for p in path.iterdir()) if path.is_dir() else []


def unwritable(path: Path, error: OSError) -> Refusal:
    """The refusal for a place that cannot be written to."""
    reason = error.strerror or str(error)
    return Refusal.of(
        "file-unwritable",
        f"the file cannot be written ({reason})",
        str(path)[:200],
        way_out="check the folder and the space that is left; what is finished stays",
    )
