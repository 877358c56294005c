"""A study from plan to table: every row is what one assessment gives, and a folder survives what happens to it."""

from __future__ import annotations

import csv
import json
import math
import tracemalloc
from itertools import pairwise

import builders
import numpy as np
import pytest
from study_plans import AXIAL, GRID, PLAIN, SKIN, plan, rows, run

import shellbuck as sb
from shellbuck.core.errors import Incomplete
from shellbuck.io.language.keys import changed
from shellbuck.io.store.folder import StudyFolder
from shellbuck.io.store.tables import read_row, write_table
from shellbuck.margins import assess
from shellbuck.study import HereWorkers, Study, open_folder, run_study
from shellbuck.study import evaluate as work
from shellbuck.study.summary import refuse_empty

SMALL = {"chunk": 4, "engine": "one by one"}


def rows_of(path, fields):
    """Rows of a CSV table below its headings."""
    with path.open(encoding="utf-8", newline="") as stream:
        return [read_row(cells, fields) for cells in list(csv.reader(stream))[1:]]


def test_every_row_is_what_one_assessment_gives(tmp_path):
    study, folder = run(plan(SKIN, AXIAL, outputs=["margins", "mass"], **SMALL), tmp_path / "s")
    found = rows(folder)
    assert [r["point"] for r in found] == list(range(15))
    for row in found:
        case = changed(PLAIN, study.design.changes(row["point"]))
        assert case.barrel.skin_thickness == row["barrel.skin_thickness [m]"]
        assert case.barrel.skin_thickness_minimum == pytest.approx(row["barrel.skin_thickness [m]"] - 1e-4, rel=1e-12)
        assert case.load_cases[0].axial_force == row["load_cases.case.axial_force [N]"]
        result = assess(case)
        assert row["smallest_margin [-]"] == result.verdict.smallest_margin
        assert row["mass [kg]"] == result.wall.mass
        assert row["status"] == result.verdict.word
        for margin in result.margins:
            assert row[f"margin of {margin.mode} in case [-]"] == margin.margin


def test_a_refused_point_is_a_row_with_its_reason(tmp_path):
    """Ribs thicker than their spacing, and a skin too thick for a shell, beside points that hold."""
    ribs = {"key": "wall.rib_thickness", "values": [2e-3, 80e-3]}
    skin = {"key": "barrel.skin_thickness", "values": [3e-3, 0.2], "also": ["barrel.skin_thickness_minimum"]}
    _, folder = run(plan(ribs, skin, case=GRID), tmp_path / "s")
    good, thick, overlap, both = rows(folder)
    assert good["status"] == "holds"
    assert good["reason"] == ""
    assert thick["status"] == overlap["status"] == both["status"] == "refused"
    assert "too thick for thin-shell buckling" in thick["reason"]
    assert "the ribs overlap" in overlap["reason"]
    assert both["reason"].endswith("(and 1 more)")
    assert overlap["smallest_margin [-]"] is None


def test_a_refused_mode_makes_the_row_refused(tmp_path):
    """Verdict refused: the smallest of the other margins must not pass for that of the design."""
    thin = {"key": "barrel.skin_thickness", "values": [0.9e-3], "also": ["barrel.skin_thickness_minimum"]}
    _, folder = run(plan(thin), tmp_path / "s")  # R/t 1667: the standard has no factor
    (row,) = rows(folder)
    assert row["status"] == "refused"
    assert row["reason"].startswith("refused: general instability has no margin")


def test_our_own_fault_at_one_point_costs_that_point_only(tmp_path, monkeypatch):
    real, calls = work.assess, []

    def faulty(case, **more):
        calls.append(case)
        if len(calls) == 2:
            raise ZeroDivisionError("of\nour own")
        return real(case, **more)

    monkeypatch.setattr(work, "assess", faulty)
    _, folder = run(plan(AXIAL, engine="one by one"), tmp_path / "s")
    found = rows(folder)
    assert [r["status"] for r in found] == ["holds", "failed", "holds"]
    assert found[1]["reason"] == "ZeroDivisionError: of our own"


class Counting(HereWorkers):
    """Counts what is worked out, and is killed after so many pieces."""

    def __init__(self, most=math.inf):
        self.most, self.done = most, 0

    def executor(self):
        outer, inner = self, super().executor()

        class Executor(type(inner)):
            def submit(self, fn, piece):
                if outer.done >= outer.most:
                    raise KeyboardInterrupt
                outer.done += len(piece.changes)
                return super().submit(fn, piece)

        return Executor()


def test_a_stopped_study_goes_on_and_loses_one_chunk_at_most(tmp_path):
    wanted = plan(SKIN, AXIAL, **SMALL)
    _, whole = run(wanted, tmp_path / "whole")
    study = Study.of(wanted)
    for stop in (0, 6, 11):
        with open_folder(study, tmp_path / f"stopped {stop}") as folder, pytest.raises(KeyboardInterrupt):
            run_study(study, folder, Counting(stop))
        with open_folder(study, tmp_path / f"stopped {stop}") as folder:
            kept = folder.points - sum(len(folder.numbers(k)) for k in folder.missing())
            assert stop - 4 < kept <= stop
            again = Counting()
            run_study(study, folder, again)
        assert again.done == 15 - kept
        assert folder.table.read_bytes() == whole.table.read_bytes()
        assert run(wanted, tmp_path / f"stopped {stop}", Counting(0))  # nothing is left to do


def test_a_stopped_study_of_arrays_goes_on(tmp_path):
    wanted = plan(SKIN, AXIAL, chunk=4)
    _, whole = run(wanted, tmp_path / "whole")
    study = Study.of(wanted)
    with open_folder(study, tmp_path / "s") as folder, pytest.raises(KeyboardInterrupt):
        run_study(study, folder, Counting(8))
    with open_folder(study, tmp_path / "s") as folder:
        assert folder.missing() == [2, 3]
        run_study(study, folder, Counting())
    assert folder.table.read_bytes() == whole.table.read_bytes()


def test_a_damaged_chunk_is_worked_out_again(tmp_path):
    wanted = plan(SKIN, **SMALL)
    _, folder = run(wanted, tmp_path / "s")
    before = folder.table.read_bytes()
    chunk = tmp_path / "s" / "chunks" / "0000001.csv"
    text = chunk.read_text(encoding="utf-8")
    for damaged in (text.replace("0.", "1.", 1), text[:-20], "", text + text):
        chunk.write_text(damaged, encoding="utf-8")
        workers = Counting()
        run(wanted, tmp_path / "s", workers)
        assert workers.done == 1
        assert folder.table.read_bytes() == before
        assert chunk.read_text(encoding="utf-8") == text


def test_progress_counts_to_the_end(tmp_path):
    told = []
    study = Study.of(plan(SKIN, AXIAL, **SMALL))
    with open_folder(study, tmp_path / "s") as folder:
        run_study(study, folder, HereWorkers(), told.append)
    assert told[0].done == 0
    assert told[-1].done == told[-1].points == 15
    assert all(b.done >= a.done for a, b in pairwise(told))
    assert told[-1].left == 0.0
    assert told[-1].rate > 0


def test_a_folder_of_other_inputs_is_refused_and_left_alone(tmp_path):
    wanted = plan(SKIN, **SMALL)
    run(wanted, tmp_path / "s")
    before = {p: p.read_bytes() for p in (tmp_path / "s").rglob("*") if p.is_file()}
    other = plan({**SKIN, "to": 7e-3}, **SMALL)
    thicker = plan(SKIN, case=builders.case(builders.PLAIN), **SMALL)
    for changed_plan, words in (
        (other, "other inputs: what is varied"),
        (thicker, "other inputs: the base case"),
        (plan(SKIN, chunk=5), "other inputs: chunk"),
        (plan(SKIN, outputs=["mass"], **SMALL), "other inputs: outputs"),
    ):
        with pytest.raises(sb.Refusal, match=words):
            run(changed_plan, tmp_path / "s")
    assert {p: p.read_bytes() for p in (tmp_path / "s").rglob("*") if p.is_file()} == before


def test_a_folder_of_other_versions_is_refused(tmp_path):
    wanted = plan(SKIN, **SMALL)
    run(wanted, tmp_path / "s")
    record = tmp_path / "s" / "inputs.json"
    found = json.loads(record.read_text(encoding="utf-8"))
    found["versions"]["numpy"] = "0.9"
    record.write_text(json.dumps(found), encoding="utf-8")
    with pytest.raises(sb.Refusal, match=r"begun with other versions.*numpy 0\.9"):
        run(wanted, tmp_path / "s")


@pytest.mark.parametrize(("name", "text"), [("letters.txt", "mine"), ("inputs.json", "{}"), ("inputs.json", "[")])
def test_a_folder_of_something_else_is_refused(tmp_path, name, text):
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(sb.Refusal, match=r"contains other files|not that of a study"):
        run(plan(SKIN), tmp_path)
    assert (tmp_path / name).read_text(encoding="utf-8") == text
    if name == "letters.txt":
        assert [p.name for p in tmp_path.iterdir()] == [name]  # nothing is left there


def test_a_folder_in_use_is_refused(tmp_path):
    study = Study.of(plan(SKIN))
    with open_folder(study, tmp_path / "s"), pytest.raises(sb.Refusal, match="another process works in this folder"):
        open_folder(study, tmp_path / "s").__enter__()
    with open_folder(study, tmp_path / "s"):
        pass


def test_a_place_that_cannot_be_written_is_refused(tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(sb.Refusal, match="a part of this path is a file, not a folder"):
        run(plan(SKIN), tmp_path / "file" / "s")


def test_nothing_feasible_is_said_and_the_table_stands(tmp_path):
    ribs = {"key": "wall.rib_thickness", "values": [70e-3, 80e-3]}
    _, folder = run(plan(ribs, case=GRID), tmp_path / "s")
    with pytest.raises(sb.Refusal, match=r"no point of the study has margins.*the ribs overlap"):
        refuse_empty(folder)
    assert len(rows(folder)) == 2


def test_every_point_failed_is_incomplete(tmp_path, monkeypatch):
    def faulty(case, **_):
        raise ZeroDivisionError

    study = Study.of(plan(SKIN, engine="one by one"))
    monkeypatch.setattr(work, "assess", faulty)
    with open_folder(study, tmp_path / "s") as folder:
        run_study(study, folder, HereWorkers())
        with pytest.raises(Incomplete, match="no point of the study has margins"):
            refuse_empty(folder)


def test_a_worker_of_another_version_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(work, "__version__", "0.0.9")
    with pytest.raises(sb.Refusal, match=r"another version of shellbuck; got 0\.0\.9"):
        run(plan(SKIN), tmp_path / "s")


def test_parquet_holds_what_csv_holds(tmp_path):
    parquet = pytest.importorskip("pyarrow.parquet", reason='needs the extra "study"')
    side = {"key": "wall.side", "values": ["inside", "outside"]}
    ribs = {"key": "wall.rib_thickness", "values": [2e-3, 80e-3]}
    first = {"case": GRID, "outputs": ["margins", "load_cases.0.loads.0.n"], "chunk": 3}
    _, text = run(plan(side, ribs, **first), tmp_path / "csv")
    _, packed = run(plan(side, ribs, **first, format="parquet"), tmp_path / "parquet")
    table = parquet.read_table(packed.table)
    assert table.column_names == [f.header for f in text.fields]
    assert [list(row.values()) for row in table.to_pylist()] == rows_of(text.table, text.fields)
    assert str(table.schema.field("point").type) == "int64"
    assert str(table.schema.field("smallest_margin [-]").type) == "double"
    once = packed.table.read_bytes()
    run(plan(side, ribs, **first, format="parquet"), tmp_path / "parquet")
    assert packed.table.read_bytes() == once


def test_parquet_without_its_library_is_refused_before_any_work(tmp_path, monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "pyarrow", None)
    with pytest.raises(sb.Refusal, match=r"Parquet needs the pyarrow library.*-m pip install pyarrow, or"):
        run(plan(SKIN, format="parquet"), tmp_path / "s")
    assert not (tmp_path / "s").exists()


def test_numbers_read_back_as_they_were(tmp_path):
    _, folder = run(plan(SKIN), tmp_path / "s")
    values = [0.1, 1 / 3, -0.0, 5e-324, 1.7976931348623157e308, float(np.float64(0.3))]
    number = next(f for f in folder.fields if f.kind == "number")
    write_table(tmp_path / "t.csv", [number], [[[v] for v in values]], "csv")
    back = [r[0] for r in rows_of(tmp_path / "t.csv", [number])]
    assert back == values
    assert list(map(repr, back)) == list(map(repr, values))  # a lost sign of zero is no difference of numbers


def assembly_peak(path, points):
    """Peak memory [bytes] of putting a table together."""
    wanted = plan({"key": "barrel.radius", "from": 1.0, "to": 2.0, "count": points}, chunk=50)
    study = Study.of(wanted)
    with StudyFolder(path, wanted, points, study.fields) as folder:
        line = [0, 1.5, "holds", 0.25, 0.25, "general instability", 14.0, ""]
        for k in range(folder.chunk_count):
            folder.save(k, [line] * len(folder.numbers(k)))
        tracemalloc.start()
        folder.assemble()
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    return peak


def test_memory_is_flat(tmp_path):
    """Ten times the points: less than one chunk's worth more (measured: equal within 20 %)."""
    small, large = assembly_peak(tmp_path / "a", 250), assembly_peak(tmp_path / "b", 2500)
    assert large < 1.5 * small


def test_arrays_give_the_rows_of_single_assessments(tmp_path):
    """Grid and stringers, sides as words, refused points with the same reasons; margins to 1e-12 (measured 1e-15)."""
    for case, ribs in ((GRID, "wall.rib_thickness"), (builders.case(builders.STIFFENED), "wall.stringers.thickness")):
        side = {"key": ribs.rsplit(".", 1)[0] + ".side", "values": ["inside", "outside"]}
        vary = ({"key": ribs, "values": [2e-3, 4e-3, 90e-3]}, side, AXIAL)
        more = {
            "case": case,
            "outputs": ["margins", "mass_per_area", "verdict", "governing_load_case", "margin of general instability"],
        }
        name = case.wall.kind
        one, single = run(plan(*vary, **more, engine="one by one"), tmp_path / f"{name} 1")
        many, together = run(plan(*vary, **more), tmp_path / f"{name} 2")
        assert (one.plan.engine, many.plan.engine) == ("one by one", "arrays")
        kinds = set()
        for a, b in zip(rows(single), rows(together), strict=True):
            kinds.add(a["status"])
            for key, value in a.items():
                if key == "edge_bending" and a["status"] != "refused":  # a run counts it, arrays say that they do not
                    assert (value, b[key]) == ("checked", "not checked")
                elif isinstance(value, float):
                    assert b[key] == pytest.approx(value, rel=1e-12, abs=1e-12), key
                elif key == "edge_bending":  # arrays work no nonlinear prebuckled load out, and say so
                    assert (value, b[key]) in {("checked", "not checked"), (None, None), ("", "")}
                else:
                    assert b[key] == value, key
        assert {"holds", "refused"} <= kinds


def test_the_engine_is_the_fastest_that_gives_every_column():
    assert Study.of(plan(SKIN)).plan.engine == "arrays"
    for outputs in (["mass"], ["load_cases.0.pressure_gain"]):
        assert Study.of(plan(SKIN, outputs=outputs)).plan.engine == "one by one"
    metal = {"key": "material", "values": ["2219-T87"]}
    assert Study.of(plan(metal)).plan.engine == "one by one"
    with pytest.raises(sb.Refusal, match="cannot be computed by arrays: arrays do not give mass"):
        Study.of(plan(SKIN, outputs=["mass"], engine="arrays"))
    with pytest.raises(sb.Refusal, match="engine: no such engine"):
        plan(SKIN, engine="steam")


def test_where_arrays_fail_each_point_is_assessed(tmp_path, monkeypatch):
    import shellbuck.study.arrays as arrays

    def faulty(case, varied):
        raise IndexError

    _, right = run(plan(SKIN, engine="one by one"), tmp_path / "one")
    monkeypatch.setattr(arrays, "margins_of", faulty)
    _, folder = run(plan(SKIN), tmp_path / "s")
    assert folder.table.read_bytes() == right.table.read_bytes()


def test_arrays_that_differ_from_a_run_end_the_study(tmp_path, monkeypatch):
    import shellbuck.study.arrays as arrays

    real = arrays.margins_of

    def wrong(case, varied):
        found = real(case, varied)
        found.margins[:] += 1e-6
        return found

    monkeypatch.setattr(arrays, "margins_of", wrong)
    with pytest.raises(Incomplete, match="arrays and a run differ"):
        run(plan(SKIN), tmp_path / "s")
