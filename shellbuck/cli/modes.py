"""The modes command: loads and modes of the perfect barrel, listed, by edges, or by every engine."""

from __future__ import annotations

import csv
import io
import time
from pathlib import Path

import click

from ..core.catalogue import EDGE_SETS
from ..core.errors import Refusal
from .commands import CASE_FILE, FORCE, units, user_command
from .output import keep_apart, printable, try_places, write_text
from .selection import load_case_named, ritz_of, say_left_out
from .targeting import claim, written
from .targets import CSV, JSON, MESH

_TRIAL = 20
"""Modes after which the remaining time is estimated."""

_OWN_OPTIONS = {
    "list": {"edges", "theory", "every"},
    "edges": {"edges", "theory"},
    "cell": {"interaction", "curved"},
    "engines": {"meshes", "most", "platens", "json_target", "mesh_target", "pictures"},
}
"""What is shown -> the options that only some of them have."""


class EdgeSets(click.Choice):
    """Edge sets by name, small letters too; help and messages name them as the trade does."""

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        return super().convert(value.upper(), param, ctx)


EDGES = EdgeSets([name for name in EDGE_SETS if name != "FREE"])  # both ends alike: one must be supported


@user_command(
    "modes",
    """Without --compare the lowest modes of one load case are listed, with the energy in skin and ribs.

    --compare edges: effect of boundary conditions, and of bending near the edges, on the perfect-shell load.
    --compare engines: closed form, Ritz and finite-element models with discrete ribs (minutes); differences are
    reported and explained.

    --compare cell: local buckling of one repeating cell of pocket and ribs, beside the handbook's coefficients.
    """,
)
@CASE_FILE
@click.option(
    "--compare", type=click.Choice(["edges", "engines", "cell"]), help="Compare edge sets, engines, or coefficients."
)
@click.option("--load-case", help="Name of the load case.  [default: the first; for edges all]")
@click.option(
    "--edges",
    multiple=True,
    type=EDGES,
    help="Edge set at both ends (springs and rings stay); to compare edges repeat it.  [default: the case's, else SS3; "
    "to compare SS3 and C4]",
)
@click.option("--theory", type=click.Choice(["Sanders", "Donnell"]), default="Sanders", show_default=True)
@click.option("--count", type=click.IntRange(1, 200), help="Modes to list.  [default: 10; of every mesh 6]")
@click.option("--every", type=CSV, help="Write every mode below 1.2 of the lowest to this file (CSV).")
@click.option(
    "--meshes", type=click.IntRange(1, 3), default=3, show_default=True, help="With 3 the loads are extrapolated."
)
@click.option(
    "--most",
    type=click.IntRange(5000, 2_000_000),
    default=150_000,
    show_default=True,
    help="Unknowns of the largest mesh.",
)
@click.option("--platens", is_flag=True, help="Finest mesh also with prestress of linear statics, flat rigid platens.")
@click.option("--interaction", is_flag=True, help="Also interaction curves of N_x with N_theta and with N_xtheta.")
@click.option("--curved", is_flag=True, help="Cell with the curvature of the barrel; flat without.")
@click.option("--json", "json_target", type=JSON, help="Write the comparison of engines as JSON.")
@click.option("--save-mesh", "mesh_target", type=MESH, help="Write the finest mesh with its modes (VTU).")
@click.option("--pictures", type=click.Path(), help="Folder for one picture (PNG) of each mode of the finest mesh.")
@units("the lines")
@FORCE
@click.pass_context
def command(context: click.Context, compare: str | None, **options: object) -> None:
    """Show one of them, with the options that belong to it."""
    shown = compare or "list"
    for name in set().union(*_OWN_OPTIONS.values()) - _OWN_OPTIONS[shown]:
        if context.get_parameter_source(name) is click.core.ParameterSource.COMMANDLINE:
            option = next(p.opts[-1] for p in context.command.params if p.name == name)
            having = " or ".join(_with(k) for k, names in _OWN_OPTIONS.items() if name in names)
            what = f"this option has no meaning {_with(shown)}"
            raise Refusal.of("command-line", what, option, "", having, "leave it out")
    if shown == "engines":
        from .engine_table import EngineOptions, print_engines

        for name in ("edges", "theory", "every", "interaction", "curved"):
            del options[name]
        print_engines(EngineOptions(**options))
    elif shown == "edges":
        from .edge_table import print_edges

        edges = options["edges"] or ("SS3", "C4")
        print_edges(options["case"], options["load_case"], edges, options["theory"], options["units"])
    elif shown == "cell":
        from .cell_table import print_cell

        print_cell(**{k: options[k] for k in ("case", "load_case", "interaction", "curved", "units")})
    else:
        claim(options["every"], force=options["force"])
        print_modes(**{k: options[k] for k in ("case", "load_case", "edges", "theory", "count", "every", "units")})
        written(options["every"])


def _with(shown: str) -> str:
    return "without --compare" if shown == "list" else f"with --compare {shown}"


def print_modes(
    case: str,
    load_case: str | None,
    edges: tuple[str, ...],
    theory: str,
    count: int | None,
    every: str | None,
    units: str,
) -> None:
    """Print the lowest modes; write the full list where a file is named."""
    from ..engines import ritz
    from ..io import read_case
    from ..report.review.waves import leading_m
    from ..report.text.display import DISPLAYS

    if len(edges) > 1:
        way_out = "name one, or add --compare edges"
        raise Refusal.of("command-line", "modes are listed for one edge set", "--edges", ", ".join(edges), "", way_out)
    display = DISPLAYS[units]
    keep_apart(case, every)
    file = read_case(case)
    try_places(every)
    load = load_case_named(file.case, load_case)
    barrel = ritz_of(file.case, load, edges[0] if edges else None, theory)
    found = ritz.membrane(barrel, pressure=load.p_min, shapes=count or 10)
    total = found.near_tie_count + 1
    click.echo(
        f"{printable(load.name)}: {found.edges}; {theory} kinematics, membrane prebuckling, "
        f"{found.pressure_treatment}, no knockdown"
    )
    say_left_out([load])
    click.echo(f"{total} load factors below 1.2 of the lowest, in {len(found.lowest_by_n)} harmonics (inertia counts)")
    for i, shape in enumerate(found.shapes, 1):
        energy = ", ".join(f"{name} {100 * share:.0f} %" for name, share in shape.energy)
        click.echo(
            f"  {i:3}  {display.shown(shape.line_load, 'line load', 6):>15}  n = {shape.n}, m: {leading_m(shape)} "
            f"of w^2  {energy}"
        )
    if every is not None:
        _write_every(ritz.every_mode(barrel, pressure=load.p_min), Path(every))


def _write_every(found: tuple[int, object], target: Path) -> None:
    """The full list as CSV, in SI; the number of modes is reported before any of them is solved."""
    from ..core.records import ModeShape

    total, modes = found
    click.echo(f"  every mode: {total} of them, to {printable(str(target))}", err=True)
    rows: list[ModeShape] = []
    start = time.monotonic()
    for shape in modes:
        rows.append(shape)
        if len(rows) == _TRIAL and total > _TRIAL:
            left = (time.monotonic() - start) / _TRIAL * (total - _TRIAL)
            click.echo(f"  about {left:.0f} s to go", err=True)
        elif len(rows) % 200 == 0:
            click.echo(f"  {len(rows)} of {total}", err=True)
    rows.sort(key=lambda shape: shape.line_load)
    names = list(dict.fromkeys(name for shape in rows for name, _ in shape.energy))
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["n", "leading m", "share of w^2", "line load [N/m]", *(f"energy share: {name}" for name in names)])
    for shape in rows:
        energy = dict(shape.energy)
        writer.writerow(
            [
                shape.n,
                shape.half_waves,
                f"{shape.half_wave_share:.6g}",
                f"{shape.line_load:.9g}",
                *(f"{energy.get(name, 0.0):.6g}" for name in names),
            ]
        )
    write_text(target, text.getvalue())
    click.echo(f"modes: {printable(str(target))} ({len(rows)} rows)")
