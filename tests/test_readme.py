"""The README says what is true: its example prints what it shows, its commands are those of CI."""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path

import shellbuck

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def block(kind: str, number: int = 0) -> str:
    return re.findall(rf"```{kind}\n(.*?)```", README, re.DOTALL)[number]


def test_python_example_prints_what_the_readme_shows():
    shown = io.StringIO()
    with contextlib.redirect_stdout(shown):
        exec(compile(block("python"), "README", "exec"), {})
    assert shown.getvalue() == block("output")


def test_example_is_about_ten_lines():
    assert len(block("python").strip().splitlines()) <= 12


def test_two_commands():
    assert len(re.findall(r"```sh\n", README)) == 2
    assert ".[view]" in block("sh", 0)
    assert "shellbuck run" in block("sh", 0)
    assert "-m pytest" in block("sh", 1)


def test_length():
    assert len(README.splitlines()) <= 150


def test_every_command_and_page_is_named():
    from shellbuck.cli.commands import PURPOSES
    from shellbuck.cli.reference import PAGES

    assert [name for name in PURPOSES if f"`{name}" not in README] == []
    for name, page in PAGES.items():
        assert f"| `{name}` | {page.purpose} |" in README


def test_ci_runs_the_readme_blocks():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "block 1" in script
    assert "block 2" in script


def test_exit_statuses_in_readme_match_the_code():
    from shellbuck.core import errors

    assert (errors.EXIT_HOLDS, errors.EXIT_NEGATIVE_MARGIN, errors.EXIT_REFUSED) == (0, 1, 2)
    assert (errors.EXIT_INCOMPLETE, errors.EXIT_INTERNAL_ERROR, errors.EXIT_INTERRUPTED) == (3, 4, 130)
    for status in ("0 no negative margin", "1 a negative margin", "3 not complete", "130 interrupted"):
        assert status in README


def test_version_is_the_same_everywhere():
    assert f'version = "{shellbuck.__version__}"' in (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert f"## {shellbuck.__version__}" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")


def test_public_names_resolve_whatever_was_imported_before():
    """A public function of the name of an inner package would turn into that package on import."""
    import shellbuck.cli.run
    import shellbuck.report.pages.page

    packages = {p.name for p in (ROOT / "shellbuck").iterdir() if p.is_dir()}
    for name in shellbuck.__all__:
        assert getattr(shellbuck, name) is not None
        assert name not in packages or name in {"closed_form", "handbook"}
    assert callable(shellbuck.run)


def test_the_tour_names_modules_and_folders_that_exist():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    files = {str(p.relative_to(ROOT)) for p in ROOT.glob("[!.]*/**/*") if "node_modules" not in p.parts}
    for name in re.findall(r"`([\w/.-]+\.(?:py|md|json|js|mjs))`", text):
        assert any(f == name or f.endswith(f"/{name}") for f in files | {"README.md"}), name
    for name in set(re.findall(r"`([\w/]+/)`", text)):
        assert any(f"/{name}" in f"/{f}/" for f in files), name
