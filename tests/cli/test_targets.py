"""What stands where a result is to go: kept where it is not ours, marked where it is of an earlier run."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import subprocess
import sys

import pytest

import shellbuck
from shellbuck.cli.main import main
from shellbuck.io.pages.ownership import PDF_MARK, refuse_foreign

BAD = ('radius = "', 'radius = "-')
pytestmark = pytest.mark.usefixtures("undrawn")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A folder with a case and the page of its run, made once."""
    folder = tmp_path_factory.mktemp("made") / "f"
    folder.mkdir()
    names = [str(folder / name) for name in ("my.toml", "my.html", "my.json")]
    assert main(["start", "plain", "--to", names[0]]) == 0
    assert main(["run", names[0], "--page", names[1], "--json", names[2]]) == 0
    return folder


@pytest.fixture
def place(made, tmp_path, monkeypatch, capsys):
    """The folder anew."""
    folder = shutil.copytree(made, tmp_path / "f")
    monkeypatch.chdir(folder)
    capsys.readouterr()
    return folder


def damage(place):
    case = place / "my.toml"
    case.write_text(case.read_text(encoding="utf-8").replace(*BAD, 1), encoding="utf-8")


def reviewed(place, text="look at this", verdict="", name="my.html"):
    """The page as the review script saves it: the same text with its block of remarks filled."""
    page = place / name
    whole = page.read_text(encoding="utf-8")
    start = whole.index(">", whole.index('id="review-remarks"')) + 1
    end = whole.index("</script>", start)
    remark = {"id": "r1", "on": {"kind": "page"}, "text": text, "author": "A", "when": "", "then": None}
    block = {
        "remarks of": "shellbuck",
        "version": 1,
        "page": {},
        "verdict": verdict,
        "reviewer": "A. Reviewer",
        "remarks": [remark] if text else [],
    }
    page.write_text(whole[:start] + json.dumps(block) + whole[end:], encoding="utf-8")
    return page.read_bytes()


# --- a reviewer's work


@pytest.mark.parametrize(
    ("text", "verdict", "said"),
    [("look at this", "", "got 1 remark of A. Reviewer"), ("", "rejected", 'the verdict "rejected" of A. Reviewer')],
)
def test_a_page_with_a_reviewers_work_stays(place, capsys, text, verdict, said):
    before = reviewed(place, text, verdict)
    assert main(["run", "my.toml", "--page", "my.html"]) == 2
    words = capsys.readouterr().err
    assert "my.html: this page carries a reviewer's work, which would be lost" in words
    assert said in words
    assert "add --force [page-reviewed]" in words
    assert (place / "my.html").read_bytes() == before
    damage(place)
    assert main(["run", "my.toml", "--page", "my.html"]) == 2
    assert (place / "my.html").read_bytes() == before


def test_force_replaces_it(place):
    reviewed(place)
    assert main(["run", "my.toml", "--page", "my.html", "--force"]) == 0
    assert "look at this" not in (place / "my.html").read_text(encoding="utf-8")


def test_force_and_a_refusal_move_it_aside(place, capsys):
    """Told to replace it by a new page; there is none, so the work of the reviewer is not lost for nothing."""
    before = reviewed(place)
    damage(place)
    assert main(["run", "my.toml", "--page", "my.html", "--force"]) == 2
    assert "my.html contained an earlier run and is now my.old.html" in capsys.readouterr().err
    assert not (place / "my.html").exists()
    assert (place / "my.old.html").read_bytes() == before


def test_remarks_that_the_new_page_carries_too_are_no_loss(place, capsys):
    reviewed(place)
    again = ["run", "my.toml", "--remarks", "my.html", "--page", "second.html"]
    assert main(again) == 0
    assert main(again) == 0  # second.html carries the same remarks
    reviewed(place, "another remark", name="second.html")
    capsys.readouterr()
    assert main(again) == 2
    assert "carries a reviewer's work" in capsys.readouterr().err


def test_remarks_that_cannot_be_read_count_as_remarks(place, capsys):
    page = place / "my.html"
    reviewed(place)
    page.write_text(page.read_text(encoding="utf-8").replace('"version": 1', '"version": 9'), encoding="utf-8")
    assert main(["run", "my.toml", "--page", "my.html"]) == 2
    assert "got remarks that cannot be read" in capsys.readouterr().err


# --- files of somebody else


FOREIGN = {
    "notes.html": ("--page", "<!doctype html><html><body>mine</body></html>", "a page of something else"),
    "package.json": ("--json", '{"name": "mine"}', "JSON of something else"),
    "list.json": ("--json", "[1, 2]", "JSON of something else"),
    "broken.json": ("--json", "{mine", "JSON of something else"),
}


@pytest.mark.parametrize("name", FOREIGN)
def test_a_file_of_somebody_else_stays(place, capsys, name):
    option, text, got = FOREIGN[name]
    target = place / name
    target.write_text(text, encoding="utf-8")
    for case in ("my.toml", "no.toml"):
        assert main(["run", case, option, name]) == 2
        said = capsys.readouterr().err
        assert f"{name}: this file was not written by shellbuck for this purpose; got {got}" in said
        assert target.read_text(encoding="utf-8") == text
    assert main(["run", "my.toml", option, name, "--force"]) == 0
    assert target.read_text(encoding="utf-8") != text


def test_remarks_saved_as_json_stay(place, capsys):
    (place / "remarks.json").write_text('{"remarks of": "shellbuck", "version": 1}', encoding="utf-8")
    assert main(["run", "my.toml", "--json", "remarks.json"]) == 2
    assert "not written by shellbuck for this purpose" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("command", "name", "text"),
    [
        (["beside", "my.html", "my.html", "--page", "notes.html"], "notes.html", "<html>mine</html>"),
        (["patterns", "my.toml", "--page", "notes.html"], "notes.html", "<html>mine</html>"),
        (["patterns", "my.toml", "--json", "notes.json"], "notes.json", "{}"),
        (["size", "my.toml", "--pattern", "plain", "--json", "notes.json"], "notes.json", "{}"),
        (["size", "my.toml", "--pattern", "plain", "--case", "sized.toml"], "sized.toml", "mine"),
        (["modes", "my.toml", "--every", "mine.csv"], "mine.csv", "a,b\n1,2\n"),
        (["modes", "my.toml", "--compare", "engines", "--json", "notes.json"], "notes.json", "{}"),
        (["modes", "my.toml", "--compare", "engines", "--save-mesh", "mine.vtu"], "mine.vtu", "mine"),
        (["modes", "my.toml", "--compare", "engines", "--pictures", "."], "mode-01.png", "mine"),
        (["picture", "my.toml", "--to", "mine.png"], "mine.png", "mine"),
        (["run", "folder", "--point", "0", "--page", "notes.html"], "notes.html", "<html>mine</html>"),
        (["run", "folder", "--point", "0", "--json", "notes.json"], "notes.json", "{}"),
        (["run", "folder", "--point", "0", "--case", "point.toml"], "point.toml", "mine"),
    ],
)
def test_every_command_that_writes_looks_first(place, capsys, command, name, text):
    (place / name).write_text(text, encoding="utf-8")
    assert main(command) == 2
    said = capsys.readouterr().err
    assert "add --force" in said
    assert (place / name).read_text(encoding="utf-8") == text


def test_our_own_files_are_replaced(place):
    assert main(["run", "my.toml", "--page", "my.html", "--json", "my.json"]) == 0
    (place / "empty.html").touch()
    assert main(["run", "my.toml", "--page", "empty.html"]) == 0


def test_a_pdf_is_known_by_its_last_line(tmp_path):
    path = tmp_path / "a.pdf"
    path.write_bytes(b"%PDF-1.7\n%%EOF\n" + PDF_MARK)
    refuse_foreign(str(path))
    path.write_bytes(b"%PDF-1.7\n%%EOF\n")
    with pytest.raises(shellbuck.Refusal, match="a PDF of something else"):
        refuse_foreign(str(path))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_pipe_as_a_target_is_not_read(place, capsys):
    os.mkfifo(place / "pipe.html")
    assert main(["run", "my.toml", "--page", "pipe.html"]) == 2
    assert "this is not a file" in capsys.readouterr().err


# --- a refusal where an earlier result stands


def test_the_page_of_an_earlier_run_says_that_there_is_no_result(place, capsys):
    old = (place / "my.html").read_text(encoding="utf-8")
    assert "holds:" in old
    damage(place)
    assert main(["run", "my.toml", "--page", "my.html", "--json", "my.json"]) == 2
    assert "my.html contained an earlier run and now states that there is no result" in capsys.readouterr().err
    page = (place / "my.html").read_text(encoding="utf-8")
    assert "REFUSED</b> (exit status 2)" in page
    assert "barrel.radius: outside the range" in page
    assert "holds:" not in page
    found = json.loads((place / "my.json").read_text(encoding="utf-8"))
    assert (found["exit_status"], found["verdict"]["word"], found["load_cases"]) == (2, "refused", [])
    # mended, the next run replaces it without a word
    case = place / "my.toml"
    case.write_text(case.read_text(encoding="utf-8").replace(*reversed(BAD), 1), encoding="utf-8")
    assert main(["run", "my.toml", "--page", "my.html", "--json", "my.json"]) == 0
    assert "holds:" in (place / "my.html").read_text(encoding="utf-8")


def test_a_case_that_is_gone_marks_the_page_too(place):
    (place / "my.toml").unlink()
    assert main(["run", "my.toml", "--page", "my.html"]) == 2
    assert "the file cannot be read" in (place / "my.html").read_text(encoding="utf-8")


def test_an_own_fault_marks_the_page_too(place, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError("by our own fault")

    monkeypatch.setattr("shellbuck.margins.assess", broken)
    assert main(["run", "my.toml", "--page", "my.html"]) == 4
    assert "FAILED</b> (exit status 4)" in (place / "my.html").read_text(encoding="utf-8")


def test_nothing_is_made_where_nothing_stood(place):
    damage(place)
    assert main(["run", "my.toml", "--page", "new.html"]) == 2
    assert not (place / "new.html").exists()


def test_a_command_that_never_began_touches_nothing(place):
    before = (place / "my.html").read_bytes(), (place / "my.json").read_bytes()
    for words in (["--bogus"], ["--page", "my.txt"], ["--json", "my.toml"]):
        assert main(["run", "my.toml", "--page", "my.html", "--json", "my.json", *words]) == 2
    assert ((place / "my.html").read_bytes(), (place / "my.json").read_bytes()) == before


def test_a_sizing_that_finds_nothing_leaves_no_old_case_as_if_it_were_new(place, capsys):
    text = (place / "my.toml").read_text(encoding="utf-8")
    (place / "sized.toml").write_text(text, encoding="utf-8")
    axial = next(line for line in text.split("\n") if line.startswith("axial_force ="))
    loaded = text.replace(axial, 'axial_force = "9000 MN"')
    (place / "my.toml").write_text(loaded, encoding="utf-8")
    words = ["size", "my.toml", "--pattern", "plain", "--case", "sized.toml", "--force", "--no-ritz", "--seeds", "1"]
    assert main([*words, "--samples", "16"]) != 0
    assert "sized.toml contained an earlier run and is now sized.old.toml" in capsys.readouterr().err
    assert (place / "sized.old.toml").read_text(encoding="utf-8") == text
    assert not (place / "sized.toml").exists()


# --- an output that takes no more


def ran(place, words, out):
    return subprocess.run(
        [sys.executable, "-m", "shellbuck", *words],
        cwd=place,
        stdout=out,
        stderr=subprocess.PIPE,
        text=True,
        timeout=120,
        check=False,
    )


def ran_here(words, descriptor, monkeypatch, capsys):
    """Status and error words of a command that prints into a file descriptor of this process."""
    stream = os.fdopen(descriptor, "w", encoding="utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stdout", stream)
        status = main(words)
    with contextlib.suppress(OSError):
        stream.close()
    return status, capsys.readouterr().err


FULL = pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no full disk to write to")


@FULL
@pytest.mark.parametrize("words", [["run", "my.toml", "--json", "-"], ["start", "plain"]])
def test_a_full_disk_is_said_and_is_no_negative_margin(place, words):
    with open("/dev/full", "w") as full:
        done = ran(place, words, full)
    assert done.returncode == 4, done
    assert "standard output: the output cannot be written (No space left on device)" in done.stderr
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr


@FULL
@pytest.mark.parametrize(
    "words", [["run", "no.toml", "--json", "-"], ["run", "my.toml"], ["explain", "materials"], ["explain"]]
)
def test_a_full_disk_is_said_by_every_way_of_printing(place, words, monkeypatch, capsys):
    status, said = ran_here(words, os.open("/dev/full", os.O_WRONLY), monkeypatch, capsys)
    assert status == 4
    assert "standard output: the output cannot be written (No space left on device)" in said


@pytest.mark.parametrize("case", ["my.toml", "no.toml"])
def test_json_into_a_pipe_whose_reader_is_gone(place, case, monkeypatch, capsys):
    reader, writer = os.pipe()
    os.close(reader)
    status, said = ran_here(["run", case, "--json", "-"], writer, monkeypatch, capsys)
    assert status == 4
    assert "standard output: the output cannot be written (Broken pipe)" in said


@FULL
def test_words_that_cannot_be_written_either(place):
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "shellbuck", "run", "no.toml", "--json", "-"],
            cwd=place,
            stdout=full,
            stderr=full,
            timeout=120,
            check=False,
        )
    assert done.returncode == 4


def test_json_to_a_closed_output(place):
    done = subprocess.run(
        ["sh", "-c", f"'{sys.executable}' -m shellbuck run my.toml --json - >&-"],
        cwd=place,
        stderr=subprocess.PIPE,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 4, done
    assert "the output cannot be written (Bad file descriptor)" in done.stderr
