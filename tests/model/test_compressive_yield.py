"""A compressive yield strength is given or chosen, never assumed."""

from __future__ import annotations

import json
from dataclasses import replace

import builders
import numpy as np
import pytest

import shellbuck as sb
from shellbuck.cli.main import main
from shellbuck.core.errors import Refusal
from shellbuck.io import case_from_text, material, material_names
from shellbuck.io.language.case_text import case_text
from shellbuck.margins import assess, evaluate

CAUTION = "cold-worked sheet may have .6 of it"


def point(**more) -> sb.MaterialPoint:
    return sb.MaterialPoint(294.0, 70e9, 400e6, 450e6, **more)


def started(capsys, *pairs: tuple[str, str]) -> str:
    assert main(["start", "plain"]) == 0
    text = capsys.readouterr().out
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return text


def named(capsys, more: str = "", name: str = "2219-T87") -> str:
    text = started(capsys)
    start, end = text.index("[material]"), text.index("[[load_cases]]")
    return f'{text[:start]}[material]\nname = "{name}"\n{more}\n\n{text[end:]}'


def test_a_missing_compressive_yield_is_refused_through_python():
    with pytest.raises(Refusal, match=r'the compressive yield strength is missing.*choose compression_yield = "as ten'):
        point()


def test_a_missing_compressive_yield_is_refused_in_a_file_with_its_line(capsys, tmp_path):
    text = started(capsys, ('compression_yield = "340 MPa"\n', ""))
    path = tmp_path / "case.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["run", str(path)]) == 2
    said = capsys.readouterr().err
    line = text.split("\n").index("[[material.points]]") + 1
    assert f"line {line}, material.points.0.compression_yield: the compressive yield strength is missing" in said
    assert 'choose compression_yield = "as tension" (every page then warns) [compression-yield-missing]' in said


@pytest.mark.usefixtures("undrawn")
def test_as_tension_is_the_tension_yield_and_is_warned_everywhere(capsys, tmp_path):
    text = started(capsys, ('compression_yield = "340 MPa"', 'compression_yield = "as tension"'))
    path, page, found = tmp_path / "case.toml", tmp_path / "page.html", tmp_path / "run.json"
    path.write_text(text, encoding="utf-8")
    main(["run", str(path), "--page", str(page), "--json", str(found)])
    assert CAUTION in " ".join(capsys.readouterr().out.split())
    assert page.read_text(encoding="utf-8").count(CAUTION) >= 2  # beside the metal, in the validity list
    document = json.loads(found.read_text(encoding="utf-8"))
    assert "compression-yield-as-tension" in {c["code"] for c in document["validity"]}
    assert document["inputs"]["as_used"]["material"]["points"][0]["compression_yield"] == "as tension"
    # the same numbers as with the tension yield of the start, 340 MPa, written out; and no warning then
    path.write_text(started(capsys), encoding="utf-8")
    main(["run", str(path), "--json", str(found)])
    other = json.loads(found.read_text(encoding="utf-8"))
    assert other["load_cases"][0]["margins"] == document["load_cases"][0]["margins"]
    assert "compression-yield-as-tension" not in {c["code"] for c in other["validity"]}


def test_another_word_is_refused_with_what_is_allowed(capsys):
    text = started(capsys, ('compression_yield = "340 MPa"', 'compression_yield = "same"'))
    with pytest.raises(Refusal, match=r'no number found.*got \'same\'.*or "as tension"'):
        case_from_text(text)
    with pytest.raises(Refusal, match=r'a number in SI is needed.*got \'same\'.*a number, or "as tension"'):
        point(compression_yield="same")


def test_only_the_word_of_the_compressive_yield_is_taken():
    with pytest.raises(Refusal, match="ultimate: a number in SI is needed"):
        sb.MaterialPoint(294.0, 70e9, 400e6, "as tension", None, 400e6)


@pytest.mark.parametrize("name", material_names())
def test_a_library_metal_says_what_its_compressive_yield_is(name):
    metal = material(name)
    assert "compression_yield" in dict(metal.standings)
    assert bool(metal.yield_caution) == dict(metal.standings)["compression_yield"].startswith("not sourced")
    case = builders.case(builders.PLAIN, material=metal)
    assert ("compression-yield-as-tension" in builders.codes(assess(case))) == bool(metal.yield_caution)


def test_a_library_metal_takes_a_compressive_yield_beside_its_name(capsys):
    case = case_from_text(named(capsys, 'compression_yield = "300 MPa"')).case
    assert case.material.points[0].compressive_yield == 300e6
    assert not case.material.yield_caution
    assert dict(case.material.standings)["compression_yield"] == "given in the case"
    assert case_from_text(case_text(case)).case.material == case.material
    chosen = case_from_text(named(capsys, 'compression_yield = "as tension"', "301 full hard")).case.material
    assert chosen.points[0].compressive_yield == 965e6  # the library has 670 MPa
    assert chosen.yield_caution
    with pytest.raises(Refusal, match=r"material.compression_yield: .*outside the range"):
        case_from_text(named(capsys, 'compression_yield = "1 Pa"'))


def test_between_two_temperatures_only_the_chosen_one_is_named():
    warm = replace(point(compression_yield=300e6), temperature=294.0)
    cold = sb.MaterialPoint(94.0, 78e9, 500e6, 600e6, compression_yield="as tension")
    metal = sb.Material("m", "s", 2800.0, 0.33, (cold, warm))
    assert "compressive yield at 94 K taken as the tension yield (by request)" in metal.yield_caution
    # linear from 500 MPa at 94 K to 300 MPa at 294 K: half way 400 MPa
    assert metal.at(194.0).compressive_yield == pytest.approx(400e6, rel=1e-12)  # rounding only


def test_ribs_of_another_metal_are_warned_too():
    rib = sb.Material("rib metal", "s", 2800.0, 0.33, (point(compression_yield="as tension"),))
    wall = sb.StiffenedWall(replace(builders.STRINGERS, material=rib))
    found = [c for c in assess(builders.case(wall)).validity if c.code == "compression-yield-as-tension"]
    assert [(c.where, c.text.startswith("rib metal: ")) for c in found] == [("wall.stringers.material", True)]


def test_many_designs_take_the_word_as_one_design_does():
    metal = sb.Material("m", "s", 2800.0, 0.33, (point(compression_yield="as tension"),))
    same = sb.Material("m", "s", 2800.0, 0.33, (point(compression_yield=400e6),))
    varied = {"barrel.length": np.array([1.0, 2.0])}
    a, b = (evaluate(builders.case(builders.GRID, material=m), varied).margins for m in (metal, same))
    assert np.array_equal(a, b, equal_nan=True)
    over = {"material.points.0.compression_yield": np.array([400e6])}
    # arrays of another length round differently
    one = evaluate(builders.case(builders.GRID, material=metal), over).margins[0]
    assert one == pytest.approx(a[1], rel=1e-12, nan_ok=True)


def test_a_factor_needs_a_number(capsys, tmp_path):
    case = tmp_path / "case.toml"
    case.write_text(started(capsys, ('"340 MPa"\nultimate', '"as tension"\nultimate')), encoding="utf-8")
    (tmp_path / "s.toml").write_text(
        'case = "case.toml"\nmethod = "grid"\n[[vary]]\nkey = "material.points.0.compression_yield"\nfactor = true\n'
        "values = [0.9, 1.0]\n",
        encoding="utf-8",
    )
    assert main(["study", str(tmp_path / "s.toml"), "--to", str(tmp_path / "to")]) == 2
    assert "there is no number in the base case to multiply" in capsys.readouterr().err
