"""What a picture shows: a mode, or the forces before buckling, as a shape with its captions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from ..core.errors import Refusal
from ..core.records import Result
from ..report.review.edges import edge_pair
from ..report.review.fields import MeshField, decoded, field_of
from ..report.review.shapes import Piece, Shape, shape_of, tube
from ..report.text.display import Display
from .output import printable
from .picture import Show


def mode_of_margin(data: Mapping[str, Any], margin: str, load_case: str | None) -> int:
    """Number of the mode that the smallest margin of a failure mode rests on, of one load case or of all."""
    rows = [row for row in data["margins"] if row["mode"] == margin and load_case in (None, row["case"])]
    if not rows:
        named = (f"{printable(row['mode'])}, {printable(row['case'])}" for row in data["margins"])
        known = "; ".join(dict.fromkeys(named))
        got = margin if load_case is None else f"{margin}, {load_case}"
        raise Refusal.of("mode-unknown", "there is no such margin", "--margin", got, known)
    row = rows[0]
    if row["basis"] is None:
        where = f"{printable(row['mode'])}, {printable(row['case'])}"
        what, way_out = "this margin has no mode to draw", "choose a margin with a mode, or a mode by --mode"
        raise Refusal.of("mode-unknown", what, "--margin", f"{where}: {row['words']}", way_out=way_out)
    return int(row["basis"].removeprefix("mode "))


def mode_shape(data: Mapping[str, Any], number: int | None, title: str) -> Shape:
    """The shape of a mode by its number on the page; without one that which the page opens with."""
    named = {mode["id"]: mode for mode in data["modes"]}
    mode = named.get(data["first"] or next(iter(named), "")) if number is None else named.get(f"mode {number}")
    if mode is None:
        listed = (f"{k.removeprefix('mode ')}: {m['engine']}, {printable(m['case'])}" for k, m in named.items())
        known = "; ".join(listed) or "none"
        raise Refusal.of("mode-unknown", "there is no such mode", "--mode", str(number or "none given"), known)
    shape = shape_of(field_of(mode, data), most=2_000_000)
    kind = f", {mode['kind']}" if mode["kind"] else ""
    words = (
        f"{printable(mode['case'])}, {mode['id']}: {mode['load_text']}, {printable(mode['title'])}",
        f"{mode['pair']}, {100 * mode['share']:.0f} % of w^2{kind}; {mode['waves']}; perfect barrel, no knockdown",
        printable(mode["margins"]),
        f"colour: radial displacement over its peak; largest displacement drawn as {100 * shape.amplitude:.2g} % of "
        "the radius, amplitude arbitrary",
    )
    return replace(shape, title=title, words=words)


def _strip_words(largest: float, display: Display) -> tuple[str, str]:
    shown = display.shown(largest, "line load", 3)
    return f"compression -{shown}", f"tension {shown}"


def mesh_forces(
    data: Mapping[str, Any], result: Result, solved: Any, show: Show, display: Display, title: str
) -> Shape:
    """Forces in skin and ribs of the mesh at its lowest load."""
    from ..engines.fe_barrel.forces import forces_before

    agreement = result.agreements[-1]
    load = float(solved.line_loads[0])
    forces = forces_before(solved, data["barrel"]["radius"], load, agreement.pressure)
    values = forces.hoop if show == "hoop-force" else forces.axial
    mode = next(m for m in data["modes"] if m["form"] == "mesh")
    field, surface = field_of(mode, data), data["surfaces"][mode["surface"]]
    assert isinstance(field, MeshField)
    part, each = decoded(surface["part"]), solved.mesh.order**2
    largest = float(np.abs(values).max()) or 1.0
    pieces, said = [], []
    for i, name in enumerate(surface["parts"]):
        on = np.nonzero(part == i)[0]
        if not len(on):
            continue
        total, count = np.zeros(len(field.points)), np.zeros(len(field.points))
        for corner in range(4):
            np.add.at(total, field.facets[on, corner], values[on // each])
            np.add.at(count, field.facets[on, corner], 1)
        nodal = total / np.maximum(count, 1) / largest
        quads = field.facets[on]
        for j in range(field.copies()):
            points, _ = field.copy(j)
            pieces.append(Piece(points, np.zeros_like(points), nodal, quads))
        said.append(f"{name} {display.shown(float(values[on // each].mean()), 'line load', 4)}")
    words = (
        f"{printable(agreement.load_case)}: {'hoop' if show == 'hoop-force' else 'axial'} force per length of surface "
        f"before buckling, tension positive, at the lowest load of the mesh, {display.shown(load, 'line load', 5)}",
        "mean: " + ", ".join(said),
        f"pressure {display.shown(agreement.pressure, 'pressure')} held fixed; uniform strain",
    )
    return Shape(tuple(pieces), field.radius, field.length, 0.0, title, words, _strip_words(largest, display))


def edge_forces(
    data: Mapping[str, Any], result: Result, load_case: str | None, show: Show, display: Display, title: str
) -> Shape:
    """Forces of the axisymmetric state with edge bending at its critical load, on the barrel as it deflects."""
    found = [
        (state, pair[1])
        for state in result.load_cases
        if (pair := edge_pair(state)) is not None
        and pair[1] is not None
        and pair[1].prebuckled is not None
        and load_case in (None, state.name)
    ]
    if not found:
        what = "the forces before buckling are uniform: there is no state with edge bending to draw"
        allowed = "a load case whose barrel names its edges, or --mesh"
        raise Refusal.of("no-prestress", what, "--show", load_case or "", allowed)
    of_case, load = found[0]
    state, R, L = load.prebuckled, data["barrel"]["radius"], data["barrel"]["length"]
    x = np.array(state.x)
    tt, xx, quads = tube(180, x)
    force = np.array(state.hoop_force) if show == "hoop-force" else np.full(len(x), -load.line_load)
    largest = float(np.abs(force).max()) or 1.0
    d = np.zeros((len(tt), 3))
    d[:, 2] = np.repeat(state.deflection, 181)
    piece = Piece(np.column_stack([xx, tt, np.full(len(tt), R)]), d, np.repeat(force / largest, 181), quads)
    shown = display.shown
    deflection = float(np.abs(state.deflection).max())
    words = (
        f"{printable(of_case.name)}: {'hoop' if show == 'hoop-force' else 'axial'} force before buckling, tension "
        f"positive, at the critical load of the state with edge bending, {shown(load.line_load, 'line load', 5)}",
        f"from {shown(float(force.min()), 'line load')} to {shown(float(force.max()), 'line load')}",
        f"{load.edges}; largest deflection {shown(deflection, 'length', 3)}, drawn as 5 % of the radius",
    )
    return Shape((piece,), R, L, 0.05, title, words, _strip_words(largest, display))
