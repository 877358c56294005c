"""What a case file may not say: every problem at once, with line, key, found, allowed and the nearest spelling."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest

from shellbuck.cli.main import main
from shellbuck.core.catalogue import MESSAGES
from shellbuck.core.errors import Refusal
from shellbuck.io import case_from_text, read_case

STARTS = {
    name: files("shellbuck.io").joinpath(f"starts/{name}.toml").read_text(encoding="utf-8")
    for name in ("plain", "triangular-grid", "stiffened", "orthogrid", "given-stiffness")
}
PLAIN = STARTS["plain"]
METAL = PLAIN[PLAIN.index("[material]") : PLAIN.index("[[load_cases]]")]
RADIUS = 'radius = "1.2 m"'


def changed(*pairs: tuple[str, str], start: str = "plain") -> str:
    """A starting case with texts replaced once each."""
    text = STARTS[start]
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def problems(text: str):
    with pytest.raises(Refusal) as caught:
        case_from_text(text)
    assert caught.value.exit_status == 2
    assert all(p.code in MESSAGES for p in caught.value.problems)
    return caught.value.problems


def line_of(text: str, words: str) -> int:
    return next(i for i, line in enumerate(text.split("\n"), 1) if words in line)


def test_all_problems_at_once_each_with_its_line():
    text = changed(
        (RADIUS, "radius = 1.2"),
        ('ends = "closed"', 'ends = "close"'),
        ('"72 GPa"', '"72 MPa"'),
        ("part = ", "parts = "),
        ("axial_force =", "axial_forces ="),
        ('kind = "plain"', 'kind = "plane"'),
    )
    found = problems(text)
    assert [(p.code, p.where, p.line) for p in found] == [
        ("key-unknown", "identity.parts", line_of(text, "parts =")),
        ("unit-missing", "barrel.radius", line_of(text, "radius = 1.2")),
        ("value-choice", "barrel.ends", line_of(text, '"close"')),
        ("value-choice", "wall.kind", line_of(text, '"plane"')),
        ("modulus-implausible", "material.points.0.youngs_modulus", line_of(text, "72 MPa")),
        ("key-unknown", "load_cases.0.axial_forces", line_of(text, "axial_forces")),
    ]
    said = [p.sentence() for p in found]
    for words, sentence in zip(
        (
            "did you mean part?",
            'write "1.2 m" or "1.2 in"',
            "did you mean closed?",
            "did you mean plain?",
            "0.072 GPa",
            "did you mean axial_force?",
        ),
        said,
        strict=True,
    ):
        assert words in sentence
    assert "allowed: 60 to 85 GPa" in said[4]
    assert "check the unit" in said[4]


OWN = "\n[policy.own_knockdown]\nbending = 0.6\n"
FACTORS = 'factors = "agency prototype"'
NAME = 'name = "on the pad, empty"'

SINGLE = {
    "skin thickness without unit": (changed(('"4.0 mm"', "4.0")), "unit-missing", "barrel.skin_thickness"),
    "minimum above nominal": (
        changed(('"3.8 mm"', '"4.8 mm"')),
        "skin-thickness-order",
        "barrel.skin_thickness_minimum",
    ),
    "no minimum skin": (
        changed(('skin_thickness_minimum = "3.8 mm"', "")),
        "skin-thickness-pair",
        "barrel.skin_thickness_minimum",
    ),
    "triangle ribs overlap": (
        changed(('rib_thickness = "2.5 mm"', 'rib_thickness = "90 mm"'), start="triangular-grid"),
        "ribs-overlap",
        "wall.rib_thickness",
    ),
    "stringers overlap": (
        changed(('stringer_thickness = "2.5 mm"', 'stringer_thickness = "95 mm"'), start="orthogrid"),
        "ribs-overlap",
        "wall.stringer_thickness",
    ),
    "ribs too deep": (
        changed(('rib_depth = "11 mm"', 'rib_depth = "300 mm"'), start="triangular-grid"),
        "ribs-too-deep",
        "wall.rib_depth",
    ),
    "one ring spacing over half the length": (
        changed(("count = 9 ", 'spacing = "1 m" '), start="stiffened"),
        "spacing-too-wide",
        "wall.rings.spacing",
    ),
    "grid given twice": (
        changed(("count_around = 74", 'count_around = 74\ntriangle_side = "105 mm"'), start="triangular-grid"),
        "give-exactly-one",
        "wall.triangle_side / triangle_height / count_around",
    ),
    "fractional count": (
        changed(("count_around = 74", "count_around = 74.0"), start="triangular-grid"),
        "value-kind",
        "wall.count_around",
    ),
    "key of another wall": (
        changed(('kind = "plain"', 'kind = "plain"\nrib_depth = "3 mm"')),
        "key-unknown",
        "wall.rib_depth",
    ),
    "thrust unstated": (
        changed(("axial_force_includes_thrust = false", "")),
        "thrust-unstated",
        "load_cases.1.axial_force_includes_thrust",
    ),
    "thrust with two pressures": (
        changed(("thrust = false", "thrust = true")),
        "thrust-pressure-missing",
        "load_cases.1.thrust_pressure",
    ),
    "thrust of another pressure": (
        changed(("thrust = false", 'thrust = true\nthrust_pressure = "-180 kPa"')),
        "thrust-pressure-outside",
        "load_cases.1.thrust_pressure",
    ),
    "thrust on open ends": (
        changed(('"closed"', '"open"'), ("thrust = false", 'thrust = true\nthrust_pressure = "180 kPa"')),
        "thrust-open-ends",
        "load_cases.1.axial_force_includes_thrust",
    ),
    "external pressure without a word on the thrust": (
        changed(('minimum = "0 kPa"', 'minimum = "-5 kPa"')),
        "thrust-unstated",
        "load_cases.0.axial_force_includes_thrust",
    ),
    "no maximum pressure": (
        changed(('pressure_maximum = "300 kPa"', "")),
        "pressure-maximum-missing",
        "load_cases.1.pressure_maximum",
    ),
    "maximum below minimum": (changed(('"300 kPa"', '"100 kPa"')), "pressure-order", "load_cases.1.pressure_maximum"),
    "thick wall": (
        changed(('"4.0 mm"', '"80 mm"'), ('"3.8 mm"', '"70 mm"')),
        "radius-to-thickness-low",
        "barrel.skin_thickness",
    ),
    "colder than the data": (
        changed((NAME, f'{NAME}\ntemperature = "20 K"')),
        "temperature-outside-data",
        "load_cases.0.temperature",
    ),
    "hotter than the data": (
        changed((NAME, f'{NAME}\ntemperature = "400 K"')),
        "temperature-outside-data",
        "load_cases.0.temperature",
    ),
    "own factor above 1": (f'{PLAIN}{OWN}axial = 1.2\nreason = "x"\n', "value-range", "policy.own_knockdown.axial"),
    "own factor without reason": (f"{PLAIN}{OWN}axial = 0.5\n", "key-missing", "policy.own_knockdown.reason"),
    "own factor with empty reason": (
        f'{PLAIN}{OWN}axial = 0.5\nreason = " "\n',
        "value-missing",
        "policy.own_knockdown.reason",
    ),
    "safety below 1": (
        changed((FACTORS, 'factors = { ultimate_factor = 0.9, yield_factor = 1.1, source = "x" }')),
        "value-range",
        "load_cases.0.factors.ultimate_factor",
    ),
    "factors without source": (
        changed((FACTORS, "factors = { ultimate_factor = 1.4, yield_factor = 1.1 }")),
        "key-missing",
        "load_cases.0.factors.source",
    ),
    "unknown set of factors": (
        changed((FACTORS, 'factors = "agency protoype"')),
        "factor-set-unknown",
        "load_cases.0.factors",
    ),
    "unknown metal": ('material = "2219-T78"\n' + PLAIN.replace(METAL, ""), "material-unknown", "material"),
    "no metal": (PLAIN.replace(METAL, ""), "material-missing", "material"),
    "same name twice": (
        changed(("flight, highest bending", "on the pad, empty")),
        "load-case-name",
        "load_cases.1.name",
    ),
    "stiffness not symmetric": (
        changed(("[230, 68, 0]", "[230, 60, 0]"), start="given-stiffness"),
        "stiffness-symmetry",
        "wall.A",
    ),
    "stiffness with nan": (changed(("[230, 68, 0]", "[nan, 68, 0]"), start="given-stiffness"), "unit-number", "wall.A"),
    "stiffness in the wrong unit": (changed(('"MN/m"', '"MN"'), start="given-stiffness"), "unit-dimension", "wall.A"),
    "poisson nan": (
        changed(("poissons_ratio = 0.33", "poissons_ratio = nan")),
        "value-kind",
        "material.poissons_ratio",
    ),
    "text for a truth value": (
        changed(("thrust = false", 'thrust = "false"')),
        "value-kind",
        "load_cases.1.axial_force_includes_thrust",
    ),
    "a date": (changed((RADIUS, "radius = 1979-05-27")), "unit-kind", "barrel.radius"),
    "a deep list": (changed((RADIUS, "radius = " + "[" * 80 + "]" * 80)), "unit-kind", "barrel.radius"),
    "file sets an internal flag": (
        changed(("[material] ", "[material]\nlibrary = true ")),
        "key-unknown",
        "material.library",
    ),
}


@pytest.mark.parametrize("name", SINGLE)
def test_one_problem(name):
    text, code, where = SINGLE[name]
    found = problems(text)
    assert [(p.code, p.where) for p in found] == [(code, where)]
    assert found[0].line is not None or code == "material-missing"


def test_ranges_are_said_in_the_unit_of_the_file_and_none_has_its_way_out():
    """1 K is -272.15 degC, exactly; a wall without rings has no table of rings."""
    (cold,) = problems(changed((NAME, f'{NAME}\ntemperature = "-300 degC"')))
    assert "got -300 degC; allowed: 1 to 1500 K (-272.15 degC to 1226.85 degC)" in cold.sentence()
    (kelvin,) = problems(changed((NAME, f'{NAME}\ntemperature = "0 K"')))
    assert kelvin.allowed == "1 to 1500 K"
    (none,) = problems(changed(("count = 9 ", "count = 0 "), start="stiffened"))
    assert none.way_out == "for none leave [wall.rings] out"


def test_nearest_spelling_of_sets_and_metals():
    assert "did you mean agency prototype?" in problems(SINGLE["unknown set of factors"][0])[0].sentence()
    assert "did you mean 2219-T87?" in problems(SINGLE["unknown metal"][0])[0].sentence()


def test_misspelt_section_is_both_unknown_and_missing():
    found = problems(changed(("[wall]", "[walls]")))
    assert [(p.code, p.where) for p in found] == [("key-unknown", "walls"), ("key-missing", "wall")]
    assert "did you mean wall?" in found[0].sentence()


def test_empty_text_misses_every_section():
    assert {p.where for p in problems("")} == {"identity", "barrel", "wall", "load_cases"}


def test_single_brackets_say_double_the_brackets():
    one = PLAIN[: PLAIN.rindex("[[load_cases]]")].replace("[[load_cases]]", "[load_cases]")
    assert "double the brackets" in problems(one)[0].sentence()


def test_many_problems_are_capped():
    found = problems(changed((RADIUS, RADIUS + "\n" + "\n".join(f"k{i} = 1" for i in range(80)))))
    assert len(found) == 51
    assert found[-1].code == "more-problems"
    assert "30 more" in found[-1].what


def test_very_long_keys_and_numbers_are_not_echoed_whole():
    long = "k" * 5000
    for text in (
        changed((RADIUS, f"{RADIUS}\n{long} = 1")),
        f"{long} = 1\n{PLAIN}",
        changed((RADIUS, "radius = " + "1" * 500)),
        changed((RADIUS, f'radius = "{long}"')),
        changed(("Demo", long)),
    ):
        assert max(len(p.sentence()) for p in problems(text)) < 500


def test_integer_of_5000_digits_is_refused_in_our_words():
    found = problems(changed((RADIUS, "radius = " + "1" * 5000)))
    assert found[0].code == "toml-syntax"
    assert "sys." not in found[0].sentence()


@pytest.mark.parametrize("text", ["a = " + "[" * 5000 + "]" * 5000, "a = " + "{a=" * 3000 + "1" + "}" * 3000])
def test_deep_nesting(text):
    assert [p.code for p in problems(text)] == ["toml-syntax"]


def test_line_separators_inside_text_do_not_shift_lines():
    """U+2028 and U+0085 are no new lines in TOML."""
    text = changed(("Demo", "De\u2028mo\u0085"), (RADIUS, "radius = 1.2"))
    assert problems(text)[0].line == line_of(text, "radius = 1.2")


def test_missing_minimum_pressure_is_warned_not_refused(capsys, tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(changed(('pressure_minimum = "180 kPa"', "")), encoding="utf-8")
    assert main(["run", str(path), "--json", "-"]) in {0, 1}
    result = json.loads(capsys.readouterr().out)
    warned = [c for c in result["validity"] if c["code"] == "pressure-minimum-missing"]
    assert [(c["status"], c["where"]) for c in warned] == [("warned", "flight, highest bending")]
    assert result["load_cases"][1]["pressure_minimum"] == 0


def test_very_thin_plain_wall_is_a_refused_row_with_everything_else_complete(capsys, tmp_path):
    """R/t = 1.2 m / 0.75 mm = 1600, beyond the 1500 of the factor."""
    path = tmp_path / "thin.toml"
    path.write_text(changed(('"4.0 mm"', '"0.8 mm"'), ('"3.8 mm"', '"0.75 mm"')), encoding="utf-8")
    assert main(["run", str(path), "--json", "-"]) == 2
    result = json.loads(capsys.readouterr().out)
    assert result["exit_status"] == 2
    assert result["problems"] == []
    for load in result["load_cases"]:
        rows = {r["mode"]: r for r in load["margins"]}
        assert rows["general instability"]["status"] == "refused"
        assert rows["general instability"]["margin"] is None
        assert any(r["kind"] == "strength" and r["margin"] is not None for r in load["margins"])
        assert load["loads"]
    assert any(c["status"] == "refused" for c in result["validity"])


def test_files_that_are_no_case(tmp_path):
    contents = {
        "latin.toml": "title = 'é'".encode("latin-1"),
        "wide.toml": PLAIN.encode("utf-16"),
        "nul.toml": b"a = 1\x00",
        "empty.toml": b"",
        "large.toml": b"#" * 2_000_000,
    }
    expected = {
        "latin.toml": "file-encoding",
        "wide.toml": "file-encoding",
        "nul.toml": "toml-syntax",
        "empty.toml": "key-missing",
        "large.toml": "file-too-large",
        "gone.toml": "file-unreadable",
        "": "file-unreadable",
        "a\x00b": "file-unreadable",
        "x" * 5000: "file-unreadable",
    }
    for name, content in contents.items():
        (tmp_path / name).write_bytes(content)
    for name, code in expected.items():
        with pytest.raises(Refusal) as caught:
            read_case(str(tmp_path / name))
        assert caught.value.problems[0].code == code, name[:20]
        assert len(str(caught.value)) < 1000


def test_byte_order_mark_and_carriage_returns_are_harmless(tmp_path):
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + PLAIN.replace("\n", "\r\n").encode())
    assert read_case(path).case == case_from_text(PLAIN).case


def test_checks_between_tables_run_although_another_table_is_broken():
    """One edit round: a radius without unit must not hide that the thrust is unstated, or that ribs overlap."""
    text = files("shellbuck.io").joinpath("starts/triangular-grid.toml").read_text(encoding="utf-8")
    text = text.replace("axial_force_includes_thrust = false", "#").replace('density = "2800 kg/m^3"', "density = 2800")
    text = text.replace('rib_thickness = "2.5 mm"', 'rib_thickness = "90 mm"')
    with pytest.raises(Refusal) as caught:
        case_from_text(text)
    assert {p.code for p in caught.value.problems} == {"unit-missing", "thrust-unstated", "ribs-overlap"}


@pytest.mark.parametrize("beside", ["", 'compression_yield = "as tension"\n'])
def test_a_key_of_an_earlier_version_leads_to_its_new_name(beside):
    named = f'[material]\nname = "2219-T87"\n{beside}hold_below_data = true\n'
    for text in (PLAIN.replace(METAL, named), changed(("[material] ", "[material]\nhold_below_data = true\n#"))):
        (found,) = problems(text)
        assert (found.code, found.where) == ("key-renamed", "material.hold_below_data")
        assert found.way_out == "write clamp_below_range"
