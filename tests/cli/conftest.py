"""What the tests of the commands share."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="module")
def undrawn():
    """Pages whose figures are empty drawings, for tests of where a page goes and what it replaces: its thirty figures
    take twenty times as long as the run. tests/report draws the pages of every start."""
    from shellbuck.report.figures.canvas import VectorFigure

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(VectorFigure, "text", "<svg/>")
        yield
