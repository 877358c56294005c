"""Meshes as VTU files: every element as p by p linear quadrilaterals, with what restores the mesh as integer data.

Point data: "node" (our number), "x theta r" or "x y z" (coordinates of the mesh), "left of" (on the right side of a
sector: the node of the left side that matches, else -1), and any fields. Cell data: "element", "place" (i p + j within
it), "part", one mask a part with its name ("part 0 skin"), "angle" of the sector [rad]. The order of points and cells
in the file means nothing.
"""

from __future__ import annotations

import contextlib
import io
import os
from pathlib import Path
from typing import Any

import numpy as np

from ..core.errors import Refusal
from ..engines.mesh import Mesh
from ..engines.mesh.elevate import corners_of
from ..engines.mesh.points import HIGHEST_ORDER

_COORDINATES = {"x theta r": "cylindrical", "x y z": "cartesian"}
_POINT_DATA = {"node", "left of", *_COORDINATES}
_NEAR = 1e-9
"""How far positions and coordinates may disagree, relative to the size of the mesh."""


def write_mesh(path: str | Path, mesh: Mesh, fields: dict[str, np.ndarray] | None = None) -> None:
    """Write a mesh as a VTU file; a file that is there is replaced.

    Parameters
    ----------
    path : str or Path
    mesh : Mesh
    fields : dict or None
        Fields at the nodes by name: (nodes,) or (nodes, 3), real numbers.

    Raises
    ------
    Refusal
        When a field does not fit the mesh, the mesh would not read back the same, or the place cannot be written to.
    """
    import meshio

    fields = {name: _field(name, values, mesh) for name, values in (fields or {}).items()}
    point_data, cell_data, cells = _arrays(mesh)
    if not _restored(point_data, cell_data, cells).same_as(mesh):
        raise Refusal.of(
            "mesh-file",
            "the file cannot store this mesh: its corners are not where its corner nodes are, or the "
            "nodes of its right side do not rise",
            str(path)[:200],
        )
    out = meshio.Mesh(
        mesh.positions(),
        [("quad", cells)],
        point_data={**point_data, **fields},
        cell_data={name: [values] for name, values in cell_data.items()},
    )
    try:
        meshio.vtu.write(os.fspath(path), out)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise Refusal.of("file-unwritable", f"the mesh cannot be written ({reason})", str(path)[:200]) from None


def read_mesh(path: str | Path) -> tuple[Mesh, dict[str, np.ndarray]]:
    """Read a mesh that `write_mesh` wrote, whatever has put its points and cells into another order since.

    Parameters
    ----------
    path : str or Path

    Returns
    -------
    tuple
        The mesh, equal to the last bit, and its fields by name, (nodes,) or (nodes, 3).

    Raises
    ------
    Refusal
        For a file that cannot be read, is cut short, or has no mesh of ours.
    """
    import meshio

    where = str(path)[:200]
    try:
        if not Path(path).is_file():
            raise Refusal.of("mesh-file", "there is no such file", where)
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            data = meshio.vtu.read(os.fspath(path))
        if data.point_data is None or {block.type for block in data.cells} != {"quad"}:
            raise _Foreign("it contains more than quadrilaterals with data")
        points, cells = np.asarray(data.points), np.concatenate([block.data for block in data.cells])
        point_data = {name: _flat(values) for name, values in data.point_data.items()}
        cell_data = {name: _flat(np.concatenate(list(blocks))) for name, blocks in data.cell_data.items()}
        mesh = _restored(point_data, cell_data, cells)
        order = np.argsort(point_data["node"])
        away = np.abs(points[order] - mesh.positions()).max()
        if not away <= _NEAR * np.ptp(points, axis=0).max():
            raise _Foreign("positions and coordinates of its nodes disagree")
        fields = {name: v[order] for name, v in point_data.items() if name not in _POINT_DATA}
    except Refusal:
        raise
    except _Foreign as error:
        raise Refusal.of(
            "mesh-file", f"the file is no mesh of ours: {error}", where, way_out="write it with write_mesh"
        ) from None
    except Exception as error:  # a file may break a reader of foreign files in any way
        reason = " ".join(str(error).split())[:120]
        raise Refusal.of(
            "mesh-file", "the file is damaged, cut short, or no VTU file" + (f" ({reason})" if reason else ""), where
        ) from None
    return mesh, fields


class _Foreign(Exception):
    """What is missing or wrong in a file that could be read."""


def _arrays(mesh: Mesh) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray], np.ndarray]:
    """Point data, cell data, and the (e p^2, 4) linear quadrilaterals."""
    p, e = mesh.order, len(mesh.elements)
    left_of = np.full(len(mesh.points), -1, dtype=np.int64)
    left_of[mesh.right] = mesh.left
    names = {kind: name for name, kind in _COORDINATES.items()}
    point_data = {
        "node": np.arange(len(mesh.points)),
        names[mesh.coordinates]: mesh.points.astype(float),
        "left of": left_of,
    }
    part = np.repeat(mesh.part, p * p)
    cell_data = {
        "element": np.repeat(np.arange(e), p * p),
        "place": np.tile(np.arange(p * p), e),
        "part": part,
        **{f"part {i} {name}": (part == i).astype(np.int8) for i, name in enumerate(mesh.parts)},
        "angle": np.full(len(part), float(mesh.angle)),
    }
    return point_data, cell_data, _linear(mesh.elements, p)


def _linear(elements: np.ndarray, p: int) -> np.ndarray:
    """(e p^2, 4) linear quadrilaterals between the nodes of elements (e, (p + 1)^2)."""
    at = elements.reshape(-1, p + 1, p + 1)
    around = [at[:, :-1, :-1], at[:, 1:, :-1], at[:, 1:, 1:], at[:, :-1, 1:]]
    return np.stack(around, axis=-1).reshape(-1, 4)


def _restored(point_data: dict[str, np.ndarray], cell_data: dict[str, np.ndarray], cells: np.ndarray) -> Mesh:
    """The mesh out of the arrays of a file, in any order."""
    kind = next((name for name in _COORDINATES if name in point_data), None)
    needed = [*({"node", "left of"} - set(point_data)), *({"element", "place", "part", "angle"} - set(cell_data))]
    if kind is None or needed:
        missing = sorted([*needed, *([] if kind else _COORDINATES)])
        raise _Foreign("it lacks " + ", ".join(f'"{name}"' for name in missing))
    number = _whole(point_data["node"], "node")
    nodes = len(number)
    if not np.array_equal(np.sort(number), np.arange(nodes)):
        raise _Foreign("its nodes are not numbered through")
    order = np.argsort(number)
    points, left_of = point_data[kind][order], _whole(point_data["left of"], "left of")[order]
    if points.shape != (nodes, 3) or not np.isfinite(points).all() or left_of.min() < -1 or left_of.max() >= nodes:
        raise _Foreign("its coordinates or matched nodes make no sense")
    element, place = _whole(cell_data["element"], "element"), _whole(cell_data["place"], "place")
    p = round(int(place.max() + 1) ** 0.5)
    e = len(cells) // (p * p) if p else 0
    sorting = np.lexsort((place, element))
    if (
        not 1 <= p <= HIGHEST_ORDER
        or e * p * p != len(cells)
        or not (
            np.array_equal(element[sorting], np.repeat(np.arange(e), p * p))
            and np.array_equal(place[sorting], np.tile(np.arange(p * p), e))
        )
    ):
        raise _Foreign("its elements are not complete")
    if cells.min() < 0 or cells.max() >= nodes:
        raise _Foreign("its elements name nodes that do not exist")
    linear = number[cells[sorting]]
    elements = np.empty((e, p + 1, p + 1), dtype=np.int64)
    square = linear.reshape(e, p, p, 4)
    elements[:, :-1, :-1], elements[:, 1:, :-1] = square[..., 0], square[..., 1]
    elements[:, 1:, 1:], elements[:, :-1, 1:] = square[..., 2], square[..., 3]
    elements = elements.reshape(e, -1)
    if not np.array_equal(_linear(elements, p), linear):
        raise _Foreign("the pieces of an element do not fit together")
    part = _whole(cell_data["part"], "part")[sorting].reshape(e, p * p)
    parts = _part_names(cell_data)
    if (part != part[:, :1]).any() or part.min() < 0 or part.max() >= len(parts):
        raise _Foreign("its parts make no sense")
    angle = cell_data["angle"]
    if not np.issubdtype(angle.dtype, np.floating) or (angle != angle[0]).any():
        raise _Foreign("its sector has no one angle")
    right = np.nonzero(left_of >= 0)[0]
    corners = corners_of(points, elements.reshape(e, p + 1, p + 1)[:, ::p, ::p], _COORDINATES[kind])
    return Mesh(
        p,
        points,
        elements,
        corners,
        part[:, 0].copy(),
        parts,
        _COORDINATES[kind],
        left_of[right],
        right,
        float(angle[0]),
    )


def _part_names(cell_data: dict[str, Any]) -> tuple[str, ...]:
    found = {}
    for key in cell_data:
        word, _, rest = key.partition(" ")
        index, _, name = rest.partition(" ")
        if word == "part" and index.isdigit() and len(index) < 6:
            found[int(index)] = name
    if not found or sorted(found) != list(range(len(found))):
        raise _Foreign("the names of its parts are missing")
    return tuple(found[i] for i in range(len(found)))


def _whole(values: np.ndarray, name: str) -> np.ndarray:
    if values.ndim != 1 or not len(values) or not np.issubdtype(values.dtype, np.integer):
        raise _Foreign(f'"{name}" is no list of whole numbers')
    return values.astype(np.int64)


def _flat(values: np.ndarray) -> np.ndarray:
    return values[:, 0] if values.ndim == 2 and values.shape[1] == 1 else values


def _field(name: str, values: np.ndarray, mesh: Mesh) -> np.ndarray:
    values = np.asarray(values)
    nodes = len(mesh.points)
    wrong = ""
    if name in _POINT_DATA or not name.strip():
        wrong = "the name of this field is taken"
    elif values.shape not in ((nodes,), (nodes, 3)):
        wrong = "a field has one or three numbers a node"
    elif not (np.issubdtype(values.dtype, np.floating) or np.issubdtype(values.dtype, np.integer)):
        wrong = "a field has real numbers"
    if wrong:
        got = f"{values.dtype} {values.shape}"
        way_out = "write real and imaginary part as two fields" if np.iscomplexobj(values) else ""
        raise Refusal.of("mesh-file", wrong, f"fields.{name}"[:80], got, f"({nodes},) or ({nodes}, 3)", way_out)
    return values
