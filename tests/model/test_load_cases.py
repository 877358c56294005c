"""What a load case may not say."""

from __future__ import annotations

import math

import builders
import pytest

import shellbuck as sb
from shellbuck.errors import Refusal


def contained(low: float, high: float, thrust: float) -> sb.LoadCase:
    return builders.load(
        pressure_minimum=low, pressure_maximum=high, axial_force_includes_thrust=True, thrust_pressure=thrust
    )


@pytest.mark.parametrize("thrust", [-120e3, -1.0, 49e3, 81e3, 1e6])
def test_a_thrust_of_a_pressure_that_the_load_case_never_has(thrust):
    """The sign slip -120 kPa on 1.5 m would take pi R^2 p = 848 kN off the compression, twice what it carries."""
    with pytest.raises(Refusal, match=r"thrust_pressure: the thrust pressure is none that.*allowed: 50 to 80 kPa"):
        contained(50e3, 80e3, thrust)


def test_a_thrust_without_any_pressure():
    with pytest.raises(Refusal, match=r"got -120 kPa; allowed: 0 to 0 kPa"):
        builders.load(axial_force_includes_thrust=True, thrust_pressure=-120e3)


@pytest.mark.parametrize("thrust", [50e3, 65e3, 80e3, 80e3 * (1 + 1e-12)])
def test_a_thrust_within_the_pressures_counts_once(thrust):
    case = builders.case(builders.PLAIN, contained(50e3, 80e3, thrust))
    expected = 400e3 + math.pi * 1.5**2 * thrust
    assert case.external_axial_force(case.load_cases[0]) == pytest.approx(expected, rel=1e-12)  # rounding only


def test_psi_in_one_place_and_kilopascal_in_another():
    """35 psi = 241.3165050... kPa; the last digits of a conversion are no other pressure."""
    psi = 35 * 4.4482216152605 / 0.0254**2
    contained(psi, psi, 241316.505043)
    contained(psi, psi, 241316.505041)
