"""Modes on the static page: which are drawn, and which are said to look like one that is."""

from __future__ import annotations

from review_modes import meshed, review, wave

from shellbuck.report.pages.review import sections
from shellbuck.report.review.fields import Fields


def test_modes_of_one_look_share_their_figures():
    """A sign and other stations change no look; another n and a mesh do. 61 stations bend a sine by (3 deg)^2/8."""
    mesh, surface = meshed(2, 3, name="mode 4")
    modes = (wave(2, 3), wave(2, 3, name="mode 2", sign=-1.0, stations=61), wave(2, 4, name="mode 3"), mesh)
    found = sections(Fields(review(*modes, surface=surface)))
    assert [(one.mode["id"], one.same_as, bool(one.figures)) for one in found] == [
        ("mode 1", "", True),
        ("mode 3", "", True),
        ("mode 4", "", True),
        ("mode 2", "mode 1", False),
    ]


def test_a_twentieth_apart_is_another_look():
    modes = (wave(2, 3), wave(2, 3, name="mode 2"))
    first = modes[0]["w"]
    modes[1]["w"] = first | {"scale": 0.95 * first["scale"]}
    assert [one.same_as for one in sections(Fields(review(*modes)))] == ["", ""]
