"""Pictures are drawn in a process of their own; whatever happens to it, the caller gets a picture or words."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from builders import slow
from flat_plates import rectangle
from matplotlib.image import imread

from shellbuck.core.errors import Refusal
from shellbuck.core.style import DISPLACEMENT
from shellbuck.engines.mesh import Blades, Divisions, Extent, StraightRibs, build_mesh
from shellbuck.report.pictures import draw_mesh, draw_mode
from shellbuck.report.pictures.process import paint
from shellbuck.report.pictures.scene import Camera, Lines, Scene, Surface, colours, plain, written

SIZE = (400, 320)


def barrel(extent: Extent | None = None, side: str = "outside"):
    shape = StraightRibs(1.0, 1.2, 6e-3, Blades(12, 0.08, 6e-3, side))
    return build_mesh(shape, Divisions(along=2, order=2), extent or Extent())


def blown(mesh, sign: float = 1.0) -> np.ndarray:
    d = np.zeros((len(mesh.points), 6))
    d[:, 2] = sign
    return d.ravel()


@pytest.fixture(scope="module")
def graphics():
    """Skips where this machine cannot draw at all; a fault of our own is no reason to skip."""
    code = "import pyvista as p; q = p.Plotter(off_screen=True); q.add_mesh(p.Sphere()); q.screenshot(return_img=True)"
    try:
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, timeout=120, check=False)
    except subprocess.TimeoutExpired:
        pytest.skip("drawing takes for ever on this machine")
    if done.returncode:
        pytest.skip("pyvista or its graphics libraries are not there: no picture can be drawn")


def pixels(path) -> np.ndarray:
    """(height, width, 3) of 0 to 255, integers that may be subtracted."""
    return (imread(path)[..., :3] * 255).round().astype(int)


@pytest.mark.parametrize(("sign", "end"), [(1, DISPLACEMENT[-1]), *slow((-1, DISPLACEMENT[0]))])
def test_outward_is_brown_and_inward_blue(graphics, tmp_path, sign, end):
    """The middle of a blown barrel has the colour of the strip's end, but for the light; the ground is white."""
    path = tmp_path / "mode.png"
    draw_mode(barrel(), blown(barrel(), sign), path, title="A barrel", lines=["of 12 stringers"], size=SIZE)
    shown = pixels(path)
    assert shown.shape == (SIZE[1], SIZE[0], 3)
    middle = shown[int(0.62 * SIZE[1]), SIZE[0] // 2]
    expected = np.array([int(end[i : i + 2], 16) for i in (1, 3, 5)])
    assert middle == pytest.approx(expected, abs=60)
    assert (middle[0] > middle[2] + 50) if sign > 0 else (middle[2] > middle[0] + 50)
    assert (shown[[0, -1]] == 255).all()
    assert (shown[:, [0, -1]] == 255).all()


@pytest.mark.slow
def test_strip_of_colours_runs_from_inward_to_outward(graphics, tmp_path):
    path = tmp_path / "mode.png"
    draw_mode(barrel(), blown(barrel()), path, size=SIZE)
    row = pixels(path)[round(SIZE[1] * (1 - 0.085 * 0.68))]
    coloured = np.nonzero((row != 255).any(axis=1))[0]
    assert len(coloured) == pytest.approx(0.3 * SIZE[0], abs=5)  # its ends are smoothed
    ends = row[[coloured[4], coloured[-5]]]
    assert ends == pytest.approx(colours(256)[[0, -1]].astype(int), abs=20)
    assert row[SIZE[0] // 2] == pytest.approx(colours(9)[4].astype(int), abs=4)


@pytest.mark.slow
def test_a_displacement_is_drawn_outward_and_as_large_as_stated(graphics, tmp_path):
    """The silhouette of the blown barrel is wider than that of the squeezed one by the ratio of their radii."""
    widths = []
    mesh = build_mesh(StraightRibs(1.0, 1.2, 6e-3), Divisions(around=24, along=2, order=2))
    d = blown(mesh)
    ends = np.isin(np.arange(len(mesh.points)), np.concatenate([mesh.nodes_at(0.0), mesh.nodes_at(1.2)]))
    d.reshape(-1, 6)[ends] = 0
    for sign in (1, -1):
        path = tmp_path / "mode.png"
        draw_mode(mesh, sign * d, path, size=SIZE, amplitude=0.2)
        row = pixels(path)[int(0.55 * SIZE[1])]
        dark = np.nonzero((row < 230).any(axis=1))[0]
        widths.append(dark[-1] - dark[0])
    assert widths[0] > 1.1 * widths[1]


@pytest.mark.slow
@pytest.mark.parametrize("extent", [Extent(), Extent(sector=3)])
def test_meshes_cut_open_show_their_ribs(graphics, tmp_path, extent):
    mesh = barrel(extent, "inside")
    rib = np.array([0xB2, 0x69, 0x40])

    def ribs(**more) -> int:
        path = tmp_path / "mesh.png"
        draw_mesh(mesh, path, title="Mesh θ", size=SIZE, **more)
        drawing = pixels(path)[: int(0.9 * SIZE[1])]
        return int(((np.abs(drawing - rib).max(axis=2) < 60) & (drawing[..., 0] > drawing[..., 2] + 40)).sum())

    assert ribs(cut_open=True) > ribs(cut_open=False) + 100
    assert ribs(cut_open=True, ribs=False) == 0


@pytest.fixture
def planted(tmp_path, monkeypatch):
    """Puts a module of some text in the place of the drawing library and says how drawing then ends."""

    def draw(text: str, **more) -> str:
        (tmp_path / "planted").mkdir(exist_ok=True)
        (tmp_path / "planted" / "pyvista.py").write_text(text, encoding="utf-8")
        monkeypatch.setenv("PYTHONPATH", str(tmp_path / "planted"))
        path = tmp_path / "old.png"
        path.write_bytes(b"an older picture")
        with pytest.raises(Refusal) as caught:
            draw_mode(barrel(), blown(barrel()), path, size=SIZE, **more)
        assert path.read_bytes() == b"an older picture"
        assert sorted(p.name for p in tmp_path.iterdir()) == ["old.png", "planted"]
        return str(caught.value)

    return draw


CRASH = "import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\n"


def test_a_crash_of_the_graphics_libraries_is_words(planted):
    said = planted(CRASH)
    assert "[picture-failed]" in said
    assert "SIGSEGV" in said
    assert "results are not affected" in said


def test_a_dead_display_is_left_out_at_the_second_try(planted, monkeypatch):
    monkeypatch.setenv("DISPLAY", ":77")
    said = planted("import os\nif 'DISPLAY' in os.environ:\n    os.abort()\nraise ImportError('second try')\n")
    assert "second try" in said


def test_a_missing_library_is_words_that_say_what_to_install(planted):
    said = planted("raise ImportError('libGL.so.1: cannot open shared object file')\n")
    assert "[extra-missing]" in said
    assert "libGL.so.1" in said
    assert "-m pip install pyvista;" in said
    assert "libegl1" in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("import os\nos._exit(0)\n", "without a picture"),
        ("import os\nos._exit(9)\n", "status 9"),
        ("raise RuntimeError('no  such\\nscreen')\n", "screen"),
        ("def Plotter(**_):\n    raise ValueError('bad window')\n", "bad window"),
    ],
)
def test_every_other_end_is_words(planted, text, words):
    said = planted(text)
    assert "[picture-failed]" in said
    assert words in said


def test_a_painter_that_hangs_is_stopped(planted):
    assert "stopped after 1.5 s" in planted("import time\ntime.sleep(60)\n", limit=1.5)


def test_no_process_at_all(planted, monkeypatch):
    monkeypatch.setattr(sys, "executable", "/no/such/interpreter")
    assert "could not be started" in planted("")


def test_a_place_that_cannot_be_written_to(tmp_path, monkeypatch):
    from shellbuck.report.pictures import process

    def painted(folder, *_):
        with open(f"{folder}/picture.png", "wb") as file:
            file.write(b"\x89PNG\r\n\x1a\n and so on")
        return 0, ""

    monkeypatch.setattr(process, "_run", painted)
    scene = Scene(Camera.on(np.eye(3), 0.0, 0.3), SIZE, "", (), ())
    paint(scene, tmp_path / "picture.png")
    assert (tmp_path / "picture.png").read_bytes().startswith(b"\x89PNG")
    (tmp_path / "folder.png").mkdir()
    for bad in (tmp_path / "none" / "picture.png", tmp_path / "folder.png"):
        with pytest.raises(Refusal, match="file-unwritable"):
            paint(scene, bad)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["folder.png", "picture.png"]


def test_what_is_no_picture_of_a_barrel(tmp_path):
    mesh = barrel()
    with pytest.raises(Refusal, match="value-range"):
        draw_mode(mesh, blown(mesh), tmp_path / "a.png", size=(10, 400))
    for bad in (np.zeros(7), np.full(mesh.unknowns, np.nan)):
        with pytest.raises(ValueError, match="finite numbers"):
            draw_mode(mesh, bad, tmp_path / "a.png")
    flat = rectangle([0, 1], [0, 1])
    with pytest.raises(ValueError, match="only barrels"):
        draw_mesh(flat, tmp_path / "a.png")


def test_a_scene_survives_its_file(tmp_path):
    rng = np.random.default_rng(1)
    points, quads = rng.standard_normal((4, 3)), np.array([[0, 1, 2, 3]])
    scene = Scene(
        Camera.on(points, 0.2, 0.3),
        SIZE,
        "θ",
        ("a", "b"),
        (Surface(points, quads, rng.random(4)), Surface(points, quads, None, "#B26940")),
        (Lines(points, quads[:, :2], "#22303C", 2.0),),
        (("skin", "#C7CBE0"),),
    )
    scene.save(tmp_path / "scene.npz")
    again = Scene.load(tmp_path / "scene.npz")
    assert (again.size, again.title, again.words, again.legend) == (SIZE, "θ", ("a", "b"), (("skin", "#C7CBE0"),))
    assert [s.colour for s in again.surfaces] == ["", "#B26940"]
    assert np.array_equal(again.surfaces[0].values, scene.surfaces[0].values)
    assert again.surfaces[1].values is None
    assert np.array_equal(again.lines[0].points, points)
    assert (again.lines[0].colour, again.lines[0].width) == ("#22303C", 2.0)
    assert np.array_equal(again.camera.focus, scene.camera.focus)
    assert np.array_equal(again.camera.half, scene.camera.half)


def test_camera_sees_all_and_stands_upright():
    """From the side: what stands along the third axis is as high as it is, what lies across as wide."""
    points = np.array([[0, -2.0, -1], [0, 2, 3]])
    camera = Camera.on(points, 0.0, 0.0)
    assert camera.half == pytest.approx([2, 2])
    assert camera.focus == pytest.approx([0, 0, 1])
    assert camera.up == pytest.approx([0, 0, 1])
    assert camera.towards == pytest.approx([1, 0, 0])


def test_label_is_never_lost():
    """Long ones are broken and, if need be, written smaller; every word is there; letters that fonts lack are spelt."""
    words = tuple(f"line {i} " + "word " * 40 for i in range(4))
    found = written("A title", words, (600, 500))
    assert " ".join(text for text, _, _ in found.rows).split() == " ".join(("A title", *words)).split()
    assert found.height <= 500
    assert [y for _, _, y in found.rows] == sorted({y for _, _, y in found.rows})
    assert plain("Ω ϑ ﬁt 漢") == "omega theta fit ?"
