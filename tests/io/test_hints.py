"""Words of the trade that are no key or choice here: the message leads to the right one."""

from __future__ import annotations

import pytest
from test_casefile_refusals import PLAIN, STARTS, changed, problems

NAME = PLAIN[PLAIN.index('name = "', PLAIN.index("[[load_cases]]")) :].split("\n")[0]


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("isogrid", 'ribs in three directions: write kind = "triangular grid"'),
        ("Isogrid", 'write kind = "triangular grid"'),
        ("stringers", 'write kind = "stiffened", with [wall.stringers], [wall.rings] or both'),
        ("rings", 'write kind = "stiffened"'),
        ("waffle", 'write kind = "orthogrid"'),
        ("monocoque", 'write kind = "plain"'),
        ("sandwich", 'kind = "given stiffness" with A, B, D and mass_per_area'),
        ("orthogird", "did you mean orthogrid?"),
    ],
)
def test_a_wall_by_another_name(kind, said):
    (found,) = problems(changed(('kind = "plain"', f'kind = "{kind}"')))
    assert (found.code, found.where) == ("value-choice", "wall.kind")
    assert said in found.way_out


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('torsion = "10 kN*m"', "did you mean torque?"),
        ('transverse_force = "10 kN"', "did you mean shear_force?"),
        ('external_pressure = "10 kPa"', "a negative pressure_minimum is external pressure"),
        ('ring_load = "10 kN/m"', "loads on a line or ring are not covered"),
        (
            'fluid_density = "1140 kg/m^3"',
            "add density times acceleration times depth at this station to pressure_minimum",
        ),
        ('pressure = "10 kPa"', "give pressure_minimum and pressure_maximum"),
        ("safety_factor = 1.4", 'give factors = "agency prototype"'),
        ('bending_momnt = "1 kN*m"', "did you mean bending_moment?"),
    ],
)
def test_a_load_by_another_name(line, said):
    (found,) = problems(changed((NAME, f"{NAME}\n{line}")))
    assert found.code == "key-unknown"
    assert said in found.way_out


@pytest.mark.parametrize(
    ("section", "way_out"),
    [
        ("Z", 'write section = "zee"'),
        ("omega", 'write section = "hat"'),
        ("flat bar", 'write section = "blade"'),
        ("flanged", 'section = "tee" or "angle"'),
        ("channel", 'section = "given" with area, inertia, eccentricity and torsion_constant'),
    ],
)
def test_a_section_of_another_name(section, way_out):
    text = STARTS["stiffened"].replace('section = "blade"', f'section = "{section}"', 1)
    found = next(p for p in problems(text) if p.where.endswith(".section"))
    assert way_out in found.way_out


def test_the_load_cases_are_called_by_name():
    text = changed((NAME, f'{NAME}\ntorsion = "10 kN*m"'), ("axial_force_includes_thrust = false", ""))
    names = [line.split('"')[1] for line in text.split("\n") if line.startswith("name = ")][-2:]
    said = [p.sentence() for p in problems(text)]
    assert f'load_cases.0.torsion (load case "{names[0]}"): unknown key' in said[0]
    assert f'load_cases.1.axial_force_includes_thrust (load case "{names[1]}"): closed ends' in said[1]


@pytest.mark.parametrize(
    ("E", "family", "said"),
    [
        # 10.5 Msi is 72.4 GPa, 29 Msi is 200 GPa: 1 psi is 6894.757 Pa
        ("72 MPa", "aluminium", "off by a factor of 1000, as MPa in place of GPa"),
        ("10.5 GPa", "aluminium", "off by a factor of 6.895, as GPa in place of Msi"),
        ("10.5 ksi", "aluminium", "off by a factor of 1000, as MPa in place of GPa"),  # ksi for Msi is the same slip
        ("10.5 MPa", "aluminium", "off by a factor of 6895, as MPa in place of Msi"),  # 1000 would give 10.5 GPa: no
        ("29 GPa", "steel", "off by a factor of 6.895, as GPa in place of Msi"),
        ("73 Msi", "aluminium", "off by a factor of 1/6.895, as Msi in place of GPa"),
        ("72e9 GPa", "aluminium", "outside the range"),
        ("140 GPa", "aluminium", "check the number and its unit"),
    ],
)
def test_a_modulus_is_compared_with_the_nearest_unit(E, family, said):
    text = PLAIN.replace('"72 GPa"', f'"{E}"').replace('family = "aluminium"', f'family = "{family}"')
    assert f'"{family}"' in text
    found = next(p for p in problems(text) if p.where.endswith("youngs_modulus"))
    assert said in f"{found.what}; {found.way_out}"
