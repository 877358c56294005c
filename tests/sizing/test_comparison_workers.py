"""A comparison on worker processes: a worker that ends itself, one that always does, a stop from the keyboard."""

from __future__ import annotations

import importlib
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import process_groups
import pytest
from sizing_builders import DEMAND, QUICK

import shellbuck as sb
from shellbuck.cli import patterns as command
from shellbuck.sizing import compare
from shellbuck.sizing.records import Comparison

module = importlib.import_module("shellbuck.sizing.compare")
worked = module.work
PATTERNS = ["plain", "plain-pressurised"]
ASKED = replace(DEMAND, limits=sb.Limits(standby_pressure=60e3))


def ends_itself_once(job):
    """The work; the first worker that takes it up ends without a word."""
    mark = Path(os.environ["MARK"])
    if not mark.exists():
        mark.touch()
        os._exit(9)
    return worked(job)


def ends_itself_always(job):
    """The work of the first pattern; at the second, a worker ends when the first is answered."""
    mark = Path(os.environ["MARK"])
    if job.pattern == PATTERNS[0]:
        found = worked(job)
        mark.touch()
        return found
    while not mark.exists():
        time.sleep(0.05)
    time.sleep(0.5)  # the answer is on its way
    os._exit(9)


@pytest.fixture
def mark(tmp_path, monkeypatch):
    monkeypatch.setenv("MARK", str(tmp_path / "mark"))
    return tmp_path / "mark"


@pytest.mark.slow
def test_a_worker_that_ends_itself_is_replaced(mark, monkeypatch):
    monkeypatch.setattr(module, "work", ends_itself_once)
    found = compare(ASKED, PATTERNS, options=QUICK, workers=2)
    assert mark.exists()
    monkeypatch.undo()
    assert found == compare(ASKED, PATTERNS, options=QUICK)


@pytest.mark.slow
def test_workers_that_always_end_leave_what_was_finished_and_say_why(mark, monkeypatch):
    monkeypatch.setattr(module, "work", ends_itself_always)
    found = compare(ASKED, PATTERNS, options=QUICK, workers=2)
    assert mark.exists()
    assert not found.complete
    assert [e.pattern for e in found.entries] == PATTERNS[:1]
    assert found.trouble.startswith("the worker processes end before they answer")
    assert "take fewer workers" in found.trouble


def test_lost_workers_are_told_on_the_screen(monkeypatch, capsys, tmp_path):
    lost = Comparison((), (), module.answer(ASKED, ()), False, 2, "workers end; take fewer")
    monkeypatch.setattr(module, "compare", lambda *_, **__: lost)
    path = tmp_path / "my.toml"
    path.write_text(files("shellbuck.io").joinpath("starts/barrel.sizing.toml").read_text("utf-8"), "utf-8")
    asked = command.ComparisonOptions((), (), 1, 1, 64, False, 2, None, None, "si")
    assert command.run_patterns(str(path), asked) == 3
    said = capsys.readouterr().out
    assert "not complete: 0 of 2 were finished" in said
    assert "workers end; take fewer" in said
    assert "No pattern was sized to its end." in said
    assert "No pattern holds" not in said


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals of a terminal")
def test_a_stop_from_the_keyboard_ends_it_in_words_and_leaves_no_process(tmp_path):
    text = files("shellbuck.io").joinpath("starts/barrel.sizing.toml").read_text("utf-8")
    (tmp_path / "my.toml").write_text(text, "utf-8")
    run = [sys.executable, "-c", "import sys; from shellbuck.cli import entry; entry(sys.argv[1:])"]
    process = subprocess.Popen(
        [
            *run,
            "patterns",
            "my.toml",
            "--pattern",
            "plain",
            "--pattern",
            "orthogrid-inside",
            "--samples",
            "65536",
            "--workers",
            "2",
            "--no-ritz",
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=tmp_path,
        start_new_session=True,
        # a shell's background processes ignore the signal, and their children inherit that
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    while not process.stderr.readline().strip().startswith("1 of "):
        assert process.poll() is None
    os.killpg(process.pid, signal.SIGINT)
    said, errors = process.communicate(timeout=30)
    assert process.returncode == 130
    assert "were finished; this is the best so far" in said
    assert "Traceback" not in said + errors
    assert process_groups.gone(process.pid), "a worker outlives the command"
