"""The picture command: a mode, the forces before buckling or the mesh, as a PNG or in an interactive 3D view."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

import click

from ..core.errors import Refusal
from .commands import CASE_FILE, FORCE, units, user_command
from .output import keep_apart, printable, tell, try_places
from .targeting import claim, written
from .targets import PNG

if TYPE_CHECKING:
    from ..core.records import Result
    from ..io import CaseFile
    from ..report.review.shapes import Shape

Show = Literal["mode", "hoop-force", "axial-force", "mesh"]


@dataclass(frozen=True)
class PictureOptions:
    """What is shown, and how; `target` None opens a window."""

    show: Show
    mode: int | None
    margin: str | None
    by_mesh: bool
    load_case: str | None
    target: str | None
    width: int
    cut_open: bool
    units: str
    force: bool


@user_command("picture", "Needs pyvista. Without --mode and --margin: the mode of the smallest margin with one.")
@CASE_FILE
@click.option("--to", "target", type=PNG, help="PNG file to write.")
@click.option("--window", is_flag=True, help="Interactive 3D view in place of a file.")
@click.option(
    "--show",
    type=click.Choice(get_args(Show)),
    default="mode",
    show_default=True,
    help="A mode, forces before buckling, or the mesh.",
)
@click.option("--mode", type=click.IntRange(1), help="Number of the mode on the page.")
@click.option("--margin", help="Failure mode whose margin rests on the mode.")
@click.option("--load-case", help="Name of the load case, for forces and for --margin.")
@click.option("--mesh", "by_mesh", is_flag=True, help="With the modes of shell meshes (minutes).")
@click.option("--cut-open", is_flag=True, help="Without the part towards the reader.")
@click.option(
    "--width",
    type=click.IntRange(200, 8000),
    default=1600,
    show_default=True,
    help="Pixels across; 3000 fill a printed page.",
)
@units("the captions")
@FORCE
def command(case: str, window: bool, **options: object) -> None:
    """Draw to a file or in a window."""
    if window is (options["target"] is not None):
        raise click.UsageError("give either --to FILE.png or --window")
    draw(case, PictureOptions(**options))


def draw(case: str, options: PictureOptions) -> None:
    """Draw what the options name, to a file or in a window."""
    from ..io import read_case
    from ..margins import assess, checked_by_mesh
    from ..report.pictures import draw_mesh, draw_shape, show_shape

    keep_apart(case, options.target)
    if options.margin is not None and (options.mode is not None or options.show != "mode"):
        way_out = "leave out --mode and --show"
        raise Refusal.of("command-line", "a margin names its own mode", "--margin", options.margin, "", way_out)
    if options.target is not None:
        claim(options.target, force=options.force, always=True)
    if options.show == "mesh" and (not options.by_mesh or options.target is None):
        what = "a mesh is drawn into a file, of a case that is solved by mesh"
        raise Refusal.of("command-line", what, "--show mesh", way_out="add --mesh and --to FILE.png")
    case_file = read_case(case)
    try_places(options.target)
    result, solved = assess(case_file.case), None
    if options.by_mesh:
        result, solved = checked_by_mesh(result, case_file.case, progress=tell)
        if solved is None:
            raise Refusal.of("mesh-check", result.validity[-1].text, result.validity[-1].where)
    size = (options.width, round(0.75 * options.width))
    if options.show == "mesh":
        words = (result.agreements[-1].discrete_runs[-1].sentence,)
        title = printable(case_file.case.identity.title)
        draw_mesh(solved.mesh, options.target, title=title, lines=words, size=size, cut_open=options.cut_open)
    else:
        shape = _shape(case_file, result, solved, options)
        if options.target is None:
            click.echo("opening a window; close it to continue", err=True)
            show_shape(shape, size=size, cut_open=options.cut_open)
            return
        draw_shape(shape, options.target, size=size, cut_open=options.cut_open)
    written(options.target)
    click.echo(f"picture: {printable(options.target)} ({size[0]} x {size[1]} pixels)")


def _shape(case_file: CaseFile, result: Result, solved: object, options: PictureOptions) -> Shape:
    """The mode or the forces."""
    from ..report.review.data import review_data
    from ..report.text.display import DISPLAYS
    from .shapes import edge_forces, mesh_forces, mode_of_margin, mode_shape

    title, display = printable(case_file.case.identity.title), DISPLAYS[options.units]
    data = review_data(result, case_file, display)
    if options.show == "mode":
        number = options.mode if options.margin is None else mode_of_margin(data, options.margin, options.load_case)
        return mode_shape(data, number, title)
    if solved is not None:
        return mesh_forces(data, result, solved, options.show, display, title)
    return edge_forces(data, result, options.load_case, options.show, display, title)
