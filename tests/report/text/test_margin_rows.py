"""Rows of margins as cells: what stands beside a margin is the quantity that it compares (own arithmetic)."""

from __future__ import annotations

import math

import pytest
from builders import PLAIN, case, load, row

import shellbuck as sb
from shellbuck.report.text.display import SI, knockdown_text
from shellbuck.report.text.margin_rows import margin_table

R = 1.5
ALONE = {
    "torque": ("shear flow [kN/m]", 30e3 / (2 * math.pi * R**2) / 1e3, "0.670"),
    "pressure": ("pressure [kPa]", 1.5, "0.750"),
}
LOADS = {
    "torque": load(axial_force=0.0, bending_moment=0.0, torque=30e3),
    "pressure": load(axial_force=0.0, bending_moment=0.0, pressure_minimum=-1.5e3, axial_force_includes_thrust=False),
}


@pytest.mark.parametrize("name", ALONE)
def test_a_component_alone_has_its_own_columns_and_factor(name):
    """T/(2 pi R^2) and the pressure itself; factors .67 and sqrt(.5625) of SP-8007 Rev 2, Eqs 28 and 37 (published)."""
    result, (column, demand, factor) = sb.run(case(PLAIN, LOADS[name])), ALONE[name]
    head, cells = margin_table(result, SI)
    got = dict(zip(head, next(one for one in cells if one[1] == "general instability"), strict=True))
    assert got[f"limit {column}"] == pytest.approx(demand, rel=1e-12)
    assert got[f"allowable {column}"] == pytest.approx(demand * 1.4 * (1 + got["margin [-]"]), rel=1e-12)
    assert got["limit line load [kN/m]"] is None
    assert knockdown_text(row(result, "general instability")) == factor
