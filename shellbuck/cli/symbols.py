"""Symbols of the formulas, explained by the formulas themselves."""

from __future__ import annotations

import inspect
import re
import unicodedata

from ..handbook import FORMULAS

_OF_MODES = {"m": "axial half-waves of a mode over the length", "n": "full waves of a mode around"}


def symbols() -> set[str]:
    """Every symbol that a formula gives or takes."""
    given = {entry.symbol for entry in FORMULAS.values()}
    taken = {name for entry in FORMULAS.values() for name in inspect.signature(entry.function).parameters}
    return given | taken | set(_OF_MODES)


def meant(name: str) -> list[str]:
    """Symbols that a name may mean: itself, else without regard to underscores, else to capitals too; a Greek letter
    is known by its name."""
    plain = "".join(_spelled(letter) for letter in name)
    plain = "lamda" if plain == "lambda" else plain
    known = sorted(symbols())
    ways = [lambda s: s, lambda s: s.replace("_", "")]
    if len(plain) > 1:  # a letter alone is another quantity than its capital
        ways.append(lambda s: s.replace("_", "").lower())
    return next((found for way in ways if (found := [s for s in known if way(s) == way(plain)])), [])


def _spelled(letter: str) -> str:
    words = unicodedata.name(letter, "").split()
    return words[-1].lower() if words[:3] == ["GREEK", "SMALL", "LETTER"] else letter


def symbol_lines(symbol: str) -> list[str]:
    """What a symbol stands for, by its formulas."""
    lines = [f"{symbol}: a symbol"]
    if symbol in _OF_MODES:
        lines.append(f"  {_OF_MODES[symbol]}")
    for key, entry in FORMULAS.items():
        if entry.symbol == symbol:
            lines.append(f"  given by {key}" + (f" [{entry.unit}]" if entry.unit else "") + f": {entry.title}.")
    taken: dict[str, list[str]] = {}
    for key, entry in FORMULAS.items():
        if symbol in inspect.signature(entry.function).parameters:
            taken.setdefault(described(entry.function).get(symbol, "see there"), []).append(key)
    return lines + [f"  taken by {', '.join(keys)}: {words}" for words, keys in taken.items()]


def described(thing: object) -> dict[str, str]:
    """Parameter -> its description in the docstring of a function or class."""
    section = inspect.getdoc(thing).partition("Parameters\n----------\n")[2].split("\n\n")[0]
    found: dict[str, str] = {}
    names: list[str] = []
    for line in section.splitlines():
        if (head := re.match(r"(\S.*?) : ", line)) is not None:
            names = [name.strip() for name in head[1].split(",")]
        else:
            found |= {name: f"{found.get(name, '')} {line.strip()}".strip() for name in names}
    return found
