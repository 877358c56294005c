"""The picture is right: colours, places and waves of the barrel and of the map equal the mode, in a real browser.

The fields of the demo modes are known in closed form (browser_pages); camera and copies are worked out anew.
"""

from __future__ import annotations

import io
import math
import re

import numpy as np
import pytest
from browser_pages import LENGTH, RADIUS
from matplotlib.image import imread

from shellbuck.report.pictures.scene import colours


@pytest.fixture(autouse=True)
def _without_marks(review):
    """Nothing drawn over the canvases."""
    review.page.add_style_tag(content=".rv-over { display: none }")


FINE = colours(20001)
# the shader interpolates between nodes 24 to a wave (1 - cos(pi/24) < .01 of the peak, up to 3 levels at the
# palette's steepest); packing to 16 bits and rounding to 8 add one each
LEVELS = 5


def colour(w):
    return FINE[np.rint((np.clip(w, -1, 1) + 1) * 10000).astype(int)].astype(int)


def waves(m, n, turned=0.0):
    """(u, v, w) of the demo's wave modes."""

    def field(theta, x):
        b, at = m * math.pi * x / LENGTH, n * theta - turned
        return 0.1 * np.cos(b) * np.cos(at), -0.1 * np.sin(b) * np.sin(at), np.sin(b) * np.cos(at)

    return field


def odd(m, n, start):
    """(u, v, w) of the demo's odd mesh modes: sine about the mirror plane, on the whole barrel."""

    def field(theta, x):
        b, at = m * math.pi * x / LENGTH, n * (theta - start)
        return 0.1 * np.cos(b) * np.sin(at), 0.1 * np.sin(b) * np.cos(at), np.sin(b) * np.sin(at)

    return field


START = 0.0  # the first mirror plane of the demo's meshes
MODES = {
    "mode 1": waves(5, 8),
    "mode 2": waves(1, 4, math.pi / 6),
    "mode 3": lambda t, x: waves(5, 8)(t - START, x),
    "mode 4": odd(5, 7, START),
    "mode 5": odd(9, 6, START),
    "mode 6": waves(3, 5),
}


def start_of_mesh(review):
    return min(review("R.part('skin').polar")[1::3])


def place(field, amplitude, theta, x):
    u, v, w = (amplitude * part for part in field(theta, x))
    c, s, r = np.cos(theta), np.sin(theta), RADIUS + w
    return np.array([r * c - v * s, r * s + v * c, x + u])


def pixel(pose, size, at):
    """Where a place [m] stands in a picture of `size`: parallel projection, the barrel filling it as the page says."""
    a, e = pose["azimuth"], pose["elevation"]
    right, up = (
        np.array([-math.sin(a), math.cos(a), 0]),
        np.array([-math.sin(e) * math.cos(a), -math.sin(e) * math.sin(a), math.cos(e)]),
    )
    rest = 0.42
    wide, high = 2.56 * RADIUS, LENGTH * math.cos(rest) + 2.56 * RADIUS * math.sin(rest) + 0.1 * RADIUS
    scale = pose["zoom"] * min(size[0] / wide, size[1] / high)
    away = at - np.array([0, 0, LENGTH / 2])
    return np.array([size[0] / 2 + scale * away @ right, size[1] / 2 - scale * away @ up])


def picture(review):
    """(width, height) of the barrel's picture, its pixels (h, w, 3) from a screenshot."""
    element = review.page.locator(".rv-solid-canvas")
    box = element.bounding_box()
    shot = imread(io.BytesIO(element.screenshot()))[:, :, :3]
    return (box["width"], box["height"]), (shot * 255).round().astype(int)


@pytest.mark.parametrize("mode", MODES)
def test_sampled_values_and_places_equal_the_mode(review, mode):
    review.choose(mode)
    if mode in ("mode 3", "mode 4", "mode 5"):
        assert start_of_mesh(review) == pytest.approx(START, abs=1e-6)
    amplitude = review("R.state.amplitude") * RADIUS
    rng = np.random.default_rng(7)
    meshed = mode in ("mode 3", "mode 4", "mode 5")
    for theta, x in zip(rng.uniform(0, 2 * math.pi, 60), rng.uniform(0, LENGTH, 60), strict=True):
        found = review("R.at(a, b)", theta, x)
        expected = MODES[mode](theta, x)
        # straight lines between samples: waves 24 to a half-wave (.2 %); elements of order 3, 48 around, 24 along,
        # longest stretch .447 of an element: (m pi .447/24)^2/8 = .04 at m = 9, (n 2 pi .447/48)^2/8 = .03 at n = 8
        bound = 0.08 if meshed else 0.003
        assert found["displacement"] == pytest.approx(expected, abs=bound)
        assert found["place"] == pytest.approx(place(MODES[mode], amplitude, theta, x), abs=bound * amplitude)
        assert found["colour"] == pytest.approx(colour(np.array(found["w"])), abs=1)  # rounded once here, once there


@pytest.mark.parametrize("mode", MODES)
def test_drawn_colours_equal_the_mode_all_around(review, mode):
    review.choose(mode)
    review.bare()
    review.slide("Amplitude", 1.0)
    review.page.get_by_label("ribs", exact=True).select_option("hidden")
    pad = review.page.locator(".rv-solid-pad")
    for _ in range(6):
        for _ in range(10):
            pad.press("ArrowLeft")
        review.settled()
        pose = review("R.state.pose")
        size, shot = picture(review)
        for turn in (-0.5, -0.2, 0.0, 0.25, 0.45):
            for x in np.linspace(0.06, 0.94, 9) * LENGTH:
                theta = pose["azimuth"] + turn
                at = pixel(pose, size, place(MODES[mode], 0.01 * RADIUS, theta, x))
                told = review("R.at(a, b)", theta, x)
                assert told["pixel"][:2] == pytest.approx(at, abs=0.5)
                # w changes by up to .1 from pixel to pixel: its colour lies between those of the pixels around
                own = colour(np.array(told["w"]))
                around = shot[int(at[1]) - 1 : int(at[1]) + 2, int(at[0]) - 1 : int(at[0]) + 2].reshape(-1, 3)
                # (a summit may lie between them, half a pixel away: .05 of w, 10 levels)
                assert (around.min(axis=0) - LEVELS - 10 <= own).all()
                assert (own <= around.max(axis=0) + LEVELS + 10).all()
                assert np.ptp(around, axis=0).max() < 60
                assert np.sign(told["w"]) == np.sign(MODES[mode](theta, x)[2]) or abs(told["w"]) < 0.08


def seen_along_axis(review):
    """The outline from the end x = L: its distance from the middle over theta, from pixels that are not ground."""
    review.bare()
    review.slide("Amplitude", 8)
    pad = review.page.locator(".rv-solid-pad")
    for _ in range(16):
        pad.press("ArrowUp")
    review.settled()
    assert review("R.state.pose.elevation") > 1.56
    size, shot = picture(review)
    azimuth = review("R.state.pose.azimuth")
    ground = np.abs(shot - np.array([243, 245, 249])).max(axis=2) <= 2
    angles = np.linspace(0, 2 * math.pi, 720, endpoint=False)
    reach = []
    for theta in angles:
        # looking down the axis, the right hand side of the picture is azimuth + 90 degrees
        direction = np.array([math.sin(theta - azimuth), math.cos(theta - azimuth)])
        run = np.arange(10, min(size) / 2 - 1)
        column, row = (size[0] / 2 + run * direction[0]).astype(int), (size[1] / 2 + run * direction[1]).astype(int)
        solid = np.nonzero(~ground[row, column])[0]
        reach.append(run[solid[-1]] if len(solid) else np.nan)  # a wall seen on edge may have no pixel
    return angles, np.array(reach)


def test_outward_is_outward_and_the_outline_has_n_waves(review):
    review.choose("mode 2")  # one half-wave along: the outline from the end is R + a cos(4 theta - 30 degrees)
    angles, reach = seen_along_axis(review)
    assert review("R.at(a, b).colour", math.pi / 24, LENGTH / 2) == [144, 58, 3]
    w = MODES["mode 2"](angles, LENGTH / 2)[2]
    scale = np.nanmax(reach) / (1.08 * RADIUS)
    assert np.isnan(reach).mean() < 0.1
    reach = np.where(np.isnan(reach), RADIUS * scale, reach)
    # inward waves hide behind the ends of the barrel, which stay on R
    assert reach / scale == pytest.approx(RADIUS * (1 + 0.08 * np.maximum(w, 0)), abs=0.02 * RADIUS)
    reach = np.median([np.roll(reach, k) for k in range(-12, 13)], axis=0)  # without the ragged pixels of nodal lines
    lobes = np.sum((reach <= 1.04 * RADIUS * scale) & (np.roll(reach, -1) > 1.04 * RADIUS * scale))
    assert lobes == 4


def changes(signs):
    kept = signs[signs != 0]
    return int(np.sum(kept[1:] != kept[:-1]))


def signs(pixels):
    """+1 where a colour is on the outward side of the palette, -1 inward, 0 pale."""
    warm = pixels[..., 0] - pixels[..., 2]
    return np.where(warm > 40, 1, np.where(warm < -60, -1, 0))


@pytest.mark.parametrize("mode", MODES)
def test_waves_counted_in_the_map_equal_the_label(review, mode):
    review.choose(mode)
    canvas = review.page.locator(".rv-unrolled .rv-map-canvas")
    shot = (imread(io.BytesIO(canvas.screenshot()))[:, :, :3] * 255).round().astype(int)
    size = review("R.map()")
    assert size["width"] / size["height"] == pytest.approx(2 * math.pi * RADIUS / LENGTH, rel=0.01)
    label = review.page.locator(".rv-label").inner_text()
    m, n = (int(v) for v in re.search(r"\((\d+), (\d+)\), contributes", label).groups())
    assert (m, n) == {
        "mode 1": (5, 8),
        "mode 2": (1, 4),
        "mode 3": (5, 8),
        "mode 4": (5, 7),
        "mode 5": (9, 6),
        "mode 6": (3, 5),
    }[mode]
    rows = [changes(signs(row)) for row in shot]
    columns = [changes(signs(column)) for column in shot.transpose(1, 0, 2)]
    # the crosshair's line and the signs of the summits disturb a few lines, never most of them
    usual = lambda counts: max(set(counts), key=counts.count)  # noqa: E731
    assert usual([c for c in rows if c]) in (2 * n, 2 * n - 1)
    assert usual([c for c in columns if c] or [0]) == m - 1


def test_half_waves_counted_on_the_barrel_equal_the_label(review):
    for mode, m in (("mode 1", 5), ("mode 3", 5), ("mode 6", 3), ("mode 5", 9)):
        review.choose(mode)
        review.page.locator(".rv-solid-pad").press("Home")
        review.bare()
        for _ in range(4):
            review.page.locator(".rv-solid-pad").press("ArrowDown")
        review.slide("Amplitude", 1.0)
        if mode in ("mode 3", "mode 5"):
            review.page.get_by_label("ribs", exact=True).select_option("hidden")
        _, shot = picture(review)
        middle = shot.shape[1] // 2
        ground = np.abs(shot - np.array([243, 245, 249])).max(axis=2) <= 2
        counts = []
        for column in range(middle - 60, middle + 60, 3):
            solid = np.nonzero(~ground[:, column])[0]
            counts.append(changes(signs(shot[solid[0] + 9 : solid[-1] - 8, column])))
        assert max(counts) == m - 1
        assert counts.count(m - 1) > len(counts) / 3


def test_a_web_moves_with_its_skin_and_is_drawn_where_it_stands(review):
    review.choose("mode 3")
    review.bare()
    part, skin = review("R.part('stringer')"), review("R.part('skin')")
    polar, shift = (np.array(part[k]).reshape(-1, 3) for k in ("polar", "shift"))
    skin_polar, skin_shift = (np.array(skin[k]).reshape(-1, 3) for k in ("polar", "shift"))
    root = np.isclose(polar[:, 2], RADIUS)
    assert root.sum() > 20
    for node, moved in zip(polar[root], shift[root], strict=True):
        on = np.argmin(np.abs(skin_polar - node).sum(axis=1))
        assert skin_polar[on] == pytest.approx(node, abs=1e-6)
        assert skin_shift[on] == pytest.approx(moved, abs=1e-6)
    review.page.get_by_label("ribs", exact=True).select_option("coloured")
    review.slide("Amplitude", 7.5)
    # a web seen from the side, half-way up, where it is outward: the pixel has the colour of w, grey with plain ribs
    theta = sorted(set(np.round(polar[:, 1], 6)), key=lambda t: abs(t - 0.3))[0]
    x = min(polar[:, 0], key=lambda at: abs(at - 0.3 * LENGTH))  # between two rings, on top of a half-wave
    line = (np.abs(polar[:, 1] - theta) < 1e-5) & (np.abs(polar[:, 0] - x) < 1e-5)
    inner, outer = polar[line][:, 2].argmin(), polar[line][:, 2].argmax()
    d = (shift[line][inner] + shift[line][outer]) / 2
    r = (polar[line][inner, 2] + polar[line][outer, 2]) / 2
    pad = review.page.locator(".rv-solid-pad")
    pad.press("Home")
    for _ in range(3):
        pad.press("ArrowDown")
    review.settled()
    size, _ = picture(review)
    amplitude = review("R.state.amplitude") * RADIUS
    c, s = math.cos(theta), math.sin(theta)
    at = np.array(
        [
            (r + amplitude * d[2]) * c - amplitude * d[1] * s,
            (r + amplitude * d[2]) * s + amplitude * d[1] * c,
            x + amplitude * d[0],
        ]
    )
    where = pixel(review("R.state.pose"), size, at)
    drawn = np.array(review("R.drawn(a, b)", *where))
    assert np.abs(drawn - colour(np.array(d[2]))).max() <= 2 * LEVELS
    review.page.get_by_label("ribs", exact=True).select_option("plain")
    review.settled()
    assert review("R.drawn(a, b)", *where) == pytest.approx([178, 189, 199], abs=2)
