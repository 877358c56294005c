"""The data of the review: every engine's modes, as the results say them."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from builders import GRID, PLAIN, STIFFENED, STRINGERS, STRONG, barrel, case, load, pressed

import shellbuck as sb
from shellbuck.core import records
from shellbuck.core.records import Agreement, MeshMode, MeshRun
from shellbuck.core.samples import MeshSurface, Samples, pack
from shellbuck.engines import closed_form
from shellbuck.io import CaseFile, read_case
from shellbuck.model.walls import build_wall
from shellbuck.report.review.data import review_data
from shellbuck.report.text.display import SI

CASES = Path(__file__).parents[3] / "cases"


def both(the_case: sb.Case, *agreements: Agreement) -> tuple[records.Result, dict]:
    file, result = CaseFile(the_case, {}, "my.toml", "0" * 64), sb.run(the_case)
    return result, review_data(replace(result, agreements=agreements), file, SI)


def data_of(the_case: sb.Case, *agreements: Agreement) -> dict:
    return both(the_case, *agreements)[1]


def array(samples: dict) -> np.ndarray:
    return Samples(**{**samples, "shape": tuple(samples["shape"])}).array()


@cache
def with_edges() -> dict:
    return data_of(case(PLAIN, load(name="empty"), pressed(5e4, name="flight"), barrel=barrel(edges="SS3")))


def test_it_is_strict_json():
    assert json.loads(json.dumps(with_edges(), allow_nan=False))["version"] == 1


def test_ritz_and_closed_form_of_one_edge_set_are_one_mode():
    """SS3 without pressure: the same lowest Sanders mode by both engines, load 1e-8, likeness 1e-3 (stations)."""
    data = with_edges()
    modes = [m for m in data["modes"] if m["case"] == "empty"]
    closed = next(m for m in modes if m["engine"] == "closed form" and "Sanders" in m["title"])
    by_ritz = min((m for m in modes if m["engine"] == "Ritz, membrane"), key=lambda m: m["line_load"])
    assert (closed["m"], closed["n"]) == (by_ritz["m"], by_ritz["n"])
    assert by_ritz["line_load"] == pytest.approx(closed["line_load"], rel=1e-8)
    table = next(t for t in data["likeness"] if t["case"] == "empty")
    i, j = table["rows"].index(closed["id"]), table["columns"].index(by_ritz["id"])
    assert table["values"][i][j] == pytest.approx(1, abs=1e-3)
    for q in "uvw":  # the same shape up to its sign: single precision and six digits of the record
        a = np.interp(np.linspace(0, 2, 50), array(closed["x"]), array(closed[q]))
        b = np.interp(np.linspace(0, 2, 50), array(by_ritz["x"]), array(by_ritz[q]))
        size = np.abs(a).max()
        assert min(np.abs(a - b).max(), np.abs(a + b).max()) < 2e-2 * size  # straight lines between stations


def test_every_mode_says_what_its_load_is():
    for mode in with_edges()["modes"]:
        names = [name for name, _ in mode["facts"]]
        assert {"Theory", "Edges", "Prestress", "Pressure", "Load position", "Load is", "Completeness"} <= set(names)
        assert np.abs(array(mode["w"])).max() == pytest.approx(1, abs=1e-6)
        assert mode["ratio"] >= 1
        assert sum(share for _, share in mode["energy"]) == pytest.approx(1 if mode["energy"] else 0, abs=1e-4)


def test_spectrum_points_lead_to_modes():
    data = with_edges()
    known = {m["id"]: m for m in data["modes"]}
    for spectrum in data["spectra"]:
        named = [(n, N, mode) for s in spectrum["series"] for n, N, mode in s["points"] if mode]
        assert named
        for n, N, mode in named:
            assert known[mode]["n"] == n
            assert known[mode]["line_load"] == pytest.approx(N, rel=1e-9)
        assert spectrum["lowest"] == min(N for s in spectrum["series"] for _, N, _ in s["points"])


def test_modes_are_numbered_by_rising_load():
    data = with_edges()
    assert [m["id"] for m in data["modes"]] == [f"mode {i}" for i in range(1, len(data["modes"]) + 1)]
    for name in {m["case"] for m in data["modes"]}:
        loads = [m["line_load"] for m in data["modes"] if m["case"] == name]
        assert loads == sorted(loads)


def test_margins_rest_on_modes_and_cases_of_one_state_share_them():
    data = data_of(case(STIFFENED, load(name="one"), load(name="two", axial_force=300e3)))
    rows = {(r["case"], r["mode"]): r["basis"] for r in data["margins"]}
    known = {m["id"]: m for m in data["modes"]}
    assert rows["one", "general instability"] == rows["two", "general instability"]
    panel = known[rows["one", "panel between rings"]]
    assert panel["kind"] == "local"
    assert "5 alike" in dict(panel["facts"])["Bays"]
    assert panel["m"] % 5 == 0  # four rings, five bays
    assert all(basis is None for (_, mode), basis in rows.items() if mode.startswith("skin, "))


def test_fewer_modes_of_the_other_load_cases():
    data = with_edges()
    counts = {
        name: sum(m["case"] == name and m["engine"] == "Ritz, membrane" for m in data["modes"])
        for name in ("empty", "flight")
    }
    assert sorted(counts.values()) == [1, 5]


def test_an_allowable_stands_with_the_mode_that_a_margin_rests_on_alone():
    """A grid under pressure: the margin rests on the mode without hoop tension; its allowable stands there and nowhere
    else, in particular not with the modes at pressure."""
    result, data = both(
        case(GRID, pressed(4e5, name="flight", axial_force=9e5), barrel=barrel(edges="SS3"), material=STRONG)
    )
    (general,) = [r for r in result.margins if r.mode == "general instability"]
    with_allowable = [m for m in data["modes"] if "allowable of general instability" in m["design_text"]]
    (mode,) = with_allowable
    assert (mode["m"], mode["n"]) == (general.basis.m, general.basis.n)
    assert mode["line_load"] == general.basis.line_load
    assert mode["title"].endswith("without pressure")
    assert f"{general.capacity / 1e3:.1f} kN/m"[:4] in mode["design_text"]
    assert sum(m["title"].endswith("at minimum pressure") for m in data["modes"]) == 2
    assert all(not m["design_text"] and not m["rows"] for m in data["modes"] if "at minimum" in m["title"])
    assert all(not m["design_text"] for m in data["modes"] if m["engine"].startswith("Ritz"))


def test_a_margin_that_edge_bending_limits_leads_to_the_mode_of_the_nonlinear_path():
    """Blades of 35 mm inside a short barrel: the perfect barrel is lost at its edges below factor times classical."""
    inside = sb.StiffenedWall(sb.Stiffeners("inside", "blade", 0.035, 0.003, spacing=0.1))
    result, data = both(case(inside, barrel=barrel(length=0.75, skin_thickness=2e-3, skin_thickness_minimum=2e-3)))
    (general,) = [r for r in result.margins if r.mode == "general instability"]
    row = next(r for r in data["margins"] if r["mode"] == "general instability")
    mode = next(m for m in data["modes"] if m["id"] == row["basis"])
    assert mode["engine"] == "Ritz, edge bending"
    assert (mode["n"], mode["line_load"]) == (general.basis.n, general.basis.line_load)
    assert general.capacity == pytest.approx(mode["line_load"], rel=1e-12)  # factor 1, no pressure
    assert row["role"] == "rests"
    assert [m["id"] for m in data["modes"] if "allowable of general" in m["design_text"]] == [mode["id"]]


def test_the_standards_letter_has_no_mode_and_gives_none_an_allowable():
    data = data_of(case(PLAIN, pressed(5e4)))
    row = next(r for r in data["margins"] if r["mode"] == "general instability")
    assert row["role"] == "beside"
    assert row["words"].startswith("no mode: the standard's equation")
    mode = next(m for m in data["modes"] if m["id"] == row["basis"])
    assert mode["title"] == "general instability, Donnell, at minimum pressure"
    assert all("general" not in m["design_text"] for m in data["modes"])


DEMO = sorted(p.name for p in CASES.glob("*.toml") if p.name.count(".") == 1)


@pytest.mark.parametrize("name", DEMO)
def test_every_margin_of_a_demo_case_leads_to_its_own_mode_or_says_why_there_is_none(name):
    """The mode shown for a row has the row's own load, (m, n), theory and pressure; what is beside says so."""
    file = read_case(CASES / name)
    bare = replace(file, case=replace(file.case, barrel=replace(file.case.barrel, edges=None)))  # Ritz takes seconds
    result = sb.run(bare.case)
    data = review_data(result, bare, SI)
    known = {m["id"]: m for m in data["modes"]}
    assert len(data["margins"]) == len(result.margins)
    for row, entry in zip(result.margins, data["margins"], strict=True):
        assert (row.load_case, row.mode) == (entry["case"], entry["mode"])
        if entry["basis"] is None:
            assert entry["words"].startswith("no mode")
            assert row.basis is None or row.basis.kind == "plate"
            continue
        mode, facts = known[entry["basis"]], dict(known[entry["basis"]]["facts"])
        if row.basis.kind == "equation":
            assert (entry["role"], entry["allowable"]) == ("beside", "")
            assert mode["title"] == row.basis.beside
            assert facts["Theory"] == row.basis.theory
            continue
        bays = 1 if row.basis.region == "barrel" else round(bare.case.barrel.length / row.basis.length)
        assert mode["line_load"] == row.basis.line_load
        assert (mode["m"], mode["n"]) == (bays * row.basis.m, row.basis.n)
        assert facts["Theory"] == row.basis.theory
        unpressed = any(said in facts["Pressure"] for said in ("no pressure", "external pressure is the load"))
        assert (unpressed or row.basis.kind == "column") == (row.basis.pressure == 0)
        assert entry["role"] == ("limited" if row.basis.limited else "rests")
        assert bool(entry["allowable"]) == (entry["role"] == "rests")
        assert {"case": row.load_case, "mode": row.mode, "text": entry["text"], "role": entry["role"]} in mode["rows"]
    # the page opens with the smallest margin that has a mode of its own
    opened = next((e for e in data["margins"] if e["role"] in ("rests", "limited")), None)
    if opened:
        assert data["first"] == opened["basis"]
    for mode in data["modes"]:
        assert bool(mode["design_text"]) == any(row["role"] == "rests" for row in mode["rows"])


def test_the_column_is_drawn_as_the_beam_that_its_row_calculates():
    """A long tube of sheet: u = -z d'(x), v and w a sideways shift. The general field of (1, 1) tends to the same
    shape: what is left is of the order (pi R/L)^2, the Poisson breathing and the wall's shear."""
    data = data_of(case(PLAIN, barrel=barrel(length=30.0)))
    row = next(r for r in data["margins"] if r["mode"] == "column (n = 1)")
    mode = next(m for m in data["modes"] if m["id"] == row["basis"])
    u, v, w = (array(mode[k]) for k in "uvw")
    U, V, W = closed_form.amplitudes(build_wall(case(PLAIN), None), 1.5, 30.0, 1, 1, theory="Sanders")
    left = (math.pi * 1.5 / 30) ** 2
    x = array(mode["x"])
    assert w == pytest.approx(np.sin(np.pi * x / 30), abs=1e-6)
    assert v[60] == pytest.approx(V / W * w[60], rel=2 * left)
    assert u[0] == pytest.approx(U / W, rel=4 * left)


def meshed(the_case: sb.Case) -> Agreement:
    """A made-up agreement: a part of a quarter with one local and one general mode."""
    grid = np.array([[x, t, 1.5] for t in (0.0, 0.1) for x in (0.0, 2.0)])
    surface = MeshSurface(
        pack(grid, "f4"),
        pack(np.array([[0, 2, 3, 1]]), "u4"),
        pack(np.array([0]), "u1"),
        ("skin",),
        pack(np.ones(4), "f4"),
        np.pi / 4,
        True,
    )
    shape = pack(np.array([[0, 0, 1.0]] * 4), "i2")
    modes = tuple(
        MeshMode(N, 3, n, 0.9, general, (("skin", 1.0),), ((3, n, 0.9),), shape, "even")
        for N, n, general in ((1e5, 20, False), (2e5, 8, True))
    )
    load = sb.run(the_case).load_cases[0].loads[0]
    run = MeshRun("a mesh", 100, 1.0, (1e5, 2e5), 2)
    loads = {"mesh with ribs": load, "Ritz": replace(load, shapes=_shape())}
    return Agreement("case", 294.0, 0.0, loads, (), (run,), modes, ("words",), None, surface)


def test_mesh_modes_bring_their_surface():
    the_case = case(sb.StiffenedWall(STRINGERS))
    data = data_of(the_case, meshed(the_case))
    modes = [m for m in data["modes"] if m["engine"] == "mesh"]
    assert [m["kind"] for m in modes] == ["local", "general"]
    assert set(data["surfaces"]) == {"mesh 1"} == {m["surface"] for m in modes}
    assert array(modes[0]["displacement"]).shape == (4, 3)
    (spectrum,) = data["spectra"]
    assert [mark[:2] for mark in spectrum["marks"]] == [[20, 1e5], [8, 2e5]]
    assert spectrum["lowest"] == 1e5
    strip = next(r for r in data["margins"] if r["mode"] == "skin strip")
    assert strip["basis"] == modes[0]["id"]


def _shape():
    x = tuple(np.linspace(0, 2, 41).tolist())
    w = tuple(np.sin(np.pi * np.array(x) / 2).tolist())
    return (records.ModeShape(8, 2.1e5, 1, 1.0, (("skin", 1.0),), x, w, w, w),)


def test_a_grid_has_modes_too():
    assert {m["engine"] for m in data_of(case(GRID))["modes"]} == {
        "closed form",
        "column formula",
        "Ritz, edge bending",
    }
