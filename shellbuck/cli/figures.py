"""The figures command: every figure of a case as a file, with its data."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import click

from ..core.errors import Refusal
from ..io import read_case
from ..io.store.tables import entries, make_folder
from ..margins import assess
from ..report.text.display import DISPLAYS
from .output import keep_apart, printable, tell, write_bytes, write_text


@dataclass(frozen=True)
class Wanted:
    """Options of the command."""

    target: str
    form: Literal["svg", "pdf"]
    by_mesh: bool
    units: str
    force: bool


def write_figures(case: str, wanted: Wanted) -> None:
    """Draw every figure of a case, then write them; nothing is written unless all of them are drawn."""
    folder = Path(wanted.target)
    keep_apart(case, wanted.target)
    file = read_case(case)
    _ready(folder, wanted.force)
    result = assess(file.case)
    if wanted.by_mesh:
        from ..margins.meshed import checked_by_mesh

        result, _ = checked_by_mesh(result, file.case, progress=tell)
    from ..report.figures.export import exported, index_text

    figures = exported(result, file, DISPLAYS[wanted.units])
    if not figures:
        click.echo("nothing to draw: the case gives no figure")
        return
    files = [(f"{f.name}.{wanted.form}", f.content(wanted.form)) for f in figures]
    tables = [(f"{f.name}.csv", f.table()) for f in figures]
    make_folder(folder)
    for name, drawing in files:
        write_bytes(folder / name, drawing)
    for name, text in tables:
        write_text(folder / name, text)
    write_text(folder / "index.csv", index_text(figures, wanted.form))
    size = sum(len(d) for _, d in files) + sum(len(t.encode("utf-8", "surrogateescape")) for _, t in tables)
    click.echo(
        f"figures: {printable(wanted.target)} ({len(figures)} {wanted.form.upper()} files with their data as CSV and "
        f"index.csv, {size / 1e6:.1f} MB)"
    )
    left = [name for name in entries(folder) if name not in {n for n, _ in files + tables} | {"index.csv"}]
    if left:
        click.echo(f"  other files in this folder, left as they are: {len(left)}, such as {printable(left[0])}")


def _ready(folder: Path, force: bool) -> None:
    """Refuse a folder that holds anything, unless told to write into it, or that is a file."""
    if entries(folder) and not force:
        raise Refusal.of(
            "file-exists", "the folder is not empty", str(folder)[:200], way_out="choose another name, or say --force"
        )
