"""Sizing files: what is read, what is refused and with which words; a case written is the case read back."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from builders import WALLS, case, load

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.io import case_from_text
from shellbuck.io.language.case_text import case_text
from shellbuck.io.language.sizing_file import read_sizing, sizing_from_text

CASES = Path(__file__).parent.parent.parent / "cases"
DEMO = (CASES / "vehicle-barrel.sizing.toml").read_text(encoding="utf-8")


def codes(text: str) -> dict[str, str]:
    with pytest.raises(Refusal) as caught:
        sizing_from_text(text)
    return {p.where: p.code for p in caught.value.problems}


def flat(value, path: str = "") -> dict:
    """Every number and word of a record by its dotted path."""
    if isinstance(value, tuple):
        return {k: v for i, x in enumerate(value) for k, v in flat(x, f"{path}.{i}").items()}
    if is_dataclass(value):
        return {k: v for f in fields(value) for k, v in flat(getattr(value, f.name), f"{path}.{f.name}").items()}
    return {path: value}


def test_demo_vehicle():
    file = read_sizing(CASES / "vehicle-barrel.sizing.toml")
    assert "(invented)" in file.demand.identity.title
    assert [m.name.split()[0] for m in file.demand.materials] == ["aluminium", "cold-rolled"]
    assert file.demand.limits.standby_pressure == 60e3
    assert file.left_out == ()


def test_a_case_file_serves_too_and_says_what_is_left_out():
    file = read_sizing(CASES / "orthogrid-inside.toml")
    assert file.left_out == ("wall", "barrel.skin_thickness", "barrel.skin_thickness_minimum")
    assert file.demand.limits == sb.Limits()


def test_sections_of_stringers_and_rings():
    tables = '[stringers]\nsection = "hat"\njoint = "riveted"\n\n[rings]\nsection = "tee"\nattached = "flange"\n'
    tables += 'joint = "riveted"\nown_thicknesses = true\n\n[limits]\nwidth_least = "12 mm"\n'
    found = sizing_from_text(DEMO.replace("[limits]\n", tables)).demand
    assert found.stringers.words == "hat, riveted"
    assert found.rings.words == "tee, flange on the skin, riveted"
    assert found.rings.chosen == ("depth", "thickness", "flange_width", "flange_thickness")
    assert (found.limits.width_least, found.sections["rings"]) == (12e-3, found.rings)


def test_load_cases_of_a_table_are_those_of_the_file(tmp_path):
    """One of the four of the demo from a table, with a set of factors of the file: the same demand."""
    head, *cases = DEMO.split("[[load_cases]]")
    assert len(cases) == 4
    own = '[factor_sets."programme A"]\nultimate_factor = 1.4\nyield_factor = 1.1\nsource = "invented"\n\n'
    written = head + own + "[[load_cases]]".join(["", *cases]).replace('"agency prototype"', '"programme A"')
    (tmp_path / "all.sizing.toml").write_text(written)
    table = "name,axial_force [kN],bending_moment [kN*m],pressure_minimum [kPa],pressure_maximum [kPa],factors\n"
    (tmp_path / "loads.csv").write_text(table + '"pad, empty, wind",700,350,0,0,programme A\n')
    others = "[[load_cases]]".join(["", *cases[1:]]).replace('"agency prototype"', '"programme A"')
    (tmp_path / "my.sizing.toml").write_text('load_table = "loads.csv"\n' + head + own + others)
    ours, whole = (read_sizing(tmp_path / f"{n}.sizing.toml") for n in ("my", "all"))
    loads = {load.name: load for load in whole.demand.load_cases}
    assert {load.name: load for load in ours.demand.load_cases} == loads
    assert len(loads) == 4
    assert [name for name, _ in ours.tables] == ["loads.csv"]
    assert whole.tables == ()
    (tmp_path / "loads.csv").write_text(table + '"pad, empty, wind",700,350,10,0,programme A\n')
    with pytest.raises(Refusal, match=r"loads\.csv.*row 2.*pressure_maximum"):
        read_sizing(tmp_path / "my.sizing.toml")
    with pytest.raises(Refusal, match="a case that is no file has no folder"):
        sizing_from_text('load_table = "loads.csv"\n' + head)


@pytest.mark.parametrize(
    ("old", "new", "where", "code"),
    [
        ("[limits]", '[stringers]\nsection = "hat"\n\n[limits]', "stringers.joint", "value-missing"),
        ("[limits]", '[rings]\nsection = "given"\n\n[limits]', "rings.section", "value-choice"),
        ("[limits]", '[limits]\nwidth_least = "130 mm"', "limits.width_least", "range-empty"),
        ('least = "1.6 mm"', 'least = "1.6"', "limits.rib_thickness_least", "unit-missing"),
        ('least = "1.6 mm"', 'least = "1.6 kg"', "limits.rib_thickness_least", "unit-dimension"),
        ('least = "1.6 mm"', 'least = "60 mm"', "limits.rib_thickness_least", "range-empty"),
        ('most = "60 mm"', 'most = "5 mm"', "limits.plate_thickness_most", "range-empty"),
        ('skin_tolerance = "0.1 mm"', 'skin_tolerance = "0.6 mm"', "limits.skin_tolerance", "range-empty"),
        ("slenderness_most = 12", "slenderness_mots = 12", "limits.slenderness_mots", "key-unknown"),
        ('length = "2.4 m"', 'length = "2.4 m"\nskin_thickness = "2 mm"', "barrel.skin_thickness", "key-unknown"),
        ('mean = "95 W/(m*K)"', 'mean = "95 W"', "heat.conductivities.0.mean", "unit-dimension"),
        ("milling_per_kg = 14", "milling_per_kg = -1", "prices.milling_per_kg", "value-range"),
        ("[[materials]]", "[[material_list]]", "material_list", "key-unknown"),
    ],
)
def test_refusals(old, new, where, code):
    assert old in DEMO
    assert codes(DEMO.replace(old, new))[where] == code


def test_prices_of_an_unknown_metal_and_twice_the_same_metal():
    head = "[[prices.plates]]\nmaterial = "
    text = DEMO.replace(f'{head}"aluminium plate', f'{head}"aluminum plate')
    assert codes(text) == {"prices.plates.0.material": "material-unknown"}
    text = DEMO.replace('name = "cold-rolled stainless sheet', 'name = "aluminium plate')
    assert codes(text)["materials.0.name"] == "material-twice"


def test_every_problem_at_once_with_its_line():
    text = DEMO.replace('radius = "1.6 m"', 'radius = "1.6"').replace('cutter_radius = "6 mm"', 'cutter_radius = "6 s"')
    with pytest.raises(Refusal) as caught:
        sizing_from_text(text)
    lines = {p.where: p.line for p in caught.value.problems}
    assert set(lines) == {"barrel.radius", "limits.cutter_radius"}
    assert text.split("\n")[lines["barrel.radius"] - 1].startswith("radius")


def test_a_metal_without_data_at_a_load_case_is_refused_by_its_name():
    text = DEMO.replace("clamp_below_range = true\n", "")
    assert "temperature-outside-data" in codes(text).values()


@pytest.mark.parametrize("wall", WALLS)
def test_a_written_case_is_read_back_the_same(wall):
    """Fifteen digits are written: a case that came from a file comes back to the bit, any other within a unit."""
    loads = (
        load(pressure_minimum=0.0),
        load(
            name='"quoted" \\ name',
            pressure_minimum=5e3,
            pressure_maximum=6e3,
            axial_force_includes_thrust=True,
            thrust_pressure=5.5e3,
            temperature=294.0,
        ),
    )
    options = case(WALLS[wall], *loads, own_knockdown=sb.OwnKnockdown(0.5, 0.6, "a reason"))
    options = replace(options, identity=sb.Identity("title", note="one\ntwo"))
    once = case_from_text(case_text(options, "a comment\nof two lines")).case
    assert case_from_text(case_text(once)).case == once
    near = {k: pytest.approx(x, rel=1e-14) if type(x) is float else x for k, x in flat(options).items()}
    assert flat(once) == near


def test_a_library_metal_is_written_by_its_name():
    metal = replace(sb.material("304 annealed"), clamp_below_range=True)
    text = case_text(case(sb.PlainWall(), material=metal))
    assert '[material]\nname = "304 annealed"\nclamp_below_range = true\n' in text
    assert case_from_text(text).case.material == metal
