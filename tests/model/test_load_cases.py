"""What a load case may not say."""

from __future__ import annotations

import math

import builders
import numpy as np
import pytest

import shellbuck as sb
from shellbuck.cli.main import main
from shellbuck.core.errors import Refusal


def contained(low: float, high: float, thrust: float) -> sb.LoadCase:
    return builders.load(
        pressure_minimum=low, pressure_maximum=high, axial_force_includes_thrust=True, thrust_pressure=thrust
    )


@pytest.mark.parametrize("thrust", [-120e3, -1.0, 49e3, 81e3, 1e6])
def test_a_thrust_of_a_pressure_that_the_load_case_never_has(thrust):
    """The sign slip -120 kPa on 1.5 m would take pi R^2 p = 848 kN off the compression, twice what it carries."""
    with pytest.raises(Refusal, match=r'thrust_pressure \(load case "case"\): the thrust .*allowed: 50 to 80 kPa'):
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


def test_objects_of_the_wrong_kind_are_refused_in_words():
    """Through Python as in a file; a case of one load case without the comma of its tuple is the usual slip."""
    one = builders.load()
    for values, said in (
        (dict(load_cases=one), r"load_cases: a tuple of LoadCase is needed.*write load_cases=\(load_case,\) with"),
        (dict(load_cases=(one, "pad")), r"load_cases.1: a LoadCase is needed; got 'pad'"),
        (dict(material="2219-T87"), r"material: a Material is needed.*shellbuck.material\(name\) finds a library"),
        (dict(wall="plain"), r"wall: a Wall is needed; got 'plain'"),
        (dict(barrel=None), r"barrel: a value is needed"),
    ):
        whole = dict(barrel=builders.BARREL, wall=builders.PLAIN, load_cases=(one,), material=builders.METAL)
        with pytest.raises(Refusal, match=said):
            sb.Case(**{**whole, **values})
    with pytest.raises(Refusal, match=r"factors.*a Factors is needed.*FACTOR_SETS\[name\] is a named set"):
        builders.load(factors="agency prototype")
    with pytest.raises(Refusal, match=r"points: a tuple of MaterialPoint is needed"):
        sb.Material("m", "s", 2800.0, 0.33, builders.METAL.points[0])
    with pytest.raises(Refusal, match=r"clamp_below_range: True or False is needed; got 'no'"):
        sb.Material("m", "s", 2800.0, 0.33, builders.METAL.points, clamp_below_range="no")


def test_numbers_and_lists_of_other_libraries_are_taken_as_our_own():
    grid = sb.TriangularGrid("hoop", "inside", np.float32(0.013), 0.0025, count_around=np.int64(72))
    assert type(grid.count_around) is int
    assert type(grid.rib_depth) is float
    case = sb.Case(builders.BARREL, builders.PLAIN, [builders.load()], builders.METAL)
    assert case.load_cases == (builders.load(),)


def test_a_case_that_was_read_runs(tmp_path, capsys):
    assert main(["start", "plain", "--to", str(tmp_path / "my.toml")]) == 0
    file = sb.read_case(tmp_path / "my.toml")
    assert sb.run(file) == sb.run(file.case)
    with pytest.raises(Refusal, match=r"a case is needed; got 'my.toml'.*shellbuck.run\(shellbuck.read_case\(path\)\)"):
        sb.run("my.toml")
