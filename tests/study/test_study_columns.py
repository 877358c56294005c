"""Columns and rows read back from the chunks: what they hold, how often the chunks are read, what edges cost."""

from __future__ import annotations

from dataclasses import replace

import builders
import numpy as np
import pytest
from study_plans import AXIAL, PLAIN, SKIN, plan, rows, run

import shellbuck as sb
import shellbuck.study.evaluate as work
from shellbuck.io.store.folder import StudyFolder
from shellbuck.report.pages.study_page import write_findings
from shellbuck.study import HereWorkers, Study, open_folder, run_study, summarise
from shellbuck.study.summary import refuse_empty

SOME_REFUSED = {**SKIN, "from": 1e-3, "count": 6}
"""The thinnest skins are refused: too thin for the range of the factor."""


@pytest.fixture
def read(monkeypatch):
    """Chunks that were read, in order."""
    chunks, real = [], StudyFolder._lines

    def counted(self, chunk):
        chunks.append(chunk)
        return real(self, chunk)

    monkeypatch.setattr(StudyFolder, "_lines", counted)
    return chunks


def test_columns_are_those_of_the_rows(tmp_path):
    _, folder = run(plan(SOME_REFUSED, AXIAL, outputs=["margins"], chunk=4), tmp_path / "s")
    found = rows(folder)
    assert {r["status"] for r in found} > {"refused"}
    headers = [f.header for f in folder.fields]
    for field, column in zip(folder.fields, folder.columns(headers), strict=True):
        if field.kind == "text":
            assert list(column) == [r[field.header] for r in found]
        else:
            right = [np.nan if r[field.header] is None else r[field.header] for r in found]
            assert np.array_equal(column, right, equal_nan=True)


def test_rows_are_read_alone(tmp_path, read):
    _, folder = run(plan(SKIN, AXIAL, chunk=4), tmp_path / "s")
    every = [row for block in folder.blocks() for row in block]
    read.clear()
    assert list(folder.rows([14, 5, 4, 5])) == [every[4], every[5], every[14]]
    assert read == [1, 3]


@pytest.mark.parametrize("method", ["grid", "random", "sensitivity"])
def test_findings_take_one_pass_after_the_table(tmp_path, read, method):
    """The table's own pass keeps what findings and figures ask for; the rows of the page are the other one."""
    vary = ({"key": "barrel.radius", "from": 1.4, "to": 1.6}, {"key": "barrel.length", "from": 1.9, "to": 2.1})
    counts = {"grid": [{**v, "count": 3} for v in vary]}.get(method, vary)
    wanted = plan(
        *counts,
        method=method,
        chunk=4,
        outputs=["margins", "mass_per_area"],
        **({} if method == "grid" else {"count": 4}),
    )
    study = Study.of(wanted)
    with open_folder(study, tmp_path / "s") as folder:
        run_study(study, folder, HereWorkers())
        read.clear()
        summary = summarise(study, folder)
        refuse_empty(folder)
        assert read == []
        write_findings(study, folder, summary)
    assert read == list(range(folder.chunk_count))


def test_a_column_is_read_again_after_a_chunk_was_saved(tmp_path):
    _, folder = run(plan(SKIN, chunk=4), tmp_path / "s")
    before = folder.columns(["mass_per_area [kg/m^2]"])[0][4]
    (row,) = folder.rows([4])
    row[folder.fields.index(next(f for f in folder.fields if f.header.startswith("mass")))] = 1.5
    folder.save(1, [row])
    assert before != 1.5
    assert folder.columns(["mass_per_area [kg/m^2]"])[0][4] == 1.5


EDGED = replace(PLAIN, barrel=replace(PLAIN.barrel, edges="C4"))


@pytest.mark.slow
def test_edges_are_worked_out_only_for_columns_that_show_them(tmp_path, monkeypatch):
    """The loads of the edges take a second a point and move no margin of a wall that they cannot lose early."""
    edges, real = [], work.assess

    def watched(case, **more):
        edges.append(case.barrel.edges)
        return real(case, **more)

    monkeypatch.setattr(work, "assess", watched)
    skin = {**SKIN, "count": 2}
    _, without = run(plan(skin, case=EDGED, outputs=["margins"], engine="one by one"), tmp_path / "a")
    assert edges == [None, None]
    _, bare = run(plan(skin, outputs=["margins"], engine="one by one"), tmp_path / "b")
    assert rows(without) == rows(bare)
    edges.clear()
    load = next(found.name for found in sb.run(EDGED).load_cases[0].loads if found.name.startswith("edges C4"))
    _, shown = run(plan(skin, case=EDGED, outputs=[f"load of {load} in case"], engine="one by one"), tmp_path / "c")
    assert edges == ["C4", "C4"]
    assert all(r[f"load of {load} in case [N/m]"] > 0 for r in rows(shown))


@pytest.mark.slow
def test_edges_of_an_eccentric_wall_stay_in_every_point(tmp_path, monkeypatch):
    """They and the height of the load decide its general margin; arrays leave both out and say so in words."""
    seen, real = [], work.assess

    def watched(case, **more):
        seen.append((case.barrel.edges, case.barrel.load_height, more["edge_bending"]))
        return real(case, **more)

    case = builders.case(builders.GRID, barrel=builders.barrel(edges="SS3", load_height="wall centroid"))
    depth = {"key": "wall.rib_depth", "values": ["12 mm", "13 mm"]}
    monkeypatch.setattr(work, "assess", watched)
    single, folder = run(plan(depth, case=case, engine="one by one"), tmp_path / "a")
    assert seen == [("SS3", "wall centroid", True)] * 2
    assert [r["edge_bending"] for r in rows(folder)] == ["checked"] * 2
    study, together = run(plan(depth, case=case), tmp_path / "b")
    assert study.plan.engine == "arrays"
    assert [r["edge_bending"] for r in rows(together)] == ["not checked"] * 2
    assert any("EDGE BENDING NOT CHECKED at 2 points" in w for w in summarise(study, together).words)
    assert not any("EDGE BENDING" in w for w in summarise(single, folder).words)


def test_what_the_edges_forbid_is_refused_all_the_same(tmp_path):
    """A point that moves an end in front of a single ring is no barrel, whether or not a column needs the ring."""
    ring = sb.SingleRing(1.95, 1e-4, 1e-9, "inside", 0.01)
    case = replace(EDGED, barrel=replace(EDGED.barrel, length=2.0, single_rings=(ring,)))
    _, folder = run(plan({"key": "barrel.length", "values": [1.9, 2.1]}, case=case), tmp_path / "s")
    first, second = rows(folder)
    assert first["status"] == "refused"
    assert "a ring stands outside the barrel" in first["reason"]
    assert second["status"] == "holds"
