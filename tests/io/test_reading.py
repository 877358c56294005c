"""Files that somebody else made: pipes, devices, depth without end, links."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from shellbuck.cli.main import main
from shellbuck.core.errors import Refusal
from shellbuck.io.file_bytes import regular_bytes
from shellbuck.io.language.toml_text import toml_tables

PIPES = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")


@contextmanager
def no_waiting(longest: int = 60) -> Iterator[None]:
    """Ends what waits for a writer that never comes."""

    def stop(*_):
        raise AssertionError("waited for a pipe")

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(longest)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


@PIPES
@pytest.mark.parametrize(
    "command",
    [
        ["run", "PIPE"],
        ["check", "PIPE"],
        ["beside", "PIPE", "PIPE", "--page", "both.html"],
        ["study", "PIPE", "--to", "f"],
        ["size", "PIPE", "--pattern", "plain"],
        ["run", "CASE", "--remarks", "PIPE", "--page", "p.html"],
    ],
)
def test_a_pipe_is_refused_and_never_waited_for(command, tmp_path, monkeypatch, capsys):
    pipe, case = tmp_path / "pipe", tmp_path / "case.toml"
    os.mkfifo(pipe)
    monkeypatch.chdir(tmp_path)
    assert main(["start", "plain", "--to", str(case)]) == 0
    words = [w.replace("PIPE", str(pipe)).replace("CASE", str(case)) for w in command]
    with no_waiting():
        assert main(words) == 2
    said = capsys.readouterr().err
    assert "not a file" in said
    assert "Traceback" not in said


@PIPES
def test_a_table_or_a_kept_file_that_is_a_pipe(tmp_path, capsys):
    os.mkfifo(tmp_path / "t.csv")
    assert main(["start", "plain", "--to", str(tmp_path / "my.toml")]) == 0
    (tmp_path / "s.toml").write_text('case = "my.toml"\nmethod = "table"\ntable = "t.csv"\n', encoding="utf-8")
    assert main(["study", str(tmp_path / "s.toml"), "--to", str(tmp_path / "f")]) == 2
    assert "t.csv: this is not a file" in capsys.readouterr().err
    kept = tmp_path / "kept"
    kept.mkdir()
    os.mkfifo(kept / "case.toml")
    assert main(["run", str(kept), "--point", "0"]) == 2
    assert "case.toml: this is not a file" in capsys.readouterr().err


def test_a_device_is_not_read(tmp_path):
    with pytest.raises(Refusal, match="this is not a file"):
        regular_bytes(tmp_path, 10, "x", "")
    if os.path.exists("/dev/zero"):
        with pytest.raises(Refusal, match="this is not a file"):
            regular_bytes(type(tmp_path)("/dev/zero"), 10, "x", "")


def test_no_more_is_read_than_was_asked_for(tmp_path):
    path = tmp_path / "long"
    path.write_bytes(b"x" * 11)
    assert regular_bytes(path, 11, "x", "") == b"x" * 11
    with pytest.raises(Refusal, match="too large for a page; got 11 bytes; allowed: 10 bytes"):
        regular_bytes(path, 10, "a page", "")


DEEP = {
    "key": ".".join(["a"] * 20_000) + " = 1",
    "key with blanks": " . ".join(["a"] * 20_000) + " = 1",
    "quoted key": ".".join(['"a"'] * 20_000) + " = 1",
    "single quoted key": ".".join(["'a'"] * 20_000) + " = 1",
    "section": "[" + ".".join(["a"] * 20_000) + "]",
    "inline": "x = { " + ".".join(["a"] * 20_000) + " = 1 }",
    "array": "x = " + "[" * 20_000,
    "tables": "x = " + "{a=" * 20_000,
    "lines": "\n".join(f"k{i} = 1" for i in range(30_000)),
}


@pytest.mark.parametrize("name", DEEP)
def test_depth_without_end_is_refused_before_it_is_built(name):
    start = time.process_time()
    with pytest.raises(Refusal, match=r"a key has too many parts|nested too deeply|too many lines"):
        toml_tables(DEEP[name])
    assert time.process_time() - start < 2.0  # 20 000 parts took half a minute and 1.6 GB to build


@pytest.mark.parametrize(
    "text",
    [
        'x = "' + "a." * 500 + '"',
        "x = '" + "[" * 500 + "'",
        "# " + "a." * 500 + "\nx = 1",
        'x = """\n' + "[.{" * 500 + '"""',
        "x = '''\n" + "a." * 500 + "'''",
        "x = [[1.5, 2.5], [3, 4]]",
        'x = "\\"' + "[" * 500 + '"',
        "a.b.c.d.e.f.g.h = 1",
    ],
)
def test_dots_and_brackets_in_texts_count_for_nothing(text):
    assert toml_tables(text)


@pytest.mark.parametrize(
    "text",
    [
        "a" * 900_000,
        "a " * 450_000,
        '"' * 900_000,
        "'" * 900_001,
        '"""' + "a" * 900_000,
        "a." * 7 + "b " + "x" * 900_000,
        "[" + "-" * 900_000,
    ],
)
def test_looking_takes_no_time_without_end(text):
    start = time.process_time()
    with pytest.raises(Refusal):
        toml_tables(text)
    assert time.process_time() - start < 5.0  # a million bytes; quadratic looking would take hours
