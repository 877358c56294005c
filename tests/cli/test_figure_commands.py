"""figures, picture and look: what they write, what they refuse, what they never touch."""

from __future__ import annotations

import csv

import pytest
from export_case import CASE

import shellbuck.report.pictures.process as process
from shellbuck.cli.main import main


@pytest.fixture
def case(tmp_path):
    path = tmp_path / "my.toml"
    path.write_text(CASE, encoding="utf-8")
    return path


def drawn(monkeypatch):
    """Leaves out the drawing: what is tested here is where files go."""
    from shellbuck.report.figures import export
    from shellbuck.report.figures.canvas import svg

    one = svg(lambda figure: figure.subplots(), 1, 1)
    found = [export.Still("wall", one, "A wall.", lambda: (("t [m]", (1.0,)),), "wall")]
    monkeypatch.setattr(export, "exported", lambda *_: found)


def test_figures_and_their_data_are_written_once(case, tmp_path, monkeypatch, capsys):
    drawn(monkeypatch)
    folder = tmp_path / "a" / "figures"
    assert main(["figures", str(case), "--to", str(folder)]) == 0
    assert sorted(p.name for p in folder.iterdir()) == ["index.csv", "wall.csv", "wall.svg"]
    assert (folder / "wall.csv").read_text(encoding="utf-8") == "t [m]\n1\n"
    assert (folder / "wall.svg").read_bytes().startswith(b"<?xml")
    rows = list(csv.reader((folder / "index.csv").read_text(encoding="utf-8").splitlines()))
    assert rows[1] == ["wall.svg", "wall.csv", "wall", "A wall."]
    assert "1 SVG files" in capsys.readouterr().out
    (folder / "wall.svg").write_text("mine", encoding="utf-8")
    assert main(["figures", str(case), "--to", str(folder)]) == 2
    assert "not empty" in capsys.readouterr().err
    assert (folder / "wall.svg").read_text(encoding="utf-8") == "mine"
    (folder / "notes.txt").write_text("mine", encoding="utf-8")
    assert main(["figures", str(case), "--to", str(folder), "--force", "--format", "pdf"]) == 0
    assert (folder / "wall.pdf").read_bytes().startswith(b"%PDF")
    assert "left as they are: 2, such as notes.txt" in capsys.readouterr().out
    assert (folder / "notes.txt").read_text(encoding="utf-8") == "mine"


def test_nothing_to_draw_is_said(case, tmp_path, monkeypatch, capsys):
    from shellbuck.report.figures import export

    monkeypatch.setattr(export, "exported", lambda *_: [])
    assert main(["figures", str(case), "--to", str(tmp_path / "none")]) == 0
    assert "the case has no figure" in capsys.readouterr().out
    assert not (tmp_path / "none").exists()


def test_places_that_are_no_folder(case, tmp_path, capsys):
    for bad in (case, tmp_path / "file.txt"):
        (tmp_path / "file.txt").write_text("mine", encoding="utf-8")
        assert main(["figures", str(case), "--to", str(bad), "--force"]) == 2
        assert "[file-exists]" in capsys.readouterr().err
    assert case.read_text(encoding="utf-8") == CASE


def test_a_folder_that_cannot_be_used_is_refused_in_the_same_words_everywhere(case, tmp_path, monkeypatch, capsys):
    """An unreadable folder (a root user reads any, so the system's answer is put in its place), a name that is too
    long, a file in the path."""
    (tmp_path / "file.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "shut").mkdir()
    real = type(tmp_path).iterdir

    def iterdir(self):
        if self.name == "shut":
            raise PermissionError(13, "Permission denied")
        return real(self)

    monkeypatch.setattr(type(tmp_path), "iterdir", iterdir)
    places = {
        "shut": "cannot be used (Permission denied)",
        "x" * 300: "cannot be used (File name too long)",
        "file.txt/in": "a part of this path is a file, not a folder",
    }
    for bad, words in places.items():
        said = set()
        for command in (["figures", str(case)], ["study", str(case), "--map", "loads"]):
            assert main([*command, "--to", str(tmp_path / bad)]) == 2
            said.add("\n".join(line for line in capsys.readouterr().err.splitlines() if "points, " not in line))
        assert len(said) == 1
        assert words in said.pop()


def test_a_failure_while_drawing_leaves_no_folder(case, tmp_path, monkeypatch):
    from shellbuck.report.figures import export

    def fail(*_):
        raise RuntimeError("no such curve")

    monkeypatch.setattr(export, "exported", fail)
    assert main(["figures", str(case), "--to", str(tmp_path / "half")]) == 4
    assert not (tmp_path / "half").exists()


def test_a_window_without_a_screen_is_words(case, monkeypatch, capsys):
    monkeypatch.setattr(process.sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    assert main(["picture", str(case), "--window", "--mode", "2"]) == 2
    said = capsys.readouterr().err
    assert "[no-display]" in said
    assert "shellbuck picture CASE" in said


def test_modes_and_forces_that_are_not_there(case, tmp_path, capsys):
    target = tmp_path / "a.png"
    assert main(["picture", str(case), "--mode", "99", "--to", str(target)]) == 2
    said = capsys.readouterr().err
    assert "[mode-unknown]" in said
    assert "1: closed form" in said
    assert main(["picture", str(case), "--show", "hoop-force", "--to", str(target)]) == 2
    assert "[no-prestress]" in capsys.readouterr().err
    assert main(["picture", str(case), "--show", "mesh", "--to", str(target)]) == 2
    assert "--mesh" in capsys.readouterr().err
    assert not target.exists()
    target.write_text("mine", encoding="utf-8")
    assert main(["picture", str(case), "--to", str(target)]) == 2
    assert target.read_text(encoding="utf-8") == "mine"
    assert main(["picture", str(case), "--to", str(case), "--force"]) == 2
    assert case.read_text(encoding="utf-8") == CASE


def test_a_pdf_without_a_renderer_is_refused_before_the_work(case, tmp_path, monkeypatch, capsys):
    from shellbuck.core.errors import Problem, Refusal
    from shellbuck.report.pages import printing

    def missing():
        raise Refusal(Problem("extra-missing", "no PDF renderer", "--pdf"))

    monkeypatch.setattr(printing, "ready", missing)
    assert main(["run", str(case), "--pdf", str(tmp_path / "a.pdf"), "--page", str(tmp_path / "a.html")]) == 2
    assert "[extra-missing]" in capsys.readouterr().err
    assert not (tmp_path / "a.html").exists()


def test_a_pdf_is_written_beside_the_page(case, tmp_path, monkeypatch, capsys):
    from shellbuck.report.pages import page, printing

    monkeypatch.setattr(page, "page_parts", lambda *_: {})
    monkeypatch.setattr(page, "filled_page", lambda _, scripted=True: "script" if scripted else "print")
    monkeypatch.setattr(printing, "ready", lambda: None)
    monkeypatch.setattr(printing, "pdf", lambda html: b"%PDF of " + html.encode())
    assert main(["run", str(case), "--brief", "--pdf", str(tmp_path / "a.pdf"), "--page", str(tmp_path / "a.html")]) < 2
    assert (tmp_path / "a.pdf").read_bytes() == b"%PDF of print"
    assert (tmp_path / "a.html").read_text(encoding="utf-8") == "script"
    assert "pdf: " in capsys.readouterr().out
    assert main(["run", str(case), "--pdf", str(case)]) == 2
    assert case.read_text(encoding="utf-8") == CASE
