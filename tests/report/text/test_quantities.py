"""Every quantity of a row or a comparison has its units in every display (a property of the code, own)."""

from __future__ import annotations

from typing import get_args, get_type_hints

import pytest

from shellbuck.core.records import Comparison, MarginRow
from shellbuck.report.text.display import DISPLAYS

QUANTITIES = {q for record in (MarginRow, Comparison) for q in get_args(get_type_hints(record)["quantity"])}


@pytest.mark.parametrize("display", DISPLAYS.values(), ids=lambda one: one.name)
@pytest.mark.parametrize("quantity", sorted(QUANTITIES))
def test_it_can_be_shown(display, quantity):
    assert display.shown(1.0, quantity).split(" ", 1)[1]
