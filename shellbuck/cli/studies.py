"""The commands of studies: study, map, point. Nothing heavy is loaded before one of them runs."""

from __future__ import annotations

import click

from .again import command_line
from .targets import CASE, JSON, PAGE

MAP_KINDS = ("loads", "pressure", "thickness", "ribs", "sides")


@click.command()
@click.argument("file", type=click.Path())
@click.option(
    "--to", "target", type=click.Path(), required=True, help="Folder of the study; one that was begun goes on."
)
@click.option(
    "--workers", "count", type=click.IntRange(1, 1024), help="Processes on this machine; one per core without."
)
@click.option("--scheduler", help="Address of a Dask scheduler that does the work instead.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of page and figures (data are SI).")
def study(file: str, target: str, count: int | None, scheduler: str | None, units: str) -> None:
    """Vary inputs of a case, with any result as a column; stop and go on at will."""
    from .study import Wanted, study_file

    command = command_line()
    click.get_current_context().exit(study_file(file, Wanted(target, count, scheduler, units, command)))


@click.command("map")
@click.argument("case", type=click.Path())
@click.argument("kind", metavar="KIND", type=click.Choice(MAP_KINDS))
@click.option("--to", "target", type=click.Path(), required=True, help="Folder of the map; one that was begun goes on.")
@click.option("--load-case", help="Name of the load case; the governing one, or for sizes all, without it.")
@click.option(
    "--points",
    "counts",
    type=click.IntRange(2, 500),
    nargs=2,
    default=(21, 21),
    show_default=True,
    help="Points across and up.",
)
@click.option("--x", nargs=2, help="Ends of the axis across, such as --x '0 kN' '3 MN'; plain numbers for a factor.")
@click.option("--y", nargs=2, help="Ends of the axis up, such as --y '1 mm' '4 mm'.")
@click.option("--pressure", "pressures", multiple=True, help="For loads: a panel at this pressure; repeat for several.")
@click.option("--workers", "count", type=click.IntRange(1, 1024), help="Processes on this machine.")
@click.option("--scheduler", help="Address of a Dask scheduler that does the work instead.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of page and figures (data are SI).")
def map_(
    case: str, kind: str, target: str, count: int | None, scheduler: str | None, units: str, **axes: object
) -> None:
    """Map the margins of a case. KIND is one of:

    loads: axial force against moment. pressure: axial force against pressure, with the safe window. thickness, ribs:
    skin thickness or rib depth against a factor on all loads. sides: thickness, ribs inside against outside.
    """
    from .maps import map_case
    from .study import Wanted

    command = command_line()
    wanted = Wanted(target, count, scheduler, units, command)
    click.get_current_context().exit(map_case(case, kind, wanted, **axes))


@click.command()
@click.argument("folder", type=click.Path())
@click.argument("number", type=int)
@click.option("--page", "page_target", type=PAGE, help="Write the report page (HTML).")
@click.option("--json", "json_target", type=JSON, help="Write the result as JSON.")
@click.option("--to", "case_target", type=CASE, help="Write the point as a case file.")
@click.option("--units", type=click.Choice(["si", "us"]), default="si", help="Units of table and page.")
@click.option("--brief", is_flag=True, help="Smallest margins and warnings only.")
@click.option("--force", is_flag=True, help="Replace whatever stands at the files to write.")
def point(folder: str, number: int, **wanted: object) -> None:
    """Open one point of a study or map as a full run."""
    from .point import open_point

    click.get_current_context().exit(open_point(folder, number, **wanted))
