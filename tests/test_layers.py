"""The house: imports only point down, foreign libraries have one door each, numerics stay pure."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

import shellbuck

ROOT = Path(shellbuck.__file__).parent

# low to high; a room may import itself and every room below it
FLOORS = [
    {"__init__"},
    {"core"},
    {"handbook"},
    {"model"},
    {"engines.eigen", "engines.mesh", "engines.supports"},
    {"engines.problem"},
    {"io", "engines.closed_form", "engines.ritz", "engines.fe"},
    {"engines.fe_barrel", "engines.cell"},
    {"engines.registry"},
    {"compare"},
    {"margins"},
    {"sizing"},
    {"study"},
    {"report.text"},
    {"report.review"},
    {"report.figures", "report.pictures"},
    {"report.pages"},
    {"cli"},
    {"__main__"},
]
LEVEL = {name: i for i, floor in enumerate(FLOORS) for name in floor}

DOORS = {
    "pint": "io",
    "pydantic": "io",
    "pydantic_core": "io",
    "tomllib": "io",
    "jinja2": "report.pages",
    "markupsafe": "report.pages",
    "matplotlib": "report.figures",
    "sympy": "report.text",
    "click": "cli",
    "rich": "cli",
    "meshio": "io",
    "pyvista": "report.pictures",
    "weasyprint": "report.pages",
    "dask": "study",
    "distributed": "study",
    "pyarrow": "io",
    "openpyxl": "io",
}

HOUSES = ("engines", "report")

MODULES = sorted(ROOT.rglob("*.py"))


def room(path: Path) -> str:
    return room_of(".".join(path.relative_to(ROOT).with_suffix("").parts))


def room_of(module: str) -> str:
    """Room of a module by its name below the package; each engine and each part of the report is a room of its own."""
    parts = module.split(".")
    return ".".join(parts[:2]) if parts[0] in HOUSES and len(parts) > 1 else parts[0]


@cache
def nodes(path: Path) -> list[ast.AST]:
    return list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


@cache
def imports(path: Path) -> set[str]:
    """Dotted names of everything a module imports, absolute."""
    package = ["shellbuck", *path.relative_to(ROOT).parts[:-1]]
    found = set()
    for node in nodes(path):
        if isinstance(node, ast.Import):
            found |= {a.name for a in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            found |= {f"{stem}.{a.name}" for a in node.names} | {stem}
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_down(path):
    here = room(path)
    for name in imports(path):
        if not name.startswith("shellbuck."):
            continue
        there = room_of(name.removeprefix("shellbuck."))
        if there not in LEVEL or there == here:
            continue
        assert LEVEL[there] < LEVEL[here], f"{here} must not import {there}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_foreign_libraries_have_one_door(path):
    for name in imports(path):
        door = DOORS.get(name.split(".")[0])
        assert door is None or door == room(path), f"{name} belongs to {door}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_numerics_print_nothing_and_read_no_files(path):
    if room(path) in {"cli", "io"} or room(path).startswith("report."):
        return
    for node in nodes(path):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in {"print", "open", "input"}


def test_what_figures_and_pictures_share_needs_neither_drawing_library():
    """The looks are arrays: a picture's process must not load figures, nor a page the drawing of pictures."""
    assert {name.split(".")[0] for name in imports(ROOT / "core" / "style.py")} <= {"__future__", "math", "numpy"}


def test_every_room_has_a_floor():
    assert {room(p) for p in MODULES} - {f"{house}.__init__" for house in HOUSES} <= set(LEVEL)


def test_modules_stay_small():
    """About 300 lines; the catalogue of messages is data."""
    sizes = {str(p.relative_to(ROOT)): len(p.read_text(encoding="utf-8").splitlines()) for p in MODULES}
    assert {name: n for name, n in sizes.items() if n > 410} == {}


def test_no_path_of_a_machine_in_the_package():
    for path in MODULES:
        assert not re.search(r"[\"' ]/(home|root|Users|mnt|opt)/", path.read_text(encoding="utf-8")), path
