"""The commands figures, picture, look and beside; what they do loads when they run."""

from __future__ import annotations

import click

from .targets import PAGE, PNG


@click.command()
@click.argument("case", type=click.Path())
@click.option("--to", "target", type=click.Path(), required=True, help="Folder of the figures; made if need be.")
@click.option("--format", "form", type=click.Choice(["svg", "pdf"]), default="svg", show_default=True)
@click.option("--mesh", "by_mesh", is_flag=True, help="With the modes of shell meshes (minutes).")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of the figures (data are SI).")
@click.option("--force", is_flag=True, help="Write into a folder that is not empty.")
def figures(case: str, **wanted: object) -> None:
    """Write every figure as a file, with its data beside it."""
    from .figures import Wanted, write_figures

    write_figures(case, Wanted(**wanted))


def _drawing(command):
    """The options that a picture and a window share."""
    for option in (
        click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of the words."),
        click.option("--cut-open", is_flag=True, help="Look inside: the part towards the reader is left out."),
        click.option("--load-case", help="Name of the load case, for forces and for --margin."),
        click.option("--mesh", "by_mesh", is_flag=True, help="With the modes of shell meshes (minutes)."),
        click.option("--margin", help="Failure mode whose margin is meant: the mode that it rests on."),
        click.option(
            "--mode",
            type=click.IntRange(1),
            help="Its number on the page.  [default: the mode that the smallest margin with a mode rests on]",
        ),
        click.option(
            "--show",
            type=click.Choice(["mode", "hoop-force", "axial-force", "mesh"]),
            default="mode",
            show_default=True,
            help="A mode, forces before buckling, or the mesh.",
        ),
        click.argument("case", type=click.Path()),
    ):
        command = option(command)
    return command


@click.command()
@_drawing
@click.option("--to", "target", type=PNG, required=True, help="PNG file to write.")
@click.option("--force", is_flag=True, help="Overwrite an existing file.")
@click.option(
    "--width",
    type=click.IntRange(200, 8000),
    default=1600,
    show_default=True,
    help="Pixels across; 3000 fill a printed page.",
)
def picture(case: str, **wanted: object) -> None:
    """Draw a mode, the forces before buckling or the mesh as a PNG (needs pyvista)."""
    from .picture import Wanted, draw

    draw(case, Wanted(**wanted))


@click.command()
@_drawing
def look(case: str, **wanted: object) -> None:
    """Look at a mode or at forces in a window that the mouse turns (needs pyvista)."""
    from .picture import Wanted, draw

    draw(case, Wanted(target=None, width=1200, force=False, **wanted))


@click.command()
@click.argument("first", type=click.Path())
@click.argument("second", type=click.Path())
@click.option("--page", "target", type=PAGE, required=True, help="Page to write (HTML).")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
@click.pass_context
def beside(context: click.Context, first: str, second: str, target: str, force: bool) -> None:
    """Put two saved report pages side by side: inputs, margins, modes."""
    from .beside import put_beside

    context.exit(put_beside(first, second, target, force))
