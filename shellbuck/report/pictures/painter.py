"""The process that paints, started by `process`: `python -m shellbuck.report.pictures.painter SCENE PICTURE`.

Without a picture it opens a window and stays until that is closed.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from ...core.style import INK
from .process import FAILED, MISSING
from .scene import Scene, Writing, colours, plain, written

_STRIP = 0.085
"""Height of the lower band over that of the picture."""


def main(scene_file: str, picture: str | None = None) -> int:
    """Paint a scene, or show it in a window; the exit status says whether the library is MISSING or FAILED."""
    try:
        import pyvista
    except ImportError as error:
        return _say(error, MISSING)
    try:
        _paint(pyvista, Scene.load(Path(scene_file)), picture)
    except Exception as error:  # a drawing library may raise anything; all of it means no picture
        return _say(error, FAILED)
    return 0


def _say(error: Exception, status: int) -> int:
    sys.stderr.write("\n" + (" ".join(str(error).split()) or type(error).__name__) + "\n")
    return status


def _paint(pyvista, scene: Scene, picture: str | None) -> None:
    width, height = scene.size
    writing = written(scene.title, scene.words, scene.size)
    below = round(_STRIP * height)
    heights = [writing.height, height - writing.height - below, below]
    plotter = pyvista.Plotter(
        off_screen=picture is not None,
        window_size=[width, height],
        shape=(3, 1),
        row_weights=heights,
        border=False,
        lighting="none",
        title=plain(scene.title) or "shellbuck",
    )
    try:
        plotter.enable_anti_aliasing("ssaa")
        for row in range(3):
            plotter.subplot(row, 0)
            plotter.set_background("white")
        plotter.subplot(0, 0)
        _write(plotter, writing, width)
        plotter.subplot(1, 0)
        _draw(pyvista, plotter, scene, width / heights[1])
        plotter.subplot(2, 0)
        (_swatches if scene.legend else _strip)(pyvista, plotter, scene, width / below, below)
        if picture is None:
            plotter.subplot(1, 0)
            plotter.show()
        else:
            plotter.screenshot(picture)
    finally:
        plotter.close()


def _write(plotter, writing: Writing, width: int) -> None:
    for text, pixels, y in writing.rows:
        _text(plotter, text, (0.8 * writing.rows[0][1] / width, 1 - y / writing.height), pixels)


def _text(plotter, text: str, at: tuple[float, float], pixels: int, justify: str = "Left") -> None:
    """Text with its base line at a place of the current band, 0 to 1 both ways."""
    actor = plotter.add_text(text.replace("$", "\\$"), position=at, viewport=True, color=INK)
    style = actor.GetTextProperty()
    style.SetFontSize(pixels)
    style.SetVerticalJustificationToBottom()
    getattr(style, f"SetJustificationTo{justify}")()


def _draw(pyvista, plotter, scene: Scene, aspect: float) -> None:
    table = pyvista.LookupTable()
    table.values = np.column_stack([colours(), np.full(256, 255, dtype=np.uint8)])
    table.scalar_range = (-1.0, 1.0)
    for surface in scene.surfaces:
        look = {"scalars": surface.values, "cmap": table, "show_scalar_bar": False}
        if surface.values is None:
            look = {"color": surface.colour}
        plotter.add_mesh(
            _cells(pyvista, surface.points, surface.quads),
            smooth_shading=True,
            ambient=0.5,
            diffuse=0.55,
            specular=0.0,
            **look,
        )
    for lines in scene.lines:
        mesh = pyvista.PolyData(lines.points.astype(float), lines=_packed(lines.segments))
        plotter.add_mesh(mesh, color=lines.colour, line_width=lines.width, lighting=False)
    camera = scene.camera
    plotter.add_light(pyvista.Light(light_type="headlight", intensity=1.0))
    _look(
        plotter,
        camera.focus,
        camera.towards,
        camera.up,
        1.06 * max(camera.half[1], camera.half[0] / aspect),
        10 * float(np.linalg.norm(camera.half)) + 1e-9,
    )


def _cells(pyvista, points: np.ndarray, quads: np.ndarray):
    return pyvista.PolyData(points.astype(float), _packed(quads))


def _packed(cells: np.ndarray) -> np.ndarray:
    """(f, k) corners as the library wants them: every row led by its length."""
    return np.column_stack([np.full(len(cells), cells.shape[1]), cells]).ravel()


def _look(plotter, focus, towards, up, half_height: float, far: float) -> None:
    plotter.enable_parallel_projection()
    camera = plotter.camera
    camera.focal_point = tuple(focus)
    camera.position = tuple(np.asarray(focus) + far * np.asarray(towards))
    camera.up = tuple(up)
    camera.parallel_scale = half_height
    camera.clipping_range = (0.01 * far, 2 * far)


def _flat(pyvista, plotter, rows: np.ndarray, rgb: np.ndarray) -> None:
    """Rectangles (k, 4) left, right, low, high on the picture's plane, in colours (k, 3), untouched by light."""
    left, right, low, high = rows.T
    around = ((left, low), (right, low), (right, high), (left, high))
    points = np.stack([np.stack([x, y, 0 * x], -1) for x, y in around], 1)
    mesh = _cells(pyvista, points.reshape(-1, 3), np.arange(4 * len(rows)).reshape(-1, 4))
    mesh.cell_data["rgb"] = rgb
    plotter.add_mesh(mesh, scalars="rgb", rgb=True, lighting=False, show_scalar_bar=False)


def _strip(pyvista, plotter, scene: Scene, aspect: float, band: int) -> None:
    """Colours from -1 to 1, a word at each end."""
    half, count = 0.3 * aspect, 512
    edges = np.linspace(-half, half, count + 1)
    rows = np.column_stack([edges[:-1], edges[1:], np.full(count, 0.1), np.full(count, 0.62)])
    _flat(pyvista, plotter, rows, colours(count))
    _look(plotter, (0, 0, 0), (0, 0, 1), (0, 1, 0), 1.0, 10.0)
    letters = max(8, round(0.24 * band))
    words = (("0", 0.0, 0.12, "Centered"), (scene.ends[0], -half, 0.12, "Left"), (scene.ends[1], half, 0.12, "Right"))
    if max(map(len, scene.ends)) > 10:  # long words stand beside the strip
        words = (words[0], (scene.ends[0], -half - 0.12, 0.55, "Right"), (scene.ends[1], half + 0.12, 0.55, "Left"))
    for word, x, y, side in words:
        _text(plotter, word, (0.5 + x / (2 * aspect), y), letters, side)


def _swatches(pyvista, plotter, scene: Scene, aspect: float, band: int) -> None:
    """A square of every part's colour with its name beside it."""
    letters = max(8, round(0.26 * band))
    step = 2 * aspect * 0.94 / max(4, len(scene.legend))
    left = -0.97 * aspect + step * np.arange(len(scene.legend))
    rgb = np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] for _, c in scene.legend], dtype=np.uint8)
    rows = np.column_stack([left, left + 0.5, np.full(len(left), -0.25), np.full(len(left), 0.25)])
    _flat(pyvista, plotter, rows, rgb)
    _look(plotter, (0, 0, 0), (0, 0, 1), (0, 1, 0), 1.0, 10.0)
    for (word, _), x in zip(scene.legend, left, strict=True):
        _text(plotter, word, (0.5 + (x + 0.65) / (2 * aspect), 0.5 - 0.5 * letters / band), letters)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:3]))
