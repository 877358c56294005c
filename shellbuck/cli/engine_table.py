"""One load case by every engine as lines of text, with the modes as files and pictures."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..core.errors import Refusal
from .output import keep_apart, printable, tell, try_places, write_text
from .selection import load_case_named, say_left_out
from .targeting import claim, written

if TYPE_CHECKING:
    from ..core.records import Agreement
    from ..report.text.display import Display

if TYPE_CHECKING:
    from ..engines.fe_barrel.repeating import Drawn

_MOST_MODES = 60


@dataclass(frozen=True)
class EngineOptions:
    """Options of the comparison of engines."""

    case: str
    load_case: str | None
    count: int | None
    meshes: int
    most: int
    platens: bool
    units: str
    json_target: str | None
    mesh_target: str | None
    pictures: str | None
    force: bool = False


def print_engines(options: EngineOptions) -> None:
    """Solve and print; write the files that are named."""
    from ..compare.engines import agreement
    from ..engines.fe_barrel.repeating import drawn
    from ..io import read_case
    from ..io.store.tables import make_folder
    from ..report.text.display import DISPLAYS

    targets = (options.json_target, options.mesh_target)
    keep_apart(options.case, *targets)
    claim(options.json_target, force=options.force)
    claim(options.mesh_target, force=options.force, always=True)
    if options.pictures is not None and not options.force:
        _refuse_pictures(Path(options.pictures))
    if (options.count or 0) > _MOST_MODES:
        allowed = f"1 to {_MOST_MODES}"
        raise Refusal.of("value-range", "too many modes of a mesh", "--count", str(options.count), allowed)
    file = read_case(options.case)
    load = load_case_named(file.case, options.load_case)
    try_places(*targets)
    if options.pictures is not None:
        make_folder(Path(options.pictures))
    found, solved = agreement(
        file.case,
        load,
        want=options.count or 6,
        most=options.most,
        meshes=options.meshes,
        statics=options.platens,
        progress=tell,
    )
    display = DISPLAYS[options.units]
    for line in lines(found, display):
        click.echo(line)
    say_left_out([load])
    if options.json_target is not None:
        from ..io.results import json_text, plain

        write_text(Path(options.json_target), json_text(plain(found)) + "\n")
        written(options.json_target)
        click.echo(f"json: {printable(options.json_target)}")
    if options.mesh_target is not None:
        from ..io.vtu import write_mesh

        shown = drawn(solved)
        fields = {f"mode {i + 1}": shown.displacement(i) for i in range(solved.line_loads.size)}
        write_mesh(options.mesh_target, shown.mesh, fields)
        written(options.mesh_target)
        click.echo(f"mesh: {printable(options.mesh_target)}")
    if options.pictures is not None:
        _draw(found, drawn(solved), Path(options.pictures), display, printable(file.case.identity.title))
    sys.stdout.flush()


def _refuse_pictures(folder: Path) -> None:
    """Refuse a folder with pictures of modes: they would be replaced, or left among the new ones."""
    from ..io.store.tables import entries

    old = [name for name in entries(folder) if re.fullmatch(r"mode-\d+\.png", name)]
    if old:
        what = "the folder has pictures of modes already"
        raise Refusal.of("file-exists", what, str(folder)[:200], old[0], "", "choose another name, or add --force")


def lines(found: Agreement, display: Display) -> list[str]:
    """The agreement as lines of text."""
    from ..report.review.waves import mesh_pair

    pressure = "no pressure" if found.pressure == 0 else f"{display.shown(found.pressure, 'pressure')} held fixed"
    out = [f"{printable(found.load_case)}: net line loads of the perfect barrel at one prestress, {pressure}", ""]
    base = found.loads["closed form as drawn"].line_load
    for load in found.loads.values():
        error = "" if load.resolution_error is None else f"  (resolution {100 * load.resolution_error:.2g} %)"
        out.append(
            f"  {display.shown(load.line_load, 'line load', 5):>14}  {load.line_load / base:.4f}  {load.name}{error}"
        )
    out += ["", "meshes:"]
    for title, runs in (("smeared", found.smeared_runs), ("ribs", found.discrete_runs)):
        out += [
            f"  {title:8} {display.shown(run.line_loads[0], 'line load', 6):>15}  {run.counted} counted, "
            f"{len(run.line_loads)} found; {run.sentence}"
            for run in runs
        ]
    out += ["", "modes of the finest mesh with ribs as they are:"]
    for i, mode in enumerate(found.modes):
        if i == found.listed:
            out.append("  beyond those, the lowest general mode that was found (more may lie between):")
        energy = ", ".join(f"{name} {100 * share:.0f} %" for name, share in mode.energy)
        out.append(
            f"  {display.shown(mode.line_load, 'line load', 6):>15}  {mesh_pair(mode)}, largest "
            f"pair {100 * mode.share:.0f} % of w^2, {'general' if mode.general else 'local'}; energy: {energy}"
        )
    failed = {one.text for one in found.findings if not one.passed}
    return [*out, "", *(f"{'!' if words in failed else '-'} {words}" for words in found.words)]


def _draw(found: Agreement, shown: Drawn, folder: Path, display: Display, title: str) -> None:
    from ..report.pictures import draw_mode
    from ..report.review.waves import mesh_pair

    for i, mode in enumerate(found.modes, 1):
        path = folder / f"mode-{i:02d}.png"
        draw_mode(
            shown.mesh,
            shown.modes[:, i - 1],
            path,
            title=title,
            lines=(
                f"{printable(found.load_case)}, mode {i}: {display.shown(mode.line_load, 'line load', 5)}",
                f"(m, n): {mesh_pair(mode)}, largest pair {100 * mode.share:.0f} % of w^2, "
                f"{'general' if mode.general else 'local'}; perfect barrel, no knockdown",
                *filter(None, [shown.words]),
            ),
        )
        click.echo(f"picture: {printable(str(path))}")
