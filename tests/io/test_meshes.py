"""Mesh files: what is written reads back, in whatever order; what cannot be read is refused in words."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

import meshio
import numpy as np
import pytest
from flat_plates import rectangle, triangle
from mesh_quality import quality

from shellbuck.core.errors import Refusal
from shellbuck.engines.mesh import WHOLE, Blades, Divisions, Extent, Mesh, StraightRibs, TriangularRibs, build_mesh
from shellbuck.io.vtu import read_mesh, write_mesh

FOLDER = Path(__file__).parents[2] / "meshes"
ORTHOGRID = StraightRibs(1.0, 1.3, 2e-3, Blades(8, 0.03, 3e-3), Blades(2, 0.03, 3e-3))
GRID = TriangularRibs("hoop", 1.0, 1.36, 2e-3, 8, 0.03, 3e-3, "outside")
MESHES = {
    "whole": build_mesh(ORTHOGRID, Divisions(along=3, order=3)),
    "sector": build_mesh(ORTHOGRID, Divisions(along=3), Extent(sector=1)),
    "grid": build_mesh(GRID, Divisions(order=2), WHOLE),
    "grid sector": build_mesh(GRID, Divisions(order=1), Extent(sector=2, half=True)),
    "rectangle": rectangle(np.array([0.0, 1.0, 3.0]), np.array([0.0, 0.5]), 5),
    "triangle": triangle(1.0, 2, 4),
}


@pytest.fixture
def path(tmp_path):
    return tmp_path / "mesh.vtu"


@pytest.mark.parametrize("name", MESHES)
def test_round_trip(name, path):
    mesh = MESHES[name]
    fields = {"mode 1": np.sin(mesh.points), "load": np.arange(len(mesh.points)) / 7}
    write_mesh(path, mesh, fields)
    back, found = read_mesh(path)
    assert back.same_as(mesh)
    assert set(found) == set(fields)
    assert all(np.array_equal(found[key], fields[key]) for key in fields)


@pytest.mark.parametrize("name", ["whole", "grid sector"])
def test_any_order_of_points_and_cells(name, path):
    """What another program may do with the file: new order of points and cells, cells in two blocks."""
    mesh, random = MESHES[name], np.random.default_rng(1)
    write_mesh(path, mesh, {"load": mesh.points[:, 0]})
    data = meshio.vtu.read(path)
    new = random.permutation(len(data.points))
    place = np.argsort(new)
    cells = random.permutation(len(data.cells[0].data))
    out = meshio.Mesh(
        data.points[new],
        [("quad", place[data.cells[0].data[part]]) for part in np.array_split(cells, 2)],
        point_data={key: v[new] for key, v in data.point_data.items()},
        cell_data={key: [v[0][part] for part in np.array_split(cells, 2)] for key, v in data.cell_data.items()},
    )
    meshio.vtu.write(path, out)
    back, fields = read_mesh(path)
    assert back.same_as(mesh)
    assert np.array_equal(fields["load"], mesh.points[:, 0])


def test_what_others_see(path):
    """Linear quadrilaterals at Cartesian places, with the parts as cell data."""
    mesh = MESHES["sector"]
    write_mesh(path, mesh)
    data = meshio.vtu.read(path)
    assert len(data.cells[0].data) == 16 * len(mesh.elements)
    x, theta, r = mesh.points.T
    assert data.points == pytest.approx(np.column_stack([r * np.cos(theta), r * np.sin(theta), x]), abs=1e-15)
    assert np.bincount(data.cell_data["part"][0]).tolist() == [16 * len(mesh.of_part(p)) for p in mesh.parts]
    corner = data.points[data.cells[0].data]
    size = np.linalg.norm(np.cross(corner[:, 2] - corner[:, 0], corner[:, 3] - corner[:, 1]), axis=1) / 2
    # chords of 45 degrees in four pieces are 1 - (pi/16)^2/6/4... shorter than the arc: 1 % covers it
    assert size.sum() == pytest.approx(sum(mesh.areas().values()), rel=1e-2)


def damaged(raw: bytes, random: Random) -> bytes:
    at = random.randrange(len(raw))
    kind = random.randrange(3)
    if kind == 0:
        return raw[:at]
    if kind == 1:
        return raw[:at] + bytes([random.randrange(256)]) + raw[at + 1 :]
    return raw[:at] + raw[at + random.randrange(1, 50) :]


def test_damaged_files_are_refused_in_words(path):
    write_mesh(path, MESHES["grid sector"], {"load": MESHES["grid sector"].points[:, 0]})
    raw, random = path.read_bytes(), Random(7)
    refused = 0
    for _ in range(150):
        path.write_bytes(damaged(raw, random))
        try:
            back, _ = read_mesh(path)
        except Refusal as refusal:
            refused += 1
            assert refusal.problems[0].code == "mesh-file"  # noqa: PT017
            assert len(str(refusal)) < 600  # noqa: PT017
        else:  # damage to what does not matter: blanks, the name or the value of a field
            assert back.same_as(MESHES["grid sector"])
    assert refused > 100


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "damaged, cut short, or no VTU file"),
        (b"solid\n facet", "damaged, cut short, or no VTU file"),
        (b"<a/>", "damaged, cut short, or no VTU file"),
        (bytes(range(256)) * 9, "damaged, cut short, or no VTU file"),
    ],
)
def test_foreign_content(content, words, path):
    path.write_bytes(content)
    with pytest.raises(Refusal, match=words):
        read_mesh(path)


def foreign(change):
    """A file of ours with one thing changed: (points, cells, point data, cell data) -> the same."""

    def write(path):
        write_mesh(path, MESHES["grid sector"])
        data = meshio.vtu.read(path)
        parts = [data.points, data.cells[0].data, dict(data.point_data), {k: v[0] for k, v in data.cell_data.items()}]
        points, cells, point_data, cell_data = change(*parts)
        kind = "quad" if cells.shape[1] == 4 else "triangle"
        meshio.vtu.write(
            path,
            meshio.Mesh(
                points, [(kind, cells)], point_data=point_data, cell_data={k: [v] for k, v in cell_data.items()}
            ),
        )

    return write


def without(data, key):
    return {k: v for k, v in data.items() if k != key}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda p, c, n, e: (p, c[:, :3], n, e), "more than quadrilaterals"),
        (lambda p, c, n, e: (p, c, without(n, "node"), e), 'it lacks "node"'),
        (lambda p, c, n, e: (p, c, without(n, "x theta r"), e), 'it lacks "x theta r", "x y z"'),
        (lambda p, c, n, e: (p, c, n, without(e, "element")), 'it lacks "element"'),
        (lambda p, c, n, e: (p, c, n, without(e, "part 0 skin")), "names of its parts are missing"),
        (lambda p, c, n, e: (p, c, {**n, "node": n["node"] // 2}, e), "not numbered through"),
        (lambda p, c, n, e: (p, c, {**n, "node": n["node"] * 1.0}, e), '"node" is no list of whole numbers'),
        (lambda p, c, n, e: (p, c, {**n, "left of": n["left of"] + len(p)}, e), "matched nodes make no sense"),
        (lambda p, c, n, e: (p, c, {**n, "x theta r": n["x theta r"] * np.nan}, e), "coordinates .* make no sense"),
        (lambda p, c, n, e: (p * 1000, c, n, e), "positions and coordinates of its nodes disagree"),
        (lambda p, c, n, e: (p, c[1:], n, {k: v[1:] for k, v in e.items()}), "elements are not complete"),
        (lambda p, c, n, e: (p, c, n, {**e, "place": e["place"] + 1}), "elements are not complete"),
        (lambda p, c, n, e: (p, np.where(c == 0, -1, c), n, e), "nodes that do not exist"),
        (lambda p, c, n, e: (p, c, n, {**e, "part": e["part"] + 9}), "its parts make no sense"),
        (lambda p, c, n, e: (p, c, n, {**e, "angle": np.arange(len(c)) * 0.1}), "no one angle"),
    ],
)
def test_files_of_others(change, words, path):
    foreign(change)(path)
    with pytest.raises(Refusal, match=words):
        read_mesh(path)


def test_pieces_that_do_not_fit(path):
    write_mesh(path, MESHES["triangle"])
    data = meshio.vtu.read(path)
    cells = data.cells[0].data.copy()
    cells[0, 2] = cells[5, 3]
    meshio.vtu.write(path, meshio.Mesh(data.points, [("quad", cells)], data.point_data, data.cell_data))
    with pytest.raises(Refusal, match="pieces of an element do not fit together"):
        read_mesh(path)


def test_no_file(path, tmp_path):
    for where in (path, tmp_path, "nul\0byte"):
        with pytest.raises(Refusal, match="mesh-file"):
            read_mesh(where)


def test_what_cannot_be_written(path, tmp_path):
    mesh = MESHES["triangle"]
    n = len(mesh.points)
    for fields, words in [
        ({"a": np.zeros(n - 1)}, "one or three numbers a node"),
        ({"a": np.zeros((n, 2))}, "one or three numbers"),
        ({"a": np.zeros(n, dtype=complex)}, "two fields"),
        ({"node": np.zeros(n)}, "name of this field is taken"),
        ({"a": np.array(["x"] * n)}, "real numbers"),
    ]:
        with pytest.raises(Refusal, match=words):
            write_mesh(path, mesh, fields)
    assert not path.exists()
    with pytest.raises(Refusal, match="file-unwritable"):
        write_mesh(tmp_path / "none" / "mesh.vtu", mesh)
    bent = Mesh(mesh.order, mesh.points, mesh.elements, mesh.corners + 1.0, mesh.part, mesh.parts, "cartesian")
    with pytest.raises(Refusal, match="corners are not where its corner nodes are"):
        write_mesh(path, bent)


def test_the_meshes_of_the_repository(tmp_path, monkeypatch):
    """The commands of meshes/README.md make the files that lie beside it."""
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    (commands,) = re.findall(r"```python\n(.*?)```", text, re.S)
    monkeypatch.chdir(tmp_path)
    exec(compile(commands, "meshes/README.md", "exec"), {})
    files = sorted(p.name for p in FOLDER.glob("*.vtu"))
    assert files == sorted(p.name for p in tmp_path.glob("*.vtu"))
    for name in files:
        assert (FOLDER / name).stat().st_size < 200_000
        (kept, _), (made, _) = read_mesh(FOLDER / name), read_mesh(tmp_path / name)
        for key in ("order", "parts", "coordinates"):
            assert getattr(kept, key) == getattr(made, key)
        for key in ("elements", "part", "left", "right"):
            assert np.array_equal(getattr(kept, key), getattr(made, key))
        # coordinates may differ in the last bit between machines
        assert kept.points == pytest.approx(made.points, abs=1e-13)
        assert quality(kept).sound
        assert f"| `{name}` |" in text
        assert re.search(rf"`{name}`.*\| {len(kept.points)} \|", text)
