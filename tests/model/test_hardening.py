"""The hardening exponent of a metal: given with a source, or assumed and warned."""

from __future__ import annotations

from dataclasses import replace

import builders
import numpy as np
import pytest

from shellbuck.core.errors import Refusal
from shellbuck.io import case_from_text, material, material_names
from shellbuck.io.language.case_text import case_text
from shellbuck.margins.plasticity import curve_of, hardening_checks
from shellbuck.model import MaterialPoint

SHAPED = replace(builders.METAL, hardening_exponent=12.0, hardening_source="test report 1")


def named(more: str) -> str:
    """A case file of a library metal."""
    return case_text(builders.case(builders.PLAIN, material=material("2219-T87"))).replace(
        'name = "2219-T87"\n', f'name = "2219-T87"\n{more}\n'
    )


@pytest.mark.parametrize("name", material_names())
def test_the_library_has_no_exponent_and_says_so(name):
    assert material(name).hardening_exponent is None
    (check,) = hardening_checks(builders.case(builders.PLAIN, material=material(name)))
    assert (check.code, check.status, check.where) == ("hardening-exponent-assumed", "warned", "material")
    assert "n = 5 is assumed" in check.text
    curve = curve_of(material(name), None)
    assert (curve.n, curve.assumed) == (5.0, True)


def test_a_case_gives_it_and_a_file_keeps_it():
    case = builders.case(builders.PLAIN, material=SHAPED)
    assert not list(hardening_checks(case))
    assert curve_of(SHAPED, None) == (72e9, 380e6, 12.0, False)
    assert case_from_text(case_text(case)).case.material == SHAPED


def test_beside_the_name_of_a_library_metal_it_needs_its_source():
    with pytest.raises(Refusal, match=r"material\.hardening_source: a hardening exponent beside the name .* needs its"):
        case_from_text(named("hardening_exponent = 10"))
    case = case_from_text(named('hardening_exponent = 10\nhardening_source = "report 7"')).case
    assert case.material.hardening_exponent == 10.0
    assert dict(case.material.standings)["hardening_exponent"] == "given in the case (report 7)"
    assert case_from_text(case_text(case)).case.material == case.material


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("hardening_exponent = 1.5", r"material\.hardening_exponent: outside the range .*2 to 60"),
        ('hardening_exponent = "10 MPa"', r"material\.hardening_exponent: "),
        ("hardening_exponent = 10\nhardening_source = 7", r"material\.hardening_source: text in quotes is needed"),
        ('clamp_below_range = "yes"', r"material\.clamp_below_range: true or false is needed"),
    ],
)
def test_what_is_no_exponent_is_refused_with_its_key(line, says):
    with pytest.raises(Refusal, match=says):
        case_from_text(named(line))


def test_ribs_have_their_own():
    other = replace(SHAPED, name="other", hardening_exponent=None)
    wall = replace(builders.STIFFENED, stringers=replace(builders.STIFFENED.stringers, material=other))
    found = list(hardening_checks(builders.case(wall, material=SHAPED)))
    assert [c.where for c in found] == ["wall.stringers.material"]


def test_arrays_of_designs_may_vary_it():
    from shellbuck.model.arrays import arrayed, read

    case = builders.case(builders.PLAIN, material=SHAPED)
    varied, size = read(case, {"material.hardening_exponent": np.array([5.0, 20.0])})
    assert size == 2
    metal = arrayed(case, varied).material
    assert list(curve_of(metal, None).n) == [5.0, 20.0]
    with pytest.raises(Refusal):
        MaterialPoint(294.0, 70e9, 400e6, 450e6)
