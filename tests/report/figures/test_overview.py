"""Figures over several modes: a turned mode is laid back, the matrix and the spectrum say what is in their data."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import numpy as np
import pytest
from review_modes import LENGTH, meshed, packed, review, wave

from shellbuck.report.figures.overview import difference, differences, laid_over, likeness, spectrum
from shellbuck.report.review.fields import Fields, field_of


class Turned:
    """A field turned about the axis and scaled."""

    def __init__(self, field, angle: float, scale: float):
        self.field, self.angle, self.scale = field, angle, scale

    def enough(self, places):
        return self.field.enough(places)

    def grid(self, around, along):
        grid = self.field.grid(around, along)
        theta, x = (a.ravel() for a in np.meshgrid(grid.theta - self.angle, grid.x))
        return grid._replace(w=self.scale * self.field.at(theta, x)[:, 2].reshape(grid.w.shape))


@pytest.mark.parametrize(("n", "angle", "scale"), [(3, 0.3, -0.5), (22, 0.111, 2.0), (0, 1.0, -1.0)])
def test_a_mode_turned_and_scaled_is_laid_back(n, angle, scale):
    """The turn is found to a 16th of the grid, 2 pi/(16 x 264) at n = 22: off by n times half of it, squared."""
    field = field_of(wave(2, n), review())
    pair = laid_over(field, Turned(field, angle, scale))
    assert pair.rest < (n * math.pi / (16 * max(180, 12 * n))) ** 2 + 1e-9
    assert abs(pair.scaled) == pytest.approx(1 / abs(scale), rel=2e-3)
    if n:
        turned = (pair.turned + angle) * n / math.pi  # whole half-waves, with a sign for each
        assert turned == pytest.approx(round(turned), abs=n / 100)
        assert np.sign(pair.scaled) == np.sign(scale) * (-1) ** round(turned)


def test_different_modes_leave_all_of_it_over():
    first = field_of(wave(2, 3), review())
    assert laid_over(first, field_of(wave(3, 3), review())).rest == pytest.approx(1, abs=1e-6)
    assert laid_over(first, field_of(wave(2, 4), review())).rest == pytest.approx(1, abs=1e-6)


def test_difference_of_a_mesh_and_a_formula():
    """The mesh of order 2 with 16 lines along is off by (m h)^2/8 of the peak between its nodes."""
    mode, surface = meshed(2, 4, "odd", sector=6, name="mode 2")
    data = review(wave(2, 4), mode, surface=surface)
    found = difference(mode, data["modes"][0], Fields(data))
    one = found.map
    assert one.name == "difference-mode-2-mode-1"
    columns = {k: np.array(v, dtype=float) for k, v in one.columns()}
    left = columns["w of mode 2 [-]"] - columns["w of mode 1 laid over it [-]"]
    assert np.abs(left).max() == pytest.approx(found.largest, abs=1e-5)
    assert found.largest < 0.025
    assert "scaled by" in one.alt
    assert ElementTree.fromstring(one.figure.text).tag.endswith("svg")
    assert differences(Fields(data)) == []  # their likeness is not known
    table = {"case": "pad, empty", "rows": ["mode 1", "mode 2"], "columns": ["mode 1", "mode 2"]}
    for value, count in ((0.99, 1), (0.51, 1), (0.5, 0), (0.02, 0)):
        data["likeness"] = [table | {"values": [[1.0, value], [value, 1.0]]}]
        assert len(differences(Fields(data))) == count


def test_the_likest_pair_of_two_engines_is_laid_over():
    """Three waves of the closed form, one of Ritz: the second of them is its partner, though a lower one is there."""
    ritz = wave(2, 4, name="mode 4", engine="Ritz, membrane")
    modes = [wave(1, 4, name="mode 1", line_load=7e5), wave(2, 4, name="mode 2"), wave(3, 4, name="mode 3"), ritz]
    data = review(*modes)
    names = [m["id"] for m in modes]
    values = [[1, 0, 0, 0.51], [0, 1, 0, 0.97], [0, 0, 1, 0.6], [0.51, 0.97, 0.6, 1]]
    data["likeness"] = [{"case": "pad, empty", "rows": names, "columns": names, "values": values}]
    (one,) = differences(Fields(data))
    assert one.map.name == "difference-mode-4-mode-2"


def test_only_what_differs_is_drawn():
    """The closed form of a sine against itself, and against one with a tenth of the next sine in it."""
    data = review(wave(2, 3), wave(2, 3, name="mode 2"))
    first, second = data["modes"]
    same = difference(first, second, Fields(data))
    assert not same.worth_a_map
    assert "left over" in same.words
    x = np.linspace(0, LENGTH, 241)
    w = np.sin(2 * math.pi * x / LENGTH) + 0.1 * np.sin(3 * math.pi * x / LENGTH)
    mixed = difference(first, second | {"w": packed(w)}, Fields(data))
    assert mixed.worth_a_map
    assert mixed.largest == pytest.approx(0.1, abs=0.01)


def test_matrix_shows_its_numbers():
    values = [[1.0, 0.97, 0.0], [0.97, 1.0, 0.125], [0.0, 0.125, 1.0]]
    names = ["mode 1", "mode 2", "mode <3>"]
    one = likeness({"case": "c", "rows": names, "columns": names, "values": values})
    for shown in ("1.00", "0.97", "0.12", "mode &lt;3&gt;"):
        assert f">{shown}<" in one.figure.text
    assert "Alike (0.90 or more): mode 1 and mode 2 0.97." in one.alt
    assert one.columns()[2] == ("mode 2 [-]", (0.97, 1.0, 0.125))


def test_spectrum_overlays_engines_and_names_mesh_modes():
    entry = {
        "case": "pad, empty",
        "lowest": 7.7e5,
        "series": [
            {
                "engine": "closed form",
                "name": "general instability, Sanders, without pressure",
                "points": [[n, 7.8e5 + 3e4 * (n - 6) ** 2, None] for n in range(12)],
            },
            {"engine": "Ritz, edge bending", "name": "edges C4/C4, bending", "points": [[6, 8.1e5, "mode 2"]]},
        ],
        "marks": [[6, 7.7e5, "mode 3"], [6, 7.71e5, "mode 4"], [9, 9.9e5, "mode 5"]],
    }
    one = spectrum(entry, review())
    words = ("Sanders, without pressure", "edges C4/C4, bending", "modes of the mesh, at their leading n", "3", "5")
    for shown in words:
        assert f">{shown}<" in one.figure.text
    assert ">4<" not in one.figure.text.replace(">4</text>", "", 1)  # would fall on 3; the axis has a 4 of its own
    assert "780 kN/m at n = 6" in one.alt
    columns = dict(one.columns())
    assert len(columns["n"]) == 16
    assert min(columns["line load [N/m]"]) == pytest.approx(7.7e5)
    empty = spectrum({"case": "c", "lowest": 1.0, "series": [], "marks": [[3, 1.0, None]]}, review())
    assert "1 modes of the mesh" in empty.alt
    assert LENGTH > 0
