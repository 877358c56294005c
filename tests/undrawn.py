"""Pages without their figures."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest


@contextmanager
def figures_left_out() -> Iterator[None]:
    """Figures of pages are empty drawings: for tests of all else on a page, whose thirty figures take twenty times as
    long as the run itself."""
    from shellbuck.report.figures.canvas import VectorFigure

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(VectorFigure, "text", '<svg width="9pt" height="9pt"/>')
        yield
