"""The still figures are right: colours, directions, waves and ribs as they are drawn, not as they are labelled."""

from __future__ import annotations

import base64
import io
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image
from review_modes import LENGTH, RADIUS, meshed, review, wave

from shellbuck.core.style import AZIMUTH, colour_of
from shellbuck.report.figures.barrel import GROUND, VIEW, ghost, painted, raster
from shellbuck.report.figures.canvas import svg
from shellbuck.report.figures.skin_map import STEPS
from shellbuck.report.figures.stills import still
from shellbuck.report.review.fields import Fields, field_of
from shellbuck.report.review.shapes import amplitude, shape_of


def pictures(svg: str) -> list[np.ndarray]:
    """The pictures inside a figure as they are seen, (height, width, 3) of 0 to 255, first row on top."""
    found = []
    for tag in re.findall(r"<image [^>]*>", svg):
        data = re.search(r'base64,([^"]+)"', tag)[1]
        pixels = np.asarray(Image.open(io.BytesIO(base64.b64decode(data))).convert("RGB")).astype(int)
        scale = re.search(r"scale\(\S+ (\S+)\)", tag)
        turn = re.search(r"matrix\(\S+ \S+ \S+ (\S+) ", tag)
        sign = float((turn or scale)[1]) if turn or scale else 1.0
        found.append(pixels[::-1] if sign < 0 else pixels)
    return found


def side(pixels: np.ndarray) -> np.ndarray:
    """1 where a colour is outward (more red than blue), -1 where inward, 0 where it is neither."""
    lean = pixels[..., 0].astype(int) - pixels[..., 2]
    return np.where(lean > 40, 1, np.where(lean < -20, -1, 0))


def changes(row: np.ndarray, closed: bool) -> int:
    seen = row[row != 0]
    after = np.roll(seen, -1) if closed else seen[1:]
    return int((seen[: len(after)] != after).sum())


def unrolled(mode, surface=None) -> np.ndarray:
    return pictures(still(mode, Fields(review(mode, surface=surface))).map.figure.text)[0]


MESHED = meshed(2, 4, "odd", sector=6)


@pytest.mark.parametrize(("mode", "surface"), [(wave(7, 3), None), (wave(1, 0, sign=-1.0), None), MESHED])
def test_map_has_the_colour_of_the_mode_everywhere(mode, surface):
    """33 colours: half a step is 1/32 of the way from -1 to 1, and a pixel of the picture a little more."""
    picture = unrolled(mode, surface)
    field = field_of(mode, review(surface=surface))
    rng = np.random.default_rng(3)
    rows, columns = rng.integers(0, picture.shape[0], 300), rng.integers(0, picture.shape[1], 300)
    theta = (columns + 0.5) / picture.shape[1] * 2 * math.pi
    x = (1 - (rows + 0.5) / picture.shape[0]) * LENGTH
    w = field.at(theta, x)[:, 2]
    about = 255 * colour_of(w[:, None] + np.linspace(-0.07, 0.07, 15), STEPS)
    off = np.abs(picture[rows, columns][:, None] - about).max(axis=-1).min(axis=1)
    assert off.max() <= 1


@pytest.mark.parametrize(("m", "n"), [(7, 3), (1, 1), (2, 22), (3, 0)])
def test_waves_counted_in_the_map_are_those_of_the_label(m, n):
    picture = side(unrolled(wave(m, n)))
    row = picture.shape[0] - 1 - round(picture.shape[0] * (0.5 / m))  # the first half-wave, from below
    assert changes(picture[row], closed=True) == 2 * n
    assert changes(picture[:, picture.shape[1] // max(1, 2 * n) * (n > 0)], closed=False) == m - 1
    figures = still(wave(m, n), Fields(review()))
    counted = f"{m} half-wave{'s' * (m > 1)} along the axis"
    around = f"{n} full wave{'s' * (n > 1)} around" if n else "the same all around"
    assert counted in figures.map.alt
    assert around in figures.map.alt


def test_axis_points_up_and_theta_to_the_right():
    """w > 0 only near x = L and only near theta = 0+: seen from outside, theta grows to the right."""
    mode, surface = meshed(1, 4)
    picture = unrolled(wave(2, 1))  # sin(2 pi x/L): outward below, inward above at theta = 0
    assert side(picture)[-picture.shape[0] // 4, 5] == 1
    assert side(picture)[picture.shape[0] // 4, 5] == -1
    near = np.array([[math.cos(a), math.sin(a), x] for a, x in ((0.49, 0.0), (0.59, 0.0), (0.49, 1.0))]) @ VIEW.T
    assert near[1, 0] > near[0, 0]
    assert near[2, 1] > near[0, 1]
    assert mode["n"] == 4
    assert surface["mirror"]


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_outward_is_outward_and_brown(sign):
    """A bulge is wider than the undeformed outline by the amplitude that is stated; a waist narrower."""
    field = field_of(wave(1, 0, sign=sign), review())
    picture = painted(shape_of(field))
    assert amplitude(field) == pytest.approx(0.08)
    across = np.abs(picture.polygons[..., 0])
    rim = max(np.abs(line[:, 0]).max() for line in ghost(shape_of(field)))
    assert rim == pytest.approx(RADIUS, rel=1e-3)
    if sign > 0:
        # u is a tenth of w and counts with it; the silhouette is that of a circle of facets
        assert across.max() == pytest.approx(RADIUS * 1.08, rel=2e-3)
    low, high = np.array([-2.0, -1.0]), np.array([2.0, 3.0])
    shown = side(raster(picture, low, high, 200))
    middle = np.array([RADIUS * math.cos(AZIMUTH), RADIUS * math.sin(AZIMUTH), LENGTH / 2]) @ VIEW.T
    at = np.round((middle[:2] - low) / (high - low) * (shown.shape[1], shown.shape[0])).astype(int)
    assert shown[shown.shape[0] - 1 - at[1], at[0]] == sign


def test_colours_in_space_are_those_of_the_mode():
    """A facet that faces the camera has the palette's hue, darkened by at most the light's share."""
    field = field_of(wave(2, 3), review())
    picture = painted(shape_of(field))
    low, high = np.array([-2.0, -1.2]), np.array([2.0, 3.2])
    shown = raster(picture, low, high, 300).astype(float)
    for theta, x in ((0.2, 0.6), (0.49, 0.5), (0.8, 1.9), (0.3, 1.75)):
        u, v, w = field.at(np.array([theta]), np.array([x]))[0]
        largest = max(
            np.linalg.norm(
                field.at(*(a.ravel() for a in np.meshgrid(np.linspace(0, 6.3, 200), np.linspace(0, LENGTH, 99)))),
                axis=1,
            )
        )
        s = 0.08 * RADIUS / largest
        c, q = math.cos(theta), math.sin(theta)
        place = np.array([(RADIUS + s * w) * c - s * v * q, (RADIUS + s * w) * q + s * v * c, x + s * u]) @ VIEW.T
        at = np.round((place[:2] - low) / (high - low) * (shown.shape[1], shown.shape[0])).astype(int)
        pixel = shown[shown.shape[0] - 1 - at[1], at[0]]
        expected = 255 * colour_of(np.array(w))
        tone = (pixel @ expected) / (expected @ expected)
        assert 0.6 < tone < 1.02
        assert pixel == pytest.approx(tone * expected, abs=9)


@pytest.mark.parametrize("symmetry", ["even", "odd"])
def test_webs_move_with_their_skin_all_around(symmetry):
    """The root of every web, in every copy of the part, stands where the skin stands, and has its colour."""
    mode, surface = meshed(2, 4, symmetry, sector=6)
    skin, roots, colours = {}, [], {}
    shape = shape_of(field_of(mode, review(surface=surface)))
    for piece in shape.pieces:
        used = piece.quads.ravel()
        corners, w = shape.placed(piece.points, piece.displacement)[used], piece.values[used]
        if piece.part == "skin":
            skin.update({tuple(np.round(p, 4)): v for p, v in zip(corners, w, strict=True)})
        else:
            roots += [(p, v) for p, v in zip(corners, w, strict=True)]
    at_root = [(tuple(np.round(p, 4)), v) for p, v in roots if tuple(np.round(p, 4)) in skin]
    colours = {p for p, _ in at_root}
    assert len(colours) == 24 * 17  # 24 stringers, 8 elements of order 2 along each
    assert all(v == pytest.approx(skin[p], abs=1e-3) for p, v in at_root)
    tips = [p for p, _ in roots if tuple(np.round(p, 4)) not in skin]
    assert np.mean([math.hypot(p[0], p[1]) for p in tips]) > RADIUS  # outside


def test_ribs_inside_are_seen_in_the_barrel_cut_open():
    """Webs of an inside wall are hidden from outside by the skin in front of them."""
    field = field_of(*(lambda mode, surface: (mode, review(surface=surface)))(*meshed(1, 4, side="inside")))
    shape = shape_of(field)
    assert any(piece.part != "skin" for piece in shape.pieces)
    closed, opened = painted(shape), painted(shape, cut_open=True)
    assert len(opened.polygons) < sum(len(piece.quads) for piece in shape.pieces)
    assert len(closed.polygons) > 0
    low, high = np.array([-2.0, -1.2]), np.array([2.0, 3.2])
    bottom = raster(opened, low, high, 200)[-40, 100]
    assert (np.abs(bottom.astype(int) - [int(GROUND[i : i + 2], 16) for i in (1, 3, 5)]) < 3).all()


def test_short_waves_are_drawn_lower_and_with_a_close_up():
    figures = still(wave(14, 66), Fields(review()))
    drawn = float(re.search(r"drawn as ([\d.]+) %", figures.barrel.alt)[1])
    assert 1 <= drawn < 3
    assert "close-up" in figures.map.alt
    assert len(pictures(figures.map.figure.text)) == 2
    assert "close-up" not in still(wave(7, 3), Fields(review())).map.alt


def test_inward_lines_are_dashed_and_outward_solid():
    """What stays of the signs in a grey print, beside plus and minus."""
    text = still(wave(1, 1), Fields(review())).map.figure.text
    styles = re.findall(r'<path d="M[^"]{200,}"[^>]*style="fill: none[^"]*"', text)
    dashed = [s for s in styles if "stroke-dasharray" in s]
    assert len(dashed) == 3
    assert len(styles) == 6


def test_same_bytes_for_the_same_input():
    mode, surface = MESHED
    first, second = (still(mode, Fields(review(surface=surface))).all for _ in range(2))
    for one, other in zip(first, second, strict=True):
        assert one.figure.text == other.figure.text
        assert one.alt == other.alt
        assert one.columns() == other.columns()


@pytest.mark.parametrize(("mode", "surface"), [(wave(14, 66), None), (wave(2, 22), None), MESHED])
def test_figures_of_a_mode_stay_small(mode, surface):
    """Ten modes and the page are to fit into 8 MB, with a third added by base64."""
    figures = still(mode, Fields(review(surface=surface)))
    assert len(figures.barrel.figure.text) <= 120_000
    assert sum(len(one.figure.text) for one in figures.all) <= 350_000


def test_hostile_text_is_text():
    hostile = '<script>alert(1)</script>"&'
    mode = wave(2, 3, name=hostile) | {"title": hostile, "case": hostile}
    for one in still(mode, Fields(review(length_unit=hostile))).all:
        root = ElementTree.fromstring(one.figure.text)
        assert {tag.tag.split("}")[1] for tag in root.iter()} <= {
            "svg",
            "defs",
            "style",
            "g",
            "path",
            "text",
            "use",
            "image",
            "clipPath",
            "rect",
        }
        assert "<script" not in one.figure.text


def test_data_beside_a_figure_are_its_numbers():
    figures = still(wave(2, 3), Fields(review()))
    for one in figures.all:
        columns = dict(one.columns())
        assert all("[" in header or header in ("m", "n") for header in columns)
        assert len({len(values) for values in columns.values()}) == 1
    columns = {k: np.array(v, dtype=float) for k, v in figures.map.columns()}
    expected = np.sin(2 * math.pi * columns["x [m]"] / LENGTH) * np.cos(3 * np.radians(columns["theta [deg]"]))
    assert columns["w over its peak [-]"] == pytest.approx(expected, abs=2e-4)


def test_zero_has_a_colour_of_its_own():
    """The middle of the palette; an even number of steps would show a mode's nodal lines in the first colour inward."""
    assert (255 * colour_of(np.zeros(1), STEPS)).round().tolist() == [[0xF6, 0xF3, 0xEE]]


def test_a_figure_is_drawn_once_its_text_or_its_pdf_is_asked_for():
    drawn = []
    figure = svg(drawn.append, 1, 1)
    assert drawn == []
    assert figure.pdf().startswith(b"%PDF")
    assert len(drawn) == 1
    assert figure.text is figure.text
    assert len(drawn) == 2


def test_a_figure_is_drawn_again_as_pdf():
    one = still(wave(1, 2), Fields(review())).cuts.figure
    assert one.pdf().startswith(b"%PDF")
    assert one.pdf() == one.pdf()
    figure = Figure(figsize=one.size, layout="constrained")
    one.draw(figure)
    FigureCanvasAgg(figure).draw()
    assert [axes.get_title(loc="left") for axes in figure.axes] == ["axial cut, θ = 0.0°", "hoop cut, x = 1200 mm"]


def test_pictures_stand_in_their_own_places():
    """Two pictures of one size in one figure: each with its colour, to the last bit, and where it was put."""
    shades = ((200, 30, 10), (10, 30, 200))

    def draw(figure):
        figure.set_layout_engine("none")
        for k, shade in enumerate(shades):
            axes = figure.add_axes((0.5 * k, 0, 0.5, 1))
            axes.imshow(np.full((4, 6, 3), shade, np.uint8), interpolation="none")

    text = svg(draw, 2, 1).text
    assert [picture.reshape(-1, 3).tolist() for picture in pictures(text)] == [[list(shade)] * 24 for shade in shades]
    places = [float(re.search(r"matrix\(\S+ \S+ \S+ \S+ (\S+) ", tag)[1]) for tag in re.findall("<image [^>]*>", text)]
    assert places[1] - places[0] == pytest.approx(72)
    assert len(set(re.findall(r'<image [^>]*id="([^"]+)"', text))) == 2


def test_paths_are_kept_to_a_tenth_of_a_point_and_words_as_they_are():
    def draw(figure):
        figure.set_layout_engine("none")
        axes = figure.add_axes((0, 0, 1, 1))
        axes.plot([0, 1.23456789], [0, 1])
        axes.text(0, 0, "0.123456")

    text = svg(draw, 2, 1).text
    assert "0.123456" in text
    assert "metadata" not in text
    numbers = re.findall(r"-?\d+\.\d+", " ".join(re.findall(r' d="([^"]*)"', text)))
    assert numbers
    assert all(len(number.split(".")[1]) == 1 for number in numbers)
