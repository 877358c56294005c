"""Study files and dotted keys: what is read, and every refusal in words with its place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import builders
import pytest

import shellbuck as sb
from shellbuck.io.language.keys import changed, places
from shellbuck.io.store.tables import Field, write_table, write_whole
from shellbuck.study import Study, plan_of, read_study

CASES = Path(__file__).parent.parent.parent / "cases"
STIFFENED = builders.case(builders.STIFFENED, builders.load(name="pad, 1.2 t"), builders.load(name="pad"))
CASE = """
[identity]
title = "t"
[barrel]
radius = "1.5 m"
length = "2 m"
ends = "closed"
skin_thickness = "5 mm"
skin_thickness_minimum = "4.9 mm"
[wall]
kind = "plain"
[material]
name = "2219-T87"
[[load_cases]]
name = "pad"
axial_force = "400 kN"
factors = "agency prototype"
"""


def paths(key, case=STIFFENED):
    return [p.path for p in places(case, key)]


def test_keys_lead_to_places():
    assert paths("barrel.skin_thickness") == [("barrel", "skin_thickness")]
    assert paths("load_cases.*.axial_force") == [("load_cases", 0, "axial_force"), ("load_cases", 1, "axial_force")]
    assert paths("load_cases.pad, 1.2 t.axial_force") == [("load_cases", 0, "axial_force")]
    assert paths("load_cases.pad.axial_force") == [("load_cases", 1, "axial_force")]
    assert paths("load_cases.1.factors.ultimate_factor") == [("load_cases", 1, "factors", "ultimate_factor")]
    assert paths("material.points.0.youngs_modulus") == [("material", "points", 0, "youngs_modulus")]
    assert paths("wall.stringers.side") == [("wall", "stringers", "side")]


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("barrel.skin", "the case has no such key; got barrel.skin; allowed: barrel.radius"),
        ("barrel.skin_thicknes", "did you mean skin_thickness?"),
        ("load_cases.flight.axial_force", "no such item in the list"),
        ("wall", "this is a table, not a value"),
        ("identity.title", "the case has no such key"),
        ("wall.kind", "the case has no such key"),
        ("material.name", "text cannot be varied"),
        ("policy.own_knockdown.axial", "the base case does not have this table; got policy.own_knockdown"),
    ],
)
def test_a_key_that_leads_nowhere_is_refused(key, words):
    with pytest.raises(sb.Refusal) as refusal:
        places(STIFFENED, key, "vary.0.key")
    text = str(refusal.value)
    assert text.startswith("vary.0.key: ")
    assert words in text


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("skin_thicknes", "did you mean barrel.skin_thickness?"),
        ("barrel.skin_thicknes", "did you mean barrel.skin_thickness?"),
        ("wall", "allowed: wall.family, wall.side, wall.rib_depth"),
        ("load_cases.axial_force", "did you mean load_cases.*.axial_force?"),
    ],
)
def test_an_unknown_key_is_answered_by_keys_that_can_be_varied(key, words):
    base = builders.case(builders.GRID)
    with pytest.raises(sb.Refusal) as refusal:
        plan_of({"vary": [{"key": key, "values": ["2 mm"]}]}, base)
    (problem,) = refusal.value.problems
    assert words in problem.sentence()
    for one in problem.allowed.split(", "):
        assert one.startswith("and ") or places(base, one)


def test_a_problem_of_a_study_file_has_file_line_and_a_count_from_one(tmp_path):
    (tmp_path / "base.toml").write_text(CASE, encoding="utf-8")
    study = tmp_path / "my.study.toml"
    study.write_text(
        'case = "base.toml"\n[[vary]]\nkey = "barrel.skin_thickness"\nvalues = ["2 mm", "3 psi"]\n'
        '[[vary]]\nkey = "barrel.skin"\nvalues = ["2 mm"]\n',
        encoding="utf-8",
    )
    with pytest.raises(sb.Refusal) as refusal:
        read_study(study)
    one, two = (p.sentence() for p in refusal.value.problems)
    assert one.startswith("line 4, my.study.toml, [[vary]] number 1, values number 2: this is not a length")
    assert two.startswith("line 6, my.study.toml, [[vary]] number 2, key: the case has no such key")


def test_a_changed_case_is_the_case_written_by_hand():
    new = changed(
        STIFFENED,
        {
            ("barrel", "skin_thickness"): 3e-3,
            ("barrel", "skin_thickness_minimum"): 2.9e-3,
            ("load_cases", 1, "axial_force"): 7e5,
            ("wall", "rings", "count"): 6,
        },
    )
    barrel = replace(STIFFENED.barrel, skin_thickness=3e-3, skin_thickness_minimum=2.9e-3)
    wall = replace(STIFFENED.wall, rings=replace(STIFFENED.wall.rings, count=6))
    loads = (STIFFENED.load_cases[0], replace(STIFFENED.load_cases[1], axial_force=7e5))
    assert new == replace(STIFFENED, barrel=barrel, wall=wall, load_cases=loads)


def test_a_changed_metal_is_that_of_the_library_and_stays_held():
    held = builders.case(builders.PLAIN, material=replace(builders.METAL, clamp_below_range=True))
    new = changed(held, {("material",): "2195-T8"}).material
    assert new.library
    assert (new.name, new.clamp_below_range) == (sb.material("2195-T8").name, True)


def test_a_part_of_a_changed_metal_is_changed_too():
    new = changed(STIFFENED, {("material", "clamp_below_range"): True, ("material",): "2195-T8"}).material
    assert (new.name, new.clamp_below_range) == (sb.material("2195-T8").name, True)


def test_a_refused_change_says_where():
    with pytest.raises(sb.Refusal, match=r"barrel\.skin_thickness_minimum: the minimum skin thickness is larger"):
        changed(STIFFENED, {("barrel", "skin_thickness"): 1e-3})


def vary(**more):
    return {"vary": [{"key": "barrel.skin_thickness", **more}]}


def one(raw, case=STIFFENED, **more):
    return plan_of(raw, case, **more).vary[0]


def test_ranges():
    assert one(vary(**{"from": "2 mm", "to": "4 mm", "count": 3})).values == (0.002, 0.003, 0.004)
    log = one(vary(**{"from": "1 mm", "to": "4 mm", "count": 3, "spacing": "logarithmic"})).values
    assert log == pytest.approx((1e-3, 2e-3, 4e-3), rel=1e-14)
    assert one({"vary": [{"key": "wall.rings.count", "from": 2, "to": 4, "count": 9}]}).values == (2, 3, 4)
    assert one(vary(values=["0.1 in"])).values == pytest.approx((2.54e-3,), rel=1e-14)
    factor = {"vary": [{"key": ["load_cases.*.axial_force"], "factor": True, "values": [0.5]}]}
    assert one(factor).changes(0.5) == {("load_cases", i, "axial_force"): 200e3 for i in (0, 1)}
    follow = one(vary(values=["3 mm"], also=[{"key": "barrel.skin_thickness_minimum", "times": 0.9, "less": "0.2 mm"}]))
    assert follow.changes(3e-3) == {
        ("barrel", "skin_thickness"): 3e-3,
        ("barrel", "skin_thickness_minimum"): pytest.approx(2.5e-3, rel=1e-14),
    }


def test_a_difference_of_temperatures_has_no_zero_point():
    raw = {
        "method": "random",
        "count": 4,
        "vary": [{"key": "load_cases.pad.temperature", "mean": "20 degC", "deviation": "5 degC", "least": "0 degC"}],
    }
    spread = one(raw).spread
    assert (spread.mean, spread.low) == pytest.approx((293.15, 273.15))
    assert spread.deviation == pytest.approx(5.0, rel=1e-12)


SAMPLED = {"method": "random", "count": 8}


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ({}, "vary: nothing is varied"),
        ({"metod": "grid"}, "did you mean method?"),
        ({"method": "gird"}, "did you mean grid?"),
        ({"count": "many"}, "count: a whole number is needed"),
        ({"format": "xls"}, "format: no such format"),
        ({"outputs": [1]}, "outputs: a list of texts is needed"),
        ({"load_cases": ["flight"]}, "load_cases.0: no such load case; got flight; allowed: pad, 1.2 t; pad"),
        ({"load_cases": []}, "load_cases: no load case"),
        (vary(), "vary.0.from: a range needs both its ends"),
        (vary(**{"from": "3 mm", "to": "2 mm", "count": 3}), "from is above to; got 3 mm; allowed: at most 2 mm"),
        (vary(**{"from": "2 mm", "to": "3 mm"}), "vary.0.count: how many values?; got nothing"),
        (vary(**{"from": "2 mm", "to": "3 mm", "count": 1}), "one value cannot span a range"),
        (vary(**{"from": "2 kN", "to": "3 mm", "count": 2}), "vary.0.from: this is not a length; got 2 kN"),
        (vary(**{"from": 2, "to": "3 mm", "count": 2}), "vary.0.from: a number without a unit; got 2"),
        (vary(**{"from": "2 mm", "to": "3 km", "count": 2}), "vary.0.to: outside the range shellbuck accepts"),
        (vary(values=[]), "vary.0.values: an empty list of values"),
        (vary(values=["2 mm", "3 psi"]), "vary.0.values.1: this is not a length"),
        (vary(values=["2 mm"], count=3), "vary.0.count: values and a range exclude one another"),
        (vary(values=["2 mm"], colour="red"), "vary.0.colour: unknown key"),
        (vary(mean="2 mm", deviation="1 mm"), "mean belongs to a sampled method"),
        (vary(values=["2 mm"], also=[{"key": "wall.rings.side"}]), "only a number can follow"),
        (vary(values=["2 mm"], also=[{"key": "barrel.skin_thickness"}]), "two entries vary the same input"),
        ({"vary": [{"key": "wall.rings.side", "values": ["insid"]}]}, "did you mean inside?"),
        ({"vary": [{"key": "wall.rings.side", "from": 1, "to": 2, "count": 2}]}, "which values does it take?"),
        ({"vary": [{"key": "wall.rings.count", "values": [2.5]}]}, "vary.0.values.0: a whole number is needed"),
        ({"vary": [{"key": "material", "values": ["kryptonite"]}]}, "vary.0.values.0: no such metal in the library"),
        (
            {"vary": [{"key": "load_cases.pad.temperature", "factor": True, "values": [1.0]}]},
            "no number in the base case",
        ),
        (
            {"vary": [{"key": "wall.rings.side", "factor": True, "values": [1.0]}]},
            "no number in the base case to multiply",
        ),
        ({"vary": [{"key": "barrel.radius", "factor": True, "values": ["2 mm"]}]}, "a factor is a plain number"),
        ({"vary": [{"key": ["barrel.radius", "barrel.length"], "values": ["2 m"]}]}, "a list with factor = true"),
        ({**SAMPLED, **vary(**{"from": "2 mm", "to": "2 mm"})}, 'a single value write values = ["2 mm"]'),
        (vary(**{"from": "2 mm", "to": "2 mm", "count": 3}), 'a single value write values = ["2 mm"]'),
        (vary(**{"from": "2 mm", "to": "2 mm", "count": 1}), "a range of no width: from equals to; got 2 mm"),
        (vary(**{"from": 2, "to": 2, "count": 3, "factor": True}), "a single value write values = [2]"),
        ({**SAMPLED, **vary(mean="2 mm")}, "vary.0.deviation: mean and deviation go together"),
        ({**SAMPLED, **vary(mean="2 mm", deviation="0 mm")}, "a standard deviation is above 0"),
        ({**SAMPLED, **vary(mean="2 mm", deviation="1 kPa")}, "vary.0.deviation: this is not a length"),
        ({**SAMPLED, **vary(mean="2 mm", deviation="1 mm", least="3 mm")}, "the mean must lie between least and most"),
        ({**SAMPLED, **vary(**{"from": "2 mm", "to": "3 mm", "count": 4})}, "a sampled input has no count of its own"),
        ({"method": "sobol", "count": 12, **vary(**{"from": "2 mm", "to": "3 mm"})}, "powers of two; take 16"),
        ({"method": "random", **vary(**{"from": "2 mm", "to": "3 mm"})}, "count: how many points?"),
        ({"method": "sensitivity", "count": 8, **vary(**{"from": "2 mm", "to": "3 mm"})}, "two or more inputs"),
        (
            {
                "method": "list",
                "vary": [
                    {"key": "barrel.radius", "values": ["1 m", "2 m"]},
                    {"key": "barrel.length", "values": ["1 m"]},
                ],
            },
            "as many values of every input",
        ),
        ({"method": "table"}, "the method needs a table of points"),
        ({"add": {"barrel": {"radius": "2 m"}}, **vary(values=["2 mm"])}, "tables are added to a case file"),
    ],
)
def test_what_cannot_be_meant_is_refused(raw, words):
    with pytest.raises(sb.Refusal) as refusal:
        plan_of(raw, STIFFENED)
    assert words in str(refusal.value)


def test_too_many_points_are_refused():
    thousand = {"from": "2 mm", "to": "3 mm", "count": 1001}
    raw = {"vary": [{"key": "barrel.skin_thickness", **thousand}, {"key": "wall.stringers.depth", **thousand}]}
    with pytest.raises(sb.Refusal, match="too many points"):
        plan_of(raw, STIFFENED)


def files(tmp_path, study, table=None):
    (tmp_path / "base.toml").write_text(CASE, encoding="utf-8")
    (tmp_path / "s.toml").write_text(study, encoding="utf-8")
    if table is not None:
        (tmp_path / "points.csv").write_text(table, encoding="utf-8")
    return read_study(tmp_path / "s.toml")


def test_a_table_of_points_with_units_in_its_headings(tmp_path):
    table = "barrel.skin_thickness [mm],load_cases.pad.axial_force [kN],material\n5,100,2219-T87\n0.25E1,-50,2195-T8\n"
    plan = files(tmp_path, 'case = "base.toml"\nmethod = "table"\ntable = "points.csv"', table)
    assert [v.values for v in plan.vary] == [(0.005, 0.0025), (1e5, -5e4), ("2219-T87", "2195-T8")]
    assert set(plan.texts) == {"study.toml", "case.toml", "points.csv"}


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("barrel.skin_thickness [mm]\n", "the table has no point"),
        ("barrel.skin_thickness [kN]\n5\n", "table, column barrel.skin_thickness, line 2: this is not a length"),
        ("barrel.skin_thickness\n5\n", "a number without a unit"),
        ("barrel.thick [mm]\n5\n", "table, column barrel.thick: the case has no such key"),
        ("barrel.skin_thickness [mm],barrel.radius [m]\n5\n", "table, line 2: a line of the table has another number"),
        ("barrel.skin_thickness [mm]\nabc\n", "no number found"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused(tmp_path, table, words):
    with pytest.raises(sb.Refusal) as refusal:
        files(tmp_path, 'case = "base.toml"\nmethod = "table"\ntable = "points.csv"', table)
    assert words in str(refusal.value)


@pytest.mark.parametrize(
    ("study", "words"),
    [
        ("case = ", "not valid TOML"),
        ("title = 'x'", "case: a study needs its base case"),
        ('case = "other.toml"', "the file cannot be read"),
        ('case = "base.toml"\nmethod = "table"\ntable = "none.csv"', "none.csv: the file cannot be read"),
        ('case = "base.toml"\n[add.barrel]\nradius = "2 m"', "add.barrel.radius: the base case has this already"),
        ('case = "base.toml"\n[add.policy.own_knockdown]\naxial = 0.5', "policy.own_knockdown.bending"),
    ],
)
def test_a_study_file_that_cannot_be_read_is_refused(tmp_path, study, words):
    with pytest.raises(sb.Refusal) as refusal:
        files(tmp_path, study)
    assert words in str(refusal.value)


def test_a_table_that_the_case_lacks_is_added(tmp_path):
    plan = files(
        tmp_path,
        """case = "base.toml"
[add.policy.own_knockdown]
axial = 0.5
bending = 0.6
reason = "r"
[[vary]]
key = "policy.own_knockdown.axial"
values = [0.4]
""",
    )
    assert plan.case.policy.own_knockdown.bending == 0.6
    assert plan.base.raw["policy"]["own_knockdown"]["axial"] == 0.5


@pytest.mark.parametrize("path", sorted(CASES.glob("*.study.toml")), ids=lambda p: p.stem)
def test_demo_study(path):
    """Each is read, its columns are there, and it is quick: as arrays, a few thousand points."""
    ready = Study.of(read_study(path))
    assert "(invented)" in ready.plan.title
    assert ready.plan.engine == "arrays"
    assert 100 < len(ready.design) < 5000


def test_there_are_demo_studies():
    assert len(list(CASES.glob("*.study.toml"))) == 3


def test_the_digest_is_that_of_the_inputs():
    raw = vary(**{"from": "2 mm", "to": "3 mm", "count": 3})
    plan = plan_of(raw, STIFFENED)
    assert plan.digest() == plan_of(raw, STIFFENED).digest()
    for other in (
        plan_of({**raw, "seed": 2}, STIFFENED),
        plan_of({**raw, "chunk": 8}, STIFFENED),
        plan_of(vary(**{"from": "2 mm", "to": "3.1 mm", "count": 3}), STIFFENED),
        plan_of(raw, replace(STIFFENED, barrel=replace(STIFFENED.barrel, length=2.1))),
        plan_of({**raw, "outputs": ["mass"]}, STIFFENED),
    ):
        assert other.digest() != plan.digest()


def test_a_leftover_part_that_became_a_link_is_removed_not_followed(tmp_path):
    """Between the look at a folder and the write somebody may put a link there."""
    own = tmp_path / "own"
    own.write_text("mine", encoding="utf-8")
    (tmp_path / ".file.csv.part").symlink_to(own)
    write_whole(tmp_path / "file.csv", "ours")
    assert own.read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "file.csv").read_text(encoding="utf-8") == "ours"
    (tmp_path / ".table.csv.part").symlink_to(own)
    write_table(tmp_path / "table.csv", (Field("a", "whole"),), iter([[[1]], [[2]]]), "csv")
    assert own.read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "table.csv").read_text(encoding="utf-8") == "a\n1\n2\n"
