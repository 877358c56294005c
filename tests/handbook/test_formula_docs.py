"""Every filed formula documents exactly its own arguments, runs its example, and reads the same in symbols.

Source: none needed; these are properties of the code itself (own).
"""

from __future__ import annotations

import doctest
import importlib
import inspect
import math
import pkgutil
import re

import numpy as np
import pytest
import sympy

import shellbuck.core.records
import shellbuck.engines.closed_form
import shellbuck.handbook
import shellbuck.model.walls
from shellbuck.core.sources import SOURCES
from shellbuck.handbook import FORMULAS, work

PACKAGES = (shellbuck.handbook, shellbuck.model.walls, shellbuck.engines.closed_form)
MODULES = sorted(
    {package.__name__ for package in PACKAGES}
    | {shellbuck.core.records.__name__}
    | {f"{package.__name__}.{info.name}" for package in PACKAGES for info in pkgutil.iter_modules(package.__path__)}
)
HANDBOOK_MODULES = [name for name in MODULES if name.startswith("shellbuck.handbook.")]

# Arguments that may not be any number: every other name gets a value between 1 and 2.
RANGES = {
    "nu": (0.2, 0.4),
    "C_x": (0.05, 0.2),
    "C_y": (0.05, 0.2),
    "C_xy": (0.05, 0.2),
    "E_xy": (0.2, 0.5),
    "lo": (0.2, 0.9),
    "relief": (0.1, 0.3),
    "P_E": (3.0, 4.0),
    "F": (3.0, 4.0),
    "lamda_0": (0.1, 0.3),
    "lamda_p": (2.1, 3.0),
    "beta_p": (0.3, 0.7),
}


def sample(function, generator) -> dict[str, float]:
    names = inspect.signature(function).parameters
    return {name: float(generator.uniform(*RANGES.get(name, (1.0, 2.0)))) for name in names}


def documented_entries(doc: str) -> list[tuple[list[str], str]]:
    """Entries under the numpy-style heading Parameters, in order: their names and the text below them."""
    lines = inspect.cleandoc(doc).splitlines()
    start = lines.index("Parameters")
    assert lines[start + 1] == "-" * len("Parameters")
    entries: list[tuple[list[str], str]] = []
    for line in lines[start + 2 :]:
        if not line.strip():
            break
        if line.startswith("    "):
            names, text = entries[-1]
            entries[-1] = names, f"{text} {line.strip()}".strip()
            continue
        found = re.fullmatch(r"([\w, ]+) : (float|int)", line)
        assert found, f"not a parameter line: {line!r}"
        entries.append((found[1].split(", "), ""))
    return entries


def documented_units(doc: str) -> dict[str, str]:
    """Unit of every argument as its text states it: one for all names of an entry, or one for each."""
    units: dict[str, str] = {}
    for names, text in documented_entries(doc):
        stated = re.findall(r"\[([^\]]+)\]", text)
        measured = [name for name in names if name != "nu"] if stated else []
        assert len(stated) in (1, len(measured)) or not measured, text
        for name in names:
            units[name] = ""
        for name, unit in zip(measured, stated * len(measured) if len(stated) == 1 else stated, strict=True):
            units[name] = unit
    return units


@pytest.mark.parametrize("key", FORMULAS)
def test_docstring_matches_the_signature(key):
    entry = FORMULAS[key]
    doc = entry.function.__doc__
    entries = documented_entries(doc)
    assert [name for names, _ in entries for name in names] == list(inspect.signature(entry.function).parameters)
    assert all(text for _, text in entries)
    lines = inspect.cleandoc(doc).splitlines()
    assert re.fullmatch(r"[A-Z].*\.", lines[0])
    assert lines[1] == ""
    assert "Examples" in lines
    assert lines[lines.index("Examples") + 1] == "-" * len("Examples")
    assert any(f"{entry.function.__name__}(" in line and ">>>" in line for line in lines)


@pytest.mark.parametrize("key", FORMULAS)
def test_register_entry_is_complete(key):
    entry = FORMULAS[key]
    assert key == entry.function.__name__.replace("_", "-")
    assert entry.source in SOURCES
    assert entry.symbol
    assert entry.title
    assert not entry.title.endswith(".")
    assert SOURCES[entry.source].short in entry.citation


def test_every_public_function_of_the_handbook_is_filed_or_named_here():
    # the curve read from a figure and the search over half-waves are not single formulas
    unfiled = {
        "increment",
        "increment_points",
        "lowest_rectangle",
        "lowest_aspect",
        "least_rectangle_coefficient",
        "formula",
        "work",
    }
    filed = {entry.function for entry in FORMULAS.values()}
    for name in HANDBOOK_MODULES:
        module = importlib.import_module(name)
        for key, value in vars(module).items():
            if inspect.isfunction(value) and value.__module__ == name and not key.startswith("_"):
                assert value in filed or key in unfiled, f"{name}.{key}"


@pytest.mark.parametrize("name", MODULES)
def test_doctests(name):
    module = importlib.import_module(name)
    runner = doctest.DocTestRunner(verbose=False, optionflags=doctest.ELLIPSIS)
    report: list[str] = []
    # numpy 2 prints np.float64(1.0); the examples show plain floats
    with np.printoptions(legacy="1.25"):
        for example in doctest.DocTestFinder(exclude_empty=True).find(module, module.__name__):
            runner.run(example, out=report.append)
    assert runner.failures == 0, "".join(report)


def test_doctests_were_found():
    finder = doctest.DocTestFinder()
    found = sum(
        len(example.examples) for name in MODULES for example in finder.find(importlib.import_module(name), name)
    )
    assert found >= len(FORMULAS)


@pytest.fixture
def symbolic_handbook(monkeypatch):
    """The handbook with its square roots, exponentials and pi taken from sympy."""
    for name in HANDBOOK_MODULES:
        module = importlib.import_module(name)
        for word in ("sqrt", "exp", "cos", "pi"):
            if hasattr(module, word):
                monkeypatch.setattr(module, word, getattr(sympy, word))


@pytest.mark.parametrize("key", FORMULAS)
def test_symbols_give_the_value_of_the_numbers(key, request):
    function = FORMULAS[key].function
    generator = np.random.default_rng(20240611)
    draws = [sample(function, generator) for _ in range(5)]
    plain = [float(function(**draw)) for draw in draws]
    request.getfixturevalue("symbolic_handbook")
    symbols = {name: sympy.Symbol(name, positive=True) for name in draws[0]}
    printed = function(**symbols)
    # an argument that drops out of the printed line would be an argument that is ignored
    assert printed.free_symbols == set(symbols.values())
    for draw, value in zip(draws, plain, strict=True):
        # 1e-12: a few dozen roundings of 1e-16, times the loss in 1/x - 1 and in 1 - exp(-x), both below 100
        substituted = float(printed.evalf(30, subs={symbols[k]: v for k, v in draw.items()}))
        assert substituted == pytest.approx(value, rel=1e-12, abs=1e-13)


@pytest.mark.parametrize("key", FORMULAS)
def test_arrays_give_the_values_of_the_numbers(key):
    function = FORMULAS[key].function
    generator = np.random.default_rng(7)
    draws = [sample(function, generator) for _ in range(4)]
    together = function(**{name: np.array([draw[name] for draw in draws]) for name in draws[0]})
    one_by_one = [float(function(**draw)) for draw in draws]
    # 1e-13: numpy's array loops may round powers differently from its scalars by a bit or two
    np.testing.assert_allclose(together, one_by_one, rtol=1e-13, atol=1e-14)


@pytest.mark.parametrize("key", FORMULAS)
def test_work_keeps_its_trail(key):
    function = FORMULAS[key].function
    inputs = sample(function, np.random.default_rng(3))
    worked = work(function, **inputs)
    assert worked.formula == key
    assert dict(worked.inputs) == inputs
    assert worked.value == float(function(**inputs))
    assert math.isfinite(worked.value)


POWERS = {
    "": (0, 0),
    "N/m^3": (1, -3),
    "m": (0, 1),
    "m^2": (0, 2),
    "m^4": (0, 4),
    "m^6": (0, 6),
    "N": (1, 0),
    "N/m": (1, -1),
    "N m": (1, 1),
    "N m^2": (1, 2),
    "Pa": (1, -2),
    "1/m": (0, -1),
    "m/N": (-1, 1),
    "Pa/m": (1, -3),
    "K": (0, 0),
    "1/K": (0, 0),
}
"""Units as powers of force and length."""


@pytest.mark.parametrize("key", FORMULAS)
def test_stated_unit_follows_from_the_documented_units(key):
    """Scaling forces by 8 and lengths by 2 must scale the value as its stated unit says (own)."""
    entry = FORMULAS[key]
    units = documented_units(entry.function.__doc__)

    def factor(unit: str) -> float:
        force, length = POWERS[unit]
        return 8.0**force * 2.0**length

    inputs = sample(entry.function, np.random.default_rng(11))
    scaled = {name: value * factor(units[name]) for name, value in inputs.items()}
    expected = float(entry.function(**inputs)) * factor(entry.unit)
    # powers of two scale without rounding, apart from the roots
    assert float(entry.function(**scaled)) == pytest.approx(expected, rel=1e-13, abs=1e-14)
