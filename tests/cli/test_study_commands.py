"""Study, map and point from the command line: words, statuses, folders."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from importlib.resources import files

import process_groups
import pytest

import shellbuck.cli.study as command
from shellbuck.cli.main import main
from shellbuck.study import HereWorkers, Study, open_folder, read_study, run_study

PLAIN = files("shellbuck.io").joinpath("starts/plain.toml").read_text(encoding="utf-8")
STUDY = """title = "t \\u001b[31m"
case = "base.toml"
chunk = 3
outputs = ["smallest_margin", "mass"]
[[vary]]
key = "barrel.skin_thickness"
from = "3 mm"
to = "5 mm"
count = 5
also = [{ key = "barrel.skin_thickness_minimum", less = "0.1 mm" }]
"""


@pytest.fixture
def study(tmp_path, monkeypatch):
    """A study file; the work is done in this process."""
    (tmp_path / "base.toml").write_text(PLAIN, encoding="utf-8")
    path = tmp_path / "s.toml"
    path.write_text(STUDY, encoding="utf-8")
    monkeypatch.setattr(command, "LocalWorkers", lambda _: HereWorkers())
    monkeypatch.chdir(tmp_path)
    return path


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """The folder of the study, worked out once."""
    place = tmp_path_factory.mktemp("done")
    (place / "base.toml").write_text(PLAIN, encoding="utf-8")
    (place / "s.toml").write_text(STUDY, encoding="utf-8")
    ready = Study.of(read_study(place / "s.toml"))
    with open_folder(ready, place / "f") as folder:
        run_study(ready, folder, HereWorkers())
    return place / "f"


@pytest.fixture
def finished(study, done):
    """The study file with its finished folder beside it."""
    return shutil.copytree(done, study.parent / "f")


def test_a_study_from_file_to_page(study, capsys):
    assert main(["study", "s.toml", "--to", "f"]) == 0
    out = capsys.readouterr()
    assert "5 points, 4 columns, to f" in out.err
    assert "lightest point without a negative margin: " in out.out
    assert out.out.splitlines()[-2:] == ["table: f/table.csv", "page: f/page.html"]
    assert {p.name for p in (study.parent / "f").iterdir()} == {
        ".lock",
        "case.toml",
        "chunks",
        "figures",
        "inputs.json",
        "page.html",
        "study.toml",
        "summary.json",
        "table.csv",
    }
    head = (study.parent / "f" / "table.csv").read_text(encoding="utf-8").splitlines()[0]
    assert head == (
        "point,barrel.skin_thickness [m],status,smallest_margin [-],smallest_known_margin [-],governing_mode,"
        "mass [kg],reason"
    )
    assert json.loads((study.parent / "f" / "summary.json").read_text(encoding="utf-8"))["points"] == 5
    assert main(["study", "s.toml", "--to", "f"]) == 0
    assert "5 of 5 points are there already" in capsys.readouterr().err


def test_a_point_of_it_is_a_full_run(study, finished, capsys):
    status = main(["run", "f", "--point", "2", "--json", "p.json", "--case", "p.toml", "--brief"])
    assert "point 2 of f\nbarrel.skin_thickness: 4 mm\n" in capsys.readouterr().out
    assert main(["run", "f", "--point", "2", "--brief", "--units", "us"]) == status
    assert "barrel.skin_thickness: 0.1575 in\n" in capsys.readouterr().out
    document = json.loads((study.parent / "p.json").read_text(encoding="utf-8"))
    row = (study.parent / "f" / "table.csv").read_text(encoding="utf-8").splitlines()[3].split(",")
    assert document["verdict"]["smallest_margin"] == float(row[3])
    assert document["inputs"]["as_read"]["barrel"]["skin_thickness"] == "0.004 m (point 2)"
    assert document["exit_status"] == status
    assert document["source"]["file"] == "case.toml, point 2 of f"
    assert main(["run", "p.toml", "--json", "q.json", "--brief"]) == status
    again = json.loads((study.parent / "q.json").read_text(encoding="utf-8"))
    assert again["verdict"]["smallest_margin"] == pytest.approx(float(row[3]), rel=1e-9)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["run", "f", "--point", "5"], "there is no such point; got 5; allowed: 0 to 4"),
        (["run", ".", "--point", "0"], "this is not the folder of a study or map"),
        (["run", "f", "--point", "0", "--page", "f/page.html"], "the folder of a study takes no other files"),
        (["study", "other.toml", "--to", "g"], "the file cannot be read"),
        (
            ["run", "nowhere", "--point", "0"],
            "no folder with a study or map here; allowed: a folder with case.toml and study.toml "
            "or map.json; name the folder that was given to study as --to",
        ),
        (["study", "s.toml"], "name a folder for it, such as --to a-folder"),
        (["study", "base.toml", "--map", "loads"], "name a folder for it, such as --to a-folder"),
        (
            ["study", "base.toml", "--map", "thickness", "--to", "g", "--pressure", "1 bar"],
            "leave --pressure out; --x and --y give",
        ),
        (["study", "base.toml", "--map", "loads", "--to", "f"], "the folder belongs to other inputs"),
        (["study", "base.toml", "--map", "ribs", "--to", "g"], "no blade ribs to map"),
        (["study", "base.toml", "--map", "moods", "--to", "g"], "moods"),
    ],
)
def test_refusals(study, finished, capsys, words, said):
    before = (study.parent / "f" / "table.csv").read_bytes()
    capsys.readouterr()
    assert main(words) == 2
    assert said in capsys.readouterr().err
    assert (study.parent / "f" / "table.csv").read_bytes() == before


def test_a_map_and_its_point(study, capsys):
    words = ["study", "base.toml", "--map", "loads", "--to", "m", "--points", "2", "2", "--pressure", "0 kPa"]
    words += ["--x", "0 kN", "1 MN"]
    assert main(words) == 0
    assert main(["run", "m", "--point", "3", "--brief"]) in {0, 1}
    out = capsys.readouterr().out
    assert "axial force: 1000 kN" in out
    assert "pressure: 0 kPa" in out
    assert (study.parent / "m" / "figures" / "map.svg").exists()


def test_a_study_to_start_from_runs_beside_its_case(study, capsys):
    assert main(["start", "triangular-grid", "--to", "my.toml"]) == 0
    assert main(["start", "study", "--to", "my.study.toml"]) == 0
    out = capsys.readouterr().out
    assert "next:    shellbuck study my.study.toml --to a-folder" in out
    assert "shellbuck start triangular-grid --to my.toml" in out
    assert main(["study", "my.study.toml", "--to", "a-folder"]) == 0
    assert "48 points" in capsys.readouterr().out


def test_what_the_study_to_start_from_says_of_samples_is_true(study):
    """The lines behind # as its comments have them: count at the top, and no count and no values in an input."""
    assert main(["start", "triangular-grid", "--to", "my.toml"]) == 0
    text = files("shellbuck.io").joinpath("starts/triangular-grid.study.toml").read_text(encoding="utf-8")
    head = text.split("[[vary]]")[0].replace('method = "grid"', 'method = "random"').replace("# count", "count")
    head = head.replace("# load_cases", "load_cases")
    first = text.split("[[vary]]")[1].replace("count = 6\n", "")
    (study.parent / "my.study.toml").write_text(f"{head}[[vary]]{first}", encoding="utf-8")
    plan = read_study(study.parent / "my.study.toml")
    assert (plan.method, plan.count, len(plan.vary)) == ("random", 1000, 1)
    assert [load.name for load in plan.case.load_cases] == ["on the pad, empty"]


def test_nothing_feasible(study, capsys):
    study.write_text(STUDY.replace('"3 mm"', '"300 mm"').replace('"5 mm"', '"500 mm"'), encoding="utf-8")
    assert main(["study", "s.toml", "--to", "f"]) == 2
    out = capsys.readouterr()
    assert "5 points: 5 refused" in out.out
    assert "no point of the study has margins" in out.err
    assert "too thick for thin-shell buckling" in out.err
    assert (study.parent / "f" / "table.csv").exists()


def test_an_own_fault_at_a_point_is_incomplete(study, monkeypatch):
    import shellbuck.study.evaluate as work

    real, calls = work.assess, []

    def faulty(case):
        calls.append(case)
        if len(calls) == 2:
            raise ZeroDivisionError
        return real(case)

    monkeypatch.setattr(work, "assess", faulty)
    assert main(["study", "s.toml", "--to", "f"]) == 3


def test_an_interrupt_says_how_to_go_on(study, capsys, monkeypatch):
    class Stopped(HereWorkers):
        pieces = 0

        def executor(self):
            Stopped.pieces += 1
            if Stopped.pieces > 1:
                raise KeyboardInterrupt
            return super().executor()

    monkeypatch.setattr(command, "LocalWorkers", lambda _: Stopped())
    assert main(["study", "s.toml", "--to", "f"]) == 130
    assert "interrupted: 3 of 5 points are kept in f; the same command resumes" in capsys.readouterr().err
    monkeypatch.setattr(command, "LocalWorkers", lambda _: HereWorkers())
    assert main(["study", "s.toml", "--to", "f"]) == 0
    assert "3 of 5 points are there already" in capsys.readouterr().err


def test_text_of_a_study_does_not_reach_the_terminal_raw(study, finished, capsys):
    finished.rename(study.parent / "f\x1b")
    main(["study", "s.toml", "--to", "f\x1b"])
    main(["study", "no\x1b.toml", "--to", "f"])
    main(["run", "f\x1b", "--point", "0", "--brief"])
    out = capsys.readouterr()
    assert all(c.isprintable() or c == "\n" for c in out.out + out.err)


def test_help_of_these_commands_loads_nothing_heavy():
    code = "import sys; from shellbuck.cli.main import main; main(sys.argv[1:]); print('loaded:', *sys.modules)"
    for words in (["study", "--help"], ["run", "--help"], ["modes", "--help"], ["picture", "--help"]):
        done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, timeout=60)
        loaded = set(done.stdout.rpartition("loaded:")[2].split())
        assert loaded & {"numpy", "scipy", "dask", "distributed", "pyarrow", "matplotlib"} == set()


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals of a terminal")
@pytest.mark.parametrize("which", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_ends_it_in_words_and_leaves_no_process(study, which):
    text = STUDY.replace("count = 5", "count = 400")
    study.write_text(text, encoding="utf-8")
    run = [sys.executable, "-c", "import sys; from shellbuck.cli import entry; entry(sys.argv[1:])"]
    process = subprocess.Popen(
        [*run, "study", "s.toml", "--to", "f", "--workers", "2"],
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        # a shell's background processes ignore the signal, and their children inherit that
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    chunks = study.parent / "f" / "chunks"
    while not chunks.exists() or len(list(chunks.iterdir())) < 2:
        assert process.poll() is None
        time.sleep(0.05)
    os.killpg(process.pid, which) if which == signal.SIGINT else process.send_signal(which)
    said = process.communicate(timeout=60)[1]
    assert process.returncode == 130
    assert "points are kept in f; the same command resumes" in said
    assert "Traceback" not in said
    assert process_groups.gone(process.pid)


def test_a_point_of_an_edited_folder_is_refused(study, finished, capsys):
    """The table was worked out from the case as it was; a point of the edited case would be another barrel."""
    case = finished / "case.toml"
    text = case.read_text(encoding="utf-8")
    assert main(["run", str(finished), "--point", "0"]) in (0, 1, 3)
    case.write_text(text.replace('radius = "', 'radius = "1', 1), encoding="utf-8")
    capsys.readouterr()
    page = study.parent / "point.html"
    assert main(["run", str(finished), "--point", "0", "--page", str(page)]) == 2
    said = capsys.readouterr().err
    assert "the folder's files are no longer those of its table, so a point would not be its row" in said
    assert "got case.toml" in said
    assert not page.exists()
    case.write_text(text, encoding="utf-8")
    record = finished / "inputs.json"
    whole = record.read_text(encoding="utf-8")
    record.write_text(whole.replace('"radius": ', '"radius": 1', 1), encoding="utf-8")
    assert main(["run", str(finished), "--point", "0"]) == 2
    assert "is missing, damaged or edited" in capsys.readouterr().err
    record.write_text(whole, encoding="utf-8")
    assert main(["run", str(finished), "--point", "0"]) in (0, 1, 3)


LINKS = [
    "table.csv",
    ".table.csv.part",
    "summary.json",
    ".summary.json.part",
    "page.html",
    "figures",
    "chunks",
    "chunks/.0000000.csv.part",
    "chunks/0000000.csv",
    ".lock",
    "figures/x.svg",
    ".inputs.json.part",
]


@pytest.mark.parametrize("name", LINKS)
def test_a_link_in_a_received_folder_is_never_written_through(study, finished, capsys, name):
    """A folder from somebody else may hold links that lead to files of the reader."""
    own = study.parent / "own"
    folder = name in ("figures", "chunks")
    if folder:
        own.mkdir()
        (own / "mine").write_text("mine", encoding="utf-8")
    else:
        own.write_text("mine", encoding="utf-8")
    place = finished / name
    if place.is_dir():
        shutil.rmtree(place)
    place.unlink(missing_ok=True)
    place.parent.mkdir(exist_ok=True)
    place.symlink_to(own)
    before = sorted(p.name for p in own.iterdir()) if folder else None
    capsys.readouterr()
    assert main(["study", str(study), "--to", str(finished)]) == 2
    assert "the folder contains a symbolic link" in capsys.readouterr().err
    assert place.is_symlink()
    if folder:
        assert sorted(p.name for p in own.iterdir()) == before
    else:
        assert own.read_text(encoding="utf-8") == "mine"


def test_a_link_in_a_new_folder_is_never_written_through(study, capsys):
    own, folder = study.parent / "own", study.parent / "new"
    own.write_text("mine", encoding="utf-8")
    folder.mkdir()
    (folder / ".inputs.json.part").symlink_to(own)
    assert main(["study", str(study), "--to", str(folder)]) == 2
    assert "the folder contains a symbolic link" in capsys.readouterr().err
    assert own.read_text(encoding="utf-8") == "mine"
    assert main(["run", str(folder), "--point", "0"]) == 2
