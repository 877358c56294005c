"""Pictures of whole barrels given as pieces, and the window: colours, words at the strip, what the painter is asked."""

from __future__ import annotations

import math
import os

import numpy as np
import pytest
from matplotlib.image import imread
from test_pictures import graphics  # noqa: F401 - the fixture that skips without graphics

from shellbuck.core.errors import Refusal
from shellbuck.core.style import DISPLACEMENT
from shellbuck.report.pictures import draw_shape, show_shape
from shellbuck.report.pictures.draw import scene_of
from shellbuck.report.pictures.scene import Scene
from shellbuck.report.review.shapes import Piece, Shape

SIZE = (400, 320)


def tube(sign: float = 1.0, values: float | None = None) -> Piece:
    """A barrel of radius 1 and length 1.2 blown by `sign`, its ends held."""
    theta, x = np.linspace(0, 2 * math.pi, 73), np.linspace(0, 1.2, 13)
    tt, xx = (a.ravel() for a in np.meshgrid(theta, x))
    at = np.arange(len(tt)).reshape(13, 73)
    quads = np.stack([at[:-1, :-1], at[:-1, 1:], at[1:, 1:], at[1:, :-1]], -1).reshape(-1, 4)
    d = np.zeros((len(tt), 3))
    d[:, 2] = sign * np.sin(math.pi * xx / 1.2)
    shown = d[:, 2] if values is None else np.full(len(tt), values)
    return Piece(np.column_stack([xx, tt, np.ones(len(tt))]), d, shown, quads)


def test_scene_moves_outward_by_the_amplitude():
    scene = scene_of(Shape((tube(),), 1.0, 1.2, 0.05), SIZE)
    r = np.hypot(*scene.surfaces[0].points[:, :2].T)
    assert r.max() == pytest.approx(1.05)
    assert r.min() == pytest.approx(1.0)
    assert scene.surfaces[0].values.max() == pytest.approx(1.0)
    still = scene_of(Shape((tube(),), 1.0, 1.2, 0.0), SIZE)
    assert np.hypot(*still.surfaces[0].points[:, :2].T).max() == pytest.approx(1.0)


def test_cut_open_leaves_the_part_towards_the_camera_out():
    whole, opened = (scene_of(Shape((tube(),), 1.0, 1.2), SIZE, cut) for cut in (False, True))
    share = len(opened.surfaces[0].quads) / len(whole.surfaces[0].quads)
    assert share == pytest.approx(1 - 124 / 360, abs=0.03)
    theta = np.arctan2(*opened.surfaces[0].points[:, 1::-1].T)
    assert np.cos(theta - math.radians(28)).max() < math.cos(math.radians(57))


def test_words_at_the_strip_survive_the_file(tmp_path):
    scene = scene_of(Shape((tube(),), 1.0, 1.2, ends=("compression", "tension")), SIZE)
    scene.save(tmp_path / "scene.npz")
    assert Scene.load(tmp_path / "scene.npz").ends == ("compression", "tension")


@pytest.mark.slow
@pytest.mark.parametrize(("sign", "end"), [(1, DISPLACEMENT[-1]), (-1, DISPLACEMENT[0])])
def test_a_smooth_barrel_is_painted_in_its_colours(graphics, tmp_path, sign, end):  # noqa: F811
    """As for meshes: the middle of a bulge is the strip's brown end, of a waist its blue one, but for the light."""
    path = tmp_path / "mode.png"
    draw_shape(Shape((tube(sign),), 1.0, 1.2, title="A barrel", words=("of its own",)), path, size=SIZE)
    shown = (imread(path)[..., :3] * 255).round().astype(int)
    assert shown.shape == (SIZE[1], SIZE[0], 3)
    middle = shown[int(0.62 * SIZE[1]), SIZE[0] // 2]
    assert middle == pytest.approx([int(end[i : i + 2], 16) for i in (1, 3, 5)], abs=60)
    assert (middle[0] > middle[2] + 50) if sign > 0 else (middle[2] > middle[0] + 50)


@pytest.mark.slow
def test_print_resolution(graphics, tmp_path):  # noqa: F811
    path = tmp_path / "mode.png"
    draw_shape(Shape((tube(),), 1.0, 1.2, title="A barrel"), path, size=(3000, 2250))
    assert imread(path).shape[:2] == (2250, 3000)


@pytest.fixture
def screen(tmp_path, monkeypatch):
    """A screen that is only named, and a drawing library of our own that writes down what it is asked."""
    module = tmp_path / "planted" / "pyvista.py"
    module.parent.mkdir()

    def plant(text: str) -> None:
        module.write_text(text, encoding="utf-8")
        monkeypatch.setenv("PYTHONPATH", str(module.parent))
        monkeypatch.setenv("DISPLAY", ":77")

    return plant


RECORDER = """
import os
class Anything:
    def __init__(self, *a, **k): pass
    def __getattr__(self, name): return Anything()
    def __setattr__(self, name, value): pass
    def __setitem__(self, *_): pass
    def __call__(self, *a, **k): return Anything()
LookupTable = PolyData = Light = Anything
class Plotter(Anything):
    def __init__(self, **options):
        with open({said!r}, "a") as file:
            file.write(f"off screen {{options['off_screen']}} {{os.environ['PYVISTA_OFF_SCREEN']}}\\n")
    def show(self):
        with open({said!r}, "a") as file:
            file.write("shown\\n")
    def screenshot(self, name):
        raise ValueError("no picture is asked for")
"""


def test_a_window_is_opened_and_no_picture_written(screen, tmp_path):
    said = tmp_path / "said.txt"
    screen(RECORDER.format(said=str(said)))
    show_shape(Shape((tube(),), 1.0, 1.2, title="A barrel"))
    assert said.read_text() == "off screen False false\nshown\n"


def test_a_window_that_crashes_is_words(screen):
    screen("import os\nos.abort()\n")
    with pytest.raises(Refusal, match=r"picture-failed.*|SIGABRT") as caught:
        show_shape(Shape((tube(),), 1.0, 1.2))
    assert "SIGABRT" in str(caught.value)
    screen("raise ImportError('libGL.so.1')\n")
    with pytest.raises(Refusal, match="extra-missing"):
        show_shape(Shape((tube(),), 1.0, 1.2))


def test_no_screen_is_words_before_anything_is_started(monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr("shellbuck.report.pictures.process.sys.platform", "linux")
    monkeypatch.setattr("shellbuck.report.pictures.process.subprocess.run", lambda *_, **__: os.abort())
    with pytest.raises(Refusal, match="no-display"):
        show_shape(Shape((tube(),), 1.0, 1.2))
