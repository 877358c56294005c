"""The terminal: no case file steers it, no encoding stops it, and asking for help loads no numerics."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from importlib.resources import files

import pytest

from shellbuck.cli.main import main

PLAIN = files("shellbuck.io").joinpath("starts/plain.toml").read_text(encoding="utf-8")
pytestmark = pytest.mark.usefixtures("undrawn")
STEERING = r"\u001b[31m\u0007\u009b2J\u202e\r\n[/b][red]"


def steering_case(tmp_path):
    """Control characters, terminal escapes and markup in every place where a case may hold text."""
    text = PLAIN
    for old in ("Demo barrel", "DEMO-1", "on the pad", "flight", "aluminium, own values", "invented for this"):
        assert old in text
        text = text.replace(old, f"{old} {STEERING}")
    text = text.replace('revision = "A"', f'revision = "A{STEERING}"')
    text += f'\n[policy.own_knockdown]\naxial = 0.2\nbending = 0.3\nreason = "{STEERING}"\n'
    path = tmp_path / "steering.toml"
    path.write_text(text, encoding="utf-8")
    return path


def harmless(text: str) -> bool:
    return all(c.isprintable() or c == "\n" for c in text)


@pytest.mark.parametrize("more", [[], ["--brief"]])
def test_text_of_a_case_does_not_reach_the_terminal_raw(tmp_path, capsys, more):
    path = steering_case(tmp_path)
    assert main(["run", str(path), *more]) in {0, 1}
    out = capsys.readouterr().out
    assert harmless(out)
    assert "[/b]" in out, "brackets of the user are shown, not taken for markup"


def test_text_of_a_refused_case_does_not_either(tmp_path, capsys):
    path = tmp_path / "case.toml"
    for old, new in (
        ('ends = "closed"', f'ends = "{STEERING}"'),
        ('"1.2 m"', f'"1.2 {STEERING}"'),
        ('part = "DEMO-1"', f'"{STEERING}" = 1'),
        ('kind = "plain"', f'kind = "{STEERING}"'),
        ('name = "flight, highest bending"', f'name = "on the pad, empty{STEERING}"'),
        ('factors = "agency prototype"', f'factors = "{STEERING}"'),
        ("[wall]", f'["{STEERING}"]'),
    ):
        path.write_text(PLAIN.replace(old, new), encoding="utf-8")
        if main(["run", str(path)]) == 2:
            assert capsys.readouterr().err.startswith("refused:\n")
        out = capsys.readouterr()
        assert harmless(out.out + out.err)


@pytest.mark.parametrize("command", [["check"], ["run"], ["explain", "materials"], ["explain"], ["start"]])
def test_words_of_the_command_line_do_not_either(command, capsys):
    assert main([*command, "\x1b[31mred\u202e"]) == 2
    out = capsys.readouterr()
    assert harmless(out.out + out.err)


def test_names_of_files_do_not_either(tmp_path, capsys):
    path = tmp_path / "\x1b[31m.toml"
    target, page = tmp_path / "\x1b.json", tmp_path / "\x1b.html"
    assert main(["start", "plain", "--to", str(path)]) == 0
    assert main(["check", str(path)]) == 0
    assert main(["run", str(path), "--json", str(target), "--page", str(page)]) == 0
    out = capsys.readouterr()
    assert harmless(out.out + out.err)
    assert target.exists()
    assert page.exists()


def shell(code: str, *arguments: str, **more) -> subprocess.CompletedProcess:
    environment = {**os.environ, **more.pop("environment", {})}
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", code, *arguments],
        capture_output=True,
        env=environment,
        timeout=60,
        **more,
    )


RUN = "import sys; from shellbuck.cli import entry; entry(sys.argv[1:])"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_poor_terminal_changes_no_status_and_no_json(encoding, tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(PLAIN.replace("Demo", "Démo ✓ σ"), encoding="utf-8")
    poor = {"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    both = "import sys; from shellbuck.cli.main import main; sys.exit(main(sys.argv[1:]) or main(sys.argv[1:3]))"
    done = shell(both, "run", str(path), "--json", "-", environment=poor)
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode("utf-8", "replace")  # the table is in the encoding of the terminal
    document, end = json.JSONDecoder().raw_decode(text)
    assert document["inputs"]["as_read"]["identity"]["title"].startswith("Démo ✓ σ")
    assert ("D?mo ? ?" in text[end:]) == (encoding == "ascii")


@pytest.mark.skipif(sys.platform != "linux", reason="file names are bytes only there")
def test_a_file_name_that_is_no_text(tmp_path, capsys):
    name = os.fsencode(tmp_path) + b"/caf\xe9.toml"
    with open(name, "wb") as stream:
        stream.write(PLAIN.encode())
    text = os.fsdecode(name)
    assert main(["run", text, "--json", text + ".json", "--page", text + ".html"]) == 0, capsys.readouterr().err
    done = shell(RUN, "run", text, "--json", "-")
    assert done.returncode == 0, done.stderr
    with open(name + b".json", encoding="utf-8") as stream:
        assert json.load(stream)["exit_status"] == 0


HEAVY = {"numpy", "scipy", "sympy", "matplotlib", "pint", "pydantic", "jinja2", "rich"}


@pytest.mark.parametrize("words", [["--help"], ["run", "--help"], ["--version"], ["start", "plain"], ["nothing"]])
def test_light_commands_load_nothing_heavy(words):
    code = "import sys; from shellbuck.cli.main import main; main(sys.argv[1:]); print('loaded:', *sys.modules)"
    done = shell(code, *words)
    assert done.returncode == 0, done.stderr
    loaded = set(done.stdout.decode().rpartition("loaded:")[2].split())
    assert "click" in loaded
    assert loaded & HEAVY == set()


def test_import_of_the_package_loads_nothing_heavy():
    done = shell("import sys, shellbuck; print(*sys.modules)")
    assert set(done.stdout.decode().split()) & HEAVY == set()


def test_a_run_without_page_loads_no_plots(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(PLAIN, encoding="utf-8")
    code = "import sys; from shellbuck.cli.main import main; main(sys.argv[1:]); print(*sys.modules)"
    loaded = set(shell(code, "run", str(path), "--json", "-").stdout.decode().split())
    assert "numpy" in loaded
    # where dask is installed pint loads it, and dask loads jinja2
    assert loaded & ({"matplotlib", "sympy", "meshio"} | (set() if "dask" in loaded else {"jinja2"})) == set()


def test_entry_leaves_with_the_status():
    assert shell(RUN, "--help").returncode == 0
    assert shell(RUN, "nothing").returncode == 2
