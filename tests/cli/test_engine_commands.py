"""The commands that show engines: edges, modes, agree; and edges, springs and rings in a case file."""

from __future__ import annotations

import csv
import json
from importlib.resources import files

import pytest

from shellbuck.cli.main import main
from shellbuck.io import case_from_text
from shellbuck.io.vtu import read_mesh

PLAIN = files("shellbuck.io").joinpath("starts/plain.toml").read_text(encoding="utf-8")
LENGTH = next(line for line in PLAIN.splitlines() if line.startswith("length = "))


def with_barrel(*lines: str) -> str:
    """The plain start with more lines in its barrel table; short, so that engines are quick."""
    return PLAIN.replace(LENGTH, "\n".join(['length = "0.5 m"', *lines]), 1)


@pytest.fixture
def case(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(with_barrel(), encoding="utf-8")
    return path


def said(capsys) -> str:
    """What was printed, with its line breaks folded."""
    captured = capsys.readouterr()
    return " ".join((captured.out + captured.err).split())


def test_edges_compares_sets(case, capsys):
    assert main(["modes", str(case), "--compare", "edges", "--edges", "SS3", "--edges", "C4"]) == 0
    out = said(capsys)
    assert "classical (SS3, membrane, n = 1 left out)" in out
    assert "SS3 membrane" in out
    assert "C4 membrane" in out


def test_modes_lists_and_writes_all(case, tmp_path, capsys):
    target = tmp_path / "all.csv"
    assert main(["modes", str(case), "--edges", "C4", "--count", "3", "--every", str(target)]) == 0
    out = said(capsys)
    rows = list(csv.DictReader(target.read_text(encoding="utf-8").splitlines()))
    assert f"every mode: {len(rows)} of them" in out
    assert f"{len(rows)} load factors below 1.2 of the lowest" in out
    loads = [float(row["line load [N/m]"]) for row in rows]
    assert loads == sorted(loads)
    assert loads[-1] <= 1.2 * loads[0]
    for row in rows:
        assert sum(float(v) for k, v in row.items() if k.startswith("energy")) == pytest.approx(1, abs=3e-6)


SUFFIX = {"--every": ".csv", "--json": ".json", "--save-mesh": ".vtu"}


@pytest.mark.parametrize(
    "given",
    [
        ["modes", "--every"],
        ["modes", "--compare", "engines", "--json"],
        ["modes", "--compare", "engines", "--save-mesh"],
    ],
)
def test_no_output_replaces_the_case(given, case, capsys):
    before = case.read_bytes()
    assert main([given[0], str(case), *given[1:], str(case)]) == 2
    assert "a file name that ends in .toml" in said(capsys)
    link = case.parent / f"link{SUFFIX[given[-1]]}"
    link.symlink_to(case)
    assert main([given[0], str(case), *given[1:], str(link)]) == 2
    text = said(capsys)  # a link to the case: the case itself, or a file that none of our commands wrote
    assert "this would overwrite the case file" in text or "file-foreign" in text
    assert case.read_bytes() == before


@pytest.mark.parametrize(
    "given",
    [
        ["modes", "--every", "all.csv"],
        ["modes", "--compare", "engines", "--json", "a.json"],
        ["modes", "--compare", "engines", "--save-mesh", "a.vtu"],
        ["run", "--mesh", "--page", "a.html"],
    ],
)
def test_a_place_that_cannot_be_written_is_found_before_the_work(given, case, tmp_path, capsys):
    target = tmp_path / "missing" / given[-1]
    assert main([given[0], str(case), *given[1:-1], str(target)]) == 2
    out = said(capsys)
    assert "the file cannot be written" in out
    assert "solving" not in out
    assert sorted(tmp_path.iterdir()) == [case]


def test_unknown_load_case_names_the_known(case, capsys):
    assert main(["modes", str(case), "--load-case", "nope"]) == 2
    assert "no such load case; got nope; allowed:" in said(capsys)


def test_agree_prints_writes_and_restores(case, tmp_path, capsys):
    thick = with_barrel().replace('"4.0 mm"', '"12 mm"').replace('"3.8 mm"', '"12 mm"')  # few waves, few elements
    case.write_text(thick, encoding="utf-8")
    mesh, document = tmp_path / "m.vtu", tmp_path / "m.json"
    given = [
        "modes",
        str(case),
        "--compare",
        "engines",
        "--meshes",
        "1",
        "--count",
        "2",
        "--save-mesh",
        str(mesh),
        "--json",
        str(document),
    ]
    assert main(given) == 0
    out = said(capsys)
    assert "smeared mesh, thin, order 4" in out
    assert "2 counted, 2 found" in out
    assert "the smeared mesh differs from Ritz" in out
    restored, fields = read_mesh(mesh)
    assert set(fields) == {"mode 1", "mode 2"}
    assert fields["mode 1"].shape == (len(restored.points), 3)
    found = json.loads(document.read_text(encoding="utf-8"))
    assert len(found["modes"]) == 2
    assert found["not_finite"] == []


def test_engines_refuse_what_has_no_ribs(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(
        files("shellbuck.io").joinpath("starts/given-stiffness.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    assert main(["modes", str(path), "--compare", "engines"]) == 2
    assert "a wall known by its stiffness alone has no ribs to mesh" in said(capsys)


@pytest.mark.parametrize("compare", [[], ["--compare", "edges"], ["--compare", "engines"]])
def test_pressure_beyond_yield_is_refused(compare, tmp_path, capsys):
    path = tmp_path / "case.toml"
    low = next(line for line in PLAIN.splitlines() if line.startswith("pressure_minimum"))
    high = next(line for line in PLAIN.splitlines() if line.startswith("pressure_maximum"))
    low_line = 'pressure_minimum = "9 MPa"\naxial_force_includes_thrust = false'
    text = with_barrel().replace(low, low_line).replace(high, 'pressure_maximum = "9 MPa"')
    path.write_text(text, encoding="utf-8")
    assert main(["modes", str(path), *compare]) == 2
    assert "the minimum pressure alone takes the skin beyond yield; got hoop stress" in said(capsys)


@pytest.mark.slow
def test_run_by_mesh_says_so_and_changes_no_margin(case, tmp_path, capsys):
    bare, meshed = tmp_path / "a.json", tmp_path / "b.json"
    main(["run", str(case), "--json", str(bare)])
    main(["run", str(case), "--json", str(meshed), "--page", str(tmp_path / "b.html"), "--mesh"])
    said(capsys)
    a, b = (json.loads(p.read_text(encoding="utf-8")) for p in (bare, meshed))
    assert [c["margins"] for c in a["load_cases"]] == [c["margins"] for c in b["load_cases"]]
    assert any("not checked by mesh" in item for item in a["not_covered"])
    assert not any("not checked by mesh" in item for item in b["not_covered"])
    assert len(b["agreements"]) == 1
    page = (tmp_path / "b.html").read_text(encoding="utf-8")
    assert "checked by mesh" in page
    assert "design load, axial: knockdown" in page


def test_run_by_mesh_of_what_cannot_be_meshed_warns(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(with_barrel('edges = "SS3"', 'edge_springs = { rotation = "20 kN" }'), encoding="utf-8")
    main(["run", str(path), "--mesh"])
    assert "not checked by mesh: barrel: the mesh with ribs takes neither edge springs" in said(capsys)


def test_springs_and_rings_reach_the_engine(tmp_path, capsys):
    path = tmp_path / "case.toml"
    ring = (
        'single_rings = [{ station = "250 mm", area = "200 mm^2", inertia = "9000 mm^4", side = "inside", '
        'eccentricity = "15 mm" }]'
    )
    path.write_text(with_barrel('edges = "SS3"', 'edge_springs = { rotation = "20 kN" }', ring), encoding="utf-8")
    target = tmp_path / "r.json"
    main(["run", str(path), "--json", str(target)])
    said(capsys)
    loads = json.loads(target.read_text(encoding="utf-8"))["load_cases"][0]["loads"]
    edges = [load for load in loads if load["name"].startswith("edges SS3 + springs")]
    assert len(edges) == 2
    assert "ring at x = 0.25 m" in edges[0]["edges"]
    assert "springs rotation 2e+04 N" in edges[0]["edges"]
    assert len(edges[0]["shapes"]) == 10
    assert edges[1]["prebuckled"]["x"]


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (('edges = "C4"', 'edge_springs = { rotation = "20 kN" }'), "a quantity is held and has a spring too"),
        (('edge_springs = { rotation = "20 kN" }',), "edge_springs without edges"),
        (('edges = "SS3"', 'edge_springs = { rotation = "20 mm" }'), "rotation"),
        (('edges = "SS3"', 'edge_springs = { turning = "20 kN" }'), "unknown key"),
        (
            (
                'edges = "SS3"',
                'single_rings = [{ station = "9 m", area = "1 mm^2", inertia = "1 mm^4", side = "inside", '
                'eccentricity = "1 mm" }]',
            ),
            "a ring stands outside the barrel",
        ),
        (('edges = "FREE"', 'edges_far = "SS1"'), "the barrel can tilt"),
    ],
)
def test_edge_slips_are_refused(lines, words):
    from shellbuck.core.errors import Refusal

    with pytest.raises(Refusal) as caught:
        case_from_text(with_barrel(*lines))
    assert any(words in p.sentence() for p in caught.value.problems)


def test_a_spring_may_hold_what_the_set_leaves_free():
    case = case_from_text(
        with_barrel(
            'edges = "FREE"',
            'edges_far = "SS3"',
            'edge_springs = { radial = "5 N/mm^2" }',
            'edge_springs_far = { rotation = "1 kN" }',
        )
    )
    assert case.case.barrel.edge_springs.radial == 5e6


@pytest.mark.parametrize("compare", [(), ("--compare", "edges")])
def test_loads_that_the_engines_leave_out_are_named(case, capsys, compare):
    text = with_barrel()
    first = text.index("bending_moment = ")
    case.write_text(f'{text[:first]}torque = "5 kN*m"\nshear_force = "2 kN"\n{text[first:]}', encoding="utf-8")
    assert main(["modes", str(case), *compare]) == 0
    assert "torque and shear force left out here" in said(capsys)


def test_a_plain_wall_has_no_cell(case, capsys):
    assert main(["modes", str(case), "--compare", "cell"]) == 2
    assert "no repeating cell for this wall" in said(capsys)


def test_options_of_the_cell_stay_with_it(case, capsys):
    assert main(["modes", str(case), "--compare", "edges", "--curved"]) == 2
    assert "with --compare cell" in said(capsys)


@pytest.mark.slow  # some ten searches over phases
def test_cell_prints_coefficients_beside_the_handbook(capsys):
    assert main(["modes", "cases/blades-outside-short.toml", "--compare", "cell"]) == 0
    out = said(capsys)
    assert "k = 4.522 (simply supported 4)" in out
    assert "hinged root 0.4073" in out
    assert "local buckling at 4.29" in out
