"""The figures command: every figure of a case as a file, with its data."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import click

from ..core.errors import Refusal
from .commands import CASE_FILE, units, user_command
from .output import keep_apart, printable, tell, write_bytes, write_text


@dataclass(frozen=True)
class FigureOptions:
    """Options of the command."""

    target: str
    form: Literal["svg", "pdf"]
    by_mesh: bool
    units: str
    force: bool


@user_command("figures")
@CASE_FILE
@click.option("--to", "target", type=click.Path(), required=True, help="Folder of the figures; created if missing.")
@click.option("--format", "form", type=click.Choice(["svg", "pdf"]), default="svg", show_default=True)
@click.option("--mesh", "by_mesh", is_flag=True, help="With the modes of shell meshes (minutes).")
@units("the figures (data are SI)")
@click.option("--force", is_flag=True, help="Write into a folder that is not empty.")
def command(case: str, **options: object) -> None:
    """Draw and write."""
    write_figures(case, FigureOptions(**options))


def write_figures(case: str, options: FigureOptions) -> None:
    """Draw every figure of a case, then write them; nothing is written unless all of them are drawn."""
    from ..io import read_case
    from ..io.store.tables import entries, make_folder
    from ..margins import assess
    from ..report.text.display import DISPLAYS

    folder = Path(options.target)
    keep_apart(case, options.target)
    file = read_case(case)
    _ready(folder, options.force)
    result = assess(file.case)
    if options.by_mesh:
        from ..margins.meshed import checked_by_mesh

        result, _ = checked_by_mesh(result, file.case, progress=tell)
    from ..report.figures.export import exported, index_text

    figures = exported(result, file, DISPLAYS[options.units])
    if not figures:
        click.echo("the case has no figure to write")
        return
    files = [(f"{f.name}.{options.form}", f.content(options.form)) for f in figures]
    tables = [(f"{f.name}.csv", f.table()) for f in figures]
    make_folder(folder)
    for name, drawing in files:
        write_bytes(folder / name, drawing)
    for name, text in tables:
        write_text(folder / name, text)
    write_text(folder / "index.csv", index_text(figures, options.form))
    size = sum(len(d) for _, d in files) + sum(len(t.encode("utf-8", "surrogateescape")) for _, t in tables)
    click.echo(
        f"figures: {printable(options.target)} ({len(figures)} {options.form.upper()} files with their data as CSV and "
        f"index.csv, {size / 1e6:.1f} MB)"
    )
    left = [name for name in entries(folder) if name not in {n for n, _ in files + tables} | {"index.csv"}]
    if left:
        click.echo(f"  other files in this folder, left as they are: {len(left)}, such as {printable(left[0])}")


def _ready(folder: Path, force: bool) -> None:
    """Refuse a folder that is not empty, unless forced, or that is a file."""
    from ..io.store.tables import entries

    if entries(folder) and not force:
        raise Refusal.of(
            "file-exists", "the folder is not empty", str(folder)[:200], way_out="choose another name, or add --force"
        )
