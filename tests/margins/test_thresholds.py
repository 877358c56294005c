"""Where one rule ends and the next begins, tried on both sides; formulas beyond written out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import BARREL, PLAIN, case, load, row

import shellbuck as sb
from shellbuck.margins.engines import Engines
from shellbuck.margins.knockdown import stiffened_factors
from shellbuck.margins.modes.wording import waves_check
from shellbuck.margins.state import State
from shellbuck.model.walls import Skin, SmearedWall

E, NU, T, R, FS = 72e9, 0.33, 2.5e-3, 1.5, 1.4


def state_of(given: sb.Case) -> State:
    return State(given, given.load_cases[0], Engines(given))


@pytest.mark.parametrize(("n", "status"), [(4, "warned"), (5, "passed")])
def test_donnell_is_poor_up_to_four_waves(n, status):
    """SP-8007 Rev 2, 4.1.2.1."""
    state = state_of(case(PLAIN))
    found, _ = Engines(state.case).lowest(state.wall, state.L, "general instability").pair
    assert waves_check(state, "general instability", replace(found, n=n)).status == status


@pytest.mark.parametrize(("aspect", "amplified"), [(9.99, False), (10.01, True)])
def test_moment_is_amplified_beyond_ten_radii(aspect, amplified):
    """Pinned column under f_s P: the moment in its middle grows by 1/cos(pi/2 sqrt(f_s P/P_E)), P_E = pi^2 E I/L^2 with
    E I = pi R^3 E t."""
    P, L = 5e6, aspect * R
    state = state_of(case(PLAIN, load(axial_force=P), barrel=replace(BARREL, length=L)))
    P_E = math.pi**2 * math.pi * R**3 * E * T / L**2
    grown = 1 / math.cos(math.pi / 2 * math.sqrt(FS * P / P_E)) if amplified else 1.0
    assert state.N_b == pytest.approx(grown * 100e3 / (math.pi * R**2), rel=1e-9)
    tension = state_of(case(PLAIN, load(axial_force=-P), barrel=replace(BARREL, length=L)))
    assert tension.N_b == pytest.approx(100e3 / (math.pi * R**2), rel=1e-12)


def test_beyond_the_column_load_no_moment_is_carried():
    L = 30 * R
    P_E = math.pi**2 * math.pi * R**3 * E * T / L**2
    given = (case(PLAIN, load(axial_force=f * P_E / FS), barrel=replace(BARREL, length=L)) for f in (0.99, 1.01))
    below, above = (row(sb.run(one), "general instability") for one in given)
    assert above.margin < -0.999 < below.margin


@pytest.mark.parametrize("ratio", [1499.0, 1501.0])
def test_orthotropic_factor_ends_at_1500(ratio):
    """A sheet is its own equivalent thickness; Eqs 60-63 with phi = sqrt(R sqrt(12)/t_e)/29.8 up to R/t_e 1500."""
    t = R / ratio
    found, checks = stiffened_factors(SmearedWall.of(Skin(E, NU, t)), R, t).say("general instability")
    if ratio > 1500:
        assert found is None
        assert "R/t_e = 1501 is beyond the 1500" in checks[0].text
        return
    phi = math.sqrt(ratio * math.sqrt(12)) / 29.8
    factors = dict(found.factors)
    assert factors["axial"] == pytest.approx(1 - 0.901 * (1 - math.exp(-phi)), rel=1e-9)
    assert factors["bending"] == pytest.approx(1 - 0.731 * (1 - math.exp(-phi)), rel=1e-9)


@pytest.mark.parametrize("ratio", [1499.0, 1501.0])
def test_plain_factor_ends_at_1500(ratio):
    t = R / ratio
    thin = replace(BARREL, skin_thickness=t, skin_thickness_minimum=t)
    got = row(sb.run(case(PLAIN, load(axial_force=1e3, bending_moment=0.0), barrel=thin)), "general instability")
    assert (got.status == "refused") is (ratio > 1500)
    if ratio < 1500:
        assert got.knockdown("axial") == pytest.approx(1 - 0.901 * (1 - math.exp(-math.sqrt(ratio) / 16)), rel=1e-12)
